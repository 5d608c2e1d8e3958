"""What was said of a circuit is told with its board, for as long as it counts, and why it counts no more."""

from __future__ import annotations

import pytest

from fieldvoice.records.ledger import Tell
from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
BOXES = (*BOARD, "box 1 single gang center 12 from left 14 up", "box 2 single gang center 28 from left 14 up")
SAID = {"box 1": "box 1 dead and tested", "box 1 and box 2": "all boxes dead and tested"}


def _told(wall: Wall, tell: Tell) -> list[object]:
    return [note.values[0] for note in wall.session.state.said if note.tell is tell]


@pytest.mark.parametrize("ends", ["waits", "restarts", "moves", "danger", "never"])
@pytest.mark.parametrize("boxes", SAID)
def test_a_word_that_counts_no_more_is_told_for_what_it_was(boxes: str, ends: str) -> None:
    """By whom it was said and when, once it ran out or fieldvoice was started anew; of a box that was tested elsewhere
    or is live, and of one that nobody tested, that isn't said.
    """
    wall = wall_after(*BOXES, SAID[boxes], "yes")
    named = {*boxes.split(" and ")}
    assert not _told(wall, Tell.TEST_OVER)
    if ends == "waits":
        wall.wait(5)
    elif ends == "restarts":
        wall.restart()
    elif ends == "moves":
        wall.types("move box 1 to 13 from left", "yes", "move box 2 to 29 from left", "yes")
    elif ends == "danger":
        wall.types("power is on")
    for who in ("hanger", "partner"):
        said = wall.types("done", who=who)
        over = named if ends in {"waits", "restarts"} else set()
        assert {*_told(wall, Tell.TEST_OVER)} == over, said
        assert said.count("said hanger at 08:00") == len(over)
        left = {"box 1", "box 2"} - over - (named if ends == "never" else set())
        heed = {value for note in wall.session.state.said if note.tell is Tell.HEED for value in note.values}
        assert heed == left
    if ends in {"waits", "restarts"}:
        wall.types("all boxes dead and tested", "yes", "done")
        assert not _told(wall, Tell.TEST_OVER)


@pytest.mark.parametrize("ticks", [(), ("understood", "next")])
@pytest.mark.parametrize("boxes", SAID)
def test_a_plan_is_a_draft_while_it_is_asked_whether_a_box_was_tested(boxes: str, ticks: tuple[str, ...]) -> None:
    """For everybody; what the board leaves stays what it is, and nothing is ticked."""
    wall = wall_after(*BOXES, "done", *ticks)
    rack, ticked = wall.view.rack, wall.view.ticked
    assert rack
    wall.types(SAID[boxes])
    for _ in range(2):
        assert wall.view.draft
        assert f"whether {boxes} is dead and tested" in wall.types("done", who="partner")
        wall.types("next", who="partner")
        assert (wall.view.rack, wall.view.ticked) == (rack, ticked)
        wall.wait(1)
        wall.types("yes")
    wall.types("yes")
    assert not wall.view.draft
    assert wall.view.rack == rack


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize("boxes", SAID)
def test_a_test_on_another_board_is_told_with_it(boxes: str, *, late: bool) -> None:
    """There may be boxes of the same names on the board at hand."""
    lines = ("P:next board", "P:top 40", "P:box 1 single gang center 20 from left 14 up")
    wall = wall_after(*BOXES, SAID[boxes], *lines)
    if late:
        wall.wait(1)
        assert wall.types("yes").startswith("On board 1: ")
        assert wall.asks
    assert wall.types("yes").startswith("On board 1: ")
    assert _told(wall, Tell.DEAD)
    assert not wall.session.state.words.get("2")


@pytest.mark.parametrize("line", ["call box 1 box 2 please", "box 1 is"])
def test_what_is_not_understood_behind_a_test_cancels_it_for_what_it_is(line: str) -> None:
    """Nothing of a circuit was said: that it wasn't understood is told, and that the word counts no more."""
    wall = wall_after(*BOXES, "box 1 dead and tested", "yes")
    said = wall.types(line)
    assert "about a circuit" not in said
    assert "canceled for box 1 of board 1" in said
    assert not any(word.state.value == "dead" for word in wall.session.state.words["1"].values())


SINCE = ((), ("left 90 1/8",), ("next board", "t 40"), ("done",))
"""What was said and done since the boxes were said to be dead."""


def _dead(wall: Wall) -> list[str]:
    words = wall.session.state.words.values()
    return [box for said in words for box, word in said.items() if word.state is Circuit.DEAD]


@pytest.mark.parametrize("since", SINCE)
@pytest.mark.parametrize("no", ["no", "wrong", "scratch that", "cancel that", "no no"])
@pytest.mark.parametrize("claim", ["dead and tested", "box 1 dead and tested", "box 1 is dead and tested"])
def test_a_no_with_dead_and_tested_is_about_that_whatever_was_said_since(
    claim: str, no: str, since: tuple[str, ...]
) -> None:
    """It cancels it, and takes nothing else out."""
    wall = wall_after(*BOXES[:-1], SAID["box 1"], "yes", *since)
    stood = {call.number for call in wall.session.state.calls.values() if call.in_force or call.waits}
    assert _dead(wall)
    assert "not dead, says hanger" in wall.types(f"{no} {claim}")
    assert not _dead(wall)
    assert stood <= {call.number for call in wall.session.state.calls.values() if call.in_force or call.waits}


@pytest.mark.parametrize("since", SINCE[:3])
@pytest.mark.parametrize(
    "words",
    [
        "box one isn't",
        "box one is not",
        "it lit up",
        "it lights up",
        "back on",
        "no router",
        "leave box one",
        "not sure",
    ],
)
def test_typed_words_that_break_off_may_be_about_a_circuit(words: str, since: tuple[str, ...]) -> None:
    """Nothing in them is of a board: no box counts as dead, whoever typed them and whenever."""
    wall = wall_after(*BOXES[:-1], SAID["box 1"], "yes", *since)
    assert "is canceled" in wall.types(words, who="partner")
    assert not _dead(wall)


@pytest.mark.parametrize("words", ["change top to", "right edge is", "bottom", "door", "box 3", "swap left and"])
def test_a_call_that_breaks_off_is_about_no_circuit(words: str) -> None:
    """Where a figure or a value was read back since."""
    wall = wall_after(*BOXES[:-1], SAID["box 1"], "yes", "left 90 1/8")
    wall.types(words)
    assert _dead(wall)


@pytest.mark.parametrize("back", ["undo", "no"])
def test_what_was_told_as_canceled_counts_again_once_it_is_said_anew(back: str) -> None:
    """Also where the box stands again as it was tested."""
    wall = wall_after(*BOXES[:-1], SAID["box 1"], "yes")
    assert "is canceled" in wall.types("change box 1 to 13 from left")
    wall.types(back, "yes", "done")
    assert not _dead(wall)
    wall.types(SAID["box 1"], "yes")
    assert _dead(wall) == ["box 1"]


@pytest.mark.parametrize("there", ["board 1", "next board", "go to board 1"])
def test_a_yes_that_leads_elsewhere_names_the_board_of_its_box(there: str) -> None:
    """Where the order came before it, and is carried out behind it."""
    wall = wall_after(*BOXES[:-1], "next board", *BOXES[:-1], "yes", SAID["box 1"], there)
    assert "On board 2: Box 1: dead and tested" in wall.types("yes")


@pytest.mark.parametrize("answer", ["yes", "done", "top 42"])
def test_a_claim_that_waited_when_the_session_ended_is_told_with_the_first_answer(answer: str) -> None:
    """No yes answers it any more; it is told once."""
    wall = wall_after(*BOXES, "yes", SAID["box 1 and box 2"])
    wall.restart()
    assert "box 1 and box 2: nobody has said that they are dead and tested" in wall.types(answer).lower()
    assert any("No tool goes in" in say.spoken for say in wall.said)
    assert "nobody has said" not in wall.types("top 41 7/8")
    assert not _dead(wall)


def test_claims_of_one_board_are_one_question() -> None:
    """The next one took the first one's place, which was in no list."""
    wall = wall_after(*BOXES, "yes", SAID["box 1"])
    assert wall.types("box 2 dead and tested").startswith("Box 1 and box 2: did you test them dead")
    wall.types("yes")
    assert _dead(wall) == ["box 1", "box 2"]


@pytest.mark.parametrize("words", ["box one dead I think", "I think it's dead", "box one dead and tested probably"])
def test_what_is_said_of_a_circuit_with_doubt_asks_for_no_tape(words: str) -> None:
    """It isn't taken, and what would be is said."""
    wall = wall_after(*BOXES[:-1])
    assert wall.types(words).startswith("Dead alone isn't enough. Say dead and tested")
    assert not _dead(wall)
    assert [call.words for call in wall.session.state.not_taken("1")] == [words]


@pytest.mark.parametrize("order", ["scratch box one", "box one dead and tested", "next board", "undo", "no boxes"])
def test_an_order_that_is_typed_while_holding_is_not_gone(order: str) -> None:
    """Whatever would change anything stands as not taken; what only asks doesn't."""
    wall = wall_after(*BOXES[:-1], "hold on", order)
    assert [call.words for call in wall.session.state.not_taken("1")] == [order]
    wall.types("what's missing")
    assert [call.words for call in wall.session.state.not_taken("1")] == [order]


@pytest.mark.parametrize("claim", ["light one dead and tested", "all boxes dead and tested", "dead and tested"])
@pytest.mark.parametrize("surface", ["ceiling 12 by 14 feet joists 16 on center", "north wall 12 by 8 feet"])
def test_nothing_is_tested_on_a_wall_as_a_whole(surface: str, claim: str) -> None:
    """A plan's circuits are those of its board, where nobody would hear of it again."""
    wall = wall_after(surface, "light 6 inch center 70 from left center 80 from top")
    assert wall.types(claim).startswith("Not taken for a wall or a ceiling.")
    assert not any(wall.session.state.words.values())
    assert not wall.asks


@pytest.mark.parametrize("first", ["", "top 44", "light 6 inch center 30 from left", "left 90 1/8", "done"])
@pytest.mark.parametrize("no", ["no box one", "not box one", "box one no"])
def test_a_no_with_the_name_of_a_box_ends_its_test_whatever_is_asked(first: str, no: str) -> None:
    """No router goes in past it."""
    wall = wall_after(*BOARD, BOXES[-2], "box 1 dead and tested", "yes", *filter(None, (first,)), no)
    word = wall.session.state.circuits("1").get("box 1")
    assert word is None or word.state is not Circuit.DEAD, wall.said


@pytest.mark.parametrize("behind", ["left 90 1/2", "left 91", "right is board"])
def test_no_yes_counts_for_a_circuit_past_a_no(behind: str) -> None:
    """Whatever waits behind the question, and whatever the no comes with."""
    wall = wall_after(*BOXES, "box 1 dead and tested", "left 91", f"no {behind}")
    wall.types("yes")
    word = wall.session.state.circuits("1").get("box 1")
    assert word is None or word.state is not Circuit.DEAD, wall.said
