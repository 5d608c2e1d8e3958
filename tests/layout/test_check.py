"""The check itself: each slip that a planner could make is found."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from tests.layout.check import problems
from tests.layout.test_plans import DEN, JOB, document, wall


def _piece(plan: dict[str, Any], surface: int, piece: int, **values: object) -> None:
    plan["surfaces"][surface]["pieces"][piece].update(values)


def _pattern(plan: dict[str, Any], **values: object) -> None:
    plan["patterns"][0].update(values)


def _edges(plan: dict[str, Any], *, factory: bool) -> None:
    for surface in plan["surfaces"]:
        for piece in surface["pieces"]:
            for edge in piece["edges"].values():
                edge.update(factory=factory)


SLIPS: dict[str, Callable[[dict[str, Any]], object]] = {
    "a board moved": lambda plan: _piece(plan, 0, 0, x="1"),
    "a board too narrow": lambda plan: _piece(plan, 0, 0, width="143"),
    "a board over another": lambda plan: _piece(plan, 0, 1, y="1"),
    "a board on the floor": lambda plan: _piece(plan, 0, 1, y="0"),
    "a board forgotten": lambda plan: plan["surfaces"][0]["pieces"].pop(),
    "a board twice": lambda plan: plan["surfaces"][0]["pieces"].append(plan["surfaces"][0]["pieces"][0]),
    "a wall forgotten": lambda plan: plan["surfaces"].pop(),
    "a sheet forgotten": lambda plan: plan["patterns"].pop(),
    "a sheet twice": lambda plan: plan["patterns"].append(plan["patterns"][0]),
    "a sheet that isn't to be had": lambda plan: _pattern(plan, sheet="48 x 168"),
    "a piece cut too short": lambda plan: plan["patterns"][0]["places"][0].update(width="1"),
    "a piece beside its sheet": lambda plan: plan["patterns"][0]["places"][0].update(x="1"),
    "what is left forgotten": lambda plan: [one.update(left_over=[]) for one in plan["patterns"]],
    "a cut edge told as a factory edge": lambda plan: _edges(plan, factory=True),
    "a factory edge told as a cut one": lambda plan: _edges(plan, factory=False),
    "a count too low": lambda plan: plan["sheets"][-1].update(count=plan["sheets"][-1]["count"] - 1),
    "feet too few": lambda plan: plan.update(board_feet="100"),
    "a bound above the plan": lambda plan: plan.update(bound_feet="110"),
    "a gap made small": lambda plan: plan.update(bound_feet="100", proved=False),
    "proved in spite of a gap": lambda plan: plan.update(bound_feet="100", gap=0.0567),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_found(slip: str) -> None:
    """A sound plan spoiled in one place."""
    plan = copy.deepcopy(document(DEN))
    SLIPS[slip](plan)
    assert problems(DEN, plan)


MOVED = [
    ("off the studs", ("100", "80"), ("48", "132")),
    ("over each other", ("144", "36"), ("144", "36")),
    ("too near each other", ("144", "36"), ("128", "52")),
    ("in line with a jamb", ("144", "36"), ("64", "116")),
    ("short", ("16", "164"), ("96", "84")),
]


@pytest.mark.parametrize(("what", "upper", "lower"), MOVED)
def test_a_joint_in_the_wrong_place_is_found(what: str, upper: tuple[str, str], lower: tuple[str, str]) -> None:
    """The joints of a long wall with a window moved by hand; the sheets don't matter here."""
    text = JOB + wall("east", "180", "96 1/2", "window 60 36 48 48")
    plan = copy.deepcopy(document(text))
    pieces = plan["surfaces"][0]["pieces"]
    for piece, x, width in zip(pieces, ("0", upper[0], "0", lower[0]), (*upper, *lower), strict=True):
        piece.update(x=x, width=width)
    assert any("joint" in problem or "short" in problem for problem in problems(text, plan)), what


def test_a_joint_over_a_joint_of_the_layer_below_is_found() -> None:
    """Both layers moved to have their long joint at one height."""
    text = JOB + wall("north", "144", more="layers = 2")
    plan = copy.deepcopy(document(text))
    pieces = plan["surfaces"][0]["pieces"]
    face = [(piece["y"], piece["height"]) for piece in pieces if piece["layer"] == 2]
    base = [piece for piece in pieces if piece["layer"] == 1]
    for piece, (y, height) in zip(base, face, strict=False):
        piece.update(y=y, height=height)
    assert any("two layers" in problem for problem in problems(text, plan))


def test_a_needless_joint_is_found() -> None:
    """Two boards where a twelve-footer reaches."""
    text = JOB + wall("north", "144")
    plan = copy.deepcopy(document(text))
    pieces = plan["surfaces"][0]["pieces"]
    pieces[0].update(width="64")
    pieces.append({**pieces[0], "name": "3", "x": "64", "width": "80"})
    assert any("reaches" in problem for problem in problems(text, plan))


def test_a_board_that_hangs_too_high_beside_a_door_is_found() -> None:
    """A door that reaches the floor is no excuse for what stands beside it."""
    text = JOB + wall("south", "144", "96 1/2", "door 54 0 36 82")
    plan = copy.deepcopy(document(text))
    beside = next(piece for piece in plan["surfaces"][0]["pieces"] if (piece["x"], piece["y"]) == ("0", "1/2"))
    beside.update(y="2", height="46 1/2")
    assert any("floor" in problem for problem in problems(text, plan))
