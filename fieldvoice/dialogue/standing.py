"""Whether the layout that stands can go on being cut: what is left of every sheet that is begun gives the rest of its
pieces. While it does nothing is planned anew, so that numbers and sheets stay as the crew knows them, and the answer to
"next board" doesn't wait for the whole house.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldvoice.dialogue.layouts import rack_of
from fieldvoice.dialogue.state import State
from fieldvoice.records.board import Lies
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Offcut, Pattern, Piece, PieceEdge, RoomPlan
from fieldvoice.stock.leaving import LONG_EDGES

MOST_PIECES = 6
"""With more pieces than this on what is left of one sheet it is planned anew."""


def goes_on(state: State, plan: RoomPlan) -> bool:
    """Whether every piece that isn't cut yet comes out of what the plan has it come out of."""
    cut = {one.piece for one in state.cut.values()}
    begun = [one for one in plan.patterns if any(piece.name in cut for piece in one.pieces)]
    return all(_rest_comes_out(state, plan, one) for one in begun) and not _waiting_for_rack(state, plan)


def _waiting_for_rack(state: State, plan: RoomPlan) -> bool:
    """Whether an offcut that the plan goes by isn't on the rack, or is another by now."""
    cut = {one.piece for one in state.cut.values()}
    rack = {one.name: one for one in rack_of(state.cut.values()).offcuts}
    wanted = [one for one in plan.patterns if one.offcut is not None and not any(p.name in cut for p in one.pieces)]
    return any(one.offcut is not None and not _as_large(rack.get(one.offcut.name), one.offcut) for one in wanted)


def _as_large(there: Offcut | None, planned: Offcut) -> bool:
    return there is not None and there.length >= planned.length and there.width >= planned.width


def _rest_comes_out(state: State, plan: RoomPlan, pattern: Pattern) -> bool:
    """Whether what was cut of a sheet left enough for its other pieces."""
    cut = {one.piece: one for one in state.cut.values()}
    here = {piece.name for piece in pattern.pieces}
    rest = [piece for piece in plan.pieces if piece.name in here and piece.name not in cut]
    names = {one.name for piece in here & cut.keys() for one in cut[piece].left}
    left = [one for one in rack_of(state.cut.values()).offcuts if one.name in names]
    return len(rest) <= MOST_PIECES and comes_out(rest, left)


def comes_out(pieces: Sequence[Piece], left: Sequence[Offcut]) -> bool:
    """Whether all the pieces can be cut from those offcuts, each cut from edge to edge, with the factory edges that
    they need.
    """
    if not pieces:
        return True
    first, *others = sorted(pieces, key=lambda piece: piece.run.inches * piece.rise.inches, reverse=True)
    return any(
        comes_out(others, [*left[:number], *left[number + 1 :], *rest])
        for number, source in enumerate(left)
        if source.length >= first.run and source.width >= first.rise
        for rest in _remainders(source, first)
    )


def _remainders(source: Offcut, piece: Piece) -> Iterator[tuple[Offcut, ...]]:
    """What one piece leaves of an offcut, cut to length first or ripped first; nothing where its edges aren't there."""
    end, strip = source.length - piece.run, source.width - piece.rise
    needed = sum(edge.factory for edge in _long_edges(piece))
    ripped = strip > ZERO
    if needed > (min(source.tapered, 1) if ripped else source.tapered):
        return
    beside = LONG_EDGES if source.tapered - needed > 1 else frozenset({Edge.TOP}) if source.tapered > needed else None
    yield _sized(source, (end, source.width, source.factory), (piece.run, strip, beside or frozenset()))
    yield _sized(source, (source.length, strip, beside or frozenset()), (end, piece.rise, frozenset()))


def _long_edges(piece: Piece) -> Iterator[PieceEdge]:
    lying = piece.lies is Lies.LYING
    return (piece.edges[edge] for edge in ((Edge.TOP, Edge.BOTTOM) if lying else (Edge.LEFT, Edge.RIGHT)))


def _sized(source: Offcut, *sizes: tuple[Length, Length, frozenset[Edge]]) -> tuple[Offcut, ...]:
    return tuple(
        replace(source, length=length, width=width, factory=factory)
        for length, width, factory in sizes
        if length > ZERO and width > ZERO
    )
