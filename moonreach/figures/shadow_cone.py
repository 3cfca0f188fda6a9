"""Drawings for lesson 3: shadows that narrow alike, what each assumption costs, and the halves."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import PERCENT, joined, worded
from moonreach.lessons import moon_distance, shadow_cone, today

TODAY = today.SUN_MOON_DISTANCE_RATIO
STEP = np.log10(TODAY / 3) / 100  # a step ends at today's value
SUN = Slider("sun", "Sun, Moon distances away", 3, 400, TODAY, STEP, "", ".3g", log=True)
RATIO = Slider("ratio", "Shadow ratio (x)", 1.8, 3.2, 2.65, 0.01, "", ".2f")
DISCS = Slider("discs", "Sun looks as large as", 0.9, 1.1, 1.0, 0.005, "Moons", ".3f")
MOONS_AWAY = moon_distance.distance_in_moon_diameters(2 * today.MOON_SEMIDIAMETER).value
RIM = {"edgecolor": style.SHADOW_EDGE, "lw": 0.8}


class DiscShadow(Drawing):
    """A disc that faces the Sun, its umbra and its penumbra, and a card that catches them."""

    sliders = (
        Slider("disc", "Width of the disc", 2, 10, 6, 0.5, "cm"),
        Slider("card", "Card behind the disc at", 0.5, 12, 3, 0.1, "m"),
    )
    disc_x, axis_y, px_per_cm, px_per_m, edge_x = 90, 197, 12, 48, 790
    sun_seen = 725, 370, 26  # from the middle of the card

    def build(self):
        """Make light, shadows, disc and card below, the numbers above."""
        stage = self.pane()
        times = 100 * self.px_per_cm / self.px_per_m
        stage.note(f"widths drawn {times:.0f} times too large against distances")
        stage.note("sunlight", y=self.axis_y + 50)
        lights = self.axis_y + np.arange(-40, 41, 20)
        stage.line(joined(*([(20, y), (self.disc_x - 12, y)] for y in lights)), style.SUN, lw=1.2)
        stage.area("penumbra", style.SHADOW, alpha=0.15)
        stage.area("umbra", style.SHADOW, alpha=0.7)
        stage.bar_line("disc", style.MOON, 6)
        stage.line("card", lw=1.5)
        stage.bar_line("patch", style.OWN, 5)
        stage.ruler(self.disc_x, 52, self.px_per_m, range(0, 13, 2), "{}", "m from the disc", 790)
        rows = (
            (370, "Umbra on the card", "width", "{:.1f} cm", style.OWN_WORDS),
            (347, "Narrower than the disc by", "narrower", "{:.1f} cm", style.INK),
            (324, "Umbra ends at", "end", "{:.1f} m", style.INK),
        )
        stage.table(20, 215, rows, ha="left")
        stage.disc(self.sun_seen, style.SUN)
        stage.disc("before_sun", style.SHADOW_EDGE)
        self.moves(stage.line(disc(*self.sun_seen), style.SUN, lw=1.2))  # seen before the disc too
        stage.note("the Sun from there,\nas reckoned", 670, 370, ha="right", va="center")

    def work_out(self, disc, card):
        """Let the two shadows run to the picture's edge, and put the card across them."""
        sun = today.SUN_RADIUS, today.SUN_DISTANCE
        end = shadow_cone.umbra_length(disc / 2 * u.cm, *sun).to_value(u.m)
        half, left = disc / 2 * self.px_per_cm, max(1 - card / end, 0)
        far = (self.edge_x - self.disc_x) / self.px_per_m
        stop, x = (self.disc_x + min(each, far) * self.px_per_m for each in (end, card))
        return {
            "umbra": wedge(self.disc_x, half, stop, half * (1 - min(far / end, 1)), self.axis_y),
            "penumbra": wedge(self.disc_x, half, self.edge_x, half * (1 + far / end), self.axis_y),
            "disc": both_sides(self.axis_y, [(self.disc_x, 0), (self.disc_x, half)]),
            "card": [(x, 60), (x, self.axis_y + 115)],
            "patch": both_sides(self.axis_y, [(x, 0), (x, half * left or np.nan)]),
            "width": disc * left if left else "none, a ring of the Sun is left",
            "narrower": disc * (1 - left) if left else "its whole width",
            "end": end,
            # Of the Sun's width, and not beyond the picture.
            "before_sun": (*self.sun_seen[:2], min(self.sun_seen[2] * end / card, 44)),
        }


class Cones(Drawing):
    """Earth's shadow and the Moon's own, which narrow alike."""

    sliders = (SUN, RATIO, DISCS)
    moon_px, step_px = 44, 230  # one Moon upwards, one Moon distance along
    earth_x, axis_y = 390, 225
    new_x, full_x = earth_x - step_px, earth_x + step_px

    def build(self):
        """Make the two cones along one axis, the Sun's side cut off at the left."""
        stage = self.pane()
        short = MOONS_AWAY * self.moon_px / self.step_px
        stage.note(
            f"distances drawn {short:.0f} times too short against widths; the Sun is cut off"
        )
        stage.area("sun_disc", style.SUN, alpha=0.9)
        stage.line("rays", style.SUN, lw=1.2)
        stage.area("umbra", style.SHADOW, alpha=0.7)
        stage.bar_line("strips", style.DROPPED, 7.2)
        stage.line("level", style.SHADOW_EDGE, lw=1, ls=":")
        stage.disc("globe", style.EARTH, **RIM)
        # Over the Earth, which so short a drawing makes too thick: its tip would not be seen.
        stage.area("own_umbra", style.SHADOW, alpha=0.7)
        for x in (self.new_x, self.full_x):
            stage.disc((x, self.axis_y, self.moon_px / 2), style.MOON, **RIM)
        stage.words(self.new_x, self.axis_y - 30, "new moon", ha="center", va="top", size=9)
        for x, y, text, look in (
            (self.full_x + 28, 0, "full moon", {"color": "white", "size": 9}),
            (6, 0, "Sun", {"size": 9}),
            (self.earth_x, 24, "Earth", {"ha": "center"}),
        ):
            self.moves(stage.words(x, self.axis_y + y, text, va="center", **look))
        for name, va in (("above", "bottom"), ("below", "top")):
            stage.words(feed=name, ha="center", va=va, color=style.DROPPED_WORDS)
        cells = (
            (20, "Earth, in Moons", "earth", "{:.2f}", style.OWN_WORDS),
            (205, "shadow, in Moons", "ratio", "{:.2f}", style.INK),
            (400, "it narrows by", "narrows", "{:.2f} Moon", style.DROPPED_WORDS),
            (590, "“one Moon” is wrong by", "wrong", PERCENT, style.DROPPED_WORDS),
        )
        stage.heads(cells)

    def work_out(self, sun, ratio, discs):
        """Draw both cones from Earth's size in Moons, found by the exact formula."""
        earth = float(shadow_cone.earth_in_moons(ratio, discs, sun))
        half_earth, half_shadow, half_moon = np.array([earth, ratio, 1]) * self.moon_px / 2
        slope = (half_earth - half_shadow) / self.step_px
        # Nearer the Sun by one Moon distance, the Moon's own shadow narrows a little faster.
        own = half_moon * (discs * sun - 1) / (sun - 1) / self.step_px
        end = min(795, self.earth_x + half_earth / slope) if slope > 0 else 795
        tip = min(self.new_x + half_moon / own, self.earth_x)
        edge = half_earth + slope * (self.earth_x - 40)
        earth_light = [(40, edge), (self.earth_x, half_earth)]
        moon_light = [(40, half_moon + own * (self.new_x - 40)), (self.new_x, half_moon)]
        turn = np.linspace(-1, 1, 41)
        y, full = self.axis_y, self.full_x
        narrower = worded("{:.2f} Moon", (earth - ratio) / 2)
        far_half = max(half_earth - slope * (end - self.earth_x), 0)
        own_half = half_moon - own * (tip - self.new_x)
        return {
            "umbra": wedge(self.earth_x, half_earth, end, far_half, y),
            "own_umbra": wedge(self.new_x, half_moon, tip, own_half, y),
            "globe": (self.earth_x, y, half_earth),
            "rays": both_sides(y, earth_light, moon_light),
            "sun_disc": np.column_stack([40 * np.cos(turn * np.pi / 2), y + edge * turn]),
            "strips": both_sides(y, [(full, half_shadow), (full, half_earth)]),
            "level": both_sides(y, [(self.earth_x, half_earth), (full + 8, half_earth)]),
            "above": (full, y + half_earth + 4, narrower),
            "below": (full, y - half_earth - 4, narrower),
            "earth": earth,
            "ratio": ratio,
            "narrows": earth - ratio,
            "wrong": 100 * (float(shadow_cone.earth_in_moons(ratio)) / earth - 1),
        }


class ConeCosts(Drawing):
    """What each assumption about the cones costs as the Sun comes nearer."""

    sliders = (
        SUN,
        Slider("ratio", "Shadow ratio, as seen", 1.8, 3.2, 2.7, 0.01, "", ".2f"),
        Slider("discs", "Sun looks as large as", 0.9, 1.1, 1.03, 0.005, "Moons", ".3f"),
        Slider("air", "Air makes shadow larger by", 0, 3, 1.4, 0.1, "%"),
    )
    names = ("Sun far away", "Discs look equal", "No air", "All three: x + 1")

    def build(self):
        """Make the curve on the left and the bars on the right."""
        graph = self.graph(60, 60, 330, 310, xlim=(3, 400), ylim=(0, 35), xscale="log")
        graph.axes.set_xticks([3, 10, 30, 100, 400], ["3", "10", "30", "100", "400"])
        graph.axes.minorticks_off()
        graph.axes.set_xlabel("Sun's distance, in Moon distances")
        graph.axes.set_ylabel("cost of “Sun far away”, in %")
        away = np.geomspace(3, 400, 60)  # the cost is the same for every x
        cost = shadow_cone.earth_in_moons(1) / shadow_cone.earth_in_moons(1, 1, away) - 1
        graph.line(np.column_stack([away, 100 * cost]), style.DROPPED, lw=2.2)
        graph.dots("dot", size=8)
        right = self.pane(400, 0, 400)
        right.words(420, 375, "Earth in Moons comes out wrong by", color=style.FAINT)
        colors = [style.DROPPED] * 3 + [style.OWN]
        right.bars("costs", self.names, 635, 335, 48, 9, (-8, 8), colors, 420)
        right.words(420, 66, "Earth in Moons, nothing left out")
        right.number("exact", "{:.3f}", 780, 66, ha="right", weight="bold")

    def work_out(self, sun, ratio, discs, air):
        """Drop each assumption's care in turn, and compare with nothing left out."""
        bare = shadow_cone.without_air(ratio, air / 100)
        exact = float(shadow_cone.earth_in_moons(bare, discs, sun))
        rough = (
            shadow_cone.earth_in_moons(bare, discs),
            shadow_cone.earth_in_moons(bare, 1.0, sun),
            shadow_cone.earth_in_moons(ratio, discs, sun),
            shadow_cone.earth_in_moons(ratio),
        )
        costs = [100 * (float(each) / exact - 1) for each in rough]
        return {"costs": costs, "exact": exact, "dot": [(sun, costs[0])]}


class MoonHalves(Drawing):
    """Two halves of the Moon: at its mean distance, and as far as the sliders say."""

    sliders = (
        Slider("away", "Distance, in 1000 km", 356, 407, 356, 1, "", ".0f"),
        Slider("altitude", "Moon's altitude", 0, 90, 40, 1, "°", ".0f"),
    )
    x, y, mean_px = 215, 195, 140

    def build(self):
        """Make the left half, which stands still, and the words beside both."""
        stage = self.pane()
        # Both have a face of plain grey: this is about size alone.
        stage.area(self.half(-1), style.PALE, **RIM)
        stage.area("half", style.MOON, **RIM)
        stage.words(self.x - 12, self.y, "mean Moon", ha="right", va="center")
        self.moves(stage.words(self.x + 12, self.y, "this Moon", va="center"))
        rows = (
            (290, "Distance from Earth's centre", "geocentric", "{:,.0f} km", style.INK),
            (230, "Distance from you", "seen", "{:,.0f} km", style.INK),
            (170, "It looks wider than the mean Moon by", "wider", PERCENT, style.OWN_WORDS),
        )
        for y, *cell in rows:
            stage.heads([(430, *cell)], y - 26)

    def half(self, width):
        """Return the outline of a half disc, as many times as wide as the mean Moon's half."""
        turn = np.linspace(-np.pi / 2, np.pi / 2, 61)
        outline = np.column_stack([width * np.cos(turn), abs(width) * np.sin(turn)])
        return (self.x, self.y) + self.mean_px * outline

    def work_out(self, away, altitude):
        """Make the right half as large as its distance from the place tells."""
        up = altitude * u.deg
        seen = moon_distance.topocentric_distance(away * 1000 * u.km, up, today.EARTH_RADIUS)
        # Angles so small are as the distances, upside down.
        wider = (today.MOON_DISTANCE / seen).to_value(u.one)
        return {
            "half": self.half(wider),
            "geocentric": away * 1000,
            "seen": round(seen.to_value(u.km), -2),
            "wider": 100 * (wider - 1),
        }


def wedge(x, half, end, half_end, y):
    """Return the outline of a shadow that narrows along an axis at height y."""
    return [(x, y - half), (x, y + half), (end, y + half_end), (end, y - half_end)]


def both_sides(y, *strokes):
    """Return strokes, whose heights count from an axis at height y, on both sides of it."""
    sides = [np.array(stroke) * (1, side) + (0, y) for stroke in strokes for side in (1, -1)]
    return joined(*sides)
