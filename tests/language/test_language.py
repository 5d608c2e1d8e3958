"""Hearing, choosing, and what never happens: a crash, a guess, or a wait."""

from __future__ import annotations

import random
from collections.abc import Iterable
from fractions import Fraction
from itertools import chain, islice, product

import lark
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.lark import from_lark as from_lark_grammar

from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.choosing import choose, which_twin
from fieldvoice.language.compiled import packed_rules, rules, unpacked_rules
from fieldvoice.language.descent import MOST_STEPS, meaning_of
from fieldvoice.language.meanings import ACTIONS, SENSES
from fieldvoice.language.outcomes import LONGEST
from fieldvoice.language.partial import Several
from fieldvoice.language.rules import START, Expansion, from_lark, grammar_text, part_of, rows, unheard
from fieldvoice.language.sampling import sample
from fieldvoice.language.understanding import language, read_spoken, understand
from fieldvoice.records.hearing import Hearing, Hypothesis, Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Refusal, Status, Why

word_soup = st.lists(st.sampled_from(vocabulary()), max_size=40).map(" ".join)
over_and_over = st.lists(st.sampled_from(vocabulary()), min_size=1, max_size=5).map(
    lambda some: " ".join((some * 40)[:40])
)
figures = st.lists(st.sampled_from([*"0123456789/'\".,- x⅞½", "mm", "cm", "top", "and", "t", "by"]), max_size=30).map(
    "".join
)


def heard(*hypotheses: tuple[str, float]) -> Hearing:
    """A hearing with those hypotheses."""
    return Hearing(tuple(Hypothesis(words, probability) for words, probability in hypotheses), "test")


def test_hypotheses_that_mean_the_same_add_up() -> None:
    """Two ways to say one value are one candidate."""
    choice = choose(heard(("top forty two and half", 0.3), ("top forty three", 0.4), ("top forty two and a half", 0.2)))
    assert [(c.utterance.meanings[0].value.text(), round(c.mass, 6)) for c in choice.candidates] == [  # type: ignore[union-attr]
        ("42 1/2", 0.5),
        ("43", 0.4),
    ]


def test_a_teen_and_its_ten_are_asked_about() -> None:
    """Thirteen with thirty as the runner-up is a question; with anything else it is none."""
    asked = which_twin(choose(heard(("top thirteen", 0.9), ("top thirty", 0.05))))
    assert asked is not None
    assert asked.status is Status.UNCLEAR
    assert len(asked.alternatives) == 2
    assert which_twin(choose(heard(("top thirteen", 0.9), ("top fourteen", 0.05)))) is None


def test_a_hearing_that_means_nothing_says_why() -> None:
    """Where no hypothesis means anything the refusal of the best comes back."""
    choice = choose(heard(("the weather", 0.9), ("leather", 0.1)))
    assert choice.candidates == ()
    assert choice.refused is not None
    assert choice.refused.why == Refusal(Why.NO_WORD, ("weather",))
    assert choose(heard()).refused is None


def test_homophones_are_heard_and_never_typed() -> None:
    """As heard, "forty for" is forty four to the ear and a mistake at the keyboard."""
    assert understand("forty for", Source.SPOKEN).meanings == (Reading(Length(44)),)
    assert not understand("forty for", Source.TYPED).meanings


def test_every_row_of_the_heard_table_leads_to_words_of_the_language() -> None:
    """Each row gives a reason, and what a word may be is in the language."""
    for word, (meant, reason) in rows("heard.tsv").items():
        assert set(meant.split()) <= {*vocabulary(), *unheard()}, word
        assert len(reason) > 5


def test_rules_that_were_kept_are_what_the_grammar_makes() -> None:
    """What was packed for the cache is the same rules when it is unpacked."""
    made = from_lark(grammar_text())
    assert unpacked_rules(packed_rules(made)).expansions == made.expansions == rules().expansions


@given(st.text(max_size=60) | word_soup | figures | over_and_over, st.sampled_from(Source))
@settings(max_examples=150)
def test_neither_a_text_nor_a_soup_of_words_crashes(words: str, source: Source) -> None:
    """Any text, and words of the language in any order, are understood, asked about or refused with a reason."""
    said = understand(words, source)
    assert said.meanings or said.ask or said.why


def steps(words: str) -> int:
    """The work that an utterance takes."""
    return language().parser.parse(read_spoken(words), START).steps


@given(word_soup | over_and_over)
def test_no_soup_of_words_goes_on_for_ever(words: str) -> None:
    """The work for forty words is bounded, whatever they are."""
    assert steps(words) <= 2 * MOST_STEPS


@pytest.mark.parametrize(
    "again", ["to eighths top thirty", "to left two and", "width to eighth", "forty two and", "one"]
)
def test_doubtful_values_do_not_multiply(again: str) -> None:
    """Forty words that could mean thousands of things are asked about after bounded work, and eighty take no more."""
    words = "top " + f"{again} " * 80
    forty, eighty = (" ".join(words.split()[:count]) for count in (40, 80))
    assert steps(forty) <= 2 * MOST_STEPS
    assert steps(eighty) <= 2 * MOST_STEPS
    assert understand(forty, Source.SPOKEN).status is not Status.UNDERSTOOD


def test_what_is_said_stays_far_from_the_bound() -> None:
    """No made-up utterance takes half of the work that is allowed."""
    rng = random.Random(11)
    assert max(steps(sample(rng).words) for _ in range(300)) < MOST_STEPS / 2


def as_lark_spells_it() -> st.SearchStrategy[str]:
    """What hypothesis makes of lark's own grammar: each word of it with a space after it, and some figures for what is
    typed. Seconds go into it, so that it is made where it is drawn from, and without the tables of a parser.
    """
    grammar = lark.Lark(grammar_text(), parser=None, lexer="basic", start=START)
    typed = {
        "INTEGER": ["46 ", "3 "],
        "FRACTION": ["7/8 ", "9/8 "],
        "DECIMAL": ["46.875 "],
        "_COMMA": [", "],
        "_DASH": [" - "],
    }
    used = {symbol.name for rule in grammar.rules for symbol in rule.expansion}
    words = {term.name: [f"{term.pattern.value} "] for term in grammar.terminals if term.name in used}
    spelled = {name: st.sampled_from(forms) for name, forms in {**words, **typed}.items()}
    return from_lark_grammar(grammar, start=START, explicit=spelled)


@given(st.deferred(as_lark_spells_it))
@settings(max_examples=50, suppress_health_check=list(HealthCheck), deadline=None)
def test_what_the_grammar_can_say_is_never_outside_the_language(words: str) -> None:
    """It has meanings, a question or a reason, and no unknown word."""
    said = understand(words, Source.TYPED)
    assert said.meanings or said.ask or said.why
    assert said.why is None or said.why.why is not Why.NO_WORD


def test_too_long_an_utterance_is_refused() -> None:
    """An utterance longer than any of the job is refused whole."""
    said = understand("top forty two " * LONGEST, Source.SPOKEN)
    assert said.status is Status.REFUSED


def test_a_refusal_names_the_word() -> None:
    """A word outside the language is named, and nothing of the rest is taken."""
    said = understand("top forty two banana", Source.SPOKEN)
    assert said.status is Status.REFUSED
    assert said.meanings == ()
    assert said.why == Refusal(Why.NO_WORD, ("banana",))


@pytest.mark.parametrize("line", ["1,190 mm", "t 1,190.5 mm", "46,875", "top 1,190"])
def test_figures_with_a_comma_for_the_thousands_are_not_taken_apart(line: str) -> None:
    """1,190 mm is no 1 in and 190 mm: it is refused, and the figures are named."""
    utterance = understand(line, Source.TYPED)
    assert utterance.status is Status.REFUSED
    assert utterance.why is not None
    assert "," in str(utterance.why.values[0])


def test_values_in_a_row_may_stand_close() -> None:
    """Commas without blanks part the values of a row as before."""
    assert [one.value for one in understand("46 7/8,46 3/4,46", Source.TYPED).meanings if isinstance(one, Reading)] == [
        Length("46 7/8"),
        Length("46 3/4"),
        Length(46),
    ]


@pytest.mark.parametrize(
    ("line", "sign"),
    [("change t 7/8", "7/8"), ("change t L", "l"), ("louder b", "b"), ("b ^46", "^")],
)
def test_what_makes_no_sense_is_named_as_it_was_typed(line: str, sign: str) -> None:
    """The refusal quotes the line, not what the line was made into."""
    refusal = understand(line, Source.TYPED).why
    assert refusal is not None
    assert refusal.values == (sign,)


def test_no_two_ways_to_say_something_have_one_name_for_two_meanings() -> None:
    """Names after arrows are one space: a second one would silently be the meaning of both."""
    names = [name for sense in SENSES for name in sense.ACTIONS]
    assert len(names) == len(set(names)) == len(ACTIONS)


TYPED = {"#INTEGER": (1, 7, 96), "#FRACTION": ((7, 8),), "#DECIMAL": (Fraction(93, 2),)}
"""What a typed figure hands on, by its symbol."""
MOST_KINDS, MOST_TRIED = 25, 400


def kind_of(value: object) -> object:
    """What a value is made of, and not which value it is: those of one kind are as good as each other for a meaning."""
    return (tuple, *dict.fromkeys(map(kind_of, value))) if isinstance(value, tuple) else type(value)


def handed_on(symbol: str, known: dict[str, dict[object, object]]) -> Iterable[tuple[object, ...]]:
    """A value of each kind that a symbol adds to the parts of its rule; none for a word."""
    part = part_of(symbol)
    if part is None:
        return [(figure,) for figure in TYPED[symbol]] if symbol in TYPED else [()]
    return [value if part[0] == "_" and isinstance(value, tuple) else (value,) for value in known[part].values()]


@pytest.mark.parametrize("unit", list(Unit))
def test_every_way_to_say_every_rule_has_a_meaning_or_a_trouble(unit: Unit) -> None:
    """Ways that are only typed too, with each kind of value that a part can have: none ends in a fault of our own."""
    grammar = rules().kept_in(unit).expansions
    known: dict[str, dict[object, object]] = {rule: {} for rule in grammar}
    tried: set[tuple[str, Expansion, tuple[int, ...]]] = set()
    before = -1
    while before != (before := sum(map(len, known.values()))):
        for rule, one in ((rule, one) for rule, found in grammar.items() for one in found):
            pools = [list(handed_on(symbol, known)) for symbol in one.symbols]
            key = (rule, one, tuple(map(len, pools)))
            if key in tried:
                continue
            tried.add(key)
            for parts in islice(product(*pools), MOST_TRIED):
                value = meaning_of(one.name, tuple(chain.from_iterable(parts)), ACTIONS)
                for each in value.values if isinstance(value, Several) else [value]:
                    if len(known[rule]) < MOST_KINDS:
                        known[rule].setdefault(kind_of(each), each)
    assert len(tried) > 20_000
    assert [rule for rule, values in known.items() if not values] == []
