"""Readings of the Moon from two places at one moment, from the real sky, for the tests."""

from astropy import units as u

from moonreach import sky
from moonreach.lessons.air import seen_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.practice.hands import SECONDS, Scribe
from moonreach.practice.real_night import clock_of


def pair_rows(name, north, south, moment):
    """Return one group's exact readings, of two `sky.Place` at a moment in UTC."""
    scribe = Scribe(name, None)
    south, north = sorted((north, south), key=lambda place: place.latitude)
    for where, place in (("north", north), ("south", south)):
        moon = sky.moon_at(moment, place)
        require(moon.altitude > 5 * u.deg, f"at {moment} the Moon is not up in the {where}")
        scribe.read(f"pair_{where}_latitude", place.latitude.to(u.deg), None, 3)
        scribe.read(f"pair_{where}_longitude", place.longitude.to(u.deg), None, 3)
        zenith = seen_zenith_distance(90 * u.deg - moon.altitude)
        scribe.read(f"pair_{where}_zenith_distance", zenith, None, 4)
        scribe.read(f"pair_{where}_azimuth", moon.azimuth.to(u.deg), None, 4)
    scribe.state("pair_moment", clock_of(sky.utc_of(sky.days_of(moment))), SECONDS)
    return scribe.readings
