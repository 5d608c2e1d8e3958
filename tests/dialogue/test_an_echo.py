"""A figure that is said again, or echoed by the partner, is the reading that it was, and no other place's."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

FIGURES = {
    "top": ("46 7/8", "forty six and seven eighths"),
    "middle width": ("46 3/4", "forty six and three quarters"),
    "bottom": ("46 5/8", "forty six and five eighths"),
    "left": ("95 1/2", "ninety five and a half"),
    "right": ("95 7/16", "ninety five and seven sixteenths"),
}


def places(wall: Wall) -> list[tuple[str, str]]:
    """The readings of the board at hand."""
    hole = wall.view.hole
    assert hole is not None
    return sorted((f"{one.dimension} {one.at}", one.value.text()) for one in (*hole.widths, *hole.heights))


@pytest.mark.parametrize("first", FIGURES)
@pytest.mark.parametrize(("who", "spoken"), [*product(("hanger", "partner"), (False, True))])
def test_right_behind_its_reading(first: str, who: str, spoken: bool) -> None:
    """Nothing is added to the board, and it is told as the same again; another figure is another place's."""
    figure, words = FIGURES[first]
    call = Wall.speaks if spoken else Wall.types
    wall = Wall()
    call(wall, f"{first} {words if spoken else figure}")
    before = places(wall)
    told = call(wall, words if spoken else figure, who=who)
    assert told.endswith("the same again.")
    assert places(wall) == before
    assert len(places(wall_after(f"{first} {figure}", f"{figure[:2]} 1/8"))) == 2


@pytest.mark.parametrize(("first", "second"), [each for each in product(FIGURES, FIGURES) if each[0] != each[1]])
def test_the_partner_echoes_late(first: str, second: str) -> None:
    """What the other one called before its last is echoed as well; one's own older figure is of the next place."""
    lines = tuple(f"{place} {FIGURES[place][0]}" for place in (first, second))
    wall = wall_after(*lines)
    before = places(wall)
    assert "the same again" in wall.types(FIGURES[first][0], who="partner")
    assert places(wall) == before
    assert "the same again" not in wall_after(*lines).types(FIGURES[first][0])


@pytest.mark.parametrize("figure", ["46", "46 7/8"])
def test_both_places_of_one_figure_are_echoed(figure: str) -> None:
    """One figure for two places is of both once more."""
    for both in ("top and bottom", "both heights"):
        wall = wall_after(f"{both} {figure}")
        before = places(wall)
        for who in ("hanger", "partner"):
            assert wall.types(figure, who=who).count("the same again") == len(before) == 2
            assert places(wall) == before


def test_where_the_next_figure_is_asked_for_it_counts() -> None:
    """A place that is asked for has the figure, also where it is that of the place before."""
    assert len(places(wall_after("go one by one", "46", "46", "46", "95", "95"))) == len(FIGURES)
