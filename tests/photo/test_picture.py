"""Reading pictures: every kind that a class hands in, and one sentence for what is none."""

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from skimage.color import rgb2xyz

from moonreach.photo import picture, read_picture
from moonreach.photo.picture import to_linear


def test_linear_light_as_scikit_image_has_it():
    # scikit-image: sRGB to XYZ, D65; Y of a grey is its linear light.
    grey = np.linspace(0, 1, 33)
    expected = rgb2xyz(np.repeat(grey[:, None], 3, axis=1)[None])[0, :, 1]
    assert np.allclose(to_linear(grey), expected, atol=1e-5)


GREY = np.tile(np.arange(0, 240, 4, dtype=np.uint8), (40, 1))


@pytest.mark.parametrize("mode", ["L", "RGB", "RGBA", "P", "LA", "1", "I;16"])
def test_every_kind_of_png(tmp_path, mode):
    image = Image.fromarray(GREY)
    if mode == "I;16":
        image = Image.fromarray(GREY.astype(np.uint16) * 257)
    else:
        image = image.convert("RGB").convert(mode)
    image.save(tmp_path / "a.png")
    light = read_picture(tmp_path / "a.png").light
    assert light.shape == GREY.shape
    if mode not in ("1", "P"):  # these keep but few greys
        assert np.allclose(light, to_linear(GREY / 255), atol=0.02)


def test_turned_upright(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6  # turn right by 90 degrees to show
    Image.fromarray(GREY).convert("RGB").save(tmp_path / "a.jpg", exif=exif, quality=98)
    light = read_picture(tmp_path / "a.jpg").light
    assert light.shape == GREY.T.shape
    assert np.allclose(light, to_linear(np.rot90(GREY, -1) / 255), atol=0.05)


def write(path, data):
    path.write_bytes(data)
    return path


def test_what_cannot_be_read(tmp_path):
    Image.fromarray(GREY).save(tmp_path / "whole.jpg")
    whole = (tmp_path / "whole.jpg").read_bytes()
    cases = [
        (tmp_path / "none.jpg", "no such file"),
        (write(tmp_path / "empty.jpg", b""), "no readable"),
        (write(tmp_path / "text.png", b"not a picture"), "no readable"),
        (write(tmp_path / "cut.jpg", whole[: len(whole) // 2]), "no readable"),
    ]
    Image.fromarray(GREY).save(tmp_path / "a.bmp")
    cases.append((tmp_path / "a.bmp", "BMP"))
    for path, words in cases:
        with pytest.raises(ValueError, match=words) as error:
            read_picture(path)
        assert str(error.value).startswith(path.name) and "\n" not in str(error.value)


@pytest.mark.parametrize("size", [(9000, 6000), (20000, 20000)])
def test_too_many_pixels(tmp_path, size):
    Image.new("1", size).save(tmp_path / "huge.png")
    with pytest.raises(ValueError, match="more than 50 megapixels"):
        read_picture(tmp_path / "huge.png")


def test_malformed_exif_data_do_no_harm(tmp_path):
    Image.fromarray(GREY).save(tmp_path / "a.jpg", exif=b"Exif\0\0no header of a TIFF file")
    picture = read_picture(tmp_path / "a.jpg")
    assert picture.light.shape == GREY.shape and not picture.rendered


def test_every_refusal_is_said_somewhere_and_none_is_missing():
    # The table beside the code holds what the code says, no more and no less.
    home = Path(picture.__file__).parent
    code = "\n".join(path.read_text(encoding="utf-8") for path in home.glob("*.py"))
    assert set(re.findall(r'REFUSALS\["(\w+)"\]', code)) == set(picture.REFUSALS)
