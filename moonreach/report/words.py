"""What to say of each input of a result: its name, what would improve it, what to think about."""

# Input, without its place or number: in words, advice to the teacher, question to the group.
KINDS = {
    "gnomon_height": (
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
    "north_south_distance": (
        "distance between the two places",
        "take the distance between the places from their latitudes on a map instead of a road",
        "How did you find the distance between the two places, and what does a bend in the road "
        "do to it?",
    ),
    "road_distance": (
        "road between the two places",
        "take the straight distance between the places from a map instead of a road",
        "How much longer than the straight line is the way you measured?",
    ),
    "road_bearing": (
        "bearing of the road",
        "take the bearing between the places from a map, and choose places due north and south",
        "Which part of your road runs north and south, and why does only that part count?",
    ),
    "umbral_contact": (
        "contact times",
        "put two observers on each contact, who write their times without a word to each other",
        "The shadow's edge is soft: at which moment did you say 'now', and would your neighbour "
        "have said it a minute later?",
    ),
    "partial_phase": (
        "partial phase",
        "note all four contacts to the second instead of the phases",
        "How long did you hesitate before you called the Moon wholly covered?",
    ),
    "total_phase": (
        "total phase",
        "note all four contacts to the second instead of the phases",
        "How long did you hesitate before you saw the first light return?",
    ),
    "photo_shadow_radius": (
        "shadow's circle on the photograph",
        "fit the shadow's circle on a photograph that shows a long piece of its edge, and let "
        "three students do it apart from each other",
        "You saw only a piece of the shadow's edge: how much larger or smaller a circle would "
        "have fitted as well?",
    ),
    "photo_moon_radius": (
        "Moon's circle on the photograph",
        "fit the Moon's circle on a sharper or larger photograph",
        "Where on the photograph does the Moon's rim end and its glare begin?",
    ),
    "disc_diameter": (
        "disc's diameter",
        "measure every disc across in three directions with a calliper",
        "Is your disc round? Measure it across in three directions: what does that do to your "
        "interval?",
    ),
    "hole_diameter": (
        "sight hole",
        "take both the vanish and the rim reading, so that the hole drops out",
        "If your hole were twice as wide, would the Moon vanish nearer to it or farther off?",
    ),
    "hole_diameter (not given)": (
        "sight hole, which was not measured",
        "measure the sight hole with a drill's shank that fits it, or take both readings",
        "You did not measure the sight hole: which second reading makes it drop out?",
    ),
    "vanish_distance": (
        "vanish distances",
        "let every group take the vanish reading ten times, by turns, without reading aloud",
        "The Moon vanished a little elsewhere each time: what changed, the Moon, the rod or the "
        "eye?",
    ),
    "rim_distance": (
        "rim distances",
        "let every group take the rim reading ten times, by turns, without reading aloud",
        "How did you make sure that the rim showed all round, and not at one side first?",
    ),
    "moon_altitude": (
        "Moon's altitude",
        "measure the Moon's altitude with a protractor and a plumb line",
        "Why is the Moon farther from Earth's centre than from you, and when is it not?",
    ),
    "moon_altitude (not given)": (
        "Moon's altitude, which was not noted",
        "let every group note the Moon's altitude; a fist at arm's length, about 10 degrees, "
        "will do",
        "How high did the Moon stand when you sighted it, counted in fists at arm's length?",
    ),
    "assumption_cone": (
        "cone argument (equal discs, distant Sun)",
        "more readings will not help: do the cone once more with the Sun's and the Moon's own "
        "discs (lesson 3) and show what it changes",
        "Which step of the shadow cone is only nearly true, and does it make the Moon too near "
        "or too far?",
    ),
    "assumption_cone_and_rate": (
        "cone argument and the Moon's rate",
        "more readings will not help: compare the Moon's rate of that night with the mean one "
        "(lesson 2) and show what it changes",
        "A near Moon looks larger and also runs faster: how did you use that, and how exactly "
        "does it hold?",
    ),
    "assumption_moon_rate": (
        "Moon's rate from its size",
        "more readings will not help: compare the Moon's rate of that night with the mean one",
        "How do you know how fast the Moon moved that night?",
    ),
    "assumption_sharp_edge": (
        "place of the shadow's soft edge",
        "more readings of the same kind will not help: agree beforehand, on a picture, what "
        "counts as the shadow's edge, and compare the timing with a photograph",
        "Where does the shadow end, if its edge is soft? Would a whole class that looks too far "
        "out find the Moon too near or too far?",
    ),
}
LACKING = "What is still missing before this chain reaches the Moon, and can another night give it?"


def kind_of(name):
    """Return the kind of an input: its name without its place or number.

    >>> kind_of("north_shadow_length"), kind_of("umbral_contact_3")
    ('shadow_length', 'umbral_contact')
    """
    if name.startswith("umbral_contact"):
        return "umbral_contact"
    plain = name.removeprefix("north_").removeprefix("south_")
    return plain if plain in KINDS else name
