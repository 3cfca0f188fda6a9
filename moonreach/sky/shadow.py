"""The Earth's shadow at the Moon: how wide, by which rule."""

from moonreach.lessons.shadow_cone import umbra_semidiameter


def shadow_radii(moon_parallax, sun_parallax, sun_semidiameter, rule="danjon"):
    """Return the radii of umbra and penumbra at the Moon, in the unit of the arguments.

    `rule` is one of the lesson's `SHADOW_RULES`. Raises `Impossible` for another. The penumbra has
    the Sun's semidiameter added where the umbra has it taken off. Source: Espenak and Meeus
    (2009), NASA/TP-2009-214173, sec. 1.5.

    >>> umbra, penumbra = shadow_radii(57.04, 0.147, 15.99)  # arcminutes, at mean distances
    >>> round(umbra, 2), round(penumbra, 2)
    (41.77, 73.75)
    """
    umbra = umbra_semidiameter(moon_parallax, sun_parallax, sun_semidiameter, rule)
    penumbra = umbra_semidiameter(moon_parallax, sun_parallax, -sun_semidiameter, rule)
    return umbra, penumbra
