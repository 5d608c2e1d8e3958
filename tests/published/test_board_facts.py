"""Figures of boards, boxes and walls against where they are published."""

from fractions import Fraction

import pytest

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import BOX_GAP, BOX_GAP_LIMIT, BOXES, CLEARANCES, SHEETS_INCH, SHEETS_MM
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import BoxKind, Circuit, Neighbor
from fieldvoice.records.plan import Method
from tests.cutting.rooms import box, heights, notes, widths


def test_a_wall_within_3_8_in_per_32_in_is_accepted() -> None:
    """NAHB guideline 4-1-1, as quoted by a trade body and inspectors: 3/8 per 32 in is 1 1/8 over 96 in."""
    over_a_sheet = Fraction(3, 8) * 96 / 32
    assert over_a_sheet == Fraction(9, 8)
    top, bottom = Length(47), Length(Fraction(47) - over_a_sheet)
    middle = (top + bottom) / 2
    board = Board("1", widths=widths(str(top), str(middle), str(bottom)), heights=heights("96 1/2"))
    assert oddities(board) == ()
    assert solve(board).proof.ok


@pytest.mark.parametrize("kind", [BoxKind.SINGLE, BoxKind.DOUBLE, BoxKind.TRIPLE, BoxKind.FOUR])
def test_no_gap_at_a_box_is_wider_than_1_8_in(kind: BoxKind) -> None:
    """NEC 314.21 as quoted in trade forums (2008 text; noncombustible surfaces from 2011)."""
    assert Length("1/8") == BOX_GAP_LIMIT
    assert Length(0) < BOX_GAP <= BOX_GAP_LIMIT
    board = Board(
        "1", widths=widths("46", "46", "46"), heights=heights("95"), boxes=(box("box 1", "20 1/32", "40", kind=kind),)
    )
    (hole,) = solve(board).openings
    half = BOXES[kind].width / 2
    left, right = Length("20 1/32") - half - hole.left, hole.right - (Length("20 1/32") + half)
    assert all(Length(0) < gap <= Length("1/8") for gap in (left, right))


@pytest.mark.parametrize(("gangs", "width"), [(1, "2 3/4"), (2, "4 9/16"), (3, "6 3/8"), (4, "8 3/16")])
def test_plate_widths(gangs: int, width: str) -> None:
    """Architects' tables citing NEMA WD 6: a step of 1 13/16 in (their 4 1/2 for two gangs breaks their own step)."""
    kinds = {1: BoxKind.SINGLE, 2: BoxKind.DOUBLE, 3: BoxKind.TRIPLE, 4: BoxKind.FOUR}
    size = BOXES[kinds[gangs]]
    assert size.plate is not None
    assert size.plate[0] == Length(width)
    assert size.width + BOX_GAP_LIMIT * 2 < size.plate[0]
    assert size.height + BOX_GAP_LIMIT * 2 < size.plate[1]


def test_listed_sheets() -> None:
    """Trade pages: 48 and 54 in wide, 8 to 16 ft long (14 and 16 ft and 54 in lengths from memory)."""
    sizes = {(str(sheet.width), sheet.length.inches / 12) for sheet in SHEETS_INCH}
    assert {("48", feet) for feet in (8, 9, 10, 12, 14, 16)} <= sizes
    assert {("54", feet) for feet in (8, 9, 10, 12)} <= sizes
    assert len(sizes) == 10


def test_metric_sheets() -> None:
    """A maker's data sheet citing EN 520: 1200 by 2400, 2500 and 3000 mm."""
    sizes = [(sheet.width.text(Unit.MM), sheet.length.text(Unit.MM)) for sheet in SHEETS_MM]
    assert sizes == [("1200", "2400"), ("1200", "2500"), ("1200", "3000")]


def test_clearances() -> None:
    """Common practice, no source: 1/8 at a wall, tight at ceiling and joint, 1/2 at the floor; GA-216 asks for 1/4 at
    the floor at least (from memory).
    """
    assert {n: str(CLEARANCES[n]) for n in (Neighbor.WALL, Neighbor.CEILING, Neighbor.BOARD, Neighbor.FLOOR)} == {
        Neighbor.WALL: "1/8",
        Neighbor.CEILING: "0",
        Neighbor.BOARD: "0",
        Neighbor.FLOOR: "1/2",
    }
    assert CLEARANCES[Neighbor.FLOOR] >= Length("1/4")


def test_a_tool_only_where_the_circuit_is_dead_and_tested() -> None:
    """OSHA 1926.416(a)(1) and NFPA 70E 120.5 as reported: de-energized, and tested for it, before work near it."""
    for state in Circuit:
        board = Board(
            "1",
            widths=widths("46", "46", "46"),
            heights=heights("95"),
            boxes=(box("box 1", "20", "40"),),
            circuits={"box 1": state},
        )
        assert (solve(board).openings[0].method is Method.ROUT) == (state is Circuit.DEAD)


def test_a_sheet_may_be_narrower_than_its_name() -> None:
    """ASTM C1396 section 5, width +0 -3/32 in (from memory): a piece of the full 48 is told to measure its sheet."""
    full = Board("1", widths=widths("48 1/8", "48 1/8", "48 1/8"), heights=heights("95"))
    assert any("3/32" in warning for warning in notes(solve(full)))
