"""What is told of boards and what stands on them: which one work is at, what it takes over, what a layout changes;
of one that isn't settled what is open, and why nothing of it is printed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fieldvoice.records.facts import Key, Of, key_of
from fieldvoice.records.ledger import OpenItem, OpenKind, Tell, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Edge, Topic
from fieldvoice.records.plan import NoPlan
from fieldvoice.records.room_plan import PieceName
from fieldvoice.records.trouble import Hindrance, Trouble
from fieldvoice.wording import needs
from fieldvoice.wording.doubts import question
from fieldvoice.wording.forms import Both, Form, InWords, Worded, counted, each, joined
from fieldvoice.wording.surfaces import the
from fieldvoice.wording.troubles import sentence
from fieldvoice.wording.values import calls_in, figures, label, lead, strings_in, title, topic_label


def _board(values: Sequence[Value], form: Form) -> str:
    name, new = values
    return f"Board {form.words(name)}, {'new' if new else 'as it stands'}."


def _of_board(values: Sequence[Value], form: Form) -> str:
    return f"On {_board_named(values, form)}:"


def _say_board(values: Sequence[Value], form: Form) -> str:
    last, here = _board_named(values[:2], form), _board_named(values[2:], form)
    return f"Not taken: is that of {last} or of {here}? Go there by its name, then say it again."


def _board_named(values: Sequence[Value], form: Form) -> str:
    name, surface = values
    return the(name, form) if surface else f"board {form.words(name)}"


def _carried(values: Sequence[Value], ear: InWords) -> Both:
    calls = calls_in(values)
    if not calls:
        return "Nothing carries over from the last board.", "Nothing carries over."
    said = ", ".join(_stands(call.fact, ear.eye) for call in calls if isinstance(call.fact, Context))
    short = ", ".join(_stands(call.fact, ear) for call in calls[:4] if isinstance(call.fact, Context))
    return f"As before: {said}.", f"As before: {short}."


def _still_here(values: Sequence[Value], ear: InWords) -> Both:
    facts = [fact for fact in values if isinstance(fact, Context)]
    text, spoken = (", ".join(_stands(fact, form) for fact in facts) for form in (ear.eye, ear))
    return f"Here still: {text}.", f"Here still: {spoken}."


def _stands(fact: Context, form: Form) -> str:
    key = key_of(fact)
    name = label(key, form) if key.of in {Of.NEIGHBOR, Of.CLEARANCE} else topic_label(fact.topic.value)
    return f"{name} {figures(fact, form)}"


def _renewed(values: Sequence[Value], ear: InWords) -> Both:
    board, *rest = values
    if not rest:
        return f"Board {board} has no place in the layout any more.", f"Board {ear.words(board)} has no place now."
    now, said = _now(rest, ear, "no {}")
    return f"Board {board} is laid out differently now: {now}.", f"Board {ear.words(board)} now: {said}."


def _cut_otherwise(values: Sequence[Value], ear: InWords) -> Both:
    board, *rest = values
    now, said = _now(rest, ear, "{} isn't known")
    return (
        f"Board {board} counts as cut, but the layout has changed there: {now}.",
        f"Board {ear.words(board)} counts as cut, but the layout has changed there: {said}.",
    )


def _now(values: Sequence[Value], ear: InWords, gone: str) -> Both:
    """What stands on a board now, and what doesn't any more; aloud no stud is counted up."""
    facts = [fact for fact in values if isinstance(fact, Context)]
    off = [gone.format(title(call, ear).lower()) for call in calls_in(values)]
    text = (_stands(fact, ear.eye) for fact in facts)
    aloud = ("other studs" if fact.topic is Topic.STUDS else _stands(fact, ear) for fact in facts)
    return ", ".join((*text, *off)), ", ".join((*aloud, *off))


def _openings_now(values: Sequence[Value], form: Form) -> str:
    board, cut, *kinds = values
    now = joined([f"a {kind}" for kind in strings_in(kinds)])
    done = ", and counts as cut without it" if cut else ""
    return f"Board {form.words(board)} has {now} in it now by the layout{done}."


def _not_carried(values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = (
        ", ".join(_stands(call.fact, form) for call in calls_in(values) if isinstance(call.fact, Context))
        for form in (ear.eye, ear)
    )
    return f"Not taken over: {text}.", f"Not taken over: {spoken}."


def _defaults(values: Sequence[Value], ear: InWords) -> Both:
    facts = [fact for fact in values if isinstance(fact, Context)]
    said = ", ".join(f"{fact.edge} {figures(fact, ear.eye)}" for fact in facts)
    short = " ".join(figures(fact, ear) for fact in facts) if len(facts) == len(Edge) else said
    return f"By default: {said}.", f"By default {short}."


def _sheet_of_unit(values: Sequence[Value], form: Form) -> str:
    (width,) = values
    assert isinstance(width, Length)
    return f"Nobody called the sheet: it is {form.with_unit(width)} wide now."


def _no_board(values: Sequence[Value], form: Form) -> str:
    name, *there = map(form.words, values)
    return f"There is no board {name} yet, only {', '.join(there)}. Say board {name} to start it."


OF_BOARDS: Mapping[Tell, Worded] = {
    Tell.BOARD: each(_board),
    Tell.OF_BOARD: each(_of_board),
    Tell.SAY_BOARD: each(_say_board),
    Tell.CARRIED: _carried,
    Tell.STILL_HERE: _still_here,
    Tell.NOT_CARRIED: _not_carried,
    Tell.OPENINGS_NOW: each(_openings_now),
    Tell.PIECE_RENEWED: _renewed,
    Tell.CUT_OTHERWISE: _cut_otherwise,
    Tell.DEFAULTS: _defaults,
    Tell.SHEET_OF_UNIT: each(_sheet_of_unit),
    Tell.FROM_FLOOR: lambda _, __: ("“From bottom” is from the floor here, below this board.", "From the floor."),
    Tell.NO_BOARD: each(_no_board),
}


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
