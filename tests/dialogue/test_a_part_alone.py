"""A part said alone, or behind a no, is of what was read back just before it; of nothing else."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import wall_after

BOX = "outlet center 14 from left 16 up"
WINDOW = "window 10 from left 36 up 30 by 40"
NOES = ("no, {}", "no / {}", "wrong, {}")
"""A no with the part, in one breath or two."""

EDGES = {
    ("left wall", "board"): ("left edge", "board"),
    ("right board", "wall"): ("right edge", "wall"),
    ("floor below", "board"): ("bottom edge", "board"),
}
SIDES = {
    "20 wide": "window, 20 wide by 40 high, near side 10 from left, near side 36 from bottom",
    "38 high": "window, 30 wide by 38 high, near side 10 from left, near side 36 from bottom",
    "38 tall": "window, 30 wide by 38 high, near side 10 from left, near side 36 from bottom",
}


@pytest.mark.parametrize("no", NOES)
@pytest.mark.parametrize("case", EDGES)
def test_what_stands_at_an_edge_is_put_right_by_it_alone(case: tuple[str, str], no: str) -> None:
    """The edge is the one that was said."""
    called, part = case
    label, right = EDGES[case]
    wall = wall_after(called, *no.format(part).split(" / "))
    assert wall.settings[label] == right
    assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("no", NOES)
@pytest.mark.parametrize("part", SIDES)
def test_a_side_behind_a_window_is_the_windows(part: str, no: str) -> None:
    """And no reading of the board."""
    wall = wall_after("top 46 7/8", WINDOW, *no.format(part).split(" / "))
    assert wall.value("window 1") == SIDES[part]
    assert [told.label for told in wall.readings] == ["width, top", "window 1"]


@pytest.mark.parametrize(
    ("part", "value"),
    [
        ("two gang", "double gang, center 14 from left, center 16 from bottom"),
        ("single gang", "single gang, center 14 from left, center 16 from bottom"),
        ("near edge", "single gang, near side 14 from left, near side 16 from bottom"),
        ("center", "single gang, center 14 from left, center 16 from bottom"),
    ],
)
@pytest.mark.parametrize("spoken", [False, True])
def test_a_kind_or_a_point_right_behind_a_box_is_its_own(part: str, value: str, *, spoken: bool) -> None:
    """Said as it is already, it is read back once more; by whoever called the box, before anything else."""
    way = "~" if spoken else ""
    wall = wall_after(BOX, f"{way}{part}")
    assert wall.value("box 1") == value
    assert not wall.session.state.not_taken("1")
    for between in (("top 46 7/8",), ("yes",), ("box 2 single gang center 30 from left 16 up", "top 46 7/8")):
        later = wall_after(BOX, *between, f"{way}{part}")
        assert later.value("box 1") == "single gang, center 14 from left, center 16 from bottom"
        assert later.session.state.not_taken("1")
    other = wall_after(BOX, f"P:{way}{part}")
    assert other.value("box 1") == "single gang, center 14 from left, center 16 from bottom"
