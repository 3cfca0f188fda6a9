"""The ground's pattern as an unknown: a smooth random surface over the disc, known in spread only.

A Gaussian process with the covariance a^2 exp(-d / length), which allows shores, written with as
many unknowns as nodes, each of unit variance. It knows nothing of the real Moon's face.
"""

import numpy as np
from scipy.spatial.distance import cdist

SPREAD = 0.25  # standard deviation of the logarithm of the ground's brightness
LENGTH = 0.45  # radii of the Moon over which it changes
SPACING = 0.15  # of the nodes, radii of the Moon


def _nodes():
    """Return nodes of a triangular lattice over the disc."""
    k = np.arange(-12, 13)
    i, j = np.meshgrid(k, k)
    points = SPACING * np.stack([(i + j / 2).ravel(), (j * np.sqrt(3) / 2).ravel()], axis=1)
    return points[np.hypot(*points.T) < 1.06]


def covariance(a, b, spread=SPREAD, length=LENGTH):
    """Return the covariance of a random pattern between two sets of points, n x 2 and m x 2."""
    return spread**2 * np.exp(-cdist(a, b) / length)


NODES = _nodes()
_WHITEN = np.linalg.inv(np.linalg.cholesky(covariance(NODES, NODES))).T


def pattern(x, y):
    """Return the matrix that turns unit-variance unknowns into log brightness at points.

    Parameters: ``x``, ``y`` in radii of the Moon on its face. Returns points x nodes.
    """
    return covariance(np.stack([x, y], axis=1), NODES) @ _WHITEN
