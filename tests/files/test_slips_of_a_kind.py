"""Slips of every kind in every key of a house and of a list of pieces: each is refused at its table and key."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from fieldvoice.files.planning_files import read_house, read_pieces
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.wording.room import file_fault_text

WHOLE = {
    "job": {"unit": '"in"', "sheets": '["48 x 96", "48 x 144"]'},
    "wall": {
        "room": '"hall bath"',
        "name": '"north"',
        "width": '"144"',
        "height": '"96"',
        "studs": '"16 on center from left"',
        "thickness": '"1/2"',
        "kind": '"regular"',
        "layers": "1",
        "lies": '"lying"',
        "framing": '"wood"',
    },
    "wall.opening": {"kind": '"window"', "left": '"40"', "bottom": '"36"', "width": '"36"', "height": '"48"'},
    "ceiling": {
        "room": '"hall bath"',
        "name": '"lid"',
        "width": '"144"',
        "length": '"120"',
        "joists": '"16 on center along width"',
        "kind": '"regular"',
        "lies": '"lying"',
        "framing": '"wood"',
    },
}
PIECES = {
    "job": {"unit": '"in"', "sheets": '["48 x 96"]'},
    "piece": {"name": '"a"', "length": '"40"', "width": '"20"', "count": "1", "factory_edges": '"0"'},
}
FILES = {"house": (WHOLE, read_house), "pieces": (PIECES, read_pieces)}
CALLED = {
    "wall": "wall 1",
    "wall.opening": "wall 1, opening 1",
    "ceiling": "ceiling 1",
    "piece": "piece 1",
    "job": "job",
}
CHOICES = ("unit", "kind", "lies", "framing", "factory_edges")
SIZES = ("width", "height", "length", "thickness", "layers", "count")
LISTS = ("sheets", "studs", "joists")


def _text(tables: dict[str, dict[str, str]], changed: dict[tuple[str, str], str] | None = None) -> str:
    heads = {"job": "[job]"}
    lines = []
    for table, keys in tables.items():
        lines.append(heads.get(table, f"[[{table}]]"))
        lines += [f"{key} = {(changed or {}).get((table, key), value)}" for key, value in keys.items()]
    return "\n".join(lines) + "\n"


def _slips() -> Iterator[tuple[str, str, str, str]]:
    for file, (tables, _) in FILES.items():
        for table, keys in tables.items():
            for key in keys:
                if key in CHOICES:
                    yield from ((file, table, key, wrong) for wrong in ('"gold"', '""', "[]", "7", '"Wood"'))
                if key in SIZES:
                    yield from ((file, table, key, wrong) for wrong in ("0", '"0"', "-1", '"-1"', "[]", '""'))
                if key in LISTS:
                    empty = ("[]",) if key != "studs" else ()  # a narrow wall hangs on its ends alone
                    yield from ((file, table, key, wrong) for wrong in (*empty, '[""]', "[[]]", "0", '""'))
                if key in {"room", "name"}:
                    yield from ((file, table, key, wrong) for wrong in ('""', '"  "', "[]", "0"))


SLIPS = tuple(_slips())


def _faults(file: str, text: str) -> tuple[FileFault, ...]:
    found = FILES[file][1](text)
    return found if isinstance(found, tuple) else ()


@pytest.mark.parametrize("file", FILES)
def test_the_whole_file_is_read(file: str) -> None:
    """Else no slip in it would say anything."""
    assert _faults(file, _text(FILES[file][0])) == ()


@pytest.mark.parametrize(("file", "table", "key", "wrong"), SLIPS, ids="-".join)
def test_a_slip_in_any_key_is_refused_there(file: str, table: str, key: str, wrong: str) -> None:
    """A word of no list, an empty list, a size of nothing or less."""
    found = _faults(file, _text(FILES[file][0], {(table, key): wrong}))
    assert (CALLED[table], key) in {(fault.table, fault.key) for fault in found}, found
    assert all(file_fault_text(fault) for fault in found)


WAYS = ("North", "NORTH", " north ", "n orth", "north")


@pytest.mark.parametrize("said", WAYS)
def test_names_that_differ_by_capitals_or_blanks_alone_are_one_name(said: str) -> None:
    """A second wall, a ceiling and a second piece of it are refused at their table and key."""
    second = {"wall": {**WHOLE["wall"], "name": f'"{said}"'}}
    (found,) = _faults("house", _text(WHOLE) + _text(second))
    assert (found.table, found.key, found.fault) == ("wall 2", "name", Fault.SAME_NAME)
    (found,) = _faults("house", _text(WHOLE, {("ceiling", "name"): f'"{said}"'}))
    assert (found.table, found.key, found.fault) == ("ceiling 1", "name", Fault.SAME_NAME)
    pieces = _text(PIECES, {("piece", "name"): '"north"'})
    (found,) = _faults("pieces", pieces + _text({"piece": {**PIECES["piece"], "name": f'"{said}"'}}))
    assert (found.table, found.key, found.fault) == ("piece 2", "name", Fault.PIECE_NAME)


@pytest.mark.parametrize("said", ["Hall bath", "HALL BATH", "hall  bath", "hallbath"])
def test_a_room_is_written_in_one_way(said: str) -> None:
    """Its walls and its ceiling would be those of two rooms."""
    (found,) = _faults("house", _text(WHOLE, {("ceiling", "room"): f'"{said}"'}))
    assert (found.table, found.key, found.fault) == ("ceiling 1", "room", Fault.TWO_WAYS)
    assert "hall bath" in file_fault_text(found)


def test_the_same_name_in_another_room_is_another_wall() -> None:
    """As in every house."""
    second = {"wall": {**WHOLE["wall"], "room": '"hall"'}}
    assert _faults("house", _text(WHOLE) + _text(second)) == ()
