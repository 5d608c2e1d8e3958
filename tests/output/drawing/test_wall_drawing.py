"""A planned wall drawn with its sheets: each piece's number and size once, nothing on top of anything."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import combinations

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.layout.planning import plan
from fieldvoice.output.drawing.picture import PaperFrame, Picture, Stroke
from fieldvoice.output.drawing.placing import HEIGHTS
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.paper.lists import LETTERS
from fieldvoice.records.length import Unit
from fieldvoice.records.room_plan import JointKind, RoomPlan, SurfacePlan
from fieldvoice.wording.captions import opening_figures, opening_line, opening_names
from tests.layout.houses import house_of, house_text, lake_house, plan_at_once
from tests.output.drawing.test_board_drawing import texts

KITCHEN = """
[job]
sheets = ["48 x 96", "48 x 144"]
[[wall]]
room = "kitchen"
name = "north"
width = "150"
height = "96 1/2"
studs = "16 on center from left"
[[wall.opening]]
kind = "window"
left = "40"
bottom = "36"
width = "36"
height = "48"
"""


def planned(text: str) -> RoomPlan:
    """The plan of a house written down."""
    return plan_at_once(house_of(text))


def test_a_kitchen_wall() -> None:
    """Its pieces by number and size, its window, where each begins from the lower left corner."""
    plan = planned(KITCHEN)
    (surface,) = plan.surfaces
    read = Counter(texts(wall_picture(surface, plan.unit, 180, 120)))
    for piece in surface.pieces:
        assert read[str(piece.name.number)] == 1
        size = f"{piece.width.text()} x {piece.height.text()}"
        assert read[size] == sum(f"{one.width.text()} x {one.height.text()}" == size for one in surface.pieces)
    assert all(read[line] == 1 for line in ("window", "36 x 48", "40 from left", "sill 36", "head 84"))
    assert read["150"] == 1
    assert read["96 1/2"] == 1


def test_every_way_to_draw_a_line_is_told_below_it() -> None:
    """Short dashes are joints and long ones framing: told by one word they were one thing."""
    plan = planned(KITCHEN)
    picture = wall_picture(plan.surfaces[0], plan.unit, 180, 120)
    dashes = {mark.dash[0] for mark in picture.marks if isinstance(mark, Stroke) and mark.dash}
    assert len(dashes) == 2
    told = " ".join(texts(picture))
    assert "Heavy: butt joint. Two rows of short dashes: tapered joint. Long dashes: framing." in told


def test_it_is_to_scale() -> None:
    """The wall's outline is as wide to its height as the wall is."""
    plan = planned(KITCHEN)
    (surface,) = plan.surfaces
    closed = [
        mark for mark in wall_picture(surface, plan.unit, 180, 120).marks if isinstance(mark, Stroke) and mark.closed
    ]
    sizes = []
    for mark in closed:
        xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
        sizes.append((max(xs) - min(xs), max(ys) - min(ys)))
    wide, high = max(sizes)
    assert wide / high == pytest.approx(150 / 96.5)


@pytest.mark.parametrize("seed", range(12))
def test_random_walls(seed: int) -> None:
    """Whatever is built: every piece is there, no text lies on another, none leaves the paper."""
    try:
        plan = planned(house_text(random.Random(seed), 2))
    except CannotCut:
        return
    for surface in plan.surfaces:
        picture = wall_picture(surface, plan.unit, 250, 180)
        for one, other in combinations(picture.labels, 2):
            assert not one.frame.meets(other.frame), (one.text, other.text)
        assert all(label.frame.within(picture.frame) for label in picture.labels)
        read = texts(picture)
        assert all(str(piece.name.number) in read for piece in surface.pieces if piece.layer == 1)
        told_of_openings(surface, plan.unit, picture)


def told_of_openings(surface: SurfacePlan, unit: Unit, picture: Picture) -> None:
    """Each has its name, and its figures once: a line each within it, or all of them in the lines below the drawing."""
    openings = surface.surface.openings
    read, below = Counter(texts(picture)), " ".join(texts(picture))
    for name, one in zip(opening_names(openings), openings, strict=True):
        figures = opening_figures(one, surface.surface.kind, unit)
        assert read[name] == 1
        assert figures[0].split()[0] == one.width.text(unit)
        line = opening_line(name, figures)
        assert line in below or all(read[figure] for figure in figures), (line, below)


ROW = """
[job]
sheets = ["48 x 96", "48 x 144"]
[[wall]]
room = "hall"
name = "long"
width = "{width}"
height = "96 1/2"
studs = "16 on center from left"
"""
WINDOW = """
[[wall.opening]]
kind = "window"
left = "{left}"
bottom = "{bottom}"
width = "{wide}"
height = "{high}"
"""


@pytest.mark.parametrize("paper", [(250.0, 180.0), (195.9, 96.0), (160.0, 110.0)])
@pytest.mark.parametrize("seed", range(8))
def test_figures_of_openings_of_every_size(seed: int, paper: tuple[float, float]) -> None:
    """On small walls and large ones, of windows as small as a vent: none is left out or lies on another label."""
    draw = random.Random(seed)
    width = draw.choice((60, 120, 240, 460))
    text, at = ROW.format(width=width), 6
    for _ in range(draw.randint(1, 4)):
        wide, high = draw.choice((8, 12, 24, 40)), draw.choice((8, 16, 36))
        if at + wide + 8 > width:
            break
        text += WINDOW.format(
            left=f"{at} {draw.choice(('1/4', '5/8'))}", bottom=draw.choice((30, 50)), wide=wide, high=high
        )
        at += wide + draw.randint(9, 60)
    plan = planned(text)
    (surface,) = plan.surfaces
    picture = wall_picture(surface, plan.unit, *paper)
    for one, other in combinations(picture.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
    assert all(label.frame.within(picture.frame) for label in picture.labels)
    told_of_openings(surface, plan.unit, picture)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("paper", [(195.9, 96.0), (120.0, 60.0)])
def test_a_size_stands_on_its_own_board_or_nowhere(seed: int, paper: tuple[float, float]) -> None:
    """On another board it would be taken for that one's size."""
    try:
        plan = planned(house_text(random.Random(seed), 2))
    except CannotCut:
        return
    for surface in plan.surfaces:
        try:
            picture = wall_picture(surface, plan.unit, *paper, letters=LETTERS)
        except ValueError:
            assert paper[0] < 195, "a page has room for every wall"
            continue
        frames = [frame_of(mark) for mark in picture.marks if isinstance(mark, Stroke) and mark.closed]
        for label in picture.labels:
            if " x " in label.text and label.clear:
                middle = ((label.frame.left + label.frame.right) / 2, (label.frame.top + label.frame.bottom) / 2)
                own = [frame for frame in frames if holds(frame, middle)]
                smallest = min(own, key=lambda frame: (frame.right - frame.left) * (frame.bottom - frame.top))
                assert label.frame.within(smallest.grown(0.4 * label.height)), label.text


@pytest.mark.parametrize("paper", [(195.9, 94.0), (195.9, 118.0), (120.0, 82.0)])
def test_no_label_clears_a_part_of_a_heavy_joint(paper: tuple[float, float]) -> None:
    """Else a butt joint looks like a tapered one where a size stands over it. Of every surface of a house that has
    one.
    """
    looked_at = 0
    for surface in plan(lake_house()).surfaces:
        butts = sum(joint.kind is JointKind.BUTT for joint in surface.joints)
        if not butts:
            continue
        picture = wall_picture(surface, Unit.INCH, *paper, letters=LETTERS)
        lines = [mark for mark in picture.marks if isinstance(mark, Stroke) and len(mark.points) == 2]
        heaviest = max(line.weight for line in lines)
        heavy = [
            PaperFrame(*map(min, *line.points), *map(max, *line.points)).grown(heaviest / 2)
            for line in lines
            if line.weight == heaviest
        ]
        assert len(heavy) == butts
        assert not any(label.frame.meets(joint) for label in picture.labels if label.clear for joint in heavy)
        looked_at += butts
    assert looked_at > 5


def test_narrow_boards_have_every_size_in_smaller_letters() -> None:
    """Rather than none in the largest: of the strip beside the bath's door there would be none."""
    house = lake_house()
    doors = tuple(one for one in house.surfaces if (one.room, one.name) == ("bath", "west"))
    for surface in plan_at_once(replace(house, surfaces=doors)).surfaces:
        read = Counter(texts(wall_picture(surface, Unit.INCH, 195.9, 140.0, letters=LETTERS)))
        sizes = Counter(f"{piece.width.text()} x {piece.height.text()}" for piece in surface.pieces)
        assert {size: read[size] for size in sizes} == sizes


def frame_of(mark: Stroke) -> PaperFrame:
    """The rectangle round a stroke."""
    xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
    return PaperFrame(min(xs), min(ys), max(xs), max(ys))


def holds(frame: PaperFrame, spot: tuple[float, float]) -> bool:
    """Whether a place lies in it."""
    return frame.left <= spot[0] <= frame.right and frame.top <= spot[1] <= frame.bottom


NARROW = """[job]
unit = "in"
sheets = ["48 x 96", "48 x 144"]
[[wall]]
room = "den"
name = "north"
width = "{wide}"
height = "{high}"
studs = "16 on center from left"
[[wall.opening]]
kind = "window"
left = "{left}"
bottom = "{sill}"
width = "{open}"
height = "{tall}"
"""


@pytest.mark.parametrize("paper", [(280.0, 190.0), (190.0, 96.0)])
@pytest.mark.parametrize("seed", range(12))
def test_narrow_walls_and_strips_beside_openings_are_drawn(seed: int, paper: tuple[float, float]) -> None:
    """A return, a strip of an inch beside a window, a window over a whole wall: each has its drawing on any paper."""
    draw = random.Random(seed)
    wide, high = draw.choice((5, 8, 12, 20, 72, 120)), draw.choice((84, 96, 123, 144, 240))
    left, sill = draw.choice((0, 1, 2)), draw.choice((1, 5, 24))
    over, beside = draw.choice((0, 1, 12)), draw.choice((0, 1, 2))
    sizes = {"left": left, "sill": sill, "open": max(1, wide - left - beside), "tall": high - sill - over}
    made = plan_at_once(house_of(NARROW.format(wide=wide, high=high, **sizes)))
    for letters in (LETTERS, HEIGHTS):
        picture = wall_picture(made.surfaces[0], made.unit, *paper, letters=letters)
        assert {str(piece.name.number) for piece in made.pieces} <= {*texts(picture)}
