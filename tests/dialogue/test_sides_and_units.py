"""A wall of a size that few have is asked about, a unit said instead takes its figures anew, and a side of the sheet is
that of the sheet that was called.
"""

from __future__ import annotations

from itertools import permutations, product

import pytest

from fieldvoice.cutting.sheets import candidates
from fieldvoice.dialogue.finishing import board_now
from fieldvoice.records.ledger import Concern
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Reading, SurfaceCall
from tests.dialogue.talk import Wall, wall_after

LIKELY = ("24", "96", "97 5/8", "144", "288")
UNLIKELY = ("6 in by 96 in", "96 in by 6 in", "144 in by 23 7/8 in", "1440 by 96", "144 by 1440", "3600 by 2440")
SIZES = {f"{width} in by {height} in": True for width, height in product(LIKELY, repeat=2)}
SIZES |= dict.fromkeys(UNLIKELY, False)


def _concern(wall: Wall) -> Concern | None:
    asked = [doubt.concern for one in wall.session.state.open.values() for doubt in one.doubts]
    return asked[0] if asked else None


def _surface(wall: Wall) -> SurfaceCall | None:
    facts = [call.fact for call in wall.session.state.known(wall.session.state.board).values()]
    return next((fact for fact in facts if isinstance(fact, SurfaceCall)), None)


@pytest.mark.parametrize("surface", ["north wall", "ceiling"])
@pytest.mark.parametrize(("size", "likely"), SIZES.items())
def test_an_unlikely_waits_for_a_yes(surface: str, size: str, *, likely: bool) -> None:
    """It is taken by that alone."""
    wall = wall_after(f"{surface} {size}")
    assert (_concern(wall) is Concern.UNLIKELY) != likely
    assert (_surface(wall) is not None) == likely
    wall.types("yes")
    assert _surface(wall) is not None


def test_a_wall_higher_than_any_is_asked_about_and_a_ceiling_that_long_is_not() -> None:
    """Twenty five feet are a long room and no wall's height."""
    for surface, asked in (("north wall", True), ("ceiling", False)):
        wall = wall_after(f"{surface} 144 in by 300 in")
        assert (_concern(wall) is Concern.UNLIKELY) == asked


@pytest.mark.parametrize(
    ("line", "likely"),
    [
        ("4 by 8 sheet", True),
        ("54 inch board", True),
        ("4 by 16 sheet", True),
        ("30 by 60 sheet", True),
        ("5 by 10 sheet", False),
        ("12 by 10 sheet", False),
        ("4 by 20 sheet", False),
        ("24 on center", True),
        ("12 on center", True),
        ("46 on center", False),
        ("32 on center", False),
    ],
)
def test_an_unlikely_sheet_waits_for_a_yes(line: str, *, likely: bool) -> None:
    """Nobody has a sheet 10 ft wide by a word that was misheard."""
    wall = wall_after(line)
    assert (_concern(wall) is Concern.UNLIKELY) != likely


LATE = (
    ("work in inches", "north wall 3600 by 2440", "millimeters"),
    ("work in millimeters", "north wall 144 by 96", "inches"),
    ("work in millimeters", "~north wall one forty four by ninety six", "inches"),
)


@pytest.mark.parametrize("again", ["", "restart"])
@pytest.mark.parametrize(("first", "line", "right"), LATE)
def test_a_unit_said_where_a_figure_is_asked_about_takes_it_anew(first: str, line: str, right: str, again: str) -> None:
    """As if it had been said before: no figure of the wrong unit stands, and no yes is needed."""
    late, early = Wall(), Wall()
    for wall, unit in ((late, first), (early, f"work in {right}")):
        wall.types(unit, "yes")
        if line[0] == "~":
            wall.speaks(line[1:])
        else:
            wall.types(line)
    assert _concern(late) is Concern.UNLIKELY
    if again:
        late.restart()
    late.types(right)
    assert _surface(early) is not None
    assert _surface(late) == _surface(early)
    assert not late.session.state.not_taken("north wall")


def test_a_reading_too_small_for_its_unit_is_taken_anew_in_the_other() -> None:
    """Forty six millimeters are no width; forty six inches are one."""
    wall = wall_after("work in millimeters", "yes", "top 46", "inches")
    facts = [call.fact for call in wall.session.state.known("1").values()]
    assert [fact.value for fact in facts if isinstance(fact, Reading)] == [Length(46)]


SHEETS = {"4 by 8 sheet": (48, 96), "4 by 12 sheet": (48, 144), "54 inch sheet": (54, None), "ten footer": (None, 120)}


@pytest.mark.parametrize("lines", [*permutations(SHEETS, 2), *permutations(SHEETS, 3)])
def test_what_was_said_of_the_sheet_last_counts(lines: tuple[str, ...]) -> None:
    """For each of its sides, in whichever order they were said; after undo it is as before."""
    wall = wall_after(*lines)
    assert _sheets(wall) == _last(lines)
    wall.types("undo")
    assert _sheets(wall) == _last(lines[:-1])


def _last(lines: tuple[str, ...]) -> tuple[int | None, int | None]:
    sides: list[int | None] = [None, None]
    for line in lines:
        sides = [new if new is not None else old for old, new in zip(sides, SHEETS[line], strict=True)]
    return sides[0], sides[1]


def _sheets(wall: Wall) -> tuple[int | None, int | None]:
    found = candidates(board_now(wall.session.state, "1", wall.now))
    sides = ({int(one.width.inches) for one in found}, {int(one.length.inches) for one in found})
    width, length = (each.pop() if len(each) == 1 else None for each in sides)
    return width, length


@pytest.mark.parametrize("where", ["done", "next board"])
def test_a_wall_that_waits_for_another_is_told_where_nothing_is_laid_out(where: str) -> None:
    """Not a word would leave the crew with a wall that has no layout."""
    wall = wall_after("north wall 3600 by 2440")
    wall.types("south wall 144 by 96", "16 on center", who="partner")
    told = wall.types(where, who="partner")
    assert "for hanger to answer: North wall" in told


def test_a_wall_without_anything_called_answers_too() -> None:
    """After an undo of all of it."""
    wall = wall_after("north wall 144 by 96", "16 on center", "undo", "undo")
    assert wall.types("done")


def test_a_window_that_waits_for_the_other_is_told_by_the_board_too() -> None:
    """Brought back with its wall by undo it waits for the partner, and there is no layout until then."""
    wall = wall_after("north wall 12 feet by 8 feet", "16 on center from the left")
    wall.types("window 36 by 48, 40 from left, 36 up", who="partner")
    wall.types("take out north wall", "undo")
    assert "for partner to say yes to: Window 1" in wall.types("next board")


@pytest.mark.parametrize(
    "lines", [("top 42", "bottom 42", "left 90"), ("north wall 12 by 8 feet, studs 16 on center",)]
)
def test_the_sheet_of_another_unit_is_told(lines: tuple[str, ...]) -> None:
    """Nobody called one: it isn't the one that was planned with any more."""
    assert "it is 1200 mm wide now" in wall_after(*lines).types("millimeters")
    assert "it is 48 in wide now" in wall_after(*lines, "millimeters").types("inches")
    assert "now" not in wall_after("48 by 96 sheet", *lines).types("millimeters")
    assert "now" not in wall_after().types("millimeters")


@pytest.mark.parametrize(
    ("said", "sides"),
    [
        ("change the width to 13 feet", ("156", "96")),
        ("make the height 9 feet", ("144", "108")),
        ("no, the width is 13 feet", ("156", "96")),
        ("no, the height is 97 1/2", ("144", "97 1/2")),
    ],
)
@pytest.mark.parametrize("between", [(), ("what's missing",), ("done",)])
def test_a_side_of_the_wall_at_hand_is_changed_by_its_name(
    said: str, sides: tuple[str, str], between: tuple[str, ...]
) -> None:
    """The other side stays, and so does what was called in the same breath."""
    wall = wall_after("north wall 12 feet by 8 feet, studs 16 on center", *between, said)
    there = _surface(wall)
    assert there is not None
    assert (there.width, there.height) == tuple(map(Length, sides)), wall.said
    assert "spacing" in wall.settings, wall.said
    sloped = wall_after(
        "north wall 12 feet by 8 feet, studs 16 on center", "left 8 feet right 9 feet", "change the height to 10 feet"
    )
    assert _surface(sloped) == _surface(wall_after("north wall 12 feet by 8 feet", "left 8 feet right 9 feet"))


@pytest.mark.parametrize("framed", [300, 400, 450, 600])
def test_framing_in_millimeters_is_told_by_its_figure(framed: int) -> None:
    """Beside walls in meters or in feet; a figure that nothing is framed by is asked about."""
    for size in ("3.6 meters by 2.4 meters", "12 feet by 8 feet"):
        wall = wall_after(f"north wall {size} studs {framed} on center")
        assert wall.settings.get("spacing") == f"{framed} mm on center from the left", wall.said
    assert _concern(wall_after("north wall 12 feet by 8 feet", "studs 160 on center")) is Concern.UNLIKELY
