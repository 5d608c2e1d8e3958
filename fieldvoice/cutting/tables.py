"""Every figure that the cutting room takes from the trade or from a standard, each with where it comes from.

"Common practice, no source" means what it says. "From memory" means that no copy of the standard was read for it.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Known, Sheet, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, BoxKind, Course, Edge, Neighbor, OpeningKind
from fieldvoice.records.plan import Missing, Need, No, NoPlan

CLEARANCES: dict[Neighbor, Length] = {
    Neighbor.WALL: Length("1/8"),
    Neighbor.CEILING: Length(0),  # pushed up tight
    Neighbor.FLOOR: Length("1/2"),  # GA-216 asks for 1/4 at least (from memory)
    Neighbor.BOARD: Length(0),  # contact, not forced: ASTM C840 as reported in trade articles
    Neighbor.TRIM: Length("1/8"),  # the trim's leg
    Neighbor.JAMB: Length("1/8"),
    Neighbor.MASONRY: Length("1/4"),  # kept off damp masonry
    Neighbor.OUTSIDE_CORNER: Length(0),  # flush with the framing, the bead covers it
    Neighbor.OPEN: Length(0),  # nothing stands there
}
"""What stays free between the board and its neighbor when the hanger says nothing else (common practice, no source, but
for what is named)."""

CUT_RANK: dict[Neighbor, int] = {
    Neighbor.BOARD: 0,
    Neighbor.OPEN: 1,
    Neighbor.OUTSIDE_CORNER: 2,
    Neighbor.WALL: 3,
    Neighbor.CEILING: 3,
    Neighbor.JAMB: 3,
    Neighbor.TRIM: 3,
    Neighbor.MASONRY: 3,
    Neighbor.FLOOR: 4,
}
"""Which of two edges is cut: the higher one. Factory edges are kept at joints, cut edges go to corners, and the floor
gap is covered by the base (common practice, no source)."""

STEP: dict[Unit, Length] = {Unit.INCH: Length("1/16"), Unit.MM: Length.of(1, Unit.MM)}
"""How fine a mark can be put: a tape's graduation, where the board asks for no other."""

BRIDGED = Length("1/4")
"""The widest gap over the clearance that joint treatment bridges (common practice, no source)."""

UNCOVERED = Length(1)
"""Beyond this gap over the clearance nothing covers it, and the cut itself has to be broken (common practice, no
source)."""

BASE_COVERS = Length(1)
"""The widest gap at the floor that the base covers, unless the hanger says what theirs covers (common practice, no
source)."""

FLOOR_LEAST = Length("1/4")
"""The least gap at the floor that is as good as any before a sheet is ripped: GA-216, from memory."""

ENDS_KNOWN = Length(12)
"""A reading so near an end shows what stands there (our own rule, no source)."""

NARROW = Length(2)
"""What is left beside a cut so wide that it can be held and snapped (common practice, no source)."""

SLIVER = Length("1/2")
"""A strip narrower than the board is thick doesn't snap off: it is sawn or rasped (common practice, no source)."""

WEB = Length("1 1/2")
"""Board narrower than this beside an opening breaks when it is carried (common practice, no source)."""

LEG = Length(4)
"""A sheet with an opening a foot wide or more isn't carried by legs narrower than this, and not offered sawn out with
legs below a foot (common practice, no source)."""

OFF_STUD = Length("3/8")
"""How far from a stud's center an end may lie: the stud is 1 1/2 in and the screws sit 3/8 in from the end (edge
distance: IRC Table R702.3.6 note d)."""

LAYERS_APART = Length(24)
"""The least between joints of one layer and those of the next: trade habit for butt joints between courses."""

COURSE_HIGH = Length(60)
"""No course of one board is higher than this: a height beyond it was measured from floor to ceiling (54 in is the
widest listed sheet)."""

TAPE = Length("1/8")
"""Two ways to one length may differ by this much before one of them is doubted (common practice, no source; a class II
tape may be off 1 mm in 2.4 m: EU directive 2014/32, MI-008)."""

SHEET_SHORT = Length("3/32")
"""How much narrower than its name a sheet may be: ASTM C1396 section 5, width +0 -3/32 in (from memory)."""

BOX_GAP_LIMIT = Length("1/8")
"""NEC 314.21, as quoted in trade forums: no gap wider than 1/8 in between a box's edge and the board."""

BOX_GAP = Length("1/16")
"""The gap aimed at round a box: half the limit leaves equal room on both sides of the mark."""


@dataclass(frozen=True, slots=True)
class BoxSize:
    """A box's outside, seen from the room, and its plate (None where a fixture and not a plate covers it)."""

    width: Length
    height: Length
    plate: tuple[Length, Length] | None


_PITCH = Length("1 13/16")
_HIGH = Length("3 5/8")
_PLATE_HIGH = Length("4 1/2")


def _gangs(count: int) -> BoxSize:
    """`count` gangs side by side: each adds the pitch, to the box as to the plate. The box is a nominal 2 x 3 in device
    box, its outside from memory (low): measure yours. Pitch and plate: NEMA WD 6 as reported in architects' tables.
    """
    wider = _PITCH * (count - 1)
    return BoxSize(Length("2 1/8") + wider, _HIGH, (Length("2 3/4") + wider, _PLATE_HIGH))


BOXES: dict[BoxKind, BoxSize] = {
    BoxKind.SINGLE: _gangs(1),
    BoxKind.DOUBLE: _gangs(2),
    BoxKind.TRIPLE: _gangs(3),
    BoxKind.FOUR: _gangs(4),
    BoxKind.ROUND: BoxSize(Length(4), Length(4), None),
    BoxKind.OCTAGON: BoxSize(Length(4), Length(4), None),
    BoxKind.SQUARE: BoxSize(Length(4), Length(4), None),
    BoxKind.LOW_VOLTAGE: _gangs(1),
    BoxKind.PANCAKE: BoxSize(Length("3 1/2"), Length("3 1/2"), None),
    BoxKind.HANDY: BoxSize(Length("2 1/8"), Length(4), None),  # utility box, from memory (medium), measure yours
    BoxKind.OLD_WORK: BoxSize(Length("2 3/8"), Length("3 7/8"), _gangs(1).plate),  # one box as its maker reports it
    BoxKind.MUD_RING: BoxSize(Length(2), Length(3), _gangs(1).plate),  # measure yours
}
"""Boxes that hang in ceilings: NEMA OS 1, from memory; the round, the pancake and the mud ring less surely (medium)."""


def size_of(box: Box) -> BoxSize:
    """The size of a box: as its four sides were called, else as its kind has it."""
    kind = BOXES.get(box.kind)
    if box.far is None:
        if kind is None:
            raise NotPlanned(NoPlan(No.NEEDS, missing=(Missing(Need.KIND, about=box.name),)))
        return kind
    width, height = (abs(far.value - near.value) for near, far in zip((box.x, box.y), box.far, strict=True))
    return BoxSize(width, height, kind.plate if kind else None)


OPENING_GAPS: dict[OpeningKind, Length] = {
    OpeningKind.PIPE: Length("1/8"),  # the escutcheon covers it
    OpeningKind.LIGHT: Length("1/8"),  # the trim ring covers it
    OpeningKind.DUCT: Length("1/8"),  # the register covers it
    OpeningKind.WINDOW: Length(0),  # cut to the framing, the trim covers it
    OpeningKind.DOOR: Length(0),  # cut to the framing, the trim covers it
    OpeningKind.NOTCH: Length("1/8"),
    OpeningKind.HOLE: Length(0),  # a hole is called as it is to be
    OpeningKind.OPENING: Length(0),  # cut to the framing, a trim covers it
}
"""What stays free round an opening's thing, all round (common practice, no source)."""

_FEET = {48: (8, 9, 10, 12, 14, 16), 54: (8, 9, 10, 12)}

SHEETS_INCH: tuple[Sheet, ...] = tuple(
    Sheet(Length(width), Length(12 * feet)) for width, lengths in _FEET.items() for feet in lengths
)
"""4 ft wide by 8 to 16 ft and 54 in wide by 8 to 12 ft: trade pages; 14 and 16 ft and the 54 in lengths from memory."""

SHEETS_MM: tuple[Sheet, ...] = tuple(
    Sheet(Length.of(1200, Unit.MM), Length.of(length, Unit.MM)) for length in (2400, 2500, 3000)
)
"""1200 mm by 2400, 2500 and 3000 mm: a maker's sheet citing EN 520."""


def sheets(unit: Unit) -> tuple[Sheet, ...]:
    """The listed sheets of a unit, smallest area first."""
    listed = SHEETS_INCH if unit is Unit.INCH else SHEETS_MM
    return tuple(sorted(listed, key=lambda sheet: sheet.width.inches * sheet.length.inches))


def stand_off(board: Board, edge: Edge) -> Length:
    """How far the board stays off what is at that edge: the hanger's figure, else the table's. On a ceiling all four
    neighbors are walls or boards, so that "ceiling" and "floor" there mean the walls at those sides.
    """
    setting = board.edges[edge]
    if setting.clearance is not None:
        return setting.clearance
    return CLEARANCES[neighbor(board, edge)]


def neighbor(board: Board, edge: Edge) -> Neighbor:
    """What stands at that edge: on a ceiling the names of a wall's edges are walls, and a course that doesn't reach
    the floor or the ceiling has a board there unless something else was called.
    """
    setting = board.edges[edge]
    stands = setting.neighbor
    if board.surface is Surface.CEILING and stands in {Neighbor.CEILING, Neighbor.FLOOR}:
        return Neighbor.WALL
    if board.course is not None and setting.known is not Known.CALLED and _joint(board.course, stands):
        return Neighbor.BOARD
    return stands


def _joint(course: Course, stands: Neighbor) -> bool:
    below = course in {Course.UPPER, Course.MIDDLE} and stands is Neighbor.FLOOR
    return below or (course in {Course.LOWER, Course.MIDDLE} and stands is Neighbor.CEILING)


def base_covers(board: Board) -> Length:
    """The widest gap at the floor: what the hanger wants left there is never too wide for them."""
    covered = usual_base(board)
    return max(covered, board.edges[Edge.BOTTOM].clearance or covered)


def usual_base(board: Board) -> Length:
    """The widest gap at the floor that the base covers, whatever is to be left there."""
    return board.base_covers or BASE_COVERS


def floor_least(board: Board) -> Length:
    """The least gap at the floor: the hanger's clearance where one was said."""
    said = board.edges[Edge.BOTTOM].clearance
    return FLOOR_LEAST if said is None else said


def step_of(board: Board) -> Length:
    """How fine this board's marks are."""
    return board.step or STEP[board.unit]
