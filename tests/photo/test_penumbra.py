"""The penumbra's light curve: against the exact area of two discs and a published law."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moonreach.photo.penumbra import LIMB_DARKENING, sunlight


def lens(distance, a, b):
    """Area common to two discs of radii a and b (plane geometry, as in any handbook)."""
    if distance >= a + b:
        return 0.0
    if distance <= abs(a - b):
        return np.pi * min(a, b) ** 2
    x = (distance**2 + a**2 - b**2) / (2 * distance)
    y = distance - x
    return (
        a**2 * np.arccos(x / a)
        - x * np.sqrt(a**2 - x**2)
        + b**2 * np.arccos(y / b)
        - y * np.sqrt(b**2 - y**2)
    )


@given(ratio=st.floats(1.6, 4.5), sun=st.floats(0.9, 1.13), share=st.floats(0, 1))
def test_even_disc_is_the_exact_area(ratio, sun, share):
    distance = ratio - 0.2 + share * (2 * sun + 0.4)
    exact = 1 - lens(distance, ratio + sun, sun) / (np.pi * sun**2)
    assert sunlight(distance, ratio, sun, (1,)) == pytest.approx(exact, abs=1e-3)


def test_limb_darkening_as_published():
    # Neckel and Labs 1994 coefficients sum to 1; mean over the disc 2 sum a_i / (i + 2) is near
    # 0.8 in green light (Allen's Astrophysical Quantities, from memory).
    assert sum(LIMB_DARKENING) == pytest.approx(1)
    assert 0.78 < 2 * sum(a / (i + 2) for i, a in enumerate(LIMB_DARKENING)) < 0.83
    # A limb-darkened Sun sends less than its share from its rim: darker near the umbra's edge.
    assert sunlight(2.8, 2.7) < 0.8 * sunlight(2.8, 2.7, limb_darkening=(1,))


def test_linear_law_by_quadrature():
    # I = 1 - u (1 - mu), u = 0.6: brute-force sum over a fine grid of the Sun's disc.
    line = (np.arange(800) + 0.5) / 400 - 1
    x, y = np.meshgrid(line, line)
    on = x**2 + y**2 < 1
    bright = on * (1 - 0.6 * (1 - np.sqrt(np.clip(1 - x**2 - y**2, 0, 1))))
    for distance in (3.0, 3.7, 4.4):
        out = np.hypot(x - distance, y) > 3.7
        expected = (bright * out).sum() / bright.sum()
        assert sunlight(distance, 2.7, 1.0, (0.4, 0.6)) == pytest.approx(expected, abs=2e-3)


def test_limits_and_order():
    light = sunlight(np.linspace(0, 6, 500), 2.7, 1.02)
    assert np.all(np.diff(light) >= -1e-12)
    assert light[0] == pytest.approx(0) and light[-1] == pytest.approx(1)
    assert sunlight(2.7, 2.7) == pytest.approx(0, abs=1e-9)
    assert sunlight(2.7 + 2 * 1.03, 2.7) == pytest.approx(1, abs=1e-9)
