"""The Earth's shadow at the Moon: how wide, by which rule."""

import numpy as np

# Each rule: what multiplies the Moon's parallax p, then the whole radius.
# Umbra: whole (p factor) - whole s' + whole p'; penumbra: with + s'.
RULES = {
    # Danjon (1951): air of 1/85 of the Earth's radius, less the flattening at latitude 45 deg:
    # 1 + 1/85 - 1/594 = 1.01; Espenak and Meeus (2009), NASA/TP-2009-214173, section 1.5.
    "danjon": (1.01, 1.0),
    # Chauvenet's 1/50 of the whole, in almanacs until lately; the same source, eqs 1-3 and 1-4.
    "fiftieth": (0.998340, 1.02),
    # No air: the mean radius at latitude 45 deg alone casts the shadow.
    "airless": (0.998340, 1.0),
}


def shadow_radii(moon_parallax, sun_parallax, sun_semidiameter, rule="danjon"):
    """Return the radii of umbra and penumbra at the Moon, in the unit of the arguments.

    `rule` is "danjon" (default), "fiftieth" (the older almanacs' 1/50) or "airless". Raises
    ValueError for another rule. Source: Espenak and Meeus (2009), NASA/TP-2009-214173, sec. 1.5.

    >>> umbra, penumbra = shadow_radii(57.04, 0.147, 15.99)  # arcminutes, at mean distances
    >>> umbra.round(2).item(), penumbra.round(2).item()
    (41.77, 73.75)
    """
    if rule not in RULES:
        raise ValueError(f"shadow rule {rule!r} is not known; there are {', '.join(RULES)}")
    parallax_factor, whole = RULES[rule]
    middle = parallax_factor * np.asarray(moon_parallax) + sun_parallax
    return whole * (middle - sun_semidiameter), whole * (middle + sun_semidiameter)
