"""Pictures for other programs: as SVG 1.1, a file of its own or a piece of a page; and as the pages of a PDF, with the
shipped fonts embedded and the same bytes each time.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from fieldvoice.output.drawing.picture import CAPITAL, FONT, XY, Area, Circle, Label, Mark, Picture, Stroke, runs
from fieldvoice.output.text import printable

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


_FAMILIES = f"'{FONT}', Verdana, sans-serif"
"""The shipped font, then the one that other machines have with the same widths."""


def svg(picture: Picture) -> str:
    """The picture in its size on paper. Foreign text is escaped, and what XML can't hold is shown as a mark."""
    wide, high = _number(picture.width), _number(picture.height)
    marks = "\n".join(_mark(mark) for mark in picture.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}" '
        f'role="img" font-family="{_FAMILIES}">\n<title>{_text(picture.title)}</title>\n{marks}\n</svg>\n'
    )


def _mark(mark: Mark) -> str:
    match mark:
        case Stroke():
            shape = "polygon" if mark.closed else "polyline"
            dash = f' stroke-dasharray="{" ".join(map(_number, mark.dash))}"' if mark.dash else ""
            return (
                f'<{shape} points="{_points(mark.points)}" fill="none" stroke="#000" '
                f'stroke-width="{_number(mark.weight)}"{dash}/>'
            )
        case Area():
            level = round(mark.gray * 255)
            return f'<polygon points="{_points(mark.points)}" fill="rgb({level},{level},{level})"/>'
        case Circle():
            x, y = mark.center
            fill = "#fff" if mark.clear else "none"
            return (
                f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(mark.radius)}" fill="{fill}" stroke="#000" '
                f'stroke-width="{_number(mark.weight)}"/>'
            )
        case Label():
            return _label(mark)


def _label(label: Label) -> str:
    size = label.height / CAPITAL
    turn = f' transform="rotate(-90 {_number(label.x)} {_number(label.y)})"' if label.turned else ""
    weight = ' font-weight="bold"' if label.bold else ""
    pieces = "".join(
        f'<tspan x="{_number(label.x + label.start + run.x * label.height)}" '
        f'y="{_number(label.y - run.rise * label.height)}" font-size="{_number(size * run.scale)}">{_text(run.text)}'
        "</tspan>"
        for run in runs(label.text, bold=label.bold, fractions=label.fractions)
    )
    return f'{_behind(label)}<text xml:space="preserve"{weight}{turn}>{pieces}</text>'


def _behind(label: Label) -> str:
    if not label.clear:
        return ""
    frame = label.frame
    return (
        f'<rect x="{_number(frame.left)}" y="{_number(frame.top)}" width="{_number(frame.right - frame.left)}" '
        f'height="{_number(frame.bottom - frame.top)}" fill="#fff"/>'
    )


def _points(points: tuple[XY, ...]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"", "-0"} else text


def _text(text: str) -> str:
    """Escaped, with a sign for what can't be printed or would turn the direction of writing."""
    return escape(printable(text))


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
    size = label.height / CAPITAL
    name = _BOLD if label.bold else _PLAIN
    canvas.saveState()
    canvas.translate(label.x, -label.y)
    if label.turned:
        canvas.rotate(90)
    text = canvas.beginText(label.start, 0)
    for run in runs(label.text, bold=label.bold, fractions=label.fractions):
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
