"""The word networks that ears listen within: one for each unit, as the grammar has it, found again on disk."""

from __future__ import annotations

import random
import re
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.language import Automaton, automaton, sample, understand, vocabulary
from fieldvoice.language import compiled as compiled_module
from fieldvoice.language.acceptors import compile_rules
from fieldvoice.language.compiled import COLUMNS, load_network, rules, store_network
from fieldvoice.language.rules import Expansion, Rules
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Ask, Status, Why

word_soup = st.lists(st.sampled_from(vocabulary()), max_size=40).map(" ".join)
units = pytest.mark.parametrize("unit", Unit)


def grammar(**rules: str) -> Rules:
    """Rules whose ways are parted by bars; a word in capitals names a rule, and `#INTEGER` a typed figure."""
    return Rules(
        {
            rule: tuple(
                Expansion(tuple(f"<{word.lower()}>" if word.isupper() and word[0] != "#" else word for word in way), "")
                for way in map(str.split, ways.split("|"))
            )
            for rule, ways in rules.items()
        }
    )


TAPE = grammar(
    utterance="top VALUE | VALUES | VALUE top VALUES | #INTEGER",
    values="VALUE | VALUES VALUE",
    value="one | one half | half | #INTEGER half",
)
BY_HAND = re.compile(
    "top VALUE|ANY+|VALUE top ANY+".replace("VALUE", "(one half|one|half)").replace("ANY+", "(one|half)( one| half)*")
)
STRINGS = [words for length in range(6) for words in product(["top", "one", "half"], repeat=length)]


def said(words: tuple[str, ...]) -> bool:
    """Whether the little language has these words."""
    return BY_HAND.fullmatch(" ".join(words)) is not None


def test_a_small_grammar_becomes_its_acceptor() -> None:
    """Strings of up to five words are accepted where they are said."""
    made = Automaton.of(compile_rules(TAPE))
    assert [words for words in STRINGS if made.accepts(words)] == [words for words in STRINGS if said(words)]


def test_an_acceptor_has_no_state_too_many() -> None:
    """As many states as there are beginnings after which not the same may follow."""
    short = [words for words in STRINGS if len(words) < 4]
    follow = {tuple(said(words + more) for more in short) for words in short}
    assert len(compile_rules(TAPE).first) - 1 == sum(map(any, follow))


def test_states_are_numbered_as_they_are_reached() -> None:
    """So that one language has one file: each state is first reached from one with a lower number, by label."""
    made = compile_rules(TAPE)
    firsts = [made.targets.tolist().index(state) for state in range(1, len(made.first) - 1)]
    assert firsts == sorted(firsts)
    assert made.words == ("half", "one", "top")


@units
def test_what_is_made_up_is_accepted(unit: Unit) -> None:
    """Every made-up utterance is in the network of its unit, and an utterance with a word too many isn't."""
    made = automaton(unit)
    rng = random.Random(5)
    assert all(made.accepts(sample(rng, unit).words.split()) for _ in range(200))
    assert not made.accepts(["top", "forty", "two", "the"])
    assert not made.accepts([])
    assert {word for ways in made.arcs for word in ways} <= set(vocabulary())


@given(word_soup, st.sampled_from(Unit))
def test_what_is_understood_is_accepted(words: str, unit: Unit) -> None:
    """What the parser understands by grammar words alone is in the network."""
    utterance = understand(words, Source.TYPED, unit)
    fillers = rules().words("filler")
    if utterance.status is Status.UNDERSTOOD and not {"t", "in", "m"} & set(words.split()):
        assert automaton(unit).accepts([word for word in words.split() if word not in fillers])


def walked(made: Automaton, rng: random.Random) -> str:
    """Words along a way through the network, up to some end of it."""
    while True:
        state, words = made.start, list[str]()
        while len(words) < 25:
            ways = made.arcs[state]
            if state in made.finals and (not ways or rng.random() < 0.4):
                return " ".join(words)
            words.append(rng.choice(sorted(ways)))
            state = ways[words[-1]]


@units
def test_what_is_accepted_has_a_use(unit: Unit) -> None:
    """Any way through the network is understood, asked about, or a value that no tape shows: never is it words without
    sense, broken off, or no words of the job.
    """
    rng, made = random.Random(7), automaton(unit)
    for _ in range(400):
        words = walked(made, rng)
        found = understand(words, Source.SPOKEN, unit)
        assert found.why is None or found.why.why not in {Why.NO_SENSE, Why.NO_WORD}, words
        assert found.ask is None or found.ask.about is not Ask.BROKE_OFF, words


@pytest.mark.parametrize(
    ("words", "in_inches", "in_millimeters"),
    [
        ("top eleven ninety", False, True),
        ("top one thousand one hundred ninety", False, True),
        ("eleven ninety", False, True),
        ("top eleven ninety point five", False, True),
        ("width at eight hundred is eleven eighty five", False, True),
        ("top eleven ninety millimeters", True, True),
        ("top forty six and seven eighths", True, True),
        ("top forty six and seven eighths inches", True, True),
        ("forty two five", True, True),
        ("top forty two", True, True),
        ("work in millimeters", True, True),
        ("work in inches", True, True),
    ],
)
def test_a_bare_number_is_heard_as_the_unit_has_it(words: str, in_inches: bool, in_millimeters: bool) -> None:
    """A job in inches gains no string that has no meaning there; one in millimetres hears its plain numbers."""
    assert automaton(Unit.INCH).accepts(words.split()) == in_inches
    assert automaton(Unit.MM).accepts(words.split()) == in_millimeters
    refused = understand(words, Source.SPOKEN, Unit.INCH).status is Status.REFUSED
    assert refused <= (not in_inches)


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Networks are kept in a folder of the test's."""
    monkeypatch.setattr(compiled_module, "PINS", tmp_path / "pins.json")
    monkeypatch.setattr(compiled_module, "NETWORKS", {unit: tmp_path / f"{unit.value}.npz" for unit in Unit})
    return tmp_path


def test_what_was_stored_is_found_again(elsewhere: Path) -> None:
    """Both units, each array as it was; the same language makes the same bytes."""
    made = compile_rules(TAPE)
    for unit in Unit:
        store_network(unit, "a tape", made)
    for unit in Unit:
        found = load_network(unit, "a tape")
        assert found is not None
        assert found.words == made.words
        assert all(np.array_equal(getattr(found, name), getattr(made, name)) for name in COLUMNS)
    assert (elsewhere / "in.npz").read_bytes() == (elsewhere / "mm.npz").read_bytes()


def test_a_network_of_another_grammar_or_a_damaged_one_is_not_used(elsewhere: Path) -> None:
    """Nor one that isn't there: then it is worked out again."""
    store_network(Unit.INCH, "a tape", compile_rules(TAPE))
    assert load_network(Unit.INCH, "another tape") is None
    assert load_network(Unit.MM, "a tape") is None
    file = elsewhere / "in.npz"
    raw = bytearray(file.read_bytes())
    raw[-30] ^= 1
    file.write_bytes(raw)
    assert load_network(Unit.INCH, "a tape") is None


@units
@pytest.mark.slow
def test_the_stored_network_is_what_the_grammar_makes(unit: Unit) -> None:
    """Worked out again from the grammar, each array is the same."""
    kept = rules().kept_in(unit)
    stored, made = load_network(unit, kept.said()), compile_rules(kept)
    assert stored is not None
    assert stored.words == made.words
    assert all(np.array_equal(getattr(stored, name), getattr(made, name)) for name in COLUMNS)
