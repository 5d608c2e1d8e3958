"""A reading that was told by another ("an eighth less than the top"): worked out from what is in force, to be asked."""

from __future__ import annotations

from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Dimension, Place, Reading
from fieldvoice.records.utterance import Relative


def reckoned(turn: Turn, told: Relative) -> Reading | None:
    """The reading with its figure; None where that by which it is told isn't sure, or may be one of several."""
    known = [call for call in turn.state.known(turn.state.board).values() if isinstance(call.fact, Reading)]
    readings = [call.fact for call in sorted(known, key=lambda call: call.number) if isinstance(call.fact, Reading)]
    last = readings[-1] if readings else None
    if told.changes:
        base = last if told.at is None else _at(readings, told.dimension, told.at)
        return _longer(base, told.by, base.dimension, base.at) if base is not None else None
    awaited = turn.state.awaited.get(turn.who)
    at = told.at or (awaited.at if awaited is not None else None)
    dimension = told.dimension or (awaited.dimension if awaited is not None and told.at is None else None)
    base = last if told.like is None else _at(readings, dimension, told.like)
    if base is None or at is None or base.at == at or dimension not in {None, base.dimension}:
        return None
    return _longer(base, told.by, base.dimension, at)


def _at(readings: list[Reading], dimension: Dimension | None, at: Place) -> Reading | None:
    found = [one for one in readings if one.at == at and dimension in {None, one.dimension}]
    return found[0] if len(found) == 1 else None


def _longer(base: Reading, by: Length, dimension: Dimension | None, at: Place | None) -> Reading | None:
    value = base.value + by
    return Reading(value, dimension, at) if value > ZERO else None
