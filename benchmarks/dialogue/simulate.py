"""A hanger who is misheard, board after board: how many wrong plans are settled, and what stopped the others.

`python -m benchmarks.dialogue.simulate [BOARDS] [MISHEARD] [SCREEN]` writes JSON. 15 of 100 calls are misheard,
corrections too, and none of them is flagged by the ear; the hanger corrects a wrong read-back 95 times of 100, each by
itself, and answers a question rightly. Only what is said aloud can be noticed, unless somebody reads the screen at the
last read-back (SCREEN isn't 0). To see rare outcomes within minutes the hanger of the simulation notices a quarter of
them, and each board counts with the weight that makes up for it (importance sampling). Each board has its own seed, so
that the same are drawn whatever is asked.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from statistics import mean, median, quantiles

from benchmarks.dialogue.boards import Truth, board, called, misheard
from fieldvoice.dialogue.finishing import open_items
from fieldvoice.dialogue.rooms import Judged, Rooms, rooms
from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation
from fieldvoice.output.voice import Synthesizer
from fieldvoice.records.facts import Fact, key_of
from fieldvoice.records.hearing import Hearing, Hypothesis, Source
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Notice, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Reading
from fieldvoice.wording.forms import seconds
from fieldvoice.wording.notices import say

NOTICES = 0.95
"""How often the hanger corrects a wrong read-back."""
DRAWN = 0.25
"""How often the hanger of the simulation does; see above."""
MISHEARD = 0.15
SEED = 20260504
NOW = datetime(2026, 5, 4, tzinfo=UTC)
CLOSE = Length("1/8")
"""What a reading may be off without a gap beyond what is taped and filled."""
ASIDE = frozenset({Tell.TOGETHER, Tell.TAKEN_BACK})
"""What is said aloud of values beside the one that was called."""
MOST_TURNS = 60
MOST_CALLS = 80


def unflagged() -> Rooms:
    """The rooms with an ear that is sure of all that it hears."""

    def judged(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
        utterance = understand(hearings[0].words, Source.SPOKEN, awaiting.unit)
        return Judged(utterance, danger=utterance.danger)

    return replace(rooms(), judged=judged)


@dataclass
class Hanger:
    """Calls a board, listens to what is read back, and answers."""

    truth: Truth
    rng: random.Random
    misheard: float
    reads_screen: bool = False
    session: Session = field(default_factory=lambda: Session(MemoryJournal(), rooms=ROOMS, clock=lambda: NOW))
    weight: float = 1.0
    calls: int = 0
    words: int = 0
    questions: int = 0
    wrong: int = 0
    stopped: Counter[str] = field(default_factory=Counter)
    last_seconds: list[float] = field(default_factory=list)
    last_together: list[float] = field(default_factory=list)
    box_seconds: list[float] = field(default_factory=list)
    seconds: float = 0.0
    spoken: str = ""
    lines: list[str] = field(default_factory=list)

    def hang(self) -> bool:
        """The whole board; whether its plan was settled."""
        for fact in self.truth.facts:
            self.call(fact)
        for _ in range(MOST_TURNS):
            self.say("done")
            doubt = self.asked
            if doubt is None:
                if self._missing():
                    continue
                return not self._is_draft()
            if doubt.concern is Concern.LAST:
                self._last_read_back(doubt)
            else:
                self._answer(doubt)
        return False

    def _last_read_back(self, doubt: Doubt) -> None:
        """All its parts, as far as nothing is wrong."""
        took = 0.0
        while doubt.concern is Concern.LAST:
            part = self._voiced()
            took += part
            self.last_seconds.append(part)
            if not self._last(doubt) or self.asked is None:
                break
            doubt = self.asked
        self.last_together.append(took)

    def say(self, line: str) -> None:
        """One utterance as it is heard, and what is said aloud to it."""
        heard = Hearing((Hypothesis(line, 1.0),), "simulated")
        self.words += len(line.split())
        says = self.session.take((heard,), "hanger")
        self.spoken = " ".join(each.spoken for each in says if each.spoken)
        self.lines = [each.spoken for each in says if each.spoken]
        self.seconds += sum(map(seconds, self.lines))

    def _voiced(self) -> float:
        """How long the last answer took, each line by itself as the voice says it."""
        return sum(map(VOICE, self.lines))

    def _is_draft(self) -> bool:
        return bool(open_items(self.session.state, "1", NOW, ROOMS))

    @property
    def asked(self) -> Doubt | None:
        """The question that waits."""
        mine = self.session.state.open.get("hanger")
        return mine.doubts[0] if mine is not None and mine.doubts else None

    def call(self, fact: Fact, before: str = "") -> None:
        """Calls a fact until it is right, or goes on where nothing wrong is noticed."""
        heard = fact
        if self.rng.random() < self.misheard:
            heard = misheard(fact, self.rng)
            self.wrong += 1
        self.calls += 1
        self.say(f"{before}{called(heard)}")
        if isinstance(fact, Box) and not before and self.asked is None:
            self.box_seconds.append(self._voiced())
        self._settle(fact, heard)

    def _settle(self, meant: Fact, heard: Fact) -> None:
        for _ in range(4):
            doubt = self.asked
            if doubt is None:
                break
            if doubt.concern in {Concern.LAST, Concern.LEAVE_OUT}:
                return
            self.questions += 1
            if not self._answer(doubt, meant):
                self.stopped[doubt.concern.value] += heard != meant
                break
        aside = [note for note in self.session.state.said if note.tell in ASIDE]
        known = self.session.state.known("1", doubtful=True)
        if heard != meant and heard in {call.fact for call in known.values()} and self._notices():
            self.stopped["first read-back"] += 1
            self.call(meant, "no ")
        self._beside(aside)

    def _beside(self, notes: Sequence[Notice]) -> None:
        """What is said once more behind a read-back, or to stand again: each wrong value is noticed or not, and put
        right.
        """
        for note, call in [(one, value) for one in notes for value in one.values if isinstance(value, Call)]:
            right = self._truth(call)
            if right is not None and _sounds_wrong(note, call, right) and self._notices():
                self.stopped["said together"] += 1
                self.call(right, "no ")

    def _answer(self, doubt: Doubt, meant: Fact | None = None) -> bool:
        """Yes where it is right, or the hanger doesn't notice that it isn't; else no with the right value."""
        call = self.session.state.calls.get(doubt.call) if doubt.call is not None else None
        if call is None or call.fact is None:
            self.say("yes")
            return True
        right = self._truth(call) if meant is None or key_of(meant) != call.key else meant
        if meant is not None and (meant,) in doubt.ways and doubt.answered_by is AnsweredBy.ONE_OF:
            self.say(called(meant))
            return True
        if doubt.answered_by is not AnsweredBy.YES_OR_NO and right is not None:
            self.say(called(right))
            return True
        if right == call.fact:
            self.say("yes")
            return True
        if right is None or self.calls > MOST_CALLS:
            self.say("no")
        else:
            self.call(right, "no ")
        if right is None and meant is not None and self.calls <= MOST_CALLS:
            self.call(meant)
        return False

    def _last(self, doubt: Doubt) -> bool:
        """A part of the last read-back: each wrong value that would sound otherwise were it right is noticed or not,
        and put right. Whether all was said to be right.
        """
        note = next(note for note in self.session.state.said if note.tell is Tell.QUESTION)
        for number in doubt.calls:
            call = self.session.state.calls[number]
            right = self._truth(call)
            if right == call.fact or not (self.reads_screen or _sounds_wrong(note, call, right)):
                continue
            if self._notices():
                self.stopped["last read-back"] += 1
                self.call(right, "no ") if right is not None else self.say("undo")
                return False
        self.say("yes")
        return True

    def _missing(self) -> bool:
        """Calls what was never taken, as the draft names it."""
        known = self.session.state.known("1", doubtful=True)
        lost = [fact for fact in self.truth.facts if key_of(fact) not in known]
        if not lost or not self._is_draft():
            return False
        self.stopped["missing"] += 1
        self.call(lost[0])
        return True

    def _truth(self, call: Call) -> Fact | None:
        return next((fact for fact in self.truth.facts if key_of(fact) == call.key), None)

    def _notices(self) -> bool:
        noticed = self.rng.random() < DRAWN
        self.weight *= NOTICES / DRAWN if noticed else (1 - NOTICES) / (1 - DRAWN)
        return noticed

    def is_right(self) -> bool:
        """Whether the settled board is the one at the wall."""
        return not any(self.wrongs())

    def wrongs(self) -> Iterator[tuple[str, Length | None]]:
        """What of the settled board isn't as it is at the wall, and by how much where that is a length."""
        facts = {key: call.fact for key, call in self.session.state.settled("1").items()}
        truth = {key_of(fact): fact for fact in self.truth.facts}
        for key in facts.keys() | truth.keys():
            if facts.get(key) != truth.get(key):
                yield _difference(facts.get(key), truth.get(key), key.of.value)


def _difference(called: object, right: object, of: str) -> tuple[str, Length | None]:
    match called, right:
        case None, _:
            return f"{of} missing", None
        case _, None:
            return f"{of} too many", None
        case Reading(), Reading():
            return f"{of} off", abs(called.value - right.value)
        case Box(), Box() if called.x.start is right.x.start and called.y.start is right.y.start:
            return "box off", max(abs(called.x.value - right.x.value), abs(called.y.value - right.y.value))
    return f"{of} from another side", None


def _sounds_wrong(note: Notice, call: Call, right: Fact | None) -> bool:
    """Whether what is said aloud of a call would be other words were it right, or none."""
    rightly = tuple(
        replace(call, fact=right) if value == call else value for value in note.values if value != call or right
    )
    return say(note, Unit.INCH).spoken != say(replace(note, values=rightly), Unit.INCH).spoken


ROOMS: Rooms = unflagged()


def voice() -> Callable[[str], float]:
    """The seconds that the voice takes for a line, synthesized."""
    synthesizer = Synthesizer()
    return lambda line: len(synthesizer(line)) / synthesizer.rate


VOICE = voice()


def main(boards: int = 2000, heard_wrong: float = MISHEARD, screen: float = 0) -> None:
    """Prints the figures."""
    start = time.perf_counter()
    calls = wrong_calls = settled = unsettled = 0
    weighted = squares = far = 0.0
    stopped: Counter[str] = Counter()
    kinds: dict[str, float] = defaultdict(float)
    talk: list[Hanger] = []
    for number in range(boards):
        rng = random.Random(SEED + number)  # noqa: S311 - a simulation
        hanger = Hanger(board(rng), rng, heard_wrong, bool(screen))
        done = hanger.hang()
        calls += hanger.calls
        wrong_calls += hanger.wrong
        settled += done
        unsettled += not done
        for name, count in hanger.stopped.items():
            stopped[name] += count
        talk.append(hanger)
        wrongs = list(hanger.wrongs()) if done else []
        if wrongs:
            weighted += hanger.weight
            far += hanger.weight * any(off is None or off > CLOSE for _, off in wrongs)
            for kind, off in wrongs:
                kinds[kind if off is None or off > CLOSE else f"{kind} by 1/8 in at most"] += hanger.weight
            squares += hanger.weight**2
    scale = 100_000 / calls
    figures = {
        "boards": boards,
        "somebody reads the screen at the last read-back": bool(screen),
        "calls": calls,
        "misheard": wrong_calls,
        "settled": settled,
        "not settled within the turns": unsettled,
        "wrong settled plans per 100,000 calls": round(weighted * scale, 2),
        "standard error": round(squares**0.5 * scale, 2),
        "of them off by more than 1/8 in": round(far * scale, 2),
        "what is wrong of them, per 100,000 calls": {
            kind: round(each * scale, 2) for kind, each in sorted(kinds.items())
        },
        "stopped by, unweighted": dict(stopped.most_common()),
        **_talk(talk),
        "common boards": common(),
        "took seconds": round(time.perf_counter() - start, 1),
    }
    json.dump(figures, sys.stdout, indent=1)
    sys.stdout.write("\n")


def common(boards: int = 20) -> dict[str, object]:
    """Twenty boards with nothing misheard: what is asked, and what is said by whom."""
    rng = random.Random(20260505)  # noqa: S311 - a simulation
    hangers = [Hanger(board(rng), rng, 0.0) for _ in range(boards)]
    settled = [hanger.hang() for hanger in hangers]
    asked = [hanger.questions for hanger in hangers]
    return {
        "settled": sum(settled),
        "right": sum(hanger.is_right() for hanger in hangers),
        "questions a board, beside the last read-back": {"median": median(asked), "most": max(asked)},
        "words called a board": {"mean": round(mean(hanger.words for hanger in hangers), 1)},
        **_talk(hangers),
    }


def _talk(boards: Sequence[Hanger]) -> dict[str, object]:
    """How long the last read-backs of boards are, synthesized, and how many each board has; those after a correction
    with them. How long the answers to a call of a box are; and all that is said aloud over a board, estimated.
    """
    return {
        "a part of the last read-back, seconds": _spread([each for board in boards for each in board.last_seconds]),
        "parts of last read-backs a board": {"mean": round(mean(len(board.last_seconds) for board in boards), 2)},
        "last read-back with its parts, seconds": _spread([each for board in boards for each in board.last_together]),
        "read-back of a box, seconds": _spread([each for board in boards for each in board.box_seconds]),
        "said aloud over a board, seconds": {"mean": round(mean(board.seconds for board in boards), 1)},
    }


def _spread(values: Sequence[float]) -> dict[str, float]:
    if len(values) < 2:
        return {}
    parts = quantiles(values, n=20)
    found = {"median": median(values), "tenth": parts[1], "95 of 100": parts[-1], "most": max(values)}
    return {name: round(value, 1) for name, value in found.items()}


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:2]), *(float(each) for each in sys.argv[2:4]))
