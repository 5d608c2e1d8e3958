"""What a box takes from the crew's habits and from a box beside it, where its own words don't say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from fieldvoice.dialogue.naming import box_name
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.ledger import Call, Standing
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Distance,
    Edge,
    Incomplete,
    Lack,
    OpeningKind,
    Point,
    Topic,
)
from fieldvoice.records.orders import Correction, Part, SameHeight
from fieldvoice.records.utterance import Meaning

_DOWN = frozenset({Edge.TOP, Edge.BOTTOM})


def by_habit(known: Mapping[Key, Call], call: Incomplete) -> Box | Incomplete:
    """The call with its points and with the side that "over" is from, as the crew always has them; whole, if nothing
    else is missing. An opening's sides aren't the crew's habit.
    """
    if call.kind is not None and not isinstance(call.kind, BoxKind):
        return call
    point, over = _habit(known, Topic.BOX_POINT), _habit(known, Topic.OVER)
    distances = call.distances
    if point is not None:
        distances = tuple(replace(each, point=each.point or Point(point)) for each in distances)
    if over is not None and any(each.start in _DOWN for each in distances):
        distances = tuple(replace(each, start=each.start or Edge(over)) for each in distances)
    new = replace(call, distances=distances)
    whole = new.whole
    return whole if isinstance(whole, Box) else new


def _habit(known: Mapping[Key, Call], topic: Topic) -> str | None:
    call = known.get(Key(Of.CONTEXT, name=topic.value))
    return str(call.fact.value) if call is not None and isinstance(call.fact, Context) else None


def as_part(said: object) -> Part | None:
    """The part of one call that a habit says."""
    if isinstance(said, Context) and said.topic is Topic.BOX_POINT:
        return Part(Point(str(said.value)))
    return Part(Edge(str(said.value))) if isinstance(said, Context) and said.topic is Topic.OVER else None


def level(turn: Turn, same: SameHeight, kept: list[Meaning]) -> bool:
    """Puts into `kept` what comes of "same height as box one": the distance of the box called in the same breath, the
    part that a question waits for, or a change of a box that is there. False where that can't be told.
    """
    like = _box(turn, same.like)
    if like is None:
        return False
    down = Distance(like.y.value, like.y.point, like.y.start)
    if kept and isinstance(kept[-1], Incomplete):
        call = kept[-1]
        if not _alike(call.kind, like):
            return False
        new = by_habit(turn.state.known(turn.state.board), replace(call, distances=(*call.distances, down)))
        whole = new.whole if isinstance(new, Incomplete) else new
        kept[-1] = whole if whole is not None else new
        return True
    asked = turn.state.calls.get(turn.asked.call) if turn.asked is not None and turn.asked.call is not None else None
    if asked is not None and isinstance(asked.fact, Incomplete):
        if _alike(asked.fact.kind, like):
            kept.append(Part(down))
        return _alike(asked.fact.kind, like)
    box = _box(turn, same.box) if same.box is not None else _last(turn)
    if box is None or box.name == like.name or not _alike(box.kind, like):
        return False
    kept.append(Correction(replace(box, y=like.y)))
    return True


def _alike(kind: object, like: Box) -> bool:
    """Whether the same distance is the same height: to the center always, to a side only of boxes of one size."""
    return like.far is None and (like.y.point is Point.CENTER or kind is like.kind)


def _box(turn: Turn, name: str) -> Box | None:
    call = turn.state.known(turn.state.board, doubtful=True).get(Key(Of.BOX, name=box_name(name)))
    return call.fact if call is not None and isinstance(call.fact, Box) else None


def _last(turn: Turn) -> Box | None:
    """The box called last on this board."""
    known = turn.state.known(turn.state.board, doubtful=True).values()
    boxes = [call.fact for call in sorted(known, key=lambda call: call.number) if isinstance(call.fact, Box)]
    return boxes[-1] if boxes else None


def usual(state: State) -> Context | None:
    """The habit that the last two answers to one question about boxes show, if it doesn't stand yet: to which point, or
    which side "over" is from.
    """
    known = state.known(state.board, doubtful=True)
    for topic, answer in ((Topic.BOX_POINT, _point_answered), (Topic.OVER, _over_answered)):
        given = [found for old, new in _filled(state) if (found := answer(old, new)) is not None]
        if len(given) > 1 and given[-1] == given[-2] and _habit(known, topic) is None:
            return Context(topic, given[-1].value)
    return None


def _filled(state: State) -> Iterator[tuple[Incomplete, Box | Incomplete]]:
    """What lacked a part with what it became, in order."""
    for new in state.calls.values():
        old = state.calls.get(new.replaces) if new.replaces is not None else None
        if old is None or new.standing is Standing.TAKEN_BACK or not isinstance(old.fact, Incomplete):
            continue
        if isinstance(new.fact, Box | Incomplete) and not isinstance(old.fact.kind, OpeningKind):
            yield old.fact, new.fact


def _point_answered(old: Incomplete, new: Box | Incomplete) -> Point | None:
    if Lack.POINT not in old.lacks or any(each.point is not None for each in old.distances):
        return None
    points = {each.point for each in ((new.x, new.y) if isinstance(new, Box) else new.distances)}
    return points.pop() if len(points) == 1 else None


def _over_answered(old: Incomplete, new: Box | Incomplete) -> Edge | None:
    if Lack.START not in old.lacks or not any(each.start in _DOWN for each in old.distances):
        return None
    starts = {each.start for each in ((new.x, new.y) if isinstance(new, Box) else new.distances)} - _DOWN
    return starts.pop() if len(starts) == 1 else None
