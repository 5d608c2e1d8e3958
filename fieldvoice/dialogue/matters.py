"""Which facts of one board or wall speak of the same matter, though each has a key of its own. A later one takes the
place of those that it leaves no room for; where both may have been meant, that is asked; where the earlier ones were
measured, the later word isn't taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import pairwise

from fieldvoice.dialogue.assembly import stands_by_course
from fieldvoice.dialogue.layouts import rough
from fieldvoice.dialogue.state import NEW_SHEET, State, has_circuit, names_source
from fieldvoice.records.board import AT_THE_FLOOR, Surface
from fieldvoice.records.facts import Fact, Key, Of, Said, key_of
from fieldvoice.records.ledger import Call, Concern, Doubt
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Course,
    Dimension,
    Edge,
    LayoutWish,
    Neighbor,
    Opening,
    Reading,
    SurfaceCall,
    Topic,
    WholeThing,
    Wish,
)
from fieldvoice.records.room import unlikely_side

SIDES_OF_SHEET = frozenset({Topic.SHEET_WIDTH, Topic.SHEET_LENGTH})
_CUT_SIDE = frozenset({Topic.TAPER, Topic.FACTORY_EDGE})
FRAMING = frozenset({Topic.SPACING, Topic.STUDS})


def leaves_no_room(new: Fact, old: Fact, *, surface: bool) -> bool:
    """Whether the old one is nothing any more once the new one stands. A `surface` has its framing in one way only; a
    board may have studs that its spacing explains.
    """
    match new, old:
        case (Box() | Opening(), Context(topic=Topic.BOXES)):
            return has_circuit(new)
        case (Reading(dimension=Dimension.WIDTH), Context(topic=Topic.FULL)):
            return True
        case (Context(topic=Topic.SHEET | Topic.SHEET_WIDTH | Topic.SHEET_LENGTH), Context(topic=Topic.CUT_FROM)):
            return old.value != NEW_SHEET
        case (Context(topic=Topic.CUT_FROM), Context(topic=Topic.SHEET | Topic.SHEET_WIDTH | Topic.SHEET_LENGTH)):
            return new.value != NEW_SHEET
        case (Context(topic=Topic.SHEET), Context(topic=topic)):
            return topic in SIDES_OF_SHEET
        case (Context(topic=Topic.SHEET), LayoutWish(wish=Wish.LENGTH)):
            return True
        case (LayoutWish(wish=Wish.LENGTH), Context(topic=Topic.SHEET)):
            return True
        case (Context(topic=Topic.LIES), LayoutWish(wish=wish)) | (LayoutWish(wish=wish), Context(topic=Topic.LIES)):
            return wish in {Wish.STANDING, Wish.LYING}
        case (Context(), Context()):
            return _of_one_matter(new, old, surface=surface)
    return False


def _of_one_matter(new: Context, old: Context, *, surface: bool) -> bool:
    topics = {new.topic, old.topic}
    if topics == _CUT_SIDE:
        return new.edge is old.edge
    if topics == FRAMING:
        return surface or not _explains(*((new, old) if new.topic is Topic.SPACING else (old, new)))
    fewer = new.topic is Topic.LAYERS and old.topic is Topic.LAYER
    return fewer and isinstance(new.value, int) and isinstance(old.value, int) and old.value > new.value


def _explains(spacing: Context, studs: Context) -> bool:
    """Whether studs may stand where they do by that spacing: none is farther from the one before than about that."""
    if not isinstance(spacing.value, Length) or not isinstance(studs.value, tuple):
        return True
    return all(after - before <= spacing.value + OFF for before, after in pairwise(studs.value)) and (
        len(studs.value) < 2 or any(after - before >= spacing.value - OFF for before, after in pairwise(studs.value))
    )


OFF = Length(2)
"""How far apart from its spacing framing is set, as a rule (our own rule)."""


def displaced(new: Call, others: Iterable[Call], *, surface: bool) -> tuple[int, ...]:
    """The calls that a new one leaves no room for."""
    if not isinstance(new.fact, Fact):
        return ()
    return tuple(
        one.number
        for one in others
        if isinstance(one.fact, Fact)
        and one.number != new.number
        and not (one.carried and names_source(new))  # the sheet that goes along is of the next board again
        and leaves_no_room(new.fact, one.fact, surface=surface)
    )


def in_the_way(state: State, fact: Said) -> tuple[Call, ...]:
    """What was called and would be denied by it: boxes by "no boxes", a width by a full sheet."""
    if not isinstance(fact, Context):
        return ()
    there = [one for one in state.on(state.board) if one.in_force or one.waits]
    there += state.put_off(state.board)
    if fact.topic is Topic.BOXES and fact.value == "none":
        return tuple(one for one in there if one.key.of is Of.BOX or has_circuit(one.fact))
    if fact.topic is Topic.FULL:
        return tuple(one for one in there if isinstance(one.fact, Reading) and one.fact.dimension is Dimension.WIDTH)
    return ()


def implied(fact: Said, known: Mapping[Key, Call]) -> tuple[Said, ...]:
    """The fact with what it says beside: a second layer is one of two at least."""
    if not isinstance(fact, Context) or fact.topic is not Topic.LAYER or not isinstance(fact.value, int):
        return (fact,)
    call = known.get(key_of(Context(Topic.LAYERS, 1)))
    layers = call.fact.value if call is not None and isinstance(call.fact, Context) else 1
    more = isinstance(layers, int) and fact.value > layers
    return (Context(Topic.LAYERS, fact.value), fact) if more else (fact,)


def as_framed(fact: Said, there: Iterable[Said | None]) -> Said:
    """One stud of a wall beside its spacing, in either order: the first one, with the rest so far apart from it on;
    farther in than that it is one more. Anything else as it is.
    """
    if not isinstance(fact, Context) or fact.topic not in FRAMING:
        return fact
    facts = [one for one in (*there, fact) if isinstance(one, Context | SurfaceCall)]
    wall = next((one for one in facts if isinstance(one, SurfaceCall) and one.surface != "ceiling"), None)
    framing = {one.topic: one for one in facts if isinstance(one, Context) and one.topic in FRAMING}
    match framing.get(Topic.STUDS), framing.get(Topic.SPACING):
        case Context(value=(Length() as stud,)) as one, Context(value=Length() as apart, edge=None | Edge.LEFT) if wall:
            first = stud if stud <= apart + OFF else apart
            row = {first + apart * count for count in range(int((wall.width - first) / apart) + 1)}
            return replace(one, value=tuple(sorted({stud, *(each for each in row if each < wall.width)})))
    return fact


def as_gap(fact: Said) -> Said:
    """What is less above the floor than a board hangs is the gap under one that stands there; all else stays."""
    if not isinstance(fact, Context) or fact.topic is not Topic.ABOVE_FLOOR or not isinstance(fact.value, Length):
        return fact
    return Context(Topic.CLEARANCE, fact.value, Edge.BOTTOM) if fact.value < AT_THE_FLOOR else fact


_ENDS = frozenset({Neighbor.CEILING, Neighbor.FLOOR, Neighbor.BOARD})
_ACROSS = {Neighbor.FLOOR: Edge.BOTTOM, Neighbor.CEILING: Edge.TOP}
_CEILING = Context(Topic.SURFACE, "ceiling")


def at_odds(call: Call, new: Iterable[Call], values: Mapping[Key, Call]) -> tuple[Doubt, ...]:
    """The question about a call that can't be with another one as it was called: an upper course on the floor, a stud
    beyond the wall; or with nothing, as a floor at a board's side.
    """
    facts = {**values, **{one.key: one for one in new}}
    if isinstance(call.fact, Context) and _at_a_side(call.fact, facts):
        return (Doubt(Concern.AT_ODDS, call.number),)
    for other in facts.values():
        if other.number == call.number or call.fact is None or other.fact is None or other.number > call.number:
            continue
        told = _of_a_course(call.fact, other.fact) or _of_a_course(other.fact, call.fact)
        told = told or _off_another(call.fact, other.fact) or _off_another(other.fact, call.fact)
        if told:
            return (Doubt(Concern.AT_ODDS, call.number, told=told),)
        if _cannot_be(call.fact, other.fact, facts) or _cannot_be(other.fact, call.fact, facts):
            return (Doubt(Concern.AT_ODDS, call.number, calls=(other.number,)),)
    return ()


def _at_a_side(fact: Context, facts: Mapping[Key, Call]) -> bool:
    """A floor or a ceiling where none is on a wall."""
    if fact.topic is not Topic.NEIGHBOR or not isinstance(fact.value, Neighbor):
        return False
    surface = facts.get(key_of(_CEILING))
    on_wall = surface is None or surface.fact != _CEILING
    return on_wall and fact.edge is not _ACROSS.get(fact.value, fact.edge)


def _of_a_course(one: Said, other: Said) -> tuple[str, ...]:
    """The course, the edge and what was called there, where that isn't what stands there by the course."""
    match one, other:
        case Context(topic=Topic.COURSE, value=course), Context(topic=Topic.NEIGHBOR, value=there, edge=Edge() as edge):
            stands = stands_by_course(Course(str(course))).get(edge, there)
            return (str(course), edge.value, str(there)) if there in _ENDS and there != stands else ()
    return ()


def _off_another(thing: Said, other: Said) -> tuple[str, ...]:
    """The edge, what a thing was said to be measured from there, and what stands there instead."""
    if not isinstance(thing, WholeThing):
        return ()
    named = {each.start: each.off for each in thing.places if each.start is not None and each.off is not None}
    stands: Mapping[Edge, Neighbor] = {}
    match other:
        case Context(topic=Topic.NEIGHBOR, value=Neighbor() as there, edge=Edge() as edge):
            stands = {edge: there}
        case Context(topic=Topic.COURSE, value=course):
            stands = stands_by_course(Course(str(course)))
    found = ((edge, off, stands[edge]) for edge, off in named.items() if edge in stands)
    others = (one for one in found if one[2] not in {one[1], _AS_GOOD_AS.get(one[1])})
    return next((tuple(map(str, one)) for one in others), ())


_AS_GOOD_AS = {Neighbor.WALL: Neighbor.MASONRY}
"""What else is meant by what a thing is measured from."""


def _cannot_be(one: Said, other: Said, facts: Mapping[Key, Call]) -> bool:
    match one, other:
        case Context(topic=Topic.SURFACE, value="ceiling"), Context(topic=Topic.COURSE):
            return True
        case Context(topic=Topic.SURFACE, value="ceiling"), Context(topic=Topic.NEIGHBOR, value=there):
            return there in _ACROSS
        case (
            Context(topic=Topic.ABOVE_FLOOR, value=Length() as up),
            Context(topic=Topic.NEIGHBOR, value=Neighbor.FLOOR, edge=Edge.BOTTOM)
            | Context(topic=Topic.COURSE, value=Course.LOWER | Course.ONLY),
        ):
            return up >= AT_THE_FLOOR
        case Context(topic=Topic.STUDS, value=tuple() as studs), Reading(dimension=Dimension.WIDTH):
            widths = [
                each.fact.value
                for each in facts.values()
                if isinstance(each.fact, Reading) and each.fact.dimension is Dimension.WIDTH
            ]
            return bool(max(studs) > max(widths) + OFF)
        case Context(topic=Topic.STUDS, value=tuple() as studs), SurfaceCall():
            across = max(other.width, other.height) if other.surface == "ceiling" else other.width
            return bool(max(studs) > across)
    return False


def contradictions(call: Call, new: tuple[Call, ...], values: Mapping[Key, Call]) -> tuple[Doubt, ...]:
    """What can't be with another call, or with none; an opening that doesn't lie in its wall among it."""
    found = at_odds(call, new, values)
    others = () if found else ({**values, **{one.key: one for one in new}}).values()
    beyond = (one for one in others if one.number < call.number and (_past(call, one) or _past(one, call)))
    return found or tuple(Doubt(Concern.AT_ODDS, call.number, calls=(one.number,)) for one in [*beyond][:1])


def _past(opening: Call, wall: Call) -> bool:
    """Whether an opening isn't in its wall, as far up as that goes."""
    if not isinstance(opening.fact, Opening) or not isinstance(wall.fact, SurfaceCall):
        return False
    hole = rough(opening.fact, wall.fact)
    top = wall.fact.highest
    return min(hole.left, hole.bottom) < ZERO or hole.right > wall.fact.width or hole.top > top


_LIMITS = {
    Topic.SHEET_WIDTH: (Length(12), Length(54)),
    Topic.SHEET_LENGTH: (Length(12), Length(192)),
    Topic.SPACING: (Length(8), Length(24)),
}
"""What is said of sheets and framing, from the least to the most that is no question: a strip that was left over to the
largest board on trade lists (our own rule); no table of fasteners has framing farther apart than 24 in."""


def unlikely_size(fact: Said | None) -> Length | None:
    """The side of a wall, a ceiling or a sheet, or the spacing, that few have; None where all are usual."""
    match fact:
        case SurfaceCall():
            highest = fact.highest
            return unlikely_side(Surface(fact.surface), fact.width, highest)
        case Context(topic=Topic.SHEET, value=(Length() as width, Length() as length)):
            sides = (Context(Topic.SHEET_WIDTH, width), Context(Topic.SHEET_LENGTH, length))
            return next(filter(None, map(unlikely_size, sides)), None)
        case Context(topic=topic, value=Length() as value) if topic in _LIMITS:
            least, most = _LIMITS[topic]
            return None if least <= value <= most else value
    return None
