"""The ground's pattern: an unknown with as many numbers as nodes, each of unit variance.

It is a Gaussian process with the covariance a^2 exp(-d / length), which allows shores. It knows
nothing of the real Moon's face.
"""

import numpy as np

SPREAD = 0.25  # standard deviation of the logarithm of the ground's brightness
LENGTH = 0.45  # radii of the Moon over which it changes
SPACING = 0.2  # of the nodes, radii of the Moon


def covariance(a, b, spread=SPREAD, length=LENGTH):
    """Return the covariance of a random pattern between two sets of places x + iy."""
    return spread**2 * np.exp(-np.abs(a[:, None] - b) / length)


_STEPS = np.arange(-12, 13)
NODES = SPACING * (_STEPS[:, None] + _STEPS * np.exp(1j * np.pi / 3)).ravel()  # of triangles
NODES = NODES[np.abs(NODES) < 1.06]
_WHITEN = np.linalg.inv(np.linalg.cholesky(covariance(NODES, NODES))).T


def pattern(patches, turn):
    """Return the matrix, patches x nodes, that turns unit-variance unknowns into log brightness.

    Parameters: `Patches`, and the angle (radians) by which their picture is turned.
    """
    return covariance(patches.place * np.exp(-1j * turn), NODES) @ _WHITEN
