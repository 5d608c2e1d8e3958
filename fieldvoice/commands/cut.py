"""`cut`: a file of utterances in, the plan out, with every read-back confirmed and nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.fastening import check_own_table
from fieldvoice.commands.options import numbered_lines
from fieldvoice.commands.output import language_ready, tell
from fieldvoice.commands.talk import Talk, show_plans
from fieldvoice.errors import FieldvoiceError
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Concern, Tell
from fieldvoice.records.utterance import Action, Command, Status

if TYPE_CHECKING:
    from fieldvoice.dialogue.session import Session


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@options.unit_or_jobs
@options.as_json
def cut(file: Path, unit: str | None, *, as_json: bool) -> int:
    """Plan the boards of FILE, an utterance a line.

    The lines are as typed or spoken; - is standard input. Runs the dialogue of a live session with every read-back
    confirmed. Lines that start with # are notes. Exit status 1 names the line that is refused or unclear, or says what
    the plan lacks.
    """
    from fieldvoice.dialogue.session import Session
    from fieldvoice.journal.journal import MemoryJournal

    check_own_table()
    lines = numbered_lines(file)
    language_ready()
    session = Session(MemoryJournal(), present=False)
    talk = Talk(session)
    trouble = None
    try:
        left: tuple[int, str, str] | None = None
        for number, line in lines:
            left = _take(session, number, line, left)
        if left is not None:
            raise _not_taken(*left)
        finish(session)
        _on_a_board(session)
    except FieldvoiceError as stopped:
        trouble = str(stopped)
    status = show_plans(talk, unit, as_json=as_json, trouble=trouble)
    if trouble and not as_json:
        tell(f"fieldvoice: {trouble}")
    return status


def _take(session: Session, number: int, line: str, left: tuple[int, str, str] | None) -> tuple[int, str, str] | None:
    """Takes a line; what it is asked about is left to the next line to answer. `left` is what an earlier line is still
    asked about.
    """
    from fieldvoice.language.understanding import understand
    from fieldvoice.wording.forms import Form
    from fieldvoice.wording.questions import asked, refused

    utterance = understand(line, Source.TYPED, session.unit)
    if utterance.status is not Status.UNDERSTOOD:
        form = Form(session.unit)
        why = asked(utterance, form) or refused(utterance, form)
        raise FieldvoiceError(f"Line {number}, “{line}”, is {utterance.status.value}: {why}")
    if left is None and any(
        isinstance(meaning, Command) and meaning.action in LEAVES for meaning in utterance.meanings
    ):
        finish(session)
    why = take_line(session, line)
    if why is None:
        return None
    last = session.view().last
    if left is not None or last is None or last.refused:
        raise _not_taken(*(left or (number, line, why)))
    return number, line, why


def _on_a_board(session: Session) -> None:
    """Raises `FieldvoiceError` where something that was called at a wall is on no board that was."""
    from fieldvoice.wording.forms import InWords
    from fieldvoice.wording.values import lead

    waits = [(name, call) for name in session.state.surfaces for call in session.state.not_taken(name)]
    if waits:
        name, call = waits[0]
        what = lead(call, InWords(session.unit))[0]
        raise FieldvoiceError(f"{what}, of the {name}, is on none of these boards: call the board that it is on.")


def _not_taken(number: int, line: str, why: str) -> FieldvoiceError:
    return FieldvoiceError(f"Line {number}, “{line}”, wasn't taken: {why}")


LEAVES = frozenset({Action.NEXT_BOARD, Action.GO_TO_BOARD, Action.GO_TO_SURFACE})
"""Orders that leave a board: it is finished first, as at the end of the file."""


CONFIRMED = frozenset({Concern.LAST})
"""Questions that a script says yes to: those that read back what it says itself."""


WHO = "hanger"
"""Who says what stands in a file."""


def take_line(session: Session, line: str) -> str | None:
    """Types one line and says yes to its read-back. Why the line wasn't taken: it is refused, or something is asked
    that a session would ask a person; None where it was.
    """
    session.take(Hearing.typed(line), WHO)
    return _settled(session)


def finish(session: Session) -> None:
    """Says done, and yes to the last read-back."""
    session.take(Hearing.typed("done"), WHO)
    _settled(session)


def _settled(session: Session) -> str | None:
    """Yes to a read-back; why it stays open otherwise."""
    from fieldvoice.wording.notices import answer

    view = session.view()
    if view.last is not None and view.last.refused:
        at_wall = {note.tell for note in view.last.answer} == {Tell.NOT_OF_SURFACE}  # it waits for its board
        return None if at_wall else answer(view.last.answer, view.unit)
    while (mine := session.state.open.get(WHO)) and (not mine.doubts or mine.doubts[0].concern in CONFIRMED):
        session.take(Hearing.typed("yes"), WHO)
    view = session.view()
    last = view.last
    return answer(last.answer, view.unit) if last is not None and (last.asks or last.refused) else None
