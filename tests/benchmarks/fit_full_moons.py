"""Fit the terms that `moonreach.sky.full_moons` adds to ERFA's moon98, and print them.

Fitted to DE421 at the full Moons near a node of 1900-2000 and 2101-2199; the century between them
is kept aside and shows what the terms are worth. Run: python tests/benchmarks/fit_full_moons.py
"""

import sys
from pathlib import Path

import erfa
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import jpl_ephemeris

from moonreach.sky import full_moons
from moonreach.sky.clock import J2000


def residuals(days):
    """DE421 minus moon98 along and across the ecliptic, in arcseconds."""
    true = jpl_ephemeris.moon(J2000 + days)
    distance = np.linalg.norm(true, axis=1)[:, None]
    missed = (true - erfa.moon98(J2000, days)["p"] * erfa.DAU / 1e3) / distance
    tilt = erfa.obl06(J2000, 0.0)
    along = np.cross([0, -np.sin(tilt), np.cos(tilt)], true)
    along /= np.linalg.norm(along, axis=1)[:, None]
    across = np.cross(true / distance, along)
    return [np.degrees((missed * axis).sum(axis=1)) * 3600 for axis in (along, across)]


def columns(days):
    """The two design matrices: sines, cosines where a planet pulls; in longitude drift too."""
    angles = full_moons.arguments(days)
    for terms, drift in (
        (full_moons.LONGITUDE_TERMS, [np.ones_like(days), days / 36525]),
        (full_moons.LATITUDE_TERMS, []),
    ):
        turned = angles @ terms[:, :6].T
        yield np.column_stack([np.sin(turned), np.cos(turned[:, _pulled(terms)]), *drift])


def _pulled(terms):
    """Which terms are a planet's (the Earth's longitude, or the tilt of the frame, with them)."""
    return np.abs(terms[:, 3:6]).sum(axis=1) > 0


def main():
    """Print amplitudes ready for the module, and the error before and after."""
    whole = full_moons.near_a_node(-36500.0, 72900.0)
    aside = (whole > 366) & (whole < 36890)
    # An eclipse lasts hours: fit an hour and a half either side of its middle too.
    fitted = np.concatenate([whole[~aside] + shift for shift in (-0.06, 0.0, 0.06)])
    tables = (full_moons.LONGITUDE_TERMS, full_moons.LATITUDE_TERMS)
    for column, (name, terms) in enumerate(zip(("longitude", "latitude"), tables, strict=True)):
        design, checked = (list(columns(days))[column] for days in (fitted, whole[aside]))
        amplitudes, *_ = np.linalg.lstsq(design, residuals(fitted)[column], rcond=None)
        before = residuals(whole[aside])[column]
        after = before - checked @ amplitudes
        print(f'{name}: set aside, sd {before.std():.2f}" -> {after.std():.2f}"', end=", ")
        print(f'worst {np.abs(before).max():.1f}" -> {np.abs(after).max():.1f}"')
        cosines = np.zeros(len(terms))
        cosines[_pulled(terms)] = amplitudes[len(terms) : len(terms) + _pulled(terms).sum()]
        for row, sine, cosine in zip(terms.astype(int), amplitudes, cosines, strict=False):
            print(f"        ({', '.join(map(str, row[:6]))}, {sine:.2f}, {cosine:.2f}),")
        print("drift", amplitudes[len(terms) + _pulled(terms).sum() :].round(2))


if __name__ == "__main__":
    main()
