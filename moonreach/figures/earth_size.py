"""Drawings for lesson 1: two gnomons on a round Earth, and what each slip there costs."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.bars import Bars
from moonreach.figures.drawing import Drawing, Slider, signed, strokes, thousands
from moonreach.lessons import earth_size, today

GNOMON = 1 * u.m
WHOLE = today.EARTH_DIAMETER * np.pi
PX_PER_KM = 290 / today.EARTH_RADIUS.to_value(u.km)


class TwoGnomons(Drawing):
    """Parallel rays upon a round Earth, two gnomons and their noon shadows."""

    title = "Two noon shadows and the roundness of the Earth"
    caption = (
        "The Sun's rays come parallel. Where the Earth is round, two upright gnomons stand at an "
        "angle to each other, and their shadows differ by just that angle. Move the season: both "
        "shadows change, their difference in angle does not. Make the Earth larger: the same "
        "road takes a smaller angle."
    )
    alternative = (
        "A slice of the Earth with two gnomons at the ends of a road. Parallel rays of the Sun "
        "cast a shadow at each; close-ups give shadow length and angle; below is the circumference."
    )
    sliders = (
        Slider("road", "Road between the places", 200, 1500, 800, 10, "km", ".0f"),
        Slider("earth", "Way round this Earth", 25_000, 80_000, 40_000, 500, "km", ".0f"),
        Slider("sun", "Season: Sun in the south", -10, 35, 0, 0.5, "°"),
    )

    def build(self):
        """Make the slice of the Earth on the left and the two close-ups on the right."""
        left, right = self.stage(0, 0, 520), self.stage(520, 0, 280)
        self.earth = self.area(left, style.EARTH, alpha=0.35)
        self.rim = self.line(left, style.EARTH, lw=2)
        self.road_line = self.line(left, style.EARTH, lw=7, solid_capstyle="butt")
        self.rays = self.line(left, style.SUN, lw=1, alpha=0.7)
        self.radii = self.line(left, style.FAINT, lw=1, ls=":")
        self.wedge = self.line(left, style.OWN, lw=2)
        self.arc_words = self.words(left, color=style.OWN_WORDS, weight="bold", ha="left", va="top")
        self.places = [self.gnomon(left) for _ in range(2)]
        for x, text, ha in ((20, "north", "left"), (500, "south", "right")):
            left.text(x, 14, text, color=style.FAINT, ha=ha)
        left.text(20, 398, "gnomons drawn a million times too tall", color=style.FAINT, size=9)
        left.text(500, 398, "Sun's rays", color=style.FAINT, size=9, ha="right")
        self.close = []
        for y, name in ((312, "Northern place"), (150, "Southern place")):
            right.plot([530, 790], [y, y], color=style.EARTH, lw=3)
            right.text(530, y + 110, name, weight="bold")
            right.text(530, y - 10, "1 m casts", va="top")
            shadow = self.words(right, 676, y - 10, va="top", ha="right")
            angle = self.words(right, 780, y - 10, va="top", ha="right")
            self.close.append((y, self.gnomon(right), shadow, angle))
        right.text(530, 80, "Earth from the two shadows", weight="bold")
        right.text(530, 54, "arc: sum or difference")
        right.text(530, 30, "360° / arc × road")
        self.arc_sum = self.words(right, 780, 54, ha="right", color=style.OWN_WORDS)
        self.sum = self.words(right, 780, 30, ha="right", color=style.OWN_WORDS, weight="bold")

    def gnomon(self, axes):
        """Return the moving ray, shadow and gnomon of one place."""
        ray = self.line(axes, style.SUN, lw=1.6)
        shadow = self.line(axes, style.SHADOW, lw=4, solid_capstyle="butt")
        return ray, shadow, self.line(axes, style.INK, lw=3, solid_capstyle="butt")

    def update(self, road, earth, sun):
        """Stand the gnomons on this Earth, cast their shadows, and find the Earth from them."""
        whole = earth * u.km
        span = (road * u.km / whole * 360 * u.deg).to(u.deg)
        radius = PX_PER_KM * earth / (2 * np.pi)
        foot = np.array([360, 270])
        centre = foot - [0, radius]
        circle = np.array(arc_points(centre, radius, np.linspace(0, 2 * np.pi, 241)))
        self.earth.set_xy(circle.T)
        self.rim.set_data(*circle)
        slope = np.radians(sun)
        to_sun = np.array([np.sin(slope), np.cos(slope)])
        low = [np.array([x, 335]) for x in (60, 120, 180, 240, 420, 480)]
        self.rays.set_data(*strokes((point, point + to_sun * 52) for point in low))
        tall = PX_PER_KM * 1000
        angles, shadows, feet = [], [], []
        for a, place in zip((span, 0 * u.deg), self.places, strict=True):
            tilt = a.to_value(u.rad)
            up = np.array([-np.sin(tilt), np.cos(tilt)])
            stand = centre + radius * up
            cast(place, stand, up, tall, slope + tilt, to_sun)
            feet.append(stand)
            shadows.append(np.tan(slope + tilt) * GNOMON)
            angles.append(earth_size.zenith_distance(GNOMON, abs(shadows[-1])))
        self.radii.set_data(*np.array([feet[0], centre, feet[1]]).T)
        along = np.linspace(0, span.to_value(u.rad), 40)
        self.road_line.set_data(*arc_points(centre, radius, along))
        mark = max(70, radius - 170)
        self.wedge.set_data(*arc_points(centre, mark, along))
        self.arc_words.set_position((centre[0] + 8, centre[1] + mark + 4))
        for (y, place, length, angle), shadow, z in zip(self.close, shadows, angles, strict=True):
            sign = np.sign(shadow.value)
            tilt = sign * z.to_value(u.rad)
            sunward = np.array([np.sin(tilt), np.cos(tilt)])
            cast(place, np.array([715, y]), np.array([0, 1]), 75, tilt, sunward)
            length.set_text(f"{abs(shadow).to_value(u.cm):.1f} cm")
            angle.set_text(f"{z.value:.2f}°")
        side = "opposite_sides" if shadows[0] * shadows[1] < 0 else "same_side"
        arc = earth_size.arc(*angles, shadows=side)
        found = earth_size.circumference(arc, road * u.km)
        self.arc_words.set_text(f"{arc.value:.2f}°")
        self.arc_sum.set_text(f"{arc.value:.2f}°")
        self.sum.set_text(f"{thousands(found.to_value(u.km))} km")


def arc_points(centre, radius, angles):
    """Return the points of a circle at angles counted from the top towards the left."""
    return centre[0] - radius * np.sin(angles), centre[1] + radius * np.cos(angles)


def cast(place, foot, up, tall, angle, to_sun):
    """Stand a gnomon on its foot and cast its shadow along the ground, away from the Sun."""
    ray, shadow, gnomon = place
    ground = np.array([-up[1], up[0]])  # leftwards
    end, top = foot + ground * tall * np.tan(angle), foot + up * tall
    gnomon.set_data(*np.array([foot, top]).T)
    shadow.set_data(*np.array([foot, end]).T)
    ray.set_data(*np.array([end, top + to_sun * 0.8 * tall]).T)


class EarthCosts(Drawing):
    """What a road aslant, different days and a wrong edge cost, alone and together."""

    title = "What if …? The cost on the size of the Earth"
    caption = (
        "Each bar is one slip alone: how many per cent too large or too small it makes the Earth. "
        "Lengthen the road and watch which costs shrink. Days apart cost most when the Sun's "
        "noon height changes fastest, near the equinoxes."
    )
    alternative = (
        "Four bars with the cost in per cent on Earth's circumference: the road taken as if it ran "
        "due north, the shadows read on different days, the full shadow read at one place and the "
        "middle of the blur at the other, and all three together."
    )
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
        """Make one bar for each slip and one for all."""
        stage = self.stage()
        stage.text(20, 398, "per cent too large (to the right) or too small", color=style.FAINT)
        colors = [style.DROPPED] * 3 + [style.OWN]
        self.bars = Bars(self, stage, self.names, 400, 335, 62, 6, (-25, 50), colors, 20)
        stage.text(20, 66, "Arc between the places")
        stage.text(20, 36, "Sun's noon height changes")
        self.arc_words = self.words(stage, 330, 66, ha="right")
        self.sun_words = self.words(stage, 330, 36, ha="right")

    def update(self, road, bearing, days, date, edge):
        """Take the same two readings with each slip, and with all."""
        road = road * u.km
        north_south = earth_size.north_south_distance(road, bearing * u.deg)
        arc = (north_south / WHOLE * 360).to_value(u.one) * u.deg
        start = (date - 1) * u.day  # counted in the year 2000
        sun = earth_size.sun_declination(start)
        change = earth_size.sun_declination(start + days * u.day) - sun
        blur = edge / 100 * today.SUN_SEMIDIAMETER
        south = 60 * u.deg  # any: it falls out of the difference

        def cost(distance, later, unseen):
            found = earth_size.arc(south + arc - later - unseen, south)
            return (earth_size.circumference(found, distance) / WHOLE - 1).to_value(u.percent)

        none = 0 * u.deg
        self.bars.set(
            (
                cost(road, none, none),
                cost(north_south, change, none),
                cost(north_south, none, blur),
                cost(road, change, blur),
            )
        )
        self.arc_words.set_text(f"{arc.value:.2f}°")
        self.sun_words.set_text(f"{signed(change.to_value(u.arcmin))}′")
