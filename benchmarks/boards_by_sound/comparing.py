"""What a settled plan tells the partner, held against the plan of the board that was meant: exactly, part by part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace

from fieldvoice.dialogue.session import Session
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Fact
from fieldvoice.records.meaning import Box, Opening
from fieldvoice.records.plan import CutPlan, OpeningPlan, Step

Part = tuple[str, object]
"""What a part of a plan is, and the part itself; alike in two plans where the same is cut at the same places."""


def plan_of(session: Session, board: str) -> CutPlan | None:
    """The plan to cut from; none where there is only a draft."""
    view = session.view(board)
    return None if view.draft else view.plan


def boards_of(session: Session) -> tuple[str, ...]:
    """The boards that anything was called on."""
    return tuple(view.board for view in session.views())


def differences(session: Session, meant: Session) -> tuple[str, ...]:
    """What of the settled plans isn't as meant: too much, too little, or otherwise. Nothing where each board that was
    meant has a plan, no other board has one, and the plans are the same in every mark, box, opening and reading.
    """
    found: list[str] = []
    for board in sorted({*boards_of(session), *boards_of(meant)}):
        stands, wanted = (Counter(_parts_of(one, board)) for one in (session, meant))
        found += [f"{board}: not meant: {_told(part)}" for part in (stands - wanted).elements()]
        found += [f"{board}: not there: {_told(part)}" for part in (wanted - stands).elements()]
    return tuple(found)


def not_as_called(session: Session, board: str, facts: tuple[Fact, ...]) -> tuple[str, ...]:
    """What of a settled plan's readings, boxes and openings isn't what was to be called, as it was drawn up before
    anything was said: this asks nothing of the words, the ears or the dialogue.
    """
    plan = plan_of(session, board)
    if plan is None:
        return (f"{board}: no plan",)
    has = plan.board
    called: tuple[Fact, ...] = (*has.widths, *has.heights, *has.boxes, *has.openings)
    stands, wanted = (Counter(map(_nameless, each)) for each in (called, facts))
    cut = Counter(one.kind for one in plan.openings)
    boxes = Counter(one.kind for one in facts if isinstance(one, Box | Opening))
    return (
        *(f"{board}: not called: {one}" for one in (stands - wanted).elements()),
        *(f"{board}: not in the plan: {one}" for one in (wanted - stands).elements()),
        *(f"{board}: no hole for a {one}" for one in (boxes - cut).elements()),
    )


def _nameless(fact: Fact) -> Fact:
    return replace(fact, name="") if isinstance(fact, Box | Opening) else fact


def _told(part: Part) -> str:
    return f"{part[0]} {part[1]}"


def _parts_of(session: Session, board: str) -> Iterator[Part]:
    plan = plan_of(session, board)
    if board not in boards_of(session):
        return
    if plan is None:
        yield "no plan", ""
        return
    names = _names(plan)
    yield from _board(plan.board, names)
    yield "sheet", (plan.sheet, plan.lies)
    for line in plan.cuts:
        for mark in line.marks:
            yield f"mark of the {line.edge}", (line.origin, line.shape, mark)
    for one in plan.openings:
        yield "opening", replace(one, name=names[one.name])
    for step in plan.steps:
        yield "step", _step(step, names)
    for point in plan.outline:
        yield "corner", point


def _board(board: Board, names: Mapping[str, str]) -> Iterator[Part]:
    """The readings and what else a cut depends on. How an edge came to be known is no part of it."""
    for reading in (*board.widths, *board.heights, *board.diagonals, *board.plumbs):
        yield "reading", reading
    for box in board.boxes:
        yield "box", replace(box, name=names.get(box.name, box.name))
    for opening in board.openings:
        yield "opening", replace(opening, name=names.get(opening.name, opening.name))
    for edge, setting in board.edges.items():
        yield f"{edge} edge", (setting.neighbor, setting.clearance)
    for name, word in board.circuits.items():
        yield "circuit", (names.get(name, name), word)
    yield "thickness", (board.thickness, board.kind, board.layers, board.surface, board.unit, board.step)


def _names(plan: CutPlan) -> dict[str, str]:
    """Each opening by its place: which of two was called first is no part of what is cut."""
    return {one.name: _place(one) for one in plan.openings}


def _place(one: OpeningPlan) -> str:
    return f"{one.kind} at {one.center.x} {one.center.y}"


def _step(step: Step, names: Mapping[str, str]) -> Step:
    """The step without its caution, which tells who said what of a circuit and when."""
    opening = None if step.opening is None else names.get(step.opening, step.opening)
    return replace(step, caution=None, opening=opening, near=tuple(sorted(names.get(one, one) for one in step.near)))
