"""What else an utterance may have been: beside one thing called another one like it, or a whole of other places; and
what sounds like a length: a teen and its ten, five and nine, an eighth and a sixteenth, feet and tens; and a box at a
height where none is set, where what sounds like it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from fieldvoice.dialogue.rooms import Judged
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Fact, Key, key_of
from fieldvoice.records.ledger import Call, Concern, Doubt
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Diagonal,
    Dimension,
    Edge,
    Neighbor,
    Plumb,
    Reading,
    WholeThing,
)
from fieldvoice.records.utterance import Answer, Ask, Correction, Meaning, Question, Status, Unsure


def teen_or_ten(value: Length) -> Length | None:
    """The length that sounds alike: a teen for its ten, and a ten for its teen (13 and 30), the fraction kept."""
    whole, part = divmod(value.inches, 1)
    if 13 <= whole <= 19:
        return Length(Fraction((whole - 10) * 10) + part)
    if 30 <= whole <= 90 and whole % 10 == 0:
        return Length(Fraction(10 + whole // 10) + part)
    return None


def twins_of(value: Length, unit: Unit) -> tuple[Length, ...]:
    """Everything that sounds like a length: teen and ten, five and nine in any figure, an eighth and a sixteenth, feet
    and tens.
    """
    number = value.in_unit(unit)
    whole, part = divmod(number, 1)
    found: list[Fraction] = []
    found += [new + part for new in _five_or_nine(int(whole))]
    last = int(whole) % 100
    if 13 <= last <= 19:
        found.append(number + (last - 10) * 10 - last)
    elif last >= 30 and last % 10 == 0:
        found.append(number + 10 + last // 10 - last)
    if unit is Unit.INCH:
        if part.denominator == 8:
            found.append(whole + part / 2)
        elif part.denominator == 16 and part.numerator < 8:
            found.append(whole + part * 2)
        if not part and whole % 12 == 0 and whole // 12 < 10:
            found.append(whole // 12 * Fraction(10))
        if not part and whole % 10 == 0 and whole < 100:
            found.append(whole // 10 * Fraction(12))
    return tuple(Length.of(each, unit) for each in dict.fromkeys(found) if each != number and each > 0)


def _five_or_nine(whole: int) -> Iterator[Fraction]:
    digits = str(whole)
    for place, digit in enumerate(digits):
        if digit in "59":
            yield Fraction(int(digits[:place] + ("9" if digit == "5" else "5") + digits[place + 1 :]))


PLACED = Reading | Diagonal | Plumb | WholeThing | Context
"""What can wait as one of several ways."""


def as_wholes(judged: Judged) -> Judged:
    """Where what else may have been said isn't one thing in the place of one like it, the utterance is one of two
    wholes, to be asked for as such: what is settled then has all its places, and nothing else has. Where that other
    whole can't be told, the utterance has to be said again.
    """
    utterance, rival = judged.utterance, judged.rival
    if rival is None or utterance.status is not Status.UNDERSTOOD:
        return judged
    ours, theirs = called(utterance.meanings), called(rival)
    mine, other = _without(ours, theirs), _without(theirs, ours)
    alone = len(ours) == len(theirs) == 1 and type(ours[0]) is type(theirs[0])
    if not theirs or not ours or alone or not (mine or other):
        return judged
    whole = all(isinstance(each, PLACED) for each in (*ours, *theirs))
    if not whole and mine:
        return judged  # each of them is asked about by itself
    ask = Question(Ask.WHICH_OF) if whole else Question(Ask.NOT_SURE, (utterance.heard, Unsure.EARS_DIFFER))
    ways = (utterance.meanings, rival) if whole else ()
    unclear = replace(utterance, status=Status.UNCLEAR, meanings=(), alternatives=ways, ask=ask)
    return replace(judged, utterance=unclear, rival=None)


def called(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """What was called, without the yes or no before it."""
    bare = (each.new if isinstance(each, Correction) else each for each in meanings)
    return tuple(each for each in bare if not isinstance(each, Answer))


def _without(ours: tuple[Meaning, ...], theirs: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    return tuple(each for each in ours if not any(_alike(each, other) for other in theirs))


def one_of_each(doubts: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """What a call may have been instead is asked at once, whatever speaks for each: the answer settles all of it."""
    ways: dict[int | None, dict[tuple[Fact, ...], None]] = {}
    for doubt in doubts:
        if doubt.concern is Concern.WHICH_OF:
            ways.setdefault(doubt.call, {}).update(dict.fromkeys(doubt.ways))
    found = (
        replace(doubt, ways=tuple(ways[doubt.call])) if doubt.concern is Concern.WHICH_OF else doubt for doubt in doubts
    )
    return tuple(dict.fromkeys(found))


def rival_of(call: Call, new: tuple[Call, ...], judged: Judged) -> Fact | None:
    """What else the call may have been: the rival's meaning of that kind that was not called, in its place."""
    if not unmatched(call, judged):
        return None
    others = (meaning for meaning in judged.rival or () if not any(_alike(each.fact, meaning) for each in new))
    for other in others:
        if isinstance(other, Reading) and isinstance(call.fact, Reading):
            return _placed_like(other, call.fact)
        if isinstance(other, WholeThing) and isinstance(call.fact, type(other)):
            return replace(other, name=other.name or call.fact.name)
    return None


def _placed_like(other: Reading, called: Reading) -> Reading:
    at = other.at if other.at is not None else called.at
    dimension = other.dimension
    if dimension is None:
        widths = at == called.at or not isinstance(at, str)
        dimension = called.dimension if widths else _side_of(at)
    return replace(other, at=at, dimension=dimension or called.dimension)


def _side_of(at: object) -> Dimension | None:
    return {"top": Dimension.WIDTH, "bottom": Dimension.WIDTH, "left": Dimension.HEIGHT, "right": Dimension.HEIGHT}.get(
        str(at)
    )


def unmatched(call: Call, judged: Judged) -> bool:
    """Whether there is a rival meaning and this call isn't in it."""
    return judged.rival is not None and not any(_alike(call.fact, meaning) for meaning in judged.rival)


def _alike(fact: object, meaning: Meaning) -> bool:
    """Whether the words of `meaning` may have been these, places and names being settled in `fact` alone."""
    if isinstance(fact, Reading) and isinstance(meaning, Reading):
        return fact.value == meaning.value and meaning.at in {None, fact.at}
    if isinstance(fact, WholeThing) and isinstance(meaning, WholeThing):
        named = meaning.name in {"", fact.name}
        return named and replace(fact, name="") == replace(meaning, name="")
    return fact == meaning


def but_for(doubt: Doubt, places: Collection[Key]) -> Doubt | None:
    """The question once these places were called anew: none of its ways has a word in them any more. None where that
    was all that was asked.
    """
    if doubt.concern is not Concern.WHICH_OF:
        return doubt
    found = (tuple(fact for fact in way if key_of(fact) not in places) for way in doubt.ways)
    ways = tuple(dict.fromkeys(way for way in found if way))
    return replace(doubt, ways=ways) if ways else None


COMMON = ((8, 24), (36, 54))
"""Inches above the floor at which outlets and switches are set (common practice, no source)."""


SAME_HEIGHT = Length(1)
"""How far boxes of one height may differ where they were measured from floor and ceiling (our own rule)."""


ONE_HEIGHT = Length("3/8")
"""The same where both were measured from one side (our own rule: twice what a wall is off over the way between)."""


HIGHER = Length(6)
"""What is nearer than this to another box's height and not the same is unlike it: nobody sets boxes so (our own
rule)."""


def by_height_above_floor(call: Call, board: Board, values: Mapping[Key, Call]) -> tuple[Doubt, ...]:
    """A box at no common height, or unlike the others among the `values` of its board, where what sounds like it is as
    it should be: up for down, sixty for sixteen, seventy five for seventy nine.
    """
    box = call.fact
    if not isinstance(box, Box) or box.far is not None:
        return ()
    heights = [
        one.fact.value
        for one in values.values()
        if isinstance(one.fact, Reading) and one.fact.dimension is Dimension.HEIGHT
    ]
    stands = {edge: setting.neighbor for edge, setting in board.edges.items()}
    at_floor = stands[Edge.BOTTOM] is Neighbor.FLOOR and stands[Edge.TOP] is Neighbor.CEILING
    if not heights or not at_floor or box.y.start not in {Edge.TOP, Edge.BOTTOM}:
        return ()
    beside = [
        one.fact.y
        for one in values.values()
        if isinstance(one.fact, Box) and one.key != call.key and one.fact.y.point is box.y.point
    ]
    others = [_up(one, heights[0]) for one in beside]
    near = [] if any(_at_one(box.y, one) for one in beside) else [one for one in beside if nearly(box.y, one)]
    if not near and _is_expected(_up(box.y, heights[0]), others):
        return ()
    start = Edge.TOP if box.y.start is Edge.BOTTOM else Edge.BOTTOM
    alike = [replace(box.y, start=start), *(replace(box.y, value=one) for one in twins_of(box.y.value, board.unit))]
    alike += near
    rather = [place for place in alike if _is_expected(_up(place, heights[0]), others)]
    if not rather:
        return ()
    best = min(rather, key=lambda place: min((abs(_up(place, heights[0]) - one) for one in others), default=Length(0)))
    return (Doubt(Concern.SWAPPED, call.number, ((replace(box, y=best),),)),)


def _at_one(place: Coordinate, other: Coordinate) -> bool:
    return place.start is other.start and abs(place.value - other.value) <= ONE_HEIGHT


def nearly(place: Coordinate, other: Coordinate) -> bool:
    """Whether two boxes are measured down, or up, to almost one height: nobody sets them so, and one was misheard."""
    return place.start is other.start and ONE_HEIGHT < abs(place.value - other.value) <= SAME_HEIGHT


def _up(place: Coordinate, height: Length) -> Length:
    """How high above the floor, with one height of the board for all of it."""
    return place.value if place.start is Edge.BOTTOM else height - place.value


def _is_expected(up: Length, others: Sequence[Length]) -> bool:
    """Whether boxes are set there: at the height of another one of the board, else at a common one."""
    if others and any(abs(up - other) <= SAME_HEIGHT for other in others):
        return True
    common = any(low <= up.inches <= high for low, high in COMMON)
    return common and not any(abs(up - other) <= HIGHER for other in others)


STEEP = Length(48)
"""How far heights of one breath may be apart where no width is known (our own rule: the width of a sheet)."""
HEIGHTS = Length("1 1/2")
"""How far a height may be from the nearest other height of its board (our own rule: a ceiling out of level by 3/8 in
per 32 in, twice what is allowed of walls, moves 9/16 in over a board; a slope is rare, and its speaker knows)."""
ALIKE = Length(4)
"""How near a height must be to a width to be one (our own rule)."""


def beside_its_row(call: Call, new: Sequence[Call], known: Sequence[Reading]) -> tuple[Doubt, ...]:
    """A height of one breath with others is a slope that its speaker knows, but where it is near a width, and so may be
    one, or steeper than any roof of common pitch: 46 behind 96.
    """
    fact = call.fact
    if not isinstance(fact, Reading) or fact.dimension is not Dimension.HEIGHT:
        return ()
    row = [one.fact for one in new if one.number < call.number and isinstance(one.fact, Reading)]
    heights = [one.value for one in row if one.dimension is Dimension.HEIGHT]
    widths = [one.value for one in (*known, *row) if one.dimension is Dimension.WIDTH]
    nearest = min(heights, key=lambda height: abs(height - fact.value), default=fact.value)
    off = abs(nearest - fact.value)
    is_width = off > HEIGHTS and any(abs(width - fact.value) <= ALIKE for width in widths)
    return (Doubt(Concern.FELLOWS, call.number, value=nearest),) if is_width or off > max(widths, default=STEEP) else ()
