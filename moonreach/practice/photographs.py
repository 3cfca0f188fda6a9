"""Rendered photographs of a real eclipse's partial phases, and of that night's full Moon."""

from datetime import timedelta
from pathlib import Path

import numpy as np

from moonreach import sky
from moonreach.lessons.refuse import require
from moonreach.photo.rendered import Camera, Scene, offset_for, render, save_photograph

SIZE = (540, 420)  # px
SHARES = (0.2, 0.8)  # of the Moon in shadow, from the first picture of a side to its last


def photographs_of(date, count, seed, folder):
    """Render photographs of an eclipse into a folder; return their paths, the full Moon's last.

    Parameters: the date (either side of midnight), how many partial phases, a whole number that
    fixes plains and camera, and the folder. The geometry, times and sizes are that night's; plains
    and camera are invented, and each picture's truth stands beside it. Raises ValueError for a
    night without a total eclipse.
    """
    eclipse = sky.eclipse_on(date)
    when = eclipse.greatest.astype("M8[D]")
    require(eclipse.kind == "total", f"the eclipse of {when} is {eclipse.kind}, not total")
    require(1 <= count <= 20, "found {} photographs; accepted are 1 to 20", count)
    random = np.random.default_rng([seed, count])
    ratio = float(eclipse.shadow_ratio)
    face = {
        "sun_ratio": float(eclipse.sun_semidiameter / eclipse.moon_semidiameter),
        "glow": 1.5e-3,
        "plains_seed": seed,
        "plains_depth": 0.38,
    }
    paths = []
    for number, hours in enumerate(_times(eclipse, count), start=1):
        east, north = _place(eclipse, hours)
        # The shadow's centre lies opposite: angle from up through left, north up and east left.
        angle = float(np.degrees(np.arctan2(-east, -north)))
        scene = Scene(ratio, float(np.hypot(east, north)), angle, **face)
        camera = Camera(
            exposure=float(random.uniform(0.8, 1.6)),
            gamma=float(random.uniform(0.92, 1.1)),
            shoulder=0.2,
            noise=0.008,
            blur=float(random.uniform(0.7, 1.4)),
            halo=0.01,
        )
        middle = (270 + random.uniform(-20, 20), 210 + random.uniform(-15, 15))
        radius, turn = float(random.uniform(143, 157)), float(random.uniform(-12, 12))
        made = render(scene, camera, radius, SIZE, middle, turn, seed=number)
        paths.append(_save(folder, f"partial_{number}.jpg", made, eclipse, hours))
    full = Scene(ratio, 12.0, 0.0, **face)
    made = render(full, Camera(exposure=0.75, noise=0.006), 150.0, SIZE, None, -4, seed=99)
    paths.append(_save(folder, "full_moon.jpg", made, eclipse, -4.0))
    return paths


def _place(eclipse, hours):
    """The Moon east and north of the shadow's axis, in Moon radii, hours from greatest eclipse."""
    semidiameter = eclipse.moon_semidiameter
    offsets = (eclipse.offsets[[1, 3, 5]] / semidiameter).to_value("")
    since = (eclipse.contacts[[1, 4]] - eclipse.greatest) / np.timedelta64(1, "s") / 3600
    series = np.polyfit([since[0], 0.0, since[1]], offsets, 2)
    return np.polyval(series[:, 0], hours), np.polyval(series[:, 1], hours)


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


def _save(folder, name, made, eclipse, hours):
    path = Path(folder) / name
    time = eclipse.greatest.astype("M8[s]").item() + timedelta(hours=hours)
    save_photograph(path, *made, time)
    return path
