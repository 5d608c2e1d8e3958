"""Whole boards as crews call them, typed to a session from the first call to the plan, every question answered.

Run with `python -m benchmarks.dialogue.crew_boards`, with the name of a table behind it (`crew_boards_others.txt`, or a
path) for that one.
"""

from __future__ import annotations

import re
import statistics
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime

from fieldvoice.dialogue.rooms import rooms
from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.board import Known
from fieldvoice.records.facts import Fact
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import AnsweredBy, Concern, Doubt
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Circuit, Context, Lack, Reading, Topic
from fieldvoice.records.plan import Need
from fieldvoice.wording import needs
from fieldvoice.wording.forms import Form
from fieldvoice.wording.troubles import sentence
from fieldvoice.wording.values import figures
from tests.language.crew import FOLDER, acts, shown

WHO = "hanger"
AT_THE_END = frozenset({Concern.LAST, Concern.TESTED})
"""Questions that every board may bring: the last read-back, and whether a circuit is dead and tested."""
NOT_COMPARED = frozenset(
    {Topic.UNIT, Topic.BOARD, Topic.FULL, Topic.BOXES, Topic.MIDDLE_WIDTH, Topic.TAPER, Topic.ORDER}
)
"""Of which the table says nothing at a board's end."""
SIDE = "cut the right"
"""What the crew answers when asked which side of a board between two walls is cut."""
MOST = 12
"""Answers to one call at most: a talk that goes round in circles ends."""


@dataclass(frozen=True, slots=True)
class CrewBoard:
    """A board of the table: what the crew calls, what it answers when asked (word of the question, answer), and what
    must stand at the end, in the table's notation.
    """

    name: str
    unit: Unit
    calls: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    stands: frozenset[str]


@dataclass(slots=True)
class Talk:
    """How one board went; `closing` is what was said to a draft that was told to lack something."""

    board: CrewBoard
    at_once: int = 0
    asked: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    words: int = 0
    missing: frozenset[str] = frozenset()
    wrong: frozenset[str] = frozenset()
    steps: int | None = None
    draft: list[str] = field(default_factory=list)
    closing: list[str] = field(default_factory=list)

    @property
    def right(self) -> bool:
        """Whether all that was called stands, nothing else does, and there is a plan to cut from."""
        return not self.missing and not self.wrong and self.steps is not None


def crew_boards(table: str = "crew_boards.txt") -> list[CrewBoard]:
    """The boards of a table."""
    blocks = (FOLDER / table).read_text(encoding="utf-8").split("\n## ")[1:]
    return [_board(*block.splitlines()) for block in blocks]


def _board(name: str, *lines: str) -> CrewBoard:
    answers = [line[2:].partition(": ") for line in lines if line.startswith("? ")]
    stands = "; ".join(line[2:] for line in lines if line.startswith("= "))
    return CrewBoard(
        name,
        Unit.MM if "[mm]" in name else Unit.INCH,
        tuple(line for line in lines if line and line[0] not in "=?"),
        tuple((word, answer) for word, _, answer in answers),
        frozenset(act for act in acts(stands) if act),
    )


def talk(board: CrewBoard) -> Talk:
    """The board from its first call to "done" and the answer to the last read-back."""
    now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
    session = Session(MemoryJournal(), rooms=rooms(), clock=lambda: now)
    if board.unit is Unit.MM:
        session.take(Hearing.typed("millimeters"), WHO)
        session.take(Hearing.typed("yes"), WHO)
    found = Talk(board)
    for line in board.calls:
        found.at_once += _said(session, found, line)
    _said(session, found, "done")
    found.missing, found.wrong = compared(session, board)
    view = session.view()
    found.steps = len(view.plan.steps) if view.plan is not None and not view.draft else None
    found.draft = [f"{item.kind} {item.need or item.key or item.doubt or item.call}" for item in view.open]
    if view.plan_trouble and found.steps is None:
        found.draft.append(sentence(view.plan_trouble))
    return found


def _said(session: Session, found: Talk, line: str) -> bool:
    """Says a line and answers what is asked until nothing is; whether it was taken without a question."""
    at_once = True
    for turn in range(MOST):
        found.words += len(line.split())
        says = session.take(Hearing.typed(line), WHO)
        told = " ".join(say.text for say in says)
        state = session.state
        if state.refused:
            found.refused.append(f"{line} > {told}")
            at_once = False
        if not state.asks:
            line = _still_open(session, found, told) if line == "done" else "done" if line in found.closing else ""
            if line:
                continue
            break
        mine = state.open.get(WHO)
        doubt = mine.doubts[0] if mine is not None and mine.doubts else None
        if doubt is None or doubt.concern not in AT_THE_END:
            found.asked.append(f"{line} > {told}")
            at_once = at_once and turn > 0
        answer = _answer(found.board, told, doubt)
        if answer is None:
            break
        line = answer
    return at_once


def _still_open(session: Session, found: Talk, told: str) -> str:
    """What the crew says to a draft that lacks something: as the table says, or the side to cut."""
    said = next((answer for word, answer in found.board.answers if word in told and answer not in found.closing), "")
    if said:
        found.asked.append(f"done > {told}")
        found.closing.append(said)
        return said
    for item in session.view().open:
        if item.need is not None and item.need.need is Need.SIDE:
            found.asked.append(f"done > {needs.ask(item.need, Form(found.board.unit))}")
            found.closing.append(SIDE)
            return SIDE
    return ""


def _answer(board: CrewBoard, told: str, doubt: Doubt | None) -> str | None:
    """What the crew answers: as the table says, the one of several that it meant, else yes to a question of yes and
    no.
    """
    asked = {Lack.START: ("left", "right"), Lack.POINT: ("center",)}.get(doubt.lack, ()) if doubt and doubt.lack else ()
    for word, answer in board.answers:
        if word in told or word in asked:
            return answer
    if doubt is None:
        return None
    if doubt.answered_by is AnsweredBy.ONE_OF:
        return next((_say(way[0], board.unit) for way in doubt.ways if _meant(board, way)), None)
    return "yes" if doubt.answered_by is AnsweredBy.YES_OR_NO else None


def _meant(board: CrewBoard, way: tuple[Fact, ...]) -> bool:
    return {_unnamed(act) for fact in way for act in acts("; ".join(shown(fact, board.unit)))} <= board.stands


def _say(fact: Fact, unit: Unit) -> str:
    return fact.value.text(unit) if isinstance(fact, Reading) else figures(fact, Form(unit))


def compared(session: Session, board: CrewBoard) -> tuple[frozenset[str], frozenset[str]]:
    """What should stand and doesn't, and what stands that nobody called."""
    stands = frozenset(_stands(session, board.unit))
    wanted = frozenset(_unnamed(act) for act in board.stands)
    return wanted - stands, frozenset(act for act in stands - wanted if not act.startswith("edge ")) | frozenset(
        act
        for act in stands - wanted
        if act.startswith("edge ") and any(each.startswith(act.partition("=")[0] + "=") for each in wanted)
    )


def _stands(session: Session, unit: Unit) -> Iterator[str]:
    """Everything in force on the board, in the table's notation: edges whether called or told as a default."""
    state = session.state
    for call in state.settled(state.board).values():
        if call.fact is None or (isinstance(call.fact, Context) and call.fact.topic in NOT_COMPARED):
            continue
        for act in acts("; ".join(shown(call.fact, unit))):
            yield _unnamed(act)
    hole = session.view().hole
    for edge, setting in hole.edges.items() if hole is not None else ():
        if setting.known is not Known.UNKNOWN:
            yield from acts("; ".join(shown(Context(Topic.NEIGHBOR, setting.neighbor, edge), unit)))
    for box, word in state.circuits(state.board).items():
        yield f"dead-tested {box.removeprefix('box ')}" if word.state is Circuit.DEAD else "danger ?"


def _unnamed(act: str) -> str:
    """A box without its name: which is which is told by where it is."""
    return re.sub(r" name=([a-z]+ )?\d+", "", act)


def main() -> None:
    """Prints how the boards went, and the figures of all."""
    talks = [talk(board) for board in crew_boards(*sys.argv[1:])]
    for one in talks:
        marks = "right" if one.right else "NOT RIGHT"
        print(f"## {one.board.name}: {marks}; {one.at_once} of {len(one.board.calls)} at once; {one.words} words")
        for title, lines in (
            ("asked", one.asked),
            ("refused", one.refused),
            ("missing", sorted(one.missing)),
            ("wrong", sorted(one.wrong)),
            ("draft", one.draft),
        ):
            for line in lines:
                print(f"   {title}: {line}")
    calls = sum(len(one.board.calls) for one in talks)
    print(f"\nboards with a plan and the right marks: {sum(one.right for one in talks)} of {len(talks)}")
    print(f"boards with a plan: {sum(one.steps is not None for one in talks)}")
    print(f"boards on which something stands that nobody called: {sum(bool(one.wrong) for one in talks)}")
    print(f"calls taken at once: {sum(one.at_once for one in talks)} of {calls}")
    print(f"questions beside circuit and last read-back: {sum(len(one.asked) for one in talks)}")
    print(f"most of them on one board: {max(len(one.asked) for one in talks)}")
    print(f"words a board, in the middle: {statistics.median(one.words for one in talks)}")


if __name__ == "__main__":
    main()
