"""Which marks belong before the partner's eyes now: the same for every surface that shows them large."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.dialogue.view import View
from fieldvoice.output import words
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Slot
from fieldvoice.records.plan import CutLine, CutPlan, OpeningPlan, Step


@dataclass(frozen=True, slots=True)
class Figure:
    """A length to show large: its text in the job's unit, under its place (`TOP`)."""

    text: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Marks:
    """The marks of one step, with where the tape hooks on; none where `figures` is empty. `cut` and `opening` are what
    they belong to.
    """

    caption: str = ""
    figures: tuple[Figure, ...] = ()
    cut: CutLine | None = None
    opening: OpeningPlan | None = None


def marks_ahead(plan: CutPlan, number: int) -> Marks:
    """The marks of the step with that number, from 1, else of the next one that has any."""
    found = (marks_of(plan, step) for step in plan.steps[number - 1 :])
    return next((marks for marks in found if marks.figures), Marks())


def marks_of(plan: CutPlan, step: Step) -> Marks:
    """The marks of one step. A square cut has one figure."""
    unit = plan.board.unit
    for cut in plan.cuts:
        if step.cut is cut.edge:
            along = "ALL ALONG" if words.same_all_along(cut) else None
            figures = tuple(
                Figure(mark.distance.text(unit), along or _place(mark.at, unit)) for mark in words.distinct(cut)
            )
            return Marks(f"{cut.edge.value.upper()} EDGE: hook on the {cut.origin.value.upper()} edge", figures, cut)
    for opening in plan.openings:
        if step.opening == opening.name:
            x, y = opening.center.x.text(unit), opening.center.y.text(unit)
            caption = f"{opening.name.upper()} CENTER: across from the {opening.x_from}, down from the {opening.y_from}"
            return Marks(caption, (Figure(x, "ACROSS"), Figure(y, "DOWN")), None, opening)
    return Marks()


def _place(at: Slot | Length, unit: Unit) -> str:
    return at.value.upper() if isinstance(at, Slot) else f"AT {at.text(unit)}"


def current(view: View) -> tuple[int, Step] | None:
    """The step in hand with its number from 1; None where there is no plan to cut from, or every step is done."""
    if view.plan is None or view.so_far:
        return None
    return words.current_step(view.plan, view.ticked)
