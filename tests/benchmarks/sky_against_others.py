"""Hold the sky against independent references, and print every figure that it has to reach.

References: skyfield with JPL's DE421 (package `de421`, which covers 1899 to 2200), contacts found
by our own root finder on its apparent places, with the same shadow rule and radii; the times
published by NASA/GSFC (F. Espenak) in tests/reference/eclipses.csv; skyfield's own eclipse finder
for the speed. Run: python tests/benchmarks/sky_against_others.py
"""

import csv
import sys
import time
from pathlib import Path

import numpy as np
from skyfield import eclipselib
from skyfield.api import load

TESTS = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TESTS))
import jpl_ephemeris  # noqa: E402

from moonreach import sky  # noqa: E402
from moonreach.lessons import today  # noqa: E402
from moonreach.sky.clock import J2000, days_of  # noqa: E402

SECONDS = 86_400


def say(name, found, limit):
    """Print one figure, its limit and whether it is reached."""
    print(f"{'reached' if found <= limit else 'MISSED '}  {name}: {found:.4g} (limit {limit:g})")


def against_de421():
    """Count, contacts and magnitudes of 1901-2100."""
    found = sky.lunar_eclipses("1901-01-01", "2100-12-31T23:59")
    timescale = load.timescale(builtin=True)
    t, code, details = eclipselib.lunar_eclipses(
        timescale.tt(1901, 1, 1), timescale.tt(2101, 1, 1), jpl_ephemeris.EPHEMERIS
    )
    ours = days_of(found.greatest)
    greatest, contacts, umbral, _ = jpl_ephemeris.eclipses(np.asarray(t.tt) - J2000)
    # skyfield's finder has radii of its own: the same rule and radii are applied to both here.
    theirs = umbral > 0
    mine = found.kind != "penumbral"
    pairs = np.abs(ours[mine][:, None] - greatest[theirs]) < 0.1
    missing, extra = ~pairs.any(axis=0), ~pairs.any(axis=1)
    odd = np.concatenate([umbral[theirs][missing], found.umbral_magnitude[mine][extra]])
    print(f"umbral eclipses 1901-2100: {mine.sum()} here, {theirs.sum()} by DE421")
    print(f"  (skyfield's finder with its own radii: {(code > 0).sum()}); all kinds {len(found)}")
    say("missing or extra umbral eclipses not grazing", int((np.abs(odd) > 0.003).sum()), 0)
    order = np.argmin(np.abs(greatest[:, None] - ours), axis=0)
    order_ok = np.abs(greatest[order] - ours) < 0.1
    greatest, contacts, umbral = greatest[order], contacts[order], umbral[order]
    kinds = np.where(umbral >= 1, "total", np.where(umbral > 0, "partial", "penumbral"))
    wrong = order_ok & (kinds != found.kind)
    print(f"  other kind than by DE421: {wrong.sum()}", found.greatest[wrong], umbral[wrong])
    off = np.full(contacts.shape, np.nan)
    for k in range(6):
        there = ~np.isnat(found.contacts[:, k])
        off[there, k] = (days_of(found.contacts[there, k]) - contacts[there, k]) * SECONDS
    off = np.abs(off)
    # Within 0.003 of a limit the Moon barely grazes it, and a contact hangs on a few kilometres.
    magnitudes = np.array([found.penumbral_magnitude, found.umbral_magnitude])
    margin = np.abs([magnitudes[0], magnitudes[1], magnitudes[1] - 1])[[0, 1, 2, 2, 1, 0]].T
    grazing = (margin < 0.003) & ~np.isnan(off)
    for i in np.flatnonzero(grazing.any(axis=1)):
        print(f"  grazing: {found.greatest[i]}, magnitudes {magnitudes[:, i].round(4)}: ", end="")
        print(f"off by {off[i, grazing[i]].round(1)} s")
    off[grazing] = np.nan
    for name, which in (("umbral", [1, 2, 3, 4]), ("penumbral", [0, 5])):
        some = off[:, which][~np.isnan(off[:, which])]
        say(f"{name} contacts not grazing, median s of {some.size}", np.median(some), 5)
        print(f"  {name} contacts more than 20 s off: {(some > 20).sum()}")
        say(f"{name} contacts not grazing, worst s", some.max(), 45)
    own = np.abs(found.umbral_magnitude[mine] - details["umbral_magnitude"][code > 0])
    print(f"  umbral magnitude against skyfield's own figure: worst {own.max():.4f}, ", end="")
    print(f"{(own > 0.002).sum()} above 0.002 (its radii differ, its Sun is without aberration)")
    say("umbral magnitude, worst", np.abs(found.umbral_magnitude - umbral)[mine].max(), 0.002)
    days = np.random.default_rng(1).uniform(days_of("1901-01-01"), days_of("2100-12-30"), 20_000)
    near = np.linalg.norm(jpl_ephemeris.moon(J2000 + days - 1.282 / SECONDS), axis=1)
    ours = np.linalg.norm(sky.bodies.moon_vectors(days), axis=1)
    say("Moon's distance, worst km of 20 000 instants", np.abs(ours - near).max(), 40)
    radius = today.MOON_RADIUS.to_value("km")
    size = [np.degrees(np.arcsin(radius / d)) * 120 for d in (ours, near)]
    say("Moon's angular diameter, worst arcmin", np.abs(size[0] - size[1]).max(), 0.01)


def against_published():
    """Published instants, intervals between contacts, and magnitudes."""
    with (TESTS / "reference" / "eclipses.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    names = ["P1", "U1", "U2", "greatest", "U3", "U4", "P4"]
    instants, intervals, magnitudes = [], [], []
    for row in rows:
        found = sky.eclipse_on(row["date"])
        ours = found.moments
        listed = [f"{row['date']}T{row[name]}" if row[name] else "NaT" for name in names]
        off = (ours - np.array(listed, "M8[ms]")) / np.timedelta64(1, "s")
        off = (off + SECONDS / 2) % SECONDS - SECONDS / 2  # a date is that of greatest eclipse
        off = off[~np.isnan(off)]
        instants.append(np.abs(off).max())
        intervals.append(np.ptp(off))
        magnitudes.append(abs(found.umbral_magnitude - float(row["umbral_magnitude"])))
    say("published instants, worst s", max(instants), 20)
    say("intervals between any two published contacts, worst s", max(intervals), 20)
    say("published umbral magnitude, worst", max(magnitudes), 0.003)


def speed():
    """A century with all contacts against skyfield's finder without them, side by side."""
    timescale = load.timescale(builtin=True)
    first, last = timescale.tt(2001, 1, 1), timescale.tt(2101, 1, 1)
    theirs, ours = [], []
    for _ in range(7):
        start = time.perf_counter()
        eclipselib.lunar_eclipses(first, last, jpl_ephemeris.EPHEMERIS)
        theirs.append(time.perf_counter() - start)
        start = time.perf_counter()
        sky.lunar_eclipses("2001-01-01", "2100-12-31")
        ours.append(time.perf_counter() - start)
    best = min(ours[1:]), min(theirs[1:])
    print(f"a century: {best[0]:.4f} s here with contacts, {best[1]:.4f} s skyfield without")
    say("ratio of wall times", best[0] / best[1], 1.0)
    for years in (25, 50, 100, 200):
        start = time.perf_counter()
        sky.lunar_eclipses("1901-01-01", f"{1900 + years}-12-31")
        print(f"  {years} years: {(time.perf_counter() - start) * 1e3:.1f} ms")


if __name__ == "__main__":
    against_de421()
    against_published()
    speed()
