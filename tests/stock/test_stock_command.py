"""`fieldvoice stock` as a person runs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.program import fieldvoice
from tests.published.test_cutting_optima import DATA

LIST = """
[job]
sheets = ["48 x 96", "48 x 144"]
[[piece]]
name = "soffit"
length = "100"
width = "14 1/2"
count = 4
factory_edges = "1"
[[piece]]
name = "closet"
length = "40"
width = "48"
"""


def test_a_public_instance() -> None:
    """The value, the bound, and where each piece is cut."""
    ran = fieldvoice("stock", "--json", str(DATA / "cgcut1.txt"))
    document = json.loads(ran.out)
    assert (ran.status, document["value"], document["bound"], document["proved"]) == (0, 244, 244, True)
    assert {"piece", "x", "y", "width", "height"} == document["pattern"][0].keys()
    assert fieldvoice("stock", "--turn", str(DATA / "gcut1.txt")).out.startswith("58136 out of a sheet of 250 x 250.")


def test_a_list_of_pieces() -> None:
    """Four strips, each with a factory edge, and a short piece: three twelve-footers."""
    ran = fieldvoice("stock", "--json", "-", stdin=LIST.encode())
    document = json.loads(ran.out)
    assert (ran.status, document["value"], document["unit"]) == (0, "24", "in")
    assert [one["sheet"] for one in document["pattern"]] == ["48 x 144"] * 2
    names = [piece["piece"] for one in document["pattern"] for piece in one["pieces"]]
    assert sorted(names) == ["closet 1", "soffit 1", "soffit 2", "soffit 3", "soffit 4"]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("2\n10 10\n3 4 x\n", "line 3: “3 4 x” isn't 3 whole numbers above zero. Check the line."),
        ("3\n10 10\n3 4 5\n", "the file: The pieces are not as many as the first line says."),
        ("1\n10 10\n3 4 5\n7 7 1000\n", "the file: The pieces are not as many as the first line says."),
        ("1\n0 10\n3 4 5\n", "line 2: “0 10” isn't 2 whole numbers above zero. Check the line."),
        (LIST.replace('"100"', '"150"'), "piece 1: It fits no sheet on the list."),
        (LIST.replace("count = 4", "count = 0"), "piece 1, count: 0 is not a whole number from 1 to 1000."),
        (LIST.replace('"soffit"', '"closet"'), "piece 2, name: Pieces above are called “closet” too."),
        (LIST.replace('"soffit"', '"CLOSET"'), "piece 2, name: Pieces above are called “closet” too."),
        (LIST.replace('"40"', "40.5"), "piece 2, length: 40.5 is a decimal without quotes"),
    ],
)
def test_a_file_with_slips_is_not_cut(tmp_path: Path, text: str, line: str) -> None:
    """A line a slip with its place, nothing on standard output, status 65."""
    file = tmp_path / "pieces"
    file.write_text(text, encoding="utf-8")
    ran = fieldvoice("stock", "--json", str(file))
    assert (ran.status, ran.out) == (65, "")
    assert ran.err.splitlines()[1].startswith(line)


def test_sheet_is_told_in_the_unit_of_the_list() -> None:
    """Meters in a list in millimeters."""
    text = (
        '[job]\nunit = "mm"\nsheets = ["1200 x 2400"]\n[[piece]]\nname = "a"\nwidth = 600\nlength = 1200\ncount = 5\n'
    )
    ran = fieldvoice("stock", "-", stdin=text.encode())
    assert ran.out.splitlines()[0] == "2 sheets, 4.8 m. None can need less."
