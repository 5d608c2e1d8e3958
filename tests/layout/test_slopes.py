"""Walls whose top slopes: every board of four sides where that can be, and what hangs of them stays."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime
from fractions import Fraction

import pytest

from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document, room_list, surfaces_list
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.paper.blocks import Made, Paper
from fieldvoice.output.paper.lists import surface_pages
from fieldvoice.output.room_work import room_work
from fieldvoice.records.board import Lies
from fieldvoice.records.laying import HangThem
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room_plan import RoomPlan, RoomWarningCode
from tests.layout.check import problems
from tests.layout.houses import house_of, plan_at_once
from tests.layout.test_planned_anew import what_hangs_stays
from tests.layout.test_plans import JOB, wall


def sloping(seed: int, *, layers: int = 1, openings: bool = True, lies: str = "") -> str:
    """A wall of any width under a slope of any pitch, high or low, rising to either side."""
    draw = random.Random(seed)
    wide, low = draw.randrange(30, 240), draw.choice((draw.randrange(12, 60), draw.randrange(60, 130)))
    ends = [low, low + draw.choice((draw.randrange(1, 20), draw.randrange(20, 50), draw.randrange(50, 110)))]
    draw.shuffle(ends)
    more = f'top_right_height = "{ends[1]}"\nlayers = {layers}\n{lies}'
    window = f"window {draw.randrange(8, wide - 40)} 30 30 {low - 40}" if openings and wide > 60 and low > 80 else ""
    text = JOB + wall("gable", str(wide), str(ends[0]), *[window][: bool(window)], more=more)
    if draw.random() < 0.3:
        text = text.replace('"48 x 144"', '"48 x 144", "54 x 144"')
    return text.replace("16 on", draw.choice(("16 on", "24 on")))


def odd_shaped(made: RoomPlan) -> int:
    """How many boards aren't four-sided: the slope crosses their level top, or their floor."""
    found = 0
    for one in made.surfaces:
        for piece in one.pieces:
            tops = [one.surface.top_at(x) for x in (piece.x, piece.right)]
            crossed = min(tops) < piece.top < max(tops)
            found += crossed or min(tops) <= piece.y
    return found


def checked(text: str, made: RoomPlan) -> RoomPlan:
    """The plan, held to every rule by the check that shares nothing with it."""
    assert problems(text, json.loads(json.dumps(room_document(made)))) == []
    told = {one.code for one in made.warnings}
    assert any(piece.pointed for piece in made.pieces) == (RoomWarningCode.NOT_FOUR_SIDED in told)
    assert odd_shaped(made) == sum(not piece.four_sided for piece in made.pieces)
    return made


@pytest.mark.parametrize("seed", range(24))
def test_every_board_under_a_slope_has_four_sides(seed: int) -> None:
    """Joints are placed under the slope, or sheets stood up; whatever the pitch, in one layer."""
    text = sloping(seed)
    assert odd_shaped(checked(text, plan_at_once(house_of(text)))) == 0


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24, 400))
def test_every_board_under_a_slope_has_four_sides_at_length(seed: int) -> None:
    """The same of many more walls; beside an opening, and in two layers, as far as joints can keep apart."""
    text = sloping(seed, openings=False)
    assert odd_shaped(checked(text, plan_at_once(house_of(text)))) == 0
    beside = sloping(seed)
    checked(beside, plan_at_once(house_of(beside)))
    two = sloping(seed, layers=2, openings=False)
    made = checked(two, plan_at_once(house_of(two)))
    assert odd_shaped(made) < len(made.pieces)


@pytest.mark.parametrize("seed", range(6))
def test_sheets_stand_under_a_slope_where_that_is_asked(seed: int) -> None:
    """In a file, and by a word."""
    in_file = sloping(seed, lies='lies = "standing"')
    asked = sloping(seed)
    for text, wishes in ((in_file, ()), (asked, (HangThem(Lies.STANDING),))):
        made = checked(text, plan(house_of(text), wishes))
        assert {piece.lies for piece in made.pieces} == {Lies.STANDING}
        assert odd_shaped(made) == 0


def test_a_board_that_runs_out_to_a_point_says_how_it_is_cut() -> None:
    """Where sheets have to lie under a steep slope: in the list beside the board, and what to do in the warning."""
    text = JOB + wall("gable", "100", "60", more='top_right_height = "110"\nlies = "lying"')
    made = checked(text, plan(house_of(text)))
    assert odd_shaped(made) == 2
    listed = room_list(made)
    assert listed.count(", to a point") == sum(piece.pointed for piece in made.pieces) == 1
    assert "Mark these on the sheet, snap a line between them" in listed
    standing = text.replace('lies = "lying"', "")
    assert plan(house_of(standing)).feet <= made.feet + Fraction(4)


@pytest.mark.parametrize("seed", range(16))
def test_what_hangs_under_a_slope_stays(seed: int) -> None:
    """Whatever part of it hangs, the rest is planned round it, its joints where they were."""
    made, rest = what_hangs_stays(sloping(seed, layers=1 + (seed % 4 == 0)), seed)
    assert odd_shaped(rest) == odd_shaped(made)


@pytest.mark.parametrize("ends", [("60", "110"), ("110", "60"), ("96 1/2", "121 3/8")])
def test_both_ends_and_what_to_heed_stand_on_paper(ends: tuple[str, str]) -> None:
    """How high each end is on the drawing, and on page and list how a board that runs out to a point is cut."""
    text = JOB + wall("gable", "100", ends[0], more=f'top_right_height = "{ends[1]}"\nlies = "lying"')
    made = plan_at_once(house_of(text))
    drawn = [label.text for label in wall_picture(made.surfaces[0], Unit.INCH, 200, 150).labels]
    assert set(ends) <= set(drawn)
    paper = Made(datetime(2026, 5, 4, tzinfo=UTC), None, None, "0")
    labels = [label.text for page in surface_pages(made, room_work(made), Paper.LETTER, paper) for label in page.labels]
    for told in (" ".join(labels), surfaces_list(made)):
        assert ("snap a line between them" in told) == any(piece.pointed for piece in made.pieces)


@pytest.mark.parametrize("seed", range(20))
def test_no_column_of_standing_sheets_is_a_strip_where_it_can_be_wider(seed: int) -> None:
    """Level or sloped, with studs anywhere: a first or a last column is narrower than 6 in only where no joints on the
    framing, sheets apart, leave more at both ends.
    """
    draw = random.Random(seed)
    wide, on_center = draw.randrange(49, 200), draw.choice((12, 16, 24))
    more = 'lies = "standing"' + draw.choice(("", '\ntop_right_height = "88"'))
    text = (JOB + wall("north", str(wide), "96", more=more)).replace("16 on", f"{on_center} on")
    ends = sorted((piece.x, piece.right) for piece in plan_at_once(house_of(text)).pieces)
    narrowest = min(right - left for left, right in ends)
    firsts = (first for first in range(on_center, wide, on_center) if first <= 48)
    wider = [first for first in firsts if first >= 6 and (last := (wide - first) % 48 or 48) >= 6 and last <= 48]
    assert narrowest >= Length(6) or not wider
