"""`type`: readings from the keyboard, where it is too loud to speak."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import ExitStack, closing
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import live, show, tell
from fieldvoice.commands.page import Wanted, partner_page, with_page
from fieldvoice.commands.talk import Talk
from fieldvoice.records.hearing import Hearing

if TYPE_CHECKING:
    from fieldvoice.dialogue.view import Say


@click.command("type")
@options.job
@options.who
@options.quiet
@options.as_json
@with_page
def type_lines(job: Path | None, who: str, *, quiet: bool, as_json: bool, wanted: Wanted) -> int:
    """Type readings, a line each, as you would say them, or short: `t 46 7/8`.

    Goes on with the job where it was left. Ends with Ctrl-D, or where a piped input ends; then the plan is printed.
    With --page the partner's phone shows the job, ticks its steps and takes calls as well.
    """
    from fieldvoice.commands.jobs import open_job
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.dialogue.session import Session
    from fieldvoice.journal.files import job_file
    from fieldvoice.output.voice import open_voice

    with ExitStack() as open_now:
        path = job_file(job)
        log = open_now.enter_context(closing(open_job(path)))
        voice = open_voice(tell, quiet=quiet or as_json)
        talk = Talk(session := Session(log))
        if trouble := talk.look().journal_trouble:
            tell(f"fieldvoice: {trouble}")
        screen = live() and not as_json

        def from_page(says: Sequence[Say]) -> None:
            """What the page's own calls have to say."""
            if screen:
                _draw(talk)
                show("> ", end="")
            for say in says:
                voice.say(say.spoken)

        changed = open_now.enter_context(partner_page(wanted, session, path, from_page))
        while (line := _next_line(talk, screen=screen)) is not None:
            turns, says = talk.take([Hearing.typed(line)], who)
            changed()
            if not screen and not as_json:
                show("\n".join(turn.line() for turn in turns))
            for say in says:
                voice.say(say.spoken)
        return show_plans(talk, None, as_json=as_json, transcript=True)


def _next_line(talk: Talk, *, screen: bool) -> str | None:
    """The next line that holds something; None at the end."""
    while True:
        if screen:
            _draw(talk)
            show("> ", end="")
        line = sys.stdin.readline()
        if not line:
            return None
        if line.strip():
            return line.strip()


def _draw(talk: Talk) -> None:
    from fieldvoice.commands.display import draw

    draw(talk.look())
