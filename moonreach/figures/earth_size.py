"""Drawings for lesson 1: two gnomons, a flat Earth under a near Sun, what slips cost."""

import numpy as np
from astropy import units as u

from moonreach import earth_size, modern
from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider

GNOMON = 1 * u.m
PX_PER_KM = 290 / modern.EARTH_RADIUS.to_value(u.km)


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
        self.rays = [self.line(left, style.SUN, lw=1, alpha=0.7) for _ in range(6)]
        self.radii = [self.line(left, style.FAINT, lw=1, ls=":") for _ in range(2)]
        self.wedge = self.line(left, style.OWN, lw=2)
        self.arc_words = self.words(left, color=style.OWN, weight="bold", ha="left", va="top")
        self.places = [self.gnomon(left) for _ in range(2)]
        for x, text, ha in ((20, "north", "left"), (500, "south", "right")):
            left.text(x, 14, text, color=style.FAINT, ha=ha)
        left.text(20, 398, "gnomons drawn a million times too tall", color=style.FAINT, size=9)
        left.text(500, 398, "Sun's rays", color=style.FAINT, size=9, ha="right")
        self.close = []
        for y, name in ((302, "Northern place"), (150, "Southern place")):
            right.plot([530, 790], [y, y], color=style.EARTH, lw=3)
            right.text(530, y + 110, name, weight="bold")
            words = self.words(right, 530, y - 10, va="top")
            self.close.append((y, self.gnomon(right), words))
        right.text(530, 80, "Earth from the two shadows", weight="bold")
        self.sum = self.words(right, 530, 52, color=style.OWN, weight="bold")
        self.how = self.words(right, 530, 28, color=style.FAINT, size=9)

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
        for ray, x in zip(self.rays, (60, 120, 180, 240, 420, 480), strict=True):
            aside = np.array([x, 335.0])
            ray.set_data(*np.array([aside, aside + to_sun * 52]).T)
        tall = PX_PER_KM * 1000
        angles, shadows = [], []
        for a, place, radial in zip((span, 0 * u.deg), self.places, self.radii, strict=True):
            tilt = a.to_value(u.rad)
            up = np.array([-np.sin(tilt), np.cos(tilt)])
            stand = centre + radius * up
            cast(place, stand, up, tall, slope + tilt, to_sun)
            radial.set_data(*np.array([centre, stand]).T)
            shadows.append(np.tan(slope + tilt) * GNOMON)
            angles.append(earth_size.zenith_distance(GNOMON, abs(shadows[-1])))
        along = np.linspace(0, span.to_value(u.rad), 40)
        self.road_line.set_data(*arc_points(centre, radius, along))
        mark = max(70, radius - 170)
        self.wedge.set_data(*arc_points(centre, mark, along))
        self.arc_words.set_position(centre + [8, mark + 4])
        for (y, place, words), shadow, z in zip(self.close, shadows, angles, strict=True):
            sign = np.sign(shadow.value)
            tilt = sign * z.to_value(u.rad)
            sunward = np.array([np.sin(tilt), np.cos(tilt)])
            cast(place, np.array([715, y]), np.array([0, 1]), 75, tilt, sunward)
            words.set_text(f"shadow {abs(shadow).to_value(u.cm):.1f} cm of 1 m:  {z.value:.2f}°")
        opposite = shadows[0] * shadows[1] < 0
        side = "opposite_sides" if opposite else "same_side"
        arc = earth_size.arc(*angles, shadows=side)
        found = earth_size.circumference(arc, road * u.km)
        self.arc_words.set_text(f"{arc.value:.2f}°")
        self.sum.set_text(f"{found.to_value(u.km):,.0f} km around".replace(",", " "))
        sign = "+" if opposite else "−"
        self.how.set_text(
            f"{max(angles).value:.2f}° {sign} {min(angles).value:.2f}°;  "
            f"360° / {arc.value:.2f}° × {road:.0f} km"
        )


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
