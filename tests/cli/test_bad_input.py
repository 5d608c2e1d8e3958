"""Bad input, through the program as a person runs it: each its own sentence with what to do next, and no traceback."""

from __future__ import annotations

import json
import re
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr

from fieldvoice import data_folder
from fieldvoice.ears.wav import read_wav
from tests.cli.program import fieldvoice

BOARD = """\
# a board of our own scenario
right edge wall
left edge last board
top 46 7/8
middle 46 3/4
bottom 46 1/4
height left 95 1/2
height middle 95 1/2
height right 95 1/2
"""


def cut(lines: str, *options: str) -> tuple[int, str, str]:
    """`fieldvoice cut` of those lines."""
    ran = fieldvoice("cut", *options, "-", stdin=lines.encode())
    return ran.status, ran.out, ran.err


def test_a_board_is_cut() -> None:
    """The hand-made board: 46 3/4 at the top, 46 1/8 at the bottom, 5/16 open at the middle."""
    status, out, _ = cut(BOARD, "--json")
    (board,) = json.loads(out)["boards"]
    taper = next(each for each in board["cuts"] if each["edge"] == "right")
    assert [(mark["at"], mark["mark"]) for mark in taper["marks"]] == [("top", "46 3/4"), ("bottom", "46 1/8")]
    assert {"edge": "right", "at": "middle", "gap": "5/16"} in board["proof"]["gaps"]
    assert board["proof"]["ok"] is True
    assert status == 0


def test_the_checklist_has_its_cautions_before_its_marks() -> None:
    """The same board for a person."""
    status, out, _ = cut(BOARD)
    assert status == 0
    assert out.index("CAUTIONS FIRST") < out.index("RIGHT EDGE") < out.index("STEPS")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("top forty six and nine eighths", "9/8"),
        ("top forty six and three fifths", "3/5"),
        ("forty seven eighths", "unclear"),
        ("the weather is fine", "refused"),
    ],
)
def test_a_line_that_cannot_be_taken_is_named(line: str, told: str) -> None:
    """Exit status 1, the line's number and its words, and no board."""
    status, out, err = cut(f"right edge wall\n{line}\n", "--json")
    document = json.loads(out)
    assert status == 1
    assert document["boards"] == []
    assert document["why"].startswith(f"Line 2, “{line}”")
    assert told in document["why"]
    assert err == ""


def test_a_missing_reading_is_named() -> None:
    """A width alone makes no board: the document says what is still needed."""
    status, out, _ = cut("top 46 7/8\n", "--json")
    document = json.loads(out)
    assert status == 1
    assert "still needed" in document["why"] or "no plan" in document["why"]


def test_a_reading_larger_than_any_sheet_makes_no_plan() -> None:
    """No sheet is 300 inches wide."""
    status, out, _ = cut(BOARD.replace("46 7/8", "300").replace("46 3/4", "300").replace("46 1/4", "300"), "--json")
    document = json.loads(out)
    assert status == 1
    assert document["why"]
    assert all(board["so_far"] for board in document["boards"])


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "holds no calls"),
        (b"\n\n# only a note\n", "holds no calls"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"a\0b", "binary"),
    ],
)
def test_an_unusable_text_file(content: bytes, told: str, tmp_path: Path) -> None:
    """Exit status 65 and a sentence that says what to give instead."""
    file = tmp_path / "lines.txt"
    file.write_bytes(content)
    for command in ("cut", "replay"):
        ran = fieldvoice(command, str(file))
        assert ran.status == 65
        assert told in ran.err


def test_a_folder_is_named_as_one(tmp_path: Path) -> None:
    """Whatever wants a text."""
    for command in (("cut",), ("room",), ("stock",), ("parse", "--from")):
        ran = fieldvoice(*command, str(tmp_path))
        assert (ran.status, ran.err) == (
            65,
            f"fieldvoice: {tmp_path} is a folder, so nothing was read from it. Name a file.\n",
        )


@pytest.mark.parametrize(
    ("typed", "meant"), [("typ", "type"), ("lisen", "listen"), ("doctr", None), ("print2", "print")]
)
def test_a_command_that_is_none_is_answered_with_the_nearest(typed: str, meant: str | None) -> None:
    """Where there is one."""
    ran = fieldvoice(typed)
    assert ran.status == 2
    assert (f"Did you mean '{meant}'?" in ran.err) is (meant is not None)
    assert ("Did you mean" in ran.err) is (meant is not None)


def test_no_recognizer_is_made_ready_for_what_is_no_recording(tmp_path: Path) -> None:
    """Each file is told, and nothing else: loading takes seconds."""
    (tmp_path / "calls.txt").write_text(BOARD)
    ran = fieldvoice("recording", str(tmp_path / "calls.txt"), str(tmp_path / "none.wav"))
    told = ran.err.splitlines()
    assert (ran.status, len(told), ran.out) == (65, 2, "")
    assert "calls.txt is not a WAV recording" in told[0]
    assert "none.wav" in told[1]


def test_an_empty_folder_of_jobs_is_told(tmp_path: Path) -> None:
    """On standard error: there is nothing to list."""
    ran = fieldvoice("job", "list", "--folder", str(tmp_path))
    assert (ran.status, ran.out) == (0, "")
    assert ran.err == f"No job is kept in {tmp_path}. Start one with `fieldvoice listen` or `fieldvoice type`.\n"


def test_a_file_that_is_not_there() -> None:
    """The name is in the sentence."""
    for arguments in (["cut", "nowhere.txt"], ["parse", "--from", "nowhere.txt"], ["recording", "nowhere.wav"]):
        ran = fieldvoice(*arguments)
        assert ran.status == 65
        assert "nowhere" in ran.err


def recording(file: Path, *, rate: int = 16_000, seconds: float = 1, channels: int = 1) -> Path:
    """A WAV of silence."""
    with wave.open(str(file), "wb") as sound:
        sound.setnchannels(channels)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes(bytes(2 * channels * round(rate * seconds)))
    return file


def test_recordings_that_cannot_be_used(tmp_path: Path) -> None:
    """Empty, cut off, too low a rate, two hours long, no WAV at all: each has its own sentence, all in one run."""
    (tmp_path / "empty.wav").write_bytes(b"")
    whole = recording(tmp_path / "whole.wav").read_bytes()
    (tmp_path / "short.wav").write_bytes(whole[: len(whole) // 2])
    recording(tmp_path / "slow.wav", rate=4_000)
    recording(tmp_path / "long.wav", rate=8_000, seconds=7_200)
    (tmp_path / "text.wav").write_text("top forty six")
    names = ["empty", "short", "slow", "long", "text"]
    ran = fieldvoice("recording", "--json", *(str(tmp_path / f"{name}.wav") for name in names))
    assert ran.status == 65
    assert ran.out == ""
    for name, told in zip(names, ["is empty", "cut off", "4000", "2.0 hours", "not a WAV"], strict=True):
        (sentence,) = [line for line in ran.err.splitlines() if f"{name}.wav" in line]
        assert told in sentence


def test_silence_and_stereo_are_heard_and_refused_not_guessed(tmp_path: Path) -> None:
    """Stereo at 44.1 kHz is taken; a second of silence holds no reading."""
    file = recording(tmp_path / "stereo.wav", rate=44_100, channels=2)
    ran = fieldvoice("recording", "--json", str(file))
    document = json.loads(ran.out)
    assert ran.status == 1
    assert document["status"] == "refused"
    assert document["meanings"] == []
    assert document["why"]


def music(seconds: float = 6.0) -> np.ndarray:
    """A tune in chords with a beat under it, of our own: loud, with the rhythm of speech and no word in it."""
    time = np.arange(round(16_000 * seconds)) / 16_000
    notes = np.array([0, 4, 7, 12, 9, 5, 2, 7, 11, 4, 0, 7])[(time * 4).astype(int) % 12]
    tune = sum(np.sin(2 * np.pi * 220 * 2 ** ((notes + third) / 12) * time) for third in (0, 4, 7))
    beat = np.exp(-((time * 2) % 1) * 12) * np.random.default_rng(1).normal(0, 1, len(time))
    return np.asarray(0.2 * tune * (0.6 + 0.4 * np.cos(2 * np.pi * 4 * time)) + 0.2 * beat)


def test_every_usual_kind_of_recording_is_heard_alike(tmp_path: Path) -> None:
    """8, 24 and 32 bit, float, 8 to 96 kHz, stereo: the same reading from each."""
    frames = read_wav(data_folder("audio_samples") / "06-middle-forty-one-and.wav").frames / 32768
    kinds = [
        ("PCM_U8", 16_000, 1),
        ("PCM_24", 48_000, 2),
        ("PCM_32", 44_100, 1),
        ("FLOAT", 96_000, 2),
        ("PCM_16", 8_000, 1),
    ]
    files = []
    for number, (kind, rate, channels) in enumerate(kinds):
        file = tmp_path / f"{number}.wav"
        sound = soxr.resample(frames, 16_000, rate)
        soundfile.write(file, np.stack([sound] * channels, 1), rate, kind)
        files.append(str(file))
    ran = fieldvoice("recording", "--json", *files)
    assert ran.status == 0
    heard = [json.loads(line)["heard"] for line in ran.out.splitlines()]
    assert heard == ["middle forty one and an eighth"] * len(kinds)


def test_music_is_refused_and_clipping_is_said(tmp_path: Path) -> None:
    """A tune holds no reading; a recording at the end of the scale is told to be too loud, whatever was heard in it."""
    soundfile.write(tmp_path / "music.wav", music(), 16_000)
    frames = read_wav(data_folder("audio_samples") / "06-middle-forty-one-and.wav").frames / 32768
    soundfile.write(tmp_path / "loud.wav", np.clip(40 * frames, -1, 1), 16_000)
    ran = fieldvoice("recording", "--json", str(tmp_path / "music.wav"), str(tmp_path / "loud.wav"))
    assert ran.status in {0, 1}
    tune, loud = (json.loads(line) for line in ran.out.splitlines())
    assert tune["status"] == "refused"
    assert tune["meanings"] == []
    assert "loud.wav is too loud" in ran.err
    assert "music.wav is too loud" not in ran.err
    assert loud["meanings"] == [] or loud["meanings"][0]["value"] == "41 1/8"


def test_what_was_said_before_a_bad_file_is_kept(tmp_path: Path) -> None:
    """A replay goes on after a recording that can't be used, and still says 65."""
    lines = tmp_path / "board.txt"
    lines.write_text(BOARD)
    (tmp_path / "empty.wav").write_bytes(b"")
    ran = fieldvoice("replay", "--json", str(tmp_path / "empty.wav"), str(lines))
    document = json.loads(ran.out)
    assert ran.status == 65
    assert "empty.wav is empty" in ran.err
    assert document["boards"][0]["proof"]["ok"] is True
    assert {turn["who"] for turn in document["transcript"]} == {"hanger", "fieldvoice"}


def test_a_recognizer_without_its_model_is_69(tmp_path: Path) -> None:
    """The sentence says how to get the model."""
    file = recording(tmp_path / "a.wav")
    ran = fieldvoice("recording", "--ear", "vosk", str(file), XDG_CACHE_HOME=str(tmp_path), FIELDVOICE_MODELS="")
    assert ran.status == 69
    assert "fieldvoice model" in ran.err


def test_a_typed_session_goes_on_where_it_was_left(tmp_path: Path) -> None:
    """Two runs on one job make one board; `print` reads it without changing it."""
    job = str(tmp_path / "kitchen.job")
    first, second = BOARD.splitlines()[:4], BOARD.splitlines()[4:]
    begun = fieldvoice("type", "--quiet", "--job", job, stdin="\n".join(first[1:]).encode())
    assert begun.status == 1
    ended = fieldvoice("type", "--quiet", "--json", "--job", job, stdin="\n".join([*second, "done"]).encode())
    assert ended.status == 0
    assert json.loads(ended.out)["boards"][0]["proof"]["ok"] is True
    printed = fieldvoice("print", "--job", job)
    assert printed.status == 0
    assert "RIGHT EDGE" in printed.out
    assert printed.out.isascii()


def test_nothing_to_print_says_how_to_start(tmp_path: Path) -> None:
    """A job that isn't there is 69 with the way to make one."""
    ran = fieldvoice("print", "--job", str(tmp_path / "none.job"))
    assert ran.status == 69
    assert "fieldvoice type" in ran.err


def test_parse_from_a_file_gives_a_document_a_line(tmp_path: Path) -> None:
    """One JSON document a line, also for lines that are refused."""
    file = tmp_path / "lines.txt"
    file.write_text("top forty six and seven eighths\nnine eighths\n")
    ran = fieldvoice("parse", "--json", "--from", str(file))
    first, second = (json.loads(line) for line in ran.out.splitlines())
    assert first["meanings"][0]["value"] == "46 7/8"
    assert second["status"] == "refused"
    assert ran.status == 1


def test_parse_wants_words_or_a_file() -> None:
    """Neither, or both, is a wrong command line."""
    assert fieldvoice("parse").status == 2
    assert fieldvoice("parse", "--from", "x", "words").status == 2


def test_a_job_that_cannot_be_kept_says_so_and_goes_on(tmp_path: Path) -> None:
    """Where the job's folder can't be made, the session goes on in memory and standard error says so."""
    (tmp_path / "file").write_text("in the way")
    ran = fieldvoice("type", "--quiet", "--job", str(tmp_path / "file" / "a.job"), stdin=b"top forty six\n")
    assert ran.status == 65
    assert "in memory only" in ran.err
    assert "Width, top: 46." in ran.out


PLACES = ("folder", "circle", "loose", "missing", "empty", "noise", "long")
READERS = (
    ("cut",),
    ("room",),
    ("stock",),
    ("parse", "--from"),
    ("job", "import"),
    ("fastening", "--check"),
    ("practice", "--from"),
    ("type", "--quiet", "--job"),
    ("type", "--quiet", "--house"),
    ("print", "--job"),
    ("job", "show", "--job"),
    ("job", "check", "--job"),
)


def _each_in_turn() -> list[object]:
    """Every reader at some place and every place with some readers; all of each with all of the other take a minute."""
    pairs = [(place, reader) for place in range(len(PLACES)) for reader in range(len(READERS))]
    usual = {(place, reader) for place, reader in pairs if (place + reader) % 4 == 0}
    return [
        pytest.param(PLACES[one[0]], READERS[one[1]], marks=() if one in usual else pytest.mark.slow) for one in pairs
    ]


@pytest.mark.parametrize(("place", "reader"), _each_in_turn())
def test_no_file_makes_a_command_fail_as_by_a_fault_of_its_own(
    tmp_path: Path, place: str, reader: tuple[str, ...]
) -> None:
    """Whatever is at that name, and whoever reads it: a sentence about the file, and no status of a fault."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "circle").symlink_to("circle")
    (tmp_path / "loose").symlink_to("nowhere")
    (tmp_path / "empty").touch()
    (tmp_path / "noise").write_bytes(bytes(range(256)) * 40)
    file = tmp_path / (place if place != "long" else "x" * 300)
    ran = fieldvoice(*reader, str(file), XDG_DATA_HOME=str(tmp_path / "data"), HOME=str(tmp_path))
    assert ran.status in {0, 1, 2, 65, 69}, ran
    assert not re.search(r"not TOML: (Is a|No such|File name|Too many)", ran.err), ran
    if reader[0] in {"cut", "room", "stock", "fastening", "practice"} and place != "empty":
        assert ran.status == 65, ran
        assert file.name in ran.err, ran


@pytest.mark.parametrize("place", ["circle", "long", "a file"])
@pytest.mark.parametrize("command", [("job", "list"), ("type", "--quiet"), ("print",), ("page",), ("ready",)])
def test_a_data_folder_that_is_none_is_named_and_no_fault(tmp_path: Path, place: str, command: tuple[str, ...]) -> None:
    """Whatever the platform's folder is, the sentence names it."""
    (tmp_path / "circle").symlink_to("circle")
    (tmp_path / "a file").touch()
    ran = fieldvoice(*command, XDG_DATA_HOME=str(tmp_path / ("x" * 300 if place == "long" else place)))
    assert ran.status in {0, 1, 65, 69}, ran
    assert ran.status != 65 or str(tmp_path) in ran.err
