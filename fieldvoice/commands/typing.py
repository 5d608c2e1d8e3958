"""`type`: readings from the keyboard, where it is too loud to speak."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import live, show, tell
from fieldvoice.commands.talk import Talk
from fieldvoice.records.hearing import Hearing


@click.command("type")
@options.job
@options.who
@options.quiet
@options.as_json
def type_lines(job: Path | None, who: str, *, quiet: bool, as_json: bool) -> int:
    """Type readings, a line each, as you would say them, or short: `t 46 7/8`.

    Goes on with the job where it was left. Ends with Ctrl-D, or where a piped input ends; then the plan is printed.
    """
    from fieldvoice.commands.jobs import open_job
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.dialogue.session import Session
    from fieldvoice.output.voice import open_voice

    log = open_job(job)
    try:
        voice = open_voice(tell, quiet=quiet or as_json)
        talk = Talk(Session(log))
        if trouble := talk.look().journal_trouble:
            tell(f"fieldvoice: {trouble}")
        screen = live() and not as_json
        while (line := _next_line(talk, screen=screen)) is not None:
            turns, says = talk.take([Hearing.typed(line)], who)
            if not screen and not as_json:
                show("\n".join(turn.line() for turn in turns))
            for say in says:
                voice.say(say.spoken)
        return show_plans(talk, None, as_json=as_json, transcript=True)
    finally:
        log.close()


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
