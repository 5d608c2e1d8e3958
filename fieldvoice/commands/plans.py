"""The end of a dialogue that isn't live: its plans as JSON or as checklists, and the exit status."""

from __future__ import annotations

from fieldvoice.commands.output import block_cell, emit, show, tell
from fieldvoice.commands.talk import Talk
from fieldvoice.records.length import Unit


def show_plans(
    talk: Talk,
    unit: str | None,
    *,
    as_json: bool,
    trouble: str | None = None,
    transcript: bool = False,
    figures: str | None = None,
) -> int:
    """Print every finished plan. Returns 0 where each board has one, else 1; `trouble` is why there is none."""
    from fieldvoice.output.checklist import checklist
    from fieldvoice.output.documents import no_plan_document, plan_document

    views = tuple(talk.views.values())
    why = trouble or _why_not(talk)
    if as_json:
        chosen = Unit(unit) if unit else views[0].unit if views else Unit.INCH
        document = plan_document(views, chosen) if not trouble else no_plan_document(trouble, chosen)
        said = {"transcript": [turn.document() for turn in talk.turns]} if transcript else {}
        emit({**document, **({"why": why} if why else {}), **said})
        return 1 if why else 0
    for view in views:
        if view.plan is not None:
            show(
                checklist(
                    view.plan,
                    view.cautions,
                    room=view.room,
                    ticked=view.ticked,
                    so_far=view.so_far,
                    full=figures or block_cell(),
                )
            )
    if why and not trouble:
        tell(f"fieldvoice: {why}")
    return 1 if why else 0


def _why_not(talk: Talk) -> str | None:
    """Why a board has no finished plan, for each that has none."""
    if not talk.views:
        return "No board was spoken of, so there is nothing to cut."
    from fieldvoice.wording.needs import said

    reasons = []
    for view in talk.views.values():
        if view.plan is not None and not view.so_far:
            continue
        needs = "; ".join(said(item, view.unit) for item in view.missing)
        reason = view.plan_trouble or (f"still needed: {needs}" if needs else "a value is still in question")
        reasons.append(f"Board {view.board} has no plan to cut from: {reason}")
    return " ".join(reasons) or None
