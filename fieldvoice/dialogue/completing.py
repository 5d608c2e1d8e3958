"""Calls that lack a part, and what completes them."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import says_again
from fieldvoice.dialogue.habits import as_part, usual
from fieldvoice.dialogue.keeping import queue
from fieldvoice.dialogue.proposals import fill, mend, propose
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Said
from fieldvoice.records.ledger import Call, Doubt, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    FRAMED,
    BoxKind,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    OpeningKind,
    Point,
    Reading,
    Slot,
)
from fieldvoice.records.orders import Part

ROUND = frozenset({OpeningKind.PIPE, OpeningKind.LIGHT, OpeningKind.HOLE})
"""Openings whose size is a diameter."""


def completed(turn: Turn, doubt: Doubt, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """The missing part in its call, or the next piece of it; what was called is kept."""
    assert doubt.call is not None
    old = turn.state.calls[doubt.call]
    if len(facts) == 1 and not parts and isinstance(old.fact, Incomplete) and says_again(old.fact, facts[0]):
        return mend(turn, old, facts[0])
    if not isinstance(old.fact, Incomplete):
        return None
    if len(facts) == 1 and not parts and not isinstance(facts[0], Reading):
        return _by_said_habit(turn, old, old.fact, facts[0])
    facts, parts = _as_distances(turn, old.fact, facts, parts)
    new = old.fact
    for piece in (*facts, *parts):
        more = filled(new, piece)
        if more == new and isinstance(piece, Part) and not _is_there(new, piece):
            return turn.put(doubt, Tell.SAY_THE_PART)  # none of it, rather than a piece in silence
        if more == new and not isinstance(piece, Part):
            return None
        new = more
    if new == old.fact:
        return turn.put(doubt, Tell.SAY_THE_PART)
    turn = fill(turn, old, new.whole or new)
    habit = usual(turn.state)
    return turn if habit is None or turn.asked is not None else propose(turn, (habit,), beside=True)


def _as_distances(
    turn: Turn, asked: Incomplete, facts: tuple[Said, ...], parts: tuple[Part, ...]
) -> tuple[tuple[Said, ...], tuple[Part, ...]]:
    """What was said with a side where a distance or its edge is asked for: "fifteen left" is fifteen from the left,
    unless it lies near what is read there.
    """
    if not {Lack.DISTANCE, Lack.START}.intersection(asked.lacks):
        return facts, parts
    meant = {fact: far for fact in facts if (far := _distance_in(turn, fact)) is not None}
    return tuple(fact for fact in facts if fact not in meant), (*map(Part, meant.values()), *parts)


NEAR_A_READING = Length(4)
"""A figure with a side that is nearer than this to a reading of its kind may be another one (our own rule)."""
HALF_A_SHEET = Length(48)
"""Where there is none yet, a distance is below it (our own rule)."""


def _distance_in(turn: Turn, said: Said) -> Distance | None:
    if not isinstance(said, Reading) or not isinstance(said.at, Slot) or said.at is Slot.MIDDLE:
        return None
    known = turn.state.known(turn.state.board, doubtful=True).values()
    fellows = [one.fact.value for one in known if isinstance(one.fact, Reading) and _kind(one.fact) is _kind(said)]
    if any(abs(fellow - said.value) < NEAR_A_READING for fellow in fellows):
        return None
    if not fellows and said.value >= HALF_A_SHEET:
        return None
    if not _ends_in(turn, said.at) and not (fellows and 2 * said.value < min(fellows)):
        return None  # with its place in front it is called as a reading is
    return Distance(said.value, None, Edge(str(said.at)))


def _ends_in(turn: Turn, side: Slot) -> bool:
    """Whether the side is the last that was said, written out or as its first letter."""
    words = turn.judged.utterance.heard.rstrip(".,!").split()
    return bool(words) and str(side).startswith(words[-1])


def _kind(reading: Reading) -> Dimension | None:
    across = Dimension.HEIGHT if reading.at in {Slot.LEFT, Slot.RIGHT} else Dimension.WIDTH
    return reading.dimension or across


def sized(turn: Turn, sides: tuple[Length, Length]) -> Turn | None:
    """Two sides said where the size of an opening is asked for; None where it isn't."""
    doubt = turn.asked
    old = turn.state.calls.get(doubt.call) if doubt is not None and doubt.call is not None else None
    if doubt is None or doubt.lack is not Lack.SIZE or old is None or not isinstance(old.fact, Incomplete):
        return None
    if old.fact.kind in ROUND:
        return None
    new = replace(old.fact, width=sides[0], height=sides[1])
    return fill(turn, old, new.whole or new)


def _by_said_habit(turn: Turn, old: Call, asked: Incomplete, said: Said) -> Turn | None:
    """A habit said where its part is asked for answers the question, and holds from then on."""
    part = as_part(said)
    new = asked if part is None else filled(asked, part)
    if new == asked:
        return None
    turn = fill(turn, old, new.whole or new)
    return queue(turn, (said,)) if turn.asked is not None else propose(turn, (said,), beside=True)


_EDGES = {Neighbor.FLOOR: Edge.BOTTOM, Neighbor.CEILING: Edge.TOP}
"""What distances are called from by what stands there."""


def filled(call: Incomplete, said: Part | Said) -> Incomplete:
    """The call with that piece where it was missing; as it was where the piece doesn't fit. A bare figure is the next
    distance, then the next size; what belongs to a distance is kept until its figure comes.
    """
    if isinstance(said, Reading):
        return _figured(call, said)
    if not isinstance(said, Part):
        return call
    value, lacks = said.value, call.lacks
    if isinstance(value, Neighbor):
        value = _EDGES.get(value, value)
    if isinstance(value, BoxKind) and Lack.KIND in lacks:
        return replace(call, kind=value)
    if isinstance(value, Point) and Lack.POINT in lacks:
        return replace(call, distances=tuple(replace(each, point=each.point or value) for each in call.distances))
    if isinstance(value, Point) and Lack.DISTANCE in lacks and not call.distances:
        return replace(call, point=value)
    if isinstance(value, Edge) or (isinstance(value, Slot) and value is not Slot.MIDDLE):
        return _from(call, Edge(str(value)))
    if isinstance(value, Distance):
        return _started(call, value) or (_placed(call, value) if Lack.DISTANCE in lacks else call)
    if isinstance(value, Length) and Lack.SIZE in lacks and call.kind in ROUND:
        return replace(call, diameter=value)
    return call


def _is_there(call: Incomplete, piece: Part) -> bool:
    """Whether a distance was called just so, as far as it is said again."""
    said = piece.value
    return isinstance(said, Distance) and any(_agrees(each, said) for each in call.distances)


def _agrees(each: Distance, said: Distance) -> bool:
    return (
        each.value == said.value
        and (said.start is None or each.start == said.start)
        and (said.point is None or each.point == said.point)
    )


def _figured(call: Incomplete, said: Reading) -> Incomplete:
    """The call with a figure that names no place of the board: of its next distance, else of its size."""
    if said.at is not None:
        return call
    if said.dimension is None and Lack.DISTANCE in call.lacks:
        return _placed(call, Distance(said.value))
    if Lack.SIZE not in call.lacks or said.value < Length(1):
        return call
    if call.kind in ROUND:
        return replace(call, diameter=said.value) if said.dimension is None else call
    if call.width is None and said.dimension is not Dimension.HEIGHT:
        return replace(call, width=said.value)
    if call.height is None and said.dimension is not Dimension.WIDTH:
        return replace(call, height=said.value)
    return call


def _started(call: Incomplete, said: Distance) -> Incomplete | None:
    """The distance that lacks its edge, said again with it; None where none of that figure does."""
    again = [at for at, each in enumerate(call.distances) if each.start is None and each.value == said.value]
    alone = len(call.distances) == 1 and said.start in {Edge.TOP, Edge.BOTTOM}  # "14 over" is across: 14 up is another
    if said.start is None or len(again) != 1 or alone or _taken(call, said.start):
        return None
    whole = (
        replace(each, start=said.start, point=said.point or each.point) if at == again[0] else each
        for at, each in enumerate(call.distances)
    )
    return replace(call, distances=tuple(whole))


def _placed(call: Incomplete, said: Distance) -> Incomplete:
    """With one more distance, of which the edge or the point may have been said before."""
    start, point = said.start or call.start, said.point or call.point
    if _taken(call, start):
        return call
    before = tuple(replace(each, point=each.point or point) for each in call.distances)  # said once it holds for both
    known = point or (before[0].point if before else None) or (Point.NEAR if call.kind in FRAMED else None)
    return replace(call, distances=(*before, Distance(said.value, known, start)), point=None, start=None)


def _taken(call: Incomplete, start: Edge | None) -> bool:
    """Whether a distance from that edge would run the way of one that was called: of two across none is down."""
    down = {Edge.TOP, Edge.BOTTOM}
    others = (each.start for each in call.distances if each.start is not None)
    return start is not None and any((each in down) == (start in down) for each in others)


def _from(call: Incomplete, start: Edge) -> Incomplete:
    """The first distance without its edge counted from there, else the next one."""
    if _taken(call, start):
        return call
    open_ones = [index for index, each in enumerate(call.distances) if each.start is None]
    if open_ones:
        made = (replace(each, start=start) if at == open_ones[0] else each for at, each in enumerate(call.distances))
        return replace(call, distances=tuple(made))
    return replace(call, start=start) if Lack.DISTANCE in call.lacks else call
