"""The end of a dialogue that isn't live: its plans as JSON or as checklists, and the exit status."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fieldvoice.commands.output import block_cell, emit, show, tell
from fieldvoice.commands.talk import Talk
from fieldvoice.records.length import Unit

if TYPE_CHECKING:
    from fieldvoice.dialogue.view import View
    from fieldvoice.output.documents import Document


def show_plans(
    talk: Talk,
    unit: str | None,
    *,
    as_json: bool,
    trouble: str | None = None,
    transcript: bool = False,
    figures: str | None = None,
    before: Talk | None = None,
) -> int:
    """Print every finished plan. Returns 0 where each board has one, else 1; `trouble` is why there is none. In JSON
    the boards of a talk `before` this one stand beside them.
    """
    from fieldvoice.output.checklist import checklist
    from fieldvoice.output.documents.boards import no_plan_document, plan_document

    views = () if trouble else talk.session.views()
    why = trouble or _why_not(views)
    if as_json:
        chosen = Unit(unit) if unit else views[0].unit if views else Unit.INCH
        document = plan_document(views, chosen) if not trouble else no_plan_document(trouble, chosen)
        said = _transcript(talk) if transcript else {}
        planned = {} if before is None else {"planned_wall": {**_boards(before, chosen), **_transcript(before)}}
        emit({**document, **_layout(talk), **({"why": why} if why else {}), **planned, **said})
        return 1 if why else 0
    for view in views:
        if view.plan is not None and not view.draft:
            show(
                checklist(
                    view.plan,
                    view.cautions,
                    room=view.room,
                    ticked=view.ticked,
                    full=figures or block_cell(),
                )
            )
    if why and not trouble:
        tell(f"fieldvoice: {why}")
    return 1 if why else 0


def _transcript(talk: Talk) -> Document:
    return {"transcript": [turn.document() for turn in talk.turns]}


def _boards(talk: Talk, unit: Unit) -> Document:
    from fieldvoice.output.documents.boards import plan_document

    return plan_document(talk.session.views(), unit)


def _layout(talk: Talk) -> Document:
    """The layout of the walls and ceilings called, as `room` prints it, with the rack; where none was, the rack alone,
    if anything is on it.
    """
    from fieldvoice.output.documents.rooms import offcut_document, room_document

    view = talk.session.view()
    rack = [offcut_document(one, view.unit if view.room_plan is None else view.room_plan.unit) for one in view.rack]
    if view.room_plan is None:
        return {"rack": rack} if rack else {}
    return {"room": {**room_document(view.room_plan), "rack": rack}}


def _why_not(views: Sequence[View]) -> str | None:
    """Why a board has no finished plan, for each that has none."""
    if not views:
        return "No board was called, so there is nothing to cut."
    from fieldvoice.wording.drafts import still_open

    drafts = (view for view in views if view.plan is None or view.draft)
    return " ".join(still_open(view.board, view.plan_trouble, view.open, view.unit) for view in drafts) or None
