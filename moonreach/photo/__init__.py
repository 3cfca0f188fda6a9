"""The eclipse photograph: circles by eye, by points and by machine, and the ratio they give.

`fit_circle` serves points that a person marks; `measure_photographs` fits a model of the shaded
Moon to pictures, each alone and all of one night together. Nothing here knows a lesson.
"""

from moonreach.photo.circle_fit import CircleFit, fit_circle
from moonreach.photo.edge_by_eye import visible_edge
from moonreach.photo.limb import Moon, find_moon
from moonreach.photo.measure import (
    Interval,
    Measurement,
    Photograph,
    measure_one,
    measure_photographs,
)
from moonreach.photo.picture import Picture, read_picture
from moonreach.photo.shading import sunlight

__all__ = [
    "CircleFit",
    "Interval",
    "Measurement",
    "Moon",
    "Photograph",
    "Picture",
    "find_moon",
    "fit_circle",
    "measure_one",
    "measure_photographs",
    "read_picture",
    "sunlight",
    "visible_edge",
]
