"""What crews say once and mean for good, and what they say of sheets and boxes in passing."""

from __future__ import annotations

import pytest

from fieldvoice.records.board import Board
from fieldvoice.records.ledger import Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Circuit, Context, Edge, Topic
from fieldvoice.records.plan import Does, Method
from tests.dialogue.talk import A_BOX, Wall, wall_after

HEIGHTS = ("95 1/2 left and right",)


def board(wall: Wall) -> Board:
    """The board at hand."""
    hole = wall.view.hole
    assert hole is not None
    return hole


def boxes(wall: Wall) -> dict[str, Box]:
    """Its boxes by name."""
    return {box.name: box for box in board(wall).boxes}


def sheet(wall: Wall) -> tuple[Length, Length]:
    """The sheet that the plan is cut from."""
    plan = wall.view.plan
    assert plan is not None
    return plan.sheet.width, plan.sheet.length


class TestFullSheets:
    """A whole sheet, whose width nobody measures."""

    def test_a_full_sheet_needs_no_width(self) -> None:
        """Joints both sides: the height is all that is measured, and nothing comes off the sides."""
        wall = wall_after("joint both sides", "full sheet", *HEIGHTS, "done")
        assert not wall.view.draft
        assert wall.view.plan is not None
        assert {step.edge for step in wall.view.plan.steps if step.marks} == {Edge.BOTTOM}

    def test_beside_a_wall_too(self) -> None:
        """The factory edge goes to the wall as it is: no eighth is shaved off a full sheet."""
        wall = wall_after("wall left, joint right", "full sheet", *HEIGHTS, "done")
        assert not wall.view.draft
        assert wall.view.plan is not None
        assert {step.edge for step in wall.view.plan.steps if step.marks} == {Edge.BOTTOM}

    def test_what_is_measured_counts_instead(self) -> None:
        """Once a width is called, the sheet is cut to it."""
        wall = wall_after("joint both sides", "full sheet", *HEIGHTS, "top 46", "bottom 46", "done")
        assert {reading.value for reading in board(wall).widths} == {Length(46)}

    def test_it_is_said_of_one_board(self) -> None:
        """The next board is measured again."""
        wall = wall_after(
            "joint both sides", "full sheet", *HEIGHTS, "done", "next board", "joint both sides", *HEIGHTS
        )
        assert "width" in wall.types("done")


class TestSheetSizes:
    """What is said of the sheet alone."""

    def test_a_wide_sheet(self) -> None:
        """Fifty-four wide, and only its width was said: the length is chosen."""
        wall = wall_after("joint left, wall right", "54 inch sheet", "top 52", "bottom 52", *HEIGHTS, "done")
        assert sheet(wall) == (Length(54), Length(96))

    def test_a_long_sheet(self) -> None:
        """A twelve footer, though an eight footer would do, and on the next board again."""
        wall = wall_after("twelve footer", "joint left, wall right", "top 46", "bottom 46", *HEIGHTS, "done")
        assert sheet(wall) == (Length(48), Length(144))
        assert "sheet length" in wall.types("next board")

    def test_how_thick_it_is(self) -> None:
        """A bare part of an inch before anything is measured is the board's thickness, and after it isn't."""
        wall = Wall()
        assert "Thickness: 5/8" in wall.types("five eighths")
        wall.types("top 46")
        wall.types("half inch")
        assert board(wall).thickness == Length("5/8")


class TestBoxes:
    """Boxes beside boxes, and as the crew always has them."""

    def test_the_same_height(self) -> None:
        """In one breath, as the answer to a question, and of a box that is there."""
        wall = wall_after("outlet center 12 from left 80 down", "outlet center 30 from left same height as box one")
        wall.types("switch center 40 from left 48 down", "same height as box one", "top 46")
        assert {box.y.value for box in boxes(wall).values()} == {Length(80)}
        assert len(boxes(wall)) == 3

    def test_the_same_height_of_nothing(self) -> None:
        """There is no box seven: nothing is guessed."""
        wall = Wall()
        assert "can't work out that height" in wall.types(A_BOX, "same height as box seven")

    def test_edges_of_boxes_of_two_sizes(self) -> None:
        """The upper edges level aren't the centers level, so it is asked for."""
        wall = wall_after("single gang left edge 12 from the left, top edge 40 down")
        wall.types("three gang center 30 from left same height as box one")
        assert "2" not in boxes(wall)
        assert wall.asks

    def test_boxes_to_the_center(self) -> None:
        """Said once: it isn't asked again, on the next board neither."""
        wall = wall_after("boxes to the center", "outlet 20 from left, 80 down", "next board")
        wall.types("switch 30 from left, 48 down", "top 46")
        assert {box.x.point.value for box in boxes(wall).values()} == {"center"}
        assert len(boxes(wall)) == 1

    def test_a_box_said_to_its_edge_is_to_its_edge(self) -> None:
        """What is said counts before what is usual."""
        wall = wall_after("boxes to the center", "single gang left edge 12 from the left, top edge 40 down", "top 46")
        assert {box.x.point.value for box in boxes(wall).values()} == {"near"}

    def test_over_is_from_the_left(self) -> None:
        """With both habits the shortest call is whole."""
        wall = wall_after("boxes to the center", "over is from the left")
        assert "center 14 1/2 from left" in wall.types("outlet 14 1/2 over, 80 1/4 down")

    def test_the_second_same_answer_is_a_habit(self) -> None:
        """Asked twice and answered alike: it is said that it holds from now on, and isn't asked a third time."""
        wall = Wall()
        assert "Box point" not in wall.types("outlet 12 from left, 80 down", "center")
        assert "Box point: center." in wall.types("outlet 30 from left, 80 down", "center")
        assert "center 40 from left" in wall.types("switch 40 from left, 48 down")
        assert not wall.asks

    def test_a_habit_said_as_the_answer(self) -> None:
        """Asked "center or edge?": "boxes to the center" answers it and holds."""
        wall = Wall()
        said = wall.types("outlet 12 from left, 80 down", "boxes to the center")
        assert "center 12 from left" in said
        assert "Box point: center." in said
        wall.types("outlet 30 from left, 80 down", "top 46")
        assert len(boxes(wall)) == 2

    def test_two_unlike_answers_are_none(self) -> None:
        """To the center, then to the edge: the third is asked for."""
        wall = wall_after("outlet 12 from left, 80 down", "center", "outlet 30 from left, 80 down", "edge")
        wall.types("switch 40 from left, 48 down")
        assert wall.asks

    def test_the_side_that_over_is_from(self) -> None:
        """By the second same answer, too."""
        wall = wall_after("boxes to the center", "outlet 12 over, 80 down", "the right")
        assert "Over: right." in wall.types("outlet 30 over, 80 down", "the right")
        assert "center 40 from right" in wall.types("switch 40 over, 48 down")

    def test_no_boxes(self) -> None:
        """It is taken where there is none and denied where there is one."""
        wall = Wall()
        assert not wall.types("no boxes").startswith("Not taken")
        wall = wall_after(A_BOX, "no boxes")
        assert wall.refuses
        wall.types("top 46")
        assert boxes(wall)

    def test_a_box_called_live_stays_live(self) -> None:
        """Said of the box just named, before it was settled: the next call doesn't wash it off."""
        wall = wall_after(A_BOX, "it's live", "top 46 7/8", "bottom 46")
        assert board(wall).circuit("box 1") is Circuit.LIVE


class TestTheRest:
    """Middle widths, studs, slips and cutting in place."""

    def test_no_middle_width(self) -> None:
        """The crew that measures none isn't told to."""
        wall = Wall()
        calls = ("joint left, wall right", "top 46", "bottom 46", *HEIGHTS)
        assert "middle" in wall.types(*calls, "done")
        wall = Wall()
        assert "middle" not in wall.types("no middle width", *calls, "done")

    def test_back_bevels(self) -> None:
        """Each edge that is named, beside the others."""
        wall = wall_after(
            "joint both sides", "full sheet", *HEIGHTS, "back bevel the left", "back bevel the right", "done"
        )
        assert wall.view.plan is not None
        assert [step.edges for step in wall.view.plan.steps if step.does is Does.BEVEL] == [(Edge.LEFT, Edge.RIGHT)]

    def test_studs_add_up(self) -> None:
        """One after the other: each is beside those before."""
        wall = Wall()
        said = wall.types("stud at 16", "stud at 32")
        assert said == "Studs: 16, 32 in."
        wall.types("top 46")
        assert board(wall).framing.studs == (Length(16), Length(32))

    def test_a_guess_is_said_yes_to(self) -> None:
        """A typing slip is asked about with what it is taken for; yes takes it, no doesn't."""
        wall = Wall()
        assert "is that right?" in wall.types("tpo 46 7/8")
        wall.types("yes")
        assert wall.value("width, top") == "46 7/8"
        wall = wall_after("tpo 46 7/8", "no")
        assert wall.value("width, top") is None

    def test_cut_in_place(self) -> None:
        """A window at the board's corner is cut once the board hangs, if the crew says so."""
        calls = ("wall left, joint right", "top 46", "bottom 46", *HEIGHTS, "window 30 from left 40 down 36 by 60")
        ways = []
        for more in ((), ("cut it in place",)):
            wall = wall_after(*calls, *more, "done", "yes")
            assert wall.view.plan is not None
            ways += [one.method for one in wall.view.plan.openings]
        assert ways == [Method.SAW, Method.IN_PLACE]


MANNERS = {
    "all boxes are to the center": "all boxes are to the edge",
    "over is from the left": "over is from the right",
    "millimeters": "inches",
    "inches": "millimeters",
}


@pytest.mark.parametrize(("first", "then"), MANNERS.items())
def test_how_words_are_taken_on_the_board_gone_back_to_is_said(first: str, then: str) -> None:
    """Where it is otherwise than on the board that is left, and there alone."""
    wall = wall_after(first, "next board", "board one")
    assert Tell.STILL_HERE not in {note.tell for note in wall.session.state.said}
    wall.types("board two", then, "board one")
    (told,) = [note.values for note in wall.session.state.said if note.tell is Tell.STILL_HERE]
    called = [call.fact for call in wall_after(first).session.state.known("1").values()]
    assert told == (*called, Context(Topic.UNIT, "in"))[:1]
    wall.types("board two", first, "board one")
    assert Tell.STILL_HERE not in {note.tell for note in wall.session.state.said}


WALLED = ("kitchen", "north wall 20 by 8 feet studs 16 on center")
HABIT = "all boxes are to the center"


@pytest.mark.parametrize(
    "lines",
    [
        (HABIT, *WALLED, "next board"),
        (*WALLED, HABIT, "next board"),
        (*WALLED, "next board", HABIT, "next board"),
        (*WALLED, "next board", HABIT, "next board", "next board"),
        (*WALLED, "next board", HABIT, "south wall 12 by 8 feet studs 16 on center", "next board", "next board"),
    ],
)
def test_a_habit_holds_on_every_piece_of_a_layout(lines: tuple[str, ...]) -> None:
    """Said at a board, at a wall or at a piece of one; what goes along is told."""
    wall = wall_after(*lines)
    told = {call.fact for note in wall.session.state.said if note.tell is Tell.CARRIED for call in note.values}  # type: ignore[union-attr]
    at_a_piece = lines[-2] == HABIT and lines[-3] == "next board"
    assert not at_a_piece or Context(Topic.BOX_POINT, "center") in told, wall.said
    wall.types("outlet 12 from left 18 down")
    assert not wall.asks, wall.said
    assert [one for one in wall.readings if "center 12 from left" in one.value], wall.said


@pytest.mark.parametrize("unit", ["millimeters", "inches"])
def test_a_unit_said_at_a_piece_is_that_of_the_next(unit: str) -> None:
    """It is the crew's tape; what the layout knows is told in it."""
    first = () if unit == "millimeters" else ("millimeters",)
    sides = WALLED[1] if not first else "north wall 6000 by 2440 studs 400 on center"
    wall = wall_after(*first, WALLED[0], sides, "next board", unit, "next board")
    assert wall.session.unit is (Unit.MM if unit == "millimeters" else Unit.INCH), wall.said
