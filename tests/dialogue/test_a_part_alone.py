"""A part said alone, or behind a no, is of what was read back just before it; of nothing else."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import wall_after

BOX = "outlet center 14 from left 16 up"
WINDOW = "window 10 from left 36 up 30 by 40"
NOES = ("no, {}", "no / {}", "nope, {}")
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


WINDOWS = {
    "make the window 20 wide": SIDES["20 wide"],
    "change the window to 20 wide": SIDES["20 wide"],
    "the window is 20 wide not 30": SIDES["20 wide"],
    "the window is really 38 high": SIDES["38 high"],
    "set the window to 20 by 40": SIDES["20 wide"],
    "move the window to 12 from left": "window, 30 wide by 40 high, near side 12 from left, near side 36 from bottom",
    "the window is 32 off the floor": "window, 30 wide by 40 high, near side 10 from left, near side 32 from bottom",
    "sill is 32 up": "window, 30 wide by 40 high, near side 10 from left, near side 32 from bottom",
}
"""What changes the only window, by its kind and what is otherwise."""


@pytest.mark.parametrize("line", WINDOWS)
@pytest.mark.parametrize("between", [(), ("yes",), ("top 46 7/8", "yes")])
def test_the_only_window_is_changed_by_what_is_otherwise(line: str, between: tuple[str, ...]) -> None:
    """The rest of it stays as it was; of two it is asked which, and neither is changed."""
    wall = wall_after(WINDOW, *between, line)
    if wall.asks:
        wall.types("yes")  # whether it is this one that is meant
    assert wall.value("window 1") == WINDOWS[line]
    assert wall.line("window 2") is None
    two = wall_after(WINDOW, "window 60 from left 36 up 30 by 40", *between, line)
    before = wall_after(WINDOW, "window 60 from left 36 up 30 by 40", *between)
    assert [two.value(f"window {each}") for each in (1, 2)] == [before.value(f"window {each}") for each in (1, 2)]
    assert two.asks or two.refuses


@pytest.mark.parametrize("line", ["wrong board", "that's the wrong wall", "that was for board two", "wrong sheet"])
def test_a_wrong_board_changes_no_edge(line: str) -> None:
    """It says where the speaker is, and not what stands at an edge."""
    wall = wall_after("left wall", line)
    assert wall.settings["left edge"] == "wall"
    assert "Nothing was moved" in " ".join(say.text for say in wall.said)


@pytest.mark.parametrize("last", ["top 46 7/8", "left 95 1/4"])
def test_a_middle_that_is_the_same_is_of_what_was_called_last(last: str) -> None:
    """A width behind a width, a height behind a height."""
    wall = wall_after(last, "middle same")
    kind = "width" if last.startswith("top") else "height"
    assert wall.value(f"{kind}, middle") == last.split(maxsplit=1)[1]


RECTANGLES = ("notch", "duct", "window", "door", "panel")
BEGUN = ("{}", "{} 12 from left", "{} 12 from left 14 down")
REST = {"{}": "12 from left, 14 down", "{} 12 from left": "14 down"}
SIZES = {"8 by 12": ("8", "12"), "4 by 8": ("4", "8"), "14 by 20": ("14", "20"), "no, 6 by 10": ("6", "10")}


@pytest.mark.parametrize("between", [None, "bottom 46 3/4", "type x"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("begun", BEGUN)
@pytest.mark.parametrize("kind", RECTANGLES)
def test_a_size_behind_a_thing_that_lacks_one_is_the_thing_s(
    kind: str, begun: str, size: str, between: str | None
) -> None:
    """Whichever part is asked for just then, or where the thing was put off: it is no sheet's, and no reading."""
    if between is not None and size.startswith("no"):
        return  # a no is about what was read back between
    wall = wall_after("top 46 7/8", begun.format(kind))
    if between is not None:
        assert "waits for its missing part" in wall.types(between), wall.said
    wall.types(size)
    assert "sheet" not in wall.settings
    for more in (REST.get(begun, ""), "center"):
        if more and wall.asks:
            wall.types(more)
    (label,) = [told.label for told in wall.readings if told.label not in {"width, top", "width, bottom"}]
    wide, high = SIZES[size]
    assert f"{wide} wide by {high} high" in (wall.value(label) or ""), (label, wall.said)
    assert "sheet" not in wall.settings


@pytest.mark.parametrize("size", ["8 by 12", "4 by 8", "32 by 80"])
@pytest.mark.parametrize("thing", ["outlet", "single gang 12 from left", "pipe 2 inch 12 from left"])
def test_two_sides_are_no_part_of_what_has_none(thing: str, size: str) -> None:
    """They are kept as not taken, and the part is asked for again."""
    wall = wall_after("top 46 7/8", thing)
    told = wall.types(size)
    assert "Not taken" in told
    assert "Only one part is missing" in told
    assert "sheet" not in wall.settings
    assert "Sheet: 48 by 96" in wall.types("sheet 4 by 8")
