"""The hole while it is measured: what is known with its figures, what is still missing as dashed lines with a ?."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.output.drawing.picture import XY, Anchor, Circle, Label, Mark, PaperFrame, Picture, Stroke, text_lines
from fieldvoice.output.drawing.placing import (
    HEAVY,
    HEIGHTS,
    LEGEND_LINE,
    MEDIUM,
    PITCH,
    Crowded,
    DimensionLine,
    PaperRoom,
    around,
    drawn,
    everywhere,
    extension,
    fitted,
    in_largest_letters,
    legend,
    roomy,
    spread,
)
from fieldvoice.records.board import Board, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Coordinate, Dimension, Edge, Place, Slot
from fieldvoice.wording import captions as wording

ZERO = Fraction(0)
_USUAL = (Fraction(48), Fraction(96))
"""The short and the long side that a hole is sketched with until it is measured."""


@dataclass(frozen=True, slots=True)
class SketchedReading:
    """A reading of the sketch: along the wall or up it, where, and its value; None where it is still missing."""

    dimension: Dimension
    at: Place
    value: Length | None

    @property
    def across(self) -> bool:
        """Whether it runs along the wall."""
        return self.dimension is Dimension.WIDTH


def hole_picture(
    board: Board, width: float, height: float, *, room: str | None = None, letters: Sequence[float] = HEIGHTS
) -> Picture:
    """The hole of a board on paper of that many millimeters. It is no drawing to cut from and says so."""
    title = wording.board_title(board.name, room)
    _, marks = in_largest_letters(
        letters,
        lambda letter: _Sketch(board, PaperFrame(0, 0, width, height), letter, title),
        title,
    )
    return Picture(width, height, marks, title)


def readings(board: Board) -> tuple[SketchedReading, ...]:
    """What was measured, and what a plan can't do without that wasn't: both ends of the width, one height."""
    found = [SketchedReading(Dimension.WIDTH, one.at, one.value) for one in board.widths if one.at is not None]
    found += [SketchedReading(Dimension.HEIGHT, one.at, one.value) for one in board.heights if one.at is not None]
    have = {(one.dimension, one.at) for one in found}
    wanted: tuple[tuple[Dimension, Slot], ...] = ((Dimension.WIDTH, Slot.TOP), (Dimension.WIDTH, Slot.BOTTOM))
    wanted += () if board.heights else ((Dimension.HEIGHT, Slot.LEFT),)
    return (*found, *(SketchedReading(*each, None) for each in wanted if each not in have))


class _Sketch:
    """One try at a sketch, with letters of one height."""

    def __init__(self, board: Board, paper: PaperFrame, letter: float, title: str) -> None:
        self._board, self._paper, self._letter = board, paper, letter
        self._readings = readings(board)
        self._wide, self._high = _size(board)
        missing = any(one.value is None for one in self._readings)
        words = f"{title}. {wording.hole_caption(board.unit, missing=missing)}"
        self._caption = text_lines(words, letter, paper.right)
        things = [(one.name, one.x, one.y) for one in board.boxes]
        things += [(one.name, one.xs[0], one.ys[0]) for one in board.openings]
        self._things = things
        margins = self._margins()
        self._scale, wide, high = fitted((ZERO, ZERO, self._wide, self._high), margins, paper)
        self.roomy = roomy(paper, wide, high, letter)
        self._above_caption = replace(paper, bottom=paper.bottom - LEGEND_LINE * letter * len(self._caption))
        self._room = PaperRoom(self._above_caption)

    def _margins(self) -> dict[Edge, float]:
        """Room outside: a row for each distance to a box, and the words for what stands there."""
        across = {(one.start, one.value) for _, one, _ in self._things}
        down = {(one.start, one.value) for _, _, one in self._things}
        words = 2.4 * self._letter
        return {
            Edge.TOP: words + PITCH * self._letter * len(across),
            Edge.LEFT: words + PITCH * self._letter * len(down),
            Edge.BOTTOM: words + LEGEND_LINE * self._letter * len(self._caption),
            Edge.RIGHT: words,
        }

    def marks(self) -> Iterator[Mark]:
        """All of it. Raises `Crowded`."""
        if not self._scale.factor:
            raise Crowded
        corners = self._scale.path(_outline(self._board, self._wide, self._high))
        yield Stroke(corners, HEAVY * self._letter, closed=True)
        yield from self._neighbors()
        yield from self._boxes()
        yield from self._lines()
        yield from legend(self._caption, self._paper.left, self._above_caption.bottom, self._letter)

    def _neighbors(self) -> Iterator[Mark]:
        letter = self._letter
        frame = self._frame()
        middle = ((frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2)
        places = {
            Edge.TOP: (middle[0], frame.top - 0.6 * letter),
            Edge.BOTTOM: (middle[0], frame.bottom + 1.6 * letter),
            Edge.LEFT: (frame.left - 0.7 * letter, middle[1]),
            Edge.RIGHT: (frame.right + 1.6 * letter, middle[1]),
        }
        for edge, (x, y) in places.items():
            name = self._board.edges[edge].neighbor.value
            label = Label(0, 0, name, letter, turned=edge in {Edge.LEFT, Edge.RIGHT}, clear=True)
            if (placed := self._room.put(label, ((x, y),), 0)) is None:
                raise Crowded
            yield placed

    def _frame(self) -> PaperFrame:
        left, top = self._scale.at((ZERO, ZERO))
        right, bottom = self._scale.at((self._wide, self._high))
        return PaperFrame(left, top, right, bottom)

    def _boxes(self) -> Iterator[Mark]:
        """Each box as a cross where it was called, with its name, and its distances in rows outside."""
        frame, letter = self._frame(), self._letter
        hair = 0.2 * letter
        for side in (frame.left, frame.right):
            self._room.take(PaperFrame(side - hair, frame.top, side + hair, frame.bottom))
        rows: dict[tuple[bool, Edge, Length], tuple[Coordinate, XY]] = {}
        for name, x, y in self._things:
            spot = self._scale.at((_from_start(x, self._wide), _from_start(y, self._high)))
            yield Circle(spot, 0.5 * letter, MEDIUM * self._letter)
            cross = PaperFrame(
                spot[0] - 0.5 * letter, spot[1] - 0.5 * letter, spot[0] + 0.5 * letter, spot[1] + 0.5 * letter
            )
            self._room.take(cross)
            rows[True, x.start, x.value] = (x, spot)
            rows[False, y.start, y.value] = (y, spot)
            label = Label(0, 0, name, letter, Anchor.START, clear=True, fractions=False)
            places = (*around(cross, label, 0.4 * letter), *everywhere(self._above_caption, cross, label, letter))
            if (placed := self._room.put(label, places, 0.1 * letter)) is None:
                raise Crowded
            yield placed
        for across in (True, False):
            group = sorted((one for key, one in rows.items() if key[0] is across), key=lambda one: one[0].value)
            base = (frame.top if across else frame.left) - 2.4 * letter
            for number, (coordinate, spot) in enumerate(group):
                line = self._to_box(coordinate, spot, base - PITCH * letter * number, across=across)
                hook = (line.start, spot[1]) if across else (spot[0], line.start)
                yield from extension(line, hook, spot, letter)
                yield from drawn(line, letter, self._room)

    def _to_box(self, coordinate: Coordinate, spot: XY, at: float, *, across: bool) -> DimensionLine:
        frame = self._frame()
        ends = {Edge.LEFT: frame.left, Edge.RIGHT: frame.right, Edge.TOP: frame.top, Edge.BOTTOM: frame.bottom}
        text = coordinate.value.text(self._board.unit)
        made = DimensionLine.level if across else DimensionLine.upright
        return made(ends[coordinate.start], spot[0 if across else 1], at, text)

    def _lines(self) -> Iterator[Mark]:
        """The readings across the hole, those still missing dashed."""
        for one in sorted(self._readings, key=lambda one: one.value is None):
            along = _along(one.at, self._high if one.across else self._wide)
            inset = self._inset(one)
            extent = one.value.inches if one.value else (self._wide if one.across else self._high)
            start, end = ((ZERO, along), (extent, along)) if one.across else ((along, ZERO), (along, extent))
            (ax, ay), (bx, by) = self._scale.at(start), self._scale.at(end)
            if one.across:
                line = DimensionLine.level(ax, bx, ay + inset, _text(one, self._board.unit))
            else:
                line = DimensionLine.upright(ay, by, ax + inset, _text(one, self._board.unit))
            yield from self._measured(line, known=one.value is not None)

    def _measured(self, line: DimensionLine, *, known: bool) -> Iterator[Mark]:
        if known:
            yield from drawn(line, self._letter, self._room, inside=True)
            return
        yield Stroke(
            (line.point(line.start), line.point(line.end)),
            MEDIUM * self._letter,
            (0.4 * self._letter, 0.35 * self._letter),
        )
        label = Label(0, 0, line.text, self._letter, bold=True, clear=True)
        letter = self._letter
        least, most = sorted((line.start, line.end))
        inside = spread(least + 2 * letter, most - 2 * letter, 15) if most - least > 4 * letter else ()
        beyond = (most + (1 + step) * letter for step in range(8))
        places = ((x, y + 0.5 * letter) for x, y in map(line.point, (*inside, *beyond)))
        if (placed := self._room.put(label, places, 0.1 * self._letter)) is None:
            raise Crowded
        yield placed

    def _inset(self, one: SketchedReading) -> float:
        """A reading at an end of the hole is drawn a little inside it."""
        if one.at in {Slot.TOP, Slot.LEFT}:
            return 2.0 * self._letter
        return -1.2 * self._letter if one.at in {Slot.BOTTOM, Slot.RIGHT} else 0.0


def _text(one: SketchedReading, unit: Unit) -> str:
    return one.value.text(unit) if one.value is not None else wording.UNKNOWN


def _size(board: Board) -> tuple[Fraction, Fraction]:
    """How wide and high the sketch is: as measured, else as a usual sheet, and no box outside."""
    usual = _USUAL if board.lies is Lies.STANDING else (_USUAL[1], _USUAL[0])
    wide = max((one.value.inches for one in board.widths), default=usual[0])
    high = max((one.value.inches for one in board.heights), default=usual[1])
    xs = [one.x.value.inches for one in board.boxes] + [one.xs[0].value.inches for one in board.openings]
    ys = [one.y.value.inches for one in board.boxes] + [one.ys[0].value.inches for one in board.openings]
    return max(wide, *xs, ZERO), max(high, *ys, ZERO)


def _outline(board: Board, wide: Fraction, high: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
    """The hole with its left edge straight, its right edge by the widths and its lower edge by the heights."""
    right = sorted((_along(one.at, high), one.value.inches) for one in board.widths if one.at is not None)
    below = sorted((_along(one.at, wide), one.value.inches) for one in board.heights if one.at is not None)
    right = [(min(t, high), v) for t, v in right] or [(ZERO, wide)]
    below = [(min(t, wide), v) for t, v in below] or [(ZERO, high)]
    sides = [(right[0][1], ZERO), *((v, t) for t, v in right if ZERO < t < high), (right[-1][1], below[-1][1])]
    ends = [*((t, v) for t, v in reversed(below) if ZERO < t < wide), (ZERO, below[0][1])]
    return ((ZERO, ZERO), *sides, *ends)


def _along(at: Place, far: Fraction) -> Fraction:
    if isinstance(at, Length):
        return at.inches
    return {Slot.MIDDLE: far / 2, Slot.BOTTOM: far, Slot.RIGHT: far}.get(at, ZERO)


def _from_start(one: Coordinate, far: Fraction) -> Fraction:
    """From the left or the top."""
    return one.value.inches if one.start in {Edge.LEFT, Edge.TOP} else far - one.value.inches
