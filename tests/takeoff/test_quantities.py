"""What a room takes: a wall worked out by hand, and what geometry says of every other."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.cutting.solving import solve
from fieldvoice.fastening.table import Table, built_in, read_own
from fieldvoice.output.room_work import COLUMNS, quantity_document, takeoff_csv, takeoff_lines
from fieldvoice.records.board import Board, CutFrom, EdgeSetting, Sheet
from fieldvoice.records.fastening import Confidence
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.takeoff import Measure, Quantity, Rule, Supply
from fieldvoice.takeoff import (
    corner_inches,
    fasten_room,
    joint_inches,
    slant,
    take_off_boards,
    take_off_room,
)
from tests.cutting.rooms import heights, sides, widths
from tests.takeoff.rooms import WINDOW, Box, box, ceiling, room, surface, two_courses, wall


def taken(quantities: tuple[Quantity, ...], supply: Supply, measure: Measure | None = None) -> Quantity:
    """The one quantity of a supply."""
    (found,) = [one for one in quantities if one.supply is supply and measure in {None, one.measure}]
    return found


NORTH = room(two_courses(wall("north", 144, "96 1/2", WINDOW)))


class TestAWallByHand:
    """12 ft by 8 ft and 1/2 in with a window 36 by 48, 40 over and 36 up, on studs 16 in apart, in two courses of one
    sheet each.
    """

    def test_its_screws(self) -> None:
        """Each course: 5 at either end (12 in apart over 47); 4 on each of the studs 16, 32, 80, 96, 112 and 128 (16 in
        apart). Upper: over the window 2 on 48 and 64 (11 1/2 in), along the jambs 4 each (35 in). Lower: under the
        window 4 on 48 and 64 (34 1/2 in), along the jambs 2 each (12 in). 46 a course.
        """
        pieces = fasten_room(NORTH, built_in())
        assert [piece.fastening.count for piece in pieces] == [10 + 24 + 4 + 8, 10 + 24 + 8 + 4]
        screws = taken(take_off_room(NORTH, pieces), Supply.FASTENERS)
        assert screws.least == screws.most == 92
        assert screws.rule is Rule.SPOTS
        assert screws.kind.length == Length("1 1/4")

    def test_its_tape(self) -> None:
        """The joint of 144 in less the window's 36, both ends of 96 and the top of 144: 444 in, 37 ft."""
        tape = taken(take_off_room(NORTH, fasten_room(NORTH, built_in())), Supply.TAPE)
        assert tape.least == tape.most == 37
        assert tape.measure is Measure.FEET

    def test_its_compound(self) -> None:
        """144 by 96 1/2 less 36 by 48 is 84 1/2 square feet: by one page 4.5 lb, by another 11.8, 2.6 times as much."""
        lines = take_off_room(NORTH, fasten_room(NORTH, built_in()))
        pounds = taken(lines, Supply.COMPOUND, Measure.POUNDS)
        assert (pounds.least, pounds.most) == (Fraction("4.4785"), Fraction("11.83"))
        assert round(float(pounds.most / pounds.least), 1) == 2.6
        gallons = taken(lines, Supply.COMPOUND, Measure.GALLONS)
        assert (gallons.least, gallons.most) == (Fraction("0.4225"), Fraction("0.9295"))
        assert [source.confidence for source in pounds.sources] == [Confidence.REPORTED] * 2

    def test_its_sheets(self) -> None:
        """Two, and nothing is added for waste."""
        sheets = taken(take_off_room(NORTH, fasten_room(NORTH, built_in())), Supply.SHEETS)
        assert sheets.least == sheets.most == sheets.to_buy == 2
        assert sheets.waste is None

    def test_no_bead_and_no_adhesive(self) -> None:
        """Where nothing asks for it there is no line of it."""
        supplies = {one.supply for one in take_off_room(NORTH, fasten_room(NORTH, built_in()))}
        assert supplies == {Supply.SHEETS, Supply.FASTENERS, Supply.TAPE, Supply.COMPOUND}

    def test_waste_stands_apart(self) -> None:
        """92 screws, and 15 percent at the most make 106 to buy."""
        screws = taken(take_off_room(NORTH, fasten_room(NORTH, built_in())), Supply.FASTENERS)
        assert screws.to_buy == 106
        assert screws.waste is not None
        assert (screws.waste.least, screws.waste.most) == (Fraction(1, 10), Fraction(15, 100))

    def test_in_a_job_in_millimeters(self) -> None:
        """37 ft are 11.2776 m; 4.4785 and 11.83 lb are 2.0314 and 5.366 kg; .4225 gal are 1.5993 L. As many screws, and
        of the same length, told in whole millimeters with what it is sold as.
        """
        metric = replace(NORTH, house=replace(NORTH.house, unit=Unit.MM))
        lines = take_off_room(metric, fasten_room(NORTH, built_in()))
        tape = taken(lines, Supply.TAPE)
        assert (tape.measure, tape.most) == (Measure.METERS, Fraction("11.2776"))
        assert tape.to_buy == 13
        kilograms = taken(lines, Supply.COMPOUND, Measure.KILOGRAMS)
        assert [round(float(each), 4) for each in (kilograms.least, kilograms.most)] == [2.0314, 5.366]
        liters = taken(lines, Supply.COMPOUND, Measure.LITERS)
        assert round(float(liters.least), 4) == 1.5993
        screws = taken(lines, Supply.FASTENERS)
        assert screws.most == 92
        told = "\n".join(takeoff_lines(lines, Unit.MM))
        assert "screw 32 mm (1 1/4 in), coarse thread: 92 pieces" in told
        assert "compound instead, ready-mixed: 1.6 to 3.6 L" in told
        assert " ft" not in told
        assert " lb," not in told

    def test_with_adhesive(self) -> None:
        """938 in of bead along the rows; at 3/8 in round 104 cubic inches, 2.05 tubes, so three with what is lost; and
        fewer screws.
        """
        table = read_own("[use]\nadhesive = true")
        assert isinstance(table, Table)
        lines = take_off_room(NORTH, fasten_room(NORTH, table))
        feet = taken(lines, Supply.ADHESIVE, Measure.FEET)
        rows = [47] * 16 + [Fraction(23, 2)] * 2 + [Fraction(69, 2)] * 2 + [35] * 2 + [12] * 2
        assert feet.most == sum(rows) / 12
        tubes = taken(lines, Supply.ADHESIVE, Measure.TUBES)
        assert round(float(tubes.most), 2) == 2.05
        assert tubes.to_buy == 3
        assert taken(lines, Supply.FASTENERS).most < 92


class TestCorners:
    """Each inside corner is taped once."""

    def test_a_room_of_four_walls_and_a_ceiling(self) -> None:
        """Four corners of 96 in, and the ceiling's four sides."""
        walls = [two_courses(wall(name, width)) for name, width in zip("nesw", (144, 180, 144, 180), strict=True)]
        over = surface(
            ceiling(), [box(0, 0, 144, 48), box(0, 48, 144, 96), box(0, 96, 144, 144), box(0, 144, 144, 180)]
        )
        assert corner_inches(room(over, *walls)) == 4 * 96 + 2 * (144 + 180)

    def test_without_its_ceiling(self) -> None:
        """The tops of the walls meet a ceiling that is there already."""
        walls = [two_courses(wall(name, width)) for name, width in zip("nesw", (144, 180, 144, 180), strict=True)]
        assert corner_inches(room(*walls)) == 4 * 96 + 2 * (144 + 180)

    def test_a_ceiling_with_one_wall(self) -> None:
        """The ceiling's four sides, and the wall's two ends: its top is one of those sides."""
        over = surface(ceiling(), [box(0, 0, 144, 180)])
        assert corner_inches(room(two_courses(wall("north")), over)) == 2 * (144 + 180) + 2 * 96

    def test_two_walls_have_three_corners(self) -> None:
        """One between them, and one at either end."""
        walls = [two_courses(wall(name)) for name in "ne"]
        assert corner_inches(room(*walls)) == 3 * 96 + 2 * 144

    def test_a_lower_wall_meets_a_higher(self) -> None:
        """The corner is as high as the higher of the two."""
        low = surface(wall("low", 96, "48 1/2"), [box(0, "1/2", 96, "48 1/2")])
        assert corner_inches(room(two_courses(wall("high")), low)) == 96 + 96 + 48 + 144 + 96

    def test_a_higher_wall_closes_a_room_to_a_lower(self) -> None:
        """The last of three meets the first: that corner is as high as the last, and so is the one before it."""
        low, lower = (surface(wall(name, 96, "48 1/2"), [box(0, "1/2", 96, "48 1/2")]) for name in ("low", "lower"))
        closed = corner_inches(room(low, lower, two_courses(wall("high", 96))))
        assert closed == 48 + 96 + 96 + 3 * 96

    def test_only_the_last_layer_is_taped(self) -> None:
        """The layer under it has joints, too, and they get none."""
        double = surface(
            wall("double", 144, "96 1/2", layers=2),
            [box(0, "48 1/2", 144, "96 1/2"), box(0, "1/2", 144, "48 1/2"), box(0, "1/2", 144, "96 1/2")],
            layers=[1, 1, 2],
        )
        assert joint_inches(double) == 0


@st.composite
def grids(draw: st.DrawFn) -> tuple[int, str, list[Box]]:
    """A wall cut into courses, each course into pieces, anywhere."""
    width, height = draw(st.integers(20, 300)), draw(st.integers(20, 120))
    rows = sorted({0, height, *draw(st.lists(st.integers(1, height - 1), max_size=3))})
    boxes = []
    for low, high in pairwise(rows):
        ends = sorted({0, width, *draw(st.lists(st.integers(1, width - 1), max_size=4))})
        boxes += [box(a, low, b, high) for a, b in pairwise(ends)]
    return width, str(height), boxes


@settings(deadline=None, max_examples=100)
@given(grids())
def test_joints_are_half_of_what_perimeters_have_over_the_outline(grid: tuple[int, str, list[Box]]) -> None:
    """The geometric identity: each joint is in two perimeters, the surface's outline is in one."""
    width, height, boxes = grid
    plan = surface(wall("any", width, height), boxes)
    perimeters = sum(2 * (piece.width + piece.height).inches for piece in plan.pieces)
    assert joint_inches(plan) == (perimeters - 2 * (width + Length(height).inches)) / 2


@given(st.fractions(0, 200), st.fractions(-100, 100))
def test_a_slanted_edge_is_never_too_short(across: Fraction, down: Fraction) -> None:
    """Up to the next sixteenth, exact where it is level or upright."""
    found = slant(across, down)
    squared = across * across + down * down
    assert found * found >= squared
    if across and down:
        assert (found * 16).denominator == 1
        assert (found - Fraction(1, 16)) ** 2 < squared
    else:
        assert found == abs(across) + abs(down)


class TestBoardsByThemselves:
    """Boards that were called at the wall, without a layout."""

    def test_from_half_of_the_edges_to_all(self) -> None:
        """A board 46 by 95 between a board, a wall, a ceiling and the floor: 95, 95 and 46 in of joint or corner."""
        board = Board("1", widths=widths("46", "46", "46"), heights=heights("95 1/2"))
        plan = solve(board)
        tape = taken(take_off_boards([plan], built_in()), Supply.TAPE)
        high = max(point.y for point in plan.outline).inches
        wide = max(point.x for point in plan.outline).inches
        assert tape.most == (2 * high + wide) / 12
        assert tape.least == tape.most / 2
        assert tape.rule is Rule.EDGES

    def test_a_board_from_an_offcut_takes_no_sheet(self) -> None:
        """Its sheet was counted with the board that left it."""
        board = Board("1", widths=widths("46", "46", "46"), heights=heights("95 1/2"))
        offcut = CutFrom("2A", frozenset({Edge.LEFT}))
        taken_off = take_off_boards([solve(board), solve(replace(board, cut_from=offcut))], built_in())
        assert taken(taken_off, Supply.SHEETS).most == 1

    def test_a_sheet_a_board(self) -> None:
        """Two boards of one size of sheet are two sheets."""
        plans = [solve(Board(str(n), widths=widths("46", "46", "46"), heights=heights("95"))) for n in (1, 2)]
        sheets = taken(take_off_boards(plans, built_in()), Supply.SHEETS)
        assert sheets.most == 2
        assert sheets.kind.sheet == Sheet(Length(48), Length(96))

    def test_bead_at_an_outside_corner(self) -> None:
        """The edge there is all of a bead where its fellow isn't called, and half of one where it is."""
        edges = sides(Neighbor.BOARD, Neighbor.OUTSIDE_CORNER)
        assert edges[Edge.RIGHT] == EdgeSetting(Neighbor.OUTSIDE_CORNER)
        plan = solve(Board("1", edges=edges, widths=widths("46", "46", "46"), heights=heights("95 1/2")))
        bead = taken(take_off_boards([plan], built_in()), Supply.BEAD)
        assert (bead.least, bead.most) == (Fraction(95, 24), Fraction(95, 12))


class TestTables:
    """For the eye, a spreadsheet and programs."""

    LINES = take_off_room(NORTH, fasten_room(NORTH, built_in()))

    def test_csv_read_back(self) -> None:
        """What Python's own reader finds is what was there."""
        rows = list(csv.DictReader(io.StringIO(takeoff_csv(self.LINES, Unit.INCH))))
        assert tuple(rows[0]) == COLUMNS
        assert [row["what"] for row in rows] == [
            "sheet 48 x 144, 1/2 in regular",
            "screw 1 1/4 in, coarse thread",
            "tape",
            "compound",
            "compound instead, ready-mixed",
        ]
        for row, quantity in zip(rows, self.LINES, strict=True):
            assert Fraction(row["least"]) - quantity.least < Fraction(1, 10)
            assert 0 <= Fraction(row["most"]) - quantity.most < Fraction(1, 10)
            assert int(row["to buy"]) >= quantity.most
            assert row["rule"]
            assert row["source"]
        assert rows[2]["unit"] == "ft"
        assert rows[1]["waste"] == "10 to 15 %"

    def test_lines_for_the_eye(self) -> None:
        """How much, waste apart, and under it the rule with its source."""
        lines = takeoff_lines(self.LINES, Unit.INCH)
        assert lines[2:6] == [
            "screw 1 1/4 in, coarse thread: 92 pieces, waste 10 to 15 %: buy 106",
            "    every place on the plan, none in a box or an opening; counted on the plan (worked out)",
            "tape: 37 ft, waste 10 to 15 %: buy 43 ft",
            "    every joint and every inside corner once; geometry: each joint belongs to two boards (worked out)",
        ]
        assert lines[6] == "compound: 4.5 to 11.9 lb, waste 10 to 15 %: buy 14 lb"

    def test_a_record_for_programs(self) -> None:
        """Its keys, among them those that were promised."""
        tape = quantity_document(self.LINES[2], Unit.INCH)
        assert {"what", "quantity", "unit", "rule", "source"} <= tape.keys()
        assert (tape["what"], tape["quantity"], tape["unit"]) == ("tape", "37", "ft")
