"""A plain no leaves nothing out in silence, and what is called under a question is never taken for its answer."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.session import Session
from fieldvoice.records.ledger import OpenKind
from tests.dialogue.talk import Wall, wall_after

BOARD = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
BOX = "box 1 single gang center 30 from left 48 down"


def led(*lines: str) -> Session:
    """A session in which somebody types those lines after the board's."""
    return wall_after(*(f"P:{line}" for line in (*BOARD, *lines))).session


def boxes(session: Session) -> list[str]:
    """The names of the boxes that stand on the board."""
    hole = session.view().hole
    assert hole is not None
    return [box.name for box in hole.boxes]


def test_a_box_that_was_objected_to_keeps_the_plan_a_draft() -> None:
    """A wall without it is another wall, so "done" names it."""
    view = led(BOX, "no", "done").view()
    assert view.draft
    assert [item.kind for item in view.open] == [OpenKind.NOT_TAKEN]


@pytest.mark.parametrize("lines", [(BOX, "no", "dismiss", "done"), (BOX, "no", "done", "yes")])
def test_a_word_leaves_it_out(lines: tuple[str, ...]) -> None:
    """Then there is a plan without a box."""
    session = led(*lines)
    assert boxes(session) == []
    assert all(item.kind is not OpenKind.NOT_TAKEN for item in session.view().open)


def test_the_right_one_takes_its_place() -> None:
    """One box, where it was said at last, and nothing left over."""
    session = led(BOX, "no", BOX.replace("30", "31"), "done")
    assert boxes(session) == ["box 1"]
    assert not session.view().draft


@pytest.mark.parametrize(
    "other", ["box 2 single gang center 10 from left 20 down", "three inch pipe center 20 from left 10 down"]
)
def test_another_thing_is_no_answer_to_what_kind_of_box(other: str) -> None:
    """It is read back at once; the missing kind fills the box that lacks it, once nothing else can be meant."""
    wall = wall_after(*BOARD, "box 1 center 30 from left 48 down")
    assert "Box 1 waits" in wall.types(other)
    assert wall.session.state.waiting("hanger")[-1].words == other
    told = wall.types("done", "single gang")
    assert "Box 1: single gang, center 30 from left" in told
    assert not wall.session.state.not_taken("1")
    wall.types("done")
    assert not wall.view.draft


UNDER_A_QUESTION = (
    "left wall",
    "studs sixteen on center from the left",
    "window sixty from left twenty down twelve by fourteen",
    "left ninety five and a quarter",
)
ANSWERED = (
    ("top 13 7/8", ("yes",)),
    ("right 59 1/2", ("yes",)),
)


@pytest.mark.parametrize("heard", [False, True])
@pytest.mark.parametrize(("asked", "answers"), ANSWERED)
@pytest.mark.parametrize("between", UNDER_A_QUESTION)
def test_what_is_called_under_a_question_is_read_back_once_it_is_answered(
    asked: str, answers: tuple[str, ...], between: str, heard: bool
) -> None:
    """By its own words and as often as it was heard, whoever types the answer; nobody has to say it again."""
    wall = wall_after(*BOARD, asked)
    before = set(wall.session.state.calls)
    (wall.speaks if heard else wall.types)(between)
    assert [one.words for one in wall.session.state.not_taken("1")] == [between]
    wall.types(*answers)
    assert not wall.session.state.not_taken("1")
    (taken,) = (one for one in wall.session.state.calls.values() if one.words == between and one.waits)
    assert taken.number not in before
    assert taken.hearings == (1 if heard else 2)


@pytest.mark.parametrize("before", [("hold",), ("top forty six and seven",)], ids=["holding", "asked"])
def test_what_is_not_taken_says_nothing_again(before: tuple[str, ...]) -> None:
    """The partner's call has the same words; the hanger's own, which nobody takes, leaves no other open no less."""
    call = "box one single gang center thirty from left forty eight down"
    wall = Wall()
    wall.speaks("center")
    wall.speaks(call, who="partner")
    for line in before:
        wall.speaks(line)
    wall.speaks(call)
    assert "center" in [one.words for one in wall.session.state.not_taken("1")]


DANGERS = (
    "box 1 is live",
    "box 1 isn't dead",
    "power is on",
    "the breaker is back on",
    "not tested",
    "sparks at box 1",
)
SPOILS = (" after all, ", " hmm ", ", whatever, ", " folks ", " mate and ", ". also ")
BESIDE = (
    "top 46 3/4",
    "46 3/4 top",
    "height left 95 7/8",
    "box 2 single gang center 10 from left 20 down",
    "change bottom to 46 3/4",
    "top forty seven eighths",
)


@pytest.mark.parametrize("danger", DANGERS)
@pytest.mark.parametrize("spoilt", SPOILS)
def test_what_is_called_beside_word_of_a_circuit_is_not_lost_with_words_that_nobody_knows(
    danger: str, spoilt: str
) -> None:
    """In either order: the circuit is revoked, and the figure is in force, in question or not taken, never gone."""
    for figure in BESIDE:
        for line in (f"{danger}{spoilt}{figure}", f"{figure}{spoilt}{danger}"):
            session = led(BOX, "box 1 dead and tested", "yes", line)
            assert session.view().circuits[0].state.value != "dead", line
            before, after = led(BOX).view(), session.view()
            taken = [each.call.fact for each in before.readings] != [each.call.fact for each in after.readings]
            assert taken or after.draft, line


@pytest.mark.parametrize("spoilt", SPOILS)
@pytest.mark.parametrize("danger", DANGERS)
def test_word_of_a_circuit_alone_leaves_nothing_to_answer(danger: str, spoilt: str) -> None:
    """The name of a box is no figure that was called."""
    assert not led(BOX, "box 1 dead and tested", "yes", f"{danger}{spoilt.rstrip()}", "done").view().draft


DENIED = {
    "a width": "bottom 46 3/4",
    "a height": "right 95 3/4",
    "a box": BOX,
    "a setting": "right gap 1/4",
    "a hole": "three inch pipe center 20 from left 10 down",
}
"""Each said, said no to, and so to be left out or said again with "done"."""


@pytest.mark.parametrize("again", ["{0}", "no, {0}", "it's {0}"])
@pytest.mark.parametrize("name", DENIED)
def test_what_is_to_be_left_out_or_said_again_is_taken_when_it_is_said_again(name: str, again: str) -> None:
    """It had been left out by the very words that call it."""
    line = DENIED[name]
    wall = wall_after(*BOARD, line, "no", "done")
    (kept,) = wall.session.state.not_taken("1")
    wall.types(again.format(line))
    for _ in range(2):
        wall.types("yes")  # to what is odd about it
    state = wall.session.state
    assert kept.key in state.known("1"), wall.said
    assert not state.not_taken("1"), wall.said


@pytest.mark.parametrize("name", DENIED)
def test_a_yes_with_what_is_to_be_left_out_is_asked_about(name: str) -> None:
    """It may mean either."""
    line = DENIED[name]
    wall = wall_after(*BOARD, line, "no", "done", f"yes {line}")
    assert wall.asks, wall.said
    assert wall.session.state.not_taken("1")


@pytest.mark.parametrize("lost", ["33 from left", "40 1/4 up", "window banana 41"])
@pytest.mark.parametrize(
    "later", ["outlet center 12 from left center 14 up", "window 20 in by 30 in 8 from left 40 up", "left 95 1/2"]
)
def test_words_with_a_figure_are_said_again_by_that_figure_alone(lost: str, later: str) -> None:
    """Another thing with a distance from the same side is another one."""
    wall = wall_after(*BOARD, lost)
    assert [call.words for call in wall.session.state.not_taken("1")] == [lost], wall.said
    wall.types(later, "yes", "yes")
    assert lost in {call.words for call in wall.session.state.not_taken("1")}, wall.said
