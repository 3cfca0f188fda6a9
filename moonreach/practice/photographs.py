"""Rendered photographs of a real eclipse's partial phases, and of that night's full Moon."""

from datetime import timedelta
from functools import partial
from pathlib import Path

import numpy as np

from moonreach import sky
from moonreach.lessons.refuse import require
from moonreach.photo.phones import Phone
from moonreach.photo.rendered import Camera, Scene, offset_for, render, save_photograph

SIZE = (540, 420)  # px
# Ends of: exposure, gamma, blur; the Moon's shift from the middle and radius, px; tilt, deg.
LEAST = (0.8, 0.92, 0.7, -20, -15, 143, -12)
MOST = (1.6, 1.1, 1.4, 20, 15, 157, 12)
SHARES = (0.2, 0.8)  # of the Moon in shadow, from the first picture of a side to its last


def photographs_of(date, count, seed, folder, phone=False):
    """Render photographs of an eclipse into a folder; return their paths, the full Moon's last.

    Parameters: the date (either side of midnight), how many partial phases, a whole number that
    fixes plains and camera, the folder, and whether one invented phone works all of them over. The
    geometry, times and sizes are that night's; plains
    and camera are invented, and each picture's truth stands beside it. Raises ValueError for a
    night without a total eclipse.
    """
    eclipse = sky.eclipse_on(date)
    when = eclipse.greatest.astype("M8[D]")
    require(eclipse.kind == "total", f"the eclipse of {when} is {eclipse.kind}, not total")
    require(1 <= count <= 20, "found {} photographs; accepted are 1 to 20", count)
    random = np.random.default_rng([seed, count])
    ratio = float(eclipse.shadow_ratio)
    sun = float(eclipse.sun_semidiameter / eclipse.moon_semidiameter)
    scene = partial(Scene, ratio, sun_ratio=sun, glow=1.5e-3, plains_seed=seed, plains_depth=0.38)
    shots, worked = {}, Phone.at_random(np.random.default_rng([seed, 8])) if phone else None
    for number, hours in enumerate(_times(eclipse, count), start=1):
        east, north = _place(eclipse, hours)
        # The shadow's centre lies opposite: angle from up through left, north up and east left.
        angle = float(np.degrees(np.arctan2(-east, -north)))
        apart = float(np.hypot(east, north))
        exposure, gamma, blur, x, y, radius, turn = random.uniform(LEAST, MOST).tolist()
        camera = Camera(exposure, gamma, 0.2, noise=0.008, blur=blur, halo=0.01, phone=worked)
        shot = scene(apart, angle), camera, radius, SIZE, (270 + x, 210 + y), turn, number
        shots[Path(folder) / f"partial_{number}.jpg"] = hours, shot
    full = scene(12.0, 0.0), Camera(exposure=0.75, noise=0.006, phone=worked)
    shots[Path(folder) / "full_moon.jpg"] = -4.0, (*full, 150.0, SIZE, None, -4, 99)
    for path, (hours, shot) in shots.items():
        time = eclipse.greatest.astype("M8[s]").item() + timedelta(hours=hours)
        save_photograph(path, *render(*shot), time)
    return list(shots)


def _place(eclipse, hours):
    """The Moon east and north of the shadow's axis, in Moon radii, hours from greatest eclipse."""
    offsets = (eclipse.offsets[[1, 3, 5]] / eclipse.moon_semidiameter).to_value("")
    since = (eclipse.contacts[[1, 4]] - eclipse.greatest) / np.timedelta64(1, "s") / 3600
    series = np.polyfit([since[0], 0.0, since[1]], offsets, 2)
    return [np.polyval(each, hours) for each in series.T]


def _times(eclipse, count):
    """Hours from greatest eclipse at which the wanted shares of the Moon are in shadow."""
    ratio = float(eclipse.shadow_ratio)
    contacts = (eclipse.contacts[1:5] - eclipse.greatest) / np.timedelta64(1, "s") / 3600
    sides = (contacts[0], contacts[1], -(-count // 2)), (contacts[3], contacts[2], count // 2)
    hours = []
    for start, end, number in sides:
        moments = np.linspace(start, end, 400)
        apart = np.hypot(*_place(eclipse, moments))
        shares = np.linspace(*SHARES, number) if number != 1 else [np.mean(SHARES)]
        wanted = [-offset_for(ratio, share) for share in shares]
        hours += np.interp(wanted, -apart, moments).tolist()
    return sorted(hours)
