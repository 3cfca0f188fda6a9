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
from moonreach.sky import full_moons
from moonreach.sky.bodies import moon_vectors, sun_vectors_around
from moonreach.sky.clock import days_of, utc_of
from moonreach.sky.shadow import shadow_radii

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
    middle = full_moons.near_a_node(first, last)
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
    path[..., :2] += _finer(middle, frame)[:, None, :]
    moon_parallax, sun_parallax = (np.arcsin(_EARTH / d) for d in (moon_distance, sun_distance))
    sun_radius = np.arcsin(_SUN / sun_distance)
    umbra, penumbra = shadow_radii(moon_parallax, sun_parallax, sun_radius, rule)
    radii = [umbra, penumbra, np.arcsin(_MOON / moon_distance), sun_radius]
    radii += [moon_parallax, sun_parallax, moon_distance]
    return path.transpose(0, 2, 1) @ _TO_SERIES, np.stack(radii, axis=1) @ _TO_SERIES


def _finer(middle, frame):
    """Return the correction of the Moon's place, east and north, in radians, shape (n, 2)."""
    along, across = full_moons.corrections(middle)
    tilt = np.radians(23.4392911)
    pole = frame @ np.array([0.0, -np.sin(tilt), np.cos(tilt)])  # of the ecliptic
    north = pole[:, :2] / np.linalg.norm(pole[:, :2], axis=1, keepdims=True)
    east = np.stack([north[:, 1], -north[:, 0]], axis=1)
    return along[:, None] * east + across[:, None] * north


def _at(series, days):
    """Evaluate series of shape (n, m, k) at days of shape (n, j): shape (n, m, j)."""
    return series @ (days[:, None, :] ** np.arange(series.shape[-1])[:, None])


def _eclipses(middle, path, radii):
    """Return all candidates as `LunarEclipses`, misses with penumbral magnitude below zero."""
    speed = polynomial.polyder(path, axis=-1)
    push = polynomial.polyder(speed, axis=-1)
    top = np.zeros((len(middle), 1))
    for _ in range(3):  # where the distance has its least: path . speed = 0
        p, v, a = (_at(series, top) for series in (path, speed, push))
        top = top - (p * v).sum(axis=1) / (v * v + p * a).sum(axis=1)
    p, v = _at(path, top)[..., 0], _at(speed, top)[..., 0]
    closest, rate = _angle(np.linalg.norm(p, axis=1)), np.linalg.norm(v, axis=1)
    umbra, penumbra, moon, sun, moon_parallax, sun_parallax, distance = _at(radii, top)[..., 0].T
    reach = np.stack([radii[:, 1] + radii[:, 2], radii[:, 0] + radii[:, 2]], axis=1)
    reach = np.stack([*reach.transpose(1, 0, 2), radii[:, 0] - radii[:, 2]], axis=1)
    contacts = _contacts(path, speed, reach, top, closest, rate)
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


def _contacts(path, speed, reach, top, closest, rate):
    """Return the six contacts in days from each middle, NaN where there is none.

    Newton's method on distance squared minus reach squared, for the three limits (penumbra
    outside, umbra outside, umbra inside) and both sides at once.
    """
    limits = _at(reach, top)[..., 0]
    with np.errstate(invalid="ignore"):
        half = np.sqrt(limits**2 - closest[:, None] ** 2) / rate[:, None]
    when = np.concatenate([top - half, top + half[:, ::-1]], axis=1)
    reach = np.concatenate([reach, reach[:, ::-1]], axis=1)
    shrink = polynomial.polyder(reach, axis=-1)
    for _ in range(4):
        powers = when[..., None] ** np.arange(6)  # (n, 6 contacts, 6 powers)
        p, v = powers @ path.transpose(0, 2, 1), powers[..., :5] @ speed.transpose(0, 2, 1)
        limit = (powers * reach).sum(axis=-1)
        widening = (powers[..., :5] * shrink).sum(axis=-1)
        distance = np.linalg.norm(p, axis=-1)
        approach = (p * v).sum(axis=-1) / distance * (1 + distance**2 / 8)
        when = when - (_angle(distance) - limit) / (approach - widening)
    return when


def _angle(chord):
    """Return the angle between unit vectors whose tips are a chord apart."""
    return 2 * np.arcsin(chord / 2)
