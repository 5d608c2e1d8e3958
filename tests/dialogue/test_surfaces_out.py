"""A wall or a ceiling is taken out by a word: what was called on it, and what hangs on it, follows, and is told."""

from __future__ import annotations

import itertools
import random

import pytest

from fieldvoice.dialogue.layouts import standing_plan
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.ledger import Call, Standing
from fieldvoice.records.room import name_of
from fieldvoice.records.utterance import Action, Command
from tests.dialogue.talk import Wall, wall_after
from tests.dialogue.test_layout_goes_on import cut_as_planned, in_hand

WALLS = ("north wall", "south wall", "east wall", "ceiling")
WAYS = (
    "forget the {0}",
    "scratch the {0}",
    "take out the {0}",
    "delete {0}",
    "lose the {0}",
    "there is no {0}",
    "there's no {0}",
    "get rid of the {0}",
)


@pytest.mark.parametrize("way", WAYS)
def test_every_way_to_take_every_surface_out(way: str) -> None:
    """It is that order of that surface and nothing else."""
    for name in (*WALLS, "wall 2", "kitchen north wall", "kitchen ceiling"):
        assert understand(way.format(name), Source.TYPED).meanings == (Command(Action.TAKE_OUT, name),)


def a_job(draw: random.Random) -> Wall:
    """Two to four surfaces, some of whose boards are cut, measured or only opened."""
    wall = Wall()
    for name in draw.sample(WALLS, draw.randint(2, 4)):
        wall.types(f"{name} {draw.choice((8, 10, 12))} foot by 8 foot", "16 on center", "yes")
    for _ in range(draw.randint(1, 5)):
        wall.types("next board")
        became = draw.choice(("cut", "measured", "opened"))
        known = wall.session.view()
        if became == "cut":
            cut_as_planned(wall)
        elif became == "measured" and known.hole is not None and known.hole.course is not None:
            wall.types("left 47 1/2", "yes")
    return wall


@pytest.mark.parametrize("seed", range(8))
def test_what_hangs_on_a_surface_follows_it(seed: int) -> None:
    """Nothing of it is in force or laid out, what was cut for it is told and its offcuts stay, what was measured is
    told; an undo has all as it was, and the journal says the same.
    """
    draw = random.Random(seed)
    wall = a_job(draw)
    state = wall.session.state
    name = draw.choice(state.surfaces)
    pieces = {board: str(piece.surface) for board, piece in state.pieces.items()}
    measured = {call.board for call in state.calls.values() if not call.carried and call.standing is Standing.ACCEPTED}
    rack, cut, facts, before = wall.view.rack, set(state.cut), in_hand(wall), state.pieces
    said = wall.types(draw.choice(WAYS).format(name))
    now = wall.session.state
    assert f"{name} is out" in said.lower()
    assert not now.settled(name)
    plan = standing_plan(now)
    assert plan is None or all(str(name_of(one)) != name for one in plan.house.surfaces)
    for board, surface in pieces.items():
        if surface == name:
            assert board not in now.pieces
            assert f"Board {board} " in said or board not in cut | measured, (board, said)
    assert set(now.cut) == cut
    assert wall.view.rack == rack
    assert wall.types(f"go to the {name}") == f"There is no {name} yet. Call it by its two sides."
    wall.types("undo")
    assert wall.session.state.cut.keys() == cut
    assert wall.view.rack == rack
    for board in (cut | measured) & set(before):
        assert wall.session.state.pieces[board] == before[board]
    again = in_hand(wall)
    assert {board: again[board] for board in facts if board in measured} == {
        board: facts[board] for board in facts if board in measured
    }
    kept = wall.session.state
    wall.restart()
    assert (wall.session.state.pieces, wall.session.state.cut) == (kept.pieces, kept.cut)


def test_a_wall_that_nobody_called_is_not_taken_out() -> None:
    """Nor one of several of that name."""
    wall = Wall()
    assert "There is no south wall yet" in wall.types("forget the south wall")
    wall.types("kitchen", "north wall 12 foot by 8 foot", "16 on center", "yes")
    assert "There is no south wall yet" in wall.types("forget the south wall")
    assert "Kitchen north wall is out" in wall.types("forget the north wall")


@pytest.mark.parametrize("unit", ["inches", "millimeters"])
@pytest.mark.parametrize("out", WALLS[:2])
def test_the_layout_is_as_if_it_had_never_been_called(unit: str, out: str) -> None:
    """Whichever of the surfaces is out, what it said of unit and sheets is out as well."""
    size, framing = ("1200 by 2400", "400") if unit == "millimeters" else ("48 by 96", "16")
    wall, other = Wall(), Wall()
    for name in WALLS[:2]:
        for each in (wall, other) if name != out else (wall,):
            each.types(f"switch to {unit}", f"{name} {size}", f"{framing} on center from the left", "yes")
    wall.types(f"take out the {out}")
    assert wall.session.state.laying == other.session.state.laying


CALLS = {
    "spacing": "16 on center from the left",
    "window": "window 36 by 48, 40 from left, 36 up",
    "begun": "window 36 by 48, 40 from left",
    "other sides": "north wall 10 feet by 8 feet",
    "wish": "stand them up",
    "words": "door a hundred from",
}


def standing_on(wall: Wall) -> dict[int, Call]:
    """What stands on the north wall, waits for its speaker, or was not taken."""
    gone = {Standing.REPLACED, Standing.TAKEN_BACK}
    return {call.number: call for call in wall.session.state.on("north wall") if call.standing not in gone}


@pytest.mark.parametrize("out", ["hanger", "partner"])
@pytest.mark.parametrize("settled", [False, True])
@pytest.mark.parametrize(("first", "second"), list(itertools.permutations(CALLS, 2)))
def test_undo_brings_back_all_that_went_whoever_called_it(first: str, second: str, out: str, *, settled: bool) -> None:
    """What stood stands, what waited waits for whoever called it, what was in question is asked, and what wasn't taken
    isn't taken. The journal says the same.
    """
    wall = wall_after("north wall 12 feet by 8 feet", "yes")
    wall.types(CALLS[first], *(["yes"] if settled else []))
    wall.types(CALLS[second], who="partner")
    before = standing_on(wall)
    if "North wall is out" not in wall.types("take out the north wall", who=out):
        return  # asked first what is in question for whoever takes it out
    assert not standing_on(wall)
    wall.types("undo", who=out)
    now = standing_on(wall)
    assert now.keys() == before.keys()
    for number, call in before.items():
        assert now[number].standing is call.standing
        assert not call.waits or number in wall.session.state.open[call.by].calls
    assert wall.session.state.board == "north wall"
    wall.restart()
    assert standing_on(wall) == now
