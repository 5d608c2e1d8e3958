"""A question stands only while something speaks for it: what was odd beside a value that is another one now is odd no
more, and is read back instead of asked; what is itself in question speaks for nothing.
"""

from __future__ import annotations

import pytest

from fieldvoice.records.facts import Odd
from fieldvoice.records.ledger import Concern, Standing
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 46 7/8", "bottom 46 7/8", "left 96", "right 96", "yes")
CURED = {
    "a sheet that lies": ((*BOARD, "lying down"), "standing up", "height, left"),
    "a course on the floor": ((*BOARD, "floor below", "yes", "upper course"), "board below", "course"),
    "a box past the edge": (
        (*BOARD, "box 1 single gang center 46 from left 48 down"),
        "top and bottom 48",
        "box 1",
    ),
    "a width far from its fellow": (("top 46 7/8", "yes", "bottom 48 7/8"), "top 48 1/2", "width, bottom"),
}
"""Lines that end in a question, what takes its ground away, and what it was about."""
SAID = ("a sheet that lies", "a course on the floor")
"""Where that isn't another figure the one who is asked may say it instead of an answer."""


def _asked(wall: Wall) -> set[Concern]:
    return {doubt.concern for one in wall.session.state.open.values() for doubt in one.doubts}


@pytest.mark.parametrize(
    ("case", "who"), [*((case, "partner") for case in CURED), *((case, "hanger") for case in SAID)]
)
def test_a_question_is_over_once_its_ground_is(case: str, who: str) -> None:
    """Whoever takes it away: what was asked about stands and is told, and nothing of it is asked any more."""
    lines, cure, about = CURED[case]
    wall = wall_after(*lines)
    assert _asked(wall) & {Concern.ODD, Concern.AT_ODDS}
    told = wall.types(cure, who=who)
    if who == "partner":  # what waits for another one to go on speaks for nothing yet
        assert _asked(wall) & {Concern.ODD, Concern.AT_ODDS} or case in SAID
        told += wall.types("yes", who=who)
    assert not _asked(wall) & {Concern.ODD, Concern.AT_ODDS}, told
    assert about in told.lower()
    assert Standing.DOUBTFUL not in {call.standing for call in wall.session.state.on("1")}


IN_DOUBT = {
    "a box past the edge": ("top and bottom forty eight", "top and bottom forty five"),
    "a width far from its fellow": ("top forty eight and a half", "top forty five and a half"),
}
"""What would end each, as heard in doubt."""


@pytest.mark.parametrize("case", IN_DOUBT)
def test_what_is_in_question_itself_ends_none(case: str) -> None:
    """It may be taken back by the next word."""
    wall = wall_after(*CURED[case][0])
    wall.speaks(*IN_DOUBT[case], who="partner")
    assert [doubt for doubt in wall.session.state.open["partner"].doubts if doubt.concern is Concern.WHICH_OF]
    assert _asked(wall) & {Concern.ODD, Concern.AT_ODDS}


def test_another_ground_is_asked_about_instead() -> None:
    """A box beyond the board runs across its edge once the board is wider: one question ends, another begins."""
    wall = wall_after(*BOARD, "box 1 single gang center 48 1/8 from left 48 down")
    assert "beyond its edge" in wall.types("say again")
    told = wall.types("top and bottom 48", "yes", who="partner")
    doubts = [doubt.odd.odd for one in wall.session.state.open.values() for doubt in one.doubts if doubt.odd]
    assert doubts == [Odd.ACROSS_EDGE]
    assert "across the board's edge" in told
    assert "Not taken yet, answer first" in wall.types("done")


def test_a_yes_takes_its_ground_away_as_a_call_does() -> None:
    """The width that is said yes to reaches past the box."""
    wall = wall_after(*BOARD, "box 1 single gang center 47 from left 48 down")
    wall.types("top and bottom 49", who="partner")
    assert Concern.ODD in _asked(wall)
    told = wall.types("yes", who="partner")
    assert not _asked(wall)
    assert "box 1" in told.lower()


def test_of_two_questions_the_one_without_ground_ends() -> None:
    """A box that runs across the edge and lies on another one, which is moved away: the edge stays."""
    wall = Wall()
    wall.types("top 46", "bottom 46", "left 96", "right 96", "box 1 single gang center 43 from left 40 down")
    wall.types("box 2 single gang center 45 from left 40 down")
    odd = [doubt.odd.odd for doubt in wall.session.state.doubts if doubt.odd is not None]
    assert sorted(odd) == sorted((Odd.ACROSS_EDGE, Odd.ON_ANOTHER))
    wall.types("no, box 1 single gang center 5 from left 40 down", "yes", who="partner")
    assert [doubt.odd.odd for doubt in wall.session.state.doubts if doubt.odd is not None] == [Odd.ACROSS_EDGE]


@pytest.mark.parametrize("begun", ["46 and", "banana 46", "left edge is banana"])
def test_a_no_behind_what_was_not_understood_asks(begun: str) -> None:
    """It may be of that: what was read back before isn't taken out for it."""
    wall = Wall()
    wall.types("top 40", begun, "no")
    call = wall.session.state.known("1", doubtful=True)
    assert [one.standing.value for one in call.values()] == ["doubtful"], wall.said
    assert wall.asks


BESIDE = {
    "a width": (("top 46", "bottom 52"), "scratch top", "change top to 51 3/4", "width, bottom"),
    "a height": (("left 96", "right 90"), "scratch left", "change left to 90 1/4", "height, right"),
    "a box": (("top 46", "box 1 single gang center 46 from left 48 down"), "scratch top", "change top to 50", "box 1"),
}
"""What is odd only beside what was called before it; what takes that away, and what makes it another figure; the
name of what is asked about.
"""


@pytest.mark.parametrize("case", BESIDE)
@pytest.mark.parametrize(("way", "who"), [(1, "hanger"), (1, "partner"), (2, "partner")])
def test_a_question_is_over_once_its_fellow_is_gone(case: str, way: int, who: str) -> None:
    """Taken off, or another figure now: what was asked about is told as it stands, and waits for no answer any more."""
    lines, about = BESIDE[case][0], BESIDE[case][3]
    wall = wall_after(*lines)
    assert _asked(wall) & {Concern.ODD, Concern.FELLOWS}
    told = wall.types(str(BESIDE[case][way]), who=who)
    if who == "partner" and way == 2:
        told += wall.types("yes", who=who)
    assert not _asked(wall), told
    assert str(about) in told.lower()
    assert wall.value(str(about)) is not None
    assert "Not taken" not in wall.types("done")


BOTH = (*BOARD, "middle 49 7/8")
"""Where the hanger is asked about the middle, which is 3 in wider than its fellows."""


@pytest.mark.parametrize("called", ["top and bottom 14 1/4", "top 14 1/4", "bottom 14 1/4", "top 20, bottom 52"])
def test_a_yes_is_to_what_was_put_to_its_speaker(called: str) -> None:
    """Where a question is over by the other one's answer, the next was put to nobody: it is asked before a yes counts,
    and no place has two values.
    """
    wall = wall_after(*BOTH)
    wall.types(called, who="partner")
    wall.types("yes")
    mine = wall.session.state.open.get("partner")
    assert mine is not None, "the other one's values wait for their own answer"
    put = {value for note in wall.session.state.told_to["partner"] for value in note.values}
    for doubt in mine.doubts[:1]:
        answer = wall.types("yes", who="partner")
        assert doubt in put or wall.asks, answer
    keys = [call.key for call in wall.session.state.on("1") if call.in_force]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("farther", ["top 30", "bottom 30", "top and bottom 30"])
def test_a_yes_was_to_no_more_than_was_asked(farther: str) -> None:
    """What was odd is in question still, though another figure is odder by now and was said to be right; and is asked
    once more where a fellow is farther off than it was asked with.
    """
    wall = wall_after(*BOTH)
    wall.types(farther, who="partner")
    for _ in range(4):
        wall.types("yes", who="partner")
    assert "partner" not in wall.session.state.open
    assert wall.standing("width, middle") == Standing.DOUBTFUL.value
    again = wall.types("yes")
    assert "30 in" in again
    assert wall.standing("width, middle") == Standing.DOUBTFUL.value
    wall.types("yes")
    assert wall.standing("width, middle") == Standing.CONFIRMED.value


S = ("top 42", "bottom 42", "left 90", "right 90", "box 1 single gang center 12 from left 14 up", "yes")
BY_ANOTHER = {
    "a width": ("top 50", ("bottom 42 1/8", "add an eighth to the bottom", "bottom 41 1/2"), "Width, top"),
    "a height": ("left 60", ("right 90 1/8", "add an eighth to the right"), "Height, left"),
    "a box": (
        "outlet center 13 from left 14 up",
        ("change box 1 to 12 1/8 from left", "move box 1 to 12 1/4 from left"),
        "box 2",
    ),
}
"""A value that is odd beside another one, what changes that one without making them fit, and what was asked about."""


@pytest.mark.parametrize(
    ("odd", "changed"), [(odd, line) for odd, (_, lines, _) in BY_ANOTHER.items() for line in lines]
)
@pytest.mark.parametrize(("asked", "other"), [("hanger", "hanger"), ("hanger", "partner"), ("partner", "hanger")])
def test_a_question_stays_with_who_was_asked_while_the_two_are_odd(
    odd: str, changed: str, asked: str, other: str
) -> None:
    """Whichever of them was called later, and however often who changed the other one says yes to that."""
    first, _, about = BY_ANOTHER[odd]
    wall = wall_after(*S)
    wall.types(first, who=asked)
    wall.types(changed, who=other)
    number = next(doubt.call for one in wall.session.state.open.values() for doubt in one.doubts)
    if asked != other:
        wall.types("yes", "yes", "done", who=other)
        doubts = wall.session.state.open[asked].doubts
        assert number in {doubt.call for doubt in doubts} or about.lower() in str(doubts).lower()
    else:
        wall.types("yes")
        assert wall.asks, "the yes was to the one that was put"
    assert wall.view.draft


@pytest.mark.parametrize("back", ["no", "undo", "scratch that"])
def test_what_another_one_takes_back_ended_no_question(back: str) -> None:
    """It was theirs, and they hadn't gone on from it."""
    wall = wall_after(*S, "top 44", "P:bottom 43", f"P:{back}")
    assert Concern.ODD in {doubt.concern for doubt in wall.session.state.open["hanger"].doubts}
    assert wall.standing("width, top") == Standing.DOUBTFUL.value
