"""Pictures as dots: drawn by a rasterizer of its own, with the shipped fonts and no other."""

from __future__ import annotations

import io
from importlib.resources import files

import resvg_py
from PIL import Image

from fieldvoice.output.drawing.media import svg
from fieldvoice.output.drawing.picture import Picture

_FONTS = files("fieldvoice") / "output" / "fonts"
FONTS = [str(_FONTS / "DejaVuSans.ttf"), str(_FONTS / "DejaVuSans-Bold.ttf")]
DOTS = 8
"""To a millimeter."""


def png(picture: Picture) -> Image.Image:
    """The picture in gray, `DOTS` to a millimeter."""
    text = svg(picture)
    for size in (picture.width, picture.height):
        text = text.replace(f'="{size:g}mm"', f'="{round(size * DOTS)}"', 1)
    data = resvg_py.svg_to_bytes(svg_string=text, background="white", font_files=FONTS, skip_system_fonts=True)
    return Image.open(io.BytesIO(bytes(data))).convert("L")


def ink(image: Image.Image) -> float:
    """How much of it is black, from 0 to 1."""
    histogram = image.histogram()
    return sum(histogram[:128]) / sum(histogram)
