"""The full Moons near a node, where alone a lunar eclipse can happen, and a finer Moon for them.

ERFA's `moon98` (Meeus, Astronomical Algorithms, ch. 47) leaves out terms below about 1", which
add up to 3" and 6 s of time. At a full Moon the elongation is 180 degrees, so that many of them
fold into few: the multiples below, of the Sun's and Moon's mean anomalies M and M', the Moon's
argument of latitude F, and the mean longitudes of Venus, Earth and Jupiter. Their amplitudes are
our own fit of moon98 to JPL's DE421 at the full Moons near a node of 1900-2000 and 2101-2199
(`tests/benchmarks/fit_full_moons.py`); 2001-2100 was kept aside, and there the error falls from
2.9" to 1.4" along the ecliptic and from 1.5" to 0.25" across it (standard deviations).
"""

import numpy as np

# Multiples of M, M', F, Venus, Earth, Jupiter; then the sine's and cosine's arcseconds to add.
# A cosine is fitted only where a planet pulls: the Sun alone gives sines.
LONGITUDE_TERMS = np.array(
    [
        (0, 1, 2, 0, 0, 0, -1.45, 0.00),
        (0, 2, 2, 0, 0, 0, 0.63, 0.00),
        (0, 0, 4, 0, 0, 0, -0.46, 0.00),
        (0, 3, 0, 0, 0, 0, -0.56, 0.00),
        (0, 4, 0, 0, 0, 0, -0.93, 0.00),
        (1, -1, 0, 0, 0, 0, -0.68, 0.00),
        (1, -2, 0, 0, 0, 0, -0.66, 0.00),
        (1, -3, 0, 0, 0, 0, -0.65, 0.00),
        (1, 2, 0, 0, 0, 0, -0.49, 0.00),
        (1, 3, -2, 0, 0, 0, -1.10, 0.00),
        (2, 0, 0, 0, 0, 0, -0.38, 0.00),
        (2, 2, 0, 0, 0, 0, -0.59, 0.00),
        (2, -1, 2, 0, 0, 0, -0.47, 0.00),
        (2, -2, -2, 0, 0, 0, -0.50, 0.00),
        (0, 0, 0, 1, -1, 0, -0.97, -0.01),
        (0, 0, 0, 3, -4, 0, -0.02, -0.19),
        (0, 0, 0, 0, 1, -1, 0.89, -0.04),
        (0, 1, 0, -8, 1, 0, 0.22, -0.62),
        (0, -2, 0, 10, -3, 0, -0.53, 0.63),
        (0, 0, 0, 18, -16, 0, 0.56, 0.44),
        (0, -2, 0, 18, -16, 0, 0.81, 0.20),
        (0, 1, 0, 0, 1, -1, 0.31, -0.02),
    ]
)
LATITUDE_TERMS = np.array(
    [
        (0, 0, 3, 0, 0, 0, -0.31, 0.00),
        (0, 1, 1, 0, 0, 0, -0.70, 0.00),
        (0, 2, 1, 0, 0, 0, -0.46, 0.00),
        (1, 0, 1, 0, 0, 0, -0.36, 0.00),
        (1, 1, 1, 0, 0, 0, -0.31, 0.00),
        (1, 1, -1, 0, 0, 0, -0.41, 0.00),
        (1, -1, -1, 0, 0, 0, -0.24, 0.00),
        (1, 2, 1, 0, 0, 0, -0.49, 0.00),
        (1, -2, -1, 0, 0, 0, -0.06, 0.00),
        (1, 3, 1, 0, 0, 0, -0.20, 0.00),
        (2, 0, -1, 0, 0, 0, -0.23, 0.00),
        (2, 1, 1, 0, 0, 0, -0.58, 0.00),
        (2, -1, -1, 0, 0, 0, -0.44, 0.00),
        (0, 3, -3, 0, 0, 0, -0.11, 0.00),
        (1, -2, 1, 0, 0, 0, -0.45, 0.00),
        (2, 1, -3, 0, 0, 0, -0.16, 0.00),
        (0, 0, 0, 0, 1, 0, 0.53, 0.08),
        (1, 2, -3, 0, 0, 0, -0.16, 0.00),
        (2, 2, 1, 0, 0, 0, -0.07, 0.00),
        (0, 0, 1, 0, 1, -1, 0.06, 0.00),
        (0, 0, 1, 2, -2, 0, 0.06, -0.02),
        (2, -1, 3, 0, 0, 0, -0.14, 0.00),
        (0, 1, 1, 0, -2, 2, 0.18, -0.10),
        (0, 0, 0, 10, -2, 0, -0.02, 0.11),
    ]
)
LONGITUDE_DRIFT = (0.17, -0.17)  # arcseconds at J2000.0, and per century


def near_a_node(first, last):
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


def arguments(days):
    """Return the six mean arguments in radians, shape (n, 6) (Meeus ch. 47; Simon et al. 1994)."""
    rates = [35999.0503, 477198.8675, 483202.0175, 58517.8157, 35999.3729, 3034.9057]
    start = [357.5291, 134.9634, 93.2721, 181.9798, 100.4664, 34.3515]
    return np.radians(np.multiply.outer(np.asarray(days) / 36525, rates) + start)


def corrections(days):
    """Return what to add to moon98, along and across the ecliptic, in radians."""
    angles = arguments(days)
    along, across = (
        np.sin(angles @ terms[:, :6].T) @ terms[:, 6]
        + np.cos(angles @ terms[:, :6].T) @ terms[:, 7]
        for terms in (LONGITUDE_TERMS, LATITUDE_TERMS)
    )
    along = along + LONGITUDE_DRIFT[0] + LONGITUDE_DRIFT[1] * np.asarray(days) / 36525
    return np.radians(along / 3600), np.radians(across / 3600)
