"""What do the chain's assumptions cost on real nights? python tests/benchmarks/assumptions.py

Exact contacts, angle and altitude of every total eclipse of 2001 to 2100 go through the lesson
functions; what is then left of an error is the assumptions' own. The file
`reduction/assumptions.toml` has it.
"""

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import eclipse_timing, moon_distance, shadow_cone, today


def errors(eclipse):
    """Return the relative errors of x off centre, and of the distance by each way to x."""
    since = (eclipse.contacts[1:5] - eclipse.contacts[1]) / np.timedelta64(1, "s") * u.s
    phases = eclipse_timing.phases(*since)
    distance = sky.moon_at(eclipse.greatest).distance
    angle = 2 * np.arcsin((today.MOON_RADIUS / distance).to_value(u.one)) * u.rad
    rate = eclipse_timing.scaled_rate(angle / 2)
    x = eclipse_timing.ratio_off_centre(*phases, angle / 2, rate)
    true_x, true = float(eclipse.shadow_ratio), (distance / today.EARTH_DIAMETER).to_value(u.one)
    found = [float(x) / true_x - 1]
    for ratio in (x, true_x):
        earth_in_moons = shadow_cone.earth_in_moons(ratio)
        earths = moon_distance.distance_in_earth_diameters(angle, earth_in_moons)
        found.append(float(earths) / true - 1)
    return found


if __name__ == "__main__":
    eclipses = sky.lunar_eclipses("2001-01-01", "2100-12-31")
    total = eclipses[eclipses.kind == "total"]
    table = 100 * np.array([errors(total[index]) for index in range(len(total))])
    print(f"{len(table)} total eclipses, errors in %: mean, standard deviation, root mean square")
    for label, column in zip(
        ("x off centre", "distance, off centre", "distance, exact x"), table.T, strict=True
    ):
        rms = np.sqrt(np.mean(column**2))
        print(f"  {label:<22} {column.mean():+6.2f} {column.std():6.2f} {rms:6.2f}")
