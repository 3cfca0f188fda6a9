"""Earth's size against published figures and plane geometry."""

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons import earth_size, noon, today
from moonreach.lessons.refuse import Impossible


def test_eratosthenes():
    # Cleomedes, Caelestia I.7: 1/50 of a circle and 5000 stadia make 250 000 stadia.
    stadion = u.def_unit("stadion")
    found = earth_size.circumference(360 * u.deg / 50, 5000 * stadion)
    assert found.to_value(stadion) == pytest.approx(250_000)


def test_stadia_per_degree():
    # Strabo, Geography II.5 (section from memory): 252 000 stadia are 700 to the degree.
    stadion = u.def_unit("stadion")
    found = earth_size.circumference(1 * u.deg, 700 * stadion)
    assert found.to_value(stadion) == pytest.approx(252_000)


def test_degree_of_the_meridian():
    # WGS 84: 10 001.9657 km from equator to pole (NIMA TR8350.2, computed two ways), 111.133 km
    # a degree on average. A sphere of the mean radius differs from it by the ellipse alone.
    diameter = earth_size.diameter(1 * u.deg, 10_001.9657 / 90 * u.km)
    assert diameter.to_value(u.km) == pytest.approx(today.EARTH_DIAMETER.value, rel=6e-4)


def test_known_shadow():
    # Plane trigonometry: 1/50 of a circle casts tan 7.2 deg = 0.12633 of the gnomon.
    z = earth_size.zenith_distance(1 * u.m, 12.633 * u.cm)
    assert z.to_value(u.deg) == pytest.approx(7.2, abs=1e-3)


def test_full_shadow_is_cast_by_the_upper_limb():
    middle = earth_size.zenith_distance(1 * u.m, 80 * u.cm)
    full = earth_size.zenith_distance(1 * u.m, 80 * u.cm, "full_shadow")
    assert (full - middle).to_value(u.arcmin) == pytest.approx(16, abs=0.3)  # 16', the semidiameter


def test_same_edge_cancels_between_places():
    arcs = [
        earth_size.arc(
            earth_size.zenith_distance(1 * u.m, 1.4 * u.m, edge),
            earth_size.zenith_distance(1 * u.m, 1.1 * u.m, edge),
        )
        for edge in earth_size.EDGES
    ]
    assert arcs[0].to_value(u.deg) == pytest.approx(arcs[1].to_value(u.deg))


@pytest.mark.parametrize(
    ("north", "south", "declination", "shadows"),
    [
        (52, 45, -10, "same_side"),  # both shadows point north
        (10, 3, -20, "same_side"),
        (10, 3, 20, "same_side"),  # the Sun stands north of both: both shadows point south
        (-30, -38, 5, "same_side"),  # southern hemisphere
        (30, 15, 23, "opposite_sides"),
    ],
)
def test_arc_is_the_difference_of_latitudes(north, south, declination, shadows):
    z = [abs(latitude - declination) * u.deg for latitude in (north, south)]
    assert earth_size.arc(*z, shadows).to_value(u.deg) == pytest.approx(north - south)


@pytest.mark.parametrize("shadows", earth_size.SIDES)
def test_declination_change_between_the_noons(shadows):
    # Latitude = declination + zenith distance northwards, with a different declination each.
    north, south = (30, 15) if shadows == "opposite_sides" else (52, 45)
    d_north, d_south = (23, 22.6) if shadows == "opposite_sides" else (10, 9.6)
    z = abs(north - d_north) * u.deg, abs(south - d_south) * u.deg
    found = earth_size.arc(*z, shadows, (d_north - d_south) * u.deg)
    assert found.to_value(u.deg) == pytest.approx(north - south)


@pytest.mark.parametrize(
    ("days", "declination", "tolerance"),
    [
        # Meeus, Astronomical Algorithms, 25.a: 1992 October 13.0 TD, -7 deg 47' 06".
        (-2636.5, -7.785, 0.01),
        # The obliquity at the solstices of 2000 (June 21, 01:48 UT; from memory), 23.44 deg.
        (171.575, 23.44, 0.01),
        # Equinox of March 2000 (March 20, 07:35 UT; from memory): on the equator.
        (78.816, 0, 0.01),
    ],
)
def test_declination(days, declination, tolerance):
    found = noon.sun_declination(days * u.day)
    assert found.to_value(u.deg) == pytest.approx(declination, abs=tolerance)


def test_declination_changes_by_no_more_than_24_arcmin_a_day():
    days = np.arange(0, 3653) * u.day
    daily = np.abs(np.diff(noon.sun_declination(days))).to(u.arcmin)
    assert 23 < daily.max().value < 24.1  # common practice, no source


def test_slanted_road():
    # A road of 5 parts that runs 3 parts east has 4 parts north (a right triangle 3, 4, 5).
    found = earth_size.north_south_distance(500 * u.km, np.degrees(np.arctan2(3, 4)) * u.deg)
    assert found.to_value(u.km) == pytest.approx(400)


@given(st.floats(0.5, 89), st.floats(1, 40), st.floats(0.1, 20))
def test_round_trip(z_south, arc, height):
    z = [z_south * u.deg, (z_south + arc) * u.deg]
    if z[1] >= 89.5 * u.deg:
        return
    shadows = [height * u.m * np.tan(angle) for angle in z]
    south, north = (earth_size.zenith_distance(height * u.m, shadow) for shadow in shadows)
    distance = 12_742 * np.pi * arc / 360 * u.km
    found = earth_size.diameter(earth_size.arc(north, south), distance)
    assert found.to_value(u.km) == pytest.approx(12_742, rel=1e-6)


def test_numbers_arrays_and_clouds_alike():
    for h, ln, ls, d in three_ways(1 * u.m, 140 * u.cm, 109 * u.cm, 780 * u.km):
        north = earth_size.zenith_distance(h, ln, "full_shadow")
        south = earth_size.zenith_distance(h, ls, "full_shadow")
        found = earth_size.diameter(earth_size.arc(north, south), d)
        arc = np.degrees(np.arctan(1.40) - np.arctan(1.09))
        assert numbers(found, u.km) == pytest.approx(360 / arc * 780 / np.pi, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: earth_size.zenith_distance(0 * u.m, 1 * u.m), "gnomon height"),
        (lambda: earth_size.zenith_distance(1 * u.m, -1 * u.m), "shadow"),
        (lambda: earth_size.zenith_distance(1 * u.m, 1 * u.m, "upper"), "'middle'"),
        (lambda: earth_size.arc(7 * u.deg, 7 * u.deg), "parallel"),
        (lambda: earth_size.arc(7 * u.deg, 3 * u.deg, "both"), "'same_side'"),
        (lambda: earth_size.circumference(0 * u.deg, 1 * u.km), "arc"),
        (lambda: earth_size.circumference(1 * u.deg, -1 * u.km), "distance"),
        (lambda: earth_size.north_south_distance(1 * u.km, 90 * u.deg), "east or west"),
    ],
)
def test_impossible(call, says):
    with pytest.raises(Impossible, match=says):
        call()
