"""What is drawn with matplotlib as pixels, and as the bytes of a file."""

import io

from PIL import Image


def pixels(canvas):
    """Return what is drawn on a canvas, as Pillow's image."""
    size = canvas.get_width_height()
    return Image.frombuffer("RGBA", size, canvas.buffer_rgba()).convert("RGB")


def encoded(pixels, kind, **how):
    """Return pixels as the bytes of a file of that kind; ``how`` as for Pillow."""
    picture = io.BytesIO()
    pixels.save(picture, kind, **how)
    return picture.getvalue()


def drawn(canvas):
    """Draw a canvas, and return it as a small PNG, of 256 colours."""
    canvas.draw()
    return encoded(pixels(canvas).quantize(256, dither=Image.Dither.NONE), "PNG")


def saved(figure, kind, **how):
    """Return a figure as the bytes of a file of that kind; ``how`` as for matplotlib."""
    picture = io.BytesIO()
    figure.savefig(picture, format=kind, **how)
    return picture.getvalue()
