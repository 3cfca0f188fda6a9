"""Every lunar eclipse between two dates, with its contacts, its shadow and the Moon's path.

Candidates come from mean lunations; the Moon and the Sun are then computed at a few nodes around
each, and everything else (closest approach, contacts) is found on the polynomials through these
nodes, all candidates at once. Contacts are as seen from the Earth.
"""

from dataclasses import dataclass, fields

import numpy as np
from astropy import units as u
from numpy.polynomial import polynomial

from moonreach.lessons import today
from moonreach.lessons.shadow_cone import umbra_semidiameter
from moonreach.sky.bodies import moon_vectors, root_near, sun_vectors_around
from moonreach.sky.clock import days_of, utc_of

CONTACTS = ("P1", "U1", "U2", "U3", "U4", "P4")
_REACH = 0.165  # days: half of the longest eclipse, and what the mean lunation may be off
_NODES = _REACH * np.cos(np.pi * (np.arange(6) + 0.5) / 6)
_TO_SERIES = np.linalg.inv(np.vander(_NODES, increasing=True)).T
_EARTH, _MOON, _SUN = (
    radius.to_value(u.km)
    for radius in (
        today.EARTH_EQUATORIAL_RADIUS,
        today.ECLIPSE_MOON_RADIUS,
        today.ECLIPSE_SUN_RADIUS,
    )
)


@dataclass(frozen=True, eq=False)
class LunarEclipses:
    """Lunar eclipses in order of time, one array for each property; index it for one or some.

    kind: penumbral, partial or total. greatest: UTC of the Moon's least distance from the
    shadow's axis. contacts: UTC of P1, U1, U2, U3, U4, P4 (shape (n, 6), NaT where there is
    none). gamma: that least distance in equatorial radii of the Earth, positive when the Moon
    passes north. Radii, semidiameters, rate and distance are geocentric and of greatest eclipse;
    offsets: the Moon's centre east and north of the axis at P1, U1, U2, greatest, U3, U4, P4
    (shape (n, 7, 2)).
    """

    kind: np.ndarray
    greatest: np.ndarray
    contacts: np.ndarray
    gamma: np.ndarray
    umbral_magnitude: np.ndarray
    penumbral_magnitude: np.ndarray
    umbra_radius: u.Quantity
    penumbra_radius: u.Quantity
    moon_semidiameter: u.Quantity
    sun_semidiameter: u.Quantity
    moon_parallax: u.Quantity
    sun_parallax: u.Quantity
    distance: u.Quantity
    closest: u.Quantity
    rate: u.Quantity
    offsets: u.Quantity

    def __len__(self):
        return len(self.kind)

    def __getitem__(self, which):
        """Return one eclipse by its number, or some by a slice or a mask."""
        return LunarEclipses(*(getattr(self, field.name)[which] for field in fields(self)))

    @property
    def shadow_ratio(self):
        """Shadow's radius over the Moon's semidiameter, x."""
        return (self.umbra_radius / self.moon_semidiameter).to_value("")

    @property
    def path_offset(self):
        """The Moon's least distance from the axis over the shadow's radius, b / S."""
        return (self.closest / self.umbra_radius).to_value("")

    @property
    def simple_timing_error(self):
        """Relative error of x = 1 + t2/t1, which takes the path to go through the middle.

        From that night's own exact contacts; NaN unless the eclipse is total.
        """
        u1, u2, u3, u4 = (self.contacts[..., k].astype("M8[ms]") for k in range(1, 5))
        seconds = [(b - a) / np.timedelta64(1, "s") for a, b in ((u1, u2), (u2, u3), (u3, u4))]
        simple = 1 + 2 * seconds[1] / (seconds[0] + seconds[2])
        return simple / self.shadow_ratio - 1


def shadow_radii(moon_parallax, sun_parallax, sun_semidiameter, rule="danjon"):
    """Return the radii of umbra and penumbra at the Moon, in the unit of the arguments.

    `rule` is one of the lesson's `SHADOW_RULES`. Raises `Impossible` for another. The penumbra has
    the Sun's semidiameter added where the umbra has it taken off. Source: Espenak and Meeus
    (2009), NASA/TP-2009-214173, sec. 1.5.

    >>> umbra, penumbra = shadow_radii(57.04, 0.147, 15.99)  # arcminutes, at mean distances
    >>> round(umbra, 2), round(penumbra, 2)
    (41.77, 73.75)
    """
    umbra = umbra_semidiameter(moon_parallax, sun_parallax, sun_semidiameter, rule)
    penumbra = umbra_semidiameter(moon_parallax, sun_parallax, -sun_semidiameter, rule)
    return umbra, penumbra


def lunar_eclipses(start, end, rule="danjon"):
    """Return every lunar eclipse whose greatest phase falls between two dates, penumbral too.

    `start` and `end` are instants or dates (UTC) from 1900 to 2100; `rule` is the shadow's, see
    `shadow_radii`. Raises ValueError when the end is before the start or outside those years.
    Source of the geometry: Espenak and Meeus (2009), NASA/TP-2009-214173, section 1.

    >>> year = lunar_eclipses("2029-01-01", "2030-01-01")
    >>> [str(kind) for kind in year.kind], str(year.greatest[0])[:16]
    (['total', 'total'], '2029-06-26T03:22')
    >>> round(float(year[0].umbral_magnitude), 2), round(float(year[0].shadow_ratio), 2)
    (1.84, 2.73)
    """
    first, last = float(days_of(start)), float(days_of(end))
    if last < first:
        raise ValueError(f"the end, {end}, is before the start, {start}")
    middle = _near_a_node(first, last)
    path, radii = _geometry(middle, rule)
    found = _eclipses(middle, path, radii)
    greatest = days_of(found.greatest) if len(found) else np.zeros(0)
    keep = (found.penumbral_magnitude > 0) & (greatest >= first) & (greatest < last)
    return found[keep]


def eclipse_on(date, rule="danjon"):
    """Return the one lunar eclipse of a night; the date on either side of midnight will do.

    The date may be the evening's or the morning's in any zone. Raises ValueError on a night
    without an eclipse, naming the nearest total or partial one.

    >>> str(eclipse_on("2029-06-25").greatest)[:16]
    '2029-06-26T03:22'
    """
    noon = np.floor(float(days_of(date)) + 0.5)
    first, last = max(noon - 1100, -36524.5), min(noon + 1100, 36889.4)
    near = lunar_eclipses(utc_of(first), utc_of(last), rule)
    apart = np.abs(days_of(near.greatest) - noon)
    if apart.min() <= 1.0:
        return near[int(np.argmin(apart))]
    umbral = near[near.kind != "penumbral"]
    nearest = umbral[int(np.argmin(np.abs(days_of(umbral.greatest) - noon)))]
    raise ValueError(
        f"no lunar eclipse on the night of {utc_of(noon).astype('M8[D]')}; the nearest is the "
        f"{nearest.kind} one of {nearest.greatest.astype('M8[m]').item():%Y-%m-%d at %H:%M} UTC"
    )


def _near_a_node(first, last):
    """Return the times of greatest eclipse or nearest miss between two instants, to 15 minutes.

    Instants are days of TT since J2000.0. Source: Meeus, Astronomical Algorithms, ch. 49 and 54,
    with the mean lunation, the largest periodic terms, and his limit |sin F| < 0.36.
    """
    k = np.arange(np.floor((first - 5.09766) / 29.530588861) - 1, last / 29.530588861 + 1) + 0.5
    centuries = k / 1236.85
    M = np.radians(2.5534 + 29.10535670 * k)
    Mp = np.radians(201.5643 + 385.81693528 * k + 0.0107582 * centuries**2)
    F = np.radians(160.7108 + 390.67050284 * k - 0.0016118 * centuries**2)
    days = 5.09766 + 29.530588861 * k + 0.00015437 * centuries**2
    days += -0.4065 * np.sin(Mp) + 0.1727 * np.sin(M) + 0.0161 * np.sin(2 * Mp)
    days += -0.0097 * np.sin(2 * F) + 0.0073 * np.sin(Mp - M) - 0.0050 * np.sin(Mp + M)
    keep = (np.abs(np.sin(F)) < 0.36) & (days > first - 0.2) & (days < last + 0.2)
    return days[keep]


def _geometry(middle, rule):
    """Return, as series in days from each middle, the Moon's path and the radii (radians).

    The path is moon minus axis, unit vectors, resolved east, north and outward, shape (n, 3, 6);
    the radii are umbra, penumbra, Moon, Sun, and the two parallaxes and the distance in km.
    """
    moon = moon_vectors(middle[:, None] + _NODES)
    sun = sun_vectors_around(middle, _NODES)
    moon_distance = np.linalg.norm(moon, axis=-1)
    sun_distance = np.linalg.norm(sun, axis=-1)
    moon = moon / moon_distance[..., None]
    axis = -sun / sun_distance[..., None]
    outward = axis.mean(axis=1)
    east = np.cross([0.0, 0.0, 1.0], outward)
    east /= np.linalg.norm(east, axis=-1, keepdims=True)
    frame = np.stack([east, np.cross(outward, east), outward], axis=1)
    path = (moon - axis) @ frame.transpose(0, 2, 1)
    moon_parallax, sun_parallax = (np.arcsin(_EARTH / d) for d in (moon_distance, sun_distance))
    sun_radius = np.arcsin(_SUN / sun_distance)
    umbra, penumbra = shadow_radii(moon_parallax, sun_parallax, sun_radius, rule)
    radii = [umbra, penumbra, np.arcsin(_MOON / moon_distance), sun_radius]
    radii += [moon_parallax, sun_parallax, moon_distance]
    return path.transpose(0, 2, 1) @ _TO_SERIES, np.stack(radii, axis=1) @ _TO_SERIES


def _at(series, days):
    """Evaluate series of shape (n, m, k) at days of shape (n, j): shape (n, m, j)."""
    return series @ (days[:, None, :] ** np.arange(series.shape[-1])[:, None])


def _eclipses(middle, path, radii):
    """Return all candidates as `LunarEclipses`, misses with penumbral magnitude below zero."""
    speed = polynomial.polyder(path, axis=-1)
    top = root_near(
        lambda days: (_at(path, days) * _at(speed, days)).sum(axis=1), np.zeros((len(middle), 1))
    )
    p, v = _at(path, top)[..., 0], _at(speed, top)[..., 0]
    closest, rate = _angle(np.linalg.norm(p, axis=1)), np.linalg.norm(v, axis=1)
    umbra, penumbra, moon, sun, moon_parallax, sun_parallax, distance = _at(radii, top)[..., 0].T
    contacts = _contacts(path, radii, top, closest, rate)
    moments = np.insert(contacts, 3, top[:, 0], axis=1)
    magnitude = (umbra + moon - closest) / (2 * moon)
    offsets = _at(path, moments)[:, :2].transpose(0, 2, 1)

    def angle(radians, unit=u.arcmin):
        return (radians * u.rad).to(unit)

    return LunarEclipses(
        kind=np.where(magnitude >= 1, "total", np.where(magnitude > 0, "partial", "penumbral")),
        greatest=utc_of(middle + top[:, 0]),
        contacts=utc_of(middle[:, None] + contacts),
        gamma=np.copysign(np.sin(closest) * distance / _EARTH, p[:, 1]),
        umbral_magnitude=magnitude,
        penumbral_magnitude=(penumbra + moon - closest) / (2 * moon),
        umbra_radius=angle(umbra),
        penumbra_radius=angle(penumbra),
        moon_semidiameter=angle(moon),
        sun_semidiameter=angle(sun),
        moon_parallax=angle(moon_parallax),
        sun_parallax=angle(sun_parallax),
        distance=distance * u.km,
        closest=angle(closest),
        rate=(rate * u.rad / u.day).to(u.deg / u.hour),
        offsets=angle(offsets),
    )


def _contacts(path, radii, top, closest, rate):
    """Return the six contacts in days from each middle, NaN where there is none.

    Sought from a straight path with the radii of greatest eclipse, for the three limits (penumbra
    outside, umbra outside, umbra inside) and both sides at once.
    """
    umbra, penumbra, moon = radii[:, 0], radii[:, 1], radii[:, 2]
    reach = np.stack([penumbra + moon, umbra + moon, umbra - moon], axis=1)
    with np.errstate(invalid="ignore"):
        half = np.sqrt(_at(reach, top)[..., 0] ** 2 - closest[:, None] ** 2) / rate[:, None]
    reach = np.concatenate([reach, reach[:, ::-1]], axis=1)

    def outside(days):
        limits = np.diagonal(_at(reach, days), axis1=1, axis2=2)
        return _angle(np.linalg.norm(_at(path, days), axis=1)) - limits

    return root_near(outside, np.concatenate([top - half, top + half[:, ::-1]], axis=1))


def _angle(chord):
    """Return the angle between unit vectors whose tips are a chord apart."""
    return 2 * np.arcsin(chord / 2)
