"""`replay`: recordings and lines of text, in order, through a whole dialogue."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import is_sound, lines_of
from fieldvoice.commands.output import tell
from fieldvoice.commands.talk import Turn, new_talk
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import Hearing

if TYPE_CHECKING:
    from fieldvoice.ears import Ear


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@options.ear
@options.unit_or_jobs
@options.quiet
@options.as_json
def replay(files: Sequence[Path], ear: str | None, unit: str | None, *, quiet: bool, as_json: bool) -> int:
    """Take WAV files and text files (an utterance a line), in order, through a whole dialogue.

    Prints who said what and then the plan. The hanger's answers, such as yes, belong into the files.
    A file that can't be used is named and left out; the exit status is then 65.
    """
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.show.voice import open_voice

    voice = open_voice(tell, quiet=quiet or as_json)
    talk = new_talk()
    unusable = 0
    open_once = cache(lambda: _ears(ear))
    for file in files:
        try:
            for hearings in utterances(file, open_once):
                turns, says = talk.take(hearings, "hanger")
                show_turns(turns, as_json=as_json)
                for say in says:
                    voice.say(say.spoken)
        except BadInput as trouble:
            tell(f"fieldvoice: {trouble}")
            unusable = trouble.exit_status
    status = show_plans(talk, unit, as_json=as_json, transcript=True)
    return unusable or status


def _ears(name: str | None) -> tuple[Ear, ...]:
    from fieldvoice.commands.listening import open_ears

    return open_ears(name)


def utterances(file: Path, ears: Callable[[], tuple[Ear, ...]]) -> Iterator[Sequence[Hearing]]:
    """The hearings of each utterance in a file; ears are opened only where there is sound."""
    if is_sound(file):
        from fieldvoice.commands.listening import hear_file

        yield hear_file(ears(), file)
    else:
        yield from ([Hearing.typed(line)] for line in lines_of(file))


def show_turns(turns: Sequence[Turn], *, as_json: bool) -> None:
    """Who said what, as it is said."""
    if not as_json:
        for turn in turns:
            click.echo(turn.line())
