"""A board of our own scenario, written out by hand: widths 46 7/8, 46 3/4, 46 1/4, one box, a wall on the right."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.view import Exchange, Line, Standing, View
from fieldvoice.records.board import Board, Lies, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Dimension, Edge, Reading, Slot
from fieldvoice.records.plan import (
    CutLine,
    CutPlan,
    Gap,
    Mark,
    Method,
    Missing,
    OpeningPlan,
    Point2,
    Proof,
    Shape,
    Step,
)


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
    "single gang",
    Method.BEFOREHAND,
    Point2(inches("30 1/4"), inches("48")),
    inches("29 1/4"),
    inches("31 1/4"),
    inches("46 1/4"),
    inches("49 3/4"),
    "left factory edge",
    "top factory edge",
    Circuit.UNKNOWN,
    ("16 1/2 from the cut edge",),
)
STEPS = (
    Step("Lean the sheet face out, top up."),
    Step("Mark the top edge at 46 3/4 and the bottom edge at 46 1/8, tape hooked on the left edge.", cut=Edge.RIGHT),
    Step("Score and snap the right edge.", why="the taper first, while both ends are whole", cut=Edge.RIGHT),
    Step("Cut the height at 95 from the top.", cut=Edge.BOTTOM),
    Step(
        "Mark box 1 at 30 1/4 from the left and 48 from the top; cut it by hand, now.",
        caution="Box 1: nobody said that it is dead and tested. Keep every tool out of it.",
        opening="box 1",
    ),
)
PLAN = CutPlan(
    BOARD,
    Sheet(inches("48"), inches("96")),
    Lies.STANDING,
    (TAPER, HEIGHT),
    (BOX,),
    STEPS,
    (Point2(inches("0"), inches("0")), Point2(inches("46 3/4"), inches("0"))),
    (),
    Proof((Gap(Edge.RIGHT, Slot.MIDDLE, inches("5/16")), Gap(Edge.RIGHT, inches("32"), inches("1/4")))),
    ("The offcut is under 2 in wide: score it deep and snap it in short lengths.",),
)
CAUTIONS = (
    "Power: have the circuit shut off, locked or tagged, and tested before any tool goes near box 1.",
    "Look at what is behind the wall. Local code and the licensed electrician have the last word.",
)


def line(label: str, value: str, standing: Standing = Standing.ACCEPTED, note: str | None = None) -> Line:
    """One value on the screen."""
    return Line(label, value, standing, "hanger", note)


READINGS = (
    line("width, top", "46 7/8"),
    line("width, middle", "46 3/4", Standing.CONFIRMED),
    line("width, bottom", "46 1/4", Standing.READ_BACK),
    line("height, left", "95 1/2", note="strong, 1/32 added"),
    line("box 1", "single gang, center 30 1/4 from left, 48 from top"),
)
DONE = View(
    room="back bedroom, north wall",
    board="2",
    boards=("1", "2"),
    unit=Unit.INCH,
    context=(line("right edge", "wall"), line("left edge", "board")),
    readings=READINGS,
    missing=(),
    last=Exchange("bottom forty six and a quarter", "whisper", "hanger", "Bottom: four six, and one quarter."),
    plan=PLAN,
    so_far=False,
    plan_trouble=None,
    cautions=CAUTIONS,
    ticked=frozenset(),
)
GATHERING = replace(
    DONE,
    readings=READINGS[:3],
    missing=(Missing("height at the left", "the sheet is cut to the shortest height"),),
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
    so_far=False,
    plan_trouble=None,
    cautions=(),
    ticked=frozenset(),
)
