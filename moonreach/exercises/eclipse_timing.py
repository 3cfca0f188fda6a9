"""Exercises of lesson 2: from four contact times to the shadow ratio."""

from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.lessons import eclipse_timing
from moonreach.sheet.quantities import CONTACTS

_ALL = ("timing", "angle")


def _decimals(duration):
    """Return what 1 h 02 min comes to when it is taken for 1.02 hours, in minutes."""
    hours, minutes = divmod(duration.to_value(u.min), 60)
    return 60 * (hours + minutes / 100)


def _whole(r):
    return 2 * r.phases[0] + r.phases[1]


def _own_time(r):
    return (2 * r.semidiameter / r.rate).to(u.min)


def _chords(r, longer):
    """Return x when something else than the whole duration stands in the chord formula."""
    squares = longer**2 - r.phases[1] ** 2
    return (squares / (4 * _own_time(r) ** 2)).to_value(u.one)


# fmt: off
EXERCISES = (
    Exercise("partial_phase",
        "How long did the Moon take to enter the shadow, in minutes? (Take the mean of U1 to U2 "
        "and U3 to U4.)",
        u.min, ("contacts",), CONTACTS, lambda r: r.phases[0], "((U2 − U1) + (U4 − U3)) / 2", (
        Slip("minutes as decimal hours", lambda r: _decimals(r.phases[0]),
            "you read the minutes as hundredths of an hour", "an hour has 60 minutes, not 100"),
        Slip("sum for mean", lambda r: 2 * r.phases[0],
            "you add the entry to the exit", "the mean of the two is asked"),
        Slip("over midnight", lambda r: [r.phases[0].value - 720, 720 - r.phases[0].value,
                                         r.phases[0].value - 1440, 1440 - r.phases[0].value],
            "you subtract clock times across midnight",
            "at midnight the clock starts again from 0"),
        Slip("total phase for partial phase", lambda r: r.phases[1],
            "you take the time from U2 to U3", "is the Moon still entering then?"),
    )),
    Exercise("total_phase",
        "How long was the Moon wholly in the shadow, in minutes?",
        u.min, ("contacts",), CONTACTS[1:3], lambda r: r.phases[1], "U3 − U2", (
        Slip("minutes as decimal hours", lambda r: _decimals(r.phases[1]),
            "you read the minutes as hundredths of an hour", "an hour has 60 minutes, not 100"),
        Slip("whole duration", lambda r: _whole(r),
            "you count from U1 to U4", "part of the Moon was still outside just after U1"),
        Slip("one partial phase included", lambda r: r.phases[0] + r.phases[1],
            "you count the entry or the exit too", "when was the last bit of the Moon covered?"),
        Slip("over midnight", lambda r: [r.phases[1].value - 1440, 1440 - r.phases[1].value],
            "you subtract clock times across midnight",
            "at midnight the clock starts again from 0"),
    )),
    Exercise("ratio_middle",
        "If the Moon had passed through the middle of the shadow: how many Moons wide would the "
        "shadow be?",
        u.one, ("timing",), ("partial_phase", "total_phase"),
        lambda r: eclipse_timing.ratio_through_middle(*r.phases), "1 + total / partial phase", (
        Slip("forgot the one", lambda r: r.phases[1] / r.phases[0],
            "you divide the total by the partial phase and stop there",
            "until U2 the Moon has already moved in by one Moon"),
        Slip("ratio upside down", lambda r: 1 + r.phases[0] / r.phases[1],
            "you divide the partial by the total phase",
            "the time for one Moon is the unit, so it goes below"),
        Slip("whole duration", lambda r: _whole(r) / r.phases[0],
            "you divide the whole duration by the partial phase",
            "from U1 to U4 the Moon moves by the shadow's width and one Moon more"),
        Slip("both partial phases", lambda r: 1 + r.phases[1] / (2 * r.phases[0]),
            "you take entry and exit together for the time of one Moon",
            "how far does the Moon move from U1 to U2?"),
    )),
    Exercise("own_diameter_time",
        "How long does the Moon need to move by its own diameter, in minutes?",
        u.min, _ALL, ("semidiameter", "rate"), _own_time, "2 × semidiameter / rate", (
        Slip("radius for diameter", lambda r: _own_time(r) / 2,
            "you take the semidiameter for the diameter", "its own diameter is how many of them?"),
        Slip("arcminutes for degrees", lambda r: _own_time(r) * 60,
            "you take the Moon's arcminutes for degrees", "one degree has 60 arcminutes"),
        Slip("ratio upside down", lambda r: (r.rate / (2 * r.semidiameter)).to_value(1 / u.h),
            "you divide the rate by the way", "does a faster Moon need longer?"),
        Slip("hours for minutes", lambda r: _own_time(r).to_value(u.h),
            "your number is in hours", "minutes are asked"),
    )),
    Exercise("ratio_off_centre",
        "By the path formula, good for every path: how many Moons wide was the shadow?",
        u.one, _ALL, ("partial_phase", "total_phase", "own_diameter_time"),
        lambda r: eclipse_timing.ratio_off_centre(*r.phases, r.semidiameter, r.rate),
        "partial × (partial + total) / (own-diameter time)²", (
        Slip("through-middle formula", lambda r: eclipse_timing.ratio_through_middle(*r.phases),
            "the Moon passes through the middle",
            "it entered aslant, so the partial phase is longer than the time for one Moon"),
        Slip("radius for diameter",
            lambda r: 4 * r.phases[0] * (r.phases[0] + r.phases[1]) / _own_time(r) ** 2,
            "you take the time for the semidiameter", "the formula counts in whole Moons"),
        Slip("forgot the square",
            lambda r: (r.phases[0] * (r.phases[0] + r.phases[1]) / _own_time(r)).to_value(u.min),
            "you divide by the own-diameter time once", "it enters squared, as both chords do"),
        Slip("partial phase for whole duration",
            lambda r: [_chords(r, r.phases[0]), _chords(r, r.phases[0] + r.phases[1])],
            "something shorter than U1 to U4 stands for the whole duration",
            "the long chord runs from the first touch to the last"),
    )),
)
