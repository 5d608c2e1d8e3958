"""A part of what was called is called anew, and the rest of it stays: nothing that was said is dropped in silence."""

from __future__ import annotations

import pytest

from fieldvoice.records.ledger import Standing
from fieldvoice.records.meaning import Box
from tests.dialogue.talk import Wall, wall_after

BOARD = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
A_BOX = "box 1 single gang center 30 from left 48 down"
PARTS = {
    "32 from left": ("single gang", "32", "left", "48", "top"),
    "12 from right": ("single gang", "12", "right", "48", "top"),
    "50 down": ("single gang", "30", "left", "50", "top"),
    "40 up": ("single gang", "30", "left", "40", "bottom"),
    "double gang": ("double gang", "30", "left", "48", "top"),
}


def at(*lines: str) -> Wall:
    """A wall where that was typed after the board's readings."""
    return wall_after(*BOARD, *lines)


def box_of(wall: Wall) -> tuple[str, str, str, str, str]:
    """The one box, as it stands in the ledger."""
    facts = (one.fact for one in wall.session.state.known("1", doubtful=True).values())
    (box,) = (fact for fact in facts if isinstance(fact, Box))
    return str(box.kind), box.x.value.text(), str(box.x.start), box.y.value.text(), str(box.y.start)


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("way", ["no {}", "no, {}", "change box 1 to {}", "box 1 should be {}", "box 1 is {}"])
@pytest.mark.parametrize("between", [(), ("yes",)])
def test_a_part_of_a_box_is_called_anew(part: str, way: str, between: tuple[str, ...]) -> None:
    """However it is said; a new part under the name of a box that is there is asked about, a correction isn't."""
    if way.startswith("no") and between:
        return  # what was said yes to isn't objected to by a part alone
    wall = at(A_BOX, *between)
    said = wall.types(way.format(part))
    if "does this replace it?" in said:
        assert way == "box 1 is {}"
        wall.types("yes")
    assert box_of(wall) == PARTS[part]
    wall.types("done")
    assert not wall.view.draft


def test_from_the_other_side_is_a_part_as_well() -> None:
    """The figure stays."""
    wall = at(A_BOX)
    wall.types("no, from the right")
    assert box_of(wall) == ("single gang", "30", "right", "48", "top")


@pytest.mark.parametrize(
    ("was", "part", "now"), [("46 1/8", "seven eighths", "46 7/8"), ("46 3/4", "a quarter", "46 1/4")]
)
def test_the_fraction_alone_mends_a_reading(was: str, part: str, now: str) -> None:
    """No, seven eighths: of the same inches."""
    wall = at(f"t {was}")
    assert f"Width, top: {now}, instead of {was}" in wall.types(f"no {part}")


@pytest.mark.parametrize("words", ["no, 32", "no, 46"])
def test_a_bare_figure_after_a_box_is_no_reading_of_the_board(words: str) -> None:
    """Which of its figures it is can't be known: the box is in question, and the words are kept."""
    wall = at(A_BOX)
    before = {key: one.fact for key, one in wall.session.state.known("1", doubtful=True).items()}
    wall.types(words)
    assert wall.asks
    assert words in {one.words for one in wall.session.state.not_taken("1")}
    assert {key: one.fact for key, one in wall.session.state.known("1", doubtful=True).items()} == before


@pytest.mark.parametrize("words", ["single gang", "48 down", "the center"])
def test_a_part_of_nothing_is_kept_as_not_taken(words: str) -> None:
    """It was called, so it stays in the ledger."""
    wall = at(words)
    assert wall.refuses
    kept = [one for one in wall.session.state.calls.values() if one.standing is Standing.NOT_TAKEN]
    assert [one.words for one in kept] == [words]


def test_no_part_is_given_to_a_box_that_is_not_there() -> None:
    """Told, and nothing is changed."""
    wall = at(A_BOX, "yes")
    assert "There is no box 2 on this board" in wall.types("change box 2 to 32 from left")
    assert box_of(wall) == ("single gang", "30", "left", "48", "top")
