"""Word of danger made of families: what is in the box, what it did, what a tester shows, what nobody switched off."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import product

import pytest

from fieldvoice.language.sampling import sample
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger, DeadAndTested
from fieldvoice.records.utterance import Status
from tests.language.crew import FOLDER, rows

BOX = "box seven"
SUBJECTS = ("it's", "it is", "she's", "that one's", "this one is", "they're", "that box is", "")
STATES = ("live", "hot", "energized", "energised", "charged", "powered", "electrified")
STILL = ("", "still", "still pretty", "definitely", "all", "really")
HURT = ("bit", "zapped", "shocked", "stung", "buzzed", "jolted")
WHOM = ("me", "him", "us", "my hand")
DOES = (
    "sparking", "sparked", "arcing", "arced", "buzzing", "humming", "smoking", "crackling", "hissing", "tingles",
)  # fmt: skip
SEEN = ("a spark", "sparks", "a shock", "a jolt", "a tingle", "an arc")
TESTERS = ("tester", "pen", "probe", "meter", "multimeter", "sniffer")
SHOWS = (
    "lit up",
    "beeps",
    "is beeping",
    "still chirps",
    "is glowing",
    "went off",
    "is going off",
    "says hot",
    "shows voltage",
)
VOLTS = ("one twenty", "120", "two forty", "240", "one ten", "230")
POWER = ("the power", "power", "the breaker", "the circuit", "the juice", "the mains")
CAME = (
    "came back on",
    "is back on",
    "is back",
    "came on",
    "just came back",
    "is on",
    "is still on",
    "has come back on",
)
SWITCHED = ("turned", "switched", "flipped", "put", "threw")
WHO = ("somebody", "someone", "he", "they", "the other crew", "who")
NOT = ("isn't", "is not", "wasn't", "ain't", "is not really", "was never", "hasn't been", "is not yet")
MADE_DEAD = ("dead", "tested", "off", "killed", "isolated", "locked out", "proved dead", "switched off", "safe")
NOBODY = ("nobody", "no one", "we never", "I haven't", "he hasn't")
KILLED = ("killed", "isolated", "tested", "checked")
FORGOT = ("forgot to", "didn't", "did not")
KILL = ("kill", "isolate", "turn off", "shut off", "switch off")


def of_no_box() -> list[str]:
    """Said with no box named."""
    found = [f"{who} {still} {state}" for who, still, state in product(SUBJECTS, STILL, STATES)]
    found += [f"{who} {hurt} {whom}" for who, hurt, whom in product(("it", "that one", "this thing"), HURT, WHOM)]
    found += [f"it {hit} {whom}" for hit, whom in product(("hit", "got"), WHOM)]
    found += [f"I {got} {hurt}" for got, hurt in product(("got", "just got", "was"), (*HURT, "hit"))]
    found += [f"{who} {does}" for who, does in product(("it's", "it", "that one's", "she's", ""), DOES)]
    found += [f"{seen} {what}" for seen, what in product(("saw", "I felt", "there was", "got"), SEEN)]
    found += [f"{whose}{tester} {shows}" for whose, tester, shows in product(("", "the ", "my "), TESTERS, SHOWS)]
    found += [
        f"{tester} {reads} {volts}" for tester, reads, volts in product(TESTERS, ("reads", "says", "is at"), VOLTS)
    ]
    found += [f"{volts} volts" for volts in VOLTS]
    found += [f"{power} {came}" for power, came in product(POWER, CAME)]
    found += [f"{who} {did} {power} back on" for who, did, power in product(WHO, SWITCHED, POWER)]
    found += [f"{who} {did} it back on" for who, did in product(WHO, SWITCHED)]
    found += [f"it {no} {dead}" for no, dead in product(NOT, MADE_DEAD)]
    found += [f"{nobody} {killed} {what}" for nobody, killed, what in product(NOBODY, KILLED, ("it", "that", "them"))]
    found += [f"{forgot} {kill} {power}" for forgot, kill, power in product(FORGOT, KILL, POWER)]
    found += [
        "breaker tripped",
        "it tripped the breaker",
        "blew a fuse",
        "wrong breaker",
        "that's not the right breaker",
    ]
    return [" ".join(words.split()) for words in found]


def of_a_box() -> list[str]:
    """Said of box seven."""
    found = [
        f"{BOX} {is_} {state}" for is_, state in product(("is", "is still", "might be", "tested", "'s"), STATES[:2])
    ]
    found += [f"{BOX} is {state}" for state in STATES]
    found += [f"{BOX} {hurt} {whom}" for hurt, whom in product((*HURT, "hit", "got"), WHOM)]
    found += [f"I got {hurt} {by} {BOX}" for hurt, by in product((*HURT, "hit"), ("by", "off", "on"))]
    found += [f"{BOX} {is_} {does}" for is_, does in product(("", "is", "is still"), DOES)]
    found += [f"{seen} {at} {BOX}" for seen, at in product(SEEN, ("in", "from", "at", "off", "out of"))]
    found += [f"{tester} {shows} {at} {BOX}" for tester, shows, at in product(TESTERS, SHOWS[:4], ("on", "at", "in"))]
    found += [f"{tester} reads {volts} on {BOX}" for tester, volts in product(TESTERS, VOLTS)]
    found += [
        f"{there} {what} {at} {BOX}"
        for there, what, at in product(
            ("there's", "still", "there is still"), ("power", "juice", "voltage", "current"), ("in", "at", "on")
        )
    ]
    found += [f"{hot} {wire} in {BOX}" for hot, wire in product(("hot", "live"), ("wire", "wires", "leg", "feed"))]
    found += [f"{BOX} {no} {dead}" for no, dead in product(NOT, MADE_DEAD)]
    found += [f"{nobody} {killed} {BOX}" for nobody, killed in product(NOBODY, KILLED)]
    found += [f"{forgot} {kill} {BOX}" for forgot, kill in product(FORGOT, ("kill", "isolate", "test", "check"))]
    return [" ".join(words.replace(" '", "'").split()) for words in found]


AROUND = ("{}", "hey joe, {}", "careful, {}", "top forty one, {}", "{} over here man", "no, {}", "ZZZ {} QQQ")


def tried(families: Sequence[str]) -> list[str]:
    """Each of them as it is, and some within other words, loud and with marks."""
    rng = random.Random(11)
    loud = (rng.choice(AROUND).format(words).upper() + "!!" for words in rng.sample(families, 300))
    return [*families, *loud]


def ways(words: str) -> tuple[Source, ...]:
    """Figures are typed alone."""
    return (Source.TYPED,) if any(sign.isdigit() for sign in words) else tuple(Source)


def test_families_of_danger_revoke() -> None:
    """In whatever words, typed and heard: every box where none is named."""
    missed = [words for words in tried(of_no_box()) for source in ways(words) if not understand(words, source).danger]
    assert not missed, (len(missed), missed[:20])


def test_families_of_danger_name_their_box() -> None:
    """That box, and where more can be meant every box: never another one alone."""
    for words in tried(of_a_box()):
        for source in ways(words):
            found = understand(words, source).danger
            assert found, (words, source)
            assert {danger.box for danger in found} <= {"box 7", None}, (words, source, found)


def test_a_box_that_is_named_is_the_one_revoked() -> None:
    """As it is said alone, at least nine times of ten: where not, every box is."""
    found = [understand(words, Source.TYPED).danger for words in of_a_box()]
    named = sum({danger.box for danger in each} == {"box 7"} for each in found)
    assert named >= 0.9 * len(found), (named, len(found))


def test_no_word_of_danger_passes_for_dead() -> None:
    """Nothing that was made of danger says that a circuit is dead."""
    for words in (*of_no_box(), *of_a_box()):
        for source in ways(words):
            assert not any(isinstance(one, DeadAndTested) for one in understand(words, source).meanings), words


def test_calls_of_the_tables_that_are_no_danger_raise_no_alarm() -> None:
    """What says nothing of a circuit revokes nothing."""
    tables = ("crew_phrases.tsv", "crew_phrases_regional.tsv", "crew_phrases_others.tsv", "crew_phrases_strangers.tsv")
    for row in (row for table in tables for row in rows(table)):
        if not any(act.startswith(("danger", "guess danger", "asks")) for act in row.meaning):
            assert not any(understand(row.phrase, way, row.unit).danger for way in row.ways), row.phrase


@pytest.mark.parametrize("unit", Unit)
def test_calls_of_the_language_that_are_no_danger_raise_no_alarm(unit: Unit) -> None:
    """Drawn from the grammar itself: danger is where a meaning of it is, and nowhere else."""
    rng = random.Random(5)
    for _ in range(500):
        words = sample(rng, unit).words
        found = understand(words, Source.SPOKEN, unit)
        meant = any(isinstance(one, Danger) for way in (found.meanings, *found.alternatives) for one in way)
        assert bool(found.danger) == meant or found.status is not Status.UNDERSTOOD, words


LINES = [
    line.split("\t")
    for line in (FOLDER / "circuit_lines.tsv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]


@pytest.mark.parametrize("line", [line for line, meant in LINES if meant == "revokes"])
def test_what_crews_say_of_a_circuit_is_word_of_danger(line: str) -> None:
    """Typed and spelled out by a recognizer, in any case, beside words of no job, and never "dead and tested"."""
    for words in (line, line.upper(), f"{line}!!", f"hey joe, {line}"):
        for source in Source:
            found = understand(words, source)
            assert found.danger, words
            assert not any(isinstance(one, DeadAndTested) and one.tested for one in found.meanings), words


@pytest.mark.parametrize("line", ["it's on", "it is back on", "they're on again", "box one's on", "reading one twenty"])
def test_what_is_word_of_danger_only_where_nothing_follows(line: str) -> None:
    """What goes on, as in "it's on the left", is none."""
    for source in Source:
        assert understand(line, source).danger, line


@pytest.mark.parametrize(
    "line",
    [
        "I checked it, it's off",
        "it's off, I checked",
        "switch is off and I checked it",
        "checked it, it's dead",
        "the electrician says it's dead",
    ],
)
def test_what_was_looked_at_alone_is_dead_and_untested(line: str) -> None:
    """What must be said is then told."""
    for source in Source:
        assert understand(line, source).meanings == (DeadAndTested(tested=False, count=1),), line


@pytest.mark.parametrize("line", [line for line, meant in LINES if meant == "harmless"])
def test_what_is_of_no_circuit_raises_none(line: str) -> None:
    """Neither word of danger nor words that may be."""
    for source in Source:
        found = understand(line, source)
        assert not found.danger
        assert not found.suspect
