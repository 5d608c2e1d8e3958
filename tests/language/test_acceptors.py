"""The word networks that ears listen within: one for each unit, as the grammar has it, found again on disk."""

from __future__ import annotations

import gc
import random
import re
from collections.abc import Iterable
from functools import cache
from itertools import product
from pathlib import Path
from weakref import ReferenceType, ref

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fieldvoice.language import automaton as automaton_module
from fieldvoice.language import compiled as compiled_module
from fieldvoice.language.acceptors import END, Acceptor, Net, Pieces, Ways
from fieldvoice.language.automaton import Automaton, automaton, open_talk, vocabulary
from fieldvoice.language.compiled import keep_ways, packed_ways, recall_ways, rules, unpacked_ways
from fieldvoice.language.rules import START, Expansion, Rules
from fieldvoice.language.sampling import sample
from fieldvoice.language.understanding import Language, language, understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Qualifier, Reading
from fieldvoice.records.utterance import Answer, Ask, Status, Why

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


def accepts(net: Automaton, words: Iterable[str]) -> bool:
    """Whether the words lead from the net's start to an end."""
    state: int | None = net.start
    for word in words:
        state = net.arcs[state].get(word) if state is not None else None
    return state in net.finals


def least(grammar: Rules, start: str = START) -> Acceptor:
    """The minimal acceptor of a rule, however large."""
    made = Pieces(grammar, tuple(sorted(grammar.spoken(start))), most=2**31).piece(start)
    assert isinstance(made, Acceptor)
    return made


def test_no_ear_takes_one_word_for_agreement() -> None:
    """One word of other talk is easily heard as another: as a yes ears listen for the words of yes themselves, and for
    agreement in two words and more.
    """
    net = automaton()
    lone = [word for word in vocabulary() if accepts(net, [word])]
    meant = {word: understand(word, Source.SPOKEN).meanings for word in lone}
    agreed = {word: any(isinstance(one, Answer) and one.agreed for one in meanings) for word, meanings in meant.items()}
    assert lone.count("yes") == 1
    assert [word for word, agrees in agreed.items() if agrees] == []
    assert understand("good", Source.TYPED).meanings == understand("looks good", Source.TYPED).meanings
    assert accepts(net, ["that's", "right"])


def test_a_small_grammar_becomes_its_acceptor() -> None:
    """Strings of up to five words are accepted where they are said."""
    made = Automaton.of(TAPE)
    assert [words for words in STRINGS if accepts(made, words)] == [words for words in STRINGS if said(words)]


def test_an_acceptor_has_no_state_too_many() -> None:
    """As many states as there are beginnings after which not the same may follow."""
    short = [words for words in STRINGS if len(words) < 4]
    follow = {tuple(said(words + more) for more in short) for words in short}
    assert least(TAPE).size == sum(map(any, follow))


def test_states_are_numbered_as_they_are_reached() -> None:
    """So that one language has one file: each state is first reached from one with a lower number, by label."""
    made = least(TAPE)
    firsts = [made.targets.index(state) for state in range(1, made.size)]
    assert firsts == sorted(firsts)


@units
def test_what_is_made_up_is_accepted(unit: Unit) -> None:
    """Every made-up utterance is in the network of its unit, and an utterance with a word too many isn't."""
    made = automaton(unit)
    rng = random.Random(5)
    assert all(accepts(made, sample(rng, unit).words.split()) for _ in range(200))
    assert not accepts(made, ["top", "forty", "two", "the"])
    assert not accepts(made, [])
    assert set(made.arcs[made.start]) <= set(vocabulary())


@cache
def by_voice(unit: Unit) -> Language:
    """The language without the ways that are only typed."""
    made = rules()
    return Language(Rules({rule: made.sayable(rule) for rule in made.expansions}), unit)


@given(word_soup, st.sampled_from(Unit))
@example("again", Unit.INCH)
@example("say again", Unit.INCH)
def test_what_is_understood_is_accepted(words: str, unit: Unit) -> None:
    """What is understood by ways that are heard is in the network; one that is only typed ("again") needn't be."""
    utterance = by_voice(unit).understand(words, Source.TYPED)
    fillers = rules().words("filler")
    if utterance.status is Status.UNDERSTOOD and not {"t", "in", "m"} & set(words.split()):
        assert accepts(automaton(unit), [word for word in words.split() if word not in fillers])


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
    for _ in range(150):
        words = walked(made, rng)
        found = understand(words, Source.SPOKEN, unit)
        assert found.why is None or found.why.why not in {Why.NO_SENSE, Why.NO_WORD}, words
        assert found.ask is None or found.ask.about is not Ask.BROKE_OFF, words


@units
def test_no_ear_takes_a_side_for_a_light_figure(unit: Unit) -> None:
    """Made-up calls with a left or a right in them, and "light" said there: where the network has those words, the
    figure behind them is no light one of no side. By the keyboard it is.
    """
    rng, made, turned = random.Random(11), automaton(unit), 0
    for _ in range(1500):
        words = sample(rng, unit).words
        for at in re.finditer(r"\b(left|right)\b", words):
            light = f"{words[: at.start()]}light{words[at.end() :]}"
            turned += 1
            if accepts(made, light.split()):
                meant = understand(light, Source.SPOKEN, unit).meanings
                assert not any(isinstance(one, Reading) and one.qualifier is Qualifier.LIGHT for one in meant), light
    assert turned > 300
    for figure in ("forty two", "ninety five and a half", "ten feet"):
        assert not accepts(automaton(Unit.INCH), ["light", *figure.split()])
        (reading,) = understand(f"light {figure}", Source.TYPED).meanings
        assert isinstance(reading, Reading)
        assert reading.qualifier is Qualifier.LIGHT


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
    assert accepts(automaton(Unit.INCH), words.split()) == in_inches
    assert accepts(automaton(Unit.MM), words.split()) == in_millimeters
    refused = understand(words, Source.SPOKEN, Unit.INCH).status is Status.REFUSED
    assert refused <= (not in_inches)


@pytest.mark.parametrize("rule", ["length", "placed", "plumb", pytest.param("item", marks=pytest.mark.slow)])
def test_a_net_says_what_its_minimal_acceptor_says(rule: str) -> None:
    """A rule as a net and the same made minimal have the same words on each way: walked through together."""
    made, net = least(rules(), rule), Automaton.of(rules(), rule)
    words = sorted(rules().spoken(rule))
    seen, waiting = {(0, net.start)}, [(0, net.start)]
    while waiting and len(seen) < 2000:
        state, other = waiting.pop()
        ways = {words[label]: after for label, after in made.leads(state)}
        assert ways.keys() == net.arcs[other].keys()
        assert (state in made.finals) == (other in net.finals)
        for word, after in ways.items():
            pair = (after, net.arcs[other][word])
            waiting += [] if pair in seen else [pair]
            seen.add(pair)


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """What is worked out is kept in a folder of the test's."""
    monkeypatch.setattr(compiled_module, "cache_folder", lambda: tmp_path / "grammar")
    return tmp_path / "grammar"


WORDS = tuple(sorted(TAPE.spoken(START)))


def ways_of_tape(most: int = 2) -> Ways:
    """The little language's net; what has more states than `most` is no acceptor of its own in it."""
    return Net.around(Pieces(TAPE, WORDS, most).piece(START)).packed()


@pytest.mark.parametrize("most", [0, 2, 4, 100])
def test_a_net_in_columns_has_what_it_was_made_of(most: int) -> None:
    """The same strings, whichever rules stand in it state by state, and after it was written and read."""
    for net in (ways_of_tape(most), unpacked_ways(packed_ways(ways_of_tape(most)))):
        made = Automaton.around(net, WORDS)
        assert [words for words in STRINGS if accepts(made, words)] == [words for words in STRINGS if said(words)]


def test_what_was_kept_is_found_again(elsewhere: Path) -> None:
    """As it was, under the text that it was made of and no other."""
    made = ways_of_tape()
    keep_ways("a tape", made)
    assert recall_ways("a tape") == made
    assert recall_ways("another tape") is None


def test_a_damaged_file_is_not_used(elsewhere: Path) -> None:
    """One bit is enough, and so is a file that was cut short."""
    keep_ways("a tape", ways_of_tape())
    (file,) = elsewhere.iterdir()
    raw = file.read_bytes()
    for damaged in (raw[:-1], raw[:40] + bytes([raw[40] ^ 1]) + raw[41:], b""):
        file.write_bytes(damaged)
        assert recall_ways("a tape") is None


def test_where_nothing_can_be_kept_it_is_worked_out_again(elsewhere: Path) -> None:
    """A folder that can't be made is no trouble."""
    elsewhere.write_text("a file stands here")
    keep_ways("a tape", ways_of_tape())
    assert recall_ways("a tape") is None


def test_files_of_old_grammars_go(elsewhere: Path) -> None:
    """Only so many are kept, the newest."""
    for number in range(compiled_module.MOST_KEPT + 5):
        compiled_module.keep(f"rules-{number}", b"[]")
    assert len(list(elsewhere.iterdir())) == compiled_module.MOST_KEPT


@units
def test_what_may_follow_is_what_the_net_leads_to(unit: Unit) -> None:
    """Each state's words and what they lead to, against the net walked one state at a time."""
    made, words = automaton_module._net(unit)
    arcs, dice = Automaton.around(made, words).arcs, random.Random(7)
    for _ in range(12):
        here, led_to = arcs.start, {-1}
        for _ in range(7):
            reached = frozenset[int]().union(*map(made.closure, led_to))
            ways: dict[str, set[int]] = {}
            for label, after in (way for one in reached for way in made.leads(one)):
                ways.setdefault(words[label], set()).add(after)
            assert arcs.ends(here) == (END in reached)
            assert arcs[here].keys() == ways.keys()
            assert len({arcs[here][word] for word in ways}) == len({frozenset(states) for states in ways.values()})
            if not ways:
                break
            word = dice.choice(sorted(ways))
            here, led_to = arcs[here][word], ways[word]


def test_hours_of_listening_begin_the_language_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was looked at is forgotten when it has become much; who listens meanwhile goes on, and hears the same."""
    monkeypatch.setattr(automaton_module, "MOST_STATES", 600)
    rng, seen = random.Random(3), set[int]()
    for _ in range(120):
        words = sample(rng, Unit.INCH).words.split()
        before, introduced = automaton(), open_talk()
        assert accepts(before, words)
        assert accepts(before, words), "in the one that is full, too"
        assert not accepts(automaton(), [*words, "the"])
        assert introduced.finals is before.finals
        seen.add(id(before))
        assert len(before.arcs._states) < 600 + 2500, "what one utterance adds"
    assert len(seen) > 3


def test_a_language_begun_anew_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was worked out of the one before goes at once, though nobody searches for garbage."""
    monkeypatch.setattr(automaton_module, "MOST_STATES", 100)
    rng, before = random.Random(4), list[ReferenceType[object]]()
    gc.disable()
    try:
        for _ in range(40):
            accepts(automaton(), sample(rng, Unit.INCH).words.split())
            before.append(ref(automaton().arcs))
        alive = {id(arcs) for one in before if (arcs := one()) is not None}
    finally:
        gc.enable()
    assert len(set(map(id, before))) > 3
    assert len(alive) == 1


def test_equal_sets_of_words_that_may_follow_are_kept_once() -> None:
    """The parser looks ahead to thousands of sets of words in an hour; most are the same few."""
    rng = random.Random(5)
    for _ in range(40):
        understand(sample(rng, Unit.INCH).words, Source.SPOKEN)
    parser = language(Unit.INCH).parser
    kept = [*parser.seconds.values(), *parser.beyonds.values()]
    assert len(kept) > 500
    assert len({id(one) for one in kept}) == len(set(kept)) < len(kept) / 2
