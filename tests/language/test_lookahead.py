"""What the parser leaves out ahead of time, and what it unpacks late, changes nothing that is understood."""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import product

import pytest

from fieldvoice.language import descent
from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import Parser, Token
from fieldvoice.language.lookahead import END, FIGURES, Branch, Place
from fieldvoice.language.meanings import ACTIONS
from fieldvoice.language.rules import (
    BEGUN,
    DENIALS,
    MEASURED,
    PASSED_OVER,
    PLACE,
    SUSPECT,
    Expansion,
    Packed,
    Rules,
    needed,
    packed,
    part_of,
)
from fieldvoice.language.rules import START as UTTERANCE
from fieldvoice.language.sampling import draw, sample
from fieldvoice.language.typed import read_typed
from fieldvoice.language.understanding import Language, language, read_spoken
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from tests.language.crew import rows

DRAWN, SOUPS, CALLED, SAMPLED = 400, 80, 80, 50
AT_ONCE = 40
SPOILED = ("and", "the", "one", "forty", "inch", "to", "left")
NUMBERS = ("two", "teen", "twenty", "forty", "a", "half", "eighth", "sixteenths", "to", "inch", "left", "box")
MANY_STEPS = 10**6
EVERY_WORD = END | FIGURES | rules().words(UTTERANCE)


class Plain(Parser):
    """A parser that goes through every rule at every word, and on from every end of it."""

    def ahead(self, node: Place) -> frozenset[str]:
        """Whatever follows."""
        return EVERY_WORD

    def _steps(self, node: Place, words: tuple[str, ...]) -> Iterator[Branch]:
        for symbol, after in node.edges:
            part = part_of(symbol)
            if part is not None or symbol in words:
                yield Branch(part, after.opened(), None, None, None)

    def may_begin(self, rule: str, words: tuple[str, ...], after: tuple[str, ...]) -> bool:
        """Whatever it begins with."""
        return True


def utterances(unit: Unit) -> list[list[Token]]:
    """Calls of a crew, typed and spoken; of the grammar, whole and with a word lost or more; and words in any order."""
    rng = random.Random(9)
    called = rng.sample([row.phrase for row in rows("crew_phrases_attic.tsv")], CALLED)
    said = [sample(rng, unit).words.split() for _ in range(SAMPLED)]
    broken = [[*words[: (at := rng.randrange(len(words)))], *words[at + 1 :]] for words in said]
    spoiled = [[*words[: (at := rng.randrange(len(words)))], rng.choice(SPOILED), *words[at:]] for words in said]
    soups = [rng.choices(some, k=rng.randint(1, 12)) for some in (vocabulary(), NUMBERS) for _ in range(SOUPS)]
    spoken = map(read_spoken, [*called, *map(" ".join, (*said, *broken, *spoiled, *soups))])
    return [*spoken, *(read_typed(phrase, unit) for phrase in called)]


@pytest.mark.parametrize("unit", Unit)
def test_what_is_left_out_ahead_has_no_value(unit: Unit, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every utterance has the same values in the same order as without, and breaks off at the same word; and what is
    looked for within it is found at the same words.
    """
    monkeypatch.setattr(descent, "MOST_STEPS", MANY_STEPS)
    quick, plain, fewer = Parser(rules().kept_in(unit), ACTIONS), Plain(rules().kept_in(unit), ACTIONS), 0
    for heard in utterances(unit):
        found, whole = quick.parse(heard, UTTERANCE), plain.parse(heard, UTTERANCE)
        assert (found.values, found.crowded) == (whole.values, whole.crowded), [one.text for one in heard]
        assert found.values or found.lost() == whole.lost(), [one.text for one in heard]
        for rule, at in product((*PASSED_OVER, *DENIALS, SUSPECT, MEASURED, BEGUN, PLACE), range(len(heard))):
            assert quick.ends_of(heard, rule, at) == plain.ends_of(heard, rule, at), (rule, [one.text for one in heard])
        fewer += whole.steps - found.steps
    assert fewer > 0


def test_a_rule_is_never_said_without_a_word_that_it_needs() -> None:
    """As drawn from the grammar; and many rules need one."""
    rng, needs, tried = random.Random(3), needed(rules().expansions), 0
    told = [rule for rule, words in needs.items() if words and rules().sayable(rule)]
    for rule in rng.choices(told, k=DRAWN):
        words, _ = draw(rule, rng)
        assert not needs[rule].isdisjoint(words), (rule, words)  # type: ignore[union-attr]
        tried += 1
    assert tried == DRAWN
    assert needs["full__unheard"] == frozenset({"full"})
    assert len(told) > len(needs) / 3


def test_packed_rules_tell_of_themselves_what_unpacked_ones_do() -> None:
    """What they begin with, are made of and need; and the same in a job kept in millimeters."""
    kept = rules()
    plain = Rules(dict(kept.expansions))
    again = Rules(Packed(packed(plain)))
    for unit in Unit:
        ours, theirs = again.kept_in(unit), plain.kept_in(unit)
        assert dict(ours.expansions) == dict(theirs.expansions)
        assert all(ours.heads(rule) == theirs.heads(rule) for rule in theirs.expansions)
        assert all(ours.symbols(rule) == theirs.symbols(rule) for rule in theirs.expansions)
    assert again.needs() == plain.needs()


class Interrupted(list[Expansion]):
    """Ways to say something; somebody else comes to the place while they are gone through."""

    def __init__(self, ways: Iterable[Expansion], other: Callable[[], object]) -> None:
        super().__init__(ways)
        self.other: Callable[[], object] | None = other

    def __iter__(self) -> Iterator[Expansion]:
        for way in super().__iter__():
            other, self.other = self.other, None
            if other:
                other()
            yield way


def test_who_comes_to_a_place_while_it_is_opened_finds_all_of_it() -> None:
    """An ear asks in a thread of its own whether words may follow."""
    ways = rules().expansions["place"]
    whole, place, seen = Place(), Place(), list[set[str]]()
    whole.waiting = [*ways]
    place.waiting = Interrupted(ways, lambda: seen.append({symbol for symbol, _ in place.opened().edges}))
    wanted = {symbol for symbol, _ in whole.opened().edges}
    assert {symbol for symbol, _ in place.opened().edges} == wanted
    assert seen == [wanted]


def test_threads_that_understand_at_once_understand_the_same() -> None:
    """Each what it would alone, from a language of which nothing is unpacked yet."""
    rng = random.Random(4)
    lines = [row.phrase for row in rng.sample(rows("crew_phrases_attic.tsv"), AT_ONCE)] * 2
    alone = [repr(language(Unit.INCH).understand(line, Source.TYPED)) for line in lines]
    fresh, before = Language(rules(), Unit.INCH), sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(4) as threads:
            found = [*threads.map(lambda line: repr(fresh.understand(line, Source.TYPED)), lines)]
    finally:
        sys.setswitchinterval(before)
    assert found == alone
