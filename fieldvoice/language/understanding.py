"""From words to what they mean, or to what must be asked, or to why nothing was taken."""

from __future__ import annotations

import gc
from dataclasses import replace
from functools import cache, cached_property
from itertools import islice, pairwise
from typing import TYPE_CHECKING, TypeAlias

from fieldvoice.language import typed
from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import Parser, Token
from fieldvoice.language.meanings import ACTIONS
from fieldvoice.language.outcomes import (
    LONGEST,
    UNITS,
    Sharing,
    either,
    is_bare,
    is_lost,
    is_no_figure,
    makes_sense,
    no_question,
    no_words,
    outcome,
    questioned,
    says_as_much,
    unknown_word,
)
from fieldvoice.language.partial import Named, ReadingPlace, Size, Unnamed
from fieldvoice.language.rules import (
    AGREEING,
    BARE,
    BEGUN,
    BETWEEN_SIDES,
    BOX_NAME,
    CIRCUIT,
    DANGER,
    DENIALS,
    FILLER,
    HIGH,
    IN_PASSING,
    MEASURED,
    NO_ASIDE,
    NO_FILLERS,
    OBJECTION,
    OPENING,
    PASSED_OVER,
    PLACE,
    SIZE,
    SMALL,
    START,
    SUSPECT,
    TAIL,
    WIDE,
    Rules,
    heard_as,
    typed_as,
)
from fieldvoice.language.typed import clauses, read_typed
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Danger, Distance, Incomplete, Reading
from fieldvoice.records.utterance import Answer, Ask, Part, Question, Spoilt, Status, Utterance, Why

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fieldvoice.language.descent import Parses
    from fieldvoice.records.meaning import Dimension, Place
    from fieldvoice.records.utterance import Meaning

_CALLED = Incomplete | Part
"""What is called of a thing a piece at a time."""
Begun: TypeAlias = "tuple[Dimension | None, Place] | Incomplete"
"""A place, or a thing as far as it was called: the rest comes in the next breath."""
FEW = 2
"""Words of which none is known may be a place misspelled, if there are no more of them (our own rule)."""
_SENSELESS = frozenset({Why.NO_WORD, Why.NO_SENSE, Why.TOO_LONG})
_EDGES = '.,;:!?"()'
ASIDES = ((IN_PASSING,), (IN_PASSING, OPENING, TAIL), (IN_PASSING, OPENING, TAIL, AGREEING))
"""What is passed over: an aside wherever it stands; where nothing can be made of the rest, what opens or ends a call as
well, and then a "yeah" within it.
"""
MOST_WAYS = 24
"""More ways than this to pass over asides are in no call."""


class Language:
    """A grammar ready to understand utterances."""

    def __init__(self, grammar: Rules, unit: Unit) -> None:
        self.unit = unit
        self.grammar = grammar.kept_in(unit)
        self.parser = Parser(self.grammar, ACTIONS)
        self.fillers = grammar.words(FILLER)
        self.no_fillers = frozenset(way.symbols for rule in NO_FILLERS for way in grammar.expansions[rule])
        self.no_asides = frozenset(way.symbols for way in grammar.expansions[NO_ASIDE])
        self.known = grammar.words(START).union(*map(grammar.words, PASSED_OVER))

    @cached_property
    def in_numbers(self) -> frozenset[str]:
        """Every word that a number alone may hold."""
        return self.grammar.words(BARE)

    @cached_property
    def sharing(self) -> Sharing:
        """How one unit is that of several numbers."""
        between, *wide = map(self.grammar.words, (BETWEEN_SIDES, WIDE, HIGH))
        units = {name: self.grammar.words(name) for name in UNITS}
        both = frozenset[str]().union(*wide)
        return Sharing(self.unit, units, between, both, self._is_figure, self.parser.numerals, self._alone)

    def understand(self, words: str, source: Source) -> Utterance:
        """What an utterance means; see `understand`."""
        self.parser.begin()
        said = self._all_said(read_typed(words, self.unit) if source is Source.TYPED else read_spoken(words))
        heard = spoken = self._heard(said)
        words = self._said(words) if source is Source.SPOKEN else words
        found = self._found(words, heard, source)
        for asides in ASIDES:
            if asides is ASIDES[0] or is_lost(found):
                for rest in self._without(asides, said):
                    again = self._found(words, rest, source)
                    heard = rest if is_lost(found) and (makes_sense(again) or again.ask) else heard
                    found = either(found, again) if rest or not is_bare(found) else again
        if source is Source.TYPED and "?" in words:
            found = questioned(found)
        danger = self._danger(found, spoken)
        beside = bool(danger) and not makes_sense(found) and self._figure_beside(heard)
        typed = source is Source.TYPED
        suspect = not danger and (self._suspect(words, found, heard) if typed else self._names_circuit(found, heard))
        begun, own = self._begun(found, heard), heard
        if danger and begun is None and not makes_sense(found):
            found, begun, own = self._beside_danger(found, words, heard, source)
        sides, objects = self._sides(heard), self._objects(found, own, danger if own is heard else ())
        spoilt = None if makes_sense(found) or objects or begun else self._spoilt(heard)
        found = replace(found, danger=danger, beside=beside, suspect=suspect, objects=objects)
        return replace(found, begun=begun, sides=sides, spoilt=spoilt)

    def _all_said(self, words: Sequence[Token]) -> list[Token]:
        return [part for one in words for part in self._apart(one)]

    def _heard(self, said: Sequence[Token]) -> list[Token]:
        """The words that mean something."""
        return [one for place, one in enumerate(said) if not self._is_filler(said, place)]

    def _found(self, words: str, heard: Sequence[Token], source: Source) -> Utterance:
        unknown = [place for place, one in enumerate(heard) if not self._knows(one)]
        why = no_words(words, heard)
        if why is None and unknown:
            guess = self._guess(words, heard, unknown) if source is Source.TYPED else None
            if guess is not None:
                return guess
            why = unknown_word(heard[unknown[0]].words[0])
        if why is not None:
            return Utterance(Status.REFUSED, words, why=why)
        found = self._with_its_units(words, heard)
        return self._denied(words, heard) or found if is_lost(found) else found

    def _with_its_units(self, words: str, heard: Sequence[Token]) -> Utterance:
        """What is meant where one unit may be that of several numbers; asked where it may be of one alone, or must."""
        if all(self.sharing.foreign.isdisjoint(one.words) for one in heard):
            return self._outcome(words, heard)
        sure, perhaps = self.sharing.by(heard)
        found = self._outcome(words, sure)
        if sure != heard and is_lost(found):
            return questioned(self._outcome(words, heard))
        if perhaps != sure:
            return either(found, self._outcome(words, perhaps))
        for row in self.sharing.rows(sure):
            again = self._outcome(words, row, tried=True)
            if says_as_much(again, found):
                return again
        if found.status is Status.UNDERSTOOD:
            again = self._everywhere(words, sure, found)
            return found if again == found else either(found, again)
        return found

    def _everywhere(self, words: str, said: Sequence[Token], found: Utterance) -> Utterance:
        """With the one unit at every number that may have it."""
        for more in self.sharing.anywhere(said):
            again = self._outcome(words, more, tried=True)
            if says_as_much(again, found):
                return self._everywhere(words, more, again)
        return found

    def _runs_on(self, heard: Sequence[Token]) -> Question | None:
        """The question where the words are one number and then another."""
        if any(one.words[0][0] != "#" and self.in_numbers.isdisjoint(one.words) for one in heard):
            return None  # a word that no number holds
        for cut in range(1, len(heard)):
            before = self._alone(heard[:cut])
            if before is not None and (after := self._alone(heard[cut:])) is not None:
                return Question(Ask.RUNS_ON, (before, after))
        return None

    def _alone(self, heard: Sequence[Token]) -> Length | None:
        """A reading, where the words are one without a place."""
        values = self.parser.parse(heard, BARE).values
        value = values[0].value if len(values) == 1 and isinstance(values[0], Reading | Part) else None
        return value if isinstance(value, Length) else None

    def _outcome(self, words: str, heard: Sequence[Token], *, tried: bool = False) -> Utterance:
        """What words mean; where it is but tried whether they make sense, no question is looked for."""
        return outcome(words, heard, self.parser.parse(heard, START), no_question if tried else self._runs_on)

    def _without(self, asides: Sequence[str], said: Sequence[Token]) -> list[list[Token]]:
        """What was said without what is said in passing, in every way that this may be passed over: "right here" may be
        an aside whole, or a place with one behind it. Fillers may be within asides ("for now") or between their words.
        Where all of it may be an aside that is the one way.
        """
        firsts = frozenset[str]().union(*(self.parser.firsts[rule] for rule in asides))
        if all(firsts.isdisjoint(one.words) for one in said):
            return []
        whole = self._heard(said)
        passed = (self._heard(once) for once in self._passed_over(asides, said))
        rests = (rest for once in passed for rest in self._passed_over(asides, once))
        ways = dict.fromkeys(tuple(rest) for rest in islice(rests, MOST_WAYS))
        return [[*rest] for rest in ways if rest != tuple(whole)] if () not in ways else [[]]

    def _passed_over(self, asides: Sequence[str], said: Sequence[Token], at: int = 0) -> Iterator[list[Token]]:
        """The words without asides, from one of them on."""
        while at < len(said) and not (ends := self._aside_ends(asides, said, at)):
            at += 1
        if at >= len(said):
            yield [*said]
            return
        for end in sorted(ends, reverse=True):
            yield from self._passed_over(asides, [*said[:at], *said[end:]], at)
        yield from self._passed_over(asides, said, at + 1)

    def _aside_ends(self, asides: Sequence[str], said: Sequence[Token], at: int) -> set[int]:
        """Where what is said in passing may end that begins with a word: an opening at the start, a tail at the end."""
        if at and (said[at - 1].words[0], said[at].words[0]) in self.no_asides:
            return set()
        found = {rule: self.parser.ends_of(said, rule, at) for rule in asides if at == 0 or rule != OPENING}
        return {end for rule, ends in found.items() for end in ends if rule != TAIL or end == len(said)}

    def _denied(self, words: str, heard: Sequence[Token]) -> Utterance | None:
        """A no, and behind it what makes sense by itself: "no, box one is thirteen from left"."""
        for end in sorted(self._denial_ends(heard), reverse=True):
            said = outcome(words, heard[end:], self.parser.parse(heard[end:], START), self._runs_on)
            if said.status is Status.UNDERSTOOD and all(isinstance(one, _CALLED) for one in said.meanings):
                return replace(said, meanings=(Answer(yes=False), *said.meanings))
        return None

    def _denial_ends(self, heard: Sequence[Token]) -> set[int]:
        """Where a no at the start may end."""
        return {
            end
            for rule, then in DENIALS.items()
            for end in self.parser.ends_of(heard, rule, 0)
            if then is None or self.parser.ends_of(heard, then, end)
        }

    def _guess(self, words: str, heard: Sequence[Token], unknown: Sequence[int]) -> Utterance | None:
        """A typing slip put right, to be confirmed: only where one word is unknown and the rest then makes sense in one
        way; its own letters in another order go before all else that it may be.
        """
        slip, mended = heard[unknown[0]].text, list(self._put_right(heard, unknown))
        nearest = [one for one in mended if typed.swapped(slip, one[0]) and (one[2].values or one[2].lost().cut_off)]
        found: dict[tuple[Meaning, ...], str] = {}
        for word, said, parses in nearest or mended:
            values = outcome(words, said, parses, self._runs_on)
            if values.status is Status.UNDERSTOOD:
                found.setdefault(values.meanings, word)
        if len(found) != 1:
            return None
        ((meanings, word),) = found.items()
        ask = Question(Ask.DID_YOU_MEAN, (slip, word))
        return Utterance(Status.UNCLEAR, words, alternatives=(meanings,), ask=ask)

    def _put_right(
        self, heard: Sequence[Token], unknown: Sequence[int]
    ) -> Iterator[tuple[str, Sequence[Token], Parses]]:
        """The word that the one unknown word may be a slip of, what was said with it, and what that means."""
        if len(unknown) != 1 or len(heard) > LONGEST:
            return
        (at,) = unknown
        for word in typed.likely(heard[at].text, self.known):
            mended = [*heard[:at], Token((word,), word), *heard[at + 1 :]]
            yield word, mended, self.parser.parse(mended, START)

    def _apart(self, one: Token) -> Iterator[Token]:
        """A word with "is" or "will" run into it as two: "top's", "top'll"."""
        base, _, ending = one.text.partition("'")
        run_in = typed_as(f"'{ending}")
        if ending and base and run_in[0] != "'" and not self._knows(one):
            yield from (Token((typed_as(base),), base), Token((run_in,), run_in))
        else:
            yield one

    def _danger(self, found: Utterance, heard: Sequence[Token]) -> tuple[Danger, ...]:
        """Every word of a circuit that isn't known to be dead: as the utterance has it, else wherever its words stand,
        whatever the rest is.
        """
        said = [one for way in (found.meanings, *found.alternatives) for one in way if isinstance(one, Danger)]
        if not said:
            for value in self.parser.found_within(heard, DANGER):
                words = (value.word,) if isinstance(value, Unnamed) else value
                said += [word for word in words if isinstance(word, Danger)]
        return tuple(dict.fromkeys(said))

    def _figure_beside(self, heard: Sequence[Token]) -> bool:
        """Whether a figure stands outside of words of danger and of the names of boxes."""
        at = 0
        while at < len(heard):
            named = (*self.parser.ends_of(heard, DANGER, at), *self.parser.ends_of(heard, BOX_NAME, at))
            if not named and (self._is_number(heard[at]) or self.parser.ends_of(heard, SMALL, at)):
                return True
            at = max(named, default=at + 1)
        return False

    def _suspect(self, line: str, found: Utterance, heard: Sequence[Token]) -> bool:
        """Whether a typed line may be about a circuit, as a whole or in any clause of it: "top 46, ouch". So may an
        unknown word that is called out: "top 46 yowza!".
        """
        apart = [(part, self._heard(self._all_said(read_typed(part, self.unit)))) for part in clauses(line)]
        if makes_sense(found):
            return len(apart) > 1 and any(len(words) in self.parser.ends_of(words, SUSPECT, 0) for _, words in apart)
        called_out = "!" in line and any(not self._knows(one) for one in heard) and not self._one_slip(heard)
        if called_out or self._may_be_of_a_circuit(found, heard):
            return True
        wordy = [(part, words) for part, words in apart if not any(one.words[0][0] == "#" for one in words)]
        # a clause with figures is of a reading, spoilt as it may be
        return any(self._may_be_of_a_circuit(self._found(part, words, Source.TYPED), words) for part, words in wordy)

    def _names_circuit(self, found: Utterance, heard: Sequence[Token]) -> bool:
        """Whether what was spoken and isn't understood has words of circuits, or names a box of which no more is known:
        what holds nothing that is known of may be any talk or noise.
        """
        if makes_sense(found) or self._begun(found, heard) is not None:
            return False
        called = self._figure_beside(heard) or self.parser.holds(heard, MEASURED)
        return self.parser.holds(heard, SUSPECT) or (self.parser.holds(heard, BOX_NAME) and not called)

    def _may_be_of_a_circuit(self, found: Utterance, heard: Sequence[Token]) -> bool:
        """Whether what wasn't understood has words of circuits, or nothing by which it is known to be about anything
        else.
        """
        if makes_sense(found):
            return False
        if self.parser.holds(heard, SUSPECT):
            return True
        senseless = found.why is not None and found.why.why in _SENSELESS
        if found.ask is not None and found.ask.about is Ask.BROKE_OFF:  # "box one isn't", "back on", "it lit up"
            placed = self.parser.holds(heard, PLACE) or self._figure_beside(heard)
            senseless = not placed and self._begun(found, heard) is None
        return senseless and not self.parser.holds(heard, MEASURED) and not self._one_slip(heard)

    def _begun(self, found: Utterance, heard: Sequence[Token]) -> Begun | None:
        """The place, or the name of a box, that is all that was said: the rest comes in the next breath."""
        if found.ask is None or found.ask.about is not Ask.BROKE_OFF:
            return None
        for start in (0, *self._denial_ends(heard)):
            places = self.parser.ends_of(heard, PLACE, start).get(len(heard), ())
            if len(places) == 1 and isinstance(places[0], ReadingPlace) and places[0].at is not None:
                return places[0].dimension, places[0].at
        return self._thing_begun(heard)

    def _beside_danger(
        self, found: Utterance, words: str, heard: list[Token], source: Source
    ) -> tuple[Utterance, Begun | None, list[Token]]:
        """A place or a thing that is begun before or behind word of danger, the part that answers, or an order; what
        holds a figure may have been heard for that word, and is said again.
        """
        for start in range(len(heard)):
            for end in self.parser.ends_of(heard, CIRCUIT, start):
                rest = [*heard[:start], *heard[end:]]
                if not self.parser.found_within(heard[start:end], DANGER):
                    continue
                if rest and not self._figure_beside(rest):
                    again = replace(self._found(" ".join(one.words[0] for one in rest), rest, source), heard=words)
                    begun = self._begun(again, rest)
                    if begun is not None or (again.meanings and all(map(is_no_figure, again.meanings))):
                        return again, begun, rest
        return found, None, heard

    def _thing_begun(self, heard: Sequence[Token]) -> Incomplete | None:
        """The box or the opening that the words begin to call, as far as they go; a figure of which no edge was said is
        its next distance.
        """
        names = self.parser.ends_of(heard, BOX_NAME, 0).get(len(heard), ())
        if len(names) == 1 and isinstance(names[0], Named):
            return Incomplete(None, name=names[0].said)
        begun = [*self.parser.ends_of(heard, BEGUN, 0).get(len(heard), ())]
        begun = begun or list(self.parser.parse(heard, START).values)
        if len(begun) == 1 and isinstance(begun[0], Incomplete):
            return begun[0]
        for end in range(len(heard) - 1, 0, -1):
            figures = self.parser.ends_of(heard, BARE, end).get(len(heard), ())
            figure = figures[0] if len(figures) == 1 else None
            thing = self._thing_begun(heard[:end]) if isinstance(figure, Reading) else None
            if thing is not None and isinstance(figure, Reading) and len(thing.distances) < 2:
                point = next((each.point for each in thing.distances), None)
                return replace(thing, distances=(*thing.distances, Distance(figure.value, point)))
        return None

    def _spoilt(self, heard: Sequence[Token]) -> Spoilt | None:
        """The place that the words name, not surely where more follows it than a figure; the place that a slip was
        meant for; else something that isn't known.
        """
        if (place := self._place_named(heard)) is not None:
            ends = self.parser.ends_with(heard, PLACE) or any(map(self._is_number, heard))
            return Spoilt(*place, guessed=not ends)
        unknown = [at for at, one in enumerate(heard) if not self._knows(one)]
        if not unknown or any(map(self._is_number, heard[: unknown[0]])):
            return None
        slip = unknown[0]
        likely = typed.likely(heard[slip].text, self.known)
        mended = ([*heard[:slip], Token((word,), word), *heard[slip + 1 :]] for word in likely)
        found = {place for words in mended if (place := self._place_named(words)) is not None}
        if len(found) == 1:
            return Spoilt(*found.pop(), guessed=True)
        figured = any(map(self._is_number, heard[slip:]))
        return Spoilt() if found or figured or len(unknown) == len(heard) <= FEW else None

    def _place_named(self, heard: Sequence[Token]) -> tuple[Dimension | None, Place] | None:
        """The only place that is named: by the words before a figure, or anywhere where there is none."""
        found = (one for one in self.parser.found_within(heard, PLACE) if isinstance(one, ReadingPlace))
        named = {(one.dimension, one.at) for one in found if one.at is not None}
        ends = (end for end in self.parser.ends_of(heard, PLACE, 0) if end < len(heard))
        fits = any(self._is_figure(heard[end]) for end in ends) or not any(map(self._is_number, heard))
        return named.pop() if len(named) == 1 and fits else None

    def _is_figure(self, one: Token) -> bool:
        return one.words[0][0] == "#" or not self.in_numbers.isdisjoint(one.words)

    def _is_number(self, one: Token) -> bool:
        return one.words[0][0] == "#" or bool(self.parser.ends_of([one], BARE, 0))

    def _sides(self, heard: Sequence[Token]) -> tuple[Length, Length] | None:
        """Two sides that are all that was said, beside a no before them."""
        if all(self.sharing.between.isdisjoint(one.words) for one in heard):
            return None
        sure, perhaps = self.sharing.by(heard)
        starts = (0, *self._denial_ends(sure)) if sure == perhaps else ()
        found = {each for start in starts for each in self.parser.ends_of(sure, SIZE, start).get(len(sure), ())}
        size = found.pop() if len(found) == 1 else None
        return (size.width, size.height) if isinstance(size, Size) and size.width and size.height else None

    def _one_slip(self, heard: Sequence[Token]) -> bool:
        """Whether one slip put right makes of it a call, or the beginning of one."""
        unknown = [place for place, one in enumerate(heard) if not self._knows(one)]
        return any(parses.values or parses.lost().cut_off for _, _, parses in self._put_right(heard, unknown))

    def _objects(self, found: Utterance, heard: Sequence[Token], danger: Sequence[Danger]) -> bool:
        """Whether the words begin with an objection. "No boxes" is none: there the whole says something else; nor is
        "not" where it is of the word of danger, as in "not dead".
        """
        ends = self.parser.ends_of(heard, OBJECTION, 0)
        if not ends or (danger and not self.parser.found_within(heard[max(ends) :], DANGER)):
            return False
        first = found.meanings[0] if found.meanings else None
        return first is None or (isinstance(first, Answer) and not first.yes)

    def _said(self, words: str) -> str:
        """Heard words without the fillers before them: "okay yes" is a lone word, and must be as sure as one."""
        rest = words.split()
        while len(rest) > 1 and rest[0].strip(_EDGES).lower() in self.fillers:
            rest = rest[1:]
        return " ".join(rest)

    def _is_filler(self, heard: Sequence[Token], place: int) -> bool:
        """Whether a word is said without meaning anything: "so" is, and in "or so" it isn't."""
        pair = tuple(one.words[0] for one in heard[max(place - 1, 0) : place + 1])
        return heard[place].words[0] in self.fillers and pair not in self.no_fillers

    def _knows(self, one: Token) -> bool:
        return one.words[0][0] == "#" or not self.known.isdisjoint(one.words)


def read_spoken(words: str) -> list[Token]:
    """Heard words, each with what it may be."""
    plain = words.lower().replace("-", " ").replace("’", "'")
    stripped = [word for each in plain.split() if (word := each.strip(_EDGES))]
    return [Token(heard_as(word, after), word) for word, after in pairwise([*stripped, ""])]


def language(unit: Unit = Unit.INCH) -> Language:
    """The language of this installation's grammar, for a job that is kept in that unit."""
    return _language(unit)


@cache
def _language(unit: Unit) -> Language:
    made = Language(rules(), unit)
    gc.freeze()  # it lives as long as the program: the collector need not look through it, 50 ms each time
    return made


def understand(words: str, source: Source, unit: Unit = Unit.INCH) -> Utterance:
    """What an utterance means. Typed lines may hold figures; heard words may be mistaken for their like (`heard.tsv`).
    A number said without its unit is in `unit`, the job's own.

    Understood: one meaning. Unclear: several, or one cut short, with the question that settles it. Refused: why.
    """
    return language(unit).understand(words, source)
