"""What is cut out of a photograph for drawing."""

import numpy as np
import pytest
from PIL import Image

from moonreach.figures.photograph import cut

GREY = (np.arange(40 * 60).reshape(40, 60) // 10).astype(np.uint8)


@pytest.fixture(params=[8, 16])
def photograph(request, tmp_path):
    path = tmp_path / "grey.png"
    deep = GREY if request.param == 8 else GREY.astype(np.uint16) * 257
    Image.fromarray(deep).save(path)
    return path


def test_pictures_of_both_depths_are_cut_alike(photograph):
    pixels, limits = cut(photograph, (10, 5, 50, 25))
    assert limits.tolist() == [10, 50, 25, 5]
    assert np.abs(pixels[..., 0].astype(int) - GREY[5:25, 10:50]).max() <= 1
    whole, limits = cut(photograph, most=30)
    assert limits.tolist() == [0, 60, 40, 0] and whole.shape == (20, 30, 3)
