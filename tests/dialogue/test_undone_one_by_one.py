"""Undo goes back through a job change by change, the newest first, until it is as it was in the beginning."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, permutations, product

import pytest

from fieldvoice.dialogue import taking_back
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.plausibility import ground_of, weigh
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Key, Oddity, Said
from fieldvoice.records.ledger import Concern, Standing
from fieldvoice.records.meaning import Box, Incomplete, Opening
from tests.dialogue.talk import Wall, wall_after

THINGS = {
    "a width": ("t 46", "no, top 46 1/4"),
    "an edge": ("left wall", "no, left board"),
    "a box": (
        "box 1 single gang center 20 from left 48 down",
        "no, box 1 single gang center 21 from left 48 down",
    ),
    "a thickness": ("half inch board", "no, five eighths board"),
    "the framing": ("studs 24 on center", "no, studs 16 on center"),
}
"""What is called of each, and what it is corrected to."""

HOW = ("never", "before it is taken", "after it is taken")
"""When it is corrected."""


def facts(wall: Wall) -> dict[Key, Said | None]:
    """What is known of the board."""
    return {key: call.fact for key, call in wall.session.state.known("1").items()}


@pytest.mark.parametrize("names", list(permutations(THINGS, 2)), ids=" then ".join)
def test_each_undo_takes_back_the_newest_change_alone(names: tuple[str, str]) -> None:
    """Whether what is corrected was in force by then, or only read back."""
    for how in product(HOW, repeat=2):
        wall, was = wall_after(), list[dict[Key, Said | None]]()
        for name, when in zip(names, how, strict=True):
            call, correction = THINGS[name]
            was.append(facts(wall))
            wall.types(call, *(() if when == "before it is taken" else ("yes",)))
            if when != "never":
                was.append(facts(wall))
                wall.types(correction, "yes")
        while was:
            told = wall.types("undo")
            assert facts(wall) == was.pop(), (how, told)
        assert wall.types("undo") == "You have nothing to undo.", how


@pytest.mark.parametrize(("first", "second"), list(combinations(THINGS, 2)))
def test_each_undoes_what_was_their_own(first: str, second: str) -> None:
    """The partner corrects what the hanger called, and takes that back: what the hanger called is the hanger's."""
    wall = wall_after(THINGS[second][0], "yes", THINGS[first][0])
    wall.types(THINGS[first][1], "yes", "undo", who="partner")
    assert wall.types("undo", who="partner") == "You have nothing to undo."
    both = facts(wall)
    wall.types("undo")
    assert len(facts(wall)) == len(both) - 1
    wall.types("undo")
    assert not facts(wall)


@pytest.mark.parametrize(
    "order", ["add an eighth to the left", "swap top and bottom", "bottom an eighth less than the top"]
)
@pytest.mark.parametrize("between", [(), ("room kitchen",)])
def test_the_same_order_said_twice_is_undone_once(order: str, between: tuple[str, ...]) -> None:
    """What is only asked yet goes; what was said yes to in the same words stands."""
    wall = wall_after("top 42", "bottom 41 1/2", "left 90", "right 90", order, "yes", *between)
    stood = {key: call.fact for key, call in wall.session.state.known("1").items()}
    wall.types(order)
    assert wall.asks, wall.said
    wall.types("undo")
    assert {key: call.fact for key, call in wall.session.state.known("1").items()} == stood


WAITED = ("left 90 1/4", "right 90 1/8", "diagonal rising 99 1/4")
ENDS = {
    "top 44": ("top 42 1/8", "no 42 1/8"),
    "window 20 by 30 30 from left 20 up": ("right is open",),
    "pipe 2 inch center 41 from left center 14 up": ("pipe 1 2 inch center 39 from left center 14 up",),
}
"""What is asked about, and what ends that behind what waited."""


@pytest.mark.parametrize(("asked", "ends"), [(asked, end) for asked, ends in ENDS.items() for end in ends])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_what_was_called_last_is_undone_first_whenever_it_was_taken_up(asked: str, ends: str, count: int) -> None:
    """What waited behind a question was called before what ended that, and goes in the order of calling."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", asked, *WAITED[:count], ends)
    for words in (ends, *WAITED[:count][::-1]):
        stood = [call for call in wall.session.state.on("1") if call.words == words and call.waits]
        assert stood, (words, wall.said)
        wall.types("undo")
        gone = [wall.session.state.calls[call.number] for call in stood]
        assert not any(call.waits or call.in_force for call in gone), (words, wall.said)
        left = {call.words for call in wall.session.state.on("1") if call.waits or call.in_force}
        assert left >= set(WAITED[: WAITED.index(words)] if words in WAITED else WAITED[:count]), wall.said


ANSWERED = {
    "told by another": (("bottom an eighth less than the top", "yes"), 1),
    "made of itself": (("add an eighth to the left", "yes"), 1),
    "odd": (("left gap 3", "yes"), 1),
    "odd, of one breath": (("right gap 1/4 right is board", "right gap 3", "yes"), 3),
    "a point": (("outlet 14 from left 16 up", "center"), 2),
    "a size": (("pipe center 30 from left center 16 up", "2 inch"), 2),
    "a distance": (("switch center 24 from left", "48 up"), 2),
    "nothing asked": (("top gap 1/4",), 1),
}
"""What is called with what answers it, and how many undos take all of it out."""
BETWEEN = ("done", "what's missing", "scratch box nine")


def _whole(wall: Wall) -> dict[Key, Said | None]:
    return {key: fact for key, fact in facts(wall).items() if not isinstance(fact, Incomplete)}


@pytest.mark.parametrize(("first", "second"), list(permutations(ANSWERED, 2))[::2])
def test_what_an_answer_took_is_undone_alone(first: str, second: str) -> None:
    """Whatever waited beside it was a call before, and an answer that is taken back leaves its question open."""
    wall, was = wall_after("top 42", "bottom 42", "left 90", "right 90"), list[dict[Key, Said | None]]()
    for name in (first, second):
        was.append(_whole(wall))
        wall.types(*ANSWERED[name][0])
    between = BETWEEN[len(first + second) % len(BETWEEN)]
    wall.types(between)
    if between == "scratch box nine":
        assert wall.types("undo").startswith("Nothing came of that")
    for name in (second, first):
        before, after = was.pop(), _whole(wall)
        kept = {key for key, fact in before.items() if after.get(key) == fact}
        for left in reversed(range(ANSWERED[name][1])):
            told = wall.types("undo")
            assert told.startswith(("Undone", "Left out")), (name, told)
            assert all(facts(wall).get(key) == before[key] for key in kept), (name, told)
            if facts(wall) == before and not (wall.asks or wall.session.state.not_taken("1")):
                break
            assert left, (name, told)
            assert wall.asks or name == "odd, of one breath", (name, told)
        assert facts(wall) == before, (name, told)


@pytest.mark.parametrize("kept", ["gobble 12", "33 from left", "left 90 1/3"])
@pytest.mark.parametrize("out", [("leave it out",), ("done", "yes")])
@pytest.mark.parametrize("between", [(), ("right 90 1/8",)])
def test_what_was_left_out_is_not_taken_again_and_nothing_else_is_undone(
    kept: str, out: tuple[str, ...], between: tuple[str, ...]
) -> None:
    """An undo is of the last that was done, and leaving out was that."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", kept, *between)
    stood = facts(wall)
    words = [call.words for call in wall.session.state.not_taken("1")]
    wall.types(*out)
    assert not wall.session.state.not_taken("1")
    assert f"“{kept}”" in wall.types("undo")
    assert facts(wall) == stood
    assert [call.words for call in wall.session.state.not_taken("1")] == words


def _one_by_one(state: State, board: str, its: Rooms) -> set[tuple[int | None, Concern]]:
    """What is odd of a board, each value held against all that speak, and the board looked at for each."""
    known, speak = state.known(board, doubtful=True), taking_back._that_speak(state, board)
    ground = replace(ground_of(state, board, known, unit_of(known)), corrects=True)
    found = set()
    for key, call in known.items():
        rest = {other: one for other, one in speak.items() if other != key}
        found |= {(one.call, one.concern) for one in weigh((call,), replace(ground, values=rest), its)}
    return found


ODD = (
    ("top 44",),
    ("left 95", "yes"),
    ("box 1 single gang center 12 from left center 14 up", "box 2 single gang center 13 from left center 14 up", "yes"),
    ("box 1 single gang center 41 from left center 14 up", "yes"),
    (*(f"box {n} single gang center {n * 8} from left center 14 up" for n in range(1, 5)), "change box 3 to 14 5/8 up"),
    ("diagonal rising 99", "yes", "diagonal falling 101"),
    ("lying",),
    ("top is wall", "lying", "left 47"),
)


@pytest.mark.parametrize("called", ODD)
@pytest.mark.parametrize("more", [(), ("bottom 40",), ("box 9 single gang center 30 from left center 60 up",)])
def test_what_is_odd_of_a_board_is_found_by_one_look_at_it(called: tuple[str, ...], more: tuple[str, ...]) -> None:
    """As by one for each value, before an undo and behind it."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", *called, *more)
    for _ in range(2):
        state = wall.session.state
        odd = {(one.call, one.concern) for one in taking_back._odd_now(state, "1", wall.rooms)}
        assert odd == _one_by_one(state, "1", wall.rooms)
        wall.types("undo")


def test_an_undo_looks_at_a_board_as_often_however_much_is_on_it() -> None:
    """Its time grows with what is called, and not with the square of that."""
    looks = []
    for count in (3, 12):
        wall = wall_after("lying", "lower course", "top 142", "bottom 142", "left 47", "right 47")
        wall.types(
            *(f"single gang center {at * 10} from left center 12 up" for at in range(1, count + 1)), "top 142 1/8"
        )
        its, looked = wall.rooms, list[str]()

        def counted(board: Board, its: Rooms = its, looked: list[str] = looked) -> tuple[Oddity, ...]:
            looked.append(board.name)
            return its.oddities(board)

        wall.rooms = replace(its, oddities=counted)
        wall.restart()
        wall.types("undo")
        looks.append(len(looked))
    assert looks[0] == looks[1] > 0


@pytest.mark.parametrize(
    ("stood", "breath", "odd"),
    [
        ("top 42", "top 42 1/4 right is board", "top 44"),
        ("left gap 1/8", "left gap 1/4 right is board", "left gap 3"),
        ("left 90", "left 90 1/4 right is board", "left 94"),
    ],
)
def test_an_undo_gives_back_what_was_read_back_before(stood: str, breath: str, odd: str) -> None:
    """And not what had stood before that; the rest of its breath stands."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", stood, "done", breath)
    before = facts(wall)
    wall.types(odd)
    assert wall.asks
    wall.types("yes", "undo")
    assert facts(wall) == before


BEGUN = {
    "outlet 20 from left": ("30 down", "center"),
    "outlet": ("20 from left", "30 down", "center"),
    "box 20 from left 30 down": ("single gang", "center"),
    "duct": ("8 by 10", "20 from left", "30 down", "center"),
    "window 20 from left": ("30 up", "36 by 48"),
    "light center 20 from left center 30 down": ("6",),
}
"""What lacks a part, and its parts."""


def _thing(wall: Wall) -> object:
    """The one thing, whether it waits, or was put off."""
    calls = [one for one in wall.session.state.calls.values() if isinstance(one.fact, Box | Opening | Incomplete)]
    (there,) = [one.fact for one in calls if one.waits or (one.put_off and one.standing is Standing.NOT_TAKEN)]
    return there


@pytest.mark.parametrize("who", ["", "P:"])
@pytest.mark.parametrize(("begun", "parts"), BEGUN.items())
def test_a_part_is_undone_by_itself(begun: str, parts: tuple[str, ...], who: str) -> None:
    """Each undo takes back what was said last, and the thing lacks that again; the last takes the thing."""
    wall = wall_after("top 46", f"{who}{begun}")
    before = []
    for part in parts:
        before.append(_thing(wall))
        wall.says(who + part)
        assert _thing(wall) != before[-1], (part, wall.said)
    for was in reversed(before):
        told = wall.says(f"{who}undo")
        assert "Undone" in told, told
        assert _thing(wall) == was, told
        assert wall.asks
    wall.says(f"{who}undo")
    assert not [one for one in wall.session.state.begun("1") if isinstance(one.fact, Incomplete)]
    assert wall.value("width, top") == "46"


@pytest.mark.parametrize(("begun", "parts"), BEGUN.items())
def test_what_was_put_off_was_called_before_what_came_since(begun: str, parts: tuple[str, ...]) -> None:
    """An undo behind "done" takes back the value that was called last, and the thing lacks its part still."""
    wall = wall_after("top 46", begun, "bottom 46", "left 90")
    thing = _thing(wall)
    wall.types("done")
    assert "height, left" in wall.types("undo")
    assert wall.value("height, left") is None
    assert _thing(wall) == thing, wall.said


BREATHS = ("top and bottom 46", "t 46 b 46 1/2", "both sides 96", "t 46", "t 46 m 46 1/4 b 46 1/2")
ONE_PLACE = ("t 46 1/8", "no top 46 1/4", "b 46 1/8", "change top to 46 3/8", "l 95 1/2")


@pytest.mark.parametrize("breath", BREATHS)
@pytest.mark.parametrize("then", list(permutations(ONE_PLACE, 2)), ids=" then ".join)
@pytest.mark.parametrize("first", ["", "t 45"])
def test_an_undo_takes_back_one_call_whole_and_jumps_over_none(first: str, breath: str, then: tuple[str, str]) -> None:
    """Of a breath of several places each may have been put right since: what comes back is what stood just before."""
    wall, was = wall_after(), list[dict[Key, Said | None]]()
    for call in (first, breath, *then, "right wall"):
        before = facts(wall)
        if call:
            wall.types(call)
        if wall.asks or wall.refuses:
            pytest.skip("it is asked about")
        if call and facts(wall) != before:
            was.append(before)
    while was:
        told = wall.types("undo")
        assert facts(wall) == was.pop(), told
