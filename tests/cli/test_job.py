"""`fieldvoice job`, as a person or a script calls it."""

import csv
import io
import json
import os
import random
import wave
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from fieldvoice.commands.job import jobs
from fieldvoice.dialogue.session import Session
from fieldvoice.ears.wav import audio_folder, keep_audio
from fieldvoice.errors import BadInput, FieldvoiceError, JournalTrouble, NotHere
from fieldvoice.jobs import entry_sum, job_file
from fieldvoice.journal.format import Entry
from fieldvoice.journal.journal import Journal
from fieldvoice.records.hearing import Hearing

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's data folder with two jobs, the kitchen being the one written last."""
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: tmp_path)
    for age, name in ((100, "hall"), (10, "kitchen")):
        path = tmp_path / "jobs" / f"{name}.job"
        with Journal.open(path) as journal:
            journal.append("reading", "hanger", {"value": "46 7/8"}, NOON)
            journal.append("answer", "partner", {"yes": True}, NOON)
        os.utime(path, (path.stat().st_mtime - age,) * 2)
    return tmp_path / "jobs"


def _run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(jobs, [str(argument) for argument in arguments])


def _spoil(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data.replace(b"46 7/8", b"46 5/8"))


@pytest.mark.usefixtures("folder")
def test_jobs_are_listed_the_last_written_first() -> None:
    """One line a job: how many entries, whose, when."""
    lines = _run("list").output.splitlines()
    assert [Path(line.split(":")[0]).name for line in lines] == ["kitchen.job", "hall.job"]
    assert "2 entries by hanger, partner, last 2026-11-25 12:00" in lines[0]


def test_a_job_that_can_not_be_read_is_listed_with_its_trouble(folder: Path) -> None:
    """The others are listed all the same; JSON has one document a line."""
    (folder / "attic.job").write_text("not a journal at all")
    documents = [json.loads(line) for line in _run("list", "--json").output.splitlines()]
    troubles = {Path(document["path"]).name: document["trouble"] for document in documents}
    assert "isn't a job" in troubles.pop("attic.job")
    assert troubles == {"kitchen.job": None, "hall.job": None}


@pytest.mark.usefixtures("folder")
def test_the_job_written_last_is_shown() -> None:
    """Without --job it goes on where it was left."""
    assert job_file(None).name == "kitchen.job"
    documents = [json.loads(line) for line in _run("show", "--json").output.splitlines()]
    assert [document["kind"] for document in documents] == ["reading", "answer"]
    assert '2026-11-25 12:00:00  hanger  reading  {"value": "46 7/8"}' in _run("show").output


def test_a_first_job_has_its_place(tmp_path: Path) -> None:
    """Nothing is there yet: a name for the first."""
    assert job_file(None, tmp_path) == tmp_path / "first.job"
    assert job_file(Path("mine.job"), tmp_path) == Path("mine.job")


def test_check_tells_sound_from_damaged_by_its_status(folder: Path) -> None:
    """0 for a sound one, 65 for one with a changed figure, which is named."""
    path = folder / "kitchen.job"
    assert _run("check", "--job", path).exit_code == 0
    _spoil(path)
    result = _run("check", "--job", path, "--json")
    assert result.exit_code == BadInput.exit_status
    faults = ["line 1 of the entries was changed", "entries are missing: 1"]
    document = json.loads(result.output)
    assert document["faults"] == faults
    assert (document["lost"], document["lost_earlier"]) == ([{"first": 1, "last": 1}], [])
    assert "Opening the job saves what is whole" in _run("check", "--job", path).output


def test_out_and_in_again(folder: Path, tmp_path: Path) -> None:
    """Exported to a file or to standard output, the same; imported, the same job."""
    out = tmp_path / "kitchen.json"
    assert _run("export", "--output", out).exit_code == 0
    assert out.read_text(encoding="utf-8") == _run("export").stdout
    result = _run("import", out, "--job", folder / "copy.job", "--json")
    assert json.loads(result.output) == {"path": str(folder / "copy.job"), "entries": 2}
    assert _run("show", "--job", folder / "copy.job").output == _run("show", "--job", folder / "kitchen.job").output


@pytest.mark.parametrize(
    ("arguments", "error"),
    [
        (("show", "--job", "{}/nowhere.job"), JournalTrouble),
        (("check", "--job", "{}/nowhere.job"), JournalTrouble),
        (("import", "{}/kitchen.job"), BadInput),
        (("export", "--output", "{}/kitchen.job"), BadInput),
    ],
)
def test_what_can_not_be_done_is_one_of_our_errors(
    folder: Path, arguments: tuple[str, ...], error: type[FieldvoiceError]
) -> None:
    """Never a traceback of another kind, and no file is written over."""
    result = _run(*(argument.format(folder) for argument in arguments))
    assert isinstance(result.exception, error)


def test_without_any_job_it_says_how_to_start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty data folder is no trouble of the disk."""
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: tmp_path)
    assert isinstance(_run("show").exception, NotHere)
    assert _run("list").stdout == ""


def test_the_sound_of_an_utterance_is_kept_beside_the_job(tmp_path: Path) -> None:
    """A WAV that gives the same samples back, named for the entry."""
    path = tmp_path / "kitchen.job"
    frames = bytes(range(256)) * 4
    name = keep_audio(path, frames, NOON)
    with wave.open(str(audio_folder(path) / name)) as sound:
        assert (sound.getframerate(), sound.getnchannels(), sound.getsampwidth()) == (16_000, 1, 2)
        assert sound.readframes(10_000) == frames


def test_sound_that_can_not_be_kept_leaves_the_reading_alone(tmp_path: Path) -> None:
    """A file in the folder's place: said in words, with what is not touched by it."""
    (tmp_path / "kitchen.audio").write_text("")
    with pytest.raises(JournalTrouble, match="reading itself isn't affected"):
        keep_audio(tmp_path / "kitchen.job", b"", NOON)


HOSTILE: tuple[object, ...] = (
    "furlong",
    7,
    1e15,
    -1,
    True,
    None,
    [],
    {},
    "\x1b[2J",
    "9" * 5000,
    "1/0",
    {"Length": "x"},
)


def _places(value: object, *path: object) -> Iterator[tuple[object, ...]]:
    """Where in JSON anything stands."""
    if path:
        yield path
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _places(inner, *path, key)


def _exchanged(value: Any, path: Sequence[object], new: object) -> Any:
    """A copy with one value exchanged."""
    if not path:
        return new
    copy: Any = dict(value) if isinstance(value, dict) else list(value)
    copy[path[0]] = _exchanged(copy[path[0]], path[1:], new)
    return copy


def test_a_job_of_strange_values_is_refused_or_opens(tmp_path: Path) -> None:
    """Anything in any entry exchanged for one of another kind, with the sums made right again: what is taken in can be
    opened, shown and exported; what can't isn't taken in.
    """
    path, draw = tmp_path / "kitchen.job", random.Random(11)
    with Journal.open(path) as journal:
        session = Session(journal)
        for line in (*LINES, "work in millimeters", "yes", "right 1190"):
            session.take(Hearing.typed(line), "hanger")
    whole = json.loads(_run("export", "--job", path).stdout)
    refused = opened = 0
    for number in range(120):
        job = json.loads(json.dumps(whole))
        item = draw.choice(job["entries"])
        item["body"] = _exchanged(item["body"], draw.choice(list(_places(item["body"]))), draw.choice(HOSTILE))
        entry = Entry(item["seq"], datetime.fromisoformat(item["at"]), item["who"], item["kind"], item["body"])
        item["sum"] = entry_sum(entry)
        del job["last"]
        file, target = tmp_path / f"{number}.json", tmp_path / f"{number}.job"
        file.write_text(json.dumps(job))
        result = _run("import", file, "--job", target)
        if result.exit_code:
            assert isinstance(result.exception, BadInput)
            assert not target.exists()
            refused += 1
            continue
        opened += 1
        for command in ("show", "check", "export"):
            assert not _run(command, "--job", target).exception
        assert "\x1b" not in _run("show", "--job", target).stdout
        with Journal.open(target) as journal:
            session = Session(journal)
            for line in ("no", "yes", "undo", "top 12", "what's missing", "done"):
                session.take(Hearing.typed(line), "hanger")
                session.view()
    assert refused > 5
    assert opened > 5
    assert refused + opened == 120


LINES = (
    "top 46 7/8",
    "bottom 46 1/4",
    "height 95 1/2",
    "single gang box center 30 1/4 from left center 48 from top",
    "next board",
    "top 12",
)


def test_readings_and_cuts_of_a_talked_through_job_as_a_table(tmp_path: Path) -> None:
    """Both boards, each figure with its unit; the JSON of the same job goes out and in again."""
    path = tmp_path / "kitchen.job"
    with Journal.open(path) as journal:
        session = Session(journal)
        for line in LINES:
            session.take(Hearing.typed(line), "hanger")
    table = list(csv.DictReader(io.StringIO(_run("export", "--csv", "--job", path).stdout)))
    values = {(row["board"], row["sort"], row["name"]): row["value"] for row in table}
    assert values["1", "reading", "width, top"] == "46 7/8 in"
    assert values["1", "reading", "width, bottom"] == "46 1/4 in"
    assert {board for board, _, _ in values} == {"1", "2"}
    assert any(sort == "cut" for _, sort, _ in values)
    out = tmp_path / "kitchen.json"
    _run("export", "--job", path, "--output", out)
    _run("import", out, "--job", tmp_path / "copy.job")
    with Journal.open(path) as journal, Journal.open(tmp_path / "copy.job") as copy:
        assert Session(copy).view() == Session(journal).view()
