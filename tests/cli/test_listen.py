"""The live session with a microphone, an ear and a voice that stand in: shut while it speaks, and the sound kept."""

from __future__ import annotations

import wave
from collections import deque
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click
import numpy as np
import pytest
from click.testing import CliRunner

from fieldvoice.commands.job import jobs
from fieldvoice.commands.listen import listen
from fieldvoice.commands.replay import demo_clips, replay
from fieldvoice.commands.talk import Aloud
from fieldvoice.dialogue.session import Session
from fieldvoice.ears.microphone import Level
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.wav import audio_folder, read_wav
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.jobs import view
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.voice import Cue, Silent
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.length import Unit
from fieldvoice.records.said import Manner, Say

SAID = Hearing((Hypothesis("top forty six", 1.0),), "parrot")


class Room:
    """A microphone in a room, where what fieldvoice says is heard as well."""

    name = "Room"

    def __init__(self, *_: Any) -> None:
        voiced = read_wav(next(demo_clips()).file).frames
        self.voiced = np.concatenate([voiced, np.zeros(2 * RATE, np.int16)])
        self.coming = deque(np.array_split(self.voiced, 40))
        self.skipped = 0
        self.units = list[Unit]()
        self.level = Level(-20.0, clipping=False)

    def blocks(self) -> Iterator[Frames]:
        """What comes in until there is no more."""
        while self.coming:
            yield self.coming.popleft()

    def skip(self) -> None:
        """Forgets what came in."""
        self.skipped += len(self.coming)
        self.coming.clear()

    def close(self) -> None:
        """Nothing is held."""


class Parrot:
    """An ear that hears one fixed thing in any sound, and notes the job's unit when it is heard."""

    name, kind = "parrot", EarKind.VOSK

    def __init__(self, unit: Callable[[], Unit], units: list[Unit]) -> None:
        self.unit, self.units = unit, units

    def reset(self) -> None:
        """Nothing is held."""

    def feed(self, _frames: Frames) -> str:
        """The words so far."""
        return SAID.words

    def so_far(self) -> str:
        """The fixed words."""
        return SAID.words

    def silent(self, _frames: Frames | None = None) -> bool:
        """It can't tell."""
        return False

    def finish(self) -> Hearing:
        """The fixed words."""
        self.units.append(self.unit())
        return SAID


class Loud(Silent):
    """A voice that the room's microphone hears; `session` is tried while it speaks."""

    def __init__(self, room: Room, session: Session | None = None) -> None:
        self.room, self.session, self.said = room, session, list[str]()

    def beep(self, sound: Cue) -> bool:
        """Played into the room; the sound for listening comes before anybody there says anything."""
        if sound is Cue.LISTENING:
            self.said.append("listening")
            return False
        return self.say(sound.name.lower())

    def speak_as(self, _manner: Manner) -> None:
        """It is loud anyway."""

    def say(self, line: str) -> bool:
        """Said into the room."""
        self.said.append(line)
        self.room.coming.extend(np.array_split(self.room.voiced, 40))
        if self.session is not None:
            assert self.session.muted
            assert self.session.take(SAID, "hanger") == ()
        return True


def test_the_microphone_is_shut_while_it_speaks() -> None:
    """What comes in meanwhile isn't taken, and is forgotten once it is said; a sound comes before the words."""
    session, room = Session(MemoryJournal()), Room()
    room.coming.clear()
    voice = Loud(room, session)
    Aloud(voice, session, room).say((Say("46", "four six"), Say("47", "four seven"), Say("shown only", "")))
    assert voice.said == ["taken", "four six", "four seven"]
    assert room.skipped == 120
    assert not session.muted
    assert session.take(SAID, "hanger") != ()


def test_a_question_sounds_as_one() -> None:
    """Waiting for an answer is told from taken without a word; listening from both."""
    session, room = Session(MemoryJournal()), Room()
    aloud = Aloud(voice := Loud(room), session, room)
    aloud.ready()
    aloud.say(session.take(Hearing.typed("forty seven eighths"), "hanger"))
    assert voice.said[:2] == ["listening", "waiting"]


def test_where_nothing_is_heard_nothing_is_skipped() -> None:
    """With --quiet, or with nothing to say, what came in meanwhile is the hanger's next reading."""
    session, room = Session(MemoryJournal()), Room()
    Aloud(Silent(), session, room).say((Say("46", "four six"),))
    Aloud(Loud(room), session, room).say(())
    assert room.skipped == 0
    assert len(room.coming) == 40


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> Room:
    """The command's microphone, ear and voice replaced."""
    room = Room()
    monkeypatch.setattr("fieldvoice.ears.microphone.device_name", lambda _: room.name)
    monkeypatch.setattr("fieldvoice.ears.microphone.Microphone", lambda *_: room)
    monkeypatch.setattr(
        "fieldvoice.commands.recognizers.open_ears", lambda _, unit, *__, **___: (Parrot(unit, room.units),)
    )
    monkeypatch.setattr("fieldvoice.output.voice.open_voice", lambda *_, quiet: Silent() if quiet else Loud(room))
    return room


def heard(path: Path) -> list[Any]:
    """The bodies of what was heard, from the job's file."""
    with view(path) as journal:
        bodies: list[Any] = [entry.body for entry in journal.entries()]
        events = [event for body in bodies for event in body["events"]]
        return [event["Heard"] for event in events if "Heard" in event]


def test_listen_does_not_take_its_own_voice(room: Room, tmp_path: Path) -> None:
    """The read-back sounds as loud as the hanger, and only the hanger is heard."""
    path = tmp_path / "kitchen.job"
    assert listen.main(["--job", str(path)], standalone_mode=False) == 0
    assert room.skipped >= 40
    (body,) = heard(path)
    assert body["words"] == "top forty six"
    assert "sound" not in body


@pytest.mark.parametrize("command", [listen, replay])
def test_what_is_heard_is_of_the_jobs_unit(room: Room, tmp_path: Path, command: click.Command) -> None:
    """A job that was switched to millimeters earlier is heard in millimeters, on the microphone and in recordings."""
    path, clip, lines = tmp_path / "kitchen.job", next(demo_clips()).file, tmp_path / "lines.txt"
    lines.write_text("work in millimeters\nyes\n")
    replay.main([str(lines), "--job", str(path), "--quiet"], standalone_mode=False)
    files = [str(clip)] if command is replay else []
    command.main([*files, "--job", str(path), "--quiet"], standalone_mode=False)
    assert set(room.units) == {Unit.MM}


def test_listen_keeps_the_sound_of_each_utterance(room: Room, tmp_path: Path) -> None:
    """A WAV beside the job, which the entry names, with what was said in it; the check looks for it."""
    path = tmp_path / "kitchen.job"
    listen.main(["--job", str(path), "--keep-audio", "--quiet"], standalone_mode=False)
    bodies = heard(path)
    assert bodies
    for body in bodies:
        with wave.open(str(audio_folder(path) / body["sound"])) as sound:
            frames = np.frombuffer(sound.readframes(sound.getnframes()), "<i2")
        assert 0.5 * RATE < len(frames) <= len(room.voiced)
        assert frames.max() > 1000
    assert CliRunner().invoke(jobs, ["check", "--job", str(path)]).exit_code == 0
    (audio_folder(path) / bodies[0]["sound"]).unlink()
    checked = CliRunner().invoke(jobs, ["check", "--job", str(path)])
    assert checked.exit_code == BadInput.exit_status
    assert f"the sound of entry 2, {bodies[0]['sound']}, isn't in" in checked.stdout


def test_replay_keeps_the_sound_beside_the_job(room: Room, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same samples as in the recording; typed lines have none."""
    assert room.coming
    path, clip, lines = tmp_path / "kitchen.job", next(demo_clips()).file, tmp_path / "lines.txt"
    lines.write_text("bottom 45\n")
    replay.main([str(clip), str(lines), "--job", str(path), "--keep-audio", "--quiet"], standalone_mode=False)
    assert "top forty six" in capsys.readouterr().out
    spoken, typed = heard(path)
    with wave.open(str(audio_folder(path) / spoken["sound"])) as sound:
        assert sound.readframes(10**7) == read_wav(clip).frames.tobytes()
    assert "sound" not in typed


def test_replay_without_a_job_has_nowhere_to_keep_sound(tmp_path: Path) -> None:
    """Said, rather than passed over."""
    with pytest.raises(BadUsage, match="--job"):
        replay.main([str(tmp_path / "a.wav"), "--keep-audio"], standalone_mode=False)
    assert list(tmp_path.iterdir()) == []
