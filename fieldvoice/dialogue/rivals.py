"""What else an utterance may have been: beside one thing called another one like it, or a whole of other places; and
what sounds like a length: a teen and its ten, five and nine, an eighth and a sixteenth, feet and tens.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from fractions import Fraction

from fieldvoice.dialogue.rooms import Judged
from fieldvoice.records.facts import Fact, Key, key_of
from fieldvoice.records.ledger import Call, Concern, Doubt
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Context, Diagonal, Dimension, Opening, Plumb, Reading
from fieldvoice.records.orders import Answer, Correction
from fieldvoice.records.utterance import Ask, Meaning, Question, Status, Unsure


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


_PLACED = Reading | Diagonal | Plumb | Box | Opening | Context
"""What can wait as one of several ways."""


def as_wholes(judged: Judged) -> Judged:
    """Where what else may have been said isn't one thing in the place of one like it, the utterance is one of two
    wholes, to be asked for as such: what is settled then has all its places, and nothing else has. Where that other
    whole can't be told, the utterance has to be said again.
    """
    utterance, rival = judged.utterance, judged.rival
    if rival is None or utterance.status is not Status.UNDERSTOOD:
        return judged
    ours, theirs = _called(utterance.meanings), _called(rival)
    mine, other = _without(ours, theirs), _without(theirs, ours)
    alone = len(ours) == len(theirs) == 1 and type(ours[0]) is type(theirs[0])
    if not theirs or not ours or alone or not (mine or other):
        return judged
    whole = all(isinstance(each, _PLACED) for each in (*ours, *theirs))
    if not whole and mine:
        return judged  # each of them is asked about by itself
    ask = Question(Ask.WHICH_OF) if whole else Question(Ask.NOT_SURE, (utterance.heard, Unsure.EARS_DIFFER))
    ways = (utterance.meanings, rival) if whole else ()
    unclear = replace(utterance, status=Status.UNCLEAR, meanings=(), alternatives=ways, ask=ask)
    return replace(judged, utterance=unclear, rival=None)


def _called(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
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
        if isinstance(other, Box | Opening) and isinstance(call.fact, type(other)):
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
    if isinstance(fact, Box | Opening) and isinstance(meaning, Box | Opening):
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
