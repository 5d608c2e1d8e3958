"""`print`: the checklist on paper."""

from __future__ import annotations

from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.talk import Talk


@click.command("print")
@options.job
@options.as_json
def print_checklist(job: Path | None, *, as_json: bool) -> int:
    """Print the checklist of the job's current board as plain text, cautions first.

    Reads the job without changing it, also while a session has it open. To paper: `fieldvoice print | lp`.
    Exit status 1 where the readings don't make a plan yet.
    """
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.dialogue.session import Session
    from fieldvoice.errors import NotHere
    from fieldvoice.journal.files import job_file
    from fieldvoice.journal.journal import Journal

    path = job_file(job)
    if not path.exists():
        raise NotHere(f"There is no job at {path} yet, so there is nothing to print. Start one with `fieldvoice type`.")
    with Journal.view(path) as journal:
        talk = Talk(Session(journal))
        talk.look()
        return show_plans(talk, None, as_json=as_json, figures="#")
