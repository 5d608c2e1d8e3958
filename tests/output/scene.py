"""A board of our own scenario, written out by hand: widths 46 7/8, 46 3/4, 46 1/4, one box, a wall on the right."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.view import Exchange, Line, View
from fieldvoice.records.board import Board, Lies, Sheet
from fieldvoice.records.facts import Fact
from fieldvoice.records.ledger import Call, Concern, Doubt, Notice, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Circuit,
    Context,
    Coordinate,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    Point,
    Qualifier,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.plan import (
    Code,
    CutLine,
    CutPlan,
    Does,
    Gap,
    Hook,
    Mark,
    Method,
    Missing,
    Need,
    OpeningPlan,
    Point2,
    Proof,
    Reason,
    Shape,
    Step,
    Tool,
    Warning,
    Way,
)
from fieldvoice.records.said import Care, Caution


def inches(text: str) -> Length:
    """A length in inches."""
    return Length(text)


BOARD = Board(
    "2",
    widths=(
        Reading(inches("46 7/8"), Dimension.WIDTH, Slot.TOP),
        Reading(inches("46 3/4"), Dimension.WIDTH, Slot.MIDDLE),
        Reading(inches("46 1/4"), Dimension.WIDTH, Slot.BOTTOM),
    ),
    heights=(Reading(inches("95 1/2"), Dimension.HEIGHT, Slot.LEFT),),
)

TAPER = CutLine(
    Edge.RIGHT,
    Edge.LEFT,
    Shape.STRAIGHT,
    (
        Mark(Slot.TOP, inches("46 3/4"), inches("46 3/4")),
        Mark(Slot.BOTTOM, inches("46 1/8"), inches("46 5/32")),
    ),
)
HEIGHT = CutLine(
    Edge.BOTTOM,
    Edge.TOP,
    Shape.STRAIGHT,
    (Mark(Slot.LEFT, inches("95"), inches("95")), Mark(Slot.RIGHT, inches("95"), inches("95"))),
)
BOX = OpeningPlan(
    "box 1",
    BoxKind.SINGLE,
    Method.BEFOREHAND,
    Point2(inches("30 1/4"), inches("48")),
    inches("29 1/4"),
    inches("31 1/4"),
    inches("46 1/4"),
    inches("49 3/4"),
    Hook.LEFT_FACTORY,
    Hook.TOP_FACTORY,
    Circuit.UNKNOWN,
    (Way(inches("16 1/2"), Hook.RIGHT_CUT),),
)
STEPS = (
    Step(Does.LEAN, sheet=Sheet(inches("48"), inches("96")), lies=Lies.STANDING, why=Reason.CORNERS),
    Step(Does.MARK, Edge.RIGHT, Hook.LEFT_FACTORY, TAPER.marks, Shape.STRAIGHT, why=Reason.STILL_LONG),
    Step(Does.CUT, Edge.RIGHT, shape=Shape.STRAIGHT, tool=Tool.KNIFE, why=Reason.CHALK),
    Step(Does.MARK, Edge.BOTTOM, Hook.TOP_FACTORY, HEIGHT.marks, Shape.STRAIGHT),
    Step(
        Does.MAKE_OPENING,
        opening="box 1",
        kind=BoxKind.SINGLE,
        tool=Tool.KNIFE,
        caution=Caution(Care.AT_BOX, "box 1"),
    ),
)
PLAN = CutPlan(
    BOARD,
    Sheet(inches("48"), inches("96")),
    Lies.STANDING,
    (TAPER, HEIGHT),
    (BOX,),
    STEPS,
    (
        Point2(inches("0"), inches("0")),
        Point2(inches("46 3/4"), inches("0")),
        Point2(inches("46 1/8"), inches("95")),
        Point2(inches("0"), inches("95")),
    ),
    (),
    Proof((Gap(Edge.RIGHT, Slot.MIDDLE, inches("5/16")), Gap(Edge.RIGHT, inches("32"), inches("1/4")))),
    (Warning(Code.STRIP, edge=Edge.RIGHT, values=(inches("1 1/4"),)),),
)
CAUTIONS = (Caution(Care.AT_BOX, "box 1"), Caution(Care.BEHIND))


def line(fact: Fact, standing: Standing = Standing.ACCEPTED) -> Line:
    """One value that stands."""
    return Line(Call(1, "2", "hanger", fact, "", standing), wired=isinstance(fact, Box))


def reading(value: str, dimension: Dimension, at: Slot, qualifier: Qualifier | None = None) -> Reading:
    """One reading of the tape."""
    return Reading(inches(value), dimension, at, qualifier)


def neighbor(edge: Edge, stands: Neighbor) -> Context:
    """What stands at an edge."""
    return Context(Topic.NEIGHBOR, stands.value, edge)


READINGS = (
    line(reading("46 7/8", Dimension.WIDTH, Slot.TOP)),
    line(reading("46 3/4", Dimension.WIDTH, Slot.MIDDLE), Standing.CONFIRMED),
    line(reading("46 1/4", Dimension.WIDTH, Slot.BOTTOM), Standing.READ_BACK),
    line(reading("95 1/2", Dimension.HEIGHT, Slot.LEFT, Qualifier.STRONG)),
    line(
        Box(
            BoxKind.SINGLE,
            Coordinate(Point.CENTER, inches("30 1/4"), Edge.LEFT),
            Coordinate(Point.CENTER, inches("48"), Edge.TOP),
            "box 1",
        )
    ),
)
_OUTLET = Incomplete(BoxKind.SINGLE, (Distance(inches("30 1/4"), start=Edge.LEFT),), name="box 2")
_CALLED = Call(9, "2", "hanger", _OUTLET, "outlet thirty and a quarter", Standing.DOUBTFUL)
ASKED = Notice(Tell.QUESTION, (Doubt(Concern.LACKS, 9, lack=Lack.POINT), _CALLED))
"""What of a box is asked: its center or its edge."""
READ_BACK = (Notice(Tell.READ_BACK, (READINGS[2].call,)),)
DONE = View(
    room="back bedroom, north wall",
    board="2",
    boards=("1", "2"),
    unit=Unit.INCH,
    context=(line(neighbor(Edge.RIGHT, Neighbor.WALL)), line(neighbor(Edge.LEFT, Neighbor.BOARD))),
    readings=READINGS,
    missing=(),
    last=Exchange(
        "bottom forty six and a quarter", "whisper", "hanger", (Notice(Tell.READ_BACK, (READINGS[2].call,)),)
    ),
    plan=PLAN,
    draft=False,
    plan_trouble=None,
    cautions=CAUTIONS,
    ticked=frozenset(),
    hole=BOARD,
)
GATHERING = replace(
    DONE,
    readings=READINGS[:3],
    missing=(Missing(Need.HEIGHT, at=Slot.LEFT),),
    plan=None,
    cautions=(),
)
EMPTY = View(
    room=None,
    board="1",
    boards=("1",),
    unit=Unit.INCH,
    context=(),
    readings=(),
    missing=(),
    last=None,
    plan=None,
    draft=False,
    plan_trouble=None,
    cautions=(),
    ticked=frozenset(),
)
