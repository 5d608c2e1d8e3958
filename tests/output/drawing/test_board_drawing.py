"""The drawing at the sheets: every mark once, nothing on top of anything, nothing off the paper, as a picture too, and
where hardly anything comes off; the drawing of a board's fasteners has each one where the plan has it, to one scale.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations, product
from random import Random
from xml.etree import ElementTree as ET

import pytest
from PIL import ImageChops

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.drawing.board import EDGE, board_picture, fastening_picture
from fieldvoice.output.drawing.marks import MarkedDimension, by_center, dimensions
from fieldvoice.output.drawing.media import svg
from fieldvoice.output.drawing.picture import Area, Circle, Label, Picture, Stroke
from fieldvoice.output.fastening import plan_fastening
from fieldvoice.records.fastening import FasteningPlan, Stage
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.plan import CutPlan
from tests.output.drawing.boards import SIZES, plans, random_plan
from tests.output.drawing.look import DOTS, ink, png
from tests.output.paper.views import BOARD, planned

PLANS = plans()
EVERY = pytest.mark.parametrize(("name", "size"), list(product(PLANS, SIZES)))


def _drawn(name: str, size: tuple[float, float]) -> Picture:
    return board_picture(PLANS[name], *size, room="kitchen, north wall")


def texts(picture: Picture) -> list[str]:
    """What another program reads in the file, a label each."""
    root = ET.fromstring(svg(picture))
    return ["".join(each.itertext()) for each in root.iter("{http://www.w3.org/2000/svg}text")]


def marks(plan: CutPlan) -> Counter[str]:
    """Every mark of the plan as its text: a cut's once where it is the same all along, an opening's sides or center
    once however many openings share it.
    """
    unit = plan.board.unit
    found: list[str] = []
    for cut in plan.cuts:
        each = [mark.distance.text(unit) for mark in cut.marks]
        found += each[:1] if len(set(each)) == 1 else each
    holes = {step.opening: step.hole for step in plan.steps if step.hole is not None}
    spots = set()
    for opening in plan.openings:
        hole = holes.get(opening.name)
        if hole is not None:
            middle = by_center(opening) and hole.center is not None
            spots |= set(hole.center or ()) if middle else {offset for _, offset in hole.sides}
    return Counter(found + [one.distance.text(unit) for one in spots])


@EVERY
def test_every_mark_is_in_the_text_once(name: str, size: tuple[float, float]) -> None:
    """46 3/4 reads back as 46 3/4, once; the other texts are names and signs that are no figures."""
    plan = PLANS[name]
    read = Counter(text for text in texts(_drawn(name, size)) if text[0].isdigit())
    rings = Counter(str(number) for number in range(1, len(plan.cuts) + 1))
    assert read == marks(plan) + rings


@EVERY
def test_nothing_overlaps_and_nothing_leaves_the_paper(name: str, size: tuple[float, float]) -> None:
    """No text lies on another or on an opening, and all of it is on the paper."""
    picture = _drawn(name, size)
    for one, other in combinations(picture.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
    for label in picture.labels:
        assert label.frame.within(picture.frame), label.text


@pytest.mark.parametrize("seed", range(40))
def test_random_boards_keep_it_too(seed: int) -> None:
    """Any board that has a plan: every mark once, no text on another, none off the paper, at any size."""
    draw = Random(seed)
    plan = random_plan(draw)
    if plan is None:
        return
    picture = board_picture(plan, draw.uniform(100, 200), draw.uniform(90, 200))
    read = Counter(text for text in texts(picture) if text[0].isdigit())
    assert read == marks(plan) + Counter(str(number) for number in range(1, len(plan.cuts) + 1))
    for one, other in combinations(picture.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
    assert all(label.frame.within(picture.frame) for label in picture.labels)


@EVERY
def test_one_height_of_letters(name: str, size: tuple[float, float]) -> None:
    """A drawing has letters of one height (ISO 129-1)."""
    assert len({label.height for label in _drawn(name, size).labels}) == 1


@pytest.mark.parametrize(("name", "size"), list(product(PLANS, SIZES[:2])))
def test_each_figure_is_seen_as_it_would_be_alone(name: str, size: tuple[float, float]) -> None:
    """By picture: where a figure stands, the drawing shows that figure and not a line through it."""
    picture = _drawn(name, size)
    image = png(picture)
    for label in picture.labels:
        if not label.text[0].isdigit() or not label.clear:
            continue
        left, top = (int(edge * DOTS) + 2 for edge in (label.frame.left, label.frame.top))
        right, bottom = (int(edge * DOTS) - 1 for edge in (label.frame.right, label.frame.bottom))
        moved = replace(label, x=label.x - left / DOTS, y=label.y - top / DOTS, clear=False)
        meant = png(Picture((right - left) / DOTS, (bottom - top) / DOTS, (moved,)))
        assert ink(meant) > 0.05
        difference = ImageChops.difference(image.crop((left, top, right, bottom)), meant)
        assert max(difference.tobytes()) < 160, label.text


@pytest.mark.parametrize("name", PLANS)
def test_the_picture_keeps_a_clean_rim(name: str) -> None:
    """Nothing is cut off by the paper's edge: its outermost dots at top and right are white."""
    image = png(_drawn(name, (115, 125)))
    assert ink(image.crop((0, 0, image.width, 2))) == 0
    assert ink(image.crop((image.width - 2, 0, image.width, image.height))) == 0


@pytest.mark.parametrize("name", PLANS)
def test_the_board_is_to_scale(name: str) -> None:
    """Each dimension line is as long as its figure says, by one scale."""
    picture = _drawn(name, (115, 125))
    scales = {round(length / float(one.value.inches), 3) for one, length in _lengths(PLANS[name], picture)}
    assert len(scales) == (1 if dimensions(PLANS[name]) else 0)


def _lengths(plan: CutPlan, picture: Picture) -> list[tuple[MarkedDimension, float]]:
    from fieldvoice.output.drawing.picture import Area

    arrows = [mark.points[0] for mark in picture.marks if isinstance(mark, Area) and mark.gray == 0]
    bars = _bars(picture)
    assert len(arrows) == len(bars) == len(dimensions(plan))
    lengths = [abs(ax - bx) + abs(ay - by) for (ax, ay), (bx, by) in zip(arrows, bars, strict=True)]
    return list(zip(sorted(dimensions(plan), key=lambda one: one.value), sorted(lengths), strict=True))


def _bars(picture: Picture) -> list[tuple[float, float]]:
    """The middles of the bars where the tape hooks on: each comes right before its arrow."""
    from fieldvoice.output.drawing.picture import Area, Stroke

    found = []
    for before, mark in zip(picture.marks, picture.marks[1:], strict=False):
        if isinstance(mark, Area) and mark.gray == 0:
            assert isinstance(before, Stroke)
            (ax, ay), (bx, by) = before.points
            found.append(((ax + bx) / 2, (ay + by) / 2))
    return found


def test_the_face_is_named_in_the_middle() -> None:
    """In the middle of the board: marks are never put on the back."""
    picture = board_picture(PLANS["a whole sheet"], 115, 125)
    (label,) = (one for one in picture.labels if one.text == "FACE")
    assert abs(label.x - 57.5) < 1


def test_tapered_edges_are_marked_where_they_are_left() -> None:
    """A whole sheet has both; one with its right side cut off has the left one."""
    for name, count in (("a whole sheet", 2), ("tapered cut, a box nobody said anything of", 1)):
        assert texts(_drawn(name, (115, 125))).count("tapered") == count


def test_a_board_said_dead_is_marked_by_its_center() -> None:
    """Where the bit goes in there is one mark each way; a box cut beforehand has its four sides."""
    dead = PLANS["boxes said dead and tested"]
    assert {"30 1/4", "48"} <= set(texts(board_picture(dead, 115, 125)))
    unknown = texts(board_picture(PLANS["tapered cut, a box nobody said anything of"], 115, 125))
    assert {"29 1/8", "31 3/8", "46 1/8", "49 7/8"} <= set(unknown)
    assert "30 1/4" not in unknown


def test_a_hostile_name_stays_text() -> None:
    """A room's name can't become markup, and what turns the direction of reading is shown as a mark."""
    hostile = "<script>alert(1)</script> & \u202e\x1b[2J"
    text = svg(board_picture(PLANS["a pipe"], 200, 200, room=hostile))
    ET.fromstring(text)
    assert "<script" not in text
    assert "\u202e" not in text
    assert "\x1b" not in text


def test_paper_too_small_is_told() -> None:
    """No mark is left out in silence."""
    with pytest.raises(ValueError, match="too small for it"):
        board_picture(PLANS["six boxes"], 12, 9)


def test_every_figure_has_a_shape_of_its_own() -> None:
    """No figure and no fraction is printed as the box that stands for a missing letter."""
    shapes = set()
    for text in [str(number) for number in range(10)] + ["1/2", "1/4", "5/8", "13/16", "31/32"]:
        label = Label(20, 20, text, 5)
        shapes.add(png(Picture(40, 40, (label,))).tobytes())
    assert len(shapes) == 15


LYING = ("lying", "sheet 48 by 96", "upper course", "left wall", "right board", "top 63 7/8", "bottom 63 3/4")


@pytest.mark.parametrize("left", ["47 1/2", "47 3/4", "47 7/8", "47 15/16"])
@pytest.mark.parametrize("right", ["47 5/8", "47 7/8"])
@pytest.mark.parametrize("paper", [(280.0, 200.0), (200.0, 280.0), (120.0, 90.0)])
def test_a_strip_thinner_than_its_number_is_drawn(left: str, right: str, paper: tuple[float, float]) -> None:
    """A lying board that is a hair lower than its sheet."""
    session = Session(MemoryJournal())
    for line in (*LYING, f"left {left}", f"right {right}", "done"):
        session.take(Hearing.typed(line), "partner")
    plan = session.view().plan
    assert plan is not None
    picture = board_picture(plan, *paper)
    assert len(picture.marks) > 5


def test_a_ring_or_a_dot_a_fastener() -> None:
    """As many of either as the plan has, each in its place."""
    _, plan = planned(*BOARD)
    found = plan_fastening(plan)
    assert isinstance(found, FasteningPlan)
    picture = fastening_picture(plan, found, 90, 50)
    assert picture.width <= 90
    assert picture.height <= 50 + 1e-9
    rings = [mark.center for mark in picture.marks if isinstance(mark, Circle)]
    dots = [mark.points[1][0] - 0.85 for mark in picture.marks if isinstance(mark, Area)]
    first = [spot for spot in found.spots if spot.stage is Stage.FIRST]
    rest = [spot for spot in found.spots if spot.stage is Stage.REST]
    assert (len(dots), len(rings)) == (len(first), len(rest))
    high = max(float(point.y.inches) for point in plan.outline)
    scale = (picture.height - 2 * EDGE) / high
    for spot, (x, y) in zip(rest, rings, strict=True):
        assert x == pytest.approx(EDGE + float(spot.x.inches) * scale)
        assert y == pytest.approx(EDGE + float(spot.y.inches) * scale)
    for spot, x in zip(first, dots, strict=True):
        assert x == pytest.approx(EDGE + float(spot.x.inches) * scale)


def test_outline_openings_and_a_line_a_member() -> None:
    """The board, its box, and a dashed line on each row between edges."""
    _, plan = planned(*BOARD)
    found = plan_fastening(plan)
    assert isinstance(found, FasteningPlan)
    strokes = [mark for mark in fastening_picture(plan, found, 90, 50).marks if isinstance(mark, Stroke)]
    closed = [mark for mark in strokes if mark.closed]
    assert len(closed) == 1 + len(plan.openings)
    rows = {spot.x for spot in found.spots if not spot.along_edge}
    assert len([mark for mark in strokes if mark.dash]) == len(rows)
