"""Numbers that touch: no utterance is understood where its words could be parted into other numbers."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

import pytest

from fieldvoice.language.compiled import rules
from fieldvoice.language.sampling import draw
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Context, Diagonal, Reading
from fieldvoice.records.utterance import Ask, Meaning, Part, Status, Utterance

NUMBER_WORDS = rules().words("length") - {"dead"} | {"and"}  # "dead on" is of a number, "dead" alone of a circuit
Words = tuple[str, ...]

PLACES = (
    "top {} left thirty",
    "top {} strong",
    "scant {}",
    "{} on the nose",
    "top is {} plus an eighth",
    "{} wide",
    "diagonal {}",
    "thickness is {}",
    "stud at {}",
    "give it {}",
    "leave {} at the left",
    "floor to ceiling is {}",
    "single gang box center {} from the left center twenty down",
    "single gang box center thirteen from the left center {} up from the floor",
)


def said(words: Words) -> Utterance:
    """Those words as heard."""
    return understand(" ".join(words), Source.SPOKEN)


def one(utterance: Utterance) -> bool:
    """Whether exactly one meaning was taken."""
    return utterance.status is Status.UNDERSTOOD and len(utterance.meanings) == 1


def items(rng: random.Random) -> Iterator[Words]:
    """Short items with one meaning, without end."""
    while True:
        words = tuple(draw("item", rng)[0])
        if len(words) < 9 and one(said(words)):
            yield words


def pairs(seed: int, count: int) -> Iterator[tuple[Words, Words, Words]]:
    """Items that end with a number word, each with items that begin with one: at once and after "and"."""
    ends: dict[Words, None] = {}
    starts: dict[Words, None] = {}
    made = items(random.Random(seed))
    while len(ends) < count or len(starts) < count:
        words = next(made)
        if words[-1] in NUMBER_WORDS and len(ends) < count:
            ends[words] = None
        if words[0] in NUMBER_WORDS and len(starts) < count:
            starts[words] = None
    return product(ends, ((), ("and",)), starts)


def rival(before: Words, joint: Words, after: Words) -> str | None:
    """Another way to part the words: the number before the joint goes on, or stops earlier, and both parts hold or at
    least begin something ("side plumb" doesn't, behind "right"). What is told by another figure holds no number of its
    own ("the same as left and fifty four inch").
    """
    for taken in range(1, len(after)):
        if after[taken - 1] not in NUMBER_WORDS:
            break
        longer = said(before + joint + after[:taken])
        if said(after[taken:]).status is Status.REFUSED:
            continue
        if one(longer) or (longer.ask and longer.ask.about not in {Ask.BROKE_OFF, Ask.RELATIVE}):
            return f"{longer.heard} | {' '.join(after[taken:])}"
    found = said(before + joint + after).meanings
    for taken in range(1, min(4, len(before))):
        first, second = said(before[:-taken]), said(before[-taken:] + joint + after)
        if one(first) and one(second) and first.meanings + second.meanings != found:
            return f"{first.heard} | {second.heard}"
    return None


def wrong(seed: int, count: int) -> list[str]:
    """Understood pairs of items that have a rival."""
    return [
        f"{' '.join(before + joint)} | {' '.join(after)}: or {other}"
        for before, joint, after in pairs(seed, count)
        if said(before + joint + after).status is Status.UNDERSTOOD
        for other in [rival(before, joint, after)]
        if other
    ]


def value(meaning: Meaning, place: str) -> object:
    """The length at the gap of a place."""
    match meaning:
        case Box(_, x, y):
            return y.value if "{} up" in place else x.value
        case Context(_, (at,)):
            return at
        case Reading(found) | Part(found) | Diagonal(found) | Context(_, found):
            return found
    raise AssertionError(meaning)


def strays(seed: int, count: int) -> list[str]:
    """Numbers that mean one thing said alone, and another, or one of several, at a place."""
    rng = random.Random(seed)
    found = []
    for _ in range(count):
        number = " ".join(draw("plain", rng)[0])
        alone = understand(number, Source.SPOKEN)
        for place in PLACES:
            there = understand(place.format(number), Source.SPOKEN)
            if there.status is Status.UNDERSTOOD and not agree(alone, there, place):
                found.append(there.heard)
    return found


def agree(alone: Utterance, there: Utterance, place: str) -> bool:
    """Whether a number at a place is what it is alone: 1/8 or a lean less or more, where the place says so. A lean
    is 1/32, and half a millimetre where the number is on no tape in inches.
    """
    if not one(alone):
        return False
    number = value(alone.meanings[0], place)
    assert isinstance(number, Length)
    lean = Length("1/32") if (number.inches * 32).denominator == 1 else Length.of("1/2", Unit.MM)
    leans = {"strong": -lean, "scant": lean, "plus": Length("-1/8")}
    off = next((by for word, by in leans.items() if word in place.split()), Length(0))
    return value(there.meanings[0], place) == number - off


@pytest.mark.parametrize(
    "words",
    [
        "top forty half inch board",
        "top forty and half inch board",
        "top forty two layers",
        "top forty one layer",
        "box twenty two gang at forty from the left ten down",
        "window thirty by forty eight from the left two down",
        "diagonals ninety six",
        "at thirty two",
    ],
)
def test_a_number_that_could_go_on_is_asked_about(words: str) -> None:
    """Where one number could end sooner or later, the question says how to part them."""
    asked = understand(words, Source.SPOKEN)
    assert asked.status is Status.UNCLEAR
    assert asked.ask is not None
    assert asked.ask.about is Ask.NUMBER_ENDS


@pytest.mark.parametrize(
    ("words", "count"),
    [
        ("top forty then half inch board", 2),
        ("top forty two and a half and half inch board", 2),
        ("widths forty two forty three forty four", 3),
        ("diagonals ninety six ninety six and a quarter", 2),
        ("board two and half inch board", 2),
    ],
)
def test_a_number_that_cannot_go_on_needs_no_question(words: str, count: int) -> None:
    """The word "then" parts numbers, and so does a number that is whole."""
    assert len(understand(words, Source.SPOKEN).meanings) == count


@pytest.mark.parametrize("number", ["forty seven eighths", "twenty three quarter", "five sixteenth", "one ten half"])
@pytest.mark.parametrize("place", PLACES)
def test_a_swallowed_word_is_no_value_at_any_place(number: str, place: str) -> None:
    """Numbers like "forty seven eighths" are asked about at the box and beside "strong" as they are alone."""
    alone = understand(number, Source.SPOKEN)
    there = understand(place.format(number), Source.SPOKEN)
    assert there.status is not Status.UNDERSTOOD or agree(alone, there, place)


def test_no_pair_of_items_is_understood_with_a_rival() -> None:
    """Made-up items ending with a number, before made-up items that begin with one."""
    assert wrong(seed=4, count=22) == []


def test_a_number_is_the_same_at_every_place() -> None:
    """A made-up number alone and at each place: the same value, a question or a refusal."""
    assert strays(seed=4, count=150) == []


@pytest.mark.slow
def test_no_pair_of_many_items_is_understood_with_a_rival() -> None:
    """The same over five draws of a hundred items each."""
    assert [found for seed in range(5) for found in wrong(seed, 100)] == []
    assert strays(seed=5, count=1000) == []
