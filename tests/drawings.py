"""All drawings, the ends of their sliders, and the words they show."""

from moonreach.figures.earth_size import EarthCosts, NearSun, TwoGnomons
from moonreach.figures.eclipse_timing import MoonPath, PathCost, TwoTriangles
from moonreach.figures.half_moon_face import HalfMoonFace
from moonreach.figures.moon_distance import WholeChain
from moonreach.figures.other_ways import BeforeTheStars, EclipseFromTwoPlaces, TwoPlaces
from moonreach.figures.shadow_cone import ConeCosts, Cones, DiscShadow, MoonHalves
from moonreach.figures.sighting_angle import HoleCost, Rod
from moonreach.figures.sun_distance import HalfMoonCalls, HalfMoonTriangle
from moonreach.figures.to_scale import HowFar, ToScale

ALL = (
    TwoGnomons,
    EarthCosts,
    NearSun,
    MoonPath,
    PathCost,
    DiscShadow,
    TwoTriangles,
    Cones,
    ConeCosts,
    MoonHalves,
    Rod,
    HoleCost,
    HowFar,
    WholeChain,
    ToScale,
    HalfMoonTriangle,
    HalfMoonCalls,
    HalfMoonFace,
    EclipseFromTwoPlaces,
    BeforeTheStars,
    TwoPlaces,
)


def ends(slider):
    middle = (slider.least * slider.greatest) ** 0.5 if slider.log else None
    return slider.least, middle or (slider.least + slider.greatest) / 2, slider.greatest


def corners(drawing):
    """Return values with all sliders at their ends: all low, all high, and in turns."""
    for pattern in ((0, 0), (1, 1), (0, 1), (1, 0)):
        yield {
            slider.name: (slider.least, slider.greatest)[pattern[i % 2]]
            for i, slider in enumerate(drawing.sliders)
        }


def words(drawing):
    """Return all words of a drawing, those that stand still and those that move."""
    texts = list(drawing.figure.texts)
    for axes in drawing.figure.axes:
        texts += axes.texts
    return [text.get_text() for text in texts if text.get_visible() and text.get_text()]


def shown(drawing, **values):
    drawing.set(**values)
    return " | ".join(words(drawing)).replace("\u2009", "").replace("−", "-")
