"""Drawings for lesson 6: half Moon's triangle, and how sure calls of half can be."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.parts import worded
from moonreach.figures.shapes import arc, joined, outwards, rows
from moonreach.lessons import moon_phase, sun_distance, today
from moonreach.reduction.further import TERMINATOR
from moonreach.reduction.inputs import assumption
from moonreach.reduction.propagation import propagate
from moonreach.reduction.uncertainty import normal

TODAY = today.SUN_MOON_DISTANCE_RATIO
HALF = moon_phase.elongation_at_half(TODAY).to_value(u.deg)


class HalfMoonTriangle(Drawing):
    """The right-angled triangle at true angles, the curve of n beside it."""

    eye, edge_x = np.array([60.0, 110.0]), 520  # where the picture of the triangle ends
    moon_px, radius = 150, 13  # the Moon's distance; its size
    times = 2 * radius * 110.6 / moon_px  # the mean Moon is 110.6 of its widths away
    angles = np.append(np.linspace(60, 89, 59), 90 - np.geomspace(1, 0.02, 30)[1:])
    curve = rows(angles, sun_distance.distance_ratio(angles * u.deg))
    ratio = float(sun_distance.distance_ratio(87 * u.deg))  # Hyp. 4 (Heath 1913)
    ancient, ancient_at = [(60, ratio), (87, ratio), (87, 2)], (61, 1.12 * ratio)
    now, now_at = [(60, TODAY), (90, TODAY)], (61, 1.12 * TODAY)
    beside, strip, px_per_earth = (100, 340), (530, 53), 10  # the Sun's edge; end, half height

    def work_out(self, degrees, minutes):
        """Turn the Moon's line to the elongation, and see where the two lines to the Sun meet."""
        angle = degrees + minutes / 60
        ratio, more = (
            float(sun_distance.distance_ratio(min(each, 89.999) * u.deg))
            for each in (angle, angle + 1 / 60)
        )
        turn = np.radians(angle)
        out, sunward = outwards(turn), outwards(turn - np.pi / 2)  # to the Moon, and on from there
        moon = self.eye + self.moon_px * out
        sun = self.eye + np.array([ratio * self.moon_px, 0])
        here = sun[0] < self.edge_x
        end = min(sun[0], self.edge_x)
        far = moon + (end - moon[0]) / sunward[0] * sunward
        times = (sun[0] - self.eye[0]) / (self.edge_x - self.eye[0])
        times = worded("{:,.0f}" if times > 5 else "{:.1f}", times)
        sun_px = self.px_per_earth * float(sun_distance.sun_in_earths(ratio, 2.7)) / 2
        lead = moon_phase.lead(ratio, today.SYNODIC_MONTH)
        hours, short = lead.to_value(u.h), lead.to_value(u.min)
        return {
            "sides": joined((self.eye, (end, self.eye[1])), (moon, far)),
            "own": (self.eye, moon),
            "corner": moon + 16 * np.array([-out, -out + sunward, sunward]),
            "arc": arc(0, turn, self.eye, 36),
            "dark": (*moon, self.radius),
            "lit": arc(turn - np.pi, turn, moon, self.radius),  # the half towards the Sun
            # The Sun looks as large as the Moon, so it is as many Moons wide as it is far.
            "sun": (*sun, self.radius * ratio) if here else (*self.eye, 0),
            "sun_beside": self.in_strip(sun_px),
            "scale": "Earth and Sun to one scale" + ", the Sun cut off" * self.is_cut(sun_px),
            "elongation": f"{degrees:.0f}° {minutes:02.0f}′",
            "where": "" if here else f"the Sun is {times} times as far as this end →",
            "dot": (angle, ratio),
            "distance": worded("{:.1f}" if ratio < 100 else "{:,.0f}", ratio) + " Moon distances",
            "more": 100 * (more / ratio - 1) if angle < 89.98 else "no limit",
            "lead": f"{hours:.1f} h" if hours > 2 else f"{short:.0f} min",
        }

    def is_cut(self, radius):
        """Return whether a Sun beside the Earth reaches out of its strip."""
        end, half_height = self.strip
        return radius > min(half_height, (end - self.beside[0]) / 2)

    def in_strip(self, radius):
        """Return the outline of a Sun beside the Earth, as far as it is in its strip."""
        end, half_height = self.strip
        middle = self.beside + np.array((radius, 0))
        half = np.arcsin(min(1, half_height / radius))
        left, right = (arc(at - half, at + half, middle, radius) for at in (np.pi, 0))
        return np.minimum(np.vstack((left, right)), (end, np.inf))


class HalfMoonCalls(Drawing):
    """The interval of the elongation, and what becomes of it as a distance."""

    far = 4000  # Moon distances, the end of the axis
    half, now = [(HALF, 0), (HALF, 1)], [(TODAY, 0), (TODAY, 1)]

    def work_out(self, scatter, calls, late):
        """Carry the calls' mean and its uncertainty to the distance, by the lesson's functions."""
        spread = scatter / round(calls) ** 0.5 * u.deg
        called = normal("half_moon_elongation", (HALF + late) * u.deg, spread)

        def chain(v):
            elongation = v["called"] + v[TERMINATOR]
            return {"elongation": elongation, "near": sun_distance.nearness(elongation)}

        outcomes = propagate(chain, {"called": called, TERMINATOR: assumption(TERMINATOR)})
        angle, near = outcomes["elongation"], outcomes["near"]
        numbers = {
            "angle_bar": [(angle.low, 0.4), (angle.high, 0.4)],
            "angle_dot": (angle.value, 0.4),
        }
        if near.high <= 0:
            nowhere = dict.fromkeys(("ratio_bar", "ratio_dot", "arrow"), (np.nan, 0.4))
            none = {"distance": "none: look again", "diameter": "none", "held": "outside"}
            return numbers | nowhere | none
        ratio = near.upside_down()
        earths = [
            float(sun_distance.sun_in_earths(end, 2.7)) if np.isfinite(end) else end
            for end in (ratio.low, ratio.high)
        ]
        return numbers | {
            "ratio_bar": [(ratio.low, 0.4), (min(ratio.high, self.far), 0.4)],
            "ratio_dot": (ratio.value, 0.4),
            "arrow": (self.far if ratio.high > self.far else np.nan, 0.4),
            "distance": ends_in_words(ratio.low, ratio.high) + " Moon distances",
            "diameter": ends_in_words(*earths) + " Earths",
            "held": "inside" if ratio.low <= TODAY <= ratio.high else "outside",
        }


def ends_in_words(low, high):
    """Return an interval in words, which may have no upper end."""
    digits = 1 if low < 10 else 0
    if not np.isfinite(high):
        return f"at least {low:.{digits}f}"
    return f"{low:.{digits}f} to {high:.{digits}f}"
