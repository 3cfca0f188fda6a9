"""Exercises of lesson 2: from four contact times to the shadow ratio."""

from astropy import units as u

from moonreach.exercises.asked import exercises_of
from moonreach.lessons import eclipse_timing


def _decimals(duration):
    """Return what 1 h 02 min comes to when it is taken for 1.02 hours, in minutes."""
    hours, minutes = divmod(duration.to_value(u.min), 60)
    return 60 * (hours + minutes / 100)


def _phases(r):
    return r["entry_time"], r["totality"]


def _whole(r):
    return 2 * r["entry_time"] + r["totality"]


def _own_time(r):
    return (2 * r["semidiameter"] / r["rate"]).to(u.min)


def _chords(r, longer):
    """Return x when something else than the whole duration stands in the chord formula."""
    squares = longer**2 - r["totality"] ** 2
    return (squares / (4 * _own_time(r) ** 2)).to_value(u.one)


def _off_centre(r):
    return eclipse_timing.ratio_off_centre(*_phases(r), r["semidiameter"], r["rate"])


def _over_midnight(phase):
    """Return a phase in minutes from clock times of 24 or 12 hours, subtracted over midnight."""
    return lambda r: [sign * (r[phase].value - day) for day in (1440, 720) for sign in (1, -1)]


RIGHT = {
    "partial_phase": lambda r: r["entry_time"],
    "total_phase": lambda r: r["totality"],
    "ratio_middle": lambda r: eclipse_timing.ratio_through_middle(*_phases(r)),
    "own_diameter_time": _own_time,
    "ratio_off_centre": _off_centre,
}
WRONG = {
    "partial_phase": {
        "whole duration": _whole,
        "minutes as decimal hours": lambda r: _decimals(r["entry_time"]),
        "over midnight": _over_midnight("entry_time"),
        "total phase for partial phase": lambda r: r["totality"],
    },
    "total_phase": {
        "minutes as decimal hours": lambda r: _decimals(r["totality"]),
        "whole duration": _whole,
        "one partial phase included": lambda r: r["entry_time"] + r["totality"],
        "over midnight": _over_midnight("totality"),
    },
    "ratio_middle": {
        "entry over totality": lambda r: r["entry_time"] / r["totality"],
        "forgot the one": lambda r: r["totality"] / r["entry_time"],
        "ratio upside down": lambda r: 1 + r["entry_time"] / r["totality"],
        "whole duration": lambda r: _whole(r) / r["entry_time"],
        "both partial phases": lambda r: 1 + r["totality"] / (2 * r["entry_time"]),
    },
    "own_diameter_time": {
        "ratio upside down": lambda r: (r["rate"] / (2 * r["semidiameter"])).to_value(1 / u.h),
    },
    "ratio_off_centre": {
        "through-middle formula": lambda r: eclipse_timing.ratio_through_middle(*_phases(r)),
        "forgot the square": lambda r: _off_centre(r) * _own_time(r).to_value(u.min),
        "partial phase for whole duration": lambda r: [
            _chords(r, r["entry_time"]),
            _chords(r, r["entry_time"] + r["totality"]),
        ],
    },
}
EXERCISES = exercises_of("eclipse_timing", RIGHT, WRONG)
