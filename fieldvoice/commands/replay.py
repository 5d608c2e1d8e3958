"""`replay`: recordings and lines of text, in order, through a whole dialogue."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import is_sound, lines_of
from fieldvoice.commands.output import show, tell
from fieldvoice.commands.page import Wanted, partner_page, with_page
from fieldvoice.commands.talk import (
    HouseFile,
    SaidLine,
    Talk,
    open_job,
    recorded_talk,
    show_plans,
    take_house,
    with_sound,
)
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@options.ear
@options.unit_or_jobs
@options.house("The walls and ceilings of a house planned with `fieldvoice room` are there from the beginning.")
@click.option("--job", type=options.File(), help="Keep the dialogue in this job's file.")
@options.keep_audio
@options.quiet
@options.as_json
@with_page
def replay(
    files: Sequence[Path],
    ear: str | None,
    unit: str | None,
    job: Path | None,
    house: Path | None,
    *,
    keep_audio: bool,
    quiet: bool,
    as_json: bool,
    wanted: Wanted,
) -> int:
    """Take WAV and text files, in order, through a whole dialogue.

    Each line of a text file is an utterance. A WAV of up to ten seconds is one utterance; a longer one, of any length,
    is cut at its pauses.

    Prints who said what and then the plan. The hanger's answers, such as yes, belong in the files.
    A file that can't be used is named and left out; the exit status is then 65.
    Without --job nothing is kept. With --page the job is shown as it goes, and afterward until Ctrl-C.
    """
    from fieldvoice.output.voice import open_voice

    if keep_audio and job is None:
        raise BadUsage("--keep-audio keeps the sound beside a job: name the job's file with --job.")
    planned = HouseFile.read(house)
    voice = open_voice(tell, quiet=quiet or as_json)
    unusable = 0
    with _talk(job) as talk, _shown(wanted, talk, job) as changed:
        open_once = cache(lambda: _ears(ear, talk.unit))
        show_turns(take_house(talk, planned, "partner")[0], as_json=as_json)
        for file in files:
            try:
                for hearings in utterances(file, open_once, talk.unit, job if keep_audio else None):
                    turns, says = talk.take(hearings, "hanger")
                    changed()
                    show_turns(turns, as_json=as_json)
                    for say in says:
                        voice.say(say.spoken)
            except BadInput as trouble:
                tell(f"fieldvoice: {trouble}")
                unusable = trouble.exit_status
        status = show_plans(talk, unit, as_json=as_json, transcript=True)
        if wanted.page:
            _until_interrupted()
    return unusable or status


@contextmanager
def _shown(wanted: Wanted, talk: Talk, job: Path | None) -> Iterator[Callable[[], None]]:
    """The page of a dialogue; the links to one that isn't kept aren't kept either."""
    from tempfile import TemporaryDirectory

    from fieldvoice.dialogue.session import Session

    assert isinstance(talk.session, Session)
    with TemporaryDirectory() as folder, partner_page(wanted, talk.session, job or Path(folder, "replay")) as changed:
        yield changed


def _until_interrupted() -> None:
    """Leaves the page where it is until Ctrl-C."""
    with suppress(KeyboardInterrupt):
        Event().wait()


@contextmanager
def _talk(job: Path | None) -> Iterator[Talk]:
    """A dialogue kept in that job, else one that leaves nothing on disk."""
    if job is None:
        yield recorded_talk()
        return
    from fieldvoice.dialogue.session import Session

    with open_job(job) as log:
        yield Talk(Session(log, present=False))


def _ears(name: str | None, unit: Callable[[], Unit]) -> tuple[Ear, ...]:
    from fieldvoice.commands.recognizers import open_ears

    return open_ears(name, unit)


def utterances(
    file: Path, ears: Callable[[], tuple[Ear, ...]], unit: Callable[[], Unit], keep: Path | None = None
) -> Iterator[Sequence[Hearing]]:
    """The hearings of each utterance in a file; ears are opened only where there is sound, which is kept beside the
    job `keep` where there is one. `unit` tells the job's unit of now. Raises `BadInput` for a file that can't be used,
    or in which nobody speaks.
    """
    if not is_sound(file):
        yield from ([Hearing.typed(line)] for line in lines_of(file))
        return
    from fieldvoice.commands.recognizers import report
    from fieldvoice.ears import listening
    from fieldvoice.language.outlook import outlook

    for hearings, frames in listening.utterances(file, ears, lambda words: outlook(words, unit()), report):
        yield with_sound(hearings, frames.tobytes(), keep) if keep is not None else hearings


def show_turns(turns: Sequence[SaidLine], *, as_json: bool) -> None:
    """Who said what, as it is said."""
    if not as_json:
        for turn in turns:
            show(turn.line())
