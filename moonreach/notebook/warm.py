"""What a kernel does before anybody opens a page: it imports and works out what lessons share."""

import tempfile


def warm() -> None:
    """Import what the lessons use, and fill what is worked out once; no group's folder is read."""
    from moonreach.figures import clickable, live, overlay, own_result, to_scale  # noqa: F401
    from moonreach.figures.earth_size import TwoGnomons
    from moonreach.notebook import by_machine, desk, form, half_moon, sky_menu  # noqa: F401

    with tempfile.TemporaryDirectory() as empty:
        repr(desk.Desk("moon_distance", work=empty).result())
    sky_menu.nights()
    drawing = TwoGnomons()
    drawing.png()
    drawing.jpeg()
