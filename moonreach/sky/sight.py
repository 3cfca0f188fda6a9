"""What a place sees of a lunar eclipse: how high the Moon stands, and which contacts it shows."""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.sky.bodies import moon_vectors, sun_vectors
from moonreach.sky.clock import days_of
from moonreach.sky.eclipses import LunarEclipses
from moonreach.sky.place import Place, azimuth_and_altitude, from_place

MOMENTS = ("P1", "U1", "U2", "greatest", "U3", "U4", "P4")


@dataclass(frozen=True, eq=False)
class Sight:
    """Altitude and azimuth of the Moon's centre and the Sun's altitude at each of `MOMENTS`.

    Angles are degrees without refraction (which lifts by half a degree at the horizon), NaN where
    an eclipse has no such contact; `above` says at which moments the Moon is up. `visible` is
    "all", "part" or "none" of the umbral eclipse, of the penumbral one where there is no umbral.
    """

    altitude: u.Quantity
    azimuth: u.Quantity
    sun_altitude: u.Quantity
    visible: np.ndarray

    @property
    def above(self):
        """Whether the Moon is above the horizon, for each of `MOMENTS`."""
        return self.altitude > 0 * u.deg


def seen_from(eclipses: LunarEclipses, place: Place):
    """Return the `Sight` that a place has of one eclipse or of several.

    >>> from moonreach.sky import eclipse_on
    >>> june = seen_from(eclipse_on("2029-06-26"), Place(52.1 * u.deg, 5.2 * u.deg))
    >>> str(june.visible), june.altitude[3].round(1)
    ('part', <Quantity -0.4 deg>)
    """
    days = _days(moments_of(eclipses))
    azimuth, altitude = _horizon(moon_vectors, days, place)
    first = np.where(np.isnan(days[..., 1]), days[..., 0], days[..., 1])
    last = np.where(np.isnan(days[..., 5]), days[..., 6], days[..., 5])
    between = first[..., None] + (last - first)[..., None] * np.linspace(0, 1, 25)
    up = _horizon(moon_vectors, between, place)[1] > 0 * u.deg
    return Sight(
        altitude=altitude,
        azimuth=azimuth,
        sun_altitude=_horizon(sun_vectors, days, place)[1],
        visible=np.where(up.all(axis=-1), "all", np.where(up.any(axis=-1), "part", "none"))[()],
    )


def moments_of(eclipses):
    """Return the instants of `MOMENTS` in UTC, NaT where an eclipse has none."""
    return np.insert(eclipses.contacts, 3, eclipses.greatest, axis=-1)


def _days(instants):
    """Return days of TT since J2000.0, NaN where an instant is missing."""
    missing = np.isnat(instants)
    return np.where(missing, np.nan, days_of(np.where(missing, np.datetime64("2000"), instants)))


def _horizon(vectors, days, place):
    """Return azimuth and altitude of a body, NaN where there is no instant."""
    known = np.where(np.isnan(days), 0.0, days)
    angles = azimuth_and_altitude(from_place(vectors(known), known, place), known, place)
    return [np.where(np.isnan(days), np.nan, angle) for angle in angles]
