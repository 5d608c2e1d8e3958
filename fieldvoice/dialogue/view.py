"""What the job looks like now, ready to be shown: the show room computes nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldvoice.records.board import Board
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import CutPlan, Missing


class Standing(StrEnum):
    """How a value stands: read back and not objected to, said yes to against a doubt, or still in question."""

    ACCEPTED = "accepted"
    CONFIRMED = "confirmed"
    READ_BACK = "read back"
    DOUBTFUL = "doubtful"


@dataclass(frozen=True, slots=True)
class Line:
    """One value on the screen: "width, top" - "46 7/8" - how it stands - a note such as "strong, 1/32 added"."""

    label: str
    value: str
    standing: Standing
    by: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Exchange:
    """The last thing heard and what was answered; `asks` is true while an answer is waited for."""

    heard: str
    recognizer: str
    by: str
    answer: str
    asks: bool = False
    refused: bool = False


@dataclass(frozen=True, slots=True)
class Say:
    """One thing to tell: `text` for the screen and transcript, `spoken` for the voice (digits and words, no figures);
    `safety` goes first and is never cut short.
    """

    text: str
    spoken: str
    safety: bool = False


@dataclass(frozen=True, slots=True)
class BoxWord:
    """What `by` said of the circuit at `box`, and when. A "dead and tested" counts until `until`, any other word until
    another one.
    """

    box: str
    state: Circuit
    by: str
    at: datetime
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class View:
    """Everything that a surface needs. `plan` is there as soon as there is one; `so_far` says that readings are still
    missing or unsure. `cautions` come before the steps. `ticked` holds the numbers of the steps done, from 1. `hole` is
    the board as measured so far, for the sketch; `circuits` are the words about boxes that count now.
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
    so_far: bool
    plan_trouble: str | None
    cautions: tuple[str, ...]
    ticked: frozenset[int]
    holding: bool = False
    journal_trouble: str | None = None
    hole: Board | None = None
    circuits: tuple[BoxWord, ...] = ()
    acknowledged: bool = False
