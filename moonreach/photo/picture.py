"""Read a photograph: JPEG or PNG of any size to linear light, upright, with its time stamp."""

import warnings
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

LARGEST = 50_000_000  # pixels
MARK = "rendered, invented plains"  # in the description of every picture made by `rendered`
# Green for colour pictures: there the light inside the umbra, copper, is weak, and the Sun's limb
# darkening of `shading` is measured close to it.


@dataclass(frozen=True)
class Picture:
    """A photograph as linear light.

    light: height x width, 0 black to 1 white. redness: red over green of the bright parts.
    time: datetime of the exposure, or None. rendered: whether it is an invented practice picture.
    """

    file: str
    light: np.ndarray
    redness: float = 1.0
    time: datetime | None = None
    rendered: bool = False


def to_linear(encoded):
    """Return linear light, 0 to 1, of sRGB values 0 to 1 (IEC 61966-2-1).

    >>> to_linear(np.array([0.0, 0.5, 1.0])).round(4)
    array([0.   , 0.214, 1.   ])
    """
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def to_tone(light):
    """Return sRGB tones, 0 to 1, of linear light: the reverse of `to_linear`.

    >>> to_tone(np.array([0.0, 0.214, 2.0])).round(3)
    array([0. , 0.5, 1. ])
    """
    light = np.clip(light, 0, 1)
    return np.where(light < 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def read_picture(path):
    """Read a JPEG or PNG file as a `Picture`, turned upright as its EXIF data says.

    Parameters: ``path``. Errors: ``ValueError`` with one sentence for a file that is missing, no
    picture, cut short, or larger than 50 megapixels.
    """
    path = Path(path)
    if not path.is_file():
        raise ValueError(f"{path.name}: no such file")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the size is judged below
            with Image.open(path) as opened:
                if opened.format not in ("JPEG", "PNG", "MPO"):
                    raise ValueError(f"{path.name}: a {opened.format} file; JPEG or PNG are read")
                if opened.width * opened.height > LARGEST:
                    raise ValueError(
                        f"{path.name}: {opened.width} x {opened.height} px is more than 50 "
                        "megapixels; crop it around the Moon first"
                    )
                time, rendered = _time_of(opened), _is_rendered(opened, path)
                light, redness = _light_of(ImageOps.exif_transpose(opened))
    except Image.DecompressionBombError:
        raise ValueError(
            f"{path.name}: far more than 50 megapixels; crop it around the Moon first"
        ) from None
    except (OSError, SyntaxError, EOFError, MemoryError) as error:
        raise ValueError(f"{path.name}: no readable JPEG or PNG picture ({error})") from None
    return Picture(path.name, light, redness, time, rendered)


def _time_of(opened):
    """Return the time of exposure from EXIF, or None where it is missing or malformed."""
    try:
        exif = opened.getexif()
        stamp = exif.get_ifd(0x8769).get(0x9003) or exif.get(0x0132)
        return datetime.strptime(str(stamp).strip("\0 "), "%Y:%m:%d %H:%M:%S")
    except (ValueError, KeyError, TypeError, SyntaxError, OSError):
        return None


def _is_rendered(opened, path):
    """Return whether a picture says, or the truth kept with it shows, that it is invented."""
    try:
        marked = str(opened.getexif().get(0x010E, "")).startswith(MARK)
    except (ValueError, KeyError, TypeError, SyntaxError, OSError):
        marked = False
    return marked or path.with_suffix(".truth.json").is_file()


def _light_of(image):
    """Return an upright image's linear light, and red over green where it is bright."""
    if image.mode.startswith(("I", "F")):  # 16 bit grey
        values = np.asarray(image, dtype=np.float32)
        return to_linear(np.clip(values / 65535, 0, 1)).astype(np.float32), 1.0
    table = to_linear(np.arange(256) / 255).astype(np.float32)
    if image.mode in ("L", "LA", "1"):
        return table[np.asarray(image.convert("L"))], 1.0
    colours = np.asarray(image.convert("RGB"))
    light = table[colours[..., 1]]
    step = max(1, int(np.sqrt(light.size / 250_000)))
    few = colours[::step, ::step].reshape(-1, 3)
    bright = few[few[:, 0] >= max(np.quantile(few[:, 0], 0.9), 8)]
    red, green = (table[bright[:, k]].sum() + 1e-6 for k in (0, 1))
    return light, float(red / green)


def block_average(light, step):
    """Return the picture averaged over blocks of ``step`` x ``step`` px, edges left over dropped.

    >>> block_average(np.array([[0.0, 1.0, 9.0], [1.0, 2.0, 9.0]]), 2)
    array([[1.]])
    """
    height, width = (n // step * step for n in light.shape)
    blocks = light[:height, :width].reshape(height // step, step, width // step, step)
    return blocks.mean(axis=(1, 3))
