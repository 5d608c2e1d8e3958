"""What a distance runs to, answered by the edge of the box; and what is begun, put right by its name."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from fieldvoice.records.meaning import Box, Opening, Point
from tests.dialogue.talk import Wall, wall_after

BOARD = ("t 46 7/8", "b 46 7/8", "l 96", "r 96", "yes")
OTHER = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
WORDS = {"top": "down", "bottom": "up"}


def _thing(wall: Wall) -> Box | Opening:
    (one,) = (one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Box | Opening))
    return one


def _points(thing: Box | Opening) -> tuple[Point, Point]:
    return (thing.x.point, thing.y.point) if isinstance(thing, Box) else (thing.xs[0].point, thing.ys[0].point)


def _point(start: str, said: str) -> Point:
    return Point.NEAR if said == start else Point.FAR


@pytest.mark.parametrize("edge", ["{} edge", "{}", "the {} edge", "~{} edge"])
@pytest.mark.parametrize("thing", ["box 1 single gang", "outlet", "octagon", "3 inch pipe"])
@pytest.mark.parametrize(("across", "down"), [*product(("left", "right"), ("top", "bottom"))])
def test_the_edge_of_it_answers(thing: str, across: str, down: str, edge: str) -> None:
    """On the side that the distance is from it is the near one; each distance has its own."""
    for first, second in product((across, OTHER[across]), (down, OTHER[down])):
        wall = wall_after(*BOARD, f"{thing} 21 from {across} 24 {WORDS[down]}")
        if wall.said[-1].text.startswith("What kind"):
            wall.types("single gang")
        assert "center or edge?" in wall.said[-1].text
        assert "24: center or edge?" in wall.says(edge.format(first).replace("the ~", "~"))
        wall.says(edge.format(second))
        for _ in range(2 if edge.startswith("~") else 0):  # what was heard with doubt, then what is odd of it
            if wall.asks:
                wall.types("yes")
        assert not wall.asks, wall.said
        assert _points(_thing(wall)) == (_point(across, first), _point(down, second))


@pytest.mark.parametrize("order", [("bottom edge", "left edge"), ("left edge", "bottom edge")])
def test_in_either_order(order: tuple[str, str]) -> None:
    """The edge says which distance it is of."""
    wall = wall_after(*BOARD, "box 1 single gang 20 from left 30 up", *order)
    assert _points(_thing(wall)) == (Point.NEAR, Point.NEAR)


@pytest.mark.parametrize("edge", ["top edge", "bottom edge", "top"])
def test_an_edge_of_the_other_way_answers_nothing(edge: str) -> None:
    """What that distance runs to was said already."""
    wall = wall_after(*BOARD, "box 1 single gang 20 from left", "center 30 up", edge)
    assert wall.asks or "center 20 from left" in wall.readings[-1].value


KINDS = ("single gang", "double gang", "octagon", "square", "round")
CALLS = ("box 1 is a {}", "box 1 {}", "box 1 is {}", "{}", "no box 1 is a {}", "~box 1 is a {}")


@pytest.mark.parametrize("again", CALLS)
@pytest.mark.parametrize(("first", "last"), [*permutations(KINDS, 2)])
def test_the_last_word_on_the_kind_of_what_is_begun_counts(first: str, last: str, again: str) -> None:
    """By its name as without: the first was kept, and the last told to have come before it."""
    wall = wall_after(*BOARD, f"box 1 {first} center 20 from left")
    assert wall.says(again.format(last).replace("1", "one") if again.startswith("~") else again.format(last))
    told = wall.types("48 down")
    told += wall.types("yes") if wall.asks else ""
    assert "Not taken" not in told
    assert [one.value for one in wall.readings if one.label == "box 1"] == [
        f"{last}, center 20 from left, center 48 from top"
    ]


@pytest.mark.parametrize("figure", ["21", "18 1/2", "30"])
@pytest.mark.parametrize("call", ["box 1 is {} from left", "box 1 {} from left"])
def test_a_distance_of_what_is_begun_is_put_right_by_its_name(call: str, figure: str) -> None:
    """Its other distance is still asked for, and the point that was said holds."""
    wall = wall_after(*BOARD, "box 1 single gang center 20 from left", call.format(figure), "48 down")
    assert wall.readings[-1].value == f"single gang, center {figure} from left, center 48 from top"


@pytest.mark.parametrize(
    "again", ["box 1 double gang center 12 from right 40 down", "box 1 octagon center 9 from left 9 up"]
)
def test_another_whole_box_of_the_name_is_asked_about(again: str) -> None:
    """Behind what is begun it waits, and was not called before it."""
    wall = wall_after(*BOARD, "box 1 single gang center 20 from left", again)
    told = wall.types("48 down")
    assert "was called behind it" not in told
    assert "does this replace it? If not, call it box 2." in told
