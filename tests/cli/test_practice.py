"""Practice: ten calls measured through real recognizers, from recordings in place of a microphone."""

from __future__ import annotations

import json
import shutil
import wave
from pathlib import Path

import pytest

from fieldvoice import data_folder
from fieldvoice.language.choosing import choose
from fieldvoice.language.verdict import Expectation, Kind, kind_of
from fieldvoice.practice import CALLS, tried
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from tests.cli.program import fieldvoice

SAMPLES = data_folder("audio_samples")


def recorded(folder: Path) -> Path:
    """Eight of the calls as they are recorded, silence for the ninth, and another reading in place of the tenth."""
    entries = [json.loads(line) for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()]
    clean = {entry["text"]: entry["file"] for entry in entries if entry["snr_db"] is None}
    for number, call in enumerate(CALLS):
        target = folder / f"{number}.wav"
        if call in clean:
            shutil.copy(SAMPLES / clean[call], target)
        elif number == len(CALLS) - 1:
            shutil.copy(SAMPLES / clean[CALLS[0]], target)
        else:
            with wave.open(str(target), "wb") as silence:
                silence.setnchannels(1)
                silence.setsampwidth(2)
                silence.setframerate(16_000)
                silence.writeframes(bytes(32_000))
    return folder


def test_ten_calls_are_counted_as_they_were_taken(tmp_path: Path) -> None:
    """Right, asked again, and the one that was silently something else, which is named."""
    ran = fieldvoice("practice", "--from", str(recorded(tmp_path)), "--json")
    assert ran.status == 0
    calls = json.loads(ran.out)["calls"]
    taken = [each["taken"] for each in calls]
    assert set(taken[:8]) <= {"right", "asked"}
    assert taken.count("right") >= 6
    assert taken[8:] == ["asked", "wrong"]
    assert all(each["seconds"] > 0 for each in calls[:8])
    assert all(-96 <= each["noise_db"] < -20 for each in calls)
    assert calls[9]["heard"] == CALLS[0]


def test_the_summary_says_what_went_wrong(tmp_path: Path) -> None:
    """For people: the counts, then each call that wasn't right."""
    ran = fieldvoice("practice", "--from", str(recorded(tmp_path)))
    right, asked = (ran.err.count(f"”: {taken}") for taken in ("right", "asked"))
    assert ran.out.startswith(f"{right} of 10 right, {asked} asked again, 1 taken for something else")
    assert right >= 6
    assert "Noise between the words: -" in ran.out
    assert f"wrong: “{CALLS[9]}”, heard as “{CALLS[0]}”" in ran.out
    assert "watching the read-back" in ran.out


def test_too_few_recordings_are_not_measured(tmp_path: Path) -> None:
    """What to record is said."""
    ran = fieldvoice("practice", "--from", str(tmp_path))
    assert ran.status == 65
    assert "holds 0 WAVs" in ran.err
    assert CALLS[9] in ran.err


@pytest.mark.slow
def test_with_a_yes_the_recordings_are_kept_and_fitted_to_and_one_command_takes_it_back(tmp_path: Path) -> None:
    """Whether the fit itself was worth keeping or not: that is told, and the change is there or isn't."""
    folder = tmp_path / "calls"
    folder.mkdir()
    data = str(tmp_path / "data")
    ran = fieldvoice(
        "practice", "--from", str(recorded(folder)), "--json", "--keep", "--device", "usb", XDG_DATA_HOME=data
    )
    fit = json.loads(ran.out)["fit"]
    assert 6 <= sum(fit["held_back"]["before"].values()) <= 8, "a short answer may be made out as another word for it"
    assert ("stays as it was" in ran.err) != fit["kept"]
    where = tmp_path / "data" / "fieldvoice" / "voice"
    assert (where / "change.npz").exists() == fit["kept"]
    assert 0 <= fit["likelier"] <= 8
    assert len(list((where / "clips").glob("*.wav"))) == 10
    assert str(where) in fieldvoice("practice", "--forget", XDG_DATA_HOME=data).err
    assert not where.exists()
    assert "Nothing of your voice" in fieldvoice("practice", "--forget", XDG_DATA_HOME=data).err


def test_a_fit_is_kept_for_a_microphone_with_a_name_alone(tmp_path: Path) -> None:
    """Recordings don't tell which one they came through; nothing is heard before that is said."""
    ran = fieldvoice("practice", "--from", str(recorded(tmp_path)), "--keep")
    assert ran.status == 2
    assert "--device" in ran.err
    assert "1 of 10" not in ran.err


def test_the_calls_hold_what_the_verdict_is_strictest_about() -> None:
    """An answer of either kind, word of a circuit, and a teen with its ten; each is understood as one meaning."""
    kinds = [kind_of(choose(Hearing((Hypothesis(call, 1.0),), "")), Expectation(answer=True)) for call in CALLS]
    assert {Kind.YES, Kind.NO, Kind.CIRCUIT, Kind.TWIN, Kind.PLAIN} <= set(kinds)
    assert {"bottom thirteen", "bottom thirty"} <= set(CALLS)


def test_a_yes_is_tried_as_where_one_was_asked_for() -> None:
    """In a session it follows a question; unasked the verdict takes none."""
    yes = [
        Hearing((Hypothesis("yes", 0.9999),), "", kind=EarKind.READING, encoder="a"),
        Hearing((Hypothesis("yes", 0.999),), "", kind=EarKind.WHISPER, encoder="a", log_probability=-0.1),
    ]
    assert tried("yes", yes).taken == "right"
    assert tried("no", yes).taken == "wrong"


def test_without_a_yes_nothing_is_kept(tmp_path: Path) -> None:
    """In a pipe nobody can be asked."""
    folder = tmp_path / "calls"
    folder.mkdir()
    ran = fieldvoice("practice", "--from", str(recorded(folder)), XDG_DATA_HOME=str(tmp_path / "data"))
    assert ran.status == 0
    assert not (tmp_path / "data").exists()
