"""How many places a figure is of is never guessed: where two hypotheses differ in it, or the ear is unsure of one."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from fieldvoice.records.facts import Fact, Key
from fieldvoice.records.meaning import Reading
from tests.dialogue.talk import Wall, unsure, wall_after

PLACES = {
    "": 1,
    "left": 1,
    "top": 1,
    "both sides": 2,
    "top and bottom": 2,
    "left and right": 2,
    "top middle and bottom": 3,
}
"""Where a figure is said to be, and at how many places."""
FIGURES = (("sixty", "sixty"), ("sixty", "sixteen"), ("ninety five and a quarter", "ninety five"))
SAME = {("both sides", "left and right"), ("left and right", "both sides")}
PAIRS = [
    (one, other)
    for one, other in permutations(PLACES, 2)
    if (one, other) not in SAME and (all((one, other)) or PLACES[one] != PLACES[other])
]
"""Two names of one place, and a place beside none, say nothing else."""
HEARD = [(f"{one} {a}".strip(), f"{other} {b}".strip()) for (one, other), (a, b) in product(PAIRS, FIGURES)]


def standing(wall: Wall) -> dict[Key, Fact]:
    """What counts, or is read back, with no question about it."""
    known = wall.session.state.known("1").values()
    return {call.key: call.fact for call in known if isinstance(call.fact, Fact)}


@pytest.mark.parametrize(("heard", "rival"), HEARD)
def test_two_that_differ_in_their_places_are_asked(heard: str, rival: str) -> None:
    """A yes picks neither, all of one again is that one with all its places, and after a no nothing stands."""
    for answer in (heard, rival, "no"):
        wall = Wall()
        told = wall.speaks(heard, rival)
        assert wall.asks, told
        assert not standing(wall)
        if len(heard) % 2:
            wall.restart()
        wall.types("yes")
        assert wall.asks
        assert not standing(wall), "a yes says which of no two"
        wall.types(answer)
        if answer == "sixty" and f"{heard} {rival}".count(answer) == 2:
            assert wall.asks, "the figure alone says neither"
            continue
        for _ in range(3):
            if wall.asks and answer != "no":
                wall.types("yes")
        meant = Wall()
        meant.types("" if answer == "no" else answer, "yes", "yes")
        assert standing(wall) == ({} if answer == "no" else standing(meant)), told


@pytest.mark.parametrize("figure", ["sixty", "ninety five and a quarter", "forty six and seven eighths"])
@pytest.mark.parametrize("before", [(), ("top 46",), ("top 46", "middle 46", "bottom 46")])
@pytest.mark.parametrize("ears", ["unsure", "lost"])
def test_a_figure_alone_that_the_ear_is_unsure_of_is_asked_with_that(
    figure: str, before: tuple[str, ...], ears: str
) -> None:
    """The words "both sides" may have been said with it, now or in what was not understood before it."""
    wall = wall_after(*before)
    if ears == "unsure":
        wall.rooms = unsure(wall.rooms)
        wall.restart()
    else:
        wall.speaks("banana sides")
    told = wall.speaks(figure)
    assert wall.asks, told
    assert "alone" in told or "where?" in told, told
    called = [call for call in wall.session.state.on("1") if call.prompted and isinstance(call.fact, Reading)]
    assert all(call.waits for call in called)


@pytest.mark.parametrize("places", [each for each in PLACES if each])
def test_where_a_place_was_heard_nothing_is_said_of_it(places: str) -> None:
    """Nor where the ear is sure, or asked for that place."""
    wall = Wall(its_rooms=unsure(Wall().rooms))
    assert "alone" not in wall.speaks(f"{places} sixty")
    asked = Wall()
    asked.types("ask me one by one")
    asked.rooms = unsure(asked.rooms)
    asked.restart()
    assert "alone" not in asked.speaks("forty six and a half")
    sure = Wall()
    assert "alone" not in sure.speaks("forty six and a half")
    assert not sure.asks


TWO_PAIRS = {
    "42, 42, 90, 90": ("42", "42", "90", "90"),
    "41 7/8, 42 1/8, 90 1/4, 90": ("41 7/8", "42 1/8", "90 1/4", "90"),
    "96, 96 1/8, 48, 48": ("96", "96 1/8", "48", "48"),
    "~forty two then forty two then ninety then ninety": ("42", "42", "90", "90"),
    "42 42 90 90": ("42", "42", "90", "90"),
    "41 7/8 42 1/8 90 1/4 90": ("41 7/8", "42 1/8", "90 1/4", "90"),
    '42-1/8 42 90.5 90"': ("42 1/8", "42", "90 1/2", "90"),
}


@pytest.mark.parametrize("said", TWO_PAIRS)
@pytest.mark.parametrize("before", [(), ("left wall right board",), ("kitchen", "5/8 board")])
def test_two_pairs_of_figures_are_two_widths_and_two_heights(said: str, before: tuple[str, ...]) -> None:
    """No middle lies so far from the ends."""
    wall = wall_after(*before)
    wall.says(said)
    places = ("width, top", "width, bottom", "height, left", "height, right")
    assert tuple(wall.value(place) for place in places) == TWO_PAIRS[said], wall.said


@pytest.mark.parametrize("said", ["46 7/8, 46 3/4, 46 1/4, 95 1/2", "42, 42, 42, 42", "42, 45, 90, 90"])
def test_four_figures_that_are_no_pairs_go_to_the_places_in_their_order(said: str) -> None:
    """The middle is one of them."""
    wall = wall_after(said)
    assert wall.value("width, middle") == said.split(", ")[1], wall.said


@pytest.mark.parametrize(
    "said", ["42 90", "42 42 90", "42 7 8 90", "42 42 90 90 12", "42 1 90 1/2 8", "~forty two forty two ninety ninety"]
)
def test_figures_with_nothing_between_that_may_be_parts_of_each_other_are_asked_about(said: str) -> None:
    """Four of which each is a measure are the two widths and the two heights; of any others none is taken."""
    wall = Wall()
    wall.says(said)
    assert not wall.readings, wall.said
    assert wall.asks or wall.refuses, wall.said


@pytest.mark.parametrize("way", ["", " through", " up", " up and down"])
def test_a_width_all_the_way_is_that_of_every_place(way: str) -> None:
    """And a height, each told by its place; without either it is asked."""
    wall = wall_after(f"width 42 all the way{way}")
    assert [wall.value(f"width, {place}") for place in ("top", "middle", "bottom")] == ["42"] * 3
    tall = wall_after("height 90 all the way")
    assert [tall.value(f"height, {place}") for place in ("left", "middle", "right")] == ["90"] * 3
    assert not wall_after("42 all the way").readings
