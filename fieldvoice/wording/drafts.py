"""What is said of a board that isn't settled: what is open, and why nothing of it is printed."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.records.facts import Key, Of
from fieldvoice.records.ledger import OpenItem, OpenKind
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import NoPlan
from fieldvoice.records.room_plan import PieceName
from fieldvoice.records.trouble import Hindrance, Trouble
from fieldvoice.wording import needs
from fieldvoice.wording.doubts import question
from fieldvoice.wording.forms import Both, Form, InWords, counted, joined
from fieldvoice.wording.troubles import sentence
from fieldvoice.wording.values import lead


def partner_cut(board: str, count: int) -> str:
    """What the partner of a recorded dialogue did at the sheets."""
    return f"Board {board} is cut, {counted(count, 'step')} ticked."


SETTLE = "Go on with the job and say done to hear what is open."


def not_printed(board: str, trouble: Hindrance | Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    """Why a board isn't printed, and what to do first."""
    return f"Board {board} is a draft, so nothing of it is printed: {_why(trouble, items, unit)}"


def still_open(board: str, trouble: Hindrance | Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    """Why a board has no plan to cut from."""
    return f"Board {board} has no plan to cut from: {_why(trouble, items, unit)}"


def not_called(pieces: Sequence[PieceName]) -> str:
    """Which pieces of a layout nobody has called a board for, wall by wall."""
    of: dict[str, list[str]] = {}
    for piece in pieces:
        of.setdefault(str(piece.surface), []).append(str(piece.number))
    told = (f"{name}, piece{'s' * (len(numbers) > 1)} {joined(numbers)}" for name, numbers in of.items())
    return f"Not called yet: {'; '.join(told)}."


def _why(trouble: Hindrance | Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    if trouble is not None:
        return sentence(trouble)
    wanted = [needs.said(item.need, Form(unit)) for item in items if item.need is not None]
    if wanted:
        return f"still needed: {'; '.join(wanted)}."
    return f"still open: {'; '.join(item_text(item, InWords(unit))[0] for item in items)}. {SETTLE}"


def item_text(item: OpenItem, ear: InWords) -> Both:
    """One thing that keeps a plan a draft."""
    if item.need is not None:
        return needs.what(item.need, ear.eye), needs.what(item.need, ear)
    if item.key is not None and item.key.of is Of.OPENING:
        return f"a {item.key.name} of the layout that wasn't called on this board", f"the {item.key.name}"
    if item.key is not None:
        what = f"what is at the {item.key.edge} edge" if item.key.of is Of.NEIGHBOR else f"the {_end(item.key)}"
        return what, what
    if item.unread:
        return "the last read-back, say done", "the last read-back"
    if item.call is None:
        boxes = () if item.doubt is None else item.doubt.boxes
        which, aloud = (joined(form.words(box) for box in boxes) for form in (ear.eye, ear))
        return f"for {item.by} to answer: whether {which} is dead and tested", f"for {item.by}: is {aloud} tested"
    text, spoken = lead(item.call, ear)
    if item.kind is OpenKind.MISSING:
        return f"{text}, of board {item.call.board}: it reaches onto this board", f"{spoken}, of another board"
    if item.kind is OpenKind.NOT_TAKEN:
        return f"not taken, for {item.by}: {text}", f"not taken: {spoken}"
    todo = "answer" if item.doubt is not None else "say yes to"  # read back, and nothing of it was asked
    return f"for {item.by} to {todo}: {text}", f"for {item.by}: {spoken}"


def _end(key: Key) -> str:
    return f"{key.of.value} at the {key.at}, never measured"


def item_ask(item: OpenItem, unit: Unit) -> str:
    """The question that settles it."""
    if item.need is not None:
        return needs.ask(item.need, Form(unit))
    if item.key is not None and item.key.of is Of.NEIGHBOR:
        return f"What is at the {item.key.edge} edge?"
    if item.key is not None and item.key.of is Of.OPENING:
        return f"Where is the {item.key.name}? Call it on this board, or take it out where the layout has it."
    if item.key is not None:
        return f"What is the {item.key.of.value} at the {item.key.at}?"
    if item.kind is OpenKind.MISSING:
        return "Where is it here? Call it from this board's edges, by its own edge where its middle isn't here."
    if item.doubt is not None:
        values = item.unread or ((item.call,) if item.call is not None else ())
        return question(item.doubt, values, InWords(unit))[0]
    if item.kind is OpenKind.NOT_TAKEN:
        return "Say it again, or leave it out?"
    return "Right?"
