"""A no, or a correction behind one, is about what was told last at hand: never lost, and never of another thing."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue import correcting
from fieldvoice.records.ledger import Standing
from fieldvoice.records.meaning import Reading
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
NAMED = ("no, middle", "no middle width", "no, middle width", "no, middle height", "no, the middle", "nope, the middle")


def _in_question(wall: Wall) -> set[str]:
    state = wall.session.state
    return {str(call.fact.at) for call in state.in_question(state.board) if isinstance(call.fact, Reading)}


@pytest.mark.parametrize("said", NAMED)
@pytest.mark.parametrize("middle", ["middle 41 1/2", "middle height 89 1/2", "P:middle 41 1/2"])
@pytest.mark.parametrize("between", [(), ("top 42 1/8",)])
def test_a_no_that_names_the_middle_is_about_the_one_that_is_there(
    said: str, middle: str, between: tuple[str, ...]
) -> None:
    """Whoever called it: it is no habit of the crew's, and no plan is settled with it."""
    wall = wall_after(*BOARD, middle, *between, said)
    assert "middle" in _in_question(wall)
    assert "middle width" not in wall.settings
    wall.types("done")
    assert wall.view.draft


@pytest.mark.parametrize("said", ["no middle width", "no, middle", "we don't do middles"])
def test_where_none_is_there_it_is_a_habit(said: str) -> None:
    """Said where nothing is asked."""
    wall = wall_after(*BOARD, said)
    assert wall.settings["middle width"] == "no"


@pytest.mark.parametrize("said", NAMED)
@pytest.mark.parametrize("asked", ["top 47", "middle width 30", "left 19"])
def test_under_a_question_it_is_no_habit(said: str, asked: str) -> None:
    """What is asked about isn't taken by it."""
    wall = wall_after(*BOARD, asked, said)
    assert "middle width" not in wall.settings
    (call,) = [one for one in wall.session.state.calls.values() if one.words == asked]
    assert call.standing is (Standing.NOT_TAKEN if said in NAMED[:3] else Standing.DOUBTFUL)
    wall.types("done")
    assert wall.view.draft


@pytest.mark.parametrize("said", ["no, the middle", "no, the bottom", "no, middle height", "nope, bottom"])
@pytest.mark.parametrize("last", ["top 42", "left 90", "P:top 42"])
def test_where_nothing_stands_at_the_place_it_is_about_what_was_told_last(said: str, last: str) -> None:
    """The figure belongs to another place: until that is said it doesn't stand."""
    wall = wall_after(last, said)
    (call,) = [one for one in wall.session.state.calls.values() if one.words == last.removeprefix("P:")]
    assert call.standing in {Standing.DOUBTFUL, Standing.NOT_TAKEN}
    assert wall.asks


LED = (
    (BOARD, "next board", "1"),
    ((*BOARD, "yes"), "next board", "1"),
    ((*BOARD, "next board", "board 1"), "board 2", "1"),
)


@pytest.mark.parametrize(("talk", "order", "back"), LED)
@pytest.mark.parametrize("denial", ["no, board {}", "I meant board {}", "wrong, board {}"])
def test_a_no_and_a_board_leads_there(talk: tuple[str, ...], order: str, back: str, denial: str) -> None:
    """It is where work is, and no value of the board that it is said on; what was called there stands."""
    wall = wall_after(*talk, order, denial.format(back))
    assert wall.session.state.board == back
    assert "board" not in wall.settings
    assert len(wall.readings) == len(BOARD)
    assert not wall.asks


@pytest.mark.parametrize("called", ["top 42", "box 1 single gang center 12 from left 14 up", "top 19", "left board"])
def test_a_no_and_a_board_behind_a_value_denies_that(called: str) -> None:
    """It was called for that other board, where it is to be called: neither board has it until then."""
    wall = wall_after("left 90", "top 42 1/8", called, "no, board 2")
    assert wall.session.state.board == "2"
    assert not [one for one in wall.session.state.known("1").values() if one.words == called]
    wall.types("top 42")
    assert wall.value("width, top") == "42"
    assert wall.session.state.board == "2"


THINGS = (
    ("door 32 wide 80 high left edge 5 from left", "30 wide", "30 wide by 80 high"),
    ("door 32 wide 80 high left edge 5 from left", "78 high", "32 wide by 78 high"),
    ("window 20 wide 30 high left edge 5 from left", "22 wide", "22 wide by 30 high"),
    ("outlet center 13 from left", "14", "center 14 from left"),
    ("outlet center 13 from left", "14 from left", "center 14 from left"),
)


@pytest.mark.parametrize(("begun", "right", "told"), THINGS)
@pytest.mark.parametrize("denial", ["no, {}", "no make it {}"])
@pytest.mark.parametrize("board", [(), BOARD])
def test_a_figure_behind_a_no_is_of_the_thing_that_lacks_a_part(
    begun: str, right: str, told: str, denial: str, board: tuple[str, ...]
) -> None:
    """And of no place of the board."""
    wall = wall_after(*board, begun, denial.format(right), "14 up")
    assert len(wall.readings) == len(board) + 1
    assert told in wall.readings[-1].value


@pytest.mark.parametrize(
    "begun", ["door 40 wide 80 high left edge 1 from left", "window 40 wide 30 high left edge 1 from left"]
)
@pytest.mark.parametrize("said", ["41 1/2 wide", "22 wide", "89 1/2 high"])
def test_a_width_said_while_a_part_of_the_thing_is_asked_is_kept_as_not_taken(begun: str, said: str) -> None:
    """It may be the thing's or the board's: neither has it, and no plan is settled with it."""
    wall = wall_after(*BOARD, begun, said, "on the floor" if "door" in begun else "20 up", "yes")
    assert [line.label for line in wall.readings][-1] in {"door 1", "window 1"}
    assert len(wall.readings) == len(BOARD) + 1
    assert [one.words for one in wall.session.state.not_taken("1")] == [said]


LOST = ("window 20 wide left edge 5 from left 30 up", "banana 12")


@pytest.mark.parametrize("lost", LOST)
@pytest.mark.parametrize("said", ["no, 42 wide", "no, 43", "no, half inch", "no, 13 up"])
@pytest.mark.parametrize("who", ["", "P:"])
def test_behind_what_was_not_taken_it_is_of_that(lost: str, said: str, who: str) -> None:
    """Of no value that was read back before it, and of no place that happens to be free."""
    before = wall_after(*BOARD).readings
    wall = wall_after(*BOARD, f"{who}{lost}", f"{who}{said}")
    assert wall.readings == before
    wall.types("done")
    assert wall.view.draft


WALL = "north wall 12 by 8 feet, studs 16 on center"


@pytest.mark.parametrize("size", ["13 by 8 feet", "13 feet by 8 feet", "13 foot by 8 foot", "156 by 96"])
@pytest.mark.parametrize(
    "between", [(), ("next board", "top 144", "bottom 144", "north wall"), ("next board", "north wall")]
)
@pytest.mark.parametrize("room", [(), ("kitchen",)])
def test_a_size_behind_a_no_is_of_the_wall_at_hand(size: str, between: tuple[str, ...], room: tuple[str, ...]) -> None:
    """It is no sheet, and nothing of a board that was read back before work went to the wall."""
    wall = wall_after(*room, WALL, *between, f"no, {size}")
    assert wall.value("north wall") == "156 by 96 in"
    assert not wall.session.state.in_question("1")


@pytest.mark.parametrize("said", ["no, 50 from left", "no, single gang", "no, the left"])
def test_a_part_behind_a_no_where_work_just_went_is_of_no_other_board(said: str) -> None:
    """Which it is of is asked."""
    wall = wall_after(WALL, "next board", "top 144", "bottom 144", "done", "north wall", said)
    assert not wall.session.state.in_question("1")
    assert "board 1" in " ".join(say.text for say in wall.said)


@pytest.mark.parametrize(
    "last", ["top 42 1/8", "box 1 single gang center 12 from left 14 up", "left board", "middle height 89", "top 55"]
)
@pytest.mark.parametrize("meant", ["bottom", "box 2", "height", "the middle", "left", "the other one"])
def test_what_was_meant_is_another_thing_than_what_was_told_last(last: str, meant: str) -> None:
    """That is asked about, and nothing else that stands, also at the place that was meant."""
    wall = wall_after(*BOARD, "middle 42", last, f"I meant {meant}")
    (call,) = [one for one in wall.session.state.calls.values() if one.words == last]
    assert call.standing is Standing.DOUBTFUL
    assert wall.session.state.in_question("1") == (call,)
    assert wall.asks


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """A no to the middle that stands is the habit."""
    monkeypatch.setattr(correcting, "_NO_MIDDLE", None)
    wall = Wall()
    wall.types(*BOARD, "middle 41 1/2", "no, middle")
    assert "middle" not in _in_question(wall)


@pytest.mark.parametrize("before", [(), ("standing",)])
@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("said", ["no", "nope", "that's wrong"])
def test_a_no_to_heights_that_only_lying_made_odd_is_to_lying(said: str, who: str, before: tuple[str, ...]) -> None:
    """They stand as they were; one that was called with the sheet lying already is what the no is to."""
    wall = wall_after(*BOARD, "done", *before)
    wall.types("lying", who=who)
    wall.types(said, who=who)
    assert wall.settings.get("hangs", "standing") == "standing", wall.said
    assert (wall.value("height, left"), wall.value("height, right")) == ("90", "90")
    assert not wall.asks
    assert not wall.session.state.in_question("1")
    assert not wall.session.state.not_taken("1")
    lies = wall_after("top 42", "bottom 42", "lying", "left 90", said)
    assert lies.value("height, left") is None
    assert lies.settings["hangs"] == "lying"


@pytest.mark.parametrize("vain", ["undo", "scratch box two", "top 42 1/3", "go to board 7"])
def test_a_no_behind_what_another_said_in_vain_takes_nothing_out(vain: str) -> None:
    """It may be to that: whether what its speaker had read back is right is asked; with a figure it is about that."""
    wall = wall_after(*BOARD)
    wall.types(vain, who="partner")
    wall.types("no")
    assert wall.value("height, right") == "90"
    assert wall.asks, wall.said
    wall.types("yes")
    assert wall.value("height, right") == "90"
    right = wall_after(*BOARD)
    right.types(vain, who="partner")
    right.types("no, 91")
    assert right.value("height, right") == "91", right.said
