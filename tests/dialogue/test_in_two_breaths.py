"""A place in one breath and its value in the next are one call, never another place's value."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Wall, wall_after

PLACES = {
    "top": ("width, top", "46 7/8"),
    "middle width": ("width, middle", "46 7/8"),
    "bottom": ("width, bottom", "46 7/8"),
    "width at the bottom": ("width, bottom", "46 7/8"),
    "height left": ("height, left", "96"),
    "right height": ("height, right", "96"),
    "left": ("height, left", "96"),
    "right": ("height, right", "96"),
}


@pytest.mark.parametrize("before", [(), ("top 46 3/4", "left 96 1/8")])
@pytest.mark.parametrize("place", PLACES)
def test_the_value_goes_where_the_breath_before_said(place: str, before: tuple[str, ...]) -> None:
    """Whatever was called before."""
    label, value = PLACES[place]
    wall = wall_after(*before)
    wall.types(place)
    assert f"{label}: {value}" in wall.types(value).lower()


def test_spoken_with_a_pause() -> None:
    """As a breath cuts it in two."""
    wall = Wall()
    wall.speaks("bottom")
    assert "Width, bottom: 46 7/8" in wall.speaks("forty six and seven eighths")


def test_a_value_with_its_own_place_goes_there() -> None:
    """Whatever was begun before."""
    wall = wall_after("bottom")
    assert "Width, top: 46 7/8" in wall.types("top 46 7/8")


def test_the_place_is_that_persons_alone() -> None:
    """The partner's bare value isn't the end of the hanger's call."""
    wall = wall_after("bottom")
    assert "Width, top: 46 7/8" in wall.types("46 7/8", who="partner")


def test_a_place_at_the_end_of_a_call_is_none() -> None:
    """The box lacks a part, and what comes is of it."""
    wall = wall_after("box 1 single gang center 30 from left")
    assert not wall.session.state.awaited


@pytest.mark.parametrize("line", ["left edge is a", "bottom again"])
def test_a_place_with_more_behind_it_is_asked_about(line: str) -> None:
    """The figure in the next breath may be of it."""
    assert "?" in wall_after(line).types("46")


@pytest.mark.parametrize("place", ["top", "bottom", "width at the bottom", "height left", "right height"])
@pytest.mark.parametrize("last", ["left 95 1/8", "m 46 1/2"])
def test_no_and_a_place_puts_that_place_in_question(place: str, last: str) -> None:
    """Not what was read back last, and the value that comes next is the place's."""
    label, value = PLACES[place]
    wall = wall_after("t 46 1/4", "b 46 1/4", "m 46 1/4", "l 95", "r 95", last)
    assert f"{label}: {value}, instead of" in wall.types(f"no {place}", value).lower()
    (kept,) = (one for one in wall.session.state.calls.values() if one.words == last)
    assert kept.waits or kept.in_force or label == "height, left"


def test_while_another_value_is_asked_about_a_place_alone_begins_nothing() -> None:
    """The next bare value answers what was asked."""
    wall = wall_after("t 46", "m 46", "b 46", "l 96", "r 69 1/4", "bottom")
    assert wall.asks
    wall.types("69 1/4")
    assert wall.value("width, bottom") == "46"


PIECES = (
    ("box 1", "single gang", "center 30 from left", "48 down"),
    ("box one", "single gang center 30 from left", "48 down"),
    ("box 1", "outlet", "48 down", "30 from left", "center"),
    ("box 1", "single gang center 30 from left 48 down"),
)


@pytest.mark.parametrize("pieces", PIECES)
def test_a_box_is_called_a_piece_at_a_time(pieces: tuple[str, ...]) -> None:
    """After its name alone what it lacks is asked for, and the same box comes of it."""
    wall = wall_after("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96", *pieces)
    hole = wall.view.hole
    assert hole is not None
    (box,) = hole.boxes
    assert (box.name, str(box.kind), box.x.value.text(), box.y.value.text()) == ("box 1", "single gang", "30", "48")
    assert not wall.session.state.not_taken("1")


def test_the_name_of_a_box_that_is_there_reads_it_back() -> None:
    """Nothing of it changes."""
    wall = wall_after("t 46 7/8", "box 1 single gang center 30 from left 48 down", "yes")
    assert "Box 1: single gang, center 30 from left, center 48 from top." in wall.types("box 1")
