"""Drawings for lesson 1: two gnomons on a round Earth, what mistakes cost there, a flat Earth."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import joined, worded
from moonreach.lessons import earth_size, noon, today

GNOMON = 1 * u.m
WHOLE = today.EARTH_DIAMETER * np.pi
PX_PER_KM = 290 / today.EARTH_RADIUS.to_value(u.km)
CAST = ("rays", "shadows", "gnomons")


class TwoGnomons(Drawing):
    """Parallel rays upon a round Earth, two gnomons and their noon shadows."""

    sliders = (
        Slider("road", "Road between the places", 200, 1500, 800, 10, "km", ".0f"),
        Slider("earth", "Way round this Earth", 25_000, 80_000, 40_000, 500, "km", ".0f"),
        Slider("sun", "Season: Sun in the south", -10, 35, 0, 0.5, "°"),
    )
    foot = np.array([360, 270])  # of the southern gnomon
    grounds = ("north", 312), ("south", 150)  # of the close-ups, in px

    def build(self):
        """Make the slice of the Earth on the left and the two close-ups on the right."""
        left, right = self.pane(0, 0, 520), self.pane(520, 0, 280)
        left.disc("globe", style.EARTH, alpha=0.35)
        left.line("rim", style.EARTH, lw=2)
        left.bar_line("road", style.EARTH, 7)
        left.line("light", style.SUN, lw=1, alpha=0.7)
        left.line("radii", style.FAINT, lw=1, ls=":")
        left.line("wedge", style.OWN, lw=2)
        left.words(feed="arc_word", color=style.OWN_WORDS, weight="bold", ha="left", va="top")
        left.words(20, 14, "north", color=style.FAINT)
        left.words(500, 14, "south", color=style.FAINT, ha="right")
        left.note("gnomons drawn a million times too tall")
        left.note("Sun's rays", 500, ha="right")
        for pane, place in ((left, "far"), (right, "near")):
            pane.line(f"{place}_rays", style.SUN, lw=1.6)
            pane.bar_line(f"{place}_shadows", style.SHADOW, 4)
            pane.bar_line(f"{place}_gnomons", style.INK, 3)
        for name, y in self.grounds:
            right.line([(530, y), (790, y)], style.EARTH, lw=3)
            right.words(530, y + 110, f"{name.title()}ern place", weight="bold")
            right.words(530, y - 10, "1 m casts", va="top")
            right.number(f"{name}_shadow", "{:.1f} cm", 676, y - 10, va="top", ha="right")
            right.number(f"{name}_angle", "{:.2f}°", 780, y - 10, va="top", ha="right")
        right.words(530, 80, "Earth from the two shadows", weight="bold")
        right.words(530, 54, "arc: sum or difference")
        right.words(530, 30, "360° / arc × road")
        look = {"ha": "right", "color": style.OWN_WORDS}
        right.number("arc", "{:.2f}°", 780, 54, **look)
        right.number("circumference", "{:,.0f} km", 780, 30, weight="bold", **look)

    def work_out(self, road, earth, sun):
        """Stand the gnomons on this Earth, cast their shadows, and find the Earth from them."""
        span, slope = 2 * np.pi * road / earth, np.radians(sun)
        radius = PX_PER_KM * earth / (2 * np.pi)
        centre = self.foot - [0, radius]
        to_sun, tall = towards(-slope), PX_PER_KM * 1000
        tilts = {"north": span, "south": 0}
        shadows = {name: np.tan(slope + tilt) * GNOMON for name, tilt in tilts.items()}
        angles = {n: earth_size.zenith_distance(GNOMON, abs(each)) for n, each in shadows.items()}
        far, near = [], []
        for name, y in self.grounds:
            tilt, sunward = tilts[name], np.sign(shadows[name].value)
            far.append(cast(centre + radius * towards(tilt), tilt, tall, slope + tilt))
            near.append(cast(np.array([715, y]), 0, 75, sunward * angles[name].to_value(u.rad)))
        side = "opposite_sides" if shadows["north"] * shadows["south"] < 0 else "same_side"
        arc = earth_size.arc(*angles.values(), shadows=side)
        mark, along = max(70, radius - 170), np.linspace(0, span, 40)
        low = [np.array([x, 335]) for x in (60, 120, 180, 240, 420, 480)]
        return {
            "globe": (*centre, radius),
            "rim": disc(*centre, radius),
            "road": centre + radius * towards(along),
            "light": joined(*([point, point + to_sun * 52] for point in low)),
            "radii": [centre + radius * towards(span), centre, self.foot],
            "wedge": centre + mark * towards(along),
            "arc_word": (centre[0] + 8, centre[1] + mark + 4, worded("{:.2f}°", arc.value)),
            **{f"far_{part}": joined(*(each[part] for each in far)) for part in CAST},
            **{f"near_{part}": joined(*(each[part] for each in near)) for part in CAST},
            **{f"{name}_shadow": abs(each).to_value(u.cm) for name, each in shadows.items()},
            **{f"{name}_angle": each.to_value(u.deg) for name, each in angles.items()},
            "arc": arc.to_value(u.deg),
            "circumference": earth_size.circumference(arc, road * u.km).to_value(u.km),
        }


def towards(turn):
    """Return the direction, as x and y, that is turned from the top towards the left, in rad."""
    return np.stack([-np.sin(turn), np.cos(turn)], axis=-1)


def cast(foot, tilt, tall, angle):
    """Return the strokes of one gnomon by name, the Sun standing at an angle from its top."""
    top = foot + tall * towards(tilt)
    end = foot + tall * np.tan(angle) * towards(tilt + np.pi / 2)
    ray = [end, top + 0.8 * tall * towards(tilt - angle)]
    return {"rays": ray, "shadows": [foot, end], "gnomons": [foot, top]}


class EarthCosts(Drawing):
    """What a slanting road, different days and a wrong edge cost, alone and together."""

    sliders = (
        Slider("road", "Road between the places", 500, 3000, 800, 50, "km", ".0f"),
        Slider("bearing", "Road runs off north by", 0, 60, 20, 1, "°", ".0f"),
        Slider("days", "North is read later by", 0, 3, 1, 0.1, "days"),
        Slider("date", "Day of the year", 1, 365, 80, 1, "", ".0f"),
        Slider("edge", "Blur's edge, not middle", 0, 100, 100, 5, "%", ".0f"),
    )
    names = (
        "Road taken as due north",
        "Shadows read on different days",
        "North: edge of the full shadow",
        "All three together",
    )

    def build(self):
        """Make one bar for each mistake and one for all."""
        stage = self.pane()
        stage.words(20, 398, "per cent too large (to the right) or too small", color=style.FAINT)
        colors = [style.DROPPED] * 3 + [style.OWN]
        stage.bars("costs", self.names, 400, 335, 62, 6, (-25, 50), colors, 20)
        stage.words(20, 66, "Arc between the places")
        stage.words(20, 36, "Sun's noon height changes")
        stage.number("arc", "{:.2f}°", 330, 66, ha="right")
        stage.number("sun_change", "{:+.1f}′", 330, 36, ha="right")

    def work_out(self, road, bearing, days, date, edge):
        """Take the same two readings with each mistake, and with all."""
        road = road * u.km
        north_south = earth_size.north_south_distance(road, bearing * u.deg)
        arc = (north_south / WHOLE * 360).to_value(u.one) * u.deg
        start = (date - 1) * u.day  # counted in the year 2000
        sun = noon.sun_declination(start)
        change = noon.sun_declination(start + days * u.day) - sun
        blur = edge / 100 * today.SUN_SEMIDIAMETER
        none, south = 0 * u.deg, 60 * u.deg  # any south: it falls out of the difference

        def cost(distance, later, unseen):
            measured = earth_size.arc(south + arc - later - unseen, south)
            return (earth_size.circumference(measured, distance) / WHOLE - 1).to_value(u.percent)

        costs = (
            cost(road, none, none),
            cost(north_south, change, none),
            cost(north_south, none, blur),
            cost(road, change, blur),
        )
        return {"costs": costs, "arc": arc.value, "sun_change": change.to_value(u.arcmin)}


class NearSun(Drawing):
    """A flat Earth under a near Sun fits two shadows; a third place decides."""

    sliders = (
        Slider("height", "Near Sun stands up", 3000, 9000, 5000, 50, "km", ".0f"),
        Slider("second", "Second place, away", 500, 2000, 800, 50, "km", ".0f"),
        Slider("third", "Third place, away", 2500, 5000, 4500, 50, "km", ".0f"),
    )
    px_per_km = 0.034  # in the left part

    def build(self):
        """Make the flat ground on the left and the chart on the right."""
        left = self.pane(0, 0, 330)
        left.line([(20, 70), (320, 70)], style.EARTH, lw=3)
        left.note("gnomons drawn 600 000 times too tall")
        left.words(20, 40, "a flat Earth", color=style.FAINT)
        left.dots("sun", style.SUN, 22)
        left.words(feed="sun_word", va="center", color=style.FAINT)
        left.line("rays", style.SUN, lw=1.2)
        left.bar_line("gnomons", style.INK, 3)
        left.bar_line("shadows", style.SHADOW, 4)
        graph = self.graph(400, 130, 370, 255, xlim=(0, 6000), ylim=(0, 150))
        graph.axes.set_xlabel("km from the place under the Sun")
        graph.axes.set_ylabel("shadow of 1 m, in cm")
        away = np.linspace(0, 6000, 100)
        round_earth = np.column_stack([away, round_shadow(away)])
        graph.line(round_earth, style.TODAY, ls=style.DASHED)
        graph.words(5900, 18, "- - round Earth, far Sun", color=style.TODAY_WORDS, ha="right")
        graph.words(5900, 5, "— flat Earth, near Sun", color=style.DROPPED_WORDS, ha="right")
        graph.line("flat", style.DROPPED, lw=2)
        graph.dots("readings")
        words = self.pane(400, 0, 400, 100)
        columns = (
            (560, "reads", "reads", "{:.1f} cm", {"color": style.OWN_WORDS}),
            (680, "flat Earth says", "says", "{:.1f} cm", {"color": style.DROPPED_WORDS}),
            (790, "differs by", "differs", "{:+.1f} cm", {"weight": "bold"}),
        )
        for place, y in (("second", 42), ("third", 18)):
            words.words(400, y, f"{place} place")
            for x, _, name, form, look in columns:
                words.number(f"{place}_{name}", form, x, y, ha="right", **look)
        for x, head, *_ in columns:
            words.note(head, x, 64, ha="right")

    def work_out(self, height, second, third):
        """Move the near Sun, the gnomons, and what each Earth says about their shadows."""
        places = np.array([0, second, third])
        read, flat = round_shadow(places), flat_shadow(places, height)
        x, tall = 60 + places * self.px_per_km, 600 * self.px_per_km
        sun = (60, 70 + height * self.px_per_km)
        ends = x + tall * flat_shadow(places, height - 600) / 100  # so tall in the drawing
        values = {
            "sun": [sun],
            "sun_word": (95, sun[1], f"Sun, {worded('{:,.0f}', height)} km up"),
            "rays": joined(*([sun, (end, 70)] for end in ends)),
            "gnomons": joined(*([(a, 70), (a, 70 + tall)] for a in x)),
            "shadows": joined(*([(a, 70), (b, 70)] for a, b in zip(x, ends, strict=True))),
            "flat": [(away, flat_shadow(away, height)) for away in (0, 6000)],
            "readings": np.column_stack([places, read])[1:],
        }
        for place, reads, says in zip(("second", "third"), read[1:], flat[1:], strict=True):
            numbers = {"reads": reads, "says": says, "differs": says - reads}
            values |= {f"{place}_{name}": number for name, number in numbers.items()}
        return values


def round_shadow(away):
    """Return the shadow of 1 m in cm on the round Earth, km away from the place under the Sun."""
    return 100 * np.tan((away * u.km / WHOLE * 360 * u.deg).to_value(u.rad))


def flat_shadow(away, height):
    """Return the shadow of 1 m in cm on a flat Earth, as under a lamp at that height in km."""
    return 100 * np.tan(earth_size.zenith_distance(height * u.km, away * u.km).to_value(u.rad))
