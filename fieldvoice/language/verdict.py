"""Whether what was heard is taken, asked about or refused: one pure function of what every recognizer made of it.

The recognizer that is trusted most leads: what it takes the utterance for is taken, or nothing is. How likely it is by
each recognizer is the evidence. Where both usual recognizers heard it, all pieces of it are weighed together
(`surety.py`). `gates.json` beside this file says how much is enough, piece by piece; of answers that both heard it lets
none through.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from fieldvoice.language import surety
from fieldvoice.language.choosing import (
    Candidate,
    Choice,
    choose,
    inches_and_feet,
    key_of,
    meaning_of,
    plain_yes,
    teens_or_tens,
    twins,
    warns,
    which_twin,
)
from fieldvoice.language.speaking import fraction_words
from fieldvoice.language.surety import Surety
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Danger, DeadAndTested, Reading
from fieldvoice.records.utterance import Action, Answer, Command, Meaning, Part, Refusal, Status, Unsure, Utterance, Why

TABLE = Path(__file__).with_name("gates.json")
"""The gates and the run that chose them (`python -m benchmarks.hearing fit`)."""


class Finding(StrEnum):
    """What to do with an utterance."""

    ACCEPT = "accept"
    DOUBT = "doubt"
    REFUSE = "refuse"


class Kind(StrEnum):
    """What an utterance is about, as far as it matters for how sure one must be: the gravest kind of its parts."""

    CIRCUIT = "circuit"
    UNASKED = "answer nobody asked for"
    YES = "yes"
    NO = "no"
    TWIN = "teen or ten"
    LONE = "lone word or figure"
    FIGURE = "figure that is awaited"
    PLAIN = "plain"


FEW = frozenset({Kind.LONE, Kind.FIGURE, Kind.UNASKED, Kind.YES, Kind.NO})
"""Kinds of few words, whose evidence is weighed apart."""
FIRM = frozenset({Kind.CIRCUIT, Kind.UNASKED, Kind.YES, Kind.NO})
"""What another recognizer denies of these is never taken, however sure all else is. Of the others it is one piece of
the evidence: most that Whisper denies of teens, tens and lone words was right.
"""
LEAST_SHARE = 0.95
"""Where the first recognizer gives a twentieth to another meaning it is asked about, whoever agrees: of one person both
heard "sixty nine" for "fifty nine".
"""
TWIN_HEARD = 0.6
"""Above this share the other recognizer has clearly heard the twin of a teen or ten: the two are put to the speaker. It
leaves 251 of the 277 teens and tens that all evidence together gains on the tuning split, and 105 of 117 on the test.
"""
WEIGHED = ("reading", "whisper")
"""The recognizers whose evidence was weighed together, in a job in inches."""
UNGATED = frozenset({Kind.UNASKED, Kind.YES, Kind.NO, Kind.LONE})
"""Kinds that no gate lets through where all evidence is weighed: of answers and lone words gates took more wrongly than
the weighing does at more right ones ("you" for "yep", "wrong switch" for "wrong", "is" for "eight").
"""
HEARD, HEARD_SURETY = 0.1, -1.0
"""Above these, its share and the mean log probability of a token, a recognizer has heard clearly enough to deny."""
HARMLESS = frozenset(
    {
        Action.SAY_AGAIN,
        Action.MISSING,
        Action.FASTENING,
        Action.WEIGHT,
        Action.PIECES_LEFT,
        Action.SHEETS,
        Action.RACK,
        Action.READ_BACK,
        Action.DONE,
        Action.HELP,
        Action.LOUDER,
        Action.QUIETER,
        Action.SLOWER,
        Action.FASTER,
    }
)
HARMLESS_LEAST, UNRIVALED_LEAST, RIVAL = 0.3, 0.1, 0.05
"""Orders that cost a sentence where they were mistaken need no more than the first of these, by the leading recognizer,
and that no other one denies them; no more than the second where all its other meanings together come to less than the
third. "Done" is one: a plan is none before the last read-back was answered.
"""
GATED_FIGURE, HARMLESS_FIGURE = 0.5, -1.0
"""Where all evidence is weighed neither a gate nor that an order costs nothing takes what comes to less than these. Of
the tuning split's awaited figures that passed a gate 6 of 441 right ones and 1 of 6 wrong ones do ("be" for "three"),
of its lone orders 17 of 535 and 7 of 19 ("the" for "help").
"""
OTHER_WORD = 0.5
"""From this share on, another recognizer that heard clearly has heard something else than a lone word. Of 190 single
words by people that are no call 14 were taken without it ("house" for help, "cat" for yeah); it stops 21 of 28 such,
and cost 17 of 677 right ones.
"""


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the dialogue waits for: `answer` where it has just asked for a yes or a no, `number` where it has asked for
    a figure, `circuit` where a yes makes a circuit count as dead. `unit` is what a number without its unit is said in.
    """

    answer: bool = False
    unit: Unit = Unit.INCH
    number: bool = False
    circuit: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """The finding with its ground. `utterance` is what was taken, asked about or refused; `rivals` are other meanings
    that it may have had; `about` says what the doubt is.
    """

    finding: Finding
    utterance: Utterance
    rivals: tuple[tuple[Meaning, ...], ...] = ()
    about: Unsure | None = None


Gate = Mapping[str, float]
"""The least that each piece of evidence must come to, by its name in `evidence`."""


@dataclass(frozen=True, slots=True)
class Gates:
    """By the recognizers that hear together, then by the kind of utterance: taken is what one gate lets through.

    `floors` is the least probability, by the leading recognizer, of what is worth a question; `sure` weighs all pieces
    of evidence together, where anything does.
    """

    floors: Mapping[str, float]
    gates: Mapping[frozenset[str], Mapping[Kind, Sequence[Gate]]]
    sure: Surety | None = None

    def of(self, ears: Iterable[str], kind: Kind) -> Sequence[Gate]:
        """Those for a kind; none, so that everything is asked about, for recognizers that were never measured."""
        return self.gates.get(frozenset(ears), {}).get(kind, ())


@cache
def shipped() -> Gates:
    """The gates that come with fieldvoice."""
    return gates_of(json.loads(TABLE.read_text(encoding="utf-8")), surety.shipped())


def gates_of(document: Mapping[str, Any], sure: Surety | None = None) -> Gates:
    """The gates of a document such as `TABLE`."""
    by_ears = {
        frozenset(ears.split("+")): {Kind(kind): gates for kind, gates in kinds.items()}
        for ears, kinds in document["gates"].items()
    }
    return Gates(document["floors"], by_ears, sure)


def judge(hearings: Sequence[Hearing], expected: Expectation = Expectation(), gates: Gates | None = None) -> Verdict:
    """What to do with one utterance, as one or more recognizers took it, the most trusted first.

    A typed line is taken as it stands. `gates` are the shipped ones if none are given.
    """
    choices = [choose(hearing, expected.unit) for hearing in hearings]
    if not choices or not choices[0].candidates:
        refused = choices[0].refused if choices else None
        return Verdict(Finding.REFUSE, refused or _nothing(hearings[0].words if hearings else ""))
    gates, ears = gates or shipped(), [ear_of(hearing) for hearing in hearings]
    best, typed = choices[0].candidates[0], hearings[0].source is Source.TYPED
    if best.utterance.status is Status.UNDERSTOOD:
        heard = at_once(hearings, choices, expected, gates) or is_sure(hearings, choices, expected, gates)
        if typed or (heard and not (expected.circuit and _yes_of_one_alone(hearings, choices))):
            return Verdict(Finding.ACCEPT, plain_yes(best.utterance, hearings, expected.unit))
    if not typed and best.mass < gates.floors.get(ears[0], 0.0) and not _also_heard(hearings, choices, expected):
        return Verdict(Finding.REFUSE, _nothing(hearings[0].words))
    return _doubt(choices)


def _also_heard(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation) -> bool:
    """Whether another recognizer has clearly heard the same, a figure that is awaited or several words that are no
    answer: worth a question, however little the first one gives it. Of the tuning split's refused sounds that is so
    with 172 calls, one of them heard wrongly, and 2 others of 4,900; where a figure is awaited 49 more of these.
    """
    best, kind = choices[0].candidates[0], kind_of(choices[0], expected)
    several = " " in best.utterance.heard and kind not in {Kind.UNASKED, Kind.YES, Kind.NO}
    others = (one for _, choice in _clear(hearings, choices) for one in choice.candidates[:1] if one.mass > HEARD)
    return (several or kind is Kind.FIGURE) and any(key_of(one) == key_of(best) for one in others)


def _clear(hearings: Sequence[Hearing], choices: Sequence[Choice]) -> Iterator[tuple[Hearing, Choice]]:
    """Of the recognizers beside the first those that heard clearly, each with what it may have heard."""
    for hearing, choice in zip(hearings[1:], choices[1:], strict=True):
        if hearing.log_probability is None or hearing.log_probability > HEARD_SURETY:
            yield hearing, choice


def at_once(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation, gates: Gates) -> bool:
    """Whether nobody denies what was heard, and a gate lets it through or it costs nothing; where all evidence is
    weighed, not against that.
    """
    return at_once_by(_figure(hearings, choices, expected, gates), hearings, choices, expected, gates)


def at_once_by(
    figure: float | None,
    hearings: Sequence[Hearing],
    choices: Sequence[Choice],
    expected: Expectation,
    gates: Gates,
) -> bool:
    """The same where all evidence comes to this figure; None where it isn't weighed."""
    kinds = kinds_of(choices[0], expected)
    gated = figure is None or (kinds[0] not in UNGATED and figure >= GATED_FIGURE)
    passed = gated and _let_through(evidence(hearings, choices), gates, map(ear_of, hearings), kinds)
    cheap = (figure is None or figure >= HARMLESS_FIGURE) and _costs_nothing(choices[0].candidates)
    return (passed or cheap) and not denied(hearings, choices, expected)


def _figure(
    hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation, gates: Gates
) -> float | None:
    """What all evidence of such an utterance comes to; None where it isn't weighed, as these recognizers heard it."""
    kind, sure = kind_of(choices[0], expected), gates.sure
    weighed = tuple(map(ear_of, hearings)) == WEIGHED and expected.unit is Unit.INCH
    if sure is None or kind not in sure.least or not weighed:
        return None
    return surety.weighed(surety.signs(hearings, choices), sure.few if kind in FEW else sure.calls)


def _costs_nothing(candidates: Sequence[Candidate]) -> bool:
    """Whether the best of these is an order that changes nothing that was called, and is likely enough for that."""
    best, rivals = candidates[0], sum(one.mass for one in candidates[1:])
    meanings = best.utterance.meanings
    orders = all(isinstance(one, Command) and one.action in HARMLESS for one in meanings)
    return bool(meanings) and orders and best.mass >= (UNRIVALED_LEAST if rivals < RIVAL else HARMLESS_LEAST)


def _let_through(found: Mapping[str, float], gates: Gates, ears: Iterable[str], kinds: Iterable[Kind]) -> bool:
    """Whether a gate of each of these kinds does."""
    together = frozenset(ears)
    return all(any(passes(found, gate) for gate in gates.of(together, kind)) for kind in kinds)


def is_sure(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation, gates: Gates) -> bool:
    """Whether all pieces of evidence together are enough for the gravest kind of what was heard."""
    figure = _figure(hearings, choices, expected, gates)
    if gates.sure is None or figure is None or barred(hearings, choices, expected):
        return False
    warning = (surety.WARNING,) if warns(choices[0].candidates[0].utterance) else ()
    return figure >= gates.sure.least_of(*warning, kind_of(choices[0], expected))


def barred(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation) -> bool:
    """Whether the second recognizer, or the first one's own second choice, speaks against it so that no other evidence
    outweighs that.
    """
    if evidence(hearings, choices)["share"] < LEAST_SHARE:
        return True
    if kind_of(choices[0], expected) in FIRM and denied(hearings, choices, expected):
        return True
    return _hears_the_twin(hearings[1], choices[1], choices[0].candidates[0])


def _hears_the_twin(hearing: Hearing, choice: Choice, best: Candidate) -> bool:
    """Whether it clearly heard the ten for a teen, or the teen for a ten."""
    clear = hearing.log_probability is not None and hearing.log_probability > HEARD_SURETY
    heard = (one.mass for one in choice.candidates if twins(best.utterance.meanings, one.utterance.meanings))
    return clear and sum(heard) > TWIN_HEARD


def denied(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation) -> bool:
    """Whether another recognizer that heard clearly takes what any denial counts against for something else, has heard
    another word than a lone one, the twin of a teen or a ten, or the other answer.
    """
    best, deniable = choices[0].candidates[0], _deniable(choices[0], expected)
    for hearing, choice in _clear(hearings, choices):
        if " " not in best.utterance.heard and _other_word(hearing, best, expected.unit):
            return True
        rivals = [one for one in choice.candidates if one.mass > HEARD]
        if deniable and rivals and key_of(rivals[0]) != key_of(best):
            return True
        if any(_contrary(best.utterance.meanings, one.utterance.meanings) for one in rivals):
            return True
    return False


def _other_word(hearing: Hearing, best: Candidate, unit: Unit) -> bool:
    """Whether most of what it heard is one word, of the language or not, that means something else. Where it heard
    several it has most likely cut up the one ("and two" for "undo").
    """
    top = max(hearing.hypotheses, key=lambda one: one.probability, default=None)
    if top is None or top.probability < OTHER_WORD or " " in top.words:
        return False
    return key_of(Candidate(meaning_of(top.words, hearing.source, unit), top.probability)) != key_of(best)


def _yes_of_one_alone(hearings: Sequence[Hearing], choices: Sequence[Choice]) -> bool:
    """Whether it is a yes that another recognizer, which heard clearly, did not hear as one: a "this" alone is
    heard as "yes". Of 57 that voices of the tuning split said 4 are asked for again.
    """
    if True not in _answers(choices[0].candidates[0].utterance.meanings):
        return False
    said = (choice.candidates for _, choice in _clear(hearings, choices))
    return any(sum(one.mass for one in ways if True in _answers(one.utterance.meanings)) <= HEARD for ways in said)


def _deniable(choice: Choice, expected: Expectation) -> bool:
    """Whether any denial counts against the best candidate: that a box is dead, since no count of sounds is large
    enough to weigh a live one (word of danger counts whether it is taken or asked about); and in a job in millimeters
    what is said in another unit, which hardly anyone does: "seven twenty" was heard as "seven feet".
    """
    best = choice.candidates[0].utterance
    other_unit = expected.unit is Unit.MM and not inches_and_feet().isdisjoint(best.heard.split())
    return other_unit or any(isinstance(one, DeadAndTested) for one in best.meanings)


def _contrary(one: tuple[Meaning, ...], other: tuple[Meaning, ...]) -> bool:
    """Whether two meanings are twins, or a yes and a no."""
    mine = _answers(one)
    return twins(one, other) or bool(mine and _answers(other) - mine)


def _answers(meanings: Iterable[Meaning]) -> set[bool]:
    """The yes and the no among them."""
    return {one.yes for one in meanings if isinstance(one, Answer)}


def _doubt(choices: Sequence[Choice]) -> Verdict:
    best = choices[0].candidates[0]
    if best.utterance.status is Status.UNCLEAR:
        return Verdict(Finding.DOUBT, best.utterance, best.utterance.alternatives, Unsure.SEVERAL_MEANINGS)
    if asked := which_twin(choices[0]):
        return Verdict(Finding.DOUBT, asked, asked.alternatives, Unsure.TEEN_OR_TEN)
    others = _others(best, choices)
    differ = any(other.candidates and key_of(other.candidates[0]) != key_of(best) for other in choices[1:])
    return Verdict(Finding.DOUBT, best.utterance, others, Unsure.EARS_DIFFER if differ else Unsure.NOT_CLEAR)


def settled(
    hearings: Sequence[Hearing],
    awaited: Iterable[str],
    expected: Expectation = Expectation(),
    gates: Gates | None = None,
) -> bool:
    """Whether the utterance is taken whatever the `awaited` kinds of recognizer, all trusted less than the first that
    has heard, make of it: then they needn't hear it. What is refused or asked about is never settled: another one may
    have heard word of a live circuit in it.
    """
    if not hearings or judge(hearings, expected, gates).finding is not Finding.ACCEPT:
        return False
    if hearings[0].source is Source.TYPED:
        return True
    choices = [choose(hearing, expected.unit) for hearing in hearings]
    kinds = kinds_of(choices[0], expected)
    best = choices[0].candidates[0].utterance
    others, known = set(awaited), evidence(hearings, choices)
    lone = " " not in best.heard and bool(others)
    grave = _deniable(choices[0], expected) or kinds[0] is Kind.CIRCUIT
    if lone or grave or _answers(best.meanings) or teens_or_tens(best.heard):
        return False
    if others:
        del known["unopposed"]
    every = {ear_of(hearing) for hearing in hearings} | others
    return _let_through(known, gates or shipped(), every, kinds)


def ear_of(hearing: Hearing) -> str:
    """The kind of recognizer that a hearing is by, as gates name it; empty, which none does, where it has none."""
    return hearing.kind or ""


def evidence(hearings: Sequence[Hearing], choices: Sequence[Choice]) -> dict[str, float]:
    """How likely the leading recognizer's best meaning is.

    By its name what each recognizer gives it (0 to 1); `share`, its part of all that the leading one understood;
    `unopposed`, 1 less the most that another one, of another model, gives to some other meaning; `surety`, the mean log
    probability of a token where Whisper tells it; `above_noise`, how far the words stand above the noise, in dB.
    """
    lead, best = hearings[0], choices[0].candidates[0]
    understood = sum(candidate.mass for candidate in choices[0].candidates)
    found = {"share": best.mass / understood if understood else 0.0, "unopposed": 1.0}
    for hearing, choice in zip(hearings, choices, strict=True):
        same = sum(candidate.mass for candidate in choice.candidates if key_of(candidate) == key_of(best))
        found[ear_of(hearing)] = same
        if hearing.encoder is None or hearing.encoder != lead.encoder:
            other = max((one.mass for one in choice.candidates if key_of(one) != key_of(best)), default=0.0)
            found["unopposed"] = min(found["unopposed"], 1 - other)
        if hearing.log_probability is not None:
            found["surety"] = hearing.log_probability
    if lead.above_noise_db is not None:
        found["above_noise"] = lead.above_noise_db
    return found


def passes(found: Mapping[str, float], gate: Gate) -> bool:
    """Whether there is enough of every piece of evidence that the gate asks for."""
    return all(found.get(name, float("-inf")) >= least for name, least in gate.items())


def kind_of(choice: Choice, expected: Expectation) -> Kind:
    """The gravest kind of what the best candidate says, in the order of `Kind`."""
    return _kinds(choice, expected)[0]


def kinds_of(choice: Choice, expected: Expectation) -> Sequence[Kind]:
    """The kinds of which each must be let through, the gravest first: that one alone, since the gates were chosen so;
    in millimeters, in which no gate was chosen, every one.
    """
    kinds = _kinds(choice, expected)
    return kinds if expected.unit is Unit.MM else kinds[:1]


def _kinds(choice: Choice, expected: Expectation) -> list[Kind]:
    """Every kind of what the best candidate says, the gravest first."""
    best = choice.candidates[0].utterance
    kinds = {_kind(one, expected) for one in best.meanings}
    if _twinned(best.heard, expected.unit) or which_twin(choice):
        kinds.add(Kind.TWIN)
    if " " not in best.heard and Kind.FIGURE not in kinds:
        kinds.add(Kind.LONE)  # one word of other talk is easily taken for it
    return [kind for kind in Kind if kind in kinds] or [Kind.PLAIN]


def _kind(meaning: Meaning, expected: Expectation) -> Kind:
    if isinstance(meaning, Danger | DeadAndTested):
        return Kind.CIRCUIT
    if isinstance(meaning, Answer):
        return (Kind.YES if meaning.yes else Kind.NO) if expected.answer else Kind.UNASKED
    if isinstance(meaning, Part):
        return Kind.LONE
    if not isinstance(meaning, Reading) or not _lone(meaning.value, expected.unit):
        return Kind.PLAIN
    return Kind.FIGURE if expected.number and meaning.dimension is None and meaning.at is None else Kind.LONE


def _lone(value: Length, unit: Unit) -> bool:
    """A lone digit or fraction, which may be the end of more; in a job in millimeters also what is under a hundred of
    them, the second half of "nine fifty" or "eleven forty two".
    """
    whole = value.inches
    tail = unit is Unit.MM and value.in_unit(unit) < 100
    return tail or whole < 1 or (whole.denominator == 1 and whole < 10)


def _twinned(words: str, unit: Unit) -> bool:
    """Whether a teen, or a ten without a digit after it, ends a number or the words: a hundred fourteen, box ninety.
    Before "and" more is said, in a job in inches: in millimeters no fraction follows, so that "and" begins something
    new. "Sixteenths" is no teen, and "fifteen sixteenths" has no twin, since an inch has no fifty of them; where the
    twin was heard too, it is one all the same.
    """
    sixteenths = fraction_words(Fraction(15, 16)).split()[-1]
    within = (sixteenths,) if unit is Unit.MM else ("and", sixteenths)
    return any(after not in within for after in teens_or_tens(words))


def _others(best: Candidate, choices: Sequence[Choice]) -> tuple[tuple[Meaning, ...], ...]:
    """What else it may have been: by the other recognizers, then the leading one's second choice."""
    seconds = [choice.candidates[0] for choice in choices[1:] if choice.candidates]
    different = [one for one in (*seconds, *choices[0].candidates[1:2]) if key_of(one) != key_of(best)]
    return tuple(dict.fromkeys(_meanings(different)))


def _meanings(candidates: Iterable[Candidate]) -> Iterable[tuple[Meaning, ...]]:
    """Of each candidate; an unclear one gives each that it may have."""
    several = (one.utterance.alternatives or (one.utterance.meanings,) for one in candidates)
    return (meanings for group in several for meanings in group if meanings)


def _nothing(heard: str) -> Utterance:
    return Utterance(Status.REFUSED, heard, why=Refusal(Why.NOTHING_HEARD))
