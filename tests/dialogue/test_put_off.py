"""A thing that lacks a part holds nobody up: what has its own place is taken, and the part is asked for at the end."""

from __future__ import annotations

import pytest

from fieldvoice.records.ledger import OpenKind, Standing, Tell
from fieldvoice.records.meaning import Box, Incomplete, Opening, Reading
from tests.dialogue.talk import Wall, wall_after

EDGES = ("left board", "right wall", "top ceiling", "bottom floor")
BOARD = (*EDGES, "t 46 7/8", "b 46 3/4", "l 95 1/4", "r 95 1/8")
LACKING = (
    ("outlet 14 1/2 over 80 1/4 down", ("left, center",), "box 1 single gang center 14 1/2 from left 80 1/4 down"),
    ("outlet 14 1/2 from left 15 up", ("center",), "box 1 single gang center 14 1/2 from left 15 up"),
    ("box 1 center 30 from left 48 down", ("octagon",), "box 1 octagon center 30 from left 48 down"),
    ("window 20 by 30 12 over 20 down", ("left",), "window 20 by 30 12 from left 20 down"),
)
"""What is called, what it lacks, and the same called whole."""
BETWEEN = (
    "middle forty six and three quarters",
    "top forty six and three quarters",
    "middle and bottom forty six and seven eighths",
    "box two double gang center forty from left twenty down",
    "three inch pipe center eight from right forty down",
    "half inch board",
    "studs sixteen on center from the left",
    "outlet center forty from left twenty four up",
)


def things(wall: Wall) -> set[object]:
    """What stands on the board or was read back, whichever name it has."""
    found = wall.session.state.known("1", doubtful=True).values()
    return {str(call.fact) for call in found if isinstance(call.fact, Box | Opening | Reading)}


@pytest.mark.parametrize("spoken", [False, True])
@pytest.mark.parametrize("between", BETWEEN)
@pytest.mark.parametrize(("lacking", "answers", "whole"), LACKING)
def test_what_comes_between_is_taken_at_once(
    lacking: str, answers: tuple[str, ...], whole: str, between: str, spoken: bool
) -> None:
    """It is read back in its own turn; "done" asks for the part, and then all is as if it had been called whole."""
    wall = wall_after(*BOARD, lacking)
    told = (wall.speaks if spoken else wall.types)(between)
    assert "waits for its missing part" in told
    assert "answer first" not in told
    taken = [call for call in wall.session.state.calls.values() if call.words == between]
    assert taken
    assert Standing.NOT_TAKEN not in {call.standing for call in taken}
    assert [item.kind for item in wall.view.open if item.call is not None and item.call.put_off] == [OpenKind.WAITING]
    assert wall.view.draft
    if wall.session.state.doubts:  # a sound may be another figure
        wall.types("yes")
    assert wall.types("done").endswith("?")
    assert not wall.session.state.put_off("1")
    wall.types(*answers)
    assert not wall.session.state.not_taken("1")
    other = wall_after(*BOARD, whole)
    (other.speaks if spoken else other.types)(between)
    if other.session.state.doubts:
        other.types("yes")
    assert things(wall) == things(other)


@pytest.mark.parametrize("count", [2, 3, 4])
def test_boxes_at_one_height_are_as_many_as_were_called(count: int) -> None:
    """A height that two of them share makes no other of the first."""
    acrosses = ("8", "17 1/2", "26", "34 1/4")[:count]
    wall = wall_after(*BOARD, *(f"outlet {across} over 16 up" for across in acrosses), "middle 46 3/4")
    assert len(wall.session.state.put_off("1")) == count
    for _ in acrosses:
        if wall.session.state.put_off("1"):
            wall.types("done", "left, center")
    wall.types("done")
    boxes = [call.fact for call in wall.session.state.settled("1").values() if isinstance(call.fact, Box)]
    assert sorted(str(box.x.value) for box in boxes) == sorted(str(box) for box in _lengths(acrosses))


def _lengths(figures: tuple[str, ...]) -> list[object]:
    facts = (wall_after(f"top {each}").session.state.calls[1].fact for each in figures)
    return [fact.value for fact in facts if isinstance(fact, Reading)]


@pytest.mark.parametrize("answer", ["top 40 1/4", "left 15", "bottom 16", "46", "left", "center"])
def test_what_may_be_the_part_is_no_reading(answer: str) -> None:
    """Where a distance is asked for and nothing was read that a figure with its side is like."""
    wall = wall_after("box 1 single gang center 14 1/2 from left")
    wall.types(answer)
    state = wall.session.state
    assert not state.put_off("1")
    assert not [call for call in state.known("1", doubtful=True).values() if isinstance(call.fact, Reading)]


def test_a_no_is_of_what_came_between() -> None:
    """The box isn't what was told last."""
    wall = wall_after(*BOARD, "outlet 14 1/2 over 80 1/4 down", "middle 46 1/2")
    assert "Width, middle: 46 3/8, instead of 46 1/2" in wall.types("no, 46 3/8")
    assert wall.session.state.put_off("1")


def test_a_part_alone_is_its_part_unless_it_may_be_anything_else() -> None:
    """A kind is that of the box that lacks one; right behind another box, and of a side alone, it is asked."""
    begun = (*BOARD, "box 1 center 30 from left 48 down")
    assert "Box 1: octagon" in wall_after(*begun, "middle 46 1/2").types("octagon")
    wall = wall_after(*begun, "box 2 double gang center 40 from left 20 down")
    assert wall.types("octagon").startswith("Not taken: “octagon”. Say it again. Box 1, center 30")
    assert "Box 1: octagon" in wall.types("octagon")
    wall = wall_after(*BOARD, "outlet 14 1/2 over 15 up", "middle 46 1/2")
    assert wall.types("left").startswith("Not taken: “left”. Say it again. 14 1/2: from which edge?")
    assert not [each for each in things(wall) if "Box" in str(each)]


ANSWERS = {
    "box {} single gang center {} from left": ("48 down", "40 down", "30 down", "20 down"),
    "box {} center {} from left 48 down": ("single gang", "double gang", "octagon", "round"),
    "box {} octagon center {} from right": ("48 down", "40 up", "30 down", "20 up"),
}
"""What lacks a part, and a part for each."""


@pytest.mark.parametrize("spoken", [False, True])
@pytest.mark.parametrize("count", [2, 3, 4])
@pytest.mark.parametrize("begun", ANSWERS)
def test_no_answer_of_several_is_gone(begun: str, count: int, spoken: bool) -> None:
    """Behind the first nothing is asked: the next part stands as not taken and is asked for, with whose it is."""
    wall = wall_after(*(begun.format(number, 10 * number) for number in range(1, count + 1)))
    for answer in ANSWERS[begun][:count]:
        told = (wall.speaks if spoken and answer[0].isalpha() else wall.types)(answer)
        if "Not taken" in told:
            assert answer in {one.words for one in wall.session.state.not_taken("1")}
            assert told.endswith("?")
            wall.types(answer)
        assert answer not in {one.words for one in wall.session.state.not_taken("1")}
        known = wall.session.state.known("1", doubtful=True).values()
        assert answer in {one.words for one in known if not isinstance(one.fact, Incomplete)}
    assert not wall.session.state.put_off("1")


def test_a_circuit_that_is_put_off_is_not_dead() -> None:
    """Its word is asked for again once it is settled; word of danger counts at once, and still then."""
    begun = (*BOARD, "outlet 14 1/2 over 15 up", "middle 46 1/2")
    wall = wall_after(*begun)
    assert "Box 1 isn't settled" in wall.types("box one dead and tested")
    wall.types("box one is live", "left, center", "done")
    assert wall.session.state.circuits("1")["box 1"].state.value == "live"


def test_it_outlives_a_restart_and_is_asked_of_its_speaker_alone() -> None:
    """The partner's "done" names it, for the hanger; the partner's side is none of its parts."""
    wall = wall_after(*BOARD, "outlet 14 1/2 over 15 up", "middle 46 1/2")
    wall.restart()
    assert "for hanger to answer: Box 1" in wall.says("P:done")
    wall.says("P:center")
    assert wall.session.state.put_off("1")
    assert wall.types("done").endswith("14 1/2: from which edge? And its center, or its edge?")
    assert "Box 1: single gang, center 14 1/2 from left" in wall.types("left, center")


@pytest.mark.parametrize("order", ["scratch box one", "forget box one", "scratch the outlet"])
def test_it_is_left_out_by_its_name(order: str) -> None:
    """And the plan is none of it."""
    wall = wall_after(*BOARD, "outlet 14 1/2 over 15 up", "middle 46 1/2", order, "done")
    assert not wall.session.state.put_off("1")
    assert not wall.view.draft


@pytest.mark.parametrize(
    ("called", "parts"),
    [
        ("outlet 14 1/2 from left 15 up", ("center",)),
        ("outlet center 12 from left", ("15 up",)),
        ("outlet center 12 over 15 up", ("left",)),
    ],
)
def test_in_another_unit_it_is_asked_for_in_that(called: str, parts: tuple[str, ...]) -> None:
    """It is as long as it was called, and waits for its part as before."""
    here = wall_after(called, "left 95", "done", *parts)
    there = wall_after(called, "left 95", "millimeters", "done", *(each.replace("15", "381") for each in parts))
    assert things(here) == things(there)
    assert len(things(here)) == 2


POINTS = {"center": "center ", "to the center": "center ", "to the edge": "near edge ", "far edge": "far edge "}
KINDS = {"single gang": "single gang", "double gang": "double gang", "octagon": "octagon"}
BEGUN = ((12, 14), (20, 16), (30, 18))
"""How far from the left and up each box is."""


def _begun(part: str, count: int) -> list[str]:
    """That many boxes, each without that kind of a part."""
    head, point = ("outlet", "") if part in POINTS else ("box", "center ")
    return [f"{head} {point}{across} from left {point}{up} up" for across, up in BEGUN[:count]]


def _whole(part: str, number: int) -> str:
    kind, point = ("outlet", POINTS[part]) if part in POINTS else (KINDS[part], "center ")
    across, up = BEGUN[number]
    return f"box {number + 1} {kind} {point}{across} from left {point}{up} up"


@pytest.mark.parametrize("part", [*POINTS, *KINDS])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_a_part_of_all_is_of_each_that_lacks_it(part: str, count: int) -> None:
    """What is asked about, and what was put off before; "both" is of two, and asked of more."""
    whole = things(wall_after(*BOARD, *(_whole(part, number) for number in range(count))))
    begun = wall_after(*BOARD, *_begun(part, count))
    for words in (f"all {part}", f"they're all {part}", f"{part} for all of them", f"both {part}", f"{part} for both"):
        wall = begun.twin()
        told = wall.types(words)
        if "both" in words and count == 3:
            assert told.endswith("?")
            assert len(wall.session.state.put_off("1")) == 2
        else:
            assert things(wall) == whole
            assert not wall.asks
            assert all(f"Box {number + 1}: " in told for number in range(count))


@pytest.mark.parametrize("part", [*POINTS, *KINDS])
@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_part_with_a_name_is_of_that_one(part: str, number: int) -> None:
    """Whichever is asked about; the others lack it still, and a question names its box beside others."""
    wall = wall_after(*BOARD, *_begun(part, 3))
    assert "Box 3, " in str(wall.said[-1].text)
    told = wall.types(f"box {number + 1} {part}")
    kept = set(BEGUN) - {BEGUN[number]}
    assert f"Box {number + 1}: " in told
    assert things(wall_after(*BOARD, _whole(part, number))) == things(wall)
    assert len(wall.session.state.put_off("1")) == len(kept)
    assert f" Box {BEGUN.index(min(kept)) + 1}, " in wall.types("done")


OTHERS = (
    "light 6 inch center 30 from left center 14 up",
    "outlet center 30 from left 14 up",
    "pipe 2 inch center 20 from left center 14 up",
    "window 10 by 12 8 from left 14 up",
)
ODD = (
    "outlet center 46 1/2 from left 14 up",
    "pipe 2 inch center 46 1/2 from left center 14 up",
    "light 6 inch center 46 1/2 from left center 14 up",
)


@pytest.mark.parametrize("other", OTHERS)
@pytest.mark.parametrize("odd", ODD)
def test_the_next_thing_takes_nobodys_place(odd: str, other: str) -> None:
    """While it is asked whether one runs across the edge: both stand after the yes, and the other one after the no."""
    wall = wall_after(*BOARD, odd)
    assert wall.session.state.doubts
    wall.types(other, "yes")
    there = {call.key.name: call.fact for call in wall.session.state.known("1", doubtful=True).values()}
    assert sum(isinstance(fact, Box | Opening) for fact in there.values()) == 2
    wall = wall_after(*BOARD, odd, other, "no", "dismiss")
    assert other in {call.words for call in wall.session.state.calls.values() if call.standing is not Standing.REPLACED}


@pytest.mark.parametrize("odd", ODD)
def test_said_anew_with_one_of_its_distances_across_it_is_the_same(odd: str) -> None:
    """Another height of it takes its place."""
    wall = wall_after(*BOARD, odd, odd.replace("14 up", "16 up"))
    assert len([call for call in wall.session.state.calls.values() if call.waits]) == 1


def test_what_is_said_of_it_by_its_name_goes_on_with_it() -> None:
    """Whether its question is open or put off: a kind, a distance, the rest."""
    whole = "box 1 double gang center 20 from left 40 up"
    wall = wall_after("outlet 20 over 40 up", "top 42", "box one is a double gang", "left center")
    assert things(wall) >= {each for each in things(wall_after(whole)) if "Box" in str(each)}
    assert not wall.session.state.not_taken("1")
    wall = wall_after("box 1 double gang", "box one center 20 from left 40 up")
    assert things(wall) == things(wall_after(whole))


def test_no_boxes_is_not_taken_beside_one_that_is_put_off() -> None:
    """It was called."""
    wall = wall_after("outlet 20 over 40 up", "top 42")
    assert wall.types("no boxes").startswith("Not taken: box 1 is on this board")


@pytest.mark.parametrize("lines", [("outlet 12 from {} 14 up",) * 2, ("outlet center 46 1/2 from {} 14 up",) * 2])
def test_one_figure_from_either_side_is_two_boxes(lines: tuple[str, str]) -> None:
    """As boxes are that stand alike at both ends."""
    wall = wall_after(*BOARD, lines[0].format("left"), lines[1].format("right"))
    calls = wall.session.state.calls.values()
    assert lines[0].format("left") in {call.words for call in calls if call.standing is not Standing.REPLACED}
    assert lines[1].format("right") in {call.words for call in calls if call.standing is not Standing.REPLACED}


ANEW = {
    "box one 21 from left": "21 from left, center 40 from bottom",
    "box one center 21 from left": "21 from left, center 40 from bottom",
    "box one 21 from right": "21 from right, center 40 from bottom",
    "box one double gang": "double gang, center 20 from left, center 40 from bottom",
    "box one center 21 from left center 38 up": "21 from left, center 38 from bottom",
    "box one double gang center 21 from left center 38 up": "21 from left, center 38 from bottom",
}


@pytest.mark.parametrize("anew", ANEW)
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_what_is_called_by_its_name_takes_the_place_of_what_was_put_off(anew: str, who: str) -> None:
    """One box, as it was called last: no part is of two, and the older call comes back for nothing."""
    if who == "partner" and anew.startswith("box one double gang center"):
        return  # another box
    wall = wall_after(*BOARD, "outlet 20 from left 40 up", "top 46 3/4")
    told = wall.types(anew, who=who)
    assert not wall.session.state.put_off("1")
    if wall.asks:
        told = wall.types("center", who=who)
    assert not wall.asks, told
    assert ANEW[anew] in told
    assert ("38" not in anew) or "single gang, 20 from left, 40 from bottom" in told
    assert "replace" not in wall.types("done", who=who)
    assert len([one for one in things(wall) if "Box" in str(one)]) == 1
    assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("between", [(), ("top 46 3/4",)])
@pytest.mark.parametrize("other", ["box one double gang center 11 from left center 42 up", "light one 6 inches {}"])
@pytest.mark.parametrize("thing", ["outlet 16 from left 28 up", "light 4 inch 16 from left 28 up"])
def test_another_ones_thing_of_that_name_leaves_it_the_next(thing: str, other: str, between: tuple[str, ...]) -> None:
    """Nobody but the program had called it so: it waits for its part under another name, and both are there."""
    other = other.format("center 11 from left center 42 up")
    wall = wall_after(*BOARD, thing, *between)
    wall.types(other, who="partner")
    wall.types("yes", who="partner")
    wall.types("center")
    if wall.asks:
        wall.types("center")
    wall.types("done")
    if wall.asks:
        wall.types("center", "done")
    there = [one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Box | Opening)]
    assert len({one.name for one in there}) == len(there) == 2, (wall.said, there)


SETTINGS = (
    *("standing", "two layers", "green board", "steel studs", "upper course", "taper left", "sheet 4 by 10"),
    *("5/8 board", "studs 16 on center", "left is wall", "right gap 1/4", "change the top to 42 1/4"),
)
"""None of them can be the part that a box lacks."""


@pytest.mark.parametrize("said", SETTINGS)
@pytest.mark.parametrize(
    "lacks", ["outlet 12 from left 14 up", "box 12 from left center 14 up", "light 6 inch center 12 from left"]
)
def test_no_setting_waits_for_a_part_of_a_box(said: str, lacks: str) -> None:
    """The box is put off, and its part asked for with "done"."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", lacks)
    wall.types(said)
    assert Tell.ANSWER_FIRST not in {note.tell for note in wall.session.state.said}, wall.said
    assert [call.words for call in wall.session.state.put_off("1")] == [lacks]


@pytest.mark.parametrize("said", [*BETWEEN[1:], "right is board", "change the top to 47"])
@pytest.mark.parametrize("lacking", [*(each for each, _, _ in LACKING), "pipe center 12 from left center 30 up"])
def test_what_is_called_behind_an_order_to_leave_belongs_where_that_leads(lacking: str, said: str) -> None:
    """The order is carried out before it, whatever lacks a part on the board that is left."""
    there = ("next board", "top 47") if said.startswith("change") else ("next board",)
    wall = wall_after(*BOARD, *there, "board one", lacking)
    before = dict(wall.session.state.known("1", doubtful=True))
    assert wall.types("board two").endswith("?")
    wall.types(said)
    state = wall.session.state
    assert state.board == "2"
    assert state.known("1", doubtful=True) == before
    assert len(state.put_off("1")) == 1
    called = [call for call in state.on("2") if call.words == said and call.fact is not None and not call.queued]
    assert called
    assert all(call.waits or call.in_force for call in called)


@pytest.mark.parametrize(
    ("asked", "short"),
    [
        (("top 42", "bottom 42", "top 44"), "Answer first: top four four inches?"),
        (("outlet 14 from left 16 up",), "Answer first: box one?"),
    ],
)
def test_a_question_that_stands_is_told_in_full_once_and_then_by_its_name(asked: tuple[str, ...], short: str) -> None:
    """To the ear: the screen keeps all of it, and another answer between brings all of it back."""
    wall = wall_after(*asked)
    shown, spoken = [], []
    for line in ("next board", "next board", "next board", "what's missing", "next board"):
        wall.types(line)
        shown.append(" ".join(say.text for say in wall.said))
        spoken.append(" ".join(say.spoken for say in wall.said))
    assert shown[0] == shown[1] == shown[2] == shown[4]
    assert spoken[1] == spoken[2] == short
    assert spoken[0] == spoken[4] != short
    assert len(short) < len(spoken[0])


def test_whether_a_box_is_dead_is_asked_in_full_each_time() -> None:
    """A yes to it is to the whole of it."""
    wall = wall_after(*BOARD, "box 1 single gang center 30 from left 48 down", "box 1 dead and tested", "next board")
    first = [say.spoken for say in wall.said]
    wall.types("next board")
    assert [say.spoken for say in wall.said] == first
