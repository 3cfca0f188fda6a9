"""The exercise that closes a lesson: how far is your result from today's, in per cent?"""

from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip


def error_exercise(key, question, needs, shows, of_today, within):
    """Return the exercise on a result's error against today's value, with its slips.

    Parameters: key, question, needs, shows and tolerance as `Exercise` takes them, and the
    function from readings to the result over today's value.
    """
    return Exercise(key, question, u.percent, needs, shows, lambda r: 100 * (of_today(r) - 1),
        "(yours − today's) / today's × 100", (
        Slip("ratio for difference", lambda r: 100 * of_today(r),
            "you give your value in per cent of today's", "how far from 100 per cent is it?"),
        Slip("sign", lambda r: 100 * (1 - of_today(r)),
            "you subtract your value from today's", "too large counts as plus"),
        Slip("percentage the wrong way round", lambda r: 100 * (1 - 1 / of_today(r)),
            "you divide by your own value", "per cent of which of the two is asked?"),
        Slip("fraction for per cent", lambda r: of_today(r) - 1,
            "you give the fraction", "per cent means of a hundred"),
    ), within=within)  # fmt: skip
