"""The seven lessons: pure functions on quantities, one formula for numbers, arrays and clouds."""
