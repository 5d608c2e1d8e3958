"""Word of danger beside a place, a thing or a part: the danger counts at once, and what it stands beside isn't lost."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import Tell
from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import Wall, wall_after

DANGER = ("box 1 is live", "power is on", "breaker is back on", "box 1 isn't dead", "all boxes are live")
BEGUN = {
    "top": ("47", {"width, top": "47", "width, bottom": "46"}),
    "no top": ("47", {"width, top": "47", "width, bottom": "46"}),
    "bottom": ("47", {"width, top": "46", "width, bottom": "47"}),
    "height left": ("95 1/4", {"height, left": "95 1/4", "width, top": "46"}),
    "box 3": (
        "single gang center 20 from left 40 up",
        {"box 3": "single gang, center 20 from left, center 40 from bottom"},
    ),
}
"""What is begun, what comes in the next breath, and what stands then."""
A_BOX = "box 1 single gang center 30 from left 48 down"


def wall_with_a_dead_box() -> Wall:
    """A wall whose box counts as dead."""
    wall = wall_after("top 46", "bottom 46", A_BOX, "yes", "box 1 dead and tested", "yes")
    assert {word.state for word in wall.session.state.circuits("1").values()} == {Circuit.DEAD}
    return wall


def revoked(wall: Wall) -> bool:
    """Whether it was said first that no box is dead, and none is."""
    words = wall.session.state.circuits("1").values()
    return wall.session.state.said[0].tell is Tell.NOT_DEAD and Circuit.DEAD not in {word.state for word in words}


@pytest.mark.parametrize(("danger", "begun"), [*product(DANGER, BEGUN)])
@pytest.mark.parametrize("first", ["danger", "begun"])
@pytest.mark.parametrize("again", ["", "restart"])
def test_what_is_begun_beside_danger_is_awaited(danger: str, begun: str, first: str, again: str) -> None:
    """The next breath completes it, and goes nowhere else."""
    wall = wall_with_a_dead_box()
    wall.types(f"{danger}, {begun}" if first == "danger" else f"{begun}, {danger}")
    assert revoked(wall)
    if again:
        wall.restart()
    then, stands = BEGUN[begun]
    told = wall.types(then)
    wall.types("yes")
    assert {label: wall.value(label) for label in stands} == stands, told
    assert wall.value("width, middle") is None


@pytest.mark.parametrize("danger", DANGER)
def test_a_part_beside_danger_answers(danger: str) -> None:
    """The question that was open is answered, or is put again."""
    wall = wall_with_a_dead_box()
    wall.types("box 2 single gang 20 from left 15 up")
    assert wall.asks
    wall.types(f"{danger}, center")
    assert revoked(wall)
    assert wall.value("box 2") == "single gang, center 20 from left, center 15 from bottom"


@pytest.mark.parametrize("heard", ["middle forty live and a half", "box two is hot forty"])
def test_what_holds_a_figure_beside_danger_is_no_part(heard: str) -> None:
    """The word may have been heard for a figure's: nothing is taken for a place alone."""
    wall = wall_with_a_dead_box()
    wall.speaks(heard)
    assert revoked(wall)
    places = ("width, top", "width, middle", "width, bottom", "height, left")
    assert [wall.value(place) for place in places] == ["46", None, "46", None]


ORDERS = {"undo": "46", "undo last": "46", "take out the top": None}
"""An order, and the width at the top once it is carried out, where it was 47 just now."""


@pytest.mark.parametrize("danger", [*DANGER, "it's live", "careful it's hot"])
@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("first", ["danger", "order"])
def test_an_order_beside_danger_is_carried_out(danger: str, order: str, first: str) -> None:
    """What was ordered out doesn't stand in silence."""
    wall = wall_with_a_dead_box()
    wall.types("top 47", "yes")
    wall.types(f"{danger}, {order}" if first == "danger" else f"{order}, {danger}")
    assert revoked(wall)
    assert wall.value("width, top") == ORDERS[order]


@pytest.mark.parametrize("danger", DANGER)
@pytest.mark.parametrize("said", ["bottom is an eighth less than the top", "add a quarter to the top"])
def test_what_is_told_by_another_beside_danger_is_not_lost(danger: str, said: str) -> None:
    """It holds a figure, so it is said again: until then its words stand as not taken."""
    wall = wall_with_a_dead_box()
    wall.types(f"{said}, {danger}")
    assert revoked(wall)
    assert wall.asks or wall.session.state.not_taken("1")


@pytest.mark.parametrize("said", ["understood", "next", "step 1 done"])
def test_nothing_is_done_by_word_of_danger(said: str) -> None:
    """A step is ticked, and a caution read, by words of their own."""
    wall = wall_with_a_dead_box()
    wall.types("left 95", "right 95", "done")
    before = wall.session.state.ticks
    wall.types(f"{said}, power is on")
    assert revoked(wall)
    assert (wall.session.state.ticks, wall.session.state.read) == (before, {})
