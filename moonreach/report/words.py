"""What to say of each input of a result: its name, what would improve it, what to think about."""

import re

# Kind of input, as a pattern in its name: in words, advice to the teacher, question to the group.
KINDS = {
    "photo": (
        "photograph's circles",
        "fit the circles on a photograph that shows a long piece of the shadow's edge, and let "
        "three students do it apart from each other",
        "You saw only a piece of the shadow's edge: how much larger or smaller a circle would "
        "have fitted as well?",
    ),
    "gnomon": (
        "gnomon heights",
        "stand every gnomon upright with a plumb line and measure it again with a steel rule",
        "How far would the end of the shadow move if your gnomon leant over by one degree?",
    ),
    "shadow_length": (
        "noon shadows",
        "mark the shadow's end every few minutes around noon, ten marks a place, always at the "
        "middle of the blur",
        "Your shadow's end is a blur some centimetres wide: which point of it did you read, and "
        "did the other place read the same?",
    ),
    "north_south|road": (
        "distance between the two places",
        "take the distance between the places from their latitudes on a map instead of a road",
        "How did you find the distance between the two places, and what does a bend in the road "
        "do to it?",
    ),
    "contact|phase": (
        "contact times",
        "put two observers on each contact, who write their times without a word to each other",
        "The shadow's edge is soft: at which moment did you say 'now', and would your neighbour "
        "have said it a minute later?",
    ),
    "disc": (
        "disc's diameter",
        "measure every disc across in three directions with a calliper",
        "Is your disc round? Measure it across in three directions: what does that do to your "
        "interval?",
    ),
    "hole": (
        "sight hole",
        "take both the vanish and the rim reading, so that the hole drops out",
        "If your hole were twice as wide, would the Moon vanish nearer to it or farther off?",
    ),
    "vanish|rim": (
        "rod readings",
        "let every group take each reading of the rod ten times, by turns, without reading aloud",
        "The Moon vanished a little elsewhere each time: what changed, the Moon, the rod or the "
        "eye?",
    ),
    "altitude": (
        "Moon's altitude",
        "let every group note the Moon's altitude; a fist at arm's length is about 10 degrees",
        "Why is the Moon farther from Earth's centre than from you, and when is it not?",
    ),
    "cone": (
        "cone argument (equal discs, distant Sun)",
        "more readings will not help: do the cone once more with the Sun's and the Moon's own "
        "discs (lesson 3) and show what it changes",
        "Which step of the shadow cone is only nearly true, and does it make the Moon too near "
        "or too far?",
    ),
    "edge": (
        "place of the shadow's soft edge",
        "more readings of the same kind will not help: agree beforehand, on a picture, what "
        "counts as the shadow's edge, and compare the timing with a photograph",
        "Where does the shadow end, if its edge is soft? Would a whole class that looks too far "
        "out find the Moon too near or too far?",
    ),
    "rate": (
        "Moon's rate from its size",
        "more readings will not help: compare the Moon's rate of that night with the mean one",
        "How do you know how fast the Moon moved that night?",
    ),
}
ASSUMED = ("cone", "edge", "rate")  # which no reading mends
LACKING = "What is still missing before this chain reaches the Moon, and can another night give it?"


def kind_of(name):
    """Return the kind of an input, a key of `KINDS`.

    >>> kind_of("north_shadow_length"), kind_of("umbral_contact_3")
    ('shadow_length', 'contact|phase')
    """
    return next(kind for kind in KINDS if re.search(kind, name))
