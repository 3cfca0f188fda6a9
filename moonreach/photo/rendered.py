"""Rendered photographs: the Moon in the Earth's shadow as a camera would show it, with the truth.

The plains are an invented pattern, not the real Moon's; every file made here says so.
"""

import json
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from PIL import Image
from scipy import ndimage
from scipy.optimize import brentq
from scipy.special import expit

from moonreach.photo.penumbra import glow_at, sunlight
from moonreach.photo.phones import Phone, wide_blur
from moonreach.photo.picture import MARK, to_tone

COPPER = np.array([1.0, 0.34, 0.12])  # colour of the light inside the umbra, an invented mix


@dataclass(frozen=True)
class Camera:
    """What a camera does to the light: all invented, all adjustable.

    exposure: linear level, 1 is white, that the unshaded bright ground reaches.
    gamma: 1 is the sRGB curve; other values raise the encoded light to that power.
    shoulder: 0 is none; 0.5 presses the highlights as a phone's tone curve does.
    noise: standard deviation at white, linear; it falls with the root of the light.
    blur: standard deviation in px. halo: share of the light scattered round the Moon. phone: what
    its own processing does, a `Phone`, or None.
    """

    exposure: float = 0.8
    gamma: float = 1.0
    shoulder: float = 0.0
    noise: float = 0.01
    blur: float = 1.0
    halo: float = 0.0
    phone: Phone | None = None


@dataclass(frozen=True)
class Scene:
    """Where the Moon stands in the shadow; lengths in radii of the Moon.

    shadow_ratio: the umbra's radius. offset, position_angle: the shadow's centre from the Moon's,
    the angle in degrees from up through left, on the Moon's face. sun_ratio: Sun's semidiameter
    over the Moon's. glow: light in the umbra at its edge, as a share of full sunlight.
    plains_seed, plains_depth: which invented face, and how much darker its darkest plains are.
    """

    shadow_ratio: float = 2.7
    offset: float = 2.7
    position_angle: float = 60.0
    sun_ratio: float = 1.03
    glow: float = 1e-3
    plains_seed: int = 1
    plains_depth: float = 0.35


def invented_plains(x, y, seed, depth):
    """Return the brightness of the ground, 0 to 1, at points of the Moon's disc.

    Parameters: ``x``, ``y`` in radii of the Moon, on its face; ``seed`` of the pattern; ``depth``
    by how much the darkest plains are darker (0.15 to 0.45 is strong). Plains are connected
    patches with crooked shores on a sphere; small bright and dark spots lie between them.
    """
    random = np.random.default_rng([seed, 5])
    z = np.sqrt(np.clip(1 - x**2 - y**2, 0, 1))
    point = np.stack([x, y, z], axis=-1) / np.sqrt(x**2 + y**2 + z**2)[..., None]
    waves = random.normal(size=(14, 3)) * 9
    crooked = np.sin(point @ waves.T + random.uniform(0, 6.3, 14)).sum(axis=-1) / np.sqrt(7)
    ground = np.ones(np.shape(x))
    # Plains gather on one side, as the real ones do.
    middle = random.normal(size=3) + np.array([0, 0, 1.5])
    for _ in range(random.integers(9, 16)):
        near = _cosine(point, middle + 0.9 * random.normal(size=3))
        shore = random.uniform(0.12, 0.42) * (1 + 0.25 * crooked)
        inside = expit((shore - np.arccos(np.clip(near, -1, 1))) / random.uniform(0.01, 0.04))
        ground = np.minimum(ground, 1 - depth * random.uniform(0.6, 1.0) * inside)
    for _ in range(60):
        apart = 1 - _cosine(point, random.normal(size=3))
        brighter = random.uniform(-0.1, 0.12)
        ground = ground * (1 + brighter * np.exp(-apart / random.uniform(2e-4, 2e-3)))
    return ground


def _cosine(point, direction):
    """Return the cosine of each point's distance from a place on the near side of the sphere."""
    return point @ (direction / np.linalg.norm(direction) * np.sign(direction[2]))


def render(scene, camera=None, moon_radius=150.0, size=None, centre=None, rotation=0.0, seed=0):
    """Render one photograph and return it with its truth.

    Parameters
    ----------
    scene : `Scene`; camera : `Camera`
    moon_radius : px
    size : (width, height) in px, 3 by 3 radii of the Moon unless given
    centre : (x, y) of the Moon in px, the middle unless given
    rotation : degrees by which the camera was turned (the Moon's face and the shadow turn left)
    seed : of the noise

    Returns ``(picture, truth)``: an array height x width x 3 of 8-bit sRGB values, and a
    dictionary with the circles in px and all that was put in.
    """
    camera = camera or Camera()
    width, height = size or (round(3 * moon_radius),) * 2
    cx, cy = centre or ((width - 1) / 2, (height - 1) / 2)
    column, row = np.meshgrid(np.arange(width), np.arange(height))
    x, y = (column - cx) / moon_radius, (cy - row) / moon_radius  # y up
    disc = np.clip((1 - np.hypot(x, y)) * moon_radius + 0.5, 0, 1)  # soft by one px
    x, y, turn = x[disc > 0], y[disc > 0], np.radians(rotation)
    face = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    light = np.zeros((height, width, 3))
    light[disc > 0] = disc[disc > 0][:, None] * _moonlight(scene, *face)
    picture = photograph(light * camera.exposure, camera, moon_radius, seed)
    angle = np.radians(scene.position_angle) + turn
    across, up = -scene.offset * np.sin(angle), scene.offset * np.cos(angle)
    shadow = cx + across * moon_radius, cy - up * moon_radius, scene.shadow_ratio * moon_radius
    truth = {
        "mark": MARK,
        "shadow_ratio": scene.shadow_ratio,
        "moon": {"x": cx, "y": cy, "radius": moon_radius},
        "shadow": dict(zip(("x", "y", "radius"), shadow, strict=True)),
        "in_shadow": share_in_shadow(scene.shadow_ratio, scene.offset),
        "rotation": rotation,
        "scene": asdict(scene),
        "camera": asdict(camera),
    }
    return picture, truth


def _moonlight(scene, x, y):
    """Return the light of points of the Moon's face, n x 3; 1 is bright ground in full sunlight."""
    angle = np.radians(scene.position_angle)
    apart = np.hypot(x + scene.offset * np.sin(angle), y - scene.offset * np.cos(angle))
    knots = np.linspace(0, scene.shadow_ratio + 2 * scene.sun_ratio + 3, 3000)
    sun = np.interp(apart, knots, sunlight(knots, scene.shadow_ratio, scene.sun_ratio))
    glow = glow_at(apart, scene.shadow_ratio, scene.glow)
    ground = invented_plains(x, y, scene.plains_seed, scene.plains_depth)
    return ground[:, None] * (sun[:, None] + glow[:, None] * COPPER)


def photograph(light, camera, moon_radius, seed=0):
    """Pass linear light (height x width x 3) through a camera; return 8-bit sRGB values."""
    random = np.random.default_rng([seed, 6])
    if camera.halo:
        blurred = (
            share * wide_blur(light, r * moon_radius) for share, r in ((0.6, 0.15), (0.4, 0.6))
        )
        light = light + camera.halo * sum(blurred)
    if camera.phone:
        light = camera.phone.spilled(light, moon_radius)
    light = ndimage.gaussian_filter(light, (camera.blur, camera.blur, 0))
    noise = camera.noise * np.sqrt(np.maximum(light, 0) + 0.01)
    light = light + noise * random.normal(size=light.shape)
    light = np.maximum(light, 0) ** camera.gamma
    light = np.clip(light * (1 + camera.shoulder) / (1 + camera.shoulder * light), 0, 1)
    if camera.phone:
        light = camera.phone.developed(light, moon_radius)
    return np.round(255 * to_tone(light)).astype(np.uint8)


def share_in_shadow(shadow_ratio, offset):
    """Return the share of the Moon's disc inside the umbra (area of two overlapping discs).

    >>> share_in_shadow(2.7, 0.0), round(float(share_in_shadow(2.7, 2.7)), 3)
    (1.0, 0.461)
    """
    offset = max(offset, 1e-9)
    chord = (offset**2 + 1 - shadow_ratio**2) / (2 * offset)  # from the Moon's centre
    a, b = np.clip(chord, -1, 1), min(offset - chord, shadow_ratio)
    lens = np.arccos(a) - a * np.sqrt(1 - a**2)
    lens += shadow_ratio**2 * np.arccos(b / shadow_ratio) - b * np.sqrt(shadow_ratio**2 - b**2)
    return float(lens / np.pi)


def offset_for(shadow_ratio, share):
    """Return the distance of the centres, in Moon radii, at which that share is in the umbra."""
    ends = shadow_ratio - 1 + 1e-9, shadow_ratio + 1 - 1e-9
    return brentq(lambda apart: share_in_shadow(shadow_ratio, apart) - share, *ends, xtol=1e-14)


def save_photograph(path, picture, truth, time=None, quality=90):
    """Write a rendered photograph with its EXIF stamp, and the truth in ``NAME.truth.json``.

    Parameters: ``path`` of a .jpg or .png file; ``picture`` and ``truth`` from `render`; ``time``,
    a datetime in UTC, kept as the time of exposure; ``quality`` of the JPEG. Returns the truth's
    path.
    """
    path = Path(path)
    exif = Image.Exif()
    exif[0x010E] = MARK  # ImageDescription
    truth = {"file": path.name, **truth}
    if time is not None:
        stamp = f"{time:%Y:%m:%d %H:%M:%S}"
        exif[0x0132] = exif.get_ifd(0x8769)[0x9003] = stamp  # DateTime, DateTimeOriginal
        exif.get_ifd(0x8769)[0x9011] = "+00:00"  # OffsetTimeOriginal
        truth["time"] = time.isoformat()
    Image.fromarray(picture).save(path, exif=exif, quality=quality)
    side = path.with_suffix(".truth.json")
    side.write_text(json.dumps(truth, indent=2) + "\n", encoding="utf-8")
    return side
