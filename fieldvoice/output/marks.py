"""What belongs before the partner's eyes now, marks above all: the same for every surface that shows them large."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.dialogue.view import Line, View
from fieldvoice.output.figures import Figure
from fieldvoice.records.facts import Fact
from fieldvoice.records.ledger import Standing
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Diagonal, Edge, Incomplete, Reading, Slot
from fieldvoice.records.plan import CutLine, CutPlan, Does, HoleMarks, Mark, Offset, Step
from fieldvoice.wording import captions, values
from fieldvoice.wording.forms import hook, joined
from fieldvoice.wording.notices import answer
from fieldvoice.wording.values import Told


@dataclass(frozen=True, slots=True)
class Marks:
    """The marks of one step, with where the tape hooks on; none where `figures` is empty. `cut` is the cut that they
    belong to, `opening` the name of the opening.
    """

    caption: str = ""
    figures: tuple[Figure, ...] = ()
    cut: CutLine | None = None
    opening: str | None = None


def told(line: Line, unit: Unit) -> Told:
    """A value that stands, worded."""
    return values.told(line.call, unit, line.circuit, wired=line.wired)


def where(view: View) -> str:
    """The wall or ceiling; else the room and the board."""
    return captions.board_named(view.board, view.room) if view.surface is None else view.surface.name


def heard(view: View) -> str:
    """What was heard, by whom, and what it became; a question stands elsewhere."""
    last = view.last
    if last is None:
        return ""
    return captions.heard(
        last.by, last.heard, "" if last.asks else answer(last.answer, view.unit), refused=last.refused
    )


def fresh_reading(view: View) -> Line | None:
    """The reading in question, else the one just read back, where its value is figures alone."""
    for standing in (Standing.DOUBTFUL, Standing.READ_BACK):
        for line in reversed(view.readings):
            if line.call.standing is standing and _is_figure(line.call.fact, view.unit):
                return line
    return None


def _is_figure(fact: Fact | Incomplete | None, unit: Unit) -> bool:
    """Whether it is told in figures alone: what no inch tape shows has its unit behind it."""
    return isinstance(fact, Reading | Diagonal) and (unit is Unit.MM or fact.value.on_inch_tape)


def marks_ahead(plan: CutPlan, number: int) -> Marks:
    """The marks of the step with that number, from 1, else of the next one that has any."""
    found = (marks_of(plan, step) for step in plan.steps[number - 1 :])
    return next((marks for marks in found if marks.figures), Marks())


def marks_of(plan: CutPlan, step: Step) -> Marks:
    """The marks that a step makes, or that it cuts along. A square cut has one figure."""
    unit = plan.board.unit
    for other in plan.steps:
        if step.cut is not None and other.does is Does.MARK and other.edge is step.cut and other.origin is not None:
            cut = next((cut for cut in plan.cuts if cut.edge is step.cut), None)
            caption = captions.edge_marks(step.cut, other.origin)
            return Marks(caption, _along(other.marks, unit), cut)
        if step.opening is not None and other.opening == step.opening and other.hole is not None:
            return _hole(step.opening, other.hole, unit)
    return Marks()


def _along(marks: tuple[Mark, ...], unit: Unit) -> tuple[Figure, ...]:
    first = marks[0].distance
    if all(mark.distance == first for mark in marks):
        return (Figure(first.text(unit), "ALL ALONG"),)
    return tuple(Figure(mark.distance.text(unit), _place(mark, unit)) for mark in marks)


def _place(mark: Mark, unit: Unit) -> str:
    """The end of the edge that the mark is at, or how far from it."""
    if mark.start is not None:
        return mark.start.value.upper() + (f" {mark.along.text(unit)}" if mark.along else "")
    return mark.at.value.upper() if isinstance(mark.at, Slot) else f"AT {mark.at.text(unit)}"


def _hole(name: str, hole: HoleMarks, unit: Unit) -> Marks:
    """A center across and down, with the radius of a circle; else the sides, each from its own edge."""
    if hole.center is not None:
        figures = tuple(Figure(offset.distance.text(unit), _from(offset)) for offset in hole.center)
        radius = (Figure(hole.radius.text(unit), "RADIUS"),) if hole.radius is not None else ()
        return Marks(_caption(name, "CENTER", hole.center), (*figures, *radius), None, name)
    figures = tuple(Figure(offset.distance.text(unit), _SIDES[edge]) for edge, offset in hole.sides)
    return Marks(_caption(name, "SIDES", tuple(offset for _, offset in hole.sides)), figures, None, name)


def _caption(name: str, what: str, offsets: tuple[Offset, ...]) -> str:
    hooks = dict.fromkeys(hook(offset.hook) for offset in offsets)
    return f"{name.upper()} {what}: from {joined(hooks)}"


def _from(offset: Offset) -> str:
    return offset.hook.edge.value.upper()


_SIDES = {edge: edge.value.upper() for edge in Edge}
