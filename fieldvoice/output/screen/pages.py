"""What is a key away: all cautions, all steps and notes, the keys and what can be said now."""

from __future__ import annotations

from fieldvoice.dialogue.view import View
from fieldvoice.output.screen.parts import Lines, Medium, bar, danger, where, wrapped
from fieldvoice.wording import cautions, warnings
from fieldvoice.wording import screen as wording
from fieldvoice.wording import steps as steps_wording


def cautions_page(view: View, columns: int, medium: Medium) -> Lines:
    """Every caution of the board in full, the ones about power first."""
    every = cautions.every(view.cautions, view.plan.steps if view.plan is not None else ())
    lead = wrapped("", wording.READ_CAUTIONS if every else wording.NO_CAUTIONS, columns, "bold")
    listed = [line for caution in every for line in wrapped("! ", caution, columns)]
    return (bar(f"CAUTIONS, {where(view)}", columns, medium.dash, "bold"), *danger(view, columns), *lead, *listed)


def steps_page(view: View, columns: int, medium: Medium) -> Lines:
    """All steps with their ticks, then the notes, then every reading."""
    steps = view.plan.steps if view.plan is not None and not view.so_far else ()
    listed = [
        line
        for number, step in enumerate(steps, 1)
        for line in wrapped(
            f"[{'x' if number in view.ticked else ' '}] {number:>2}. ", steps_wording.text(step, view.unit), columns
        )
    ]
    none = () if steps else wrapped("", wording.NO_STEPS, columns)
    warned = view.plan.warnings if view.plan is not None else ()
    notes = [line for each in warned for line in wrapped("Note: ", warnings.text(each, view.unit), columns)]
    known = [
        line
        for each in (*view.readings, *view.context)
        for line in wrapped("  ", f"{each.label}: {each.value}{f' ({each.note})' if each.note else ''}", columns)
    ]
    return (bar(f"STEPS AND NOTES, {where(view)}", columns, medium.dash, "bold"), *listed, *none, *notes, *known)


def keys_page(view: View, columns: int, medium: Medium) -> Lines:
    """What each key does, and what can be said now."""
    cutting = view.plan is not None and not view.so_far
    now = wording.SAY_WHILE_CUTTING if cutting else wording.SAY_WHILE_MEASURING
    keys = [line for key, does in wording.KEYS for line in wrapped(f"{key:>9}  ", does, columns)]
    return (bar("KEYS", columns, medium.dash, "bold"), *keys, *wrapped("Say now: ", now, columns, "bold"))
