"""Walls whose top breaks: gables, a level part between slopes, a peak anywhere, called and written."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from itertools import pairwise

import pytest

from fieldvoice.files.planning_files import read_house
from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document, room_list
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.sketch import WALL_ASCII, wall_sketch
from fieldvoice.records.board import Lies, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, TopPoint
from fieldvoice.records.room import House, Members, Wall, reaches
from fieldvoice.records.room_plan import RoomPlan, RoomWarningCode
from fieldvoice.takeoff import net_area
from tests.dialogue.talk import wall_after
from tests.layout.check import problems
from tests.layout.houses import broken_top, house_of, plan_at_once, printed_with_its_work
from tests.layout.test_planned_anew import what_hangs_stays
from tests.layout.test_plans import JOB, wall
from tests.takeoff.check import problems as fastening_problems


def peaked(seed: int, *, layers: int = 1, lies: str = "") -> str:
    """A wall of any width whose top breaks once, twice or more often, low or steep; on studs from an end or listed, one
    of them now and then under a break; with a window where it has room, now and then with wide sheets.
    """
    draw = random.Random(seed)
    wide = draw.randrange(40, 300)
    low = draw.choice((0, draw.randrange(6, 60), draw.randrange(60, 130)))
    line, places = broken_top(draw, wide, low)
    more = f"{line}\nlayers = {layers}\n{lies}"
    window = [f"window {wide // 2 - 15} 30 30 {low - 40}"] if low > 80 and draw.random() < 0.6 else []
    text = JOB + wall("gable", str(wide), str(low), *window, more=more)
    if not isinstance(read_house(text), House):  # where the other end is low the window has no room
        text = JOB + wall("gable", str(wide), str(low), more=more)
    if draw.random() < 0.3:
        text = text.replace('"48 x 144"', '"48 x 144", "54 x 144"')
    if draw.random() < 0.5:
        first = places[0] % 16 or 16
        return text.replace('"16 on center from left"', str(list(range(first, wide, 16))))
    return text.replace("16 on", draw.choice(("16 on", "24 on")))


def checked(text: str, made: RoomPlan) -> RoomPlan:
    """The plan, held to every rule by the check that shares nothing with it, and what is told of its odd boards."""
    assert problems(text, json.loads(json.dumps(room_document(made)))) == []
    told = {one.code for one in made.warnings}
    assert any(piece.pointed for piece in made.pieces) == (RoomWarningCode.NOT_FOUR_SIDED in told)
    return made


def test_a_top_reaches_as_high_as_it_is() -> None:
    """From where to where: a level part to both its ends, a peak at its place alone, above it nowhere."""
    line = (TopPoint(Length(40), Length(100)), TopPoint(Length(80), Length(100)))
    studs = Members(spacing=Length(16), start=Edge.LEFT)
    level = Wall("hall", "north", Length(120), Length(60), studs, breaks=line)
    peak = replace(level, breaks=line[:1])
    assert reaches(level, Length(100)) == (Length(40), Length(80))
    assert reaches(peak, Length(100)) == (Length(40), Length(40))
    assert reaches(peak, Length(80)) == (Length(20), Length(80))
    assert reaches(peak, Length(60)) == (Length(0), Length(120))
    assert reaches(peak, Length(101)) is None


@pytest.mark.parametrize("seed", range(24))
def test_a_wall_with_a_peak_is_covered_once_under_every_rule(seed: int) -> None:
    """Whatever the line of its top; in both ways to hang, and what is covered is as much as the wall has."""
    text = peaked(seed, layers=1 + (seed % 6 == 0), lies=("", "", 'lies = "lying"', 'lies = "standing"')[seed % 4])
    made = checked(text, plan_at_once(house_of(text)))
    surface = made.surfaces[0].surface
    assert surface.kind is Surface.WALL
    line = [(point.across.inches, point.height.inches) for point in surface.top_line]
    whole = sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(line))
    assert net_area(surface) == whole - sum(one.width.inches * one.height.inches for one in surface.openings)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24, 400))
def test_a_wall_with_a_peak_is_covered_once_at_length(seed: int) -> None:
    """The same of many more, in one layer and in two."""
    for layers in (1, 2):
        text = peaked(seed, layers=layers)
        checked(text, plan_at_once(house_of(text)))


@pytest.mark.parametrize("seed", range(8))
def test_what_hangs_under_a_peak_stays(seed: int) -> None:
    """Whatever part of it hangs, the rest is planned round it."""
    what_hangs_stays(peaked(100 + seed), seed)


@pytest.mark.parametrize("seed", range(200, 212))
def test_boards_under_a_peak_are_fastened_in_the_board_and_on_its_framing(seed: int) -> None:
    """By the check of fasteners, which shares nothing with what places them."""
    text = peaked(seed)
    assert fastening_problems(text, printed_with_its_work(plan_at_once(house_of(text)))) == []


def gable(studs: str, *, more: str = "") -> RoomPlan:
    """A gable of 12 ft, 8 ft at its eaves and 11 ft at its peak."""
    text = JOB + wall("gable", "144", "96", more=f'peak_height = "132"\n{more}')
    text = text.replace('"16 on center from left"', studs)
    return checked(text, plan(house_of(text)))


def test_boards_meet_under_a_peak_that_has_a_stud() -> None:
    """Both have four sides then; without a stud there one board runs over the peak, and is told by its corners."""
    met = gable("[8, 24, 40, 56, 72, 88, 104, 120, 136]")
    assert [piece.width for piece in met.pieces if piece.slopes] == [Length(72), Length(72)]
    assert all(piece.four_sided for piece in met.pieces)
    over = gable('"16 on center from left"')
    (odd,) = (piece for piece in over.pieces if not piece.four_sided)
    assert odd.top_corners == (
        TopPoint(Length(0), odd.height - Length(36)),
        TopPoint(Length(72), odd.height),
        TopPoint(Length(144), odd.height - Length(36)),
    )
    low, high = (each.text(Unit.INCH) for each in (odd.left_height, odd.height))
    listed = room_list(over)
    assert f"the top runs from {low} at the left to {high} at 72 from the left, then to {low} at the right" in listed
    assert "snap a line between them" not in listed


def test_standing_sheets_meet_under_a_steep_peak() -> None:
    """Sheets that lie would run out to points there."""
    text = JOB + wall("gable", "144", "30", more='peak_height = "132"\npeak_from_left = "64"')
    made = checked(text, plan(house_of(text)))
    assert {piece.lies for piece in made.pieces} == {Lies.STANDING}
    assert any(piece.right == Length(64) for piece in made.pieces)
    assert all(piece.four_sided for piece in made.pieces)


def test_a_peak_is_drawn_where_it_is() -> None:
    """How far from the left and how high, on paper; a line that rises and falls, on the screen."""
    over = gable('"16 on center from left"')
    drawn = [label.text for label in wall_picture(over.surfaces[0], Unit.INCH, 200, 150).labels]
    assert {"72", "96", "132", "144"} <= set(drawn)
    names = {piece.name: str(piece.name.number) for piece in over.pieces}
    sketch = wall_sketch(over.surfaces[0], names, 40, 14, WALL_ASCII, Unit.INCH)
    top = next(line for line in sketch if "/" in line)
    assert 0 < top.index("/") < top.rindex("\\")
    assert abs(top.index("/") + top.rindex("\\") + 1 - len(sketch[-1])) <= 1


@pytest.mark.parametrize(
    ("said", "line"),
    [
        (("south wall twelve foot by eight foot, peaks at eleven foot in the middle",), (96, 72, 132, 96)),
        (("south wall 144 by 96, peak 132",), (96, 72, 132, 96)),
        (("gable wall twelve foot by eight foot peaks five foot from the right at eleven foot",), (96, 84, 132, 96)),
        (("south wall twelve foot by eight foot", "it's a gable, eleven foot at the peak", "yes"), (96, 72, 132, 96)),
        (("south wall 144 by 96", "the peak is at 130, 50 from the left", "yes"), (96, 50, 130, 96)),
        (
            ("south wall 144 by 96", "96 on the left and 120 on the right", "yes", "peaks at 130", "yes"),
            (96, 72, 130, 120),
        ),
    ],
)
def test_a_peak_is_called_with_its_wall_or_behind_it(said: tuple[str, ...], line: tuple[int, int, int, int]) -> None:
    """It is read back with both its figures, and laid out as it is from a file."""
    there = wall_after("kitchen", *said, "studs sixteen on center from the left", "next board")
    assert there.session.state.laying is not None
    (surface,) = there.session.state.laying.surfaces
    left, across, high, right = map(Length, line)
    assert surface.top_line == (TopPoint(Length(0), left), TopPoint(across, high), TopPoint(surface.width, right))


@pytest.mark.parametrize(
    "said",
    ["peaks at eleven foot", "north wall 144 by 96 peaks at 90", "north wall 144 by 96, peak 132, 150 from the left"],
)
def test_a_peak_that_no_wall_can_have_is_asked_about(said: str) -> None:
    """No wall is at hand, it is lower than the ends, or beyond one of them: nothing is kept of it."""
    there = wall_after("kitchen")
    assert "A peak is a wall's" in there.types(said)
    assert not there.session.state.surfaces


def test_one_end_of_a_wall_said_with_it_makes_its_top_slope() -> None:
    """The height that it was called with is the other end's."""
    there = wall_after("east wall ten foot by eight foot, eleven foot on the right", "studs 16 on center", "next board")
    assert there.session.state.laying is not None
    (surface,) = there.session.state.laying.surfaces
    assert [point.height for point in surface.top_line] == [Length(96), Length(132)]
