"""The boards worked by hand: what the partner reads is what the hand worked out."""

from dataclasses import replace

import pytest

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.solving import missing, solve
from fieldvoice.records.board import Board, EdgeSetting, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Dimension, Edge, Neighbor, Place, Reading, Slot
from fieldvoice.records.plan import CutLine, Does, Flaw, Hook, Method, Missing, Need, Offset, Shape, Way
from fieldvoice.wording.forms import Form
from fieldvoice.wording.needs import what, why
from fieldvoice.wording.steps import heed
from tests.cutting.rooms import SIDES_JOINED, SIDES_SWAPPED, box, heights, notes, says, widths


def marks(cut: CutLine) -> dict[str, str]:
    """The marks of a cut by their place."""
    return {str(mark.at): str(mark.distance) for mark in cut.marks}


def board_a() -> Board:
    """Left edge at the last board, right edge at a wall."""
    return Board(
        "A",
        widths=widths("46 7/8", "46 3/4", "46 1/4"),
        heights=heights("95 1/2"),
        boxes=(box("box 1", "30 1/4", "48"),),
        circuits={"box 1": Circuit.DEAD},
    )


def board_b() -> Board:
    """The same room turned round: the taper is on the left, and the box was measured from there."""
    return Board(
        "B",
        edges=SIDES_SWAPPED,
        widths=widths("46 7/8", "46 3/4", "46 1/4"),
        heights=heights("95 1/2"),
        boxes=(box("box 1", "20", "48"),),
    )


def test_board_a_is_cut_from_46_3_4_to_46_1_8() -> None:
    """The right edge, from the left, after the bottom has been cut to 95."""
    plan = solve(board_a())
    assert [cut.edge for cut in plan.cuts] == [Edge.BOTTOM, Edge.RIGHT]
    assert marks(plan.cuts[0]) == {"left": "95", "right": "95"}
    assert plan.cuts[1].origin is Edge.LEFT
    assert plan.cuts[1].shape is Shape.STRAIGHT
    assert marks(plan.cuts[1]) == {"top": "46 3/4", "bottom": "46 1/8"}
    assert (plan.sheet.width, plan.sheet.length) == (Length(48), Length(96))


def test_board_a_stays_open_5_16_in_the_middle() -> None:
    """1/8 clearance at both ends, 3/16 more where the wall bows."""
    gaps = {(gap.edge.value, str(gap.at)): str(gap.gap) for gap in solve(board_a()).proof.gaps}
    assert gaps == {
        ("right", "top"): "1/8",
        ("right", "middle"): "5/16",
        ("right", "bottom"): "1/8",
        ("bottom", "left"): "1/2",
    }


def test_board_a_box_is_marked_where_it_was_read() -> None:
    """30 1/4 and 48, since a joint and a tight ceiling take nothing off; the hole is 2 1/4 by 3 3/4."""
    (opening,) = solve(board_a()).openings
    assert (str(opening.center.x), str(opening.center.y)) == ("30 1/4", "48")
    assert [str(side) for side in (opening.left, opening.right, opening.top, opening.bottom)] == [
        "29 1/8",
        "31 3/8",
        "46 1/8",
        "49 7/8",
    ]
    assert (opening.x_from, opening.y_from) == ("left factory edge", "top factory edge")
    assert opening.method is Method.ROUT


def test_board_b_box_is_26_3_4_from_the_factory_edge() -> None:
    """By the readings, which are taken at its height: 46 3/4 less 20. The cut is 3/16 off the wall there, so that from
    the cut it is 19 11/16 and not 19 7/8.
    """
    plan = solve(board_b())
    (opening,) = plan.openings
    assert marks(plan.cuts[1]) == {"top": "46 3/4", "bottom": "46 1/8"}
    assert plan.cuts[1].origin is Edge.RIGHT
    assert str(opening.center.x) == "19 11/16"
    assert opening.x_from == "left cut edge"
    assert opening.alternates == (Way(Length("26 3/4"), Hook.RIGHT_FACTORY),)
    (mark,) = (step.hole for step in plan.steps if step.does is Does.MARK_OPENING)
    assert mark is not None
    assert mark.center is not None
    assert mark.center[0] == Offset(Hook.RIGHT_FACTORY, Length("26 3/4"))


def test_board_b_says_that_the_bow_moves_the_box() -> None:
    """The middle reading puts the wall 3/16 farther off there: by the readings the box is 26 3/4 from the right."""
    (warning,) = (text for text in notes(solve(board_b())) if "bows" in text)
    assert "box 1" in warning.lower()
    assert "3/16 in" in warning
    assert "26 3/4 in" in warning
    assert "by the readings" in warning


def test_board_c_is_offered_broken() -> None:
    """The best straight line leaves 3/8 at both ends; two straight pieces leave nothing."""
    plan = solve(Board("C", edges=SIDES_JOINED, widths=widths("47", "46 1/2", "46 3/4"), heights=heights("95 1/2")))
    assert marks(plan.cuts[1]) == {"top": "46 5/8", "bottom": "46 3/8"}
    gaps = [str(gap.gap) for gap in plan.proof.gaps if gap.edge is Edge.RIGHT]
    assert gaps == ["3/8", "0", "3/8"]
    assert plan.broken[0].shape is Shape.BROKEN
    assert marks(plan.broken[0]) == {"top": "47", "middle": "46 1/2", "bottom": "46 11/16"}


def test_a_box_not_tested_gets_no_tool() -> None:
    """Unknown and live both mean: by hand, before hanging, with the caution at the step."""
    for state in (Circuit.UNKNOWN, Circuit.LIVE):
        plan = solve(
            Board(
                "1",
                widths=widths("46", "46", "46"),
                heights=heights("95"),
                boxes=(box("box 1", "9", "9"),),
                circuits={"box 1": state},
            )
        )
        assert plan.openings[0].method is Method.BEFOREHAND
        cautions = [heed(step) for step in plan.steps if step.opening == "box 1" and step.heed]
        assert len(cautions) == 1
        assert "no tool" in str(cautions[0])
        assert not any("Rout" in text for text in says(plan))


def test_the_plain_boards_need_nothing_more_and_look_likely() -> None:
    """A is complete but for the other end above the floor; of B only the circuit isn't known; neither is odd."""
    assert missing(board_a()) == (Missing(Need.HEIGHT, required=False, at=Slot.RIGHT),)
    assert [(one.need, one.required) for one in missing(board_b())] == [(Need.HEIGHT, False), (Need.CIRCUIT, False)]
    assert oddities(board_a()) == oddities(board_b()) == ()


def test_two_widths_make_a_plan_that_says_what_it_lacks() -> None:
    """Top and bottom are enough to cut by; the middle is still asked for."""
    board = Board("1", widths=widths("46 7/8", None, "46 1/4"), heights=heights("95 1/2"))
    plan = solve(board)
    assert any("middle" in warning for warning in notes(plan))
    assert [(what(one, Form(Unit.INCH)), one.required) for one in missing(board)] == [
        ("the height at the right", False),
        ("the width at the middle", False),
    ]
    assert {mark.at for mark in plan.cuts[1].marks} == {Slot.TOP, Slot.BOTTOM}


@pytest.mark.parametrize(
    ("places", "told"),
    [
        ((Slot.TOP, Slot.MIDDLE), ["bottom"]),
        ((Slot.TOP, Length(32)), ["bottom"]),
        ((Length(32), Length(60)), ["top", "bottom"]),
        ((Slot.TOP, Slot.MIDDLE, Length(90)), []),
        ((Slot.TOP, Slot.BOTTOM), []),
    ],
)
def test_an_end_where_no_width_was_taken_is_told(places: tuple[Place, ...], told: list[str]) -> None:
    """The cut would run on past the last reading, and a wall that comes in there would not have it: it is asked for."""
    board = Board(
        "1",
        widths=tuple(Reading(Length(46), Dimension.WIDTH, at) for at in places),
        heights=(Reading(Length(95), Dimension.HEIGHT, Slot.LEFT),),
    )
    assert [str(one.at) for one in missing(board) if one.required] == told


def test_a_cut_offered_instead_is_proved_too() -> None:
    """A sixteenth more at the middle of the broken cut, and the plan fails: it would be too tight there."""
    plan = solve(Board("C", edges=SIDES_JOINED, widths=widths("47", "46 1/2", "46 3/4"), heights=heights("95 1/2")))
    offered = plan.broken[0]
    spoilt = tuple(replace(mark, distance=mark.distance + Length("1/16")) for mark in offered.marks)
    failures = prove(replace(plan, broken=(replace(offered, marks=spoilt),))).failures
    assert [(one.flaw, one.edge) for one in failures] == [(Flaw.INSTEAD, Edge.RIGHT)]


def test_heights_from_floor_to_ceiling_are_told_where_the_boards_own_is_needed() -> None:
    """A lying sheet in a course has none of its own by them."""
    board = Board("1", widths=widths("42", None, "42"), heights=heights("90"), lies=Lies.LYING)
    board = replace(board, edges={**board.edges, Edge.TOP: EdgeSetting(Neighbor.WALL)})
    (needed,) = (one for one in missing(board) if one.need is Need.HEIGHT)
    assert needed.required
    assert "90" in why(needed, Form(Unit.INCH))
    assert "alone" in what(needed, Form(Unit.INCH))
