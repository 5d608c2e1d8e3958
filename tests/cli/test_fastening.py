"""`fieldvoice fastening`: the table as it is shipped, and a hanger's own."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from tests.cli.program import fieldvoice

OWN = '[[spacing]]\nlocation = "wall"\nedge = 8\nfield = 8\nsource = "county code 2508"\n'


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where one's own table lies."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    file = tmp_path / "fieldvoice" / "fastening.toml"
    file.parent.mkdir()
    return file


def test_it_prints_the_table_with_every_source(own: Path) -> None:
    """TOML that can be copied, and on standard error where one's own goes."""
    ran = fieldvoice("fastening")
    assert ran.status == 0
    rows = [row for name, rows in tomllib.loads(ran.out).items() if name != "unit" for row in rows]
    assert len(rows) > 50
    assert all(row["source"] and row["confidence"] for row in rows)
    assert str(own) in ran.err.replace("\n", "")


def test_ones_own_is_in_force(own: Path, tmp_path: Path) -> None:
    """Eight inches by the county, the code's and the trade's after it."""
    own.write_text(OWN, encoding="utf-8")
    lines = tmp_path / "lines.txt"
    lines.write_text("top 46\nmiddle 46\nbottom 46\nheight 95 and a half\n", encoding="utf-8")
    ran = fieldvoice("cut", "--json", str(lines))
    assert ran.status == 0, ran.err
    assert '"value": "8"' in ran.out
    assert "county code 2508" in ran.out
    assert "8 in (your table; the trade: 12 in; the code: 16 in)" in ran.out


def test_a_slip_in_it_stops_what_prints_plans(own: Path, tmp_path: Path) -> None:
    """Status 65, a line a slip, with the table and the key; nothing is printed by other rules than were meant."""
    own.write_text(OWN + "[[framing]]\nat_most = 24.5\n", encoding="utf-8")
    lines = tmp_path / "lines.txt"
    lines.write_text("top 46\nmiddle 46\nbottom 46\nheight 95 and a half\n", encoding="utf-8")
    for command in (("cut", str(lines)), ("print", "--job", "none.job"), ("fastening",)):
        ran = fieldvoice(*command)
        assert ran.status == 65
        assert ran.out == ""
        assert "framing 1, at_most: 24.5 is a decimal without quotes" in ran.err
        assert "framing 1, source: It isn't there." in ran.err


def test_a_check_of_another_file(tmp_path: Path) -> None:
    """Whether a file can be used, without putting it in force."""
    file = tmp_path / "table.toml"
    file.write_text(OWN, encoding="utf-8")
    assert fieldvoice("fastening", "--check", str(file)).status == 0
    file.write_bytes(b"\xff\xfe")
    ran = fieldvoice("fastening", "--check", str(file))
    assert (ran.status, ran.out) == (65, "")
    assert fieldvoice("fastening", "--check", str(tmp_path / "none.toml")).status == 65


def test_which_board_bends_to_a_curve() -> None:
    """The thickest with its least radius, each row with its source; what bends no more says so."""
    ran = fieldvoice("bend", "96")
    assert ran.status == 0
    assert ran.out.startswith("Radius 96 in: the thickest that goes round it dry is 3/8 in along its length.")
    assert "no  1/2 in along its length, to 120 in (the trade): Gypsum Association figures" in ran.out
    tight = fieldvoice("bend", "400", "--unit", "mm")
    assert "the thickest that goes round it dry is 2 layers of 6.35 mm flexible" in tight.out
    none = fieldvoice("bend", "6", "--json")
    assert none.status == 1
    assert not any(one["bends"] for one in json.loads(none.out)["boards"])


@pytest.mark.parametrize(
    ("radius", "told"), [("8 ft", "96 in"), ("8'", "96 in"), ('96"', "96 in"), ("2.4 m", "2400 mm")]
)
def test_a_radius_with_its_own_unit(radius: str, told: str) -> None:
    """As a drawing has it."""
    assert fieldvoice("bend", radius).out.startswith(f"Radius {told}: the thickest that goes round it dry is ")


@pytest.mark.parametrize("radius", ["x", "1/0", "8 8 ft", "--", "ft", "\u0664", "0", "-5", "1e3", "9" * 40 + "/7", ""])
def test_a_radius_that_is_none(radius: str) -> None:
    """Status 2 and what is wrong with it."""
    ran = fieldvoice("bend", "--", radius)
    assert ran.status == 2
    assert "radius" in ran.err
    assert "Traceback" not in ran.err


def test_ones_own_radius_is_in_force(own: Path) -> None:
    """A maker's own figure comes first."""
    own.write_text('[[bend]]\nthickness = "1/2"\nlengthwise = 90\nsource = "our maker"\n', encoding="utf-8")
    ran = fieldvoice("bend", "96")
    assert "yes 1/2 in along its length, to 90 in (your table; the trade: 120 in): our maker" in ran.out
