"""`demo`: the main job, and a small house, on the recordings that come with fieldvoice."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import check_new, new_folder, write_new
from fieldvoice.commands.output import show, tell
from fieldvoice.commands.talk import HouseFile, SaidLine, Talk, recorded_talk, show_plans, take_house
from fieldvoice.errors import BadUsage, NotHere
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.orders import Answer

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear
    from fieldvoice.output.voice import Voice
    from fieldvoice.records.room_plan import RoomPlan


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
    from fieldvoice.wording.drafts import partner_cut

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
