"""Calls that lack a part, and what completes them: another call, the crew's habits, or a box beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeGuard

from fieldvoice.dialogue.amending import same_name, says_again, together, with_another_figure, with_fraction
from fieldvoice.dialogue.keeping import HALF_A_SHEET, NEAR_A_READING, fellows, keep_words, queue
from fieldvoice.dialogue.matching import has_part
from fieldvoice.dialogue.proposals import fill, mend, propose
from fieldvoice.dialogue.state import State, habit
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Of, Said
from fieldvoice.records.ledger import Call, Doubt, Standing, Tell
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    FRAMED,
    ON_THE_FLOOR,
    Box,
    BoxKind,
    Context,
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
    Topic,
)
from fieldvoice.records.utterance import Correction, Meaning, Part, SameHeight

_DOWN = frozenset({Edge.TOP, Edge.BOTTOM})


def by_habit(known: Mapping[Key, Call], call: Incomplete) -> Box | Incomplete:
    """The call with its points and with the side that "over" is from, as the crew always has them; whole, if nothing
    else is missing. An opening's sides aren't the crew's habit.
    """
    if call.kind is not None and not isinstance(call.kind, BoxKind):
        return call
    point, over = habit(known, Topic.BOX_POINT), habit(known, Topic.OVER)
    distances = call.distances
    if point is not None:
        distances = tuple(replace(each, point=each.point or Point(point)) for each in distances)
    if over is not None and any(each.start in _DOWN for each in distances):
        distances = tuple(replace(each, start=each.start or Edge(over)) for each in distances)
    new = replace(call, distances=distances)
    whole = new.whole
    return whole if isinstance(whole, Box) else new


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
    asked = turn.asked_about
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
    call = turn.state.known(_board(turn), doubtful=True).get(Key(Of.BOX, name=name))
    return call.fact if call is not None and isinstance(call.fact, Box) else None


def _board(turn: Turn) -> str:
    """The board that is spoken of: that of what is asked, else the one at hand."""
    return turn.asked_of[0].board if turn.asked_of else turn.state.board


def _last(turn: Turn) -> Box | None:
    """The box called last on this board."""
    known = turn.state.known(_board(turn), doubtful=True).values()
    boxes = [call.fact for call in sorted(known, key=lambda call: call.number) if isinstance(call.fact, Box)]
    return boxes[-1] if boxes else None


def usual(state: State) -> Context | None:
    """The habit that the last two answers to one question about boxes show, if it doesn't stand yet: to which point, or
    which side "over" is from.
    """
    known = state.known(state.board, doubtful=True)
    for topic, answer in ((Topic.BOX_POINT, _point_answered), (Topic.OVER, _over_answered)):
        given = [found for old, new in _filled(state) if (found := answer(old, new)) is not None]
        if len(given) > 1 and given[-1] == given[-2] and habit(known, topic) is None:
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


ROUND = frozenset({OpeningKind.PIPE, OpeningKind.LIGHT, OpeningKind.HOLE})
"""Openings whose size is a diameter."""


def completed(turn: Turn, doubt: Doubt, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """The missing part in its call, or the next piece of it; what was called is kept."""
    old = turn.state.asked_call(doubt)
    if not isinstance(old.fact, Incomplete):
        return None
    facts, parts = _as_distances(turn, old.fact, facts, parts)
    if doubt.lack is Lack.KIND and len(facts) == 1 and (kind := _kind_alone(facts[0])) is not None:
        facts, parts = (), (Part(kind), *parts)
    if len(facts) == 1 and not parts and says_again(old.fact, facts[0]):
        new = facts[0]
        if isinstance(new, Incomplete) and (new.kind is None or len(new.distances) < 2):
            new = together(old.fact, new)  # it goes on, and is of the kind that was said
        return mend(turn, old, new)
    if len(facts) == 1 and not parts and not isinstance(facts[0], Reading):
        return _by_said_habit(turn, old, old.fact, facts[0])
    return _with_pieces(turn, doubt, old, old.fact, (*facts, *parts))


def _with_pieces(
    turn: Turn, doubt: Doubt, old: Call, before: Incomplete, pieces: tuple[Said | Part, ...]
) -> Turn | None:
    """The call with all those pieces; of another kind while nothing else was said of it, it may be another box."""
    if len(pieces) == 1 and isinstance(pieces[0], Reading) and _is_a_side_of_it(before, pieces[0]):
        return turn.put(doubt, Tell.SAY_THE_PART)  # it may be of the thing, which has one, or of the board
    new = before
    for piece in pieces:
        more = filled(new, piece)
        if more == new and isinstance(piece, Part) and not has_part(new, piece):
            return turn.put(doubt, Tell.SAY_THE_PART)  # none of it, rather than a piece in silence
        if more == new and not isinstance(piece, Part):
            return None
        new = more
    if new == before:
        return turn.put(doubt)  # all of it was called before
    another = before.kind not in {None, new.kind} and not before.distances
    turn = fill(turn, old, new.whole or new, doubted=another)
    shown = usual(turn.state)
    return turn if shown is None or turn.asked is not None else propose(turn, (shown,))


def _kind_alone(said: Said) -> BoxKind | None:
    """The kind of a box of which nothing else was said."""
    kind = said.kind if isinstance(said, Incomplete) else None
    return kind if isinstance(kind, BoxKind) and said == Incomplete(kind) else None


def its_fraction(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """A fraction alone right behind one reading of whole inches, as people call it behind a pause: whether it is that
    one's is asked. None for anything else.
    """
    waiting = turn.state.waiting(turn.who)
    old = waiting[0].fact if len(waiting) == 1 and waiting == turn.state.called_last else None
    if turn.asked is not None or len(parts) != 1 or not isinstance(old, Reading) or old.value.inches % 1:
        return None
    new = with_fraction(old, parts[0])
    return None if new == old else mend(turn, waiting[0], Reading(new.value), doubted=True)


def _goes_on(said: Said, asked: Incomplete) -> TypeGuard[Incomplete]:
    """Whether a thing of that kind or name was called by the distance that is asked for, and nothing else that is new:
    it is that one, and no other which lacks the rest.
    """
    if not isinstance(said, Incomplete) or Lack.DISTANCE not in asked.lacks or not same_name(asked, said):
        return False
    sizes = {(said.width, asked.width), (said.height, asked.height), (said.diameter, asked.diameter)}
    alone = bool(said.distances) and all(new in {None, old} for new, old in sizes)
    box = said.kind is None and not said.name and isinstance(asked.kind, OpeningKind)
    taken = any(_taken(asked, each.start) or each.start is None for each in said.distances)
    return alone and said.kind in {None, asked.kind} and not box and not taken


def _is_a_side_of_it(asked: Incomplete, said: Said) -> bool:
    """Whether a figure of no place is a width or a height, of which the thing that is asked about has one."""
    if not isinstance(said, Reading) or said.at is not None or said.dimension is None:
        return False
    return with_another_figure(asked, said) is not None


def _as_distances(
    turn: Turn, asked: Incomplete, facts: tuple[Said, ...], parts: tuple[Part, ...]
) -> tuple[tuple[Said, ...], tuple[Part, ...]]:
    """What was said with a side where a distance or its edge is asked for: "fifteen left" is fifteen from the left,
    unless it lies near what is read there.
    """
    first = facts[0] if len(facts) == 1 else None
    if first is not None and _goes_on(first, asked):
        return (), (*map(Part, first.distances), *parts)
    if isinstance(first, Context) and first.topic is Topic.ABOVE_FLOOR and isinstance(first.value, Length):
        of_it = Lack.DISTANCE in asked.lacks and not _taken(asked, Edge.BOTTOM) and first.value < HALF_A_SHEET
        return ((), (Part(Distance(first.value, Point.NEAR, Edge.BOTTOM)), *parts)) if of_it else (facts, parts)
    if not {Lack.DISTANCE, Lack.START}.intersection(asked.lacks):
        return facts, parts
    meant = {fact: far for fact in facts if (far := _distance_in(turn, fact)) is not None}
    return tuple(fact for fact in facts if fact not in meant), (*map(Part, meant.values()), *parts)


def _distance_in(turn: Turn, said: Said) -> Distance | None:
    if not isinstance(said, Reading) or not isinstance(said.at, Slot) or said.at is Slot.MIDDLE:
        return None
    others = fellows(turn, _board(turn), said)
    if any(abs(each - said.value) < NEAR_A_READING for each in others):
        return None
    if not others and said.value >= HALF_A_SHEET:
        return None
    if not _ends_in(turn, said.at) and not (others and 2 * said.value < min(others)):
        return None  # with its place in front it is called as a reading is
    return Distance(said.value, None, Edge(str(said.at)))


def _ends_in(turn: Turn, side: Slot) -> bool:
    """Whether the side is the last that was said, written out or as its first letter."""
    words = turn.judged.utterance.heard.rstrip(".,!").split()
    return bool(words) and str(side).startswith(words[-1])


def sized(turn: Turn, sides: tuple[Length, Length]) -> Turn | None:
    """Two sides said while a part of a thing is asked for: its size, whichever part that is; no sheet's, and no part of
    a box or a round hole. None where no part is asked for.
    """
    doubt, old = turn.asked, turn.asked_about
    if doubt is None or old is None or not isinstance(old.fact, Incomplete):
        return None
    if old.fact.kind in ROUND or not isinstance(old.fact.kind, OpeningKind):
        return keep_words(turn).put(doubt, Tell.SAY_THE_PART)
    new = replace(old.fact, width=sides[0], height=sides[1])
    return fill(turn, old, new.whole or new)


def _by_said_habit(turn: Turn, old: Call, asked: Incomplete, said: Said) -> Turn | None:
    """A habit said where its part is asked for answers the question, and holds from then on."""
    part = as_part(said)
    new = asked if part is None else filled(asked, part)
    if new == asked:
        return None
    turn = fill(turn, old, new.whole or new)
    return queue(turn, (said,)) if turn.asked is not None else propose(turn, (said,))


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
    if isinstance(value, BoxKind) and (Lack.KIND in lacks or isinstance(call.kind, BoxKind)):
        return replace(call, kind=value)  # the last word, which is read back with the rest
    if isinstance(value, Point) and Lack.POINT in lacks:
        return replace(call, distances=tuple(replace(each, point=each.point or value) for each in call.distances))
    if isinstance(value, Point) and Lack.DISTANCE in lacks and not call.distances:
        return replace(call, point=value)
    if isinstance(value, Edge) or (isinstance(value, Slot) and value is not Slot.MIDDLE):
        return _sided(call, Edge(str(value))) if lacks[:1] == (Lack.POINT,) else _from(call, Edge(str(value)))
    if isinstance(value, Distance):
        return _started(call, value) or (_placed(call, value) if Lack.DISTANCE in lacks else call)
    if isinstance(value, Length) and Lack.SIZE in lacks and call.kind in ROUND:
        return replace(call, diameter=value)
    return call


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
    corner = said.value == ZERO and said != ON_THE_FLOOR and call.kind is not OpeningKind.NOTCH
    if corner or _taken(call, start):
        return call
    center = Point.CENTER if Point.CENTER in {point, *(each.point for each in call.distances)} else None
    before = tuple(replace(each, point=each.point or center) for each in call.distances)  # said once it holds for both
    known = point or center or (Point.NEAR if call.kind in FRAMED else None)
    return replace(call, distances=(*before, Distance(said.value, known, start, said.off)), point=None, start=None)


def _sided(call: Incomplete, side: Edge) -> Incomplete:
    """The first distance of which it is asked what it was measured to, as one to that side of the thing: the near one
    where the distance is from there.
    """
    way = (each for each in call.distances if each.point is None and (each.start in _DOWN) == (side in _DOWN))
    one = next(way, None)
    if one is None:
        return call
    to = replace(one, point=Point.NEAR if one.start is side else Point.FAR)
    return replace(call, distances=tuple(to if each is one else each for each in call.distances))


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
