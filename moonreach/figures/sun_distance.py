"""Drawings for lesson 6: half Moon's triangle, and how sure calls of half can be."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import joined, worded
from moonreach.lessons import sun_distance, today
from moonreach.reduction.further import TERMINATOR
from moonreach.reduction.inputs import assumption
from moonreach.reduction.propagation import propagate
from moonreach.reduction.uncertainty import normal

TODAY = today.SUN_MOON_DISTANCE_RATIO
HALF = sun_distance.elongation_at_half(TODAY).to_value(u.deg)


class HalfMoonTriangle(Drawing):
    """The right-angled triangle at true angles, the curve of n beside it."""

    sliders = (
        Slider("degrees", "Elongation, whole degrees", 60, 89, 75, 1, "°", ".0f"),
        Slider("minutes", "and arcminutes", 0, 59, 0, 1, "′", ".0f"),
    )
    eye, edge_x = np.array([60.0, 110.0]), 520  # where the picture of the triangle ends
    moon_px, radius = 150, 13  # the Moon's distance; its size

    def build(self):
        """Make the triangle on the left, the curve on the right, the numbers below."""
        stage = self.pane()
        times = 2 * self.radius * 110.6 / self.moon_px  # the mean Moon is 110.6 of its widths away
        stage.note(f"angles are true; Moon and Sun are drawn {times:.0f} times too large")
        stage.line("sides", style.SUN, lw=1.4)
        stage.line("own", lw=1.4)
        stage.line("corner", lw=1)
        stage.line("arc", style.OWN, lw=2)
        stage.disc("sun", style.SUN)
        stage.disc("dark", style.SHADOW_EDGE)
        stage.area("lit", "#f2f2f2", edgecolor=style.SHADOW_EDGE, lw=0.8)
        x, y = self.eye
        stage.line([self.eye], style.EARTH, marker="o", ms=9)
        stage.words(x, y - 14, "you", ha="center", va="top")
        look = {"color": style.OWN_WORDS, "weight": "bold"}
        stage.number("elongation", "{}", x + 44, y + 18, **look)
        stage.number("where", "{}", self.edge_x - 4, y - 16, ha="right", va="top", size=9)
        self.build_curve()
        cells = (
            (20, "Sun's distance", "distance", "{}", style.OWN_WORDS),
            (255, "one arcminute more", "more", "{:+.1f} %", style.DROPPED_WORDS),
            (520, "half before quarter by", "lead", "{}", style.INK),
        )
        stage.heads(cells)

    def build_curve(self):
        """Make the curve of the Sun's distance against the elongation."""
        look = {"xlim": (60, 90), "ylim": (2, 5000), "yscale": "log"}
        graph = self.graph(590, 150, 185, 220, **look)
        graph.axes.grid(False)
        marks = [2, 10, 20, 100, 400, 2000]
        graph.axes.set_yticks(marks, map(str, marks))
        graph.axes.minorticks_off()
        graph.axes.set_xlabel("elongation, in degrees", size=9)
        graph.axes.set_title("Sun's distance / Moon's", size=9, loc="left")
        angles = np.append(np.linspace(60, 89, 59), 90 - np.geomspace(1, 0.02, 30)[1:])
        ratios = sun_distance.distance_ratio(angles * u.deg)
        graph.line(np.column_stack([angles, ratios]), style.SUN, lw=2)
        ancient = float(sun_distance.distance_ratio(87 * u.deg))  # Hyp. 4 (Heath 1913)
        graph.line([(60, ancient), (87, ancient), (87, 2)], style.FAINT, lw=1, ls=":")
        graph.note("Aristarchus, 87°", 61, 1.12 * ancient)
        graph.line([(60, TODAY), (90, TODAY)], style.TODAY, ls=style.DASHED, lw=1.2)
        graph.note("today, 89.85°", 61, 1.12 * TODAY, color=style.TODAY_WORDS)
        graph.dots("dot", size=8)

    def work_out(self, degrees, minutes):
        """Turn the Moon's line to the elongation, and see where the two lines to the Sun meet."""
        angle = degrees + minutes / 60
        ratio, more = (
            float(sun_distance.distance_ratio(min(each, 89.999) * u.deg))
            for each in (angle, angle + 1 / 60)
        )
        turn = np.radians(angle)
        out = np.array([np.cos(turn), np.sin(turn)])
        sunward = np.array([np.sin(turn), -np.cos(turn)])  # from the Moon, at right angles
        moon = self.eye + self.moon_px * out
        sun = self.eye + np.array([ratio * self.moon_px, 0])
        here = sun[0] < self.edge_x
        end = min(sun[0], self.edge_x)
        far = moon + (end - moon[0]) / sunward[0] * sunward
        square = moon + 16 * np.array([-out, -out + sunward, sunward])
        pictures = sun[0] / 800
        pictures = worded("{:,.0f}" if pictures > 5 else "{:.1f}", pictures)
        lead = sun_distance.lead(ratio, today.SYNODIC_MONTH)
        hours, short = lead.to_value(u.h), lead.to_value(u.min)
        return {
            "sides": joined((self.eye, (end, self.eye[1])), (moon, far)),
            "own": (self.eye, moon),
            "corner": square,
            "arc": self.eye + 36 * towards(0, turn),
            "dark": (*moon, self.radius),
            "lit": moon + self.radius * towards(turn - np.pi, turn),  # the half towards the Sun
            # The Sun looks as large as the Moon, so it is as many Moons wide as it is far.
            "sun": (*sun, self.radius * ratio) if here else (*self.eye, 0),
            "elongation": f"{degrees:.0f}° {minutes:02.0f}′",
            "where": "" if here else f"the Sun is {pictures} widths of this picture away →",
            "dot": [(angle, ratio)],
            "distance": worded("{:.1f}" if ratio < 100 else "{:,.0f}", ratio) + " Moon distances",
            "more": 100 * (more / ratio - 1) if angle < 89.98 else "no end",
            "lead": f"{hours:.1f} h" if hours > 2 else f"{short:.0f} min",
        }


class HalfMoonCalls(Drawing):
    """The interval of the elongation, and what becomes of it as a distance."""

    sliders = (
        Slider("scatter", "One call is off by", 0.1, 4, 1.5, 0.1, "°"),
        Slider("calls", "Number of calls", 1, 40, 5, 1, "", ".0f"),
        Slider("late", "All lean towards full by", -3, 3, 0, 0.1, "°"),
    )
    least, most, far = 82, 96, 4000  # degrees; Moon distances, the end of the axis

    def build(self):
        """Make both axes with their marks, and the words below."""
        marks = [5, 10, 20, 50, 100, 400, 2000]
        look = {"ylim": (0, 1), "yticks": []}
        upper = self.graph(60, 300, 690, 60, xlim=(self.least, self.most), **look)
        lower = self.graph(60, 150, 690, 60, xlim=(4, self.far), xscale="log", **look)
        lower.axes.set_xticks(marks, map(str, marks))
        lower.axes.minorticks_off()
        upper.axes.axvspan(90, self.most, color=style.PALE, alpha=0.6, lw=0)
        upper.note("here the lines never meet", 90.15, 0.86, va="center")
        for graph, name, head, value, text in (
            (upper, "angle", "elongation, in degrees", HALF, "true half"),
            (lower, "ratio", "Sun's distance, in Moon distances", TODAY, "today"),
        ):
            graph.axes.set_title(head, size=10, loc="left")
            graph.axes.grid(False)
            graph.axes.spines["left"].set_visible(False)
            graph.axes.axvline(value, color=style.TODAY, ls=style.DASHED, lw=1.4)
            look = {"textcoords": "offset points", "ha": "right", "color": style.TODAY_WORDS}
            graph.axes.annotate(text, (value, 1), (-4, 3), size=9, **look)
            graph.line(f"{name}_bar", style.OWN, lw=7, alpha=0.6)
            graph.line(f"{name}_dot", style.OWN, marker="o", ms=8, ls="")
        lower.line("arrow", style.OWN, marker=">", ms=12, ls="", clip_on=False)
        cells = (
            (60, "Sun's distance", "distance", "{}", style.OWN_WORDS),
            (330, "Sun's diameter", "diameter", "{}", style.OWN_WORDS),
            (600, "today's 389", "held", "{}", style.OWN_WORDS),
        )
        self.pane(0, 0, 800, 110).heads(cells, y=46)

    def work_out(self, scatter, calls, late):
        """Carry the calls' mean and its uncertainty to the distance, by the lesson's functions."""
        spread = scatter / round(calls) ** 0.5 * u.deg
        called = normal("half_moon_elongation", (HALF + late) * u.deg, spread)

        def chain(v):
            elongation = v["called"] + v[TERMINATOR]
            return {"elongation": elongation, "near": sun_distance.nearness(elongation)}

        outcomes = propagate(chain, {"called": called, TERMINATOR: assumption(TERMINATOR)})
        angle, near = outcomes["elongation"], outcomes["near"]
        nowhere = [(np.nan, 0.4)]
        numbers = {
            "angle_bar": [(max(angle.low, self.least), 0.4), (min(angle.high, self.most), 0.4)],
            "angle_dot": [(angle.value, 0.4)],
            "ratio_bar": nowhere,
            "ratio_dot": nowhere,
            "arrow": nowhere,
            "distance": "none: look again",
            "diameter": "none",
            "held": "not held",
        }
        if near.high <= 0:
            return numbers
        ratio = near.upside_down()
        numbers["ratio_bar"] = [(max(ratio.low, 4), 0.4), (min(ratio.high, self.far), 0.4)]
        if ratio.value < self.far:
            numbers["ratio_dot"] = [(ratio.value, 0.4)]
        if ratio.high > self.far:
            numbers["arrow"] = [(self.far, 0.4)]
        earths = [
            float(sun_distance.sun_in_earths(end, 2.7)) if np.isfinite(end) else end
            for end in (ratio.low, ratio.high)
        ]
        numbers["distance"] = ends_in_words(ratio.low, ratio.high)
        numbers["diameter"] = ends_in_words(*earths) + " Earths"
        numbers["held"] = "held" if ratio.low <= TODAY <= ratio.high else "not held"
        return numbers


def towards(start, end):
    """Return an arc of radius 1 about the origin as rows of x and y, between two angles in rad."""
    turn = np.linspace(start, end, 30)
    return np.column_stack([np.cos(turn), np.sin(turn)])


def ends_in_words(low, high):
    """Return an interval in words, which may have no upper end."""
    digits = 1 if low < 10 else 0
    if not np.isfinite(high):
        return f"at least {low:.{digits}f}"
    return f"{low:.{digits}f} to {high:.{digits}f}"
