"""What is said in passing changes no meaning: an utterance with it means what it means without, or isn't taken."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator

import pytest

from fieldvoice.language.compiled import rules
from fieldvoice.language.rules import FILLER, IN_PASSING, OPENING, START, TAIL, part_of
from fieldvoice.language.sampling import sample
from fieldvoice.language.understanding import language, read_spoken, understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Meaning, Part, Status
from tests.language.test_crew import EVERY

SAMPLED, CALLED = 50, 90


def ways(rule: str) -> list[str]:
    """Every way to say a rule of few words."""

    def said(symbol: str) -> list[str]:
        part = part_of(symbol)
        return [symbol] if part is None else ways(part)

    found = rules().expansions[rule]
    return [" ".join(words) for one in found for words in itertools.product(*map(said, one.symbols))]


def phrases() -> list[str]:
    """Phrases of the sampler and of the tables, spoken. One that ends in what may be an aside of its own, and is asked
    about for that ("five eighths on this wall"), isn't among them: a further aside can decide it.
    """
    rng = random.Random(11)
    tails = tuple(f" {tail}" for tail in (*ways(TAIL), *ways(IN_PASSING)))
    spoken = [row.phrase for row in EVERY if Source.SPOKEN in row.ways and row.unit is Unit.INCH]
    drawn = [sample(rng).words for _ in range(SAMPLED)] + rng.sample(spoken, CALLED)
    return [words for words in drawn if not words.endswith(tails)]


PHRASES = phrases()


def meaning(words: str, source: Source) -> tuple[Meaning, ...] | None:
    """What is taken of the words; None where it is asked about or refused."""
    found = understand(words, source)
    return found.meanings if found.status is Status.UNDERSTOOD else None


def told_otherwise(said: Iterator[tuple[str, str, str]], source: Source) -> list[str]:
    """The utterances that are taken for something else than the words without the aside; what "right here" may be but
    an aside is a right side with "here" behind it.
    """
    taken = {words: meaning(words, source) for words in PHRASES}
    return [
        whole
        for words, aside, whole in said
        if (found := meaning(whole, source)) is not None
        and found != taken[words]
        and not belongs(whole)
        and not (taken[words] is None and "right" in aside and found == meaning(whole.replace(" here", ""), source))
    ]


def belongs(words: str) -> bool:
    """Whether the grammar has all of it as one thing to say, fillers aside: "that's it right there" is a yes."""
    heard = [one for one in read_spoken(words) if one.words[0] not in rules().words(FILLER)]
    return bool(language().parser.parse(heard, START).values) and not any(
        f" {aside} " in f" {words} " for aside in ways(IN_PASSING)
    )


@pytest.mark.parametrize("source", Source)
@pytest.mark.parametrize("rule", [FILLER, IN_PASSING])
def test_what_stands_anywhere_changes_nothing(rule: str, source: Source) -> None:
    """A filler or an aside at any place, each with some places of each phrase: the meaning, or that it is asked."""
    rng, asides = random.Random(5), ways(rule)

    def said() -> Iterator[tuple[str, str, str]]:
        for words in PHRASES:
            each = words.split()
            for aside in rng.sample(asides, 5):
                at = rng.randint(0, len(each))
                yield words, aside, " ".join([*each[:at], aside, *each[at:]])

    assert told_otherwise(said(), source) == []


@pytest.mark.parametrize("source", Source)
def test_what_opens_or_ends_a_call_changes_nothing(source: Source) -> None:
    """Before it or behind it."""
    rng, openings, tails = random.Random(3), ways(OPENING), ways(TAIL)
    before = ((words, one, f"{one} {words}") for words in PHRASES for one in rng.sample(openings, 4))
    behind = ((words, one, f"{words} {one}") for words in PHRASES for one in rng.sample(tails, 3))
    assert told_otherwise(itertools.chain(before, behind), source) == []


@pytest.mark.parametrize("source", Source)
def test_what_may_be_an_aside_is_kept_whatever_is_passed_over_beside_it(source: Source) -> None:
    """A thickness "on this wall" is no bare figure because "let me see" stands there, too."""
    for part, where in itertools.product(
        ("five eighths", "half inch"), ("on this wall", "on this one", "in this room")
    ):
        for aside in ways(IN_PASSING):
            for words in (f"{part} {where} {aside}", f"{aside} {part} {where}"):
                found = meaning(words, source)
                assert not found or not isinstance(found[0], Part | Reading), words


@pytest.mark.parametrize("there", ["here", "there"])
def test_right_in_here_is_no_side(there: str) -> None:
    """Nobody joins two sides by "and here": what follows is the left side alone, if it is taken."""
    for place in ("left", "top", "bottom"):
        for value in ("ninety six", "forty and a half"):
            found = meaning(f"right in {there} {place} {value}", Source.SPOKEN)
            assert found in {None, meaning(f"{place} {value}", Source.SPOKEN)}


@pytest.mark.parametrize(
    "words",
    [
        "here the right one ninety two",
        "forty six right here",
        "wall right here",
        "forty six right in here",
        "wall right in here",
        "top forty for now",
        "right here",
        "for now",
    ],
)
def test_an_aside_that_may_be_more_is_asked_about(words: str) -> None:
    """Its words may belong to what is called, or be nothing."""
    assert meaning(words, Source.SPOKEN) is None


def test_a_yes_before_an_aside_stays_a_yes() -> None:
    """It is passed over within a call alone."""
    for words in ("yeah top forty six let's see", "yep you got it this time"):
        assert understand(words, Source.SPOKEN).meanings[0] == understand(words.split()[0], Source.SPOKEN).meanings[0]
