"""Of two calls that can't both be, one takes the other's place and that is told, or is asked about, or isn't taken."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from fieldvoice.dialogue import matters
from fieldvoice.records.facts import Fact, key_of
from fieldvoice.records.ledger import Call, Tell
from tests.dialogue.talk import Wall

BOX = "box 1 single gang center 30 from left 40 down"
OF_A_BOARD = (
    ("no boxes", BOX),
    ("no boxes", "light 6 inch center 20 from left 20 down"),
    ("full sheet", "top 46"),
    ("full sheet", "bottom 46"),
    ("fifty fours", "the sheet is 4 by 8"),
    ("ten footers", "the sheet is 4 by 8"),
    ("factory edge on the left", "cut the left"),
    ("factory edge on the top", "cut the top"),
    ("one layer", "second layer"),
    ("sheet 4 by 10", "from 1A"),
    ("ten footers", "from 1A"),
    ("two layers", "third layer"),
    ("24 on center", "studs at 15, 31"),
    ("16 on center", "studs at 16, 60"),
    ("upper course", "floor on the bottom"),
    ("lower course", "ceiling on the bottom"),
    ("doing the ceiling", "upper course"),
    ("doing the ceiling", "floor on the bottom"),
    ("doing the ceiling", "ceiling on the top"),
    ("studs at 16, 60", "top 47 1/2"),
    ("bottom of the board is 48 up from the floor", "floor on the bottom"),
    ("bottom of the board is 48 up from the floor", "lower course"),
)
OF_A_WALL = (
    ("studs at 16, 60", "16 on center from the left"),
    ("stand them up", "lying"),
    ("lay them down", "standing"),
    ("sheets are 4 by 8", "ten footers only"),
    ("studs at 16, 160", "north wall 12 foot by 8 foot"),
)
PAIRS = [
    ("", "no more boxes", BOX),  # the other way round both are so
    *(("", *each) for pair in OF_A_BOARD for each in (pair, pair[::-1])),
    *(("north wall 16 foot by 8 foot", *each) for pair in OF_A_WALL for each in (pair, pair[::-1])),
]
A_QUESTION = ("box 7 single gang 10 from left 40 down", "center")
"""What is called while it is open is taken up behind its answer."""
TOLD = {Tell.BOXES_THERE, Tell.WIDTHS_THERE}


def _calls(wall: Wall) -> tuple[Call, ...]:
    return tuple(wall.session.state.on(wall.session.state.board))


def _stands(wall: Wall, fact: Fact) -> bool:
    """Whether it counts, or will once its speaker goes on."""
    state = wall.session.state
    return fact in [call.fact for call in state.known(state.board).values()]


def _facts(base: str, line: str) -> list[Fact]:
    """What a line calls where nothing else was said."""
    wall = Wall()
    wall.types(base)
    before = {call.number for call in _calls(wall)}
    wall.types(line)
    return [call.fact for call in _calls(wall) if call.number not in before]  # type: ignore[misc]


def _both_stand(base: str, first: str, second: str, wall: Wall) -> bool:
    """Whether all of both stands, and nothing is asked about either."""
    asked = {doubt.call for doubt in wall.session.state.doubts}
    facts = [*_facts(base, first), *_facts(base, second)]
    keys = {key_of(fact) for fact in facts}
    in_doubt = any(call.number in asked and call.key in keys for call in _calls(wall))
    return not in_doubt and all(_stands(wall, fact) for fact in facts)


def _talked(base: str, first: str, second: str, *, under_a_question: bool) -> Wall:
    wall = Wall()
    wall.types(base)
    wall.types(first)
    if under_a_question:
        wall.types(A_QUESTION[0])
    wall.types(second)
    if under_a_question:
        wall.types(A_QUESTION[1])
    return wall


def _breaks() -> Iterator[tuple[str, str, str]]:
    for base, first, second in PAIRS:
        if _both_stand(base, first, second, _talked(base, first, second, under_a_question=False)):
            yield base, first, second


def test_the_pairs_are_understood() -> None:
    """Each line calls something."""
    for base, first, second in PAIRS:
        assert _facts(base, first), (base, first)
        assert _facts(base, second), (base, second)


@pytest.mark.parametrize(("base", "first", "second"), PAIRS)
def test_never_both(base: str, first: str, second: str) -> None:
    """In either order; what came first is named in what is told of the second."""
    wall = _talked(base, first, second, under_a_question=False)
    assert not _both_stand(base, first, second, wall)
    told = wall.session.state.said
    olds = [value for note in told for value in note.values if isinstance(value, Call)]
    facts = _facts(base, first)
    named = {note.tell for note in told} & TOLD or wall.asks
    assert named or {key_of(fact) for fact in facts} & {call.key for call in olds}, wall.said
    wall.restart()
    assert not _both_stand(base, first, second, wall)


@pytest.mark.parametrize(("base", "first", "second"), PAIRS)
def test_undo_brings_back_what_had_no_room(base: str, first: str, second: str) -> None:
    """The first stands again once the second is out: waiting, and in force."""
    for goes_on in (False, True):
        wall = _talked(base, first, second, under_a_question=False)
        if not any(one.displaces for one in _calls(wall)):
            continue
        if goes_on:
            wall.types("yes")
        wall.types("undo")
        assert all(_stands(wall, fact) for fact in _facts(base, first)), (goes_on, wall.said)


@pytest.mark.parametrize(("base", "first", "second"), [each for each in PAIRS if not each[0] and "box" not in each[1]])
def test_never_both_where_the_second_had_to_wait(base: str, first: str, second: str) -> None:
    """It was called under a question about something else."""
    assert not _both_stand(base, first, second, _talked(base, first, second, under_a_question=True))


def test_what_has_no_room_comes_back_to_no_board_that_has_none() -> None:
    """Of two boxes the first is undone by the partner who called it."""
    wall = Wall()
    wall.types("no boxes")
    wall.types(BOX, who="partner")
    wall.types("yes", who="partner")
    wall.types("box 2 single gang center 10 from left 40 down", "yes")
    told = wall.types("undo", who="partner")
    assert "none" not in told
    state = wall.session.state
    assert "boxes" not in {key.name for key in state.known(state.board)}


@pytest.mark.parametrize("mutant", ["leaves_no_room", "_cannot_be", "_of_a_course", "in_the_way", "implied"])
def test_a_mutant_is_seen(mutant: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each part of what decides is needed by a pair."""
    from fieldvoice.dialogue import proposals

    if mutant == "implied":
        monkeypatch.setattr(proposals, mutant, lambda fact, _: (fact,))
        wall = _talked("", "one layer", "second layer", under_a_question=False)
        assert _both_stand("", "one layer", "second layer", wall)
        return
    where = proposals if mutant == "in_the_way" else matters
    monkeypatch.setattr(where, mutant, lambda *_, **__: ())
    assert list(_breaks())
