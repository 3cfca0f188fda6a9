"""`moonreach plan`: its text, its JSON, its picture, and what it refuses."""

import json
import math
import subprocess
import sys
import warnings
from datetime import date

import pytest
from astropy import units as u
from astropy.coordinates import AltAz, EarthLocation, get_body
from astropy.time import Time
from astropy.utils import iers
from matplotlib import image

from moonreach import sky
from moonreach.__main__ import main
from moonreach.figures import plan as figure
from moonreach.lessons import sighting_angle
from moonreach.sky import planning

PLACE = ["--latitude", "52.1", "--longitude", "5.2"]
SPAN = ["--from", "2028-12-01", "--to", "2030-01-31"]


def plan_json(capsys, *arguments):
    assert main(["plan", *arguments, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_json_of_a_place(capsys):
    plan = plan_json(capsys, *PLACE, *SPAN, "--disc", "20mm", "--rod", "2.6m", "--evenings", "3")
    total = [one for one in plan["eclipses"] if one["kind"] == "total"]
    assert [one["greatest_utc"][:10] for one in total] == ["2028-12-31", "2029-06-26", "2029-12-20"]
    june = total[1]
    # NASA/GSFC: gamma 0.0124, magnitude 1.8436, U1 01:32:18 to U4 05:11:50 UT (8 s early).
    assert june["gamma"] == pytest.approx(0.0124, abs=3e-4)
    assert june["umbral_magnitude"] == pytest.approx(1.8436, abs=0.003)
    assert june["contacts_utc"]["U1"][:17] == "2029-06-26T01:32:"
    assert set(june["contacts_utc"]) == {"P1", "U1", "U2", "U3", "U4", "P4"}
    assert set(june["altitudes_deg"]) == {"P1", "U1", "U2", "greatest", "U3", "U4", "P4"}
    assert june["visible"] == "part" and june["path_offset"] == pytest.approx(0.017, abs=0.002)
    assert abs(june["simple_timing_error_percent"]) < 1
    assert [one["visible"] for one in total] == ["part", "part", "all"]
    for one in total:
        assert one["contacts_local"]["U2"][-6:] in ("+01:00", "+02:00")
    assert [(one["timing_here"], one["borrow"]) for one in total] == [
        ("photograph", "U2"),
        ("photograph", None),
        ("enough", None),
    ]
    assert [one["formula"] for one in total] == ["chord", None, "chord"]
    assert june["night"] == "2029-06-25/2029-06-26" and june["school_night"] is True
    assert plan["next_eclipse"] is None
    evenings = plan["sighting_evenings"]
    assert len(evenings) == 3
    for one in evenings:
        assert (
            one["altitude_deg"] >= 15 <= one["last_altitude_deg"] and one["rod_long_enough"] is True
        )
        # The rod's own formula must give back the angle from the two expected readings.
        angle = sighting_angle.bracketed_angular_diameter(
            20 * u.mm, one["vanish_distance_m"] * u.m, one["rim_distance_m"] * u.m
        )
        assert angle.to_value(u.arcmin) == pytest.approx(one["moon_angle_arcmin"], abs=0.03)


def test_json_of_the_noons_is_plane_trigonometry(capsys):
    span = ["--from", "2028-12-01", "--to", "2028-12-31"]
    noon = plan_json(capsys, *PLACE, *span, "--partner-latitude", "43")["noon"]
    errors = []
    for name, latitude in (("here", 52.1), ("partner", 43)):
        one = noon[name]
        assert one["latitude_deg"] == latitude and one["shadow_points"] == "north"
        altitude = math.radians(one["sun_altitude_deg"])
        assert one["middle_shadow_m"] == pytest.approx(1 / math.tan(altitude), abs=2e-4)
        # The Sun is 16.2' in radius in December (Astronomical Almanac; from memory).
        upper = math.radians(one["sun_altitude_deg"] + 16.2 / 60)
        assert one["full_shadow_m"] == pytest.approx(1 / math.tan(upper), abs=5e-4)
        errors += [0.002 * math.sin(altitude) ** 2, 0.1 * math.radians(32.4 / 60)]
    # On a round Earth of 6371 km; 2 mm and a tenth of the blur, written out.
    arc = math.radians(52.1 - 43)
    assert noon["arc_deg"] == 9.1 and noon["distance_km"] == pytest.approx(6371 * arc, abs=0.1)
    assert noon["arc_uncertainty_percent"] == pytest.approx(
        100 * math.hypot(*errors) / arc, abs=0.005
    )


def test_without_a_place_every_eclipse_is_listed(capsys):
    plan = plan_json(capsys, *SPAN)
    found = sky.lunar_eclipses("2028-12-01", "2030-02-01")
    assert len(plan["eclipses"]) == len(found)
    assert plan["sighting_evenings"] == [] and plan["noon"] is None
    assert {one["visible"] for one in plan["eclipses"]} == {None}
    penumbral = plan_json(capsys, "--from", "2027-01-01", "--to", "2027-12-31")["eclipses"]
    assert {one["kind"] for one in penumbral} == {"penumbral"}
    assert penumbral[0]["contacts_utc"]["U1"] is None
    assert penumbral[0]["simple_timing_error_percent"] is None


def test_text_says_what_a_teacher_needs(capsys):
    zone = ["--zone", "Europe/Amsterdam", "--partner-latitude", "43", "--disc", "20mm"]
    assert main(["plan", *PLACE, *SPAN, *zone]) == 0
    text = capsys.readouterr().out
    assert "night of Mon 25 Jun 2029 to Tue 26 Jun 2029  total, magnitude 1.84" in text
    # 01:32:33 UTC is 03:33 in summer time; NASA/GSFC has 01:32:18 (8 s early).
    assert "U1 03:33 (9°)" in text
    assert "U1 16:08 (below)" in text  # 15:08 UTC is 16:08 in winter
    assert "photograph only" in text and "enough for timing: chord formula" in text
    assert "borrow U2 from a class farther east" in text and "a school night" in text
    assert "never point it at or near the Sun" in text and "Never look at the Sun" in text
    assert "in pairs" in text
    assert "vanishes" in text and "worth measuring" in text
    assert "UTC" not in text
    assert max(map(len, text.splitlines())) <= 110


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "night"),
    [
        # The zones by the IANA time zone database's zone1970.tab.
        ("1.35N", "103.8E", "Asia/Singapore", "Sun 31 Dec 2028 to Mon 1 Jan 2029"),
        ("52°06'N", "5°12'E", "Europe/Amsterdam", "Sun 31 Dec 2028 to Mon 1 Jan 2029"),
        ("1,29S", "36,82E", "Africa/Nairobi", "Sun 31 Dec 2028 to Mon 1 Jan 2029"),
        # Greatest eclipse is 16:52 UTC on 31 December: 05:52 on 1 January in Auckland's summer
        # time (+13), 06:52 on Kiritimati (+14), which lies east of the 180th meridian.
        ("-36.85", "174.76", "Pacific/Auckland", "Sun 31 Dec 2028 to Mon 1 Jan 2029"),
        ("1.87", "202.6", "Pacific/Kiritimati", "Sun 31 Dec 2028 to Mon 1 Jan 2029"),
    ],
)
def test_the_place_gives_the_zone_and_the_night_both_its_dates(
    capsys, latitude, longitude, zone, night
):
    place = ["--latitude", latitude, "--longitude", longitude]
    assert main(["plan", *place, "--from", "2028-12-30", "--to", "2029-01-02"]) == 0
    text = capsys.readouterr().out
    assert f"Times are those of {zone}." in text and f"night of {night}" in text


def test_zone_utc_still_names_the_night_of_the_place(capsys):
    place = ["--latitude", "1.35", "--longitude", "103.8", "--zone", "UTC"]
    (one,) = plan_json(capsys, *place, "--from", "2028-12-30", "--to", "2029-01-02")["eclipses"]
    assert one["night"] == "2028-12-31/2029-01-01"
    assert one["greatest_local"].endswith("+00:00")


@pytest.mark.parametrize("latitude", [-64, -34, -1, 35, 52, 66])
def test_what_a_place_can_do_is_what_an_independent_sky_shows(capsys, latitude):
    """Against astropy's own Moon and Sun, and the rule written out."""
    place = ["--latitude", str(latitude), "--longitude", "-71"]
    plan = plan_json(capsys, *place, "--from", "2025-01-01", "--to", "2034-12-31")
    ground = EarthLocation(lat=latitude * u.deg, lon=-71 * u.deg)
    totals = [one for one in plan["eclipses"] if one["kind"] == "total"]
    for one in totals:
        ages, loads = (
            iers.conf.set_temp("auto_max_age", None),
            iers.conf.set_temp("auto_download", False),
        )
        with ages, loads, warnings.catch_warnings():
            warnings.simplefilter("ignore")  # dates beyond astropy's own table of UT1
            times = Time([one["contacts_utc"][name][:-1] for name in ("U1", "U2", "U3", "U4")])
            frame = AltAz(obstime=times, location=ground)
            moon, sun = (
                get_body(name, times, ground).transform_to(frame).alt.deg
                for name in ("moon", "sun")
            )
        if min(abs(moon - 5).min(), abs(sun + 6).min()) < 0.05:
            continue  # too near the limit for either sky
        u1, u2, u3, u4 = (moon > 5) & (sun < -6)
        assert (one["timing_here"] == "enough") == (u2 and u3 and (u1 or u4))
        assert (one["borrow"] == "U3") == (u2 and not u3 and (u1 or u4))
        assert (one["borrow"] == "U2") == (u3 and not u2 and (u1 or u4))
    assert totals


def test_a_span_without_an_eclipse_names_the_next_one_there(capsys):
    span = ["--from", "2027-01-01", "--to", "2027-12-31"]
    plan = plan_json(capsys, *PLACE, *span)
    # NASA/GSFC: the partial eclipse of 2028 January 12 (magnitude 0.07) is the first after 2027.
    assert plan["next_eclipse"]["greatest_utc"][:10] == "2028-01-12"
    assert main(["plan", *PLACE, *span]) == 0
    text = capsys.readouterr().out
    assert "The next one that you can use there" in text and "11 Jan 2028 to Wed 12 Jan" in text
    assert "Without an eclipse: a photograph" in text


def test_calendar_holds_the_nights_with_reminders_and_cautions(tmp_path, capsys):
    path, arguments = tmp_path / "plan.ics", [*PLACE, *SPAN, "--partner-latitude", "43"]
    assert main(["plan", *arguments, "--evenings", "2", "--calendar", str(path)]) == 0
    assert "6 events" in capsys.readouterr().out
    # Read by the standard's words (RFC 5545), line by line; folded lines begin with a blank.
    lines = path.read_bytes().decode().replace("\r\n ", "").split("\r\n")
    assert lines.count("BEGIN:VEVENT") == 6 and lines.count("TRIGGER:-P7D") == 6
    assert any(line.startswith("DTSTART:20290626T0132") for line in lines)  # U1 of 2029 June 26
    told = [line for line in lines if line.startswith("DESCRIPTION:")]
    assert sum("Never look at the Sun" in line for line in told) == 1
    assert sum("never point it at or near the Sun" in line for line in told) == 2
    assert sum("in pairs" in line for line in told) == 3


def test_far_dates_carry_their_sentence(capsys):
    assert main(["plan", "--from", "2098-01-01", "--to", "2100-12-31"]) == 0
    assert "may be off by about 130 seconds" in capsys.readouterr().out


def test_polar_noon_and_a_span_without_eclipses(capsys):
    place = ["--latitude", "78", "--longitude", "15", "--partner-latitude", "50"]
    assert main(["plan", *place, "--from", "2026-12-01", "--to", "2026-12-20"]) == 0
    text = capsys.readouterr().out
    assert "No total or partial eclipse" in text and "stays below the horizon" in text
    assert "not worth measuring" in text


@pytest.mark.parametrize(
    "arguments, words",
    [
        (["--latitude", "95", "--longitude", "5"], "latitude must lie between -90 and 90"),
        (["--latitude", "52"], "both --latitude and --longitude"),
        ([*PLACE, "--zone", "Europe/Nowhere"], "zone 'Europe/Nowhere' is not known"),
        (["--from", "2030-01-01", "--to", "2029-01-01"], "--to 2029-01-01 is before --from"),
        (["--from", "1850-01-01"], "--from 1850-01-01 lies outside 1900 to 2100"),
        (["--from", "soon"], "--from 'soon' is no date"),
        (["--zone", "UTC"], "--zone needs --latitude"),
        ([*PLACE, "--rod", "2m"], "--rod needs --disc"),
        ([*PLACE, "--disc", "20"], "mm, cm, m"),
        ([*PLACE, "--disc", "wide"], "--disc"),
        ([*PLACE, "--disc", "0mm"], "--disc must be longer than nothing"),
        ([*PLACE, "--disc", "1mm"], "not larger than the sight hole"),
        ([*PLACE, "--evenings", "-1"], "--evenings must be at least 0"),
        ([*PLACE, "--partner-latitude", "-91"], "latitude must lie between"),
        ([*PLACE, "--figure", "plan.svg"], "ends in .png"),
        ([*PLACE, "--calendar", "plan.txt"], "ends in .ics"),
        (["--calendar", "plan.ics"], "--calendar needs --latitude"),
        (["--latitude", "52E", "--longitude", "5"], "latitude '52E' cannot be read"),
        (["--latitude", "52", "--longitude", "5°70'"], 'longitude "5°70\'" cannot be read'),
        (["--from", "2027-01-01", "--to", "2027-02-01", "--figure", "a.png"], "no total or part"),
    ],
)
def test_a_bad_option_gets_one_sentence(capsys, arguments, words):
    assert main(["plan", *arguments]) == 2
    said = capsys.readouterr()
    assert words in said.err and said.err.count("\n") == 1 and not said.out


def test_figure_shows_each_eclipse_once(tmp_path, capsys):
    path = tmp_path / "plan.png"
    assert main(["plan", *PLACE, *SPAN, "--figure", str(path)]) == 0
    assert "eclipses: 3." in capsys.readouterr().out
    assert image.imread(path).shape[1] > 800


@pytest.mark.parametrize("latitude", [52.1, -33.9])
def test_figure_is_to_scale_and_as_the_sky_is_seen(latitude):
    place = sky.Place(latitude * u.deg, 5.2 * u.deg)
    plan = planning.Plan(date(2029, 12, 1), date(2029, 12, 31), place)
    drawn, one = figure.draw(plan), plan.eclipses[0]
    axes = drawn.axes[0]
    penumbra, umbra, *moons = axes.patches[:7]
    assert umbra.radius == pytest.approx(one.umbra_radius.to_value(u.arcmin))
    assert penumbra.radius == pytest.approx(one.penumbra_radius.to_value(u.arcmin))
    assert moons[0].radius == pytest.approx(one.moon_semidiameter.to_value(u.arcmin))
    assert axes.get_aspect() == 1
    # The Moon goes from west to east: to the left in the north, to the right in the south.
    leftward = moons[0].center[0] > moons[1].center[0]
    assert leftward == (latitude > 0)
    # gamma is negative: the Moon passes south of the axis, below it as seen from the north.
    assert one.gamma < 0 and (moons[-1].center[1] < 0) == (latitude > 0)


def test_every_panel_of_the_figure_has_the_same_scale():
    drawn = figure.draw(planning.Plan(date(2028, 1, 1), date(2031, 1, 1)))
    drawn.draw_without_rendering()
    panels = [axes for axes in drawn.axes if axes.patches]
    # Partial and total eclipses, whose times take one line and two.
    assert {axes.get_title().split()[4] for axes in panels} == {"partial", "total"}
    # Pixels of an arcminute, from matplotlib's own transform.
    scales = [
        abs(axes.transData.transform((1, 0)) - axes.transData.transform((0, 0)))[0]
        for axes in panels
    ]
    assert len(panels) > 3 and scales == pytest.approx([scales[0]] * len(scales), rel=1e-3)


def test_the_plan_needs_no_matplotlib_and_no_network():
    code = (
        "import socket, sys\n"
        "def refuse(*_): raise OSError('network touched')\n"
        "socket.socket.connect = refuse\n"
        "from moonreach.__main__ import main\n"
        "assert main(['plan', '--latitude', '52', '--longitude', '5', '--json']) == 0\n"
        "assert not {'matplotlib', 'ipywidgets', 'scipy'} & set(sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_evenings_are_dark_high_and_full():
    place = sky.Place(-33.9 * u.deg, 151.2 * u.deg, zone="Australia/Sydney")
    found = sky.sighting_evenings(place, date(2027, 1, 1), date(2027, 7, 1), count=20)
    assert found
    for one in found:
        for instant in (one.first, one.last):
            assert sky.moon_at(instant, place).altitude >= 15 * u.deg
            assert sky.sun_at(instant, place).altitude < -6 * u.deg
            local = place.local(instant)
            assert local.date() == one.date and 18 <= local.hour + local.minute / 60 <= 22
        assert 0.95 <= one.lit <= 1
    by_the_sun = sky.Place(-33.9 * u.deg, 151.2 * u.deg)  # 10 h east: 18 h there is 8 h UTC
    for one in sky.sighting_evenings(by_the_sun, date(2027, 1, 1), date(2027, 7, 1)):
        assert 8 <= one.first.item().hour <= 12


def test_half_moons_are_listed_when_asked_for(capsys):
    span = ["--from", "2029-01-01", "--to", "2029-06-01", "--half-moons", "2"]
    found = plan_json(capsys, *PLACE, *span)["half_moons"]
    # The instants themselves are held against skyfield's almanac in tests/test_sky_half_moons.py.
    assert [one["half_utc"] for one in found] == ["2029-01-22T19:02:38Z", "2029-02-21T14:50:13Z"]
    assert [one["half_local"] for one in found] == [
        "2029-01-22T20:02:38+01:00",
        "2029-02-21T15:50:13+01:00",
    ]
    assert [one["shadow"] for one in found] == [False, True]
    assert all(one["moon_altitude_deg"] >= 10 for one in found)
    assert main(["plan", *PLACE, *span, "--zone", "Europe/Amsterdam"]) == 0
    text = capsys.readouterr().out
    assert (
        "Wed 21 Feb 2029  15:50  half, 20 min before first quarter; Moon 48° high, Sun 17°" in text
    )
    assert "Never look for the angle to the Sun" in text
    assert main(["plan", *PLACE, *span[:-1], "0"]) == 0
    assert "HALF MOONS" not in capsys.readouterr().out
    for bad, said in (
        (["--half-moons", "-1"], "--half-moons must be at least 0"),
        (span, "--half-moons needs --latitude"),
    ):
        assert main(["plan", *bad]) == 2
        assert said in capsys.readouterr().err
