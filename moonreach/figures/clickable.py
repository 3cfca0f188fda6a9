"""A drawing on a canvas that can be clicked: ipympl's, bare, and fast enough to drag on."""

import threading
import warnings

from ipympl.backend_nbagg import Canvas, FigureManager


class Clickable(Canvas):
    """ipympl's canvas, which draws only the clicks anew whenever the browser asks for a picture.

    Pictures that were pushed unasked could overtake each other there, and leave half a circle.
    """

    drawing = None
    turn = threading.RLock()  # clicks, sliders and drawing may come on two threads at once

    def draw(self):
        """Draw what has changed, and send it."""
        with self.turn:
            if self.drawing and self.drawing.draw_clicks():
                self.blit()
            else:
                super().draw()


def clickable(drawing):
    """Return the canvas of a drawing made on `Clickable`, without tools or keys of its own.

    The drawing has ``draw_clicks()``: draw what moves, or return False where all must be drawn.
    """
    canvas = drawing.canvas
    canvas.drawing = drawing
    with warnings.catch_warnings():  # of how ipympl makes its own tools
        warnings.simplefilter("ignore", DeprecationWarning)
        manager = FigureManager(canvas, 0)
    canvas.mpl_disconnect(manager.key_press_handler_id)
    canvas.toolbar_visible = canvas.header_visible = canvas.footer_visible = False
    canvas.resizable = False
    return canvas
