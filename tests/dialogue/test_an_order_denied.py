"""A no right behind an order is about the order: what it did is taken back, and told."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.ordering import DENIABLE
from fieldvoice.dialogue.orders import ORDERS
from fieldvoice.records.ledger import Standing, Tell
from fieldvoice.records.utterance import SHOWS, Action
from tests.dialogue.talk import Wall

BOARD = ("top 46 7/8", "middle 46 7/8", "bottom 46 7/8", "left 96", "right 96")
PLAN = (*BOARD, "done")
BOX = "box 1 single gang center 30 from left 40 down"
WALL = ("north wall 12 foot by 8 foot", "16 on center from the left")
TALKS: dict[Action, tuple[tuple[tuple[str, ...], str], ...]] = {
    Action.UNDO: (
        (("top 46", "bottom 45"), "undo"),
        (("top 46", "yes"), "undo"),
        (("top 46", "yes", "no boxes", BOX, "yes"), "undo"),
        (("top 46", "change top to 45", "yes"), "undo"),
        ((*BOARD, "banana 12"), "undo"),
    ),
    Action.SCRATCH: (
        (("top 46", BOX), "scratch box 1"),
        (("top 46", BOX, "yes"), "forget box 1"),
        (("top 46", "yes"), "take out the top"),
    ),
    Action.DISMISS: ((("banana 12",), "dismiss that"), (("top 46", "yes", "banana 12"), "dismiss that")),
    Action.TAKE_OUT: (
        (WALL, "take out the north wall"),
        ((*WALL, "next board", "top 144"), "take out the north wall"),
        (("got an offcut 30 by 48", "top 46"), "take offcut K1 off the rack"),
    ),
    Action.OFFCUT: (
        (("top 46",), "got an offcut 30 by 48"),
        ((*WALL, "yes"), "got an offcut 50 by 48, both factory edges"),
    ),
    Action.NEXT_BOARD: (
        (("top 46", "yes"), "next board"),
        ((*BOARD, "yes"), "next board"),
        (("lying", "upper course", "top 46", "yes"), "next board"),
        ((*WALL, "yes"), "next board"),
    ),
    Action.GO_TO_BOARD: (
        (("top 46", "next board", "top 45", "yes"), "go to board 1"),
        ((*WALL, "yes"), "go to board 1"),
    ),
    Action.GO_TO_SURFACE: (((*WALL, "next board"), "go to north wall"),),
    Action.TICK: (((*PLAN, "understood"), "tick 1"),),
    Action.NEXT: (((*PLAN, "understood"), "next"),),
    Action.BACK: (((*PLAN, "understood", "tick 1"), "back"),),
    Action.ACKNOWLEDGE: ((PLAN, "understood"),),
    Action.PROMPT: ((("top 46", "yes"), "go one by one"),),
    Action.UNPROMPT: ((("go one by one", "top 46"), "stop one by one"),),
}
CASES = [(action, talk, order) for action, talks in TALKS.items() for talk, order in talks]
NOT_DENIED = {*SHOWS, Action.RACK, Action.SHEETS, Action.READ_BACK, Action.DONE, Action.HOLD, Action.RESUME}
"""They change nothing that was called, nor where work is; "done" takes what was read back, which the no is about."""
GONE = {Standing.REPLACED, Standing.TAKEN_BACK}


def _as_it_is(wall: Wall) -> object:
    """Where work is, all that stands, waits or wasn't taken, what is asked, and what is ticked or read."""
    state = wall.session.state
    calls = {number: call for number, call in state.calls.items() if call.standing not in GONE}
    ticks = {board: made for board, made in state.ticks.items() if made}
    here = (state.board, state.prompting, state.pieces, state.cut)
    return here, calls, state.open, ticks, state.past, state.laying


def test_every_order_is_one_or_the_other() -> None:
    """A new order belongs into one of the two."""
    assert set(TALKS) == DENIABLE
    assert set(TALKS) | NOT_DENIED == set(ORDERS)
    assert not set(TALKS) & NOT_DENIED


@pytest.mark.parametrize(("action", "talk", "order"), CASES)
@pytest.mark.parametrize("denial", ["no", "wrong"])
def test_a_no_takes_the_order_back(action: Action, talk: tuple[str, ...], order: str, denial: str) -> None:
    """All is as it was before, and the ledger has lost nothing."""
    wall = Wall()
    wall.types(*talk)
    before = _as_it_is(wall)
    wall.types(order)
    there, ordered = set(wall.session.state.calls), _as_it_is(wall)
    assert action is Action.ACKNOWLEDGE or ordered != before, wall.said
    wall.types(denial)
    assert [note.values for note in wall.session.state.said if note.tell is Tell.ORDER_BACK] == [(order,)], wall.said
    assert _as_it_is(wall) == before
    assert there <= set(wall.session.state.calls)
    wall.restart()
    assert _as_it_is(wall) == before


SHOWN = ("what's missing", "say again", "how heavy", "how many screws", "louder", "help")


@pytest.mark.parametrize(("action", "talk", "order"), CASES)
def test_what_only_shows_something_changes_nothing_of_what_a_no_is_about(
    action: Action, talk: tuple[str, ...], order: str
) -> None:
    """The order is taken back as if it had been denied at once."""
    wall, at_once = Wall(), Wall()
    at_once.types(*talk, order, "no")
    wall.types(*talk, order, *SHOWN, "no")
    assert Tell.ORDER_BACK in {note.tell for note in wall.session.state.said}, (action, wall.said)
    assert _as_it_is(wall) == _as_it_is(at_once)


@pytest.mark.parametrize(("action", "talk", "order"), CASES)
def test_a_no_that_comes_later_is_about_what_came_between(action: Action, talk: tuple[str, ...], order: str) -> None:
    """Once anything else was called, the order stands."""
    wall = Wall()
    wall.types(*talk, order)
    wall.types("room kitchen", "no")
    back = {note.values for note in wall.session.state.said if note.tell is Tell.ORDER_BACK}
    assert back <= {("room kitchen",)}, action


def test_a_circuit_is_not_dead_again() -> None:
    """A box that comes back has to be tested again."""
    wall = Wall()
    wall.types("top 46", BOX, "yes", "box 1 dead and tested", "yes", "scratch box 1", "no")
    assert "box 1" in wall.session.state.boxes("1")
    assert not wall.session.state.circuits("1")


@pytest.mark.parametrize("order", ["next board", "north wall"])
def test_a_no_is_about_the_value_that_the_order_took(order: str) -> None:
    """What was read back before it is in question, at its board."""
    wall = Wall()
    wall.types(*WALL, "board 1", "yes", "top 46", order, "no")
    assert wall.asks, wall.said
    (call,) = [one for one in wall.session.state.calls.values() if one.words == "top 46"]
    assert call.standing is Standing.DOUBTFUL
    assert Tell.ORDER_BACK not in {note.tell for note in wall.session.state.said}


def test_no_and_another_board_goes_there() -> None:
    """It was another board that was meant."""
    wall = Wall()
    wall.types("top 46", "next board", "top 45", "yes", "go to board 1", "next board", "no board 2")
    assert wall.session.state.board == "2"


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """An order that no no takes back."""
    from fieldvoice.dialogue import ordering

    monkeypatch.setattr(ordering, "DENIABLE", DENIABLE - {Action.UNDO})
    wall = Wall()
    wall.types("top 46", "bottom 45")
    before = _as_it_is(wall)
    wall.types("undo", "no")
    assert _as_it_is(wall) != before


BETWEEN = ("the breaker is off", "banana 12", "dead", "louder", "same as top again banana")


@pytest.mark.parametrize("between", BETWEEN)
def test_a_yes_answers_what_its_speaker_was_told_last(between: str) -> None:
    """Not a question put before: that is put again first."""
    for talk in (("top 46", "bottom 46", "left 96", "top 20"), ("top 46", "box 12 zzz", "done"), ("top 46", "no 46")):
        wall = Wall()
        wall.types(*talk)
        asked = wall.session.state.open["hanger"].doubts[0]
        wall.types(between)
        still = wall.session.state.open.get("hanger")
        if still is None or still.doubts[:1] != (asked,) or Tell.QUESTION in {n.tell for n in wall.session.state.said}:
            continue
        wall.types("yes")
        assert wall.session.state.open["hanger"].doubts[0] == asked, (talk, between, wall.said)
        wall.types("yes")
        now = wall.session.state.open.get("hanger")
        assert now is None or asked not in now.doubts


def test_what_is_in_question_is_read_back_too() -> None:
    """A recap names what waits and what wasn't taken."""
    wall = Wall()
    wall.types("top 46", "bottom 46", "height 95", "lying")
    assert "95" in wall.types("what have you got")
    wall.types("yes", "top 46 1/16", "no")
    assert "46 1/16" in wall.types("what have you got")


LEADS = (Action.NEXT_BOARD, Action.GO_TO_BOARD, Action.GO_TO_SURFACE)


@pytest.mark.parametrize(("action", "talk", "order"), [each for each in CASES if each[0] in LEADS])
@pytest.mark.parametrize("waits", [(), ("right edge is a wall",)])
def test_an_undo_right_behind_an_order_to_go_elsewhere_goes_back(
    action: Action, talk: tuple[str, ...], order: str, waits: tuple[str, ...]
) -> None:
    """No reading of the board that was left is out, also where the order took what was read back there."""
    wall = Wall()
    wall.types(*talk)
    wall.types(*(waits if wall.session.state.board not in wall.session.state.surfaces else ()))
    before = _as_it_is(wall)
    wall.types(order)
    assert _as_it_is(wall) != before, action
    wall.types("undo")
    assert Tell.ORDER_BACK in {note.tell for note in wall.session.state.said}, wall.said
    assert _as_it_is(wall) == before


TWICE = (
    ("left 90 / right 90", "add an eighth to the left"),
    ("top 42 1/4 / bottom 42", "swap top and bottom"),
    ("top 42 / bottom 42", "bottom an eighth less than the top"),
)


@pytest.mark.parametrize(("talk", "order"), TWICE)
def test_an_undo_of_what_was_said_twice_is_of_the_second(talk: str, order: str) -> None:
    """What the same words did before stands."""
    wall = Wall()
    wall.types(*talk.split(" / "), order, "yes")
    stands = {told.label: told.value for told in wall.readings}
    wall.types(order, "undo")
    assert {told.label: told.value for told in wall.readings} == stands
