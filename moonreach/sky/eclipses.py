"""Every lunar eclipse between two dates, with its contacts, its shadow and the Moon's path.

Candidates come from mean lunations; closest approach and contacts are then sought on the paths of
Moon and Sun near each, all candidates at once. Contacts are as seen from the Earth.
"""

from dataclasses import dataclass, fields

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.shadow_cone import umbra_semidiameter
from moonreach.sky.bodies import moon_near, root_near, sun_near
from moonreach.sky.clock import days_of, utc_of

MOMENTS = ("P1", "U1", "U2", "greatest", "U3", "U4", "P4")
CONTACTS = MOMENTS[:3] + MOMENTS[4:]
# At each contact: before or after the greatest eclipse, the edge of penumbra or umbra, the Moon's
# radius outside or inside of it.
_SIDE = np.array([-1, -1, -1, 1, 1, 1])
_PENUMBRAL = np.array([True, False, False, False, False, True])
_OUTSIDE = np.array([1, 1, -1, -1, 1, 1])
_MINUTE = 1 / 1440
_EARTH = today.EARTH_EQUATORIAL_RADIUS.to_value(u.km)
_MOON = today.ECLIPSE_MOON_RADIUS.to_value(u.km)
_SUN = today.ECLIPSE_SUN_RADIUS.to_value(u.km)


class OfEclipses:
    """What holds one or several eclipses, or the sights of them, an array for each property."""

    def __getitem__(self, which):
        """Return one of them by its number, or some by a slice or a mask."""
        return type(self)(*(getattr(self, field.name)[which] for field in fields(self)))


@dataclass(frozen=True, eq=False)
class LunarEclipses(OfEclipses):
    """Lunar eclipses in order of time, one array for each property; index it for one or some.

    kind: penumbral, partial or total. moments: UTC of `MOMENTS` (shape (n, 7), NaT where there is
    no such contact); greatest is that of the Moon's least distance from the shadow's axis. gamma:
    that least distance in equatorial radii of the Earth, positive when the Moon passes north.
    Radii, semidiameters, rate and distance are geocentric and of greatest eclipse; offsets: the
    Moon's centre east and north of the axis at `MOMENTS` (shape (n, 7, 2)).
    """

    kind: np.ndarray
    moments: np.ndarray
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

    @property
    def greatest(self):
        """UTC of greatest eclipse."""
        return self.moments[..., 3][()]

    @property
    def contacts(self):
        """UTC of `CONTACTS`: the moments without the greatest eclipse, shape (n, 6)."""
        return np.delete(self.moments, 3, axis=-1)

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
        """Relative error of x = 1 + t_tot/t_in, which takes the path to go through the middle.

        From that night's own exact contacts; NaN unless the eclipse is total.
        """
        phases = np.diff(self.contacts[..., 1:5]) / np.timedelta64(1, "s")
        simple = 1 + 2 * phases[..., 1] / (phases[..., 0] + phases[..., 2])
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
    greatest, found = _eclipses(_near_a_node(first, last), rule)
    return found[(found.penumbral_magnitude > 0) & (greatest >= first) & (greatest < last)]


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
    nearest = near[int(np.argmin(np.where(near.kind == "penumbral", np.inf, apart)))]
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
    return days[(np.abs(np.sin(F)) < 0.36) & (days > first - 0.2) & (days < last + 0.2)]


def _geometry(middle, rule):
    """Return what tells, from days after each middle (n, j), where Moon and shadow are.

    It returns the Moon's unit vector less the axis's, resolved east, north and outward, shape
    (n, j, 3), the Moon's distance in km, and radii and parallaxes by name, in radians, (n, j).
    """
    moon_after, sun_after = moon_near(middle), sun_near(middle[:, None])
    outward = -_unit(sun_after(0.0))[0]
    east = _unit(np.cross([0.0, 0.0, 1.0], outward))[0]
    frame = np.concatenate([east, np.cross(outward, east), outward], axis=1).transpose(0, 2, 1)

    def at(days):
        moon, moon_distance = _unit(moon_after(days))
        sun, sun_distance = _unit(sun_after(days))
        earth = np.arcsin(_EARTH / moon_distance), np.arcsin(_EARTH / sun_distance)
        sun_radius = np.arcsin(_SUN / sun_distance)
        umbra, penumbra = shadow_radii(*earth, sun_radius, rule)
        radii = {"umbra_radius": umbra, "penumbra_radius": penumbra}
        radii |= {"moon_parallax": earth[0], "moon_semidiameter": np.arcsin(_MOON / moon_distance)}
        radii |= {"sun_parallax": earth[1], "sun_semidiameter": sun_radius}
        return (moon + sun) @ frame, moon_distance, radii

    return at


def _eclipses(middle, rule):
    """Return days of greatest eclipse, and candidates: a miss has a penumbral magnitude below 0."""
    at = _geometry(middle, rule)

    def receding(days):
        before, after = ((at(days + step)[0] ** 2).sum(axis=-1) for step in (-_MINUTE, _MINUTE))
        return after - before

    now = root_near(receding, np.zeros((len(middle), 1)))
    offset, distance, radii = at(now)
    closest = _angle(offset)
    rate = _angle(at(now + _MINUTE)[0] - at(now - _MINUTE)[0]) / (2 * _MINUTE)
    with np.errstate(invalid="ignore"):
        half = np.sqrt(_limits(radii) ** 2 - closest**2) / rate  # on a straight path
    contacts = root_near(
        lambda days: _angle(at(days)[0]) - _limits(at(days)[2]), now + _SIDE * half
    )
    moments = np.insert(contacts, 3, now[:, 0], axis=1)
    angles = {name: (radius[:, 0] * u.rad).to(u.arcmin) for name, radius in radii.items()}
    # How far the Moon's nearer limb stands within penumbra and umbra, in its diameters.
    depth = (_limits(radii)[:, :2] - closest) / (2 * radii["moon_semidiameter"])
    penumbral, umbral = depth.T
    return middle + now[:, 0], LunarEclipses(
        kind=np.where(umbral >= 1, "total", np.where(umbral > 0, "partial", "penumbral")),
        moments=utc_of(middle[:, None] + moments),
        gamma=np.copysign(np.sin(closest) * distance / _EARTH, offset[..., 1])[:, 0],
        umbral_magnitude=umbral,
        penumbral_magnitude=penumbral,
        **angles,
        distance=distance[:, 0] * u.km,
        closest=(closest[:, 0] * u.rad).to(u.arcmin),
        rate=(rate[:, 0] * u.rad / u.day).to(u.deg / u.hour),
        offsets=(at(moments)[0][..., :2] * u.rad).to(u.arcmin),
    )


def _limits(radii):
    """Return how far the Moon's middle is from the axis at each of `CONTACTS`, shape (n, 6)."""
    shadow = np.where(_PENUMBRAL, radii["penumbra_radius"], radii["umbra_radius"])
    return shadow + _OUTSIDE * radii["moon_semidiameter"]


def _unit(vectors):
    """Return unit vectors and lengths."""
    length = np.linalg.norm(vectors, axis=-1)
    return vectors / length[..., None], length


def _angle(chords):
    """Return the angle between unit vectors whose tips are a chord apart."""
    return 2 * np.arcsin(np.linalg.norm(chords, axis=-1) / 2)
