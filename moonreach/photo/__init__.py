"""The eclipse photograph: circles by eye, by points and by machine, and the ratio they give.

`clicks` holds the circles that a person lays; `measure_photographs` fits a model of the shaded Moon
to pictures, each alone and all of one night together. Nothing here knows a lesson.
"""

from moonreach.photo.circle import Circle
from moonreach.photo.limb import find_moon
from moonreach.photo.measure import measure_photographs
from moonreach.photo.penumbra import visible_edge
from moonreach.photo.picture import read_picture

__all__ = ["Circle", "find_moon", "measure_photographs", "read_picture", "visible_edge"]
