"""A hanger at the wall who calls a board, listens to what is read back, answers, mends, and says again."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, field, replace

from benchmarks.boards_by_sound.clips import Clips, seconds
from benchmarks.boards_by_sound.comparing import differences
from benchmarks.boards_by_sound.scripts import Script
from benchmarks.boards_by_sound.site import Heard
from benchmarks.boards_by_sound.truth import (
    AT_THE_END,
    SIDE,
    WHO,
    Kept,
    Typed,
    asked,
    boxes,
    kept,
    lacks_side,
    named,
    nameless,
    new_session,
    part_answer,
)
from benchmarks.dialogue.boards import words as length_words
from fieldvoice.dialogue.rivals import teen_or_ten
from fieldvoice.dialogue.rooms import Judged, rooms
from fieldvoice.dialogue.state import is_whole
from fieldvoice.language.choosing import choose
from fieldvoice.language.speaking import length_words as figure_by_figure
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.facts import Fact, key_of
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Circuit, Reading
from fieldvoice.records.said import Say
from fieldvoice.records.utterance import Status
from fieldvoice.wording import forms
from training.noises import Wave
from training.voices import Voice

NOTICES = 0.95
"""How often the hanger corrects a wrong read-back."""
TAKES = 3
"""Nobody says a thing again just as before: so many ways to say it follow each other."""
MOST_TRIES = 3
"""Times that one and the same thing is said for a call before the hanger types it; a yes to each part of the last
read-back is another thing.
"""
MOST_TURNS = 10
"""The same for all that is said for a call, answers to its questions with it, but for one answer to each such part."""
MOST_ENDINGS = 3
"""Attempts to end the board, after which the hanger types what is left of it."""
MOST_TYPED = 8
"""Typed answers to one typed line."""

Says = Generator[Wave, Heard, str | None]


@dataclass(frozen=True, slots=True)
class Story:
    """One thing said and what became of it. `heard` are each ear's likeliest words with their probability, `reply` is
    what kind of answer came, `spoken` what of it was said aloud.
    """

    said: str
    outcome: str
    heard: tuple[tuple[str, float], ...]
    reply: str
    answer: str
    spoken: tuple[str, ...] = ()


@dataclass(slots=True)
class Count:
    """How a board went. `typed` is what the hanger gave up to say. Seconds of the answers aloud, of the recognizers, of
    speech; `first` of it was said once and had to be.
    """

    repeats: int = 0
    questions: int = 0
    corrections: int = 0
    unanswered: int = 0
    typed: list[str] = field(default_factory=list)
    aloud: float = 0.0
    recognizing: list[float] = field(default_factory=list)
    spoken: float = 0.0
    first: float = 0.0
    stories: list[Story] = field(default_factory=list)


class Hanger:
    """One board called in one voice. `talk` is what the wall hears."""

    def __init__(self, script: Script, voice: Voice, clips: Clips, dice: random.Random) -> None:
        self._script, self._voice, self._clips, self._dice = script, voice, clips, dice
        self._judged: Judged | None = None
        self.session = new_session(replace(rooms(), judged=self._recorded(rooms().judged)))
        self.meant = Typed(script)
        self.count = Count()
        self._wanted = Counter((*script.lines, "done"))
        self._overlooked: set[Kept] = set()
        self._times: Counter[str] = Counter()

    def talk(self) -> Generator[Wave, Heard, None]:
        """The whole board, to its plan or until the hanger gives it up."""
        for line in self._script.lines:
            self.meant.call(line)
            yield from self._through(line, line)
        self.meant.done()
        for _ in range(MOST_ENDINGS):
            yield from self._through("done", "done")
            if self.has_plan:
                return
            lost = self._lost()
            if lost:
                yield from self._through(lost, lost)
            elif lacks_side(self.session):
                yield from self._through(SIDE, SIDE)
        while (lost := self._lost()) and lost not in self.count.typed:
            self._type(lost)
        self._type("done")

    @property
    def has_plan(self) -> bool:
        """Whether there is a plan to cut from."""
        view = self.session.view()
        return view.plan is not None and not view.draft

    def wrong(self) -> tuple[str, ...]:
        """What of the settled plan isn't as meant; nothing where it is right."""
        return differences(self.session, self.meant.session)

    def difference(self) -> tuple[frozenset[Kept], frozenset[Kept]]:
        """What stands and wasn't called, and what was called and doesn't stand."""
        stands = kept(self.session)
        return stands - self.meant.facts, self.meant.facts - stands

    def false_alarms(self) -> int:
        """Boxes that count as live though nobody said so."""
        return len(boxes(self.session, Circuit.LIVE) - boxes(self.meant.session, Circuit.LIVE))

    def _through(self, said: str, line: str) -> Generator[Wave, Heard, None]:
        """Says something and goes on until it is taken, mended or given up."""
        tries, parts = Counter[tuple[str, Doubt | None]](), set[Doubt]()
        while tries[to := (said, self._part())] < MOST_TRIES and tries.total() - len(parts) < MOST_TURNS:
            tries[to] += 1
            parts |= {to[1]} if to[1] is not None else set()
            told = yield from self._say(said)
            if told is None:
                self.count.unanswered += 1
                continue
            following = self._next(said, line, told)
            if following is None:
                return
            said = following
        self._type(line)

    def _part(self) -> Doubt | None:
        """The part of the last read-back that waits for its answer, if one does."""
        doubt = asked(self.session)
        return doubt if doubt is not None and doubt.concern in AT_THE_END else None

    def _type(self, line: str) -> None:
        """What could not be said goes in by the keyboard, with every answer that it wants."""
        self.count.typed.append(line)
        said = line
        for _ in range(MOST_TYPED):
            says = self.session.take(Hearing.typed(said), WHO)
            told = " ".join(each.text for each in says)
            self.count.stories.append(Story(said, "typed", (), self._reply(), told))
            doubt = asked(self.session)
            if doubt is None:
                return
            answer = self._answer(doubt, line, told)
            said = line if answer == said else answer

    def _say(self, words: str) -> Says:
        sound = self._clips.say(self._voice, words, self._times[words] % TAKES)
        self.count.spoken += seconds(sound)
        self._times[words] += 1
        if self._times[words] <= self._wanted.get(words, 0):
            self.count.first += seconds(sound)
        self._judged = None
        heard = yield sound
        if heard is None:
            self.count.stories.append(Story(words, "not answered", (), "no answer", ""))
            return None
        says = self.session.take(heard, WHO)
        self.count.aloud += sum(forms.seconds(each.spoken) for each in says)
        self.count.recognizing.append(sum(each.seconds for each in heard))
        self.count.stories.append(self._story(words, heard, says))
        return " ".join(each.text for each in says)

    def _next(self, said: str, line: str, told: str) -> str | None:
        """What the hanger says to the answer; None where it is content, or doesn't notice."""
        doubt = asked(self.session)
        if doubt is not None:
            self.count.questions += doubt.concern not in AT_THE_END
            return self._answer(doubt, line, told)
        if self.session.state.refused or self.session.state.asks:
            self.count.repeats += 1
            return line if said in {"yes", "no"} else said
        wrong, missing = self.difference()
        if (wrong - self._overlooked) and self._notices(wrong):
            self.count.corrections += 1
            return self._correction(line, missing)
        brought = {each for each in missing - self._overlooked if self.meant.lines.get(each) == line}
        if brought and self._notices(brought):
            self.count.repeats += 1
            return line
        return None

    def _correction(self, line: str, missing: frozenset[Kept]) -> str:
        """No with the call meant; where that stands, what came besides is taken back."""
        if any(self.meant.lines.get(each) == line for each in missing):
            return _objection(line)
        return "undo"

    def _notices(self, what: frozenset[Kept] | set[Kept]) -> bool:
        """Whether the hanger notices it in the read-back; what was overlooked once is until the last one."""
        if self._dice.random() < NOTICES:
            return True
        self._overlooked |= what
        return False

    def _answer(self, doubt: Doubt, line: str, told: str) -> str:
        """A right answer to a question; a wrong value in the last read-back is noticed or not."""
        if doubt.concern is Concern.TESTED:
            tested = named(self.session, self.session.state.board, doubt.boxes)
            return "yes" if tested <= boxes(self.meant.session, Circuit.DEAD) else "no"
        if doubt.concern is Concern.LAST:
            return self._last(doubt)
        if doubt.concern is Concern.LEAVE_OUT:
            return self._lost() or "yes"
        if doubt.answered_by is AnsweredBy.PART:
            return part_answer(self._script, doubt, told) or line
        if doubt.answered_by is AnsweredBy.ONE_OF:
            return self._which(doubt, line)
        return self._yes_or_no(doubt, line)

    def _which(self, doubt: Doubt, line: str) -> str:
        """The length that only the way meant has, a teen or a ten figure by figure; the call again where that isn't the
        difference, with a no where none was meant.
        """
        meant = {fact for _, fact in self.meant.facts}
        ways = [frozenset(length for fact in way for length in _lengths(fact)) for way in doubt.ways]
        own_line = {fact for (_, fact), said in self.meant.lines.items() if said == line}
        right = next(
            (
                at
                for at, way in enumerate(doubt.ways)
                if (facts := {nameless(fact) for fact in way}) <= meant
                and (facts & own_line or line not in self._wanted)
            ),
            None,
        )
        if right is None:
            return _objection(line)
        own = ways[right].difference(*(way for at, way in enumerate(ways) if at != right))
        length = next(iter(own), None)
        if length is None:
            return line
        twin = teen_or_ten(length) and length.inches < 100
        return figure_by_figure(length, Unit.INCH) if twin else length_words(length)

    def _yes_or_no(self, doubt: Doubt, line: str) -> str:
        call = self.session.state.calls.get(doubt.call) if doubt.call is not None else None
        meant = {fact for _, fact in self.meant.facts}
        if doubt.ways and doubt.concern is Concern.WHICH_OF:
            return "yes" if {nameless(fact) for fact in doubt.ways[0]} <= meant else _objection(line)
        if call is None or call.fact is None or not is_whole(call) or nameless(call.fact) in meant:
            return "yes"
        right = self._line_of(call)
        return _objection(right) if right else "no"

    def _last(self, doubt: Doubt) -> str:
        """Each wrong value of the last read-back is noticed or not, once."""
        for number in doubt.calls:
            call = self.session.state.calls[number]
            if call.fact is None or (call.board, nameless(call.fact)) in self.meant.facts:
                continue
            if self._dice.random() < NOTICES:
                self.count.corrections += 1
                right = self._line_of(call)
                return _objection(right) if right else "undo"
        return "yes"

    def _line_of(self, call: Call) -> str:
        """What was called for the place that a call has taken; nothing where nobody called anything there."""
        return next((self.meant.lines[one] for one in self.meant.facts if key_of(one[1]) == key_of(_there(call))), "")

    def _lost(self) -> str:
        """The call of something that doesn't stand, if there is one."""
        _, missing = self.difference()
        return next((line for line in self._script.lines if line in {self.meant.lines.get(one) for one in missing}), "")

    def _recorded(self, judged: Callable[[Sequence[Hearing], Expectation], Judged]) -> Callable[..., Judged]:
        """The verdict, with what it came to kept for the story."""

        def judging(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
            self._judged = judged(hearings, awaiting)
            return self._judged

        return judging

    def _story(self, words: str, heard: tuple[Hearing, ...], says: Sequence[Say]) -> Story:
        best = tuple((each.words, round(each.hypotheses[0].probability, 3)) for each in heard if each.hypotheses)
        told, spoken = " ".join(each.text for each in says), tuple(each.spoken for each in says if each.spoken)
        return Story(words, self._outcome(words, heard), best, self._reply(), told, spoken)

    def _reply(self) -> str:
        """The kind of the last answer: what is asked, why it is refused, or that it is taken."""
        state, doubt = self.session.state, asked(self.session)
        tells = [one.tell for one in state.said]
        if doubt is not None:
            first = next((tell for tell in tells if tell in _AGAIN), None)
            return f"asks {doubt.concern}" + (f" ({first})" if first is not None else "")
        if state.refused or state.asks:
            return f"{'refuses' if state.refused else 'asks'}: {tells[-1] if tells else 'nothing'}"
        return "takes"

    def _outcome(self, words: str, heard: tuple[Hearing, ...]) -> str:
        meant, found = understand(words, Source.SPOKEN).meanings, self._judged
        if found is None:
            return "not taken part in"
        if found.utterance.status is Status.UNCLEAR:
            within = meant in found.utterance.alternatives
            return f"asked, several meanings, {'right' if within else 'other'} among them"
        right = found.utterance.meanings == meant
        if found.utterance.status is Status.UNDERSTOOD:
            return f"asked, {'right' if right else 'other'} on top" if found.doubtful else "taken" if right else "WRONG"
        lead = choose(heard[0]).candidates
        return f"refused, {'right' if lead and lead[0].utterance.meanings == meant else 'other'} on top"


_AGAIN = frozenset({Tell.ANSWER_FIRST, Tell.NAMES_ANOTHER, Tell.PICK_ONE, Tell.SAY_THE_PART, Tell.ANSWER_UNCLEAR})
"""What is told where a question is put again, since it wasn't answered."""


def _lengths(fact: Fact) -> tuple[Length, ...]:
    if isinstance(fact, Reading):
        return (fact.value,)
    return (fact.x.value, fact.y.value) if isinstance(fact, Box) else ()


def _objection(line: str) -> str:
    return line if line.startswith("no ") else f"no {line}"


def _there(call: Call) -> Fact:
    assert call.fact is not None
    return nameless(call.fact)
