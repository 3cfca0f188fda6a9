"""The seven lessons: pure functions on quantities, one formula for numbers, arrays and clouds.

The hints name what a value measures. A scalar, an array and astropy's Distribution of quantities
all are a `Quantity`, and a function returns the kind that it was given; a distance counted in Earth
or Moon diameters, or a ratio, may also be a plain `Number`.
"""

from astropy import units as u

Length = Angle = Duration = Rate = u.Quantity
Number = float | u.Quantity
