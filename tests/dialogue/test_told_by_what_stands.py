"""Readings that change their places and a wall without its name: worked out from what stands, and asked first."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

SWAPS = ("swap {} and {}", "swap the {1} and the {0}", "I had {} and {} backwards", "flip {} and {}")
PAIRS = {"width": ("top", "bottom", "46", "46 1/2"), "height": ("left", "right", "95 1/4", "96")}


def values(wall: Wall) -> dict[str, str]:
    """The readings by their labels."""
    return {told.label: told.value for told in wall.readings}


@pytest.mark.parametrize(("dimension", "way"), list(product(PAIRS, SWAPS)))
def test_two_readings_change_their_places(dimension: str, way: str) -> None:
    """Once that is said yes to; a no leaves them, and an undo takes both back."""
    one, other, first, second = PAIRS[dimension]
    lines = (f"{one} {first}", f"{other} {second}")
    before = values(wall_after(*lines))
    after = {f"{dimension}, {one}": second, f"{dimension}, {other}": first}
    for answer, want in (("yes", after), ("no", before)):
        wall = wall_after(*lines)
        wall.types(way.format(one, other))
        assert wall.asks
        assert values(wall) == before
        wall.types(answer)
        assert values(wall) == want
    undone = wall_after(*lines)
    undone.types(way.format(one, other), "yes", "undo")
    assert values(undone) == before


@pytest.mark.parametrize(
    "lines",
    [(), ("left 95 1/4",), ("left 96", "right 96"), ("top 46", "bottom 46 1/2"), ("left 95", "middle height 96")],
)
def test_what_is_not_there_twice_is_not_swapped(lines: tuple[str, ...]) -> None:
    """Nor what is the same on both sides; a bare figure belongs then where it would have without."""
    wall = wall_after(*lines)
    before = values(wall)
    told = wall.types("swap left and right")
    assert told == "I understood “swap left and right”, but can't use it here. Not taken."
    wall.types("yes")
    assert values(wall) == before
    plain = wall_after(*lines)
    plain.types("97")
    wall.types("97")
    assert values(wall) == values(plain)


WALLS = {
    "the wall is 146": "146 by 96 in",
    "that wall is 12 foot 2": "146 by 96 in",
    "this wall is 12 foot 2 long": "146 by 96 in",
    "the wall is 13": "156 by 96 in",  # feet
    "that wall is 12 by 9": "144 by 108 in",
    "the wall is 97": "144 by 97 in",  # nearer to how high it is
    "that wall is 8 foot 1": "144 by 97 in",
}


@pytest.mark.parametrize("line", WALLS)
def test_a_wall_without_its_name_is_the_one_at_hand(line: str) -> None:
    """Asked with its name; of who stands at none, or at a ceiling, it is asked which wall."""
    for answer, want in (("yes", WALLS[line]), ("no", "144 by 96 in")):
        wall = wall_after("south wall 120 by 96", "north wall 144 by 96")
        assert wall.types(line) == f"North wall: {WALLS[line]}: is that right?"
        wall.types(answer)
        assert values(wall) == {"north wall": want}
    for lines in ((), ("top 46",), ("kitchen ceiling 12 by 14",)):
        nowhere = wall_after(*lines)
        before = values(nowhere)
        assert nowhere.types(line).startswith("Which wall is that?")
        nowhere.types("yes")
        assert values(nowhere) == before


CEILINGS = ("12 by 14", "14 by 12", "10 by 16")
WAYS = ("joists {}", "the joists run {}", "joists are running {}", "trusses go {}")


@pytest.mark.parametrize(("sides", "way"), list(product(CEILINGS, WAYS)))
def test_which_way_joists_run_tells_where_they_are_counted_from(sides: str, way: str) -> None:
    """Across the width from the near end, across the length from the left, the long way along the longer side."""
    width, height = (int(side) for side in sides.split(" by "))
    along = {"across the width": True, "across the length": False, "the long way": width > height}
    along["the short way"] = not along["the long way"]
    for where, along_width in along.items():
        want = f"16 in on center from the {'near end' if along_width else 'left'}"
        wall = wall_after(f"kitchen ceiling {sides}", "joists 24 on center")
        told = wall.types(f"{way.format(where)}")
        assert told == f"Spacing: {want.replace('16', '24')}: is that right?", where
        spaced = wall_after(f"kitchen ceiling {sides}")
        assert spaced.types(f"joists 16 on center, run {where}") == f"Spacing: {want}: is that right?"
        assert "spacing" not in spaced.settings
        spaced.types("yes")
        assert spaced.settings["spacing"] == want


@pytest.mark.parametrize(
    "lines",
    [
        (),
        ("kitchen ceiling 12 by 14",),
        ("north wall 12 by 8", "studs 16 on center"),
        ("kitchen ceiling 12 by 12", "joists 16 on center"),
    ],
)
def test_of_no_ceiling_it_is_asked_where_joists_are_counted_from(lines: tuple[str, ...]) -> None:
    """Nor of a square one which is its long way, nor where nobody said how far they are apart."""
    wall = wall_after(*lines)
    before = wall.settings
    assert wall.types("joists run the long way").startswith("Where are they counted from?")
    wall.types("yes")
    assert wall.settings == before


@pytest.mark.parametrize(
    ("before", "words", "there"),
    [
        ((), "peak 61 1/2 in the middle", "height, middle"),
        ((), "a 61 1/2 peak at the center", "height, middle"),
        ((), "peak 61 1/2 at 22 from the left", "height, at 22 in"),
        (("top 44", "bottom 43 3/4"), "peak 61 1/2 at 20 from the right", "height, at 24 in"),
        (("top 44 1/4",), "peak at 20 from the right, 61 1/2", "height, at 24 1/4 in"),
    ],
)
def test_the_peak_of_a_board_has_its_place_by_its_top(before: tuple[str, ...], words: str, there: str) -> None:
    """From the right by the width at the top, which tells it: where that changes it is asked about again."""
    wall = Wall()
    wall.types(*before, words)
    assert wall.asks
    wall.types("yes")
    assert wall.value(there) == "61 1/2"
    if before:
        told = " ".join(wall.types(line) for line in ("change top to 44 3/8", "yes"))
        assert "took its figure from width, top" in told


@pytest.mark.parametrize("before", [(), ("bottom 44",), ("top 18",), ("top 20",)])
def test_without_a_top_width_that_reaches_so_far_no_place_is_told_from_the_right(before: tuple[str, ...]) -> None:
    """It is asked for, and nothing is measured."""
    wall = Wall()
    wall.types(*before)
    assert "its top width comes first" in wall.types("peak 61 1/2 at 20 from the right")
    assert not any("height" in one.label for one in wall.readings)
