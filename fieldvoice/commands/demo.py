"""`demo`: the main job on the recordings that come with fieldvoice."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import show, tell
from fieldvoice.commands.talk import SaidLine, Talk, recorded_talk
from fieldvoice.errors import NotHere
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.meaning import Answer


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording of the demo's room and what its voice was given to say."""

    file: Path
    text: str


@click.command()
@options.ear
@options.quiet
@options.as_json
def demo(ear: str | None, *, quiet: bool, as_json: bool) -> int:
    """Hear a board called out on the shipped recordings, answer, and print how to cut it.

    The recordings go through a real recognizer. Where fieldvoice asks, the hanger of the demo answers as people do: yes
    where it was heard right, and by repeating it on the keyboard where it wasn't.
    """
    from fieldvoice.commands.plans import show_plans
    from fieldvoice.commands.recognizers import open_ears, report
    from fieldvoice.commands.replay import show_turns
    from fieldvoice.ears.recorded import utterance
    from fieldvoice.output.voice import open_voice

    clips = tuple(demo_clips())
    talk = recorded_talk(demonstration=True)
    ears = open_ears(ear, talk.unit)
    voice = open_voice(tell, quiet=quiet or as_json)
    for clip, after in zip(clips, (*clips[1:], None), strict=True):
        answered = after is not None and _is_answer(after.text)
        for turns, spoken in _exchange(talk, clip, utterance(ears, clip.file, report)[0], answered=answered):
            show_turns(turns, as_json=as_json)
            for line in spoken:
                voice.say(line)
    if not as_json:
        show()
    return show_plans(talk, None, as_json=as_json, transcript=True)


def _is_answer(text: str) -> bool:
    """Whether a recording says yes or no, in whatever words the language has for it."""
    from fieldvoice.language import understand

    return any(isinstance(meaning, Answer) for meaning in understand(text, Source.SPOKEN).meanings)


def _exchange(
    talk: Talk, clip: Clip, hearings: Sequence[Hearing], *, answered: bool
) -> Iterator[tuple[Sequence[SaidLine], Sequence[str]]]:
    """One recording and, where it was asked about or not taken, the answer, unless the next recording is one."""
    turns, says = talk.take(hearings, "hanger")
    yield turns, [say.spoken for say in says]
    last = talk.look().last
    if last is None or answered or not (last.asks or last.refused):
        return
    answer = "yes" if last.asks and last.heard == clip.text else clip.text
    turns, says = talk.take([Hearing.typed(answer)], "hanger")
    yield turns, [say.spoken for say in says]


def demo_clips() -> Iterator[Clip]:
    """The recordings of the demo in the order they are called. Raises `NotHere` where they are not installed."""
    from fieldvoice.resources import data_folder

    folder = data_folder("audio_samples")
    try:
        lines = (folder / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    except OSError as trouble:
        raise NotHere(
            "The demo's recordings aren't installed. Install fieldvoice again, or run `fieldvoice type`."
        ) from trouble
    entries = [json.loads(line) for line in lines if line.strip()]
    called = sorted((entry for entry in entries if entry.get("demo")), key=lambda entry: int(entry["demo"]))
    yield from (Clip(folder / entry["file"], entry["text"]) for entry in called)
