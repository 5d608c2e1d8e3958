"""`cut`: a file of utterances in, the plan out, with every read-back confirmed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import numbered_lines
from fieldvoice.commands.output import tell
from fieldvoice.commands.talk import Talk
from fieldvoice.errors import CannotCut
from fieldvoice.records.hearing import Source
from fieldvoice.records.meaning import Status

if TYPE_CHECKING:
    from fieldvoice.dialogue.session import Session


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@options.unit_or_jobs
@options.as_json
def cut(file: Path, unit: str | None, *, as_json: bool) -> int:
    """Plan the boards of FILE, an utterance a line, as typed or spoken (- is standard input).

    Runs the dialogue of a live session with every read-back confirmed. Lines that start with # are notes.
    Exit status 1 names the line that is refused or unclear, or says what the plan lacks.
    """
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.dialogue.session import Session
    from fieldvoice.journal.journal import MemoryJournal

    lines = numbered_lines(file)
    session = Session(MemoryJournal())
    talk = Talk(session)
    trouble = None
    try:
        for number, line in lines:
            _take(talk, session, number, line)
    except CannotCut as stopped:
        trouble = str(stopped)
        talk.views.clear()
    status = show_plans(talk, unit, as_json=as_json, trouble=trouble)
    if trouble and not as_json:
        tell(f"fieldvoice: {trouble}")
    return status


def _take(talk: Talk, session: Session, number: int, line: str) -> None:
    from fieldvoice.dialogue.script import take_line
    from fieldvoice.language import understand
    from fieldvoice.wording.questions import asked
    from fieldvoice.wording.refusals import refused

    utterance = understand(line, Source.TYPED, session.unit)
    if utterance.status is not Status.UNDERSTOOD:
        why = asked(utterance, session.unit) or refused(utterance)
        raise CannotCut(f"Line {number}, “{line}”, is {utterance.status.value}: {why}")
    why = take_line(session, line)
    talk.look()
    if why is not None:
        raise CannotCut(f"Line {number}, “{line}”, wasn't taken: {why}")
