"""Discs to draw, and how much of one disc another covers."""

import numpy as np


def disc(x, y, radius):
    """Return the outline of a disc as rows of x and y.

    >>> disc(0, 0, 2).shape
    (73, 2)
    """
    turn = np.linspace(0, 2 * np.pi, 73)
    return np.column_stack([x + radius * np.cos(turn), y + radius * np.sin(turn)])


def covered_fraction(radius, other_radius, separation):
    """Return the fraction of a disc that another disc covers.

    Parameters: the radius of the disc, of the one before it, and the distance of their centres,
    all in one unit; numbers or arrays. Returns a number from 0 to 1.
    Source: plane trigonometry, the two circular segments on either side of the common chord.

    >>> float(covered_fraction(1.0, 2.0, 0.5)), float(covered_fraction(1.0, 2.0, 3.5))
    (1.0, 0.0)
    """
    # Between touching outside and touching inside; beyond either the answer stays as it is there.
    d = np.clip(separation, abs(other_radius - radius) + 1e-12, radius + other_radius)
    near = np.clip((d**2 + radius**2 - other_radius**2) / (2 * d * radius), -1, 1)
    far = np.clip((d**2 + other_radius**2 - radius**2) / (2 * d * other_radius), -1, 1)

    def segment(size, cosine):
        return size**2 * (np.arccos(cosine) - cosine * np.sqrt(1 - cosine**2))

    return (segment(radius, near) + segment(other_radius, far)) / (np.pi * radius**2)
