"""What a turn changes is told at that turn: what a no brings back, a test that doesn't count any more, a held line."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import product
from zoneinfo import ZoneInfo

import pytest

from fieldvoice.records.ledger import Call, OpenKind, Standing
from fieldvoice.records.meaning import Circuit
from fieldvoice.wording.forms import clock
from tests.dialogue.talk import Wall, wall_after

BOARD = ("left board", "right wall", "t 46 7/8", "b 46 7/8", "l 96", "r 96")
BOX = "box 1 single gang center 30 from left 48 down"
TESTED = (*BOARD, BOX, "box 1 dead and tested", "yes")


def wall_with(*lines: str) -> Wall:
    """A wall at which these were typed."""
    return wall_after(*lines)


def dead(wall: Wall) -> bool:
    """Whether box 1 counts as dead and tested."""
    word = wall.session.state.circuits("1").get("box 1")
    return word is not None and word.state is Circuit.DEAD


MOVES = (
    "change box 1 to 20 from left",
    "no, box 1 is 20 from left",
    "box 1 double gang center 30 from left 48 down",
    "change box 1 to double gang center 30 from left 48 down",
    "move box 1 to 20 from left",
    "same height as box 2",
)


@pytest.mark.parametrize("move", MOVES)
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_a_test_that_counts_no_more_is_told_at_the_turn(move: str, who: str) -> None:
    """Whatever moved the box: not only when the plan is asked for."""
    wall = wall_with(*TESTED)
    before = dead(wall)
    told = wall.types(move, who=who)
    assert before
    assert dead(wall) or "canceled" in told
    assert not dead(wall) or move == "same height as box 2"
    assert "canceled" not in wall.types("yes", who=who)


@pytest.mark.parametrize("words", ["power is on", "box 1 is live", "scratch box 1", "undo"])
def test_what_tells_it_already_tells_it_once(words: str) -> None:
    """Word of danger, an undo, the box taken out."""
    assert wall_with(*TESTED).types(words).count("canceled") <= 1


PLAIN = ("yes", "yes sir", "yes that's right", "yes box one is dead and tested")
NOT_PLAIN = ("yeah", "yep", "yup", "that's right", "sure", "yeah yeah", "yeah that's right")


@pytest.mark.parametrize("words", [*PLAIN, *NOT_PLAIN])
def test_a_circuit_needs_a_full_yes_by_voice(words: str) -> None:
    """A bit of talk is heard as "yeah"; the box's own words do as well. Whoever types means what is typed."""
    wall = wall_with(*BOARD, BOX)
    wall.speaks("box one dead and tested")
    wall.speaks(words)
    assert dead(wall) is (words in PLAIN)
    typed = wall_with(*BOARD, BOX, "box 1 dead and tested", words)
    assert dead(typed)


@pytest.mark.parametrize("words", NOT_PLAIN)
def test_any_yes_answers_what_is_no_circuit(words: str) -> None:
    """As before."""
    wall = wall_with("tp 46 7/8")
    wall.speaks(words)
    assert wall.value("width, top") == "46 7/8"
    assert not wall.asks


HELD = (
    "m 46 1/2",
    "no 46",
    "botom 46",
    "3 inch pipe",
    BOX,
    "left leans 1/2",
    "top 46 and",
    "m 46, stop",
    "wait, m 46 1/2",
)


@pytest.mark.parametrize("line", HELD)
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_what_is_typed_in_a_hold_is_kept(line: str, who: str) -> None:
    """It isn't taken, and it isn't lost."""
    wall = wall_with(*BOARD, "hold")
    before = wall.session.state.settled("1")
    wall.types(line, who=who)
    kept = [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call]
    assert kept == [line]
    assert {key for key, call in before.items() if wall.session.state.settled("1").get(key) != call} <= set(before)


@pytest.mark.parametrize("line", ["stop", "yes", "done", "what's missing", "", "mumble"])
def test_what_holds_nothing_leaves_nothing_open(line: str) -> None:
    """Orders and answers are answered."""
    wall = wall_with(*BOARD, "hold")
    assert wall.types(line)
    kept = [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call]
    assert kept in ([], ["mumble"])


REPLACED = [*product(("top 30", "change top to 30", "no 30"), ("no", "wrong"))]


@pytest.mark.parametrize(("other", "no"), REPLACED)
def test_a_no_tells_what_is_left(other: str, no: str) -> None:
    """What the call took the place of stands, or is out as well: either is said."""
    left = "46 is out too" if other == "no 30" else "46 stands"
    assert left in wall_with("top 46", other).types(no)
    wall = wall_with(*BOARD, other.replace("no 30", "top 30"))
    assert "46 7/8 stands" in wall.types(no), wall.said
    assert wall.session.state.settled("1")


def test_the_newest_figure_is_the_one_in_doubt() -> None:
    """Of two that don't go together the one just changed is asked about, not the one that stood."""
    assert "top width really 30" in wall_with(*BOARD).types("change top to 30")


@pytest.fixture(params=["America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "America/St_Johns", "UTC"])
def zone(request: pytest.FixtureRequest) -> Iterator[ZoneInfo]:
    """A zone as the machine's own."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = request.param
    time.tzset()
    yield ZoneInfo(request.param)
    if before is None:
        os.environ.pop("TZ")
    else:
        os.environ["TZ"] = before
    time.tzset()


def changes(zone: ZoneInfo) -> list[datetime]:
    """Moments of a year at which the zone's clocks are changed, and two midnights."""
    start = datetime(2026, 1, 1, tzinfo=UTC)
    hours = [start + timedelta(hours=number) for number in range(365 * 24)]
    found = [
        one
        for one in hours
        if one.astimezone(zone).utcoffset() != (one + timedelta(hours=1)).astimezone(zone).utcoffset()
    ]
    midnight = datetime(2026, 5, 5, tzinfo=zone).astimezone(UTC)
    return [*found, midnight, midnight + timedelta(days=31)]


@pytest.mark.parametrize("local", [True, False])
@pytest.mark.parametrize("before", [timedelta(minutes=30), timedelta(hours=3, minutes=30)])
def test_no_change_of_the_clock_makes_a_test_last_longer(zone: ZoneInfo, before: timedelta, local: bool) -> None:
    """Four hours are four hours, however a wall's clock tells them, and a clock in local time sets nothing back."""
    for change in changes(zone):
        wall = Wall()
        start = change - before
        wall.now = start.astimezone(zone) if local else start
        wall.restart()
        wall.types(*TESTED)
        for minutes in range(0, 4 * 60 + 1, 30):
            now = start + timedelta(minutes=minutes)
            wall.now = now.astimezone(zone) if local else now
            (word,) = wall.view.circuits
            assert word.state is Circuit.DEAD, (change, minutes)
            wall.types("say again")
        later = start + timedelta(hours=4, minutes=1)
        wall.now = later.astimezone(zone) if local else later
        assert not wall.view.circuits, change
        entries = [*wall.journal.entries()]
        assert [one.at for one in entries] == sorted(one.at for one in entries)


def test_times_are_shown_as_the_clock_on_the_wall(zone: ZoneInfo) -> None:
    """Of the wall where it is shown: also those of a session that began in another zone, and across midnight."""
    for change in changes(zone):
        for minutes in (-90, -10, 10, 90):
            at = change + timedelta(minutes=minutes)
            assert clock(at) == f"{at.astimezone(zone):%H:%M}"
            wall = Wall()
            wall.now = at
            wall.restart()
            assert f"at {at.astimezone(zone):%H:%M}" in wall.types(*TESTED)


CALLED = ("t 46 7/8", "left 95", "box 1 single gang center 30 1/4 from left, 16 up", "right wall")


def lone(wall: Wall) -> list[Call]:
    """What is in question and asked of nobody: neither a question about it is open, nor was it said yes to."""
    homes = wall.session.state.open.values()
    asked = {doubt.call for one in homes for doubt in one.doubts} | {each for one in homes for each in one.confirmed}
    waiting = {each for one in homes for each in one.calls}
    calls = [call for call in wall.session.state.calls.values() if call.waits]
    return [one for one in calls if one.number not in (asked if one.standing is Standing.DOUBTFUL else waiting)]


@pytest.mark.parametrize("called", CALLED)
@pytest.mark.parametrize("objects", ["hanger", "partner"])
@pytest.mark.parametrize("between", ["", "restart", "b 46 7/8"])
def test_what_is_in_question_again_is_asked(called: str, objects: str, between: str) -> None:
    """A yes to what somebody objected to, once it is taken back, leaves that question behind it: no value in question
    waits for nobody, and its yes settles it.
    """
    wall = wall_with(called, "yes")
    (one,) = wall.session.state.settled("1").values()
    wall.types("wrong", who=objects)
    asked = next(who for who, mine in wall.session.state.open.items() if mine.doubts)
    wall.types("yes", who=asked)
    assert wall.session.state.calls[one.number].in_force
    if between == "restart":
        wall.restart()
    elif between:
        wall.types(between, "undo", who=asked)
    wall.types("undo", who=asked)
    assert wall.asks
    assert wall.session.state.calls[one.number].standing is Standing.DOUBTFUL
    assert not lone(wall)
    assert "answer first" in wall.types("done", who=asked)
    wall.types("yes", who=asked)
    assert wall.session.state.calls[one.number].in_force


@pytest.mark.parametrize("odd", ["t 43 1/8", "b 50", "m 44"])
@pytest.mark.parametrize("undos", [1, 2, 3])
def test_no_undo_leaves_a_question_that_nobody_is_asked(odd: str, undos: int) -> None:
    """However many."""
    wall = wall_with("left board", "right wall", "t 46 7/8", "m 46 1/4", "b 46 7/8", odd)
    for _ in range(4):
        if wall.asks:
            wall.types("yes")
    for _ in range(undos):
        wall.types("undo")
        assert not lone(wall)
        assert wall.asks == any(one.doubts for one in wall.session.state.open.values())


@pytest.mark.parametrize(
    "heard", ["top thirty and a quarter", "top and bottom eighty", "left and right forty", "left fifteen"]
)
@pytest.mark.parametrize("change", ["change {} to 46", "no, {} 46", "{} 46"])
@pytest.mark.parametrize("between", ["", "yes", "restart"])
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_what_was_in_question_when_it_was_replaced_comes_back_in_question(
    heard: str, change: str, between: str, answer: str
) -> None:
    """Nobody has said yes to it: an undo of what took its place brings back its question with it, whether that had been
    taken or not.
    """
    wall = wall_with()
    wall.speaks(heard)
    (*_, one) = wall.session.state.in_question("1")
    wall.types(change.format(one.key.at))
    if between == "restart":
        wall.restart()
    for _ in range(3 if between == "yes" else 0):
        wall.types(*(["yes"] if wall.session.state.open else []))
    wall.types("undo")
    assert wall.session.state.calls[one.number].standing is Standing.DOUBTFUL
    assert wall.asks
    assert not lone(wall)
    for _ in range(3):
        wall.types(*([answer] if wall.asks else []))
    known = wall.session.state.known("1")
    assert (one.key in known) is (answer == "yes")


@pytest.mark.parametrize("change", ["change left to 94", "no, left 94", "left 94"])
def test_what_was_sure_when_it_was_replaced_comes_back_without_a_question(change: str) -> None:
    """It was read back, and nobody doubted it."""
    for before in ((), ("yes",)):
        for after in ((), ("yes",)):
            wall = wall_with("left 95", *before, change, *after, "undo")
            assert wall.value("height, left") == "95"
            assert not wall.asks
