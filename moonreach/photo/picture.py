"""Read a photograph: JPEG or PNG of any size to linear light, upright."""

import math
import re
import tomllib
import warnings
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.times import read_clock

REFUSALS = tomllib.loads(Path(__file__).with_name("refusals.toml").read_text(encoding="utf-8"))
LARGEST = 50_000_000  # pixels
FORMATS = ("JPEG", "PNG", "MPO")
MARK = "rendered, invented plains"  # in the description of every picture made by `rendered`


@dataclass(frozen=True)
class Picture:
    """A photograph as linear light.

    light: height x width, 0 black to 1 white. redness: red over green of the bright parts.
    rendered: whether it is an invented practice picture. taken: when, by the camera's own data, a
    datetime that may lack its offset from UTC, or None. camera: whether there are such data.
    """

    file: str
    light: np.ndarray
    redness: float = 1.0
    rendered: bool = False
    taken: datetime | None = None
    camera: bool = True


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

    Parameters: ``path``. Errors: `Impossible` with one sentence for a file that is missing, no
    picture, cut short, or larger than 50 megapixels.
    """
    path = Path(path)
    name = path.name
    require(not path.is_dir(), REFUSALS["folder"], name)
    require(path.is_file(), REFUSALS["missing"], name)
    try:
        # The size is judged here: no warning of it is needed.
        with warnings.catch_warnings(action="ignore"), Image.open(path) as opened:
            require(opened.format in FORMATS, REFUSALS["kind"], name, opened.format)
            require(math.prod(opened.size) <= LARGEST, REFUSALS["large"], name, *opened.size)
            told = _camera_data(opened)
            rendered = str(told.get(0x010E)).startswith(MARK)
            rendered = rendered or path.with_suffix(".truth.json").is_file()
            ImageOps.exif_transpose(opened, in_place=True)
            light, redness = _light_of(opened)
    except Image.DecompressionBombError:
        raise Impossible(REFUSALS["huge"].format(name)) from None
    except (OSError, SyntaxError, EOFError, MemoryError) as error:
        why = getattr(error, "strerror", None) or REFUSALS["broken"]
        raise Impossible(REFUSALS["damaged"].format(name, why)) from None
    taken = read_clock(re.findall(r"\d+", str(told.get(0x9003))), _offset(told.get(0x9011)))
    camera = any(tag in told for tag in (0x010F, 0x0110, 0x9003))  # make, model, time
    return Picture(name, light, redness, rendered, taken, camera)


def _camera_data(opened):
    """Return what the camera wrote into a picture, by EXIF's numbers; it may be malformed."""
    try:
        exif = opened.getexif()
        return dict(exif) | dict(exif.get_ifd(0x8769))
    except (ValueError, KeyError, TypeError, SyntaxError, OSError):
        return {}


def _offset(text):
    """Return an offset such as +02:00 as it stands; nothing for what is none."""
    return text if re.fullmatch(r"[+-]\d\d:\d\d", str(text)) else ""


def _light_of(image):
    """Return an upright image's linear light, and red over green where it is bright."""
    if image.mode.startswith(("I", "F")):  # 16 bit grey
        values = np.asarray(image, dtype=np.float32)
        return to_linear(np.clip(values / 65535, 0, 1)).astype(np.float32), 1.0
    image = image if image.mode == "RGB" else image.convert("RGB")
    table = to_linear(np.arange(256) / 255).astype(np.float32)
    # Green: there the light inside the umbra, copper, is weak, and `penumbra.LIMB_DARKENING` near.
    light = table[np.asarray(image.getchannel("G"))]
    image.thumbnail((500, 500), Image.Resampling.NEAREST)
    red, green = np.asarray(image)[..., :2].reshape(-1, 2).T
    bright = red >= max(np.quantile(red, 0.9), 8)
    return light, float((table[red[bright]].sum() + 1e-6) / (table[green[bright]].sum() + 1e-6))


def block_average(light, step):
    """Return the picture averaged over blocks of ``step`` x ``step`` px, edges left over dropped.

    >>> block_average(np.array([[0.0, 1.0, 9.0], [1.0, 2.0, 9.0]]), 2)
    array([[1.]])
    """
    height, width = (n // step * step for n in light.shape)
    blocks = light[:height, :width].reshape(height // step, step, width // step, step)
    return blocks.mean(axis=(1, 3))
