"""Where a thing lies on its wall: a box of one layer is behind the next, one across a joint is on both boards, and what
is measured from an end of the wall isn't measured from a joint or a jamb.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fieldvoice.dialogue import keeping, on_the_wall, taking_up
from fieldvoice.records.ledger import Concern
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Edge
from tests.dialogue.talk import Wall, wall_after

STANDING = ("north wall 12 foot by 8 foot", "16 on center from the left", "standing")


def _has_box(wall: Wall) -> bool:
    """Whether the plan in hand has a hole of a box."""
    return wall.view.plan is not None and bool(wall.view.plan.board.boxes)


LAYERED = ("north wall 8 by 8 feet", "two layers", "studs 16 on center")
FIRST, SECOND = "1", "4"
"""The upper boards of both layers of that wall."""


def _at(wall: Wall, board: str) -> Wall:
    """Work at a board of the layout that is as large as it was laid out."""
    while board not in wall.session.state.pieces:
        wall.types("next board")
    wall.types(f"board {board}")
    plan = wall.view.room_plan
    assert plan is not None
    (piece,) = [one for one in plan.pieces if one.name == wall.session.state.pieces[board]]
    wall.types(f"top {piece.width} bottom {piece.width} left {piece.height} right {piece.height}")
    return wall


@pytest.mark.parametrize("thing", ["box 1 single gang", "box 1 round box", "4 inch pipe"])
@pytest.mark.parametrize("across", [10, 50, 80])
def test_what_is_called_on_the_first_layer_is_wanted_on_the_second(thing: str, across: int) -> None:
    """No box is buried without a word: the second layer's board is a draft until it is called there, near its place."""
    wall = _at(wall_after(*LAYERED), FIRST)
    wall.types(f"{thing} center {across} from left center 12 down", "yes", "done")
    assert not wall.view.draft, wall.said
    told = _at(wall, SECOND).types("done")
    assert wall.view.draft
    assert "reaches onto this board" in told
    wall.types(f"{thing} center {(across + 40) % 90} from left center 12 down", "yes", "done")
    assert wall.view.draft, "that is another one"
    wall.types(f"{thing.replace('1', '2')} center {across} from left center 12 1/4 down", "yes", "done", "yes", "done")
    assert not wall.view.draft, wall.said


@pytest.mark.parametrize(("across", "wanted"), [("47 1/2", True), ("46", False), ("47", True), ("20", False)])
@pytest.mark.parametrize("down", [12, 60])
def test_what_runs_across_a_joint_is_wanted_on_the_board_beside_it(across: str, down: int, *, wanted: bool) -> None:
    """Each of both has its part of the hole."""
    wall = _at(wall_after(*STANDING), "1")
    wall.types(f"box 1 single gang center {across} from left center {down} down", "yes", "done")
    _at(wall, "2").types("done")
    assert wall.view.draft is wanted, wall.said
    if wanted:
        right = Length(across) + Length("1 1/8") - Length(48)
        wall.types(f"box 1 single gang right edge {right} from left center {down} down")
        wall.types("yes", "done", "yes")
        assert not wall.view.draft, wall.said
    _at(wall, "3").types("done")
    assert not wall.view.draft, wall.said


@pytest.mark.parametrize("off", [Length("1/4"), Length(1), Length(3)])
@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("named", ["box 1", "box 5"])
@pytest.mark.parametrize("start", ["left", "right"])
def test_one_hole_of_two_layers_that_is_called_elsewhere_is_asked_about(
    off: Length, way: int, named: str, start: str
) -> None:
    """By the name or by another; a yes keeps it, and what the other board has takes the right one."""
    wall = _at(wall_after(*LAYERED), FIRST)
    wall.types("box 1 single gang center 40 from left center 12 down", "yes", "done")
    at = Length(40) + off * way
    called = at if start == "left" else Length(96) - at
    _at(wall, SECOND).types(f"{named} single gang center {called} from {start} center 12 down")
    doubts = [doubt for one in wall.session.state.open.values() for doubt in one.doubts]
    asked = [doubt for doubt in doubts if doubt.concern is Concern.OFF_ANOTHER_BOARD]
    assert bool(asked) is (off > Length("1/2")), wall.said
    if asked:
        assert asked[0].value == Length(40 if start == "left" else 56)
        assert asked[0].told == (FIRST, start)
    wall.types("yes", "done", "yes", "done")
    assert not wall.view.draft, wall.said


@pytest.mark.parametrize("at", ["47 1/2", "47", "48 1/2", "49"])
@pytest.mark.parametrize("up", [0, 2])
@pytest.mark.parametrize("called", ["center 1/2", "center 1", "right edge 3", "right edge 1/2"])
def test_where_the_other_board_has_it_is_told_whichever_edge_it_is_beyond(at: str, up: int, called: str) -> None:
    """The middle of a box across a joint is on one of both boards alone."""
    wall = _at(wall_after(*STANDING), "1")
    wall.types(f"box 1 single gang center {at} from left center 40 down", "yes")
    _at(wall, "2").types(f"box 1 single gang {called} from left center {40 + up} down")
    doubts = [doubt for one in wall.session.state.open.values() for doubt in one.doubts]
    side = Length("1 1/16") if called.startswith("right") else Length(0)
    off = Length(called.rpartition(" ")[2] if " " in called else called) - side - Length(at) + Length(48)
    asked = any(doubt.concern is Concern.OFF_ANOTHER_BOARD for doubt in doubts)
    assert asked is (abs(off) > Length("1/2") or up > 0), wall.said


@pytest.mark.parametrize(("there", "asked"), [("double gang", True), ("single gang", False), ("round box", True)])
def test_another_kind_on_another_board_is_asked_about(there: str, *, asked: bool) -> None:
    """Both have one hole there."""
    wall = _at(wall_after(*LAYERED), FIRST)
    wall.types(f"box 1 {there} center 40 from left center 12 down", "yes", "done")
    _at(wall, SECOND).types("box 1 single gang center 40 from left center 12 down")
    doubts = {doubt.concern for one in wall.session.state.open.values() for doubt in one.doubts}
    assert (Concern.OFF_ANOTHER_BOARD in doubts) is asked


ACROSS = [("10 from left", 10), ("70 from left", 70), ("30 from right", 114)]
DOORS = [(door, said) for door in (16, 20, 40, 60, 92) for said in ACROSS if not door - 3 < said[1] < door + 39]


@pytest.mark.parametrize(("door", "across"), DOORS)
@pytest.mark.parametrize("up", [20, 60])
def test_a_jamb_is_no_end_of_its_wall(door: int, across: tuple[str, int], up: int) -> None:
    """What was measured from an end of the wall is never counted from a jamb."""
    said, at = across
    wall = wall_after(
        "north wall 12 by 8 feet", "studs 16 on center", f"door 36 wide 80 high {door} from left on the floor"
    )
    wall.types(f"box 1 single gang center {said} center {up} up", "next board")
    plan = wall.view.room_plan
    assert plan is not None
    (surface,) = plan.surfaces
    for number, piece in enumerate(surface.pieces):
        if number:
            wall.types("next board")
        there = wall.session.state.known(wall.session.state.board, doubtful=True).values()
        for box in (call.fact for call in there if isinstance(call.fact, Box)):
            end = piece.x if box.x.start is Edge.LEFT else surface.surface.width - piece.right
            assert end == Length(0), (piece, wall.said)
            assert piece.x <= Length(at) <= piece.right


@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("named", ["box 1 single gang", "outlet"])
def test_another_boards_box_of_one_name_leaves_the_one_that_waits(who: str, named: str) -> None:
    """Boards number their boxes each by itself: the third board has its hole still."""
    wall = wall_after(*STANDING, "box 1 single gang center 20 from right center 40 down", "next board")
    wall.types(f"{named} center 20 from left center 40 down", "yes", who=who)
    for board in ("1", "2", "3"):
        _at(wall, board).types("done", "yes")
        assert wall.view.plan is not None
        assert _has_box(wall) is (board != "2"), wall.said


def test_two_persons_boxes_of_one_name_at_a_wall_are_two() -> None:
    """The one that isn't taken to the board keeps it back until its speaker leaves it out, or says it again."""
    wall = wall_after(*STANDING)
    wall.types("box 1 single gang center 20 from left center 40 down", who="partner")
    wall.types("box 1 single gang center 22 from left center 40 down", "next board")
    _at(wall, "1").types("done")
    assert wall.view.draft, wall.said
    wall.types("done", "yes", who="partner")
    assert not wall.view.draft, wall.said


BESIDE = [
    ("ends_where_measured", True, test_a_jamb_is_no_end_of_its_wall, (16, ("70 from left", 70), 20)),
    ("_reaches", False, test_what_is_called_on_the_first_layer_is_wanted_on_the_second, ("box 1 single gang", 50)),
    (
        "is_on_its_piece",
        True,
        test_another_boards_box_of_one_name_leaves_the_one_that_waits,
        ("hanger", "outlet"),
    ),
]


@pytest.mark.parametrize(("rule", "always", "test", "case"), BESIDE)
def test_each_rule_of_places_on_a_wall_is_needed(
    rule: str, test: Callable[..., None], case: tuple[object, ...], monkeypatch: pytest.MonkeyPatch, *, always: bool
) -> None:
    """Of ends, of what reaches onto a board, and of what waits for another one."""
    for room in (on_the_wall, taking_up, keeping):
        monkeypatch.setattr(room, rule, lambda *_: always, raising=False)
    with pytest.raises(AssertionError):
        test(*case)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_piece_is_gone_to_by_its_number_before_the_wall_is_laid_out(number: int) -> None:
    """It is laid out for that; what is called next is that piece's."""
    wall = wall_after(*STANDING, f"piece {number}", "top 48", "bottom 48")
    there = wall.session.state.pieces[wall.session.state.board]
    assert there.number == number, wall.said
