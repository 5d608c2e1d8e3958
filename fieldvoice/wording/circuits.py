"""What is told of circuits: who said what, and what it does to the tools. Nothing here says that a circuit is dead."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from fieldvoice.records.ledger import Tell, Value
from fieldvoice.records.length import Unit
from fieldvoice.wording.cautions import clock
from fieldvoice.wording.doubts import Both


def _strings(values: Sequence[Value]) -> tuple[str, ...]:
    return tuple(value for value in values if isinstance(value, str))


def _not_dead(values: Sequence[Value], _: Unit) -> Both:
    who, count, *rest = values
    assert isinstance(count, int)
    names = [str(each) for each in rest[:count]]
    gone = [str(each) for each in rest[count:]]
    revoked = [f"{box} of board {board}" for board, box in zip(gone[::2], gone[1::2], strict=True)]
    shown = " and ".join(names) or "this job"
    end = f" “Dead and tested” for {' and '.join(revoked)} is canceled." if revoked else ""
    text = f"{shown}: not dead, says {who}.{end} No tool goes into a box there."
    few = shown if len(names) < 3 else "All boxes"
    spoken = f"{few}: not dead, says {who}. No tool goes into a box."
    return text, spoken


def _maybe_live(values: Sequence[Value], _: Unit) -> Both:
    parts = _strings(values)
    boxes = " and ".join(f"{box} of board {board}" for board, box in zip(parts[::2], parts[1::2], strict=True))
    text = f"That may be about a circuit. “Dead and tested” for {boxes} is canceled. No tool goes in."
    return text, "That may be about a circuit. No tool goes into a box until it's called dead and tested again."


def _moved_since(values: Sequence[Value], _: Unit) -> Both:
    parts = _strings(values)
    boxes = " and ".join(f"{box} of board {board}" for board, box in zip(parts[::2], parts[1::2], strict=True))
    text = f"“Dead and tested” for {boxes} is canceled: it was said of another place. No tool goes in."
    return text, f"{' and '.join(parts[1::2])}: not dead and tested any more."


def _dead(values: Sequence[Value], _: Unit) -> Both:
    who, at, *boxes = values
    assert isinstance(at, datetime)
    names = " and ".join(str(box) for box in boxes)
    text = f"{names}: dead and tested, says {who} at {clock(at)}."
    return text, f"{names}: dead and tested, says {who}."


def _dead_recorded(values: Sequence[Value], _: Unit) -> str:
    names = " and ".join(_strings(values))
    it = "them" if len(values) > 1 else "it"
    return f"{names}: what a file or a program says about a circuit doesn't count, so no tool goes into {it}."


def _heed(values: Sequence[Value], _: Unit) -> Both:
    boxes = _strings(values)
    names = " and ".join(boxes)
    they = "they are" if len(boxes) > 1 else "it is"
    text = f"{names}: nobody has said that {they} dead and tested, so no tool goes in."
    short = names if len(boxes) < 3 else f"{len(boxes)} boxes"
    return text, f"{short}: not dead and tested. No tool goes in."


WORDED: Mapping[Tell, Callable[[Sequence[Value], Unit], Both | str]] = {
    Tell.NOT_DEAD: _not_dead,
    Tell.MAYBE_LIVE: _maybe_live,
    Tell.MOVED_SINCE: _moved_since,
    Tell.BOX_WAITS: lambda values, _: (
        f"{' and '.join(_strings(values[1:]))} isn't settled: {values[0]} has to go on first. Then say it again."
    ),
    Tell.DEAD: _dead,
    Tell.DEAD_RECORDED: _dead_recorded,
    Tell.ONLY_TESTER: lambda values, _: (
        f"Only the person who tested can say yes to that, so {' and '.join(_strings(values))} stays as it was."
    ),
    Tell.HEED: _heed,
}
"""What is told of circuits, by its code."""
