"""Five hundred spoilt houses and fastening tables: each fault at its table and key, or the whole file; no traceback."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from fieldvoice import data_folder
from fieldvoice.fastening.table import Table, read_own
from fieldvoice.files.planning_files import read_house
from fieldvoice.records.room import House
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.wording.room import file_fault_text

HOUSE = (data_folder("houses") / "lake_house.toml").read_text("utf-8")
OWN = """
unit = "in"
[use]
fastener = "nail"
adhesive = false
double_nailing = true
[[spacing]]
location = "wall"
edge = 8
field = 12
source = "county code"
[[edge_distance]]
thickness = "5/8"
at_least = "1/2"
source = "maker"
[[weight]]
thickness = "1/2"
pounds = "1.7"
source = "scales"
[[stock]]
fastener = "screw"
lengths = [1, "1 1/4"]
source = "dealer"
"""
Reader = Callable[[str], House | Table | tuple[FileFault, ...]]
READERS: dict[str, tuple[str, Reader]] = {"house": (HOUSE, read_house), "own table": (OWN, read_own)}
WRONG = (
    "-5",
    '"-3 1/2"',
    "46.5",
    "nan",
    "-inf",
    "1e400",
    "true",
    "1979-05-27",
    "07:32:00",
    "[]",
    "[1, [2, [3]]]",
    "{}",
    "{ a = { b = { c = 1 } } }",
    '""',
    '" "',
    '"\\u0000"',
    '"\\u202e"',
    '"1/0"',
    '"0"',
    '"9999999999"',
    '"٤٦"',
    '"46 7/8 7/8"',
    '"x"',
    '"' + "a" * 5000 + '"',
    "0",
    "9" * 200,
    "9" * 5000,
    "0x" + "f" * 5000,
    "[" * 3000 + "]" * 3000,
    "'''\n\n'''",
)
"""No value of any key but, here and there, a text of one that wants text."""


def lines_of_keys(text: str) -> list[int]:
    """The lines that give a key its value."""
    return [number for number, line in enumerate(text.splitlines()) if "=" in line and not line.startswith("#")]


def spoilt(text: str, rolled: random.Random) -> str:
    """The file with one to three things wrong in it."""
    lines = text.splitlines()
    for _ in range(rolled.randint(1, 3)):
        at = rolled.choice(lines_of_keys("\n".join(lines)))
        key = lines[at].partition("=")[0].strip()
        match rolled.randrange(6):
            case 0:
                lines[at] = ""
            case 1:
                lines[at] = f"{key} = {rolled.choice(WRONG)}"
            case 2:
                lines.insert(at, f"{key}_{rolled.randrange(9)} = {rolled.choice(WRONG)}")
            case 3:
                lines.insert(at, lines[at])
            case 4:
                spot = rolled.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:spot] + chr(rolled.choice((0, 10, 34, 91, 0x202E, 0x1F9F1))) + lines[at][spot:]
            case _:
                heads = [number for number, line in enumerate(lines) if line.startswith("[")]
                head = rolled.choice(heads)
                lines[head] = rolled.choice(
                    ("[[wall]]", "[job]", "[[]]", "[[wall.opening.x]]", "[wall]", "[[spacing]]")
                )
    return "\n".join(lines)


@pytest.mark.parametrize("kind", READERS)
def test_no_spoilt_file_ends_in_anything_but_its_faults(kind: str) -> None:
    """250 of each: read whole, or every fault worded at its table and key, on a line of its own."""
    text, read = READERS[kind]
    whole = 0
    for seed in range(250):
        found = read(spoilt(text, random.Random(seed)))
        if not isinstance(found, tuple):
            whole += 1
            continue
        assert found
        for fault in found:
            line = file_fault_text(fault)
            assert line.startswith(fault.table)
            assert fault.key is None or f", {fault.key}: " in line
            assert len(line.splitlines()) == 1
            assert "{" not in line.replace(fault.given, "")
    assert whole < 50, "most of them are spoilt"


def every_key(text: str) -> Iterator[tuple[int, str]]:
    """Each key that stands in the file, with its line."""
    for number in lines_of_keys(text):
        yield number, text.splitlines()[number].partition("=")[0].strip()


@pytest.mark.parametrize("kind", READERS)
@pytest.mark.parametrize("wrong", ["-5", "46.5", "1979-05-27", "{ a = 1 }", "9" * 200, '"\\u0000"', "[[[1]]]"])
def test_a_wrong_value_is_told_at_its_own_key(kind: str, wrong: str) -> None:
    """Whichever key has it: the fault names that key and the value, and nothing of the file is used."""
    text, read = READERS[kind]
    for number, key in every_key(text):
        lines = text.splitlines()
        lines[number] = f"{key} = {wrong}"
        found = read("\n".join(lines))
        assert isinstance(found, tuple), (key, wrong)
        assert any(fault.key == key for fault in found), (key, wrong, found)


@pytest.mark.parametrize("kind", READERS)
def test_an_unknown_key_is_told_in_every_table(kind: str) -> None:
    """A slip of the pen is not left out in silence."""
    text, read = READERS[kind]
    heads = [number for number, line in enumerate(text.splitlines()) if line.startswith("[")]
    for number in heads:
        lines = text.splitlines()
        lines.insert(number + 1, "wdith = 5")
        found = read("\n".join(lines))
        assert isinstance(found, tuple)
        assert [fault.fault for fault in found if fault.key == "wdith"] == [Fault.UNKNOWN_KEY]


@pytest.mark.parametrize("kind", READERS)
def test_the_files_themselves_are_read(kind: str) -> None:
    """Nothing above is refused for what it is spoilt from."""
    text, read = READERS[kind]
    assert not isinstance(read(text), tuple)
    assert tomllib.loads(text)


@pytest.mark.parametrize(
    ("row", "key"),
    [
        ('[[spacing]]\nfield = "1/64"', "field"),
        ("[[spacing]]\nedge = 100", "edge"),
        ("[[edge_distance]]\nat_least = 20", "at_least"),
        ("[[length]]\nat_least = 30", "at_least"),
        ("[[penetration]]\nat_least = 9", "at_least"),
        ("[[framing]]\nat_most = 96", "at_most"),
        ("[[pair]]\nat_least = 12", "at_least"),
        ('[[weight]]\npounds = "1e5"', "pounds"),
        ("[[weight]]\npounds = 178", "pounds"),
        ('[[weight]]\npounds = "-1"', "pounds"),
        ('[[weight]]\npounds = "1/0"', "pounds"),
    ],
)
def test_a_figure_that_cant_be_meant_is_no_rule(row: str, key: str) -> None:
    """A slip of the point would take every screw out of a board, or put thousands in."""
    found: Any = read_own(f'{row}\nsource = "a slip"\n')
    assert isinstance(found, tuple)
    assert key in [fault.key for fault in found]
