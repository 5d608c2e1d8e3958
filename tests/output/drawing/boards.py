"""A dozen boards of our own scenario, and holes on their way to be measured."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

from fieldvoice.cutting.solving import solve
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import BoxKind, Circuit, Coordinate, Course, Edge, Opening, OpeningKind, Point
from fieldvoice.records.plan import CutPlan
from tests.cutting.rooms import SIDES_JOINED, SIDES_SWAPPED, SIDES_WALLED, box, heights, widths

SIZES = ((90.0, 50.0), (115.0, 125.0), (400.0, 250.0))
"""Paper in millimeters: a corner of a phone, a part of a page, a poster."""
_TAPER = widths("46 7/8", "46 3/4", "46 1/4")


def _at(value: str, start: Edge = Edge.LEFT, point: Point = Point.NEAR) -> Coordinate:
    return Coordinate(point, Length(value), start)


_WINDOW = Opening(
    name="window 1",
    kind=OpeningKind.WINDOW,
    xs=(_at("20"), _at("46 7/8", point=Point.FAR)),
    ys=(_at("20", Edge.TOP), _at("60", Edge.TOP, Point.FAR)),
)
_PIPE = Opening(
    name="pipe 1",
    kind=OpeningKind.PIPE,
    xs=(_at("20", point=Point.CENTER),),
    ys=(_at("70", Edge.TOP, Point.CENTER),),
    diameter=Length("3 1/2"),
)
BOARDS = {
    "tapered cut, a box nobody said anything of": Board(
        "2", widths=_TAPER, heights=heights("95 1/2", "95 1/2", "95 1/2"), boxes=(box("box 1", "30 1/4", "48"),)
    ),
    "boxes said dead and tested": Board(
        "2",
        widths=_TAPER,
        heights=heights("95 1/2"),
        boxes=(
            box("box 1", "30 1/4", "48"),
            box("box 2", "12 1/4", "80", kind=BoxKind.DOUBLE),
        ),
        circuits={"box 1": Circuit.DEAD, "box 2": Circuit.DEAD},
    ),
    "a ceiling that falls": Board("3", widths=widths("40", "40", "40"), heights=heights("95 1/2", "95", "94 1/4")),
    "lying, three boxes in a row": Board(
        "4",
        lies=Lies.LYING,
        course=Course.LOWER,
        widths=widths("118 3/8", None, "118 7/8"),
        heights=heights("47 1/2", "47 1/2", "47 1/2"),
        boxes=tuple(box(f"box {number}", at, "16") for number, at in ((1, "30 1/4"), (2, "70 1/4"), (3, "100"))),
    ),
    "between two walls": Board(
        "5",
        edges=SIDES_WALLED,
        taper=Edge.RIGHT,
        widths=widths("40 1/8", "40", "39 1/4"),
        heights=heights("95 1/2", "95 1/2", "95 1/2"),
    ),
    "a narrow strip with a box": Board(
        "6",
        widths=widths("7 1/8", "7", "6 7/8"),
        heights=heights("95 1/2", "95 1/2", "95 1/2"),
        boxes=(box("box 1", "3 1/4", "48"),),
    ),
    "the wall on the left": Board(
        "7",
        edges=SIDES_SWAPPED,
        widths=widths("40 1/8", "40", "39 1/4"),
        heights=heights("95 1/2", "95 1/2", "95 1/2"),
        boxes=(box("box 1", "30 1/4", "48", x_from=Edge.RIGHT),),
    ),
    "a bowed wall": Board("8", widths=widths("46 1/8", "46 3/4", "46 1/8"), heights=heights("95 1/2")),
    "a window at the edge": Board("9", widths=_TAPER, heights=heights("95 1/2"), openings=(_WINDOW,)),
    "a pipe": Board("10", widths=_TAPER, heights=heights("95 1/2"), openings=(_PIPE,)),
    "six boxes": Board(
        "11",
        widths=_TAPER,
        heights=heights("95 1/2"),
        boxes=tuple(box(f"box {n + 1}", f"{6 + 6 * n} 3/16", str(20 + 10 * (n % 3))) for n in range(6)),
    ),
    "lying under a slope": Board(
        "12",
        lies=Lies.LYING,
        course=Course.LOWER,
        widths=widths("90", None, "90"),
        heights=heights("30", "31", "30 1/2"),
    ),
    "a whole sheet": Board("13", widths=widths("48 1/8", None, "48 1/8"), heights=heights("96 1/2")),
    "in millimeters": Board(
        "14",
        unit=Unit.MM,
        widths=tuple(
            replace(one, value=Length.of(value, Unit.MM))
            for one, value in zip(widths("1", "1", "1"), (1190, 1187, 1174), strict=True)
        ),
        heights=heights("95 1/2"),
        boxes=(box("box 1", "30 1/4", "48"),),
    ),
}
HOLES = {
    "nothing measured": Board("1"),
    "one width": Board("1", widths=widths("46 7/8", None, None)),
    "two widths, a height, boxes from both sides": Board(
        "1",
        widths=widths("46 7/8", "46 3/4", None),
        heights=heights("95 1/2"),
        boxes=(box("box 1", "30 1/4", "48"), box("box 2", "12", "16", x_from=Edge.RIGHT)),
    ),
    "lying": Board(
        "1",
        lies=Lies.LYING,
        widths=widths("118", None, "117 3/4"),
        heights=heights("47 1/2", None, "47 1/8"),
        boxes=(box("box 1", "30 1/4", "16"), box("box 2", "62", "16", x_from=Edge.RIGHT)),
    ),
}


def plans() -> dict[str, CutPlan]:
    """The plan of every board."""
    return {name: solve(board) for name, board in BOARDS.items()}


def random_plan(draw: Random) -> CutPlan | None:
    """The plan of a board drawn at random, where its readings make one."""
    lies = draw.choice(list(Lies))
    wide = Fraction(draw.randint(8 * 16, (46 if lies is Lies.STANDING else 118) * 16), 16)
    high = Fraction(draw.randint(20 * 16, (95 if lies is Lies.STANDING else 47) * 16), 16)
    near = [str(Length(wide + Fraction(draw.randint(0, 12), 16))) for _ in range(3)]
    tall = [str(Length(high + Fraction(draw.randint(0, 8), 16))) for _ in range(3)]
    boxes = tuple(
        box(
            f"box {number + 1}",
            str(Length(Fraction(draw.randint(3 * 16, int(wide - 3) * 16), 16))),
            str(Length(Fraction(draw.randint(3 * 16, int(high - 3) * 16), 16))),
        )
        for number in range(draw.randint(0, 4))
    )
    board = Board(
        "1",
        lies=lies,
        course=Course.LOWER if lies is Lies.LYING else None,
        edges=draw.choice((SIDES_SWAPPED, SIDES_JOINED, SIDES_WALLED)),
        taper=draw.choice((Edge.LEFT, Edge.RIGHT)),
        widths=widths(*near),
        heights=heights(*tall),
        boxes=boxes,
        circuits={each.name: draw.choice(list(Circuit)) for each in boxes},
    )
    try:
        return solve(board)
    except CannotCut:
        return None
