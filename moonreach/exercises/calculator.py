"""A line of arithmetic as a student types it into an answer box, worked out without `eval`."""

import ast
import math
import operator
import re
from collections.abc import Callable

from moonreach.lessons.refuse import Impossible

_LONGEST = 100  # letters; a line of arithmetic that a box shows whole
_SIGNS = {"×": "*", "·": "*", "÷": "/", ":": "/", "^": "**", "−": "-", "–": "-", "π": "pi"}
_SIGNS |= {"√": "sqrt", "²": "**2", "³": "**3", "\u00a0": " ", "\u202f": " "}
# The power is one of floats: it overflows at once, where whole numbers would fill memory.
_DO = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.UAdd: operator.pos,
    ast.USub: operator.neg,
    ast.Pow: lambda base, power: math.pow(base, power) if isinstance(base, float) else base**power,
}
_NAMES = {"pi": math.pi}
_FUNCTIONS = {
    "sqrt": math.sqrt,
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "tan": lambda angle: math.tan(math.radians(angle)),
    "asin": lambda ratio: math.degrees(math.asin(ratio)),
    "acos": lambda ratio: math.degrees(math.acos(ratio)),
    "atan": lambda ratio: math.degrees(math.atan(ratio)),
}


def worked_out(text: str) -> float:
    """Return what a line such as ``360/7,2`` or ``atan(76.9/96.3)`` comes to.

    Angles are in degrees. Decimal commas and points are both read, and so are ×, ÷, π, √ and °.
    Raises `Impossible` for what is no such line, or has no result.

    >>> round(worked_out("2 × atan(1/2)"), 2), worked_out("360° : 7,2")
    (53.13, 50.0)
    """
    plain = text.strip().casefold().replace("arc", "a")  # arctan and atan are one
    for sign, meant in _SIGNS.items():
        plain = plain.replace(sign, meant)
    plain = re.sub(r"(?<=[0-9)])\s*°", "", plain)
    plain = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", plain)
    plain = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", plain)
    unread = Impossible(
        f"Found {text[:40]!r}; accepted is a number, or a calculation such as 360/7.2 or atan(1/3)"
    )
    if len(plain) > _LONGEST:
        raise unread
    try:
        body = ast.parse(plain, mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise unread from None
    try:
        value = value_of(body, _NAMES.__getitem__, _FUNCTIONS.__getitem__)
    except ZeroDivisionError:
        raise Impossible(f"{text[:40]!r} divides by zero") from None
    except (ArithmeticError, ValueError):
        value = math.nan
    except (TypeError, KeyError, RecursionError):
        raise unread from None
    if not math.isfinite(value):
        raise Impossible(f"{text[:40]!r} has no result")
    return value


def value_of(node: ast.expr, named: Callable, function: Callable) -> object:
    """Return the value of a branch of the line; KeyError or TypeError for what is no arithmetic.

    Parameters: the branch; what returns the value of a name, and the function of one.
    """
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return float(number)
        case ast.Name(id=name):
            return named(name)
        case ast.UnaryOp():
            return _DO[type(node.op)](value_of(node.operand, named, function))
        case ast.BinOp():
            sides = (value_of(side, named, function) for side in (node.left, node.right))
            return _DO[type(node.op)](*sides)
        case ast.Call(func=ast.Name(id=name), keywords=[]):
            return function(name)(*(value_of(one, named, function) for one in node.args))
    raise TypeError(node)
