"""Models are listed, fetched with word of how far it is, and verified."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from fieldvoice.commands.model import Tenths
from fieldvoice.ears import models
from tests.cli.program import fieldvoice

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
