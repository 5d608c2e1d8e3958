"""The checklist on paper: plain text, cautions first, a box to tick at each step."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.output.fastening import plan_lines
from fieldvoice.output.figures import large
from fieldvoice.output.text import fitted_lines
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutLine, CutPlan, OpeningPlan, Step
from fieldvoice.records.said import Caution
from fieldvoice.wording import captions, forms, warnings
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.cautions import at_step, every

COLUMNS = 78
"""What a plain page and a narrow terminal both hold."""


def checklist(
    plan: CutPlan,
    cautions: tuple[Caution, ...],
    *,
    room: str | None = None,
    ticked: frozenset[int] = frozenset(),
    full: str = "#",
) -> str:
    """One board's checklist. Marks are drawn large with the cell `full`; lengths are in the board's unit."""
    unit = plan.board.unit
    parts = (
        _title(plan, room),
        _cautions(every(cautions, plan.steps)),
        _marks(plan, unit, full),
        _openings(plan, unit),
        _steps(plan.steps, ticked, unit),
        _gaps(plan, unit),
        [captions.FASTENING, *_lines("- ", plan_lines(plan))],
        _lines("Note: ", (warnings.text(warning, unit) for warning in plan.warnings)),
    )
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _title(plan: CutPlan, room: str | None) -> list[str]:
    name = captions.board_title(plan.board.name, room)
    return [
        name,
        "=" * len(name),
        f"{captions.source_line(plan)}. {captions.MARK_THE_FACE}",
    ]


def _cautions(cautions: tuple[str, ...]) -> list[str]:
    return [] if not cautions else ["CAUTIONS FIRST", *_lines("! ", cautions)]


def _marks(plan: CutPlan, unit: Unit, full: str) -> list[str]:
    lines: list[str] = []
    for cut in plan.cuts:
        lines += _cut(cut, unit, full)
    for cut in plan.broken:
        marks = ", ".join(f"{mark.distance.text(unit)} {forms.place(mark.at, unit)}" for mark in cut.marks)
        lines += _wrap(captions.broken(cut, marks))
    return lines


def _cut(cut: CutLine, unit: Unit, full: str) -> list[str]:
    lines = [captions.marks_title(cut, unit)]
    for mark in cut.distinct:
        where = "all along" if cut.same_all_along else forms.place(mark.at, unit)
        off = forms.rounding(mark, unit)
        lines.append(f"  {where}: {mark.distance.text(unit)}" + (f" ({off})" if off else ""))
        lines += ["", *(f"    {row}".rstrip() for row in large(mark.distance.text(unit), full=full)), ""]
    return lines


def _openings(plan: CutPlan, unit: Unit) -> list[str]:
    return [line for opening in plan.openings for line in _opening(opening, unit)]


def _opening(opening: OpeningPlan, unit: Unit) -> list[str]:
    if opening.held:
        return [f"{opening.name.upper()}: {opening.kind}", *_wrap(captions.waits(opening), "  ")]
    return [
        f"{captions.opening_title(opening)}{captions.circuit_state(opening.state)}",
        *_wrap(captions.opening_center(opening, unit), "  "),
        *_wrap(captions.opening_sides(opening, unit), "  "),
        *(line for other in opening.alternates for line in _wrap(captions.other_way(forms.way(other, unit)), "  ")),
    ]


def _steps(steps: tuple[Step, ...], ticked: frozenset[int], unit: Unit) -> list[str]:
    lines = ["STEPS"]
    for number, step in enumerate(steps, 1):
        if caution := at_step(step):
            lines += _wrap(caution, "     ! ")
        lines += _wrap(steps_wording.text(step, unit), f"[{'x' if number in ticked else ' '}] {number}. ")
        if why := steps_wording.why(step):
            lines += _wrap(f"why: {why}", "       ")
    return lines


def _gaps(plan: CutPlan, unit: Unit) -> list[str]:
    if not plan.proof.gaps:
        return []
    return _wrap(captions.gaps(plan.proof.gaps, unit))


def _lines(lead: str, texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in _wrap(text, lead)]


def _wrap(text: str, lead: str = "") -> list[str]:
    return fitted_lines(lead + text, COLUMNS, " " * len(lead))
