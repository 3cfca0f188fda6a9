"""Shadow against Moon from the four contacts of a total lunar eclipse.

Symbols: S the umbra's angular radius at the Moon, s the Moon's semidiameter, x = S/s the shadow
ratio, b the path offset (the Moon's least distance from the shadow's axis), v the Moon's rate
against the shadow, t_in the partial phase (U1 to U2), t_tot the total phase (U2 to U3).

In the time 2s/v the Moon moves by its own diameter. On a path through the middle that is t_in;
any other path enters at an angle, and t_in is longer. With Tp = t_tot + 2 t_in and Tt = t_tot the
two right-angled triangles are (S+s)^2 = b^2 + (v Tp/2)^2 and (S-s)^2 = b^2 + (v Tt/2)^2. Their
difference has no b: x = v^2 (Tp^2 - Tt^2) / (16 s^2).
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Duration, Number, Rate, today
from moonreach.lessons.refuse import require, require_positive

MEAN_RATE = (360 * u.deg / today.SYNODIC_MONTH).to(u.deg / u.hour)


def phases(u1: Duration, u2: Duration, u3: Duration, u4: Duration) -> tuple[Duration, Duration]:
    """Return the partial phase t_in and the total phase t_tot from the four umbral contacts.

    Parameters
    ----------
    u1, u2, u3, u4 : scalar, array or Distribution, time
        Counted from any one zero.

    Returns
    -------
    two of scalar, array or Distribution, time
        t_in, the mean of U2 - U1 and U4 - U3, and t_tot, U3 - U2.

    Raises
    ------
    Impossible
        Unless the contacts follow each other.

    References
    ----------
    The definition of the contacts, Espenak and Meeus 2009, NASA/TP-2009-214173, sec. 1.4 (section
    from memory).

    Examples
    --------
    >>> phases(0 * u.min, 66 * u.min, 169 * u.min, 235 * u.min)
    (<Quantity 66. min>, <Quantity 103. min>)
    """
    for first, second, number in ((u1, u2, 1), (u2, u3, 2), (u3, u4, 3)):
        require(first < second, f"umbral contact U{number + 1} is not later than U{number}")
    return ((u2 - u1) + (u4 - u3)) / 2, u3 - u2


def ratio_through_middle(partial_phase: Duration, total_phase: Duration) -> Number:
    """Return the shadow ratio x of a Moon that passes through the middle of the shadow.

    Parameters
    ----------
    partial_phase, total_phase : scalar, array or Distribution, time
        t_in and t_tot.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        Without a partial or a total phase.

    References
    ----------
    The central formula x = 1 + t_tot/t_in, after Aristarchus, Hyp. 5 (Heath 1913).

    Examples
    --------
    >>> ratio_through_middle(60 * u.min, 102 * u.min)
    <Quantity 2.7>
    """
    _require_totality(partial_phase, total_phase)
    return 1 + (total_phase / partial_phase).to(u.one)


def scaled_rate(semidiameter: Angle) -> Rate:
    """Return the Moon's rate against the shadow on a night when it shows this semidiameter.

    Parameters
    ----------
    semidiameter : scalar, array or Distribution, angle
        As from Earth's centre.

    Returns
    -------
    scalar, array or Distribution, angle per time in deg / h

    Raises
    ------
    Impossible
        For a semidiameter that is not positive.

    References
    ----------
    360 deg in a synodic month, and equal areas in equal times (Kepler, Astronomia nova, 1609): a
    near Moon is large and fast, by the square.

    Examples
    --------
    >>> scaled_rate(15.54 * u.arcmin).round(3)
    <Quantity 0.508 deg / h>
    """
    require_positive(semidiameter=semidiameter)
    return MEAN_RATE * (semidiameter / today.MOON_SEMIDIAMETER).to(u.one) ** 2


def ratio_off_centre(
    partial_phase: Duration, total_phase: Duration, semidiameter: Angle, rate: Rate
) -> Number:
    """Return the shadow ratio x on any path, from the phases, the Moon's semidiameter and rate.

    Parameters
    ----------
    partial_phase, total_phase : scalar, array or Distribution, time
        t_in and t_tot.
    semidiameter : scalar, array or Distribution, angle
        As from Earth's centre.
    rate : scalar, array or Distribution, angle per time
        Against the shadow.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        Without totality, or where x < 1: a shadow smaller than the Moon cannot cover it.

    References
    ----------
    The chord formula, from Pythagoras' theorem as above; t_in (t_in + t_tot) in units of the time
    in which the Moon moves by its own diameter.

    Examples
    --------
    With a diameter of 30' at 30' an hour: 1 h (1 h + 1.7 h) = 2.7.

    >>> ratio_off_centre(1 * u.h, 1.7 * u.h, 15 * u.arcmin, 30 * u.arcmin / u.h).round(6)
    <Quantity 2.7>
    """
    _require_totality(partial_phase, total_phase)
    require_positive(semidiameter=semidiameter, rate=rate)
    own_diameter_time = 2 * semidiameter / rate
    x = (partial_phase * (partial_phase + total_phase) / own_diameter_time**2).to(u.one)
    require(
        x >= 1,
        "these times make the shadow smaller than the Moon (x < 1), which then could not have "
        "been covered: look at the times, the angular diameter and their units",
    )
    return x


def path_offset(ratio: Number, partial_phase: Duration, total_phase: Duration) -> Number:
    """Return b/S, how far from the shadow's middle the Moon passed, in umbra radii.

    Parameters
    ----------
    ratio : scalar, array or Distribution, no unit
        The shadow ratio x.
    partial_phase, total_phase : scalar, array or Distribution, time
        t_in and t_tot.

    Returns
    -------
    scalar, array or Distribution, no unit
        0 through the middle. A negative square, which the scatter of readings can leave near the
        middle, counts as zero.

    References
    ----------
    The two triangles above, divided: ((x+1)^2 - b^2) / ((x-1)^2 - b^2) = (Tp/Tt)^2, b in units of
    the Moon's semidiameter.

    Examples
    --------
    >>> path_offset(2.75, 1 * u.h, 1.75 * u.h)
    <Quantity 0.>
    """
    whole = total_phase + 2 * partial_phase
    entry = (ratio - 1) ** 2 * whole**2 - (ratio + 1) ** 2 * total_phase**2
    square = (entry / (whole**2 - total_phase**2)).to(u.one)
    return np.sqrt(np.maximum(square, 0)) / ratio


def expected_phases(
    ratio: Number, offset: Number, semidiameter: Angle, rate: Rate
) -> tuple[Duration, Duration]:
    """Return the partial and the total phase of a night, the reverse of `ratio_off_centre`.

    Parameters
    ----------
    ratio, offset : scalar, array or Distribution, no unit
        The shadow ratio x and the path offset b/S.
    semidiameter : scalar, array or Distribution, angle
        As from Earth's centre.
    rate : scalar, array or Distribution, angle per time
        Against the shadow.

    Returns
    -------
    two of scalar, array or Distribution, time
        t_in and t_tot.

    Raises
    ------
    Impossible
        Where the path leaves no totality.

    References
    ----------
    The two triangles above.

    Examples
    --------
    With a diameter of 30' at 30' an hour t_in is an hour on a central path, and t_tot x - 1 hours.

    >>> t_in, t_tot = expected_phases(2.75, 0, 15 * u.arcmin, 30 * u.arcmin / u.h)
    >>> t_in.to(u.h), t_tot.to(u.h)
    (<Quantity 1. h>, <Quantity 1.75 h>)
    """
    b = offset * ratio
    require(b < ratio - 1, "so far from the middle the Moon is never completely in the shadow")
    unit_time = semidiameter / rate
    whole = np.sqrt((ratio + 1) ** 2 - b**2) * unit_time
    total = np.sqrt((ratio - 1) ** 2 - b**2) * unit_time
    return whole - total, 2 * total


def _require_totality(partial_phase, total_phase):
    require_positive(entry_time=partial_phase)
    require(
        total_phase > 0 * u.s,
        "the timing needs totality: without it the Moon never fitted into the shadow, and the "
        "times cannot show how large it is; measure a photograph instead",
    )
