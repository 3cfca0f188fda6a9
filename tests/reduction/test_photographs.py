"""Contacts from timed photographs into the sheet, what a class called by eye, the sky's doubt."""

from dataclasses import replace

import numpy as np
import pytest
from astropy import units as u

from moonreach import __main__ as cli
from moonreach.commands import photo
from moonreach.lessons.refuse import Impossible
from moonreach.photo import Circle
from moonreach.photo.measure import Measurement, Photograph
from moonreach.photo.night import ANY_MOON, Edges, fit_night
from moonreach.practice.invented import Truth, practice_class
from moonreach.reduction.group import reduce_group
from moonreach.reduction.inputs import inputs_of
from moonreach.reduction.photographs import (
    contacts_called,
    doubt_by_the_sky,
    moon_of,
    write_contacts,
)
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import GroupSheet

# NASA/GSFC: 2018 July 27, U1 18:24:27, U2 19:30:15, U3 21:13:12, U4 22:19:00 UT.
CONTACTS = np.array(
    [f"2018-07-27T{clock}" for clock in ("18:24:27", "19:30:15", "21:13:12", "22:19:00")],
    dtype="M8[ms]",
)
RODS = "vanish_distance", "rim_distance"
HEAD = "group,quantity,value,unit,uncertainty,note\n"


@pytest.fixture(scope="module")
def night():
    moon = 14.71 * u.arcmin
    edges = Edges(CONTACTS, np.array([1.0, -1, -1, 1]), 0.38, np.diag([0.01, *[1e-4] * 4]))
    return fit_night(edges, (moon, 0.01 * moon))


def test_contacts_reach_the_chain_as_any_others(tmp_path, night):
    sheet = tmp_path / "class.csv"
    sheet.write_text(HEAD + "Owls,disc_diameter,14,mm,,\n", encoding="utf-8")
    for _ in range(2):  # the second time in place of the first
        said = write_contacts(night, GroupSheet(None, "Owls", sheet))
    assert "U1, U2, U3, U4 written for Owls" in said
    found = tables.read(sheet)
    assert found.problems == []
    inputs, _, problems = inputs_of(found.readings)
    assert problems == []
    line = [inputs[f"umbral_contact_{k}"].value for k in (1, 2, 3, 4)]
    published = (CONTACTS - CONTACTS[0]) / np.timedelta64(1, "s")
    for time, truth in zip(line, published, strict=True):
        assert (time - line[0]).to_value(u.s) == pytest.approx(truth, abs=60)


def test_the_rods_moon_is_that_of_earths_centre():
    (rows,) = tables.of_rows(practice_class([Truth()], 3)).groups().values()
    group = reduce_group("Owls", rows)
    angle, altitude = group.outcome("angle"), group["moon_altitude"].to_value(u.rad)
    moon, sd = moon_of(group)
    # Meeus, Astronomical Algorithms, ch. 55: seen from the place wider by 1 + sin h sin(parallax);
    # that of a mean Moon is 57 arcminutes (both from memory).
    wider = 1 + np.sin(altitude) * np.sin(np.radians(57 / 60))
    assert altitude > 0.3
    assert moon.to_value(u.arcmin) == pytest.approx(angle.value / 2 / wider, rel=1e-3)
    assert float(sd / moon) == pytest.approx(angle.standard / angle.value)
    assert moon_of(None) == ANY_MOON
    poor = [
        replace(row, uncertainty=0.5 * row.value) if row.quantity in RODS else row for row in rows
    ]
    assert moon_of(reduce_group("Owls", poor)) == ANY_MOON  # it says less than nothing does


def test_the_command_takes_a_contact_of_the_class_once_and_the_groups_own_rod(
    tmp_path, monkeypatch
):
    sheet, asked = tmp_path / "class.csv", []
    contact = "shared,U2,2018-07-27T21:30:20+02:00,s,20,\n"
    rod = "disc_diameter,14,mm", "hole_diameter,1.5,mm", "vanish_distance,138,cm"
    rows = [f"{group},{row},0.1,\n" for group in ("Owls", "Foxes") for row in rod]
    sheet.write_text(HEAD + contact + "".join(rows), encoding="utf-8")

    def measure(pictures, timing, moon, contacts, told):
        asked.append((moon, contacts))
        return Measurement([], None)

    monkeypatch.setattr("moonreach.photo.measure_photographs", measure)
    into = ["--group", "owls", "--sheet", str(sheet)]
    for more in (into, [*into, "--moon", "31"], []):
        cli.main(["photo", "moon.jpg", *more])
    (own, called), (given, _), nobodys = asked
    assert called == [("U2", np.datetime64("2018-07-27T19:30:20.000"), 20.0)]
    assert own == moon_of(reduce_group("Owls", tables.read(sheet).groups()["Owls"])) != ANY_MOON
    assert given == (15.5 * u.arcmin, 0.2 * u.arcmin) and nobodys == (ANY_MOON, [])


def test_contacts_by_eye_stay_and_are_used(tmp_path, night):
    sheet = tmp_path / "class.csv"
    by_eye = "Owls,U2,2018-07-27T21:30:20+02:00,s,20,by eye\n"
    sheet.write_text(HEAD + by_eye + "Foxes,U3,23:13:00,,,no date\n", encoding="utf-8")
    said = write_contacts(night, GroupSheet(None, "Owls", sheet))
    assert "U1, U3, U4 written" in said and "left as they were: U2" in said
    assert by_eye in sheet.read_text(encoding="utf-8")
    assert contacts_called(tables.read(sheet).readings) == [
        ("U2", np.datetime64("2018-07-27T19:30:20.000"), 20.0)
    ]


def test_nothing_to_write_is_said(tmp_path):
    with pytest.raises(Impossible, match="two pictures with times"):
        write_contacts(None, GroupSheet(None, "Owls", tmp_path / "a.csv"))


@pytest.mark.parametrize(
    ("time", "doubted"),
    [("2018-07-27T19:00", False), ("2018-07-27T20:20", False), ("2018-07-21T19:00", True)],
)
def test_the_sky_doubts_a_phase_of_the_moon(time, doubted):
    # Between U1 and U4 above; first quarter was on 2018 July 19 at 19:52 UT.
    one = Photograph("a.jpg", Circle(0, 0, 50), time=np.datetime64(time, "ms"))
    doubt_by_the_sky(Measurement([one], None))
    assert ("no eclipse of the Moon" in one.message) is doubted


@pytest.mark.parametrize(("moon", "sd"), [(20.0, 0.4), (31.0, 0.0), (31.0, 9.0)])
def test_a_moon_of_no_known_size(capsys, moon, sd):
    options = ["--moon", str(moon), "--moon-uncertainty", str(sd)]
    assert cli.main(["photo", "a.jpg", *options]) == 2
    assert "--moon" in capsys.readouterr().err


def test_the_night_in_words_and_json(night):
    measured = Measurement([Photograph("a.jpg"), Photograph("b.jpg")], night.ratio, night=night)
    text, whole = photo._as_text(measured), photo._as_json(measured)
    assert "with their times" in text and "U1" in text and "18:2" in text
    assert '"contacts_utc"' in whole and '"uncertainty_s"' in whole and "2018-07-27T18:2" in whole
