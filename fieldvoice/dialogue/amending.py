"""What is called anew of a thing that is there: "box one is thirty two from left" leaves the rest of it as it was."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TypeVar

from fieldvoice.records.facts import Fact, Said
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Course,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Reading,
    SurfaceCall,
    Thing,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Part

_ACROSS = frozenset({Edge.LEFT, Edge.RIGHT})


def amended(old: WholeThing, new: Incomplete) -> Thing:
    """The old one with what the new call says in the place of its own; the new call as it is where that doesn't tell
    which part it means: one that was called from all its sides, another kind of thing.
    """
    places = _places(old)
    if new == Incomplete(None, name=new.name):
        return old  # nothing but its name
    if places is None or not _same_thing(old, new):
        return new
    across, down = places
    for said in new.distances:
        if said.start is None or said.start in _ACROSS:
            across = _in_place(across, said)
        else:
            down = _in_place(down, said)
    if new.point is not None and not new.distances:
        across, down = (replace(each, point=new.point) for each in places)
    whole = Incomplete(
        new.kind or old.kind,
        (across, down),
        new.width or (old.width if isinstance(old, Opening) else None),
        new.height or (old.height if isinstance(old, Opening) else None),
        new.diameter or (old.diameter if isinstance(old, Opening) else None),
        old.name,
        new.plugged_in or (isinstance(old, Box) and old.plugged_in),
    ).whole
    return whole or new


def together(old: Incomplete, new: Incomplete) -> Thing:
    """One thing of which two people, or two breaths, said a part each; of the same part the later word counts."""
    points = {each.start: each.point for each in old.distances}  # another one from the same side is to the same point
    now = tuple(replace(each, point=each.point or points.get(each.start)) for each in new.distances)
    ways = {each.start in _ACROSS: each for each in now if each.start is not None}
    both = tuple(each if each.start is None else ways.get(each.start in _ACROSS, each) for each in old.distances)
    if new.point is not None and not new.distances:
        both = tuple(replace(each, point=new.point) for each in both)
    made = Incomplete(
        new.kind or old.kind,
        (*both, *(each for each in now if each not in both))[-2:],
        new.width or old.width,
        new.height or old.height,
        new.diameter or old.diameter,
        old.name,
        new.plugged_in or old.plugged_in,
        new.point if len(both) < 2 else None,
    )
    return made.whole or made


def goes_on(old: Said | None, new: Said) -> bool:
    """Whether what lacks a part may be meant by what another one calls under its name: anything of it is as it was, or
    nearly so, or isn't said. What is wholly elsewhere is another thing.
    """
    if not isinstance(old, Incomplete) or not isinstance(new, Incomplete):
        return False
    pairs = [
        [(was, each) for each in new.distances if (each.start in _DOWN) is (was.start in _DOWN)]
        for was in old.distances
    ]
    return not all(pairs) or not pairs or any(_nearly(was, now) for both in pairs for was, now in both)


def _nearly(was: Distance, now: Distance) -> bool:
    return (None in {was.start, now.start} or was.start is now.start) and abs(was.value - now.value) <= NEARLY


NEARLY = Length(2)
"""How far a distance may be from the one that it puts right (our own rule: as `plausibility.READ_ANEW`)."""


def beside_the_rest(old: Said | None, new: Said) -> Said:
    """What is changed of a thing that lacks a part, with all that was said of it and isn't said anew."""
    if not isinstance(old, Incomplete) or not isinstance(new, Incomplete) or not alike(old, new):
        return new
    return together(old, new)


def with_fraction(old: Reading, part: Part) -> Reading:
    """The reading with the fraction of an inch that was said to be wrong; as it was where it is no part of one."""
    value, inches = part.value, old.value.inches
    if not isinstance(value, Length) or not 0 < value.inches < 1 or inches < 1:
        return old
    return replace(old, value=Length(inches - inches % 1 + value.inches))


def _with_its_side(old: Context, said: Edge | Point) -> Context | None:
    """A setting with the side or the point that was said; None for one that has none."""
    match old:
        case Context(topic=Topic.OVER) if said in _ACROSS:
            return replace(old, value=said.value)
        case Context(topic=Topic.BOX_POINT) if isinstance(said, Point):
            return replace(old, value=said.value)
        case Context(topic=Topic.SPACING, edge=Edge.LEFT | Edge.RIGHT) if said in _ACROSS:
            return replace(old, edge=Edge(said))
    return None


def with_figure(old: Said | None, said: Reading | Part) -> Fact | None:
    """What is one length with the figure that was said instead, a reading with its fraction too, an opening with its
    width or height; an edge with what stands there instead, a setting with its side or its point. None where that is no
    value of it.
    """
    value = said.value
    match old:
        case Reading() if isinstance(said, Reading):
            return replace(said, dimension=old.dimension, at=old.at, shared=old.shared)
        case Reading() if isinstance(said, Part):
            new = with_fraction(old, said)
            return None if new == old else new
        case Opening() if isinstance(said, Reading) and said.at is None:
            return _with_side(old, said)
        case Context(topic=Topic.NEIGHBOR) if isinstance(value, Neighbor):
            return replace(old, value=value)
        case Context(topic=Topic.COURSE) if isinstance(value, Course):
            return replace(old, value=value)
        case Context() if isinstance(value, Edge | Point):
            return _with_its_side(old, value)
        case Plumb(value=was) if isinstance(value, Length) and _alike(abs(was), value):
            return replace(old, value=value if was.inches >= 0 else -value)  # it leans as it did
        case Diagonal(value=was) | Context(value=Length() as was) if isinstance(value, Length) and _alike(was, value):
            return replace(old, value=value)
    return None


Sized = TypeVar("Sized", Opening, Incomplete)


def _with_side(old: Sized, said: Reading) -> Sized | None:
    """An opening as wide or as high as was said, where it was called by that."""
    if said.dimension is Dimension.WIDTH and old.width is not None:
        return replace(old, width=said.value)
    if said.dimension is Dimension.HEIGHT and old.height is not None:
        return replace(old, height=said.value)
    return None


def with_another_figure(old: Incomplete, said: Reading) -> Incomplete | None:
    """A thing that lacks a part, as wide or as high as was said, or with another figure in the place of the only one
    that it was called with. None where that isn't told.
    """
    sized = _with_side(old, said)
    if sized is not None or not is_bare(said) or old.width or old.height:
        return sized
    if len(old.distances) == 1 and old.diameter is None:
        return replace(old, distances=(replace(old.distances[0], value=said.value),))
    return replace(old, diameter=said.value) if old.diameter is not None and not old.distances else None


def with_sides(old: Said | None, sides: tuple[Length, Length]) -> Said | None:
    """A thing of two sides with those instead; None for what hasn't two."""
    width, height = sides
    match old:
        case (
            SurfaceCall(slopes=False)
            | Opening(width=Length(), height=Length())
            | Incomplete(width=Length(), height=Length())
        ):
            return replace(old, width=width, height=height)
    return None


SMALL = Length(4)
"""What is below it is a thickness, a clearance, a lean; what isn't is none of these (our own rule)."""


def _alike(one: Length, other: Length) -> bool:
    return (one < SMALL) is (other < SMALL)


def with_part(old: WholeThing, part: Part) -> WholeThing:
    """The old one with the part that was said to be wrong; as it was where the part could be of either way."""
    value = part.value
    if isinstance(value, Distance):
        made = amended(old, Incomplete(None, (value,), name=old.name))
    elif isinstance(value, BoxKind):
        made = amended(old, Incomplete(value, name=old.name))
    elif isinstance(value, Edge) and (places := _places(old)) is not None:
        which = [each for each in places if (each.start in _ACROSS) == (value in _ACROSS)]
        made = amended(old, Incomplete(None, (replace(which[0], start=value),), name=old.name))
    elif isinstance(value, Point) and (places := _places(old)) is not None:
        made = amended(old, Incomplete(None, tuple(replace(each, point=value) for each in places), name=old.name))
    else:
        return old
    return old if isinstance(made, Incomplete) else made


def _places(old: WholeThing) -> tuple[Distance, Distance] | None:
    if isinstance(old, Box):
        return None if old.far is not None else (_distance(old.x), _distance(old.y))
    return (_distance(old.xs[0]), _distance(old.ys[0])) if len(old.xs) == len(old.ys) == 1 else None


def _distance(at: Coordinate) -> Distance:
    return Distance(at.value, at.point, at.start, at.off)


def _same_thing(old: WholeThing, new: Incomplete) -> bool:
    kinds = BoxKind if isinstance(old, Box) else OpeningKind
    return new.kind is None or (isinstance(new.kind, kinds) and (isinstance(old, Box) or new.kind is old.kind))


def _in_place(old: Distance, said: Distance) -> Distance:
    """The new distance; from the same side and to the same point as before where nothing else was said."""
    return replace(said, point=said.point or old.point, start=said.start or old.start)


def could_be(old: object, new: Reading) -> bool:
    """Whether the words of the new reading leave it open to be in the old one's place, or name it."""
    assert isinstance(old, Reading)
    return new.dimension in {None, old.dimension} and new.at in {None, old.at}


def in_place_of(old: Said | None, new: Said) -> Said:
    """The new fact in the old one's place, or under its name."""
    if isinstance(old, Reading) and isinstance(new, Reading):
        return replace(new, dimension=old.dimension, at=old.at, shared=old.shared)
    if isinstance(old, WholeThing) and isinstance(new, Incomplete):
        return replace(amended(old, new), name=old.name)
    if isinstance(old, Thing) and isinstance(new, Thing):
        return replace(new, name=old.name)
    return new


def same_name(old: Said, new: Said) -> bool:
    """Whether the new thing's name, where one was said, is the old one's."""
    if not isinstance(old, Thing) or not isinstance(new, Thing):
        return True
    return new.name in {"", old.name}


def says_again(old: Incomplete, new: Said) -> bool:
    """Whether a call says again what lacks a part: of no other name, no other kind, and with one of its distances where
    it had any, that across where both have one, or with its name and no distance. By its name it may be a box of
    another kind, or one of its distances another. Anything else is another thing, which is kept for itself: "switch"
    behind "outlet".
    """
    if not isinstance(new, Thing) or not same_name(old, new):
        return False
    named = bool(new.name) and isinstance(old.kind, BoxKind) and isinstance(new.kind, BoxKind | None)
    if None not in {old.kind, new.kind} and old.kind is not new.kind and not named:
        return False
    if named and isinstance(new, Incomplete) and len(new.distances) == 1:
        return new.distances[0].start in {each.start for each in old.distances}
    if old.kind is None and isinstance(new.kind, OpeningKind):
        return False
    if isinstance(new, Incomplete) and not new.distances:
        return bool(new.name)
    return not old.distances or _share_a_distance(old, new)


def _share_a_distance(one: Thing, other: Thing) -> bool:
    """Whether two things were called with one distance: across, where both have one, since boxes side by side have one
    height.
    """
    across = _values(one, _DOWN), _values(other, _DOWN)
    first, second = across if all(across) else (_values(one), _values(other))
    return not first.isdisjoint(second) and not _from_elsewhere(one, other)


def _from_elsewhere(one: Thing, other: Thing) -> bool:
    """Whether a figure that both have across is from one side of the one, and from the other side of the other."""
    first, second = (
        {(each.value, each.start) for each in thing.places if each.start in _ACROSS} for thing in (one, other)
    )
    return any(value == again and start is not edge for value, start in first for again, edge in second)


def says_all_again(old: Said | None, new: Said) -> bool:
    """Whether a call says again all the distances of what lacked a part. One of them alone may be that of another box,
    at the same height.
    """
    if not isinstance(old, Incomplete) or not isinstance(new, Thing):
        return False
    return says_again(old, new) and _values(old) <= _values(new)


def figures_of(thing: Said | None) -> set[Length]:
    """The distances and the sizes of a box or an opening, as far as they were said; of anything else none."""
    if not isinstance(thing, Thing):
        return set()
    sizes = () if isinstance(thing, Box) else (thing.width, thing.height, thing.diameter)
    return _values(thing) | {each for each in sizes if each is not None}


_DOWN = frozenset({Edge.TOP, Edge.BOTTOM})


def _values(thing: Thing, but_from: frozenset[Edge] = frozenset()) -> set[Length]:
    """The distances of a thing, but those from these edges; what stands at an edge has none from there."""
    return {each.value for each in thing.places if each.start not in but_from} - {ZERO}


def alike(old: Said | None, new: Said | None) -> bool:
    """Whether both may be the same thing, by their kinds: two boxes, two windows, or one of a kind that wasn't said."""
    if not isinstance(old, Thing) or not isinstance(new, Thing):
        return False
    if None in {old.kind, new.kind}:
        return True
    return old.kind is new.kind or (isinstance(old.kind, BoxKind) and isinstance(new.kind, BoxKind))


def of_one(fact: Said, things: Iterable[Said | None]) -> Said:
    """A thing that is named by its kind alone, under the name of the only one of that kind that is there; a width or a
    height of no place as that of the wall or ceiling that is there.
    """
    if isinstance(fact, Reading) and fact.at is None and fact.dimension is not None:
        walls = [old for old in things if isinstance(old, SurfaceCall)]
        if walls and fact.dimension is Dimension.WIDTH:
            return replace(walls[0], width=fact.value)
        return replace(walls[0], height=fact.value) if walls and walls[0].right_height is None else fact
    if not isinstance(fact, Thing) or fact.name or fact.kind is None:
        return fact
    there = [old for old in things if isinstance(old, WholeThing) and alike(old, fact)]
    return replace(fact, name=there[0].name) if len(there) == 1 else fact


def is_bare(fact: Said) -> bool:
    """Whether it is a figure and nothing else."""
    return isinstance(fact, Reading) and fact.at is None and fact.dimension is None


def with_parts(old: Said | None, parts: tuple[Part, ...]) -> Fact | None:
    """The thing with those parts in place of its own; None where one of them is none of it, or all are its own. Of two
    distances one may be as it was.
    """
    new = None if isinstance(old, Incomplete) else old
    for part in parts:
        before = new
        new = with_part(new, part) if isinstance(new, WholeThing) else with_figure(new, part)
        there = _places(before) if isinstance(before, WholeThing) else None
        if new is None or (new == before and part.value not in (there or ())):
            return None
    return None if new == old else new


def says_anew(old: Said | None, new: Said) -> bool:
    """Whether a box or an opening without a name is one that waits, said anew: of its kind, with one of its distances.
    Else it is the next one, which takes nobody's place.
    """
    if not isinstance(old, Thing) or not isinstance(new, Thing) or new.name:
        return True
    return alike(old, new) and _share_a_distance(old, new)
