"""A no gives back what stood or waited just before what it denies, whoever called that; never what was denied."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue import correcting
from fieldvoice.records.facts import Key, Said
from fieldvoice.records.ledger import Call, Standing
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
BOX = "box 1 single gang center 12 from left 14 up"
WINDOW = "window 20 wide 30 high left edge 5 from left bottom edge 30 up"
WALL = "north wall 12 by 8 feet"
KINDS = {
    "reading": (BOARD, "top 42 1/4", "top 42 1/2"),
    "odd reading": (BOARD, "top 42 1/4", "top 55"),
    "height": (BOARD, "left 90 1/4", "left 89 7/8"),
    "box": (BOARD, BOX, "change box 1 to 13 from left"),
    "opening": (BOARD, WINDOW, "change window to 22 wide"),
    "sheet": (BOARD, "sheet 4 by 10", "sheet 4 by 12"),
    "edge": (BOARD, "left board", "left wall"),
    "layers": (BOARD, "two layers", "one layer"),
    "thickness": (BOARD, "5/8 board", "1/2 board"),
    "studs": (BOARD, "studs 16 on center", "studs 24 on center"),
    "wall": ((), WALL, "north wall 13 by 8 feet"),
    "spacing of a wall": ((WALL,), "16 on center from the left", "24 on center from the left"),
}
BETWEEN = {"at once": (), "gone on": ("upper course",)}


def _at(wall: Wall, key: Key) -> Said | None:
    state = wall.session.state
    found = state.known(state.board, doubtful=True).get(key)
    return None if found is None else found.fact


def _newest(wall: Wall, words: str) -> Call:
    return [call for call in wall.session.state.calls.values() if call.words == words][-1]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("between", ["at once", "gone on"])
@pytest.mark.parametrize(("first", "second"), [*product(("", "P:"), repeat=2)])
def test_what_was_there_just_before_is_there_again(kind: str, between: str, first: str, second: str) -> None:
    """And the one that was denied stands as not taken."""
    board, called, other = KINDS[kind]
    more = () if board != BOARD else tuple(f"{first}{line}" for line in BETWEEN[between])
    wall = wall_after(*board, f"{first}{called}", *more)
    key = _newest(wall, called).key
    before = _at(wall, key)
    wall.says(f"{second}{other}")
    new = _newest(wall, other)
    assert _at(wall, key) == new.fact != before
    told = wall.says(f"{second}no")
    assert _at(wall, key) == before
    assert "stands" in told
    state = wall.session.state
    assert state.calls[new.number].standing is Standing.NOT_TAKEN
    there = state.known(state.board, doubtful=True).get(key)
    assert there is None or there.in_force or there.number in state.open[there.by].calls, "it waits for its own speaker"
    wall.types("done")
    assert wall.view.draft or wall.session.state.surfaces
    wall.restart()
    assert _at(wall, key) == before


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("who", ["", "P:"])
def test_what_was_called_long_ago_is_not(kind: str, who: str) -> None:
    """Only the last one before it is."""
    board, called, other = KINDS[kind]
    wall = wall_after(*board, called, f"{who}{other}")
    key, before = _newest(wall, other).key, _newest(wall, other).fact
    if _newest(wall, other).standing is Standing.DOUBTFUL:
        wall.says(f"{who}yes")
    wall.says(called)
    assert _newest(wall, called).fact != before
    wall.says("no")
    assert _at(wall, key) == before


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("again", ["", "P:"])
@pytest.mark.parametrize("gone_on", [(), ("upper course",), ("upper course", "yes")])
def test_what_is_denied_doesnt_stand_as_another_call_of_the_same(
    kind: str, again: str, gone_on: tuple[str, ...]
) -> None:
    """The same again, and no: it is asked about, or stands as not taken."""
    board, called, _ = KINDS[kind]
    wall = wall_after(*board, called, *(gone_on if board == BOARD else ()), f"{again}{called}")
    denied = _newest(wall, called)
    wall.says(f"{again}no")
    state = wall.session.state
    stands = state.known(state.board).get(denied.key)
    assert stands is None or stands.fact != denied.fact
    assert wall.asks


@pytest.mark.parametrize(
    ("denial", "who"), [*product(("no, top 30", "no 30", "wrong, top 30", "I meant top 30"), ("", "P:"))]
)
def test_what_was_denied_before_is_not_given_back(denial: str, who: str) -> None:
    """It was no right value then either."""
    wall = wall_after("top 46", f"{who}{denial}", f"{who}no")
    assert wall.value("width, top") is None


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was replaced while it waited is gone."""
    monkeypatch.setattr(correcting, "given_back", lambda turn, _: turn)
    wall = Wall()
    for line in (*BOARD, "left 91", "P:left 92", "P:no"):
        wall.says(line)
    assert wall.value("height, left") == "90"


THINGS = {
    BOX: {
        "13 from left": "center 13 from left",
        "16 up": "center 16 from bottom",
        "double gang": "double gang, center 12",
    },
    WINDOW: {"6 from left": "near side 6 from left", "31 up": "near side 31 from bottom"},
}


@pytest.mark.parametrize(("thing", "part"), [(thing, part) for thing, parts in THINGS.items() for part in parts])
@pytest.mark.parametrize("again", [(), ("no",), ("done", "no")])
@pytest.mark.parametrize("said", ["{}", "no, {}"])
def test_a_part_behind_a_no_is_of_what_was_denied(thing: str, part: str, again: tuple[str, ...], said: str) -> None:
    """However often it was asked what it is: the rest of it is as it was called."""
    wall = wall_after(*BOARD, thing, "no", *again)
    assert wall.asks
    wall.types(said.format(part))
    assert THINGS[thing][part] in wall.readings[-1].value
    assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("undo", ["undo", "scratch that"])
@pytest.mark.parametrize("kind", ["reading", "box", "sheet", "edge", "layers", "thickness"])
def test_what_another_one_called_instead_is_no_undo_of_what_was_called_before(kind: str, undo: str) -> None:
    """Their last call is replaced by now: who has it is told, and nothing else is taken out."""
    board, called, other = KINDS[kind]
    wall = wall_after(*board, called, f"P:{other}")
    before = wall.readings, wall.settings
    assert "partner" in wall.types(undo)
    assert (wall.readings, wall.settings) == before
    assert wall.refuses
