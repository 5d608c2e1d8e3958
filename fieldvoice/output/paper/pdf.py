"""Pictures as the pages of a PDF, with the shipped fonts embedded and the same bytes each time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO
from typing import TYPE_CHECKING

from fieldvoice.output.drawing import lettering
from fieldvoice.output.drawing.picture import XY, Area, Circle, Label, Mark, Picture, Stroke
from fieldvoice.output.printable import printable

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_POINT = 72 / 25.4
"""Points of 1/72 in to a millimeter."""
_PLAIN, _BOLD = "DejaVuSans", "DejaVuSans-Bold"


def pdf(pages: Sequence[Picture], title: str) -> bytes:
    """A PDF of one picture a page. No date and no random name is in it: what it was made from, and when, is in its
    text.
    """
    from reportlab.pdfgen.canvas import Canvas

    _fonts()
    out = BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1)
    canvas.setTitle(printable(title))
    canvas.setAuthor("")
    canvas.setCreator("fieldvoice")
    for page in pages:
        canvas.setPageSize((page.width * _POINT, page.height * _POINT))
        canvas.translate(0, page.height * _POINT)
        canvas.scale(_POINT, _POINT)
        for mark in page.marks:
            _draw(canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@cache
def _fonts() -> frozenset[int]:
    """Makes the shipped fonts known, and tells which characters they have."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    known: set[int] = set()
    for name in (_PLAIN, _BOLD):
        with as_file(files("fieldvoice") / "output" / "fonts" / f"{name}.ttf") as path:
            font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
        known = known & set(font.face.charToGlyph) if known else set(font.face.charToGlyph)
    return frozenset(known)


def _draw(canvas: Canvas, mark: Mark) -> None:
    match mark:
        case Stroke():
            canvas.setLineWidth(mark.weight)
            canvas.setDash(list(mark.dash))
            canvas.drawPath(_path(canvas, mark.points, closed=mark.closed), stroke=1, fill=0)
        case Area():
            canvas.setFillGray(mark.gray)
            canvas.drawPath(_path(canvas, mark.points, closed=True), stroke=0, fill=1)
            canvas.setFillGray(0)
        case Circle():
            canvas.setLineWidth(mark.weight)
            canvas.setDash([])
            canvas.setFillGray(1)
            canvas.circle(mark.center[0], -mark.center[1], mark.radius, stroke=1, fill=int(mark.clear))
            canvas.setFillGray(0)
        case Label():
            _write(canvas, mark)


def _path(canvas: Canvas, points: tuple[XY, ...], *, closed: bool) -> object:
    path = canvas.beginPath()
    for number, (x, y) in enumerate(points):
        (path.lineTo if number else path.moveTo)(x, -y)
    if closed:
        path.close()
    return path


def _write(canvas: Canvas, label: Label) -> None:
    if label.clear:
        frame = label.frame
        canvas.setFillGray(1)
        canvas.rect(frame.left, -frame.bottom, frame.right - frame.left, frame.bottom - frame.top, stroke=0, fill=1)
        canvas.setFillGray(0)
    size = label.height / lettering.CAPITAL
    name = _BOLD if label.bold else _PLAIN
    canvas.saveState()
    canvas.translate(label.x, -label.y)
    if label.turned:
        canvas.rotate(90)
    text = canvas.beginText(label.start, 0)
    for run in lettering.runs(label.text, bold=label.bold, fractions=label.fractions):
        text.setFont(name, size * run.scale)
        text.setRise(run.rise * label.height)
        text.textOut(_known(run.text))
    canvas.drawText(text)
    canvas.restoreState()


def _known(text: str) -> str:
    """The text with a sign for each character that the fonts don't have or that can't be printed: nothing is left out
    in silence.
    """
    return "".join(each if ord(each) in _fonts() else "\N{REPLACEMENT CHARACTER}" for each in printable(text))
