"""Shapes to draw, as rows of x and y, and how much of one disc another covers."""

import numpy as np


def outwards(turn):
    """Return directions, rows of x and y of length 1, turned from the right upwards.

    Parameters: an angle in rad, or several.
    """
    return np.stack([np.cos(turn), np.sin(turn)], axis=-1)


def arc(start, end, middle=(0, 0), radius=1, steps=61):
    """Return an arc between two directions, in rad, about a middle."""
    return middle + radius * outwards(np.linspace(start, end, steps))


def disc(x, y, radius):
    """Return the outline of a disc.

    >>> disc(0, 0, 2).shape
    (73, 2)
    """
    return arc(0, 2 * np.pi, (x, y), radius, 73)


def box(left, low, right, high):
    """Return the outline of a rectangle, which ends where it began."""
    return [(left, low), (right, low), (right, high), (left, high), (left, low)]


def rows(x, y):
    """Return rows of x and y; one of them may be the same in all rows.

    >>> rows(1, [2, 3]).tolist()
    [[1, 2], [1, 3]]
    """
    return np.column_stack(np.broadcast_arrays(x, y))


def strokes(begins, ends):
    """Return straight strokes between rows of points, of which one side may be a single point.

    >>> strokes((0, 0), [(1, 0), (1, 1)]).shape
    (5, 2)
    """
    return joined(*zip(*np.broadcast_arrays(begins, ends), strict=True))


def joined(*shapes):
    """Return several strokes or outlines as one line with gaps between.

    >>> joined([(0, 0), (1, 0)], [(0, 1), (1, 1)]).shape
    (5, 2)
    """
    gap = [(np.nan, np.nan)]
    rows = [part for shape in shapes for part in (np.reshape(shape, (-1, 2)), gap)]
    return np.vstack(rows[:-1])


def both_sides(y, *shapes):
    """Return shapes, whose heights count from an axis at height y, on both sides of it."""
    sides = [np.array(shape) * (1, side) + (0, y) for shape in shapes for side in (1, -1)]
    return joined(*sides)


def overlap(*discs):
    """Return the outline of what two discs, each given as (x, y, radius), have in common.

    >>> bool(np.isnan(overlap((0, 0, 1), (3, 0, 1))).all())
    True
    """
    edges = [arc(0, 2 * np.pi, (x, y), radius, 361) for x, y, radius in discs]
    within = [
        edge[np.hypot(*(edge - (x, y)).T) <= radius]
        for edge, (x, y, radius) in zip(edges, discs[::-1], strict=True)
    ]
    shared = np.vstack(within)
    if len(shared) < 3:
        return np.full((3, 2), np.nan)
    aside = shared - shared.mean(axis=0)  # it bulges everywhere, so the turn gives the order
    return shared[np.argsort(np.arctan2(aside[:, 1], aside[:, 0]))]


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
