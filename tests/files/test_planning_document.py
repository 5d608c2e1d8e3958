"""The document on planning files says what the readers read."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest

from fieldvoice.files.planning_files import read_house, read_pieces
from fieldvoice.files.toml_values import TomlTable
from fieldvoice.layout.planning import plan
from fieldvoice.layout.recheck import cut_list
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import PieceList
from fieldvoice.records.trouble import Fault
from tests.cli.program import ROOT

DOCUMENT = (ROOT / "docs" / "PLANNING_FILES.md").read_text(encoding="utf-8")
HOUSE, PIECES = re.findall(r"```toml\n(.*?)```", DOCUMENT, re.DOTALL)


def test_its_house_is_planned() -> None:
    """Every surface of it, as it stands there."""
    house = read_house(HOUSE)
    assert isinstance(house, House), house
    assert len(plan(house).surfaces) == 3


def test_its_pieces_are_cut() -> None:
    """As they stand there."""
    wanted = read_pieces(PIECES)
    assert isinstance(wanted, PieceList), wanted
    assert sum(len(one.pieces) for one in cut_list(wanted).patterns) == 5


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Every key that a reader asks any table for."""
    keys: set[str] = set()
    done = TomlTable.done

    def noting(self: TomlTable, *otherwise: Mapping[str, Fault]) -> None:
        keys.update(self.asked)
        done(self, *otherwise)

    monkeypatch.setattr(TomlTable, "done", noting)
    return keys


def test_every_key_is_told(asked: set[str]) -> None:
    """No reader knows a key that the document doesn't, and the document none that no reader knows."""
    read_house(HOUSE)
    read_pieces(PIECES)
    rows = re.findall(r"^\| (`.*?) \|", DOCUMENT, re.MULTILINE)
    told = {key for row in rows for key in re.findall(r"`(\w+)`", row)}
    assert asked - told == {"job", "wall", "ceiling", "offcut", "opening", "piece"}
    assert told <= asked
