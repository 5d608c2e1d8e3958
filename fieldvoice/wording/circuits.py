"""What is told of circuits: who said what, and what it does to the tools. Nothing here says that a circuit is dead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from fieldvoice.records.ledger import Tell, Value
from fieldvoice.wording.forms import Both, Form, InWords, Worded, each


def _not_dead(values: Sequence[Value], ear: InWords) -> Both:
    who, count, *rest = values
    assert isinstance(count, int)
    end = f" “Dead and tested” for {_of_boards(rest[count:], ear.eye)} is canceled." if rest[count:] else ""
    text = f"{_all(rest[:count], ear.eye) or 'this job'}: not dead, says {who}.{end} No tool goes into a box there."
    few = (_all(rest[:count], ear) or "this job") if count < 3 else "All boxes"
    return text, f"{few}: not dead, says {ear.words(who)}. No tool goes into a box."


def _all(boxes: Iterable[Value], form: Form) -> str:
    return " and ".join(map(form.words, boxes))


def _of_boards(values: Sequence[Value], form: Form) -> str:
    """Boxes, each behind its board: "box 1 of board 2"."""
    pairs = zip(values[::2], values[1::2], strict=True)
    return " and ".join(f"{form.words(box)} of board {form.words(board)}" for board, box in pairs)


def _maybe_live(values: Sequence[Value], ear: InWords) -> Both:
    boxes = _of_boards(values, ear.eye)
    text = f"That may be about a circuit. “Dead and tested” for {boxes} is canceled. No tool goes in."
    return text, "That may be about a circuit. No tool goes into a box until it's called dead and tested again."


def _moved_since(values: Sequence[Value], ear: InWords) -> Both:
    boxes = _of_boards(values, ear.eye)
    text = f"“Dead and tested” for {boxes} is canceled: it was said of another place. No tool goes in."
    return text, f"{_all(values[1::2], ear)}: {'untested' if ear.brief else 'not dead and tested any more'}."


def _dead(values: Sequence[Value], ear: InWords) -> Both:
    who, at, *boxes = values
    assert isinstance(at, datetime)
    text = f"{_all(boxes, ear.eye)}: dead and tested, says {who} at {ear.eye.time(at)}."
    return text, f"{_all(boxes, ear)}: dead and tested, says {ear.words(who)}."


def _dead_recorded(values: Sequence[Value], form: Form) -> str:
    it = "them" if len(values) > 1 else "it"
    told = "what a file or a program says about a circuit doesn't count, so no tool goes into"
    return f"{_all(values, form)}: {told} {it}."


def _heed(boxes: Sequence[Value], ear: InWords) -> Both:
    they = "they are" if len(boxes) > 1 else "it is"
    text = f"{_all(boxes, ear.eye)}: nobody has said that {they} dead and tested, so no tool goes in."
    short = _all(boxes, ear) if len(boxes) < 3 else ear.counted(len(boxes), "box", "boxes")
    return text, f"{short}: not dead and tested. No tool goes in."


def _box_waits(values: Sequence[Value], form: Form) -> str:
    who, *boxes = values
    return f"{_all(boxes, form)} isn't settled: {form.words(who)} has to go on first. Then say it again."


def _only_tester(boxes: Sequence[Value], form: Form) -> str:
    return f"Only the person who tested can say yes to that, so {_all(boxes, form)} stays as it was."


WORDED: Mapping[Tell, Worded] = {
    Tell.NOT_DEAD: _not_dead,
    Tell.MAYBE_LIVE: _maybe_live,
    Tell.MOVED_SINCE: _moved_since,
    Tell.BOX_WAITS: each(_box_waits),
    Tell.DEAD: _dead,
    Tell.DEAD_RECORDED: each(_dead_recorded),
    Tell.ONLY_TESTER: each(_only_tester),
    Tell.HEED: _heed,
}
"""What is told of circuits, by its code."""
