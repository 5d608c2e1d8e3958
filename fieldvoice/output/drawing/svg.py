"""A picture as SVG 1.1: a file of its own, or a piece of a page."""

from __future__ import annotations

from xml.sax.saxutils import escape

from fieldvoice.output.drawing import lettering
from fieldvoice.output.drawing.picture import XY, Area, Circle, Label, Mark, Picture, Stroke
from fieldvoice.output.printable import printable

_FAMILIES = f"'{lettering.FONT}', Verdana, sans-serif"
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
    size = label.height / lettering.CAPITAL
    turn = f' transform="rotate(-90 {_number(label.x)} {_number(label.y)})"' if label.turned else ""
    weight = ' font-weight="bold"' if label.bold else ""
    pieces = "".join(
        f'<tspan x="{_number(label.x + label.start + run.x * label.height)}" '
        f'y="{_number(label.y - run.rise * label.height)}" font-size="{_number(size * run.scale)}">{_text(run.text)}'
        "</tspan>"
        for run in lettering.runs(label.text, bold=label.bold, fractions=label.fractions)
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
