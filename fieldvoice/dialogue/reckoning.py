"""A reading that was told by another ("an eighth less than the top"): worked out from what is in force, to be asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from fieldvoice.dialogue.state import are_one_figure
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Dimension, Place, Reading
from fieldvoice.records.utterance import Relative

_Base = dict[int, Reading]
"""Readings by the numbers of their calls."""


def reckoned(turn: Turn, told: Relative) -> tuple[tuple[Reading, ...], tuple[int, ...]]:
    """The reading with its figure, each of its places where one breath called it for several, and the calls by which it
    is told; none where these aren't sure, or may be one of several.
    """
    awaited = turn.state.awaited.get(turn.who)
    at = told.at or (awaited.at if awaited is not None else None)
    dimension = told.dimension or (awaited.dimension if awaited is not None and told.at is None else None)
    if told.changes:
        base = _last(turn) if told.at is None else _at(turn, told.dimension, told.at)
        return _longer(base.values(), told.by), tuple(base)
    base = _last(turn) if told.like is None else _at(turn, dimension, told.like)
    others = {call: one for call, one in base.items() if one.at != at and dimension in {None, one.dimension}}
    if at is None or not others:
        return (), ()
    call, other = next(iter(others.items()))
    return _longer((replace(other, at=at),), told.by), (call,)


def _last(turn: Turn) -> _Base:
    """What was read back last, where that is one figure: "it" is nothing that was called before that."""
    known = turn.state.known(turn.state.board).values()
    calls = [turn.state.calls[each] for each in turn.state.read_last.calls if each in turn.state.calls]
    sure = are_one_figure(calls) and all(call in known for call in calls)
    return {call.number: call.fact for call in calls if isinstance(call.fact, Reading)} if sure else {}


def _at(turn: Turn, dimension: Dimension | None, at: Place) -> _Base:
    there = {
        call.number: call.fact
        for call in turn.state.known(turn.state.board).values()
        if isinstance(call.fact, Reading) and call.fact.at == at and dimension in {None, call.fact.dimension}
    }
    return there if len(there) == 1 else {}


def _longer(readings: Iterable[Reading], by: Length) -> tuple[Reading, ...]:
    return tuple(replace(one, value=one.value + by, qualifier=None) for one in readings if one.value + by > ZERO)
