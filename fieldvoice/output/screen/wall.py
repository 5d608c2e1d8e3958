"""The look for a wall or a ceiling as a whole: its boards where they hang, which is next, and what is asked."""

from __future__ import annotations

from collections.abc import Iterator

from rich.text import Text

from fieldvoice.dialogue.view import View
from fieldvoice.output.screen.parts import Lines, Medium, bar, fitted, heard, question, trouble, wrapped
from fieldvoice.output.wall_sketch import wall_sketch
from fieldvoice.records.room_plan import Piece, PieceName, SurfaceAtHand
from fieldvoice.wording import screen as wording
from fieldvoice.wording import surfaces

LEAST_ROWS = 6
"""In fewer a wall can't be made out."""


def wall(view: View, surface: SurfaceAtHand, columns: int, rows: int, medium: Medium) -> Lines:
    """Framed by shade as measuring is: nothing here is to cut to. What only informs goes first where rows are short."""
    mode = wording.HOLDING if view.holding else surfaces.sized(surface.name, surface.sides, view.unit)
    head = (bar(mode, columns, medium.draft, ""), *question(view, columns), *trouble(view, columns))
    room = rows - len(head) - 1
    return (*head, *fitted(columns, room, *_bodies(view, surface, columns, room, medium)), Text(medium.draft * columns))


def _bodies(view: View, surface: SurfaceAtHand, columns: int, rows: int, medium: Medium) -> Iterator[Lines]:
    said = heard(view, columns)
    asked = view.last is not None and view.last.asks
    ahead = () if asked else wrapped("", surfaces.what_is_next(surface, view.unit), columns, "bold")
    pieces = _pieces(view, surface, columns, medium)
    for under in ((*ahead, *pieces, *said), (*ahead, *said), ahead):
        drawn = _drawn(surface, columns, rows - len(under), medium)
        if drawn:
            yield (*drawn, *under)
    yield (*ahead, *pieces, *said)
    yield (*ahead, *said)
    yield ahead


def _drawn(surface: SurfaceAtHand, columns: int, rows: int, medium: Medium) -> Lines:
    if surface.plan is None or rows < LEAST_ROWS:
        return ()
    names = {piece.name: _name(surface, piece.name, medium) for piece in surface.plan.pieces}
    layer = surface.layer
    return tuple(Text(line) for line in wall_sketch(surface.plan, names, columns, rows, medium.wall, layer))


def _name(surface: SurfaceAtHand, piece: PieceName, medium: Medium) -> str:
    """The number of a piece: between arrows the next one, in brackets one that is cut."""
    number = str(piece.number)
    if piece == surface.next:
        return f"{medium.arrows[1]}{number}{medium.arrows[0]}"
    return f"({number})" if piece in surface.cut else number


def _pieces(view: View, surface: SurfaceAtHand, columns: int, medium: Medium) -> Lines:
    """Every piece in the order of hanging, in a line each."""
    pieces: tuple[Piece, ...] = () if surface.plan is None else surface.plan.pieces
    return tuple(
        line
        for piece in pieces
        for line in wrapped(
            f"{_name(surface, piece.name, medium):>5}  ",
            surfaces.piece_line(piece, surface, view.unit),
            columns,
            "bold" if piece.name == surface.next else "dim" if piece.name in surface.cut else "",
        )
    )
