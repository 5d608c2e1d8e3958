"""The demo and its house, end to end: heard on its recordings through a real recognizer, planned from its file,
everything printed.
"""

from __future__ import annotations

import csv
import json
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf

from fieldvoice.dialogue.surfaces import STOCK
from fieldvoice.layout.planning import plan
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room import Wall
from tests.cli.program import fieldvoice
from tests.layout.houses import lake_house


def test_the_demo_board_is_heard_and_cut() -> None:
    """Every line is in the transcript with the recognizer that heard it; the plan is whole and proved."""
    ran = fieldvoice("demo", "--json")
    document = json.loads(ran.out)
    assert ran.status == 0
    hanger = [turn for turn in document["transcript"] if turn["who"] == "hanger"]
    assert len(hanger) >= 10
    assert all(turn["recognizer"] for turn in hanger)
    assert any("whisper" in turn["recognizer"] for turn in hanger)
    (board,) = document["boards"]
    assert board["room"] == "kitchen"
    assert board["so_far"] is False
    assert board["proof"]["ok"] is True
    right = next(cut for cut in board["cuts"] if cut["edge"] == "right")
    assert [(mark["at"], mark["mark"]) for mark in right["marks"]] == [("top", "41 3/16"), ("bottom", "40 3/4")]
    assert board["openings"][0]["center"] == {"from_left": "22 3/4", "from_top": "52 1/2"}
    assert board["cautions"]


TOLD = {"2A": "4", "3A": "5"}
"""The offcut that each board was cut from."""


def the_wall() -> Wall:
    """The wall of the house's file that is called in the demo."""
    house = lake_house()
    assert set(house.sheets) == set(STOCK[Unit.INCH])
    (found,) = (one for one in house.surfaces if (one.room, one.name) == ("kitchen", "west"))
    assert isinstance(found, Wall)
    return found


def test_a_wall_of_the_house_is_heard_cut_and_printed(tmp_path: Path) -> None:
    """The wall is the one of the file; every board has a proved plan, two are cut from what others left, and the papers
    hold every surface and every board.
    """
    ran = fieldvoice("demo", "house", "--json", "--papers", str(tmp_path / "papers"))
    assert ran.status == 0, ran.err
    document = json.loads(ran.out)
    (surface,) = document["room"]["surfaces"]
    called, meant = document["room"], the_wall()
    assert (surface["room"], surface["name"]) == ("kitchen", "west wall")
    assert _extent(surface) == (meant.width, meant.height)
    boards = {board["name"]: board for board in document["boards"]}
    assert set(boards) == {"1", "2", "3", "4", "5"}
    assert all(board["proof"]["ok"] and not board["draft"] for board in boards.values())
    said = [turn["text"] for turn in document["transcript"] if turn["who"] == "fieldvoice"]
    assert [text for text in said if text.startswith("Cut it from the offcut")] == [
        f"Cut it from the offcut “{name}”, 48 x {boards[board]['sheet']['length']} in, factory edges: both tapered "
        "edges and one end. Square its cut edges first: the marks are from a square edge."
        for name, board in TOLD.items()
    ]
    assert [one["name"] for one in called["rack"]] == ["5A"]
    _planned_wall(document["planned_wall"])
    heard = [turn for turn in document["transcript"] if turn["who"] == "hanger" and turn["recognizer"] != "keyboard"]
    assert len(heard) >= 30
    _papers(tmp_path / "papers", len(boards))


def _planned_wall(document: dict[str, Any]) -> None:
    """The south wall as it was planned with the house: gone to by its name, heard, two whole sheets proved."""
    said = [turn["text"] for turn in document["transcript"]]
    assert any(text.startswith("Lake house: 16 walls and ceilings") for text in said)
    assert [text for text in said if text.startswith("Board ") and "piece" in text and "kitchen south wall" in text]
    assert len(document["boards"]) == 2
    for board in document["boards"]:
        assert board["proof"]["ok"]
        assert not board["draft"]
        assert board["sheet"]["length"] == "144"
    heard = [turn for turn in document["transcript"] if turn["who"] == "hanger" and turn["recognizer"] != "keyboard"]
    assert len(heard) >= 10


def _extent(surface: dict[str, list[dict[str, str]]]) -> tuple[Length, Length]:
    """How far its pieces reach."""
    right = max(Length(piece["x"]) + Length(piece["width"]) for piece in surface["pieces"])
    top = max(Length(piece["y"]) + Length(piece["height"]) for piece in surface["pieces"])
    return right, top


def _papers(folder: Path, boards: int) -> None:
    house = pypdf.PdfReader(BytesIO((folder / "house.pdf").read_bytes()))
    titles = [page.extract_text() for page in house.pages]
    surfaces = len(lake_house().surfaces)
    assert len(titles) > surfaces
    for number, text in enumerate(titles, 1):
        assert f"page {number} of {len(titles)}" in text
    assert any("kitchen west" in text for text in titles[:surfaces])
    after = " ".join(titles[surfaces:])
    assert all(told in after for told in ("tape: ", "buy ", "BEFORE COVERING", "AFTER HANGING"))
    pages = [page.extract_text() for page in pypdf.PdfReader(BytesIO((folder / "boards.pdf").read_bytes())).pages]
    assert "kitchen west wall" in pages[0]
    for number in range(1, boards + 1):
        assert any(f"kitchen, board {number}" in text for text in pages[1:])
    for offcut, board in TOLD.items():
        assert any(f"Offcut “{offcut}”, 48 x" in text and f"board {board}" in text for text in pages)
        assert any(f"kitchen, board {board}: from the offcut “{offcut}”" in text for text in pages)
    rows = list(csv.DictReader((folder / "takeoff.csv").read_text(encoding="utf-8").splitlines()))
    assert rows
    bought = sum(one.count for one in plan(lake_house()).sheets)
    assert sum(int(row["to buy"]) for row in rows if row["what"].startswith("sheet")) == bought
