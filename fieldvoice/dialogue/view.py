"""What the job looks like now, made anew from the entries each time it is asked for, and what a surface does to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from fieldvoice import safety
from fieldvoice.records.board import Board, CircuitWord, Offcut
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Call, Notice, OpenItem
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutPlan, Missing, NoPlan, Step
from fieldvoice.records.room_plan import RoomPlan, SurfaceAtHand
from fieldvoice.records.said import BoxWord, Caution, Say
from fieldvoice.records.trouble import Hindrance, Trouble


@dataclass(frozen=True, slots=True)
class Line:
    """One value that stands on the board. `wired`: a circuit is behind it, and `circuit` is the word about that which
    counts now.
    """

    call: Call
    wired: bool = False
    circuit: CircuitWord | None = None


@dataclass(frozen=True, slots=True)
class Exchange:
    """The last thing heard and what was answered; `asks` is true while an answer is waited for."""

    heard: str
    recognizer: str
    by: str
    answer: tuple[Notice, ...]
    asks: bool = False
    refused: bool = False


@dataclass(frozen=True, slots=True)
class View:
    """Everything that a surface needs. `plan` is there as soon as there is one; `draft` says that it is one, which
    nobody may cut from yet, and `open` what keeps it one, in the order to settle it. `cautions` come before the steps.
    `ticked` holds the numbers of the steps done, from 1. `hole` is the board as measured so far, for the sketch;
    `circuits` are the words about boxes that count now. `demonstration`: every surface says that this is one.
    `room_plan` is the layout of the walls and ceilings called; with a surface at hand there is a `surface`, no `plan`
    and no `hole`; `laid` are the boards that are pieces of it; `rack` are the offcuts at hand.
    """

    room: str | None
    board: str
    boards: tuple[str, ...]
    unit: Unit
    context: tuple[Line, ...]
    readings: tuple[Line, ...]
    missing: tuple[Missing, ...]
    last: Exchange | None
    plan: CutPlan | None
    draft: bool
    plan_trouble: Hindrance | Trouble | NoPlan | None
    cautions: tuple[Caution, ...]
    ticked: frozenset[int]
    holding: bool = False
    journal_trouble: Trouble | None = None
    hole: Board | None = None
    circuits: tuple[BoxWord, ...] = ()
    acknowledged: bool = False
    open: tuple[OpenItem, ...] = ()
    demonstration: bool = False
    room_plan: RoomPlan | None = None
    rack: tuple[Offcut, ...] = ()
    laid: frozenset[str] = frozenset()
    surface: SurfaceAtHand | None = None

    @property
    def wired(self) -> tuple[str, ...]:
        """The names of all that has a circuit behind it."""
        board = self.hole if self.hole is not None or self.plan is None else self.plan.board
        return () if board is None else safety.wired(board)

    @property
    def to_cut(self) -> CutPlan | None:
        """The plan that may be cut from: none as long as it is a draft."""
        return None if self.draft else self.plan


@dataclass(frozen=True, slots=True)
class StepInHand:
    """The first step of a board that isn't done, with its number from 1."""

    board: str
    number: int
    step: Step


def in_hand(view: View) -> StepInHand | None:
    """The step in hand; None where there is no plan to cut from, or every step is done."""
    steps = enumerate(() if view.to_cut is None else view.to_cut.steps, 1)
    return next((StepInHand(view.board, number, step) for number, step in steps if number not in view.ticked), None)


class Job(Protocol):
    """A job as a surface asks of it; safe to call from any thread. Each call is kept under the name of `who`."""

    def take(self, hearing: Hearing, who: str) -> Sequence[Say]:
        """A typed call or order; what to say to it."""

    def tick(self, seen: View, who: str) -> Sequence[Say] | None:
        """The step in hand of the view that was shown is done; None where another one is in hand by now."""

    def untick(self, who: str) -> Sequence[Say]:
        """The last tick was none."""

    def acknowledge(self, seen: View, who: str) -> Sequence[Say]:
        """The cautions of the view that was shown were read and understood."""

    def view(self) -> View:
        """What the job looks like now."""
