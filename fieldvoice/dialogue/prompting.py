"""The places of a board in the crew's order of measuring, and asking for them one after another."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from fieldvoice.dialogue.amending import is_bare
from fieldvoice.dialogue.events import Awaited
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Fact, Key, Of, Said, key_of
from fieldvoice.records.ledger import Call, Notice, Standing, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Diagonal, Dimension, Reading, Slot, Topic

Spot = tuple[Dimension, Slot]
_FULL = Key(Of.CONTEXT, name=Topic.FULL.value)
_MIDDLE = Key(Of.CONTEXT, name=Topic.MIDDLE_WIDTH.value)
_ORDER = Key(Of.CONTEXT, name=Topic.MEASURING.value)
_ENDS = {
    Slot.TOP: Dimension.WIDTH,
    Slot.BOTTOM: Dimension.WIDTH,
    Slot.LEFT: Dimension.HEIGHT,
    Slot.RIGHT: Dimension.HEIGHT,
}
_USUAL = (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM, Slot.LEFT, Slot.RIGHT)
FEWEST = 3
"""Places of which an order is seen from the calls themselves: two boards that begin with the same two show little."""


def spots(order: Collection[Slot]) -> tuple[Spot, ...]:
    """The places with what is measured there: a middle goes with what is called before it, the first with the next."""
    slots = tuple(order)
    ends = [slot for slot in slots if slot in _ENDS]
    before = ends[0] if ends else Slot.TOP
    found: list[Spot] = []
    for slot in slots:
        before = slot if slot in _ENDS else before
        found.append((_ENDS[before], slot))
    return tuple(found)


def order_of(known: Mapping[Key, Call]) -> tuple[Spot, ...]:
    """The crew's own order of measuring; none where nobody said or showed one."""
    said = _said(known.get(_ORDER))
    return spots([Slot(word) for word in said.split()]) if said else ()


def _said(call: Call | None) -> str:
    return str(call.fact.value) if call is not None and isinstance(call.fact, Context) else ""


def next_place(state: State) -> Spot | None:
    """The first place of the board at hand that has no value yet, in the crew's order: a full sheet's width isn't
    measured, nor the middle by a crew that measures none.
    """
    known = state.known(state.board, doubtful=True)
    taken = {*known, *(call.key for call in state.on(state.board) if call.waits)}
    for dimension, slot in order_of(known) or spots(_USUAL):
        idle = (_FULL in known and dimension is Dimension.WIDTH) or (slot is Slot.MIDDLE and not _middle(known))
        if not idle and Key(Of(dimension.value), at=slot) not in taken:
            return dimension, slot
    return None


def free_places(known: Mapping[Key, Call], taken: Collection[Key]) -> tuple[Spot, ...]:
    """The places of a board that have no value yet, in the crew's order."""
    places = (Reading(Length(0), way, at) for way, at in order_of(known) or spots(_USUAL))
    return tuple((one.dimension, one.at) for one in places if key_of(one) not in taken)  # type: ignore[misc]


def _middle(known: Mapping[Key, Call]) -> bool:
    return _said(known.get(_MIDDLE)) != "no"


def prompt(turn: Turn) -> Turn:
    """Asks for the next place, where the crew wants to be asked and nothing else is: a bare figure is its answer."""
    state = turn.state
    if not state.prompting or state.holding or state.board in state.surfaces or turn.asks or turn.asked is not None:
        return turn
    place = next_place(state)
    if place is None:
        return turn
    awaited = state.awaited.get(turn.who)
    known = awaited is not None and awaited.sure and (awaited.dimension, awaited.at) == place
    turn = turn if known else turn.did(Awaited(*place))
    return turn.ask(Tell.NEXT_PLACE, *place)


def shown_order(state: State) -> Context | None:
    """The order in which the last two boards that were measured in one were called, where it is the same, isn't the
    usual one, and no order stands yet.
    """
    if order_of(state.known(state.board)):
        return None
    orders = [order for board in state.boards if len(order := tuple(_called(state, board))) >= FEWEST]
    if len(orders) < 2 or orders[-1] != orders[-2] or _is_usual(orders[-1]):
        return None
    return Context(Topic.MEASURING, " ".join(slot for _, slot in orders[-1]))


def _called(state: State, board: str) -> Iterator[Spot]:
    """The named places of a board's readings in the order in which they were first called, each once."""
    seen: set[Key] = set()
    for call in state.on(board):
        fact = call.fact
        if isinstance(fact, Reading) and isinstance(fact.at, Slot) and fact.dimension is not None:
            key = key_of(fact)
            if key not in seen and (call.in_force or call.standing is Standing.REPLACED):
                seen.add(key)
                yield fact.dimension, fact.at


def _is_usual(order: tuple[Spot, ...]) -> bool:
    """Whether it is the order asked in anyway, as far as it goes; or one that can't be told by its places alone."""
    ranks = [spots(_USUAL).index(one) if one in spots(_USUAL) else -1 for one in order]
    return all(before < after for before, after in pairwise(ranks)) or order != spots([slot for _, slot in order])


PLACES = {
    Dimension.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM),
    Dimension.HEIGHT: (Slot.LEFT, Slot.RIGHT, Slot.MIDDLE),
}
"""The order in which bare readings are called: both ends of an edge that is cut are needed, its middle is not for a
height (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class NoPlace(Exception):
    """What was called can't be placed; the notice asks for it."""

    notice: Notice


def settled(
    reading: Reading,
    taken: Collection[Key],
    focus: Dimension | None,
    order: tuple[tuple[Dimension, Slot], ...] = (),
) -> Reading:
    """The reading with its dimension and place. `taken` are the keys that have a value, `focus` what was last spoken
    of, `order` the crew's own order of measuring. Raises `NoPlace` with a question.
    """
    if isinstance(reading.at, Slot) and reading.at in _ENDS and reading.dimension is None:
        return replace(reading, dimension=_ENDS[reading.at])
    if reading.at is not None:
        return replace(reading, dimension=_dimension(reading, focus))
    usual = [(way, place) for way in _order(reading.dimension, focus) for place in PLACES[way]]
    usual.sort(key=lambda one: one[1] is Slot.MIDDLE and _ends_of(one[0]) <= set(taken))  # the ends of both ways first
    for dimension, place in (*order, *usual):
        found = replace(reading, dimension=dimension, at=place)
        if reading.dimension in {None, dimension} and key_of(found) not in taken:
            return found
    raise NoPlace(Notice(Tell.NO_PLACE_LEFT))


def of_measured_ends(
    reading: Reading, known: Mapping[Key, Call], taken: Collection[Key], focus: Dimension | None
) -> tuple[Reading, ...]:
    """A figure without a place, at each place that it may be of, where both ends of its way are measured: one of these
    anew, the middle, or the end that comes next of the other way. A figure without its way is of those whose readings
    it is near. None where it is near none, an end is free, or the crew measures the middle behind the ends.
    """
    facts = [call.fact for call in known.values() if isinstance(call.fact, Reading)]
    near = {one.dimension for one in facts if abs(one.value - reading.value) <= NEAR}
    near = near if reading.dimension is None else {reading.dimension}
    ways = [way for way in PLACES if way in near and _ends_of(way) <= set(taken)]
    order = order_of(known)
    if reading.at is not None or not ways:
        return ()
    places = [replace(reading, dimension=way, at=slot) for way in ways for slot in PLACES[way]]
    places = [one for one in places if one.at is not Slot.MIDDLE or key_of(one) in taken or _middle(known)]
    try:
        following = settled(reading, taken, focus, order)
    except NoPlace:
        return tuple(places)
    if following.at is Slot.MIDDLE:
        return () if (following.dimension, following.at) in order else tuple(places)
    return () if following.dimension in near else (*places, following)


def either_way(facts: tuple[Said, ...]) -> tuple[tuple[Fact, ...], ...]:
    """Both ways of a diagonal, or of a reading at a place of widths and of heights, where it is all that was called."""
    match facts:
        case (Diagonal(value=value),):
            return tuple((Diagonal(value, rising),) for rising in (True, False))
        case (Reading(at=Slot() | Length()) as reading,):
            return tuple((replace(reading, dimension=way),) for way in Dimension)
    return ()


def _ends_of(way: Dimension) -> set[Key]:
    return {Key(Of(way.value), at=slot) for slot in PLACES[way] if slot is not Slot.MIDDLE}


NEAR = Length(8)
"""How near its fellows a reading must be, and how far from those of the other way, for its figure alone to say which
way it runs (our own rule)."""


def _dimension(reading: Reading, focus: Dimension | None) -> Dimension:
    found = reading.dimension or focus
    if found is None:
        at = reading.at
        raise NoPlace(Notice(Tell.WHICH_PLACE, (at if isinstance(at, Length) else str(at),)))
    return found


def _order(dimension: Dimension | None, focus: Dimension | None) -> Iterator[Dimension]:
    if dimension is not None:
        yield dimension
        return
    first = focus or Dimension.WIDTH
    yield first
    yield Dimension.HEIGHT if first is Dimension.WIDTH else Dimension.WIDTH


PAIRED, APART = Length(2), Length(12)
"""Two figures of a pair are as near as two ends of a board, and the pairs farther apart than a wall is out (our own
rule)."""


def two_pairs(facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """Four bare figures at a board that nothing was measured on, in pairs that no middle would be of: two widths, then
    two heights.
    """
    values = [fact.value for fact in facts if isinstance(fact, Reading) and is_bare(fact)]
    if len(facts) != len(_PAIRS) or len(values) != len(facts):
        return facts
    top, bottom, left, right = values
    if abs(top - bottom) > PAIRED or abs(left - right) > PAIRED or abs(bottom - left) < APART:
        return facts
    return tuple(Reading(value, *place) for value, place in zip(values, _PAIRS, strict=True))


_PAIRS = (
    (Dimension.WIDTH, Slot.TOP),
    (Dimension.WIDTH, Slot.BOTTOM),
    (Dimension.HEIGHT, Slot.LEFT),
    (Dimension.HEIGHT, Slot.RIGHT),
)
