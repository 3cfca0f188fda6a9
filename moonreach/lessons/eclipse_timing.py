"""Shadow against Moon from the four contacts of a total lunar eclipse.

Symbols: S the umbra's angular radius at the Moon, s the Moon's semidiameter, x = S/s the shadow
ratio, b the path offset (the Moon's least distance from the shadow's axis), v the Moon's rate
against the shadow, t1 the partial phase (U1 to U2), t2 the total phase (U2 to U3).

The Moon needs the time 2s/v to move by its own diameter. Through the middle that is t1; on every
other path the Moon enters aslant and t1 is longer. The two circles (S+s)^2 = b^2 + (v Tp/2)^2 and
(S-s)^2 = b^2 + (v Tt/2)^2, subtracted, lose b and leave x = v^2 (Tp^2 - Tt^2) / (16 s^2).
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.refuse import require, require_positive

MEAN_RATE = (360 * u.deg / today.SYNODIC_MONTH).to(u.deg / u.hour)


def phases(u1, u2, u3, u4):
    """Return the partial phase t1 and the total phase t2 from the four umbral contacts.

    Parameters: four times, counted from any one zero. Returns two durations, t1 as the mean of
    U2-U1 and U4-U3. Raises `Impossible` unless the contacts follow each other.

    >>> phases(0 * u.min, 66 * u.min, 169 * u.min, 235 * u.min)
    (<Quantity 66. min>, <Quantity 103. min>)
    """
    for first, second, number in ((u1, u2, 1), (u2, u3, 2), (u3, u4, 3)):
        require(first < second, f"umbral contact U{number + 1} is not later than U{number}")
    return ((u2 - u1) + (u4 - u3)) / 2, u3 - u2


def ratio_through_middle(partial_phase, total_phase):
    """Return x if the Moon passes through the middle of the shadow: x = 1 + t2/t1.

    Parameters: two durations. Returns a plain number. Raises `Impossible` without totality.
    Source: Aristarchus' argument; t2/t1 = 1.5 gives x = 2.5 (common practice, no source).

    >>> ratio_through_middle(66 * u.min, 99 * u.min)
    <Quantity 2.5>
    """
    _require_totality(partial_phase, total_phase)
    return 1 + (total_phase / partial_phase).to(u.one)


def scaled_rate(semidiameter):
    """Return the Moon's rate against the shadow on a night when it shows this semidiameter.

    Parameters: the Moon's geocentric semidiameter. Returns an angle per time. Source: mean rate
    360 deg / synodic month, and equal areas in equal times (Kepler): near means large and fast.

    >>> scaled_rate(15.54 * u.arcmin).round(3)
    <Quantity 0.508 deg / h>
    """
    require_positive(semidiameter=semidiameter)
    return MEAN_RATE * (semidiameter / today.MOON_SEMIDIAMETER).to(u.one) ** 2


def ratio_off_centre(partial_phase, total_phase, semidiameter, rate):
    """Return x on any path, from the phases, the Moon's semidiameter and its rate.

    Parameters: two durations, an angle, an angle per time. Returns a plain number.
    Raises `Impossible` without totality, or where x < 1: a shadow smaller than the Moon cannot
    cover it. Source: the two chords of one path, x = v^2 (Tp^2 - Tt^2) / (16 s^2); with
    Tp = t2 + 2 t1 and Tt = t2 it is t1 (t1 + t2) in units of the time the Moon needs for its own
    diameter.

    >>> ratio_off_centre(66 * u.min, 103 * u.min, 14.7 * u.arcmin, 0.457 * u.deg / u.hour).round(2)
    <Quantity 2.7>
    """
    _require_totality(partial_phase, total_phase)
    require_positive(semidiameter=semidiameter, rate=rate)
    own_diameter_time = 2 * semidiameter / rate
    x = (partial_phase * (partial_phase + total_phase) / own_diameter_time**2).to(u.one)
    require(
        x >= 1,
        "these times make the shadow smaller than the Moon (x < 1), which then could not have "
        "been covered: look at the phases, the Moon's angle and their units",
    )
    return x


def path_offset(ratio, partial_phase, total_phase):
    """Return b/S, how far from the shadow's middle the Moon passed, in umbra radii.

    Parameters: x and two durations. Returns a plain number, 0 through the middle. A negative
    square, which the scatter of readings can leave near the middle, counts as zero.
    Source: the two circles, divided: ((x+1)^2 - b^2) / ((x-1)^2 - b^2) = (Tp/Tt)^2.

    >>> path_offset(2.5, 1 * u.h, 1.5 * u.h)
    <Quantity 0.>
    """
    whole = total_phase + 2 * partial_phase
    entry = (ratio - 1) ** 2 * whole**2 - (ratio + 1) ** 2 * total_phase**2
    square = (entry / (whole**2 - total_phase**2)).to(u.one)
    return np.sqrt(np.maximum(square, 0)) / ratio


def expected_phases(ratio, offset, semidiameter, rate):
    """Return the partial and total phase of a night, the reverse of `ratio_off_centre`.

    Parameters: x, b/S, an angle, an angle per time. Returns two durations.
    Raises `Impossible` where the path leaves no totality. Source: the same two circles.

    >>> t1, t2 = expected_phases(2.5, 0, 15.54 * u.arcmin, scaled_rate(15.54 * u.arcmin))
    >>> t1.to(u.min).round(1), t2.to(u.min).round(1)
    (<Quantity 61.2 min>, <Quantity 91.8 min>)
    """
    b = offset * ratio
    require(b < ratio - 1, "so far from the middle the Moon is never wholly in the shadow")
    unit_time = semidiameter / rate
    whole = np.sqrt((ratio + 1) ** 2 - b**2) * unit_time
    total = np.sqrt((ratio - 1) ** 2 - b**2) * unit_time
    return whole - total, 2 * total


def _require_totality(partial_phase, total_phase):
    require_positive(partial_phase=partial_phase)
    require(
        total_phase > 0 * u.s,
        "the timing needs a total phase: without totality the Moon never fitted into the shadow, "
        "and the times cannot tell how large it is; measure a photograph instead",
    )
