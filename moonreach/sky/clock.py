"""Instants: from what a reader writes to uniform time and back, with no table ever fetched.

Uniform time (TT) drives the Sun and the Moon; clocks show UTC. Between them stand, in this
module, ERFA's built-in leap seconds from 1972 on and, before, the polynomials of Espenak and
Meeus (2006, NASA/TP-2006-214141). No leap second is known after the last one in ERFA's table: UTC
is taken to keep its present distance from TT, and `clock_note` says so where it matters.

Inside `sky` an instant is a float: days of TT since J2000.0 (2000 January 1, 12h TT).
"""

from datetime import UTC, datetime

import erfa
import numpy as np

from moonreach.lessons.refuse import require

J2000 = 2451545.0
FIRST_YEAR, LAST_YEAR = 1900, 2100
TT_MINUS_TAI = 32.184
_NOON_2000 = np.datetime64("2000-01-01T12:00", "us")
_DAY_US = 86_400e6
# Espenak and Meeus 2006: from year, before year, origin of the series, coefficients in seconds.
_DELTA_T = (
    (1899, 1920, 1900, (-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197)),
    (1920, 1941, 1920, (21.20, 0.84493, -0.076100, 0.0020936)),
    (1941, 1961, 1950, (29.07, 0.407, -1 / 233, 1 / 2547)),
    (1961, 1972, 1975, (45.45, 1.067, -1 / 260, -1 / 718)),
)


def delta_t(ut_days):
    """Return TT - UTC in seconds (before 1972: TT - UT) for days of UT since J2000.0.

    >>> float(delta_t(9000.0)), round(float(delta_t(-18262.5)), 1)
    (69.184, 29.1)
    """
    ut_days = np.asarray(ut_days, float)
    # The inner calls: their status only says that a year lies far beyond the last leap second.
    *date, _ = erfa.ufunc.jd2cal(J2000, ut_days)
    seconds = erfa.ufunc.dat(*date)[0] + TT_MINUS_TAI
    for first, after, origin, series in _DELTA_T:
        there = (date[0] >= first) & (date[0] < after)
        year = 2000 + ut_days / 365.25 - origin
        seconds = np.where(there, np.polynomial.polynomial.polyval(year, series), seconds)
    return seconds


def days_of(time):
    """Return days of TT since J2000.0 for a `datetime`, `datetime64` or ISO 8601 text, or several.

    Instants without a time zone are UTC. Raises ValueError outside the years 1900 to 2100 and
    for text that is no ISO 8601 date.
    """
    if isinstance(time, str):
        try:
            time = datetime.fromisoformat(time)
        except ValueError:
            raise ValueError(f"{time!r} is no date: write 2029-06-26 or 2029-06-26T03:22") from None
    if isinstance(time, datetime) and time.tzinfo is not None:
        time = time.astimezone(UTC).replace(tzinfo=None)
    stamps = np.asarray(time, "M8[us]")
    require(~np.isnat(stamps), "an instant is missing (NaT)")
    utc = (stamps - _NOON_2000) / np.timedelta64(1, "D")
    years = 2000 + np.ravel(utc) / 365.2425
    outside = years[(years < FIRST_YEAR - 0.01) | (years > LAST_YEAR + 1.02)]
    if outside.size:
        raise ValueError(
            f"a date in {int(outside[0])} lies outside {FIRST_YEAR} to {LAST_YEAR}, the years for "
            "which the Sun's and the Moon's places are known here"
        )
    return utc + delta_t(utc) / 86_400


def utc_of(days):
    """Return the UTC instants, as datetime64 in milliseconds, of days of TT since J2000.0."""
    missing = np.isnan(days)
    days = np.where(missing, 0.0, days)
    utc = days - delta_t(days - 70 / 86_400) / 86_400
    whole = np.round(utc * _DAY_US).astype("m8[us]")
    stamps = (_NOON_2000 + whole + np.timedelta64(500, "us")).astype("M8[ms]")
    return np.where(missing, np.datetime64("NaT", "ms"), stamps)[()]


def clock_note(last):
    """Return one sentence on the clocks of far dates, or None where there is nothing to say.

    `last` is the last instant spoken of, a datetime64 in UTC.
    """
    year = int(np.datetime64(last, "Y").astype(int)) + 1970
    if year < 2050:  # Espenak and Meeus 2006, the forecast of TT - UT
        forecast = 62.92 + 0.32217 * (year - 2000) + 0.005589 * (year - 2000) ** 2
    else:
        forecast = -20 + 32 * ((year - 1820) / 100) ** 2 - 0.5628 * (2150 - year)
    seconds = round(forecast - float(delta_t((year - 2000) * 365.25)), -1)
    if seconds < 30:  # less than half of the minute to which a plan tells its times
        return None
    return (
        f"Leap seconds to come are unknown: clock times of {year} may be off by about "
        f"{seconds:.0f} seconds."
    )
