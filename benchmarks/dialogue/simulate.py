"""A hanger who is misheard, board after board: how many wrong plans are settled, and what stopped the others.

`python -m benchmarks.dialogue.simulate [BOARDS] [MISHEARD]` writes JSON. 15 of 100 calls are misheard, corrections too,
and none of them is flagged by the ear; the hanger corrects a wrong read-back 95 times of 100, the first and the last by
itself, and answers a question rightly. To see rare outcomes within minutes the hanger of the simulation notices half of
them, and each board counts with the weight that makes up for it (importance sampling).
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from statistics import mean, median, quantiles

from benchmarks.dialogue.boards import Truth, board, called, misheard
from fieldvoice.dialogue.rooms import Awaiting, Judged, Rooms
from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.wiring import rooms
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.language import understand
from fieldvoice.records.hearing import Hearing, Hypothesis, Source
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Fact, Key, key_of
from fieldvoice.wording.aloud import seconds

NOTICES = 0.95
"""How often the hanger corrects a wrong read-back."""
DRAWN = 0.5
"""How often the hanger of the simulation does; see above."""
MISHEARD = 0.15
MOST_TURNS = 60
MOST_CALLS = 80


def unflagged() -> Rooms:
    """The rooms with an ear that is sure of all that it hears."""

    def judged(hearings: Sequence[Hearing], awaiting: Awaiting) -> Judged:
        utterance = understand(hearings[0].words, Source.SPOKEN, awaiting.unit)
        return Judged(utterance, danger=utterance.danger)

    return replace(rooms(), judged=judged)


@dataclass
class Hanger:
    """Calls a board, listens to what is read back, and answers."""

    truth: Truth
    rng: random.Random
    misheard: float
    session: Session = field(
        default_factory=lambda: Session(MemoryJournal(), rooms=ROOMS, clock=lambda: datetime(2026, 5, 4, tzinfo=UTC))
    )
    weight: float = 1.0
    calls: int = 0
    words: int = 0
    questions: int = 0
    wrong: int = 0
    stopped: Counter[str] = field(default_factory=Counter)
    last_seconds: float = 0.0
    asked_last: int = 0

    def hang(self) -> bool:
        """The whole board; whether its plan was settled."""
        for fact in self.truth.facts:
            self.call(fact)
        for _ in range(MOST_TURNS):
            says = self.say("done")
            doubt = self.asked
            if doubt is None:
                if self._missing():
                    continue
                return not self.session.view().draft
            if doubt.concern is Concern.LAST:
                self.last_seconds = seconds(says)
                self._last(doubt)
            else:
                self._answer(doubt)
        return False

    def say(self, line: str) -> str:
        """One utterance as it is heard; what is said aloud to it."""
        heard = Hearing((Hypothesis(line, 1.0),), "simulated")
        self.words += len(line.split())
        return " ".join(each.spoken for each in self.session.take((heard,), "hanger"))

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
        known = self.session.state.known("1", doubtful=True)
        if heard != meant and heard in {call.fact for call in known.values()} and self._notices():
            self.stopped["first read-back"] += 1
            self.call(meant, "no ")

    def _answer(self, doubt: Doubt, meant: Fact | None = None) -> bool:
        """Yes where it is right, or the hanger doesn't notice that it isn't; else no with the right value."""
        call = self.session.state.calls.get(doubt.call) if doubt.call is not None else None
        if call is None or call.fact is None:
            self.say("yes")
            return True
        right = self._truth(call) if meant is None or key_of(meant) != call.key else meant
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

    def _last(self, doubt: Doubt) -> None:
        """The last read-back: each wrong value is noticed or not, and put right."""
        self.asked_last += 1
        for number in doubt.calls:
            call = self.session.state.calls[number]
            right = self._truth(call)
            if right == call.fact or call.fact is None:
                continue
            if self._notices():
                self.stopped["last read-back"] += 1
                self.call(right, "no ") if right is not None else self.say("undo")
                return
        self.say("yes")

    def _missing(self) -> bool:
        """Calls what was never taken, as the draft names it."""
        known = self.session.state.known("1", doubtful=True)
        lost = [fact for fact in self.truth.facts if key_of(fact) not in known]
        if not self.session.view().draft or not lost:
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
        settled: dict[Key, Call] = self.session.state.settled("1")
        facts = {key: call.fact for key, call in settled.items()}
        return facts == {key_of(fact): fact for fact in self.truth.facts}


ROOMS: Rooms = unflagged()


def main(boards: int = 2000, heard_wrong: float = MISHEARD) -> None:
    """Prints the figures."""
    rng = random.Random(20260504)  # noqa: S311 - a simulation
    start = time.perf_counter()
    calls = wrong_calls = settled = unsettled = 0
    weighted = squares = 0.0
    stopped: Counter[str] = Counter()
    talk: list[float] = []
    for _ in range(boards):
        hanger = Hanger(board(rng), rng, heard_wrong)
        done = hanger.hang()
        calls += hanger.calls
        wrong_calls += hanger.wrong
        settled += done
        unsettled += not done
        for name, count in hanger.stopped.items():
            stopped[name] += count
        talk += [hanger.last_seconds] if hanger.last_seconds else []
        if done and not hanger.is_right():
            weighted += hanger.weight
            squares += hanger.weight**2
    scale = 100_000 / calls
    figures = {
        "boards": boards,
        "calls": calls,
        "misheard": wrong_calls,
        "settled": settled,
        "not settled within the turns": unsettled,
        "wrong settled plans per 100,000 calls": round(weighted * scale, 2),
        "standard error": round(squares**0.5 * scale, 2),
        "stopped by, unweighted": dict(stopped.most_common()),
        "last read-back, seconds": _spread(talk),
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
        "last read-back, seconds": _spread([hanger.last_seconds for hanger in hangers]),
    }


def _spread(values: list[float]) -> dict[str, float]:
    if len(values) < 2:
        return {}
    tenths = quantiles(values, n=10)
    return {"median": round(median(values), 1), "tenth": round(tenths[0], 1), "ninetieth": round(tenths[-1], 1)}


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:2]), *(float(each) for each in sys.argv[2:3]))
