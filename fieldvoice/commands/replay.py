"""`replay`: recordings and lines of text, in order, through a whole dialogue; `demo`: the same of the main job, and a
small house, on the recordings that come with fieldvoice.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Any

import click

from fieldvoice.commands import options
from fieldvoice.commands.options import check_new, is_sound, lines_of, new_folder, write_new
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
from fieldvoice.errors import BadInput, BadUsage, NotHere
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Answer

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear
    from fieldvoice.output.voice import Voice
    from fieldvoice.records.room_plan import RoomPlan


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


PAPERS = ("house.pdf", "takeoff.csv", "boards.pdf")
"""What is printed of the house: its surfaces, what they take, and the boards of the wall that is called."""


class Scenario(StrEnum):
    """What is shown."""

    BOARD = "board"
    HOUSE = "house"


PLANNED = "planned"
"""The wall of the house that is gone to as it was planned, in the manifest of the recordings."""


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording of the demo's room and what its voice was given to say."""

    file: Path
    text: str


@dataclass(frozen=True, slots=True)
class Players:
    """What hears the recordings, what says the answers, and whether all of it is printed for programs."""

    ears: Sequence[Ear]
    voice: Voice
    as_json: bool


@click.command()
@click.argument("scenario", type=click.Choice([one.value for one in Scenario]), default=Scenario.BOARD.value)
@click.option("--papers", type=click.Path(file_okay=False, path_type=Path), help="The folder for the house's papers.")
@options.ear
@options.quiet
@options.as_json
def demo(scenario: str, papers: Path | None, ear: str | None, *, quiet: bool, as_json: bool) -> int:
    """Hear a board called on the shipped recordings, and cut it.

    With `house` a small house is planned from its file. A wall of the plan is gone to by its name and its boards are
    cut as they are next; then another is called by its sides and laid out on the spot, and its boards are cut, offcuts
    first. --papers prints all that a crew takes along: plans of the house, its take-off, the boards.

    The recordings go through a real recognizer. Where fieldvoice asks, the demo's hanger answers as people do: yes
    where it was heard right, and by typing it where it wasn't.
    """
    from fieldvoice.commands.recognizers import open_ears
    from fieldvoice.output.voice import open_voice

    chosen = Scenario(scenario)
    if papers is not None and chosen is not Scenario.HOUSE:
        raise BadUsage("The papers are the house's: run `fieldvoice demo house --papers FOLDER`.")
    if papers is not None:
        new_folder(papers)
        check_new(*(papers / name for name in PAPERS))
    house = _planned(as_json=as_json) if chosen is Scenario.HOUSE else None
    clips = tuple(demo_clips(chosen))
    talk = recorded_talk(demonstration=True)
    heard = Players(open_ears(ear, talk.unit), open_voice(tell, quiet=quiet or as_json), as_json=as_json)
    before = _planned_wall(heard) if house is not None else None
    _led(talk, clips, heard, chosen)
    if not as_json:
        show()
        if before is not None:
            show_plans(before, None, as_json=False)
    status = show_plans(talk, None, as_json=as_json, transcript=True, before=before)
    if papers is not None and house is not None:
        _print(papers, house, talk)
    return status


def _planned(*, as_json: bool) -> RoomPlan:
    """The house of the demo, planned from its file."""
    from fieldvoice import data_folder
    from fieldvoice.commands.planning import progress_told, read
    from fieldvoice.layout.planning import plan
    from fieldvoice.output.documents.rooms import sheets_lines
    from fieldvoice.wording.room import standing_text

    house = read(data_folder("houses") / "lake_house.toml")
    made = plan(house, progress=progress_told(house.unit))
    if not as_json:
        show("\n".join((f"{made.house.name}: {standing_text(made)}", *sheets_lines(made), "")))
    return made


def _planned_wall(heard: Players) -> Talk:
    """A wall of the planned house: gone to by its name, its boards cut as they are next."""
    from fieldvoice import data_folder
    from fieldvoice.commands.replay import show_turns

    talk = recorded_talk(demonstration=True)
    file = HouseFile.read(data_folder("houses") / "lake_house.toml")
    show_turns(take_house(talk, file, "partner")[0], as_json=heard.as_json)
    _led(talk, tuple(demo_clips(PLANNED)), heard, Scenario.HOUSE)
    if not heard.as_json:
        show()
    return talk


def _led(talk: Talk, clips: Sequence[Clip], heard: Players, scenario: Scenario) -> None:
    """The dialogue of the recordings; at the house the partner cuts each board as soon as its plan is settled."""
    from fieldvoice.commands.recognizers import report
    from fieldvoice.commands.replay import show_turns
    from fieldvoice.ears.listening import utterance

    for clip, after in zip(clips, (*clips[1:], None), strict=True):
        answered = after is not None and _is_answer(after.text)
        for turns, spoken in _exchange(talk, clip, utterance(heard.ears, clip.file, report)[0], answered=answered):
            show_turns(turns, as_json=heard.as_json)
            for line in spoken:
                heard.voice.say(line)
        if scenario is Scenario.HOUSE:
            show_turns(_cut(talk), as_json=heard.as_json)


def _cut(talk: Talk) -> Sequence[SaidLine]:
    """The partner reads the cautions of a board that is settled and ticks its steps, each once it is done."""
    from fieldvoice.dialogue.session import Session
    from fieldvoice.dialogue.view import in_hand
    from fieldvoice.wording.boards import partner_cut

    session = talk.session
    assert isinstance(session, Session)
    view = talk.session.view()
    if view.to_cut is None or view.ticked:
        return ()
    session.acknowledge(view, "partner")
    while in_hand(view := session.view()) is not None and session.tick(view, "partner") is not None:
        pass
    turn = SaidLine("partner", partner_cut(view.board, len(talk.session.view().ticked)))
    talk.turns.append(turn)
    return (turn,)


def _print(papers: Path, house: RoomPlan, talk: Talk) -> None:
    """Everything on paper: the house's surfaces and take-off, the wall that was called, and its boards."""
    from fieldvoice.commands.paper import pages_of
    from fieldvoice.commands.planning import printed
    from fieldvoice.output.room_work import room_work, takeoff_csv

    surfaces, takeoff, boards = (papers / name for name in PAPERS)
    work = room_work(house)
    write_new(surfaces, printed(house, work, "letter"))
    write_new(takeoff, takeoff_csv(work.quantities, house.unit).encode())
    write_new(boards, pages_of(talk.session.views()))


def _is_answer(text: str) -> bool:
    """Whether a recording says yes or no, in whatever words the language has for it."""
    from fieldvoice.language.understanding import understand

    return any(isinstance(meaning, Answer) for meaning in understand(text, Source.SPOKEN).meanings)


def _exchange(
    talk: Talk, clip: Clip, hearings: Sequence[Hearing], *, answered: bool
) -> Iterator[tuple[Sequence[SaidLine], Sequence[str]]]:
    """One recording and, where it was asked about or not taken, the answers, unless the next recording is one."""
    turns, says = talk.take(hearings, "hanger")
    yield turns, [say.spoken for say in says]
    for _ in range(MOST_ANSWERS):
        last = talk.session.view().last
        if last is None or answered or not (last.asks or last.refused):
            return
        answer = "yes" if last.asks and last.heard in {clip.text, "yes"} else clip.text
        turns, says = talk.take([Hearing.typed(answer)], "hanger")
        yield turns, [say.spoken for say in says]


MOST_ANSWERS = 4
"""The last read-back has a part more than once."""


def demo_clips(scenario: str = Scenario.BOARD) -> Iterator[Clip]:
    """The recordings of a demo in the order they are called. Raises `NotHere` where they are not installed."""
    from fieldvoice import data_folder

    folder = data_folder("audio_samples")
    try:
        lines = (folder / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    except OSError as trouble:
        raise NotHere(
            "The demo's recordings aren't installed. Install fieldvoice again, or run `fieldvoice type`."
        ) from trouble
    entries = [json.loads(line) for line in lines if line.strip()]
    called = sorted((place, entry["file"], entry["text"]) for entry in entries for place in _places(entry, scenario))
    yield from (Clip(folder / file, text) for _, file, text in called)


def _places(entry: Mapping[str, Any], scenario: str) -> Sequence[int]:
    """Where a recording is called, which may be more than once."""
    if scenario != Scenario.BOARD:
        return tuple(entry[scenario])
    return () if entry["demo"] is None else (entry["demo"],)
