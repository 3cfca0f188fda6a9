"""An exercise's question as text, with the readings it stands on."""

from astropy import units as u

from moonreach.exercises.checking import in_unit, shown

# Results of other lessons that a question may stand on: in words, what it is, and its unit.
_BROUGHT = {
    "ratio": ("shadow ratio (lesson 2)", lambda r: r.ratio, u.one),
    "angle": ("the Moon's angle from where you stood (lesson 4)", lambda r: r.angle, u.arcmin),
    "semidiameter": (
        "the Moon's semidiameter from Earth's centre (lesson 4)",
        lambda r: r.semidiameter,
        u.arcmin,
    ),
    "rate": ("the Moon's rate against the shadow", lambda r: r.rate, u.deg / u.h),
    "least_elongation": (
        "the least elongation that your interval allows",
        lambda r: r.least_elongation,
        u.deg,
    ),
    "cone_ratio": ("shadow ratio (lesson 2, or 2.7)", lambda r: r.cone_ratio, u.one),
    "sun_wide": ("the Sun's angular diameter", lambda r: r.sun_angle, u.arcmin),
    "earth": ("Earth's diameter (lesson 1, or today's)", lambda r: r.earth, u.km),
}


def givens(exercise, readings, lessons, settled):
    """Return in words what an exercise stands on, one text for each reading or earlier result.

    Parameters: an exercise, the `Readings`, the exercises of each lesson, and a function from an
    exercise's key to whether its answer may be told. The answers of the same lesson are told only
    then; those of other lessons always, as nothing could be asked without them.
    """
    lesson = next(known for known in lessons.values() if exercise in known)
    earlier = {step.key: step for known in lessons.values() for step in known}
    texts = []
    for name in exercise.shows:
        step = earlier.get(name)
        if name in _BROUGHT:
            words, value, unit = _BROUGHT[name]
            texts.append(f"{words} {shown(in_unit(value(readings), unit), unit)}")
        elif step and not readings.lacks(step.needs):
            words = name.replace("_", " ")
            if step in lesson and not settled(name):
                texts.append(f"your answer to {name!r}")
            else:
                value = in_unit(step.answer(readings), step.unit)
                texts.append(f"{words} {shown(value, step.unit)}")
        elif name in readings or name in readings.words:
            texts.append(f"{name.replace('_', ' ')} {readings.text(name)}")
    return texts
