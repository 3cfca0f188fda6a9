"""Drawings for lesson 3: the two shadow cones, and what each assumption about them costs."""

import numpy as np

from moonreach.figures import style
from moonreach.figures.bars import Bars
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider, signed, strokes
from moonreach.lessons import moon_distance, shadow_cone, today

STEP = np.log10(today.SUN_MOON_DISTANCE_RATIO / 3) / 100  # a step ends at today's value
TODAY = today.SUN_MOON_DISTANCE_RATIO
SUN = Slider("sun", "Sun, Moon distances away", 3, 400, TODAY, STEP, "", ".3g", log=True)
RATIO = Slider("ratio", "Shadow, in Moons (x)", 1.8, 3.2, 2.65, 0.01, "", ".2f")
DISCS = Slider("discs", "Sun looks as large as", 0.9, 1.1, 1.0, 0.005, "Moons", ".3f")
MOONS_AWAY = moon_distance.distance_in_moon_diameters(2 * today.MOON_SEMIDIAMETER).value
MOON_PX, STEP_PX = 44, 230  # one Moon upwards, one Moon distance along
EARTH_X, AXIS_Y = 390, 225


class Cones(Drawing):
    """Earth's shadow and the Moon's own, which narrow alike."""

    title = "Both shadows narrow alike"
    caption = (
        "At new moon (left) the Moon's own shadow shrinks from one Moon to nothing on its way to "
        "the middle of the Earth (drawn over the Earth, so that its end shows). Earth's shadow "
        "narrows just as much on the same way (the coloured strips). So the Earth is as wide "
        "as the shadow and one Moon more. Bring the Sun nearer, or let it look larger than the "
        "Moon, and see when that fails."
    )
    alternative = (
        "Earth in the middle with its shadow narrowing to the right, where the full Moon stands in "
        "it. To the left the new moon, its own shadow ending in a point at the Earth. Two strips "
        "show by how much Earth's shadow has narrowed at the Moon."
    )
    sliders = (SUN, RATIO, DISCS)

    def build(self):
        """Make the two cones along one axis, the Sun's side cut off at the left."""
        stage = self.stage()
        squeezed = MOONS_AWAY * MOON_PX / STEP_PX
        note = f"distances drawn {squeezed:.0f} times too short against widths; the Sun is cut off"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        self.sun_disc = self.area(stage, style.SUN, alpha=0.9)
        self.rays = self.line(stage, style.SUN, lw=1.2)
        self.umbra = self.area(stage, style.SHADOW, alpha=0.7)
        self.strips = [self.area(stage, style.DROPPED) for _ in range(2)]
        self.level = self.line(stage, style.SHADOW_EDGE, lw=1, ls=":")
        self.earth = self.area(stage, style.EARTH, edgecolor=style.SHADOW_EDGE, lw=0.8)
        # Over the Earth, which so short a drawing makes too thick: its tip would not be seen.
        self.own_umbra = self.area(stage, style.SHADOW, alpha=0.7)
        for x in (EARTH_X - STEP_PX, EARTH_X + STEP_PX):
            stage.fill(*disc(x, AXIS_Y, MOON_PX / 2).T, fc=style.MOON, ec=style.SHADOW_EDGE, lw=0.8)
        stage.text(EARTH_X - STEP_PX, AXIS_Y - 30, "new moon", ha="center", va="top", size=9)
        full = {"va": "center", "color": "white", "size": 9}
        self.words(stage, EARTH_X + STEP_PX + 28, AXIS_Y, "full moon", **full)
        self.words(stage, 6, AXIS_Y, "Sun", va="center", size=9)
        self.words(stage, EARTH_X, AXIS_Y + 24, "Earth", ha="center", va="center")
        looks = {"ha": "center", "color": style.DROPPED_WORDS}
        full = EARTH_X + STEP_PX
        self.strip_words = [self.words(stage, full, 0, va=va, **looks) for va in ("bottom", "top")]
        for x, text in (
            (20, "Earth, in Moons"),
            (205, "shadow, in Moons"),
            (400, "it narrows by"),
            (590, "“one Moon” is wrong by"),
        ):
            stage.text(x, 44, text, color=style.FAINT, size=9)
        looks = [{"color": c} for c in (style.OWN_WORDS, style.INK, style.DROPPED_WORDS)]
        looks.append(looks[2])
        self.cells = [
            self.words(stage, x, 18, weight="bold", size=12, **look)
            for x, look in zip((20, 205, 400, 590), looks, strict=True)
        ]

    def update(self, sun, ratio, discs):
        """Draw both cones from Earth's size in Moons, found by the exact formula."""
        earth = float(shadow_cone.earth_in_moons(ratio, discs, sun))
        narrows = earth - ratio
        half_earth, half_shadow = earth * MOON_PX / 2, ratio * MOON_PX / 2
        slope = (half_earth - half_shadow) / STEP_PX
        end = min(795, EARTH_X + half_earth / slope) if slope > 0 else 795
        tip = max(half_earth - slope * (end - EARTH_X), 0)
        self.umbra.set_xy(wedge(EARTH_X, half_earth, end, tip))
        # Nearer the Sun by one Moon distance, the Moon's own shadow narrows a little faster.
        own = MOON_PX / 2 * (discs * sun - 1) / (sun - 1) / STEP_PX
        new = EARTH_X - STEP_PX
        reach = min(new + MOON_PX / 2 / own, EARTH_X)
        left = MOON_PX / 2 - own * (reach - new)
        self.own_umbra.set_xy(wedge(new, MOON_PX / 2, reach, left))
        self.earth.set_xy(disc(EARTH_X, AXIS_Y, half_earth))
        edge = half_earth + slope * (EARTH_X - 40)
        own_edge = MOON_PX / 2 + own * (new - 40)
        lights = ((EARTH_X, edge, half_earth), (new, own_edge, MOON_PX / 2))
        self.rays.set_data(
            *strokes(
                ((40, AXIS_Y + side * far), (x, AXIS_Y + side * near))
                for x, far, near in lights
                for side in (1, -1)
            )
        )
        turn = np.linspace(-1, 1, 41)
        bulge = np.column_stack([40 * np.cos(turn * np.pi / 2), AXIS_Y + edge * turn])
        self.sun_disc.set_xy([(0, AXIS_Y - edge), *bulge, (0, AXIS_Y + edge)])
        full = EARTH_X + STEP_PX
        for strip, side in zip(self.strips, (1, -1), strict=True):
            low, high = AXIS_Y + side * half_shadow, AXIS_Y + side * half_earth
            strip.set_xy(((full - 5, low), (full + 5, low), (full + 5, high), (full - 5, high)))
        x = [EARTH_X, full + 8, np.nan] * 2
        self.level.set_data(x, AXIS_Y + half_earth * np.array([1, 1, np.nan, -1, -1, np.nan]))
        for words, side in zip(self.strip_words, (1, -1), strict=True):
            words.set_y(AXIS_Y + side * (half_earth + 4))
            words.set_text(f"{narrows / 2:.2f} Moon".replace("-", "−"))
        wrong = 100 * (float(shadow_cone.earth_in_moons(ratio)) / earth - 1)
        texts = (f"{earth:.2f}", f"{ratio:.2f}", f"{narrows:.2f} Moon", f"{signed(wrong)} %")
        texts = [text.replace("-", "−") for text in texts]
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)


class ConeCosts(Drawing):
    """What each assumption about the cones costs as the Sun comes nearer."""

    title = "What if …? The cost on the size of the Moon"
    caption = (
        "The curve is the cost of calling the Sun far away, for a Sun at any distance; the dot is "
        "the slider's. Even a Sun only 19 Moon distances away, as Aristarchus had it, costs about "
        "5 %, and the true Sun a quarter of a per cent. Unequal discs and the air cost more."
    )
    alternative = (
        "On the left the cost of a distant Sun in per cent against the Sun's distance in Moon "
        "distances; on the right bars for the cost of a distant Sun, equal discs, no air, all "
        "three together, and the round number 3.5."
    )
    sliders = (
        SUN,
        Slider("ratio", "Shadow as seen (x)", 1.8, 3.2, 2.7, 0.01, "", ".2f"),
        Slider("discs", "Sun looks as large as", 0.9, 1.1, 1.03, 0.005, "Moons", ".3f"),
        Slider("air", "Air makes shadow larger by", 0, 3, 1.4, 0.1, "%"),
    )
    names = ("Sun far away", "Discs look equal", "No air", "All three: x + 1", "Just 3.5")

    def build(self):
        """Make the curve on the left and the bars on the right."""
        chart = self.chart(60, 60, 330, 310, xlim=(3, 400), ylim=(0, 35), xscale="log")
        chart.set_xticks([3, 10, 30, 100, 400], ["3", "10", "30", "100", "400"])
        chart.minorticks_off()
        chart.set_xlabel("Sun's distance, in Moon distances")
        chart.set_ylabel("cost of “Sun far away”, in %")
        chart.grid(True)
        away = np.geomspace(3, 400, 60)  # the cost is the same for every x
        cost = shadow_cone.earth_in_moons(1) / shadow_cone.earth_in_moons(1, 1, away) - 1
        chart.plot(away, 100 * cost, color=style.DROPPED, lw=2.2)
        self.dot = self.line(chart, style.OWN, marker="o", ms=8, ls="", clip_on=False)
        right = self.stage(400, 0, 400)
        right.text(420, 375, "Earth in Moons comes out wrong by", color=style.FAINT)
        colors = [style.DROPPED] * 3 + [style.OWN, style.FAINT]
        self.bars = Bars(self, right, self.names, 635, 335, 48, 9, (-8, 8), colors, 420)
        right.text(420, 66, "Earth in Moons, nothing left out")
        self.exact = self.words(right, 780, 66, ha="right", weight="bold")

    def update(self, sun, ratio, discs, air):
        """Drop each assumption's care in turn, and compare with nothing left out."""
        bare = shadow_cone.without_air(ratio, air / 100)
        exact = float(shadow_cone.earth_in_moons(bare, discs, sun))
        found = (
            shadow_cone.earth_in_moons(bare, discs),
            shadow_cone.earth_in_moons(bare, 1.0, sun),
            shadow_cone.earth_in_moons(ratio, discs, sun),
            shadow_cone.earth_in_moons(ratio),
            3.5,
        )
        costs = [100 * (float(each) / exact - 1) for each in found]
        self.bars.set(costs)
        self.exact.set_text(f"{exact:.3f}")
        self.dot.set_data([sun], costs[:1])


def wedge(x, half, end, half_end):
    """Return the outline of a shadow that narrows along the axis."""
    upper, lower = (x, AXIS_Y + half), (x, AXIS_Y - half)
    return [lower, upper, (end, AXIS_Y + half_end), (end, AXIS_Y - half_end)]
