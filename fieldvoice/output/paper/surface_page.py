"""A page a wall or ceiling: it drawn with its sheets, joints, openings and framing, and its boards in their order."""

from __future__ import annotations

from collections.abc import Iterator

from fieldvoice.output.documents.room import size_text
from fieldvoice.output.drawing.picture import Anchor, Label, Mark, Picture, Stroke, moved
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.paper.blocks import (
    HEAD,
    MARGIN,
    SMALL,
    Block,
    Made,
    Paper,
    flowed,
    heading,
    joined,
    paragraph,
)
from fieldvoice.records.length import Unit
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Pattern, Piece, RoomPlan, SurfacePlan
from fieldvoice.wording import paper as wording
from fieldvoice.wording.room import butt_joint, cut_from_text, piece_text

HIGHEST = 140.0
"""How high a drawing is at most, in millimeters: its boards are listed under it."""
LETTERS = (3.2, 2.5, 2.1, 1.8, 1.3, 0.9)


def surface_pages(plan: RoomPlan, paper: Paper, made: Made) -> tuple[Picture, ...]:
    """The pages of every surface, layer by layer. Raises `ValueError` where one can't be drawn on that paper."""
    return tuple(
        page
        for surface in plan.surfaces
        for layer in range(1, surface.surface.layers + 1)
        for page in _pages(plan, surface, layer, paper, made)
    )


def _pages(plan: RoomPlan, surface: SurfacePlan, layer: int, paper: Paper, made: Made) -> Iterator[Picture]:
    width = paper.width - 2 * MARGIN
    across, up = surface.surface.width, surface.surface.highest
    high = min(HIGHEST, width * float(up.inches / across.inches) + 30)
    picture = wall_picture(surface, plan.unit, width, high, layer=layer, letters=LETTERS)
    top = MARGIN + 10
    blocks = list(_listed(plan, surface, layer, width))
    columns = flowed(blocks, (top + high + 4, top), paper.height - MARGIN - 6, MARGIN)
    for number, marks in enumerate(columns, 1):
        drawn = tuple(moved(mark, MARGIN, top) for mark in picture.marks) if number == 1 else ()
        frame = _frame(picture.title, (number, len(columns)), paper, made)
        yield Picture(paper.width, paper.height, (*frame, *drawn, *marks), picture.title)


def _frame(title: str, number: tuple[int, int], paper: Paper, made: Made) -> Iterator[Mark]:
    right, base = paper.width - MARGIN, paper.height - MARGIN
    name = title if number[0] == 1 else wording.continued(title)
    yield Label(MARGIN, MARGIN + HEAD, name, HEAD, Anchor.START, bold=True, fractions=False)
    yield Stroke(((MARGIN, MARGIN + 7.6), (right, MARGIN + 7.6)), 0.5)
    line = wording.printed(made.at, made.job, made.last, made.version)
    yield Label(MARGIN, base, line, SMALL, Anchor.START, fractions=False)
    yield Label(right, base, wording.page_of(*number), SMALL, Anchor.END, fractions=False)


def _listed(plan: RoomPlan, surface: SurfacePlan, layer: int, width: float) -> Iterator[Block]:
    """The boards in the order of hanging, each with a box to tick and what it is cut from."""
    unit = plan.unit
    rows = [_row(piece, plan.patterns, unit, width) for piece in surface.pieces if piece.layer == layer]
    yield joined([heading(wording.HANGING_ORDER, width), *rows[:1]])
    yield from rows[1:]
    yield paragraph(f"{name_of(surface.surface)}: {butt_joint(surface.butt_feet, unit)}.", width)


def _row(piece: Piece, patterns: tuple[Pattern, ...], unit: Unit, width: float) -> Block:
    square = Stroke(((0, 0.2), (4.2, 0.2), (4.2, 4.4), (0, 4.4)), 0.35, closed=True)
    text = paragraph(piece_text(piece, unit), width - 7, letter=2.8, bold=True, after=0)
    pattern = next((one for one in patterns if any(each.name == piece.name for each in one.pieces)), None)
    source = cut_from_text(
        size_text(piece.sheet, unit),
        pattern.offcut.name if pattern is not None and pattern.offcut is not None else None,
        [str(each.name) for each in pattern.pieces if each.name != piece.name] if pattern is not None else [],
    )
    under = paragraph(source, width - 7, letter=SMALL, after=0)
    block = joined([text, under, Block((), 1.6)])
    return Block((square, *(moved(mark, 7, 0) for mark in block.marks)), block.height)
