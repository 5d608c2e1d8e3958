"""A question or an objection that is about one board is answered there, whatever board or wall is at hand by then: what
stands on the board at hand stays as it was, and the board that the answer goes to is named.
"""

from __future__ import annotations

import pytest

from fieldvoice.records.facts import Key
from fieldvoice.records.ledger import Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Reading, Slot
from tests.dialogue.talk import Wall, wall_after

BOARD_1 = ("top 47 1/2, bottom 47 1/2, left 95",)
A_BOX = "box 1 single gang center 30 from left 48 down"

DENIED = {
    "a reading": ("right 95", "94 1/2", "94 1/2"),
    "a reading with its place": ("right 95", "right 94 1/2", "right 94 1/2"),
    "a reading that is asked about then": ("right 95", "46", "46"),
    "two places": ("height 95", "94 1/2", "94 1/2"),
    "a box": (A_BOX, "32 from left", "box 1 single gang center 32 from left 48 down"),
    "a box without its name": (A_BOX, "32 from left", "single gang center 32 from left 48 down"),
    "the kind of a box": (A_BOX, "double gang", "box 1 double gang center 30 from left 48 down"),
    "a thickness": ("5/8 board", "1/2 board", "1/2 board"),
}
"""What was called on board 1, and what it is instead: in short, and whole."""

OBJECTED = {
    "no with the value": ("no", "no, {0}"),
    "the value after no": ("no", "{0}"),
    "the value after two": ("no", "no", "{1}"),
}
ELSEWHERE = {
    "a new board": ((), "next board"),
    "a board with the same places": (
        ("next board", "top 40, left 95 1/4, right 95 1/2", "box 1 single gang center 10 from left 12 down", "board 1"),
        "board 2",
    ),
    "a wall": (("north wall 12 feet by 8 feet", "16 on center from the left", "board 1"), "north wall"),
}
"""What is there before, and the words that lead there."""

ASKED = {
    "a figure that was doubted": ("right 46", ("95 1/4",)),
    "a doubted one that is right": ("right 46", ("yes",)),
    "a doubted one that is not": ("right 46", ("no", "95 1/4")),
    "no and the value at once": ("right 46", ("no, 95 1/4",)),
    "the missing point": ("box 1 single gang 30 from left 48 down", ("center",)),
    "the missing distance": ("box 1 single gang center 30 from left", ("48 down",)),
}
"""What was asked about on board 1, and the answer."""


def _stands(wall: Wall, board: str) -> dict[Key, object]:
    return {key: one.fact for key, one in wall.session.state.known(board, doubtful=True).items()}


def _not_taken(wall: Wall, board: str) -> list[object]:
    return [one.fact for one in wall.session.state.not_taken(board)]


def _at_home(before: tuple[str, ...], call: str, answers: tuple[str, ...], who: str, leaves: str) -> Wall:
    wall = wall_after(*BOARD_1, *before, call)
    wall.types("board 1", who=leaves)  # as somebody who goes elsewhere settles it
    wall.types(*answers, who=who)
    return wall


def _named(wall: Wall) -> bool:
    return any(note.tell is Tell.OF_BOARD and note.values[0] == "1" for note in wall.session.state.said)


@pytest.mark.parametrize("denied", DENIED)
@pytest.mark.parametrize("way", OBJECTED)
@pytest.mark.parametrize("place", ELSEWHERE)
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_what_comes_instead_of_a_denied_value_goes_where_that_was(denied: str, way: str, place: str, who: str) -> None:
    """The oracle is the same talk of one who stays on board 1."""
    (call, *new), (before, there) = DENIED[denied], ELSEWHERE[place]
    answers = tuple(line.format(*new) for line in OBJECTED[way])
    at_home = _at_home(before, call, answers, who, "hanger")
    wall = wall_after(*BOARD_1, *before, call, there)
    here = wall.session.state.board
    stood = _stands(wall, here)
    for answer in answers:
        wall.types(answer, who=who)
        assert _named(wall), wall.said
    assert _stands(wall, here) == stood
    assert _stands(wall, "1") == _stands(at_home, "1")
    assert _not_taken(wall, "1") == _not_taken(at_home, "1")
    assert not _not_taken(wall, here)


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("place", ELSEWHERE)
def test_an_answer_goes_to_the_board_that_it_was_asked_of(asked: str, place: str) -> None:
    """Somebody else leads work elsewhere before it comes."""
    (call, answers), (before, there) = ASKED[asked], ELSEWHERE[place]
    at_home = _at_home(before, call, answers, "hanger", "partner")
    wall = wall_after(*BOARD_1, *before, call)
    wall.types(there, who="partner")
    here = wall.session.state.board
    stood = _stands(wall, here)
    wall.types(*answers)
    assert _named(wall), wall.said
    assert _stands(wall, here) == stood
    assert _stands(wall, "1") == _stands(at_home, "1")


def test_what_a_wall_was_asked_stays_on_that_wall() -> None:
    """Of two walls the one that was spoken of."""
    wall = wall_after("north wall 12 feet by 8 feet", "16 on center from the left", "window 36 by 48, 40 from left")
    wall.types("south wall 10 feet by 8 feet", who="partner")
    said = wall.types("36 up")
    assert said.startswith("On the north wall: Window 1")
    assert any(key.name == "window 1" for key in wall.session.state.known("north wall"))
    assert not any(key.name == "window 1" for key in wall.session.state.known("south wall"))


@pytest.mark.parametrize(("before", "there"), [((), "next board"), (("next board", "top 40", "board 1"), "board 2")])
def test_a_no_that_may_be_of_either_board_changes_none(before: tuple[str, ...], there: str) -> None:
    """Both may be meant: it is asked for by name."""
    wall = wall_after(*before, "top 47 1/2", there)
    stood = _stands(wall, "1"), _stands(wall, "2")
    said = wall.types("no, top 41")
    assert said == "Not taken: is that of board 1 or of board 2? Go there by its name, then say it again."
    assert (_stands(wall, "1"), _stands(wall, "2")) == stood


@pytest.mark.parametrize("between", ["what's on this board", "what's missing", "help"])
def test_a_figure_after_no_goes_where_it_was_denied_past_what_was_called_meanwhile(between: str) -> None:
    """What was called under the question doesn't take the place of the answer."""
    wall = wall_after("top 47", "bottom 30", A_BOX, "no", between)
    wall.types("46 3/4")
    readings = [fact for fact in _stands(wall, "1").values() if isinstance(fact, Reading)]
    assert [(fact.at, fact.value) for fact in readings] == [(Slot.TOP, Length(47)), (Slot.BOTTOM, Length("46 3/4"))]
    assert len(_stands(wall, "1")) == 3  # the box too


@pytest.mark.parametrize("there", [("left 96",), ("left 20", "right 20"), ()])
def test_a_distance_is_weighed_on_the_board_of_its_question(there: tuple[str, ...]) -> None:
    """The left of fifteen is no height there, whatever is called on the board at hand."""
    wall = Wall()
    wall.types("left 96", "right 96", "box 1 single gang center 30 from right")
    if there:
        wall.types("next board", *there, who="partner")
    wall.types("15 left")
    called = [call for call in wall.session.state.calls.values() if call.words == "15 left" and call.fact is not None]
    assert "1" not in {call.board for call in called}
    asked = wall.session.state.open["hanger"].doubts[0]
    assert asked.lack is not None


def test_the_same_height_is_that_of_a_box_on_the_board_of_the_question() -> None:
    """Box one of the board at hand is another one."""
    wall = Wall()
    wall.types("box 1 single gang center 10 from left 40 down", "box 2 single gang center 30 from left")
    wall.types("next board", "box 1 single gang center 10 from left 20 down", who="partner")
    wall.types("same height as box one")
    boxes = {
        call.fact.name: call.fact.y.value.text()
        for call in wall.session.state.known("1").values()
        if isinstance(call.fact, Box)
    }
    assert boxes.get("box 2") == "40", wall.said
