"""A cottage of two rooms by voice alone, from the bare walls to the last screw: every wall is called, every board is
measured in walls that are a bit otherwise than they were called, and the answers are held against counts of our own.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from math import ceil
from typing import NamedTuple

import pytest

from fieldvoice.dialogue.finishing import plan_now
from fieldvoice.dialogue.layouts import planned
from fieldvoice.dialogue.rooms import rooms
from fieldvoice.records.board import Surface
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Dimension, Edge, Neighbor
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Piece, RoomPlan
from tests.dialogue.talk import Wall

ROOMS = """
we're in the kitchen
the ceiling is 14 feet by 10 feet
joists 16 on center
there's a 6 inch light center 56 from the left, center 60 from the top
north wall 14 feet wide, 96 and a half high
studs 16 on center from the left
window 48 wide by 36 and a half high, 60 from the left, 42 up
east wall is 10 feet by 96 and a half
16 on center
door 34 wide by 82 and a half high, 24 from the left
south wall 168 by 96 1/2, 16 on center
west wall 120 by 96 and a half
studs 16 on center from the right
what's the layout
bathroom
ceiling 96 by 120 5/8
joists 16 on center
light center 30 from the left, center 60 from the top
6 inches
the north wall is 96 wide and 96 and a half high, studs 16 on center
window 24 by 24, 36 from left, 54 up
east wall 120 by 96 and a half, right side 84
16 on center
south wall 96 by 84
16 on center
two layers
5/8 board
type x
west wall 120 by 84, right side 96 and a half
one layer
1/2 board
regular
studs 16 on center
door 30 wide 82 1/2 high 80 from the left
what's the layout
"""
SURFACES = (
    *("kitchen ceiling", "kitchen north wall", "kitchen east wall", "kitchen south wall", "kitchen west wall"),
    *("bathroom ceiling", "bathroom north wall", "bathroom east wall", "bathroom south wall", "bathroom west wall"),
)
OFF = {
    "kitchen ceiling": ("1/8", "-1/8", "0", "0"),
    "kitchen north wall": ("-1/4", "-1/8", "1/8", "1/4"),
    "kitchen east wall": ("-1/4", "-1/4", "0", "-1/8"),
    "kitchen south wall": ("-1/8", "0", "1/8", "0"),
    "bathroom north wall": ("-1/8", "-1/8", "0", "1/8"),
}
"""How much longer the tape finds a wall above and below than it was called, and how much higher left and right."""
NOTHING_OFF = ("0", "0", "0", "0")


class Hung(NamedTuple):
    """A board: its name, the words that opened it, its piece of the layout, and which screws it was said to want."""

    name: str
    opened: str
    piece: Piece
    fastened: str

    @property
    def screws(self) -> int:
        """How many it was said to want."""
        return int(self.fastened.split(" screws")[0])


class Talk(NamedTuple):
    """A talk from its first word to its last: who talked, each line with its answer, and the boards."""

    wall: Wall
    lines: tuple[tuple[str, str], ...]
    boards: tuple[Hung, ...]

    @property
    def plan(self) -> RoomPlan:
        """The layout that stands at its end."""
        made = self.wall.view.room_plan
        assert made is not None
        return made


def tape(piece: Piece, width: Length, height: Length, surface: str) -> tuple[Length, ...]:
    """What the tape says at the hole of a piece: top, bottom, left, right; where the wall ends, the wall's own."""
    off = map(Length, OFF.get(surface, NOTHING_OFF))
    top, bottom, left, right = off
    across = (top, bottom) if piece.edges[Edge.RIGHT].neighbor is Neighbor.WALL else (ZERO, ZERO)
    up = (left, right) if piece.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR else (ZERO, ZERO)
    gap = height - piece.height
    return (
        *(width + each for each in across),
        piece.left_height + gap + up[0],
        piece.right_height + gap + up[1],
    )


@cache
def talked() -> Talk:
    """The whole talk, once."""
    wall, lines, boards = Wall(), list[tuple[str, str]](), list[Hung]()

    def says(line: str) -> str:
        lines.append((line, wall.types(line)))
        return lines[-1][1]

    for line in ROOMS.strip().splitlines():
        says(line)
    for surface in SURFACES:
        says(surface)
        while _goes_on(wall, surface):
            opened = says("next board")
            known = planned(wall.session.state, wall.view.board)
            assert known is not None, opened
            top, bottom, left, right = tape(known.piece, known.width, known.height, surface)
            says(f"top {top.text()}, bottom {bottom.text()}")
            says(f"left {left.text()}, right {right.text()}")
            for line in _light(known.piece) if "a light" in opened else ():
                says(line)
            says("done")
            boards.append(Hung(wall.view.board, opened, known.piece, says("how many screws")))
    return Talk(wall, tuple(lines), tuple(boards))


def _goes_on(wall: Wall, surface: str) -> bool:
    """Whether the wall has a piece that is no board yet."""
    plan, begun = wall.view.room_plan, set(wall.session.state.pieces.values())
    assert plan is not None
    return any(str(piece.name.surface) == surface and piece.name not in begun for piece in plan.pieces)


LIGHTS = {"kitchen": (Length(56), Length(60), Length(120)), "bathroom": (Length(30), Length(60), Length("120 5/8"))}
"""Each room's light: its center from the left and from the far wall, and how long the ceiling is."""


def _light(piece: Piece) -> Iterator[str]:
    """A light as it is measured on its board, and its circuit."""
    across, down, length = LIGHTS[piece.name.surface.room]
    below_top = down - (length - piece.top)
    yield f"light center {(across - piece.x).text()} from left, center {below_top.text()} from top"
    yield "it is dead and tested"
    yield "yes"


def test_nothing_stalls() -> None:
    """No line is refused, and none is answered by a question but those of framing, of a size, and of a circuit."""
    asked = [
        line
        for line, said in talked().lines
        if any(words in said for words in ("Not taken", "Still open", "lost you", "is that right", "Say all of it"))
    ]
    assert asked == []
    questions = [line for line, said in talked().lines if said.endswith("?") or "Only a yes" in said]
    assert questions == ["light center 30 from the left, center 60 from the top", *["it is dead and tested"] * 2]


@pytest.mark.parametrize("surface", SURFACES)
def test_every_wall_is_covered_and_every_board_is_cut(surface: str) -> None:
    """At every point of a grid there is one board a layer, an opening or the gap at the floor; each has its plan."""
    talk = talked()
    (made,) = (one for one in talk.plan.surfaces if str(name_of(one.surface)) == surface)
    hung = {one.piece.name for one in talk.boards if str(one.piece.name.surface) == surface}
    assert hung == {piece.name for piece in made.pieces}
    settled = {talk.wall.session.state.pieces[board] for board in talk.wall.session.state.cut}
    assert hung <= settled
    for layer in range(1, made.surface.layers + 1):
        for x, y in _grid(made.surface.width, made.surface.highest):
            inside = [
                piece
                for piece in made.pieces
                if piece.layer == layer and piece.x < x < piece.right and piece.y < y < piece.y + _high(piece, x)
            ]
            free = y > made.surface.top_at(x) or (made.surface.kind is Surface.WALL and y < Length("1/2"))
            door = any(one.left < x < one.right and one.bottom <= y < one.top for one in made.surface.openings)
            assert len(inside) == 1 or (not inside and (free or door)), (surface, x, y)


def _grid(width: Length, height: Length) -> Iterator[tuple[Length, Length]]:
    """Places that lie on no edge of anything called here: odd 32nds."""
    for x in range(3, int(width.inches) * 32, 7 * 32 + 2):
        for y in range(5, int(height.inches) * 32, 5 * 32 + 2):
            yield Length(Fraction(x, 32)), Length(Fraction(y, 32))


def _high(piece: Piece, x: Length) -> Length:
    slope = (piece.right_height - piece.left_height).inches / piece.width.inches
    return piece.left_height + Length((x - piece.x).inches * slope)


def test_every_board_is_cut_to_its_readings() -> None:
    """Its plan has the tape's figures: no board is wider or higher than its hole, nor smaller by more than its gaps."""
    talk = talked()
    for one in talk.boards:
        plan = plan_now(talk.wall.session.state, one.name, talk.wall.now, rooms())
        width = max(point.x for point in plan.outline) - min(point.x for point in plan.outline)
        widths = [reading.value for reading in plan.board.widths]
        gaps = Length("1/4") if plan.board.surface is Surface.WALL else Length("3/8")
        assert max(widths) - gaps <= width <= max(widths), one
        heights = [reading.value for reading in plan.board.heights]
        high = max(point.y for point in plan.outline) - min(point.y for point in plan.outline)
        assert max(heights) - Length(1) <= high <= max(heights), one


def test_the_sheets_are_those_that_were_opened() -> None:
    """A board that isn't cut from an offcut takes a sheet: as many of each size as the layout says."""
    talk = talked()
    opened = Counter[str]()
    for one in talk.boards:
        if "Cut it from the offcut" not in one.opened:
            opened[f"{one.piece.sheet.width} x {one.piece.sheet.length}, {one.piece.sheet.thickness}"] += 1
    told = Counter(
        {f"{one.sheet.width} x {one.sheet.length}, {one.sheet.thickness}": one.count for one in talk.plan.sheets}
    )
    assert opened == told
    assert sum("Cut it from the offcut" in one.opened for one in talk.boards) >= 8
    said = talk.wall.twin().types("how many sheets")
    assert sum(int(number) for number in re.findall(r"(\d+)(?: sheets?)? of \d", said)) == sum(opened.values())


def test_the_screws_are_as_counted_by_hand() -> None:
    """Of every board without a hole or a slope: along each member 16 in apart, on a ceiling and at the ends that lie on
    one 12 in, the outermost 1/2 in from the edges (IRC Table R702.3.5 from memory; along edges common practice).
    """
    talk, counted = talked(), 0
    for one in talk.boards:
        plan = plan_now(talk.wall.session.state, one.name, talk.wall.now, rooms())
        if "cut around" in one.opened or one.piece.slopes:
            continue
        assert one.screws == _screws(talk, one.piece, max(each.value for each in plan.board.heights)), one
        counted += 1
    assert counted >= 20
    assert "No plan yet" not in talk.wall.twin().types("next board")


def test_the_screws_of_each_layer_are_as_long_as_they_have_to_be() -> None:
    """1 5/8 in through one layer of 5/8 in, 2 in through both (common practice, no source): longer ones in the first
    layer would reach wires, which may run 1 1/4 in behind a stud's face (NEC 300.4, from memory).
    """
    long = {1: "1 5/8 in long", 2: "2 in long"}
    doubled = [one for one in talked().boards if str(one.piece.name.surface) == "bathroom south wall"]
    assert {one.piece.layer for one in doubled} == {1, 2}
    assert all(long[one.piece.layer] in one.fastened for one in doubled)


def _screws(talk: Talk, piece: Piece, high: Length) -> int:
    (made,) = (one for one in talk.plan.surfaces if name_of(one.surface) == piece.name.surface)
    members, ceiling = made.surface.members, made.surface.kind is Surface.CEILING
    across = members.along is Dimension.HEIGHT
    start, end = (piece.y, piece.top) if across else (piece.x, piece.right)
    extent = made.surface.height if across else made.surface.width
    spaced = (Length(16) * number for number in range(1, 20))
    centers = [extent - each if members.start in {Edge.RIGHT, Edge.TOP} else each for each in spaced]
    inside = [each for each in centers if start < each < end]
    tall = piece.width if across else min(high, Length(48))
    run = tall - Length(1)
    ends, field = (ceil(run.inches / apart) + 1 for apart in (12, 12 if ceiling else 16))
    return 2 * ends + len(inside) * field
