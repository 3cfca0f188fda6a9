"""Measuring rendered photographs, whose truth is known, and refusing what is no eclipse."""

import json
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from threadpoolctl import threadpool_info, threadpool_limits

from moonreach.__main__ import main
from moonreach.photo import Circle, find_moon, measure, measure_photographs, read_picture
from moonreach.photo.measure import Measurement, interval_of, measure_one
from moonreach.photo.phones import Phone
from moonreach.photo.rendered import (
    Camera,
    Scene,
    invented_plains,
    offset_for,
    photograph,
    render,
    save_photograph,
)
from moonreach.photo.shadow_fit import ShadowFit
from moonreach.photo.times import Timing, read_times


def shoot(path, share=0.5, camera=None, radius=90.0, seed=3, **more):
    """Render a picture with that share of the Moon in the umbra; return its path and truth."""
    scene = Scene(2.7, offset_for(2.7, share), plains_seed=seed, plains_depth=0.3, **more)
    made = render(scene, camera, radius, seed=seed)
    save_photograph(path, *made)
    return path, made[1]


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_limb_to_a_fraction_of_a_pixel(tmp_path, share):
    path, truth = shoot(tmp_path / "a.png", share)
    moon = find_moon(read_picture(path))
    for name in ("x", "y", "radius"):
        assert getattr(moon, name) == pytest.approx(truth["moon"][name], abs=0.7)


@pytest.mark.parametrize(("share", "halo"), [(0.3, 0.0), (0.7, 0.03)])
def test_one_picture(tmp_path, share, halo):
    path, truth = shoot(tmp_path / "a.jpg", share, Camera(halo=halo))
    found = measure_one(path)
    assert found.message == ""
    assert found.ratio.low < 2.7 < found.ratio.high
    assert found.ratio.value == pytest.approx(2.7, rel=0.12)
    (shadow, shadow_sd), (moon, moon_sd) = Measurement([found], found.ratio).radii()
    assert abs(moon - 90) < 0.7 and 0 < moon_sd < 1
    assert abs(shadow - 243) < 4 * shadow_sd
    edge = found.shadow.radius - found.shadow.towards(found.moon)[0]
    assert edge / 90 == pytest.approx(2.7 - truth["scene"]["offset"], abs=0.05)


def test_the_shipped_night_together(pytestconfig):
    folder = pytestconfig.rootpath / "data" / "eclipse_photographs"
    names = ("partial_4.jpg", "full_moon.jpg")
    truth = json.loads((folder / "partial_4.truth.json").read_text(encoding="utf-8"))
    measured = measure_photographs([folder / name for name in names])
    assert measured.joint.low < truth["shadow_ratio"] < measured.joint.high
    assert measured.joint.value == pytest.approx(truth["shadow_ratio"], rel=0.06)
    assert measured.photographs[1].message.startswith("full Moon")


def write(path, light, camera=None, radius=80.0):
    """Write linear light (grey or colour) through a camera."""
    light = np.repeat(light[..., None], 3, axis=2) if light.ndim == 2 else light
    picture = photograph(light, camera or Camera(), radius)
    Image.fromarray(picture).save(path)
    return path


def disc(size=260, radius=80.0):
    """Return x, y, z on a Moon in the middle of a square picture, and which pixels lie on it."""
    line = (np.arange(size) - (size - 1) / 2) / radius
    x, y = np.meshgrid(line, line)
    return x, y, np.sqrt(np.clip(1 - x**2 - y**2, 0, 1)), np.hypot(x, y) < 1


def test_no_moon(tmp_path):
    x, y, _, on = disc()
    cases = {
        "dark": (0.0 * x, "no part of the picture is brighter than the rest"),
        "bright": (0.5 + 0.0 * x, "no Moon found"),
        "square": (0.7 * (np.maximum(abs(x), abs(y)) < 0.9), "no circular limb"),
        "star": (0.7 * (np.hypot(x, y) < 0.02), "only a few pixels"),
        "small": (0.7 * (np.hypot(x, y) < 0.15), "too small"),
        "cut": (np.roll(0.7 * on, 100, axis=1)[:, 100:], "cut off"),
    }
    for name, (light, words) in cases.items():
        found = measure_one(write(tmp_path / f"{name}.png", light))
        assert found.ratio is None and words in found.message, (name, found.message)


def test_no_shadow(tmp_path):
    x, y, _, on = disc()
    ground = np.where(on, invented_plains(x, y, 4, 0.3), 0)
    copper = ground[..., None] * np.array([0.5, 0.12, 0.04])
    cases = {
        "full": (0.7 * ground, "full Moon"),
        "total": (copper * (1 + 0.5 * x[..., None]), "total eclipse"),
        "white": (30 * ground * (x > -0.3), "overexposed"),
    }
    for name, (light, words) in cases.items():
        found = measure_one(write(tmp_path / f"{name}.png", light))
        assert found.ratio is None and words in found.message, (name, found.message)


@pytest.mark.parametrize("edge", [-0.4, 0.1])
def test_a_phase_is_no_eclipse(tmp_path, edge):
    x, y, z, on = disc()
    mu0 = np.maximum(edge * z + np.sqrt(1 - edge**2) * x, 0) * on
    light = mu0 / (mu0 + z + 1e-6) * invented_plains(x, y, 6, 0.2)
    found = measure_one(write(tmp_path / "a.png", light, Camera(exposure=1.0)))
    assert found.ratio is None and "phase of the Moon" in found.message


def test_one_lamp_does_not_hide_the_moon(tmp_path):
    path, truth = shoot(tmp_path / "a.png", 0.6, Camera(exposure=0.6))
    picture = np.array(Image.open(path).convert("RGB"))
    picture[10:22, 10:22] = 255
    Image.fromarray(picture).save(path)
    assert find_moon(read_picture(path)).x == pytest.approx(truth["moon"]["x"], abs=0.7)


def test_interval_is_longer_above():
    def told(curvature, sd, limb=0.0):
        fit = ShadowFit(
            np.array([curvature, 1.0, 0.0, 0.0, 0.0]), curvature_sd=sd, misfit=0.65 / 0.9
        )
        return interval_of(fit, [Circle(0, 0, 100, radius_sd=limb)])

    camera = measure.CAMERA_SD / 2.7  # however sure the fit is
    interval = told(1 / 2.7, 0.02)
    assert interval.high - 2.7 > 2.7 - interval.low
    assert 1 / interval.low - 1 / 2.7 == pytest.approx(1.96 * np.hypot(0.02, camera), rel=1e-3)
    limb = told(1 / 2.7, 1e-9, limb=1.0)  # of 1 %
    assert limb.standard == pytest.approx(2.7 * np.hypot(0.01, measure.CAMERA_SD), rel=1e-2)
    assert told(0.4, 0.2) is None  # anything
    assert told(0.19, 0.001) is None  # x above 5: outside what was tried


def test_command(tmp_path, capsys):
    good, _ = shoot(tmp_path / "good.jpg")
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(b"no picture")
    figure = tmp_path / "out.png"
    assert main(["photo", str(good), str(bad), "--json", "--figure", str(figure)]) == 1
    said = json.loads(capsys.readouterr().out)
    assert set(said) == {"photographs", "joint", "night", "message"} and said["night"] is None
    first, second = said["photographs"]
    assert set(first) == {"file", "shadow_ratio", "moon", "shadow", "message"}
    assert set(first["shadow_ratio"]) == {"value", "low", "high"} == set(said["joint"])
    assert set(first["moon"]) == {"x", "y", "radius"} == set(first["shadow"])
    assert second["shadow_ratio"] is None and "no readable" in second["message"]
    with Image.open(figure) as opened:
        assert opened.size[0] > 600
    assert main(["photo", str(bad)]) == 2
    said = "no readable JPEG or PNG picture (cut short, damaged, or of another kind such as HEIC)"
    assert capsys.readouterr().out == f"bad.jpg  no ratio: {said}\n"


def test_the_fit_keeps_to_one_thread_and_gives_the_others_back(tmp_path, monkeypatch):
    seen = []

    def look(path):
        seen.extend(pool["num_threads"] for pool in threadpool_info())
        raise ValueError("looked")

    monkeypatch.setattr(measure, "read_picture", look)
    with threadpool_limits(2):
        measure.measure_one(tmp_path / "a.jpg")
        assert set(seen) == {1}
        assert {pool["num_threads"] for pool in threadpool_info()} != {1}


def test_one_picture_twice_and_two_nights(tmp_path, capsys):
    first, _ = shoot(tmp_path / "first.jpg", 0.4)
    again = tmp_path / "again.jpg"
    Image.open(first).save(again, quality=70)
    measured = measure_photographs([first, again])
    assert measured.joint is None and "same picture" in measured.note
    assert main(["photo", str(first), str(again)]) == 2
    assert "leave one of them out" in capsys.readouterr().out
    second, _ = shoot(tmp_path / "second.jpg", 0.6)
    table = tmp_path / "times.csv"
    table.write_text("first.jpg,2031-05-06T20:00Z\nsecond.jpg,2031-10-30T20:00Z\n")
    measured = measure_photographs([first, second], Timing(read_times(table)))
    assert measured.joint is None and "different nights" in measured.note


def test_a_picture_without_camera_data_is_doubted(tmp_path):
    path, _ = shoot(tmp_path / "a.jpg")
    plain = tmp_path / "sent_on.png"
    Image.fromarray(np.asarray(Image.open(path))).save(plain)
    found = measure_one(plain)
    assert found.ratio and "no camera data" in found.message
    assert main(["photo", str(plain)]) == 1
    assert measure_one(path).message == ""


def test_what_the_camera_did_is_told_where_it_is_sure(tmp_path):
    phone = Phone("test", 0.0, 0.0, 1.0, 0.6, 0.03, 0.0, 0.0, 1.0)
    lifted, plain = (
        measure_one(shoot(tmp_path / "a.jpg", 0.5, camera)[0]).response()
        for camera in (Camera(phone=phone, gamma=1.1), Camera())
    )
    assert "it lifted dark surroundings by" in lifted
    assert plain == "The camera, as fitted: these pictures do not say whether it changed the light."


def test_a_phone_that_lifts_the_cusps_is_seen_through(tmp_path):
    # A gain that is a power of the local mean, strong and wide, as local tone mapping is.
    phone = Phone("test", 0.02, 0.5, 0.9, 0.6, 0.03, 0.1, 0.5, 1.1)
    lifted, plain = (
        measure_one(shoot(tmp_path / "a.jpg", 0.5, Camera(phone=worked))[0])
        for worked in (phone, None)
    )
    powers = [sum(found.fit.shared[-2:]) for found in (lifted, plain)]
    assert powers[0] > powers[1] + 0.15
    for found in (lifted, plain):
        assert found.ratio.low < 2.7 < found.ratio.high
        assert found.ratio.value == pytest.approx(2.7, rel=0.08)


@given(st.data())
@settings(max_examples=25)
def test_a_damaged_file_never_crashes(whole_picture, data):
    where = data.draw(st.integers(0, len(whole_picture) - 1))
    what = data.draw(st.binary(min_size=1, max_size=12))
    broken = whole_picture[:where] + what + whole_picture[where + len(what) :]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "a.jpg"
        path.write_bytes(broken[: data.draw(st.integers(where, len(broken)))])
        with suppress(ValueError):
            assert np.isfinite(read_picture(path).light).all()


@pytest.fixture(scope="module")
def whole_picture(tmp_path_factory):
    path, _ = shoot(tmp_path_factory.mktemp("whole") / "a.jpg", radius=30.0)
    return path.read_bytes()
