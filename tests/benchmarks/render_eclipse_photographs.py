"""Render data/eclipse_photographs anew: five phases of one invented night and its full Moon."""

import argparse
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from moonreach.rendering import Camera, Scene, render, save_photograph

RATIO, CENTRAL_OFFSET, RATE = 2.70, 0.3 * 2.70, 1.96  # Moon radii, Moon radii, and an hour
GREATEST = datetime(2030, 1, 1, 22, 0)  # invented, like all else here
HOURS = (-1.66, -1.45, -1.18, 1.28, 1.56)  # from greatest eclipse
TURNS = (0, 6, -9, 14, 3)  # degrees by which the camera was turned


def main():
    """Render the pictures into the folder given."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path("data/eclipse_photographs"))
    out = parser.parse_args().out
    random = np.random.default_rng(7)
    face = {"sun_ratio": 1.03, "glow": 1.5e-3, "plains_seed": 12, "plains_depth": 0.38}
    for k, (hours, turn) in enumerate(zip(HOURS, TURNS, strict=True)):
        along = RATE * hours
        scene = Scene(
            RATIO,
            float(np.hypot(along, CENTRAL_OFFSET)),
            float(np.degrees(np.arctan2(-along, CENTRAL_OFFSET))) + 25,
            **face,
        )
        camera = Camera(
            exposure=float(random.uniform(0.8, 1.6)),
            gamma=float(random.uniform(0.92, 1.1)),
            shoulder=0.2,
            noise=0.008,
            blur=float(random.uniform(0.7, 1.4)),
            halo=0.01,
        )
        middle = (270 + random.uniform(-20, 20), 210 + random.uniform(-15, 15))
        radius = float(random.uniform(143, 157))
        made = render(scene, camera, radius, (540, 420), middle, turn, seed=k)
        save_photograph(out / f"partial_{k + 1}.jpg", *made, GREATEST + timedelta(hours=hours))
    full = Scene(RATIO, 12.0, 0.0, **face)
    made = render(full, Camera(exposure=0.75, noise=0.006), 150.0, (540, 420), None, -4, seed=9)
    save_photograph(out / "full_moon.jpg", *made, GREATEST - timedelta(hours=4))


if __name__ == "__main__":
    main()
