"""A house as its owner writes it down."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.files.planning_files import read_house
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import House, Members, RoughOpeningKind
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.wording.room import file_fault_text
from tests.layout.houses import house_of

KITCHEN = """
[job]
name = "lake house"
unit = "in"
sheets = ["48 x 96", "48 x 144"]
[[wall]]
room = "kitchen"
name = "north"
width = "144"
height = "96 1/2"
studs = "16 on center from left"
[[wall.opening]]
kind = "window"
left = "40"
bottom = "36"
width = "36"
height = "48"
[[ceiling]]
room = "kitchen"
name = "ceiling"
width = "144"
length = "180"
joists = "16 on center along width"
"""


def faults(text: str) -> tuple[FileFault, ...]:
    """The faults, of which there must be some."""
    read = read_house(text)
    assert not isinstance(read, House)
    return read


def test_a_kitchen_is_read_whole() -> None:
    """A wall with a window and a ceiling, as the README's example has them."""
    kitchen = house_of(KITCHEN)
    north, ceiling = kitchen.surfaces
    assert (kitchen.name, kitchen.unit) == ("lake house", Unit.INCH)
    assert [(sheet.width, sheet.length) for sheet in kitchen.sheets] == [
        (Length(48), Length(96)),
        (Length(48), Length(144)),
    ]
    assert (north.width, north.height, north.lies) == (Length(144), Length("96 1/2"), None)
    (window,) = north.openings
    assert (window.kind, window.right, window.top) == (RoughOpeningKind.WINDOW, Length(76), Length(84))
    assert ceiling.height == Length(180)
    assert ceiling.members.along is Dimension.WIDTH


@pytest.mark.parametrize(
    ("said", "centers"),
    [
        ('"16 on center from left"', ["16", "32", "48"]),
        ('"16 on center from right"', ["2", "18", "34"]),
        ('"24 On Center"', ["24", "48"]),
        ('"19.2 on center"', ["19 3/16", "38 3/8"]),
        ('"19 1/5 on center from right"', ["11 5/8", "30 13/16"]),
        ('"19 1/6 on center"', None),
        ('"19.3 on center"', None),
        ('"12 1/2 on center from left"', ["12 1/2", "25", "37 1/2"]),
        ('["10", 20, "40 1/2"]', ["10", "20", "40 1/2"]),
    ],
)
def test_studs_are_where_they_were_called(said: str, centers: list[str] | None) -> None:
    """On center from either end, or place by place. Five spaces in eight feet are at a tape's nearest marks; what else
    no tape shows is refused.
    """
    text = KITCHEN.replace('width = "144"\nheight', 'width = "50"\nheight').split("[[wall.opening]]")[0]
    text = text.replace('"16 on center from left"', said)
    if centers is None:
        assert [fault.fault for fault in faults(text)] == [Fault.TOO_FINE]
    else:
        (wall,) = house_of(text).surfaces
        assert list(wall.members.centers(wall.width)) == [Length(center) for center in centers]


def test_joists_along_the_length_are_counted_from_the_bottom() -> None:
    """Along width and along length name the way that centers are counted."""
    text = KITCHEN.replace("16 on center along width", "24 on center along length")
    joists = house_of(text).surfaces[1].members
    assert joists == Members(Length(24), Edge.BOTTOM, (), Dimension.HEIGHT)


@pytest.mark.parametrize(
    ("old", "new", "table", "key", "fault"),
    [
        ('width = "144"\nheight', "width = 144.5\nheight", "wall 1", "width", Fault.DECIMAL),
        ('width = "144"\nheight', "width = true\nheight", "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "twelve foot"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "1e9"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "144 9/8"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "144 8/8"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "144 16/16"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "144 3/2"\nheight', "wall 1", "width", Fault.NOT_A_LENGTH),
        ('width = "144"\nheight', 'width = "-144"\nheight', "wall 1", "width", Fault.NEGATIVE),
        ('width = "144"\nheight', "width = 0\nheight", "wall 1", "width", Fault.NOT_POSITIVE),
        ('width = "144"\nheight', "width = 3658\nheight", "wall 1", "width", Fault.TOO_LARGE),
        ('width = "144"\nheight', 'width = "1000000"\nheight', "wall 1", "width", Fault.TOO_LARGE),
        ('width = "144"\nheight', 'width = "1000000 1/2"\nheight', "wall 1", "width", Fault.TOO_LARGE),
        ('width = "144"\nheight', 'width = "144 1/128"\nheight', "wall 1", "width", Fault.TOO_FINE),
        ('width = "144"\nheight', 'width = "144 1/1024"\nheight', "wall 1", "width", Fault.TOO_FINE),
        ('width = "144"\nheight', 'width = "144.12345678"\nheight', "wall 1", "width", Fault.TOO_FINE),
        ('width = "144"\nheight', "height", "wall 1", "width", Fault.MISSING),
        ('width = "144"\nheight', 'widht = 3\nwidth = "144"\nheight', "wall 1", "widht", Fault.UNKNOWN_KEY),
        ('width = "144"\nheight', 'peak = "72"\nwidth = "144"\nheight', "wall 1", "peak", Fault.PEAK),
        ('width = "144"\nheight', 'radius = "96"\nwidth = "144"\nheight', "wall 1", "radius", Fault.CURVE),
        ('width = "144"\nheight', 'stairs = true\nwidth = "144"\nheight', "wall 1", "stairs", Fault.RISING_FLOOR),
        ('kind = "window"', 'kind = "window"\narch = "12"', "wall 1, opening 1", "arch", Fault.ROUND_OPENING),
        ('width = "144"\nheight', 'peak_height = "84"\nwidth = "144"\nheight', "wall 1", "peak_height", Fault.NO_PEAK),
        (
            'width = "144"\nheight',
            'peak_from_left = "72"\nwidth = "144"\nheight',
            "wall 1",
            "peak_height",
            Fault.MISSING,
        ),
        (
            'width = "144"\nheight',
            'peak_height = "130"\npeak_from_left = "144"\nwidth = "144"\nheight',
            "wall 1",
            "peak_from_left",
            Fault.TOP_OUT_OF_ORDER,
        ),
        (
            'width = "144"\nheight',
            'peak_height = "130"\ntop_breaks = [["72", "130"]]\nwidth = "144"\nheight',
            "wall 1",
            "peak_height",
            Fault.ONE_OF_BOTH,
        ),
        (
            'width = "144"\nheight',
            'top_breaks = [["40", "130"], ["60", "110"], ["90", "140"]]\nwidth = "144"\nheight',
            "wall 1",
            "top_breaks",
            Fault.TOP_RISES_AGAIN,
        ),
        (
            'width = "144"\nheight',
            'top_breaks = [["90", "130"], ["60", "130"]]\nwidth = "144"\nheight',
            "wall 1",
            "top_breaks",
            Fault.TOP_OUT_OF_ORDER,
        ),
        (
            'width = "144"\nheight',
            'peak_height = "96 1/2"\nwidth = "144"\nheight',
            "wall 1",
            "peak_height",
            Fault.NO_PEAK,
        ),
        (
            'width = "144"\nheight',
            'top_breaks = [["60", "130"], "90"]\nwidth = "144"\nheight',
            "wall 1",
            "top_breaks",
            Fault.NOT_BREAKS,
        ),
        (
            'width = "144"\nheight',
            'top_breaks = ["90"]\nwidth = "144"\nheight',
            "wall 1",
            "top_breaks",
            Fault.NOT_BREAKS,
        ),
        (
            'width = "144"\nheight',
            'top_breaks = [["90", 130.5]]\nwidth = "144"\nheight',
            "wall 1",
            "top_breaks",
            Fault.DECIMAL,
        ),
        ('left = "40"', 'left = "120"', "wall 1, opening 1", None, Fault.OUTSIDE),
        (
            'width = "144"\nheight',
            'top_right_height = "60"\nwidth = "144"\nheight',
            "wall 1, opening 1",
            None,
            Fault.OUTSIDE,
        ),
        (
            "[[ceiling]]",
            '[[offcut]]\nwidth = "48"\nlength = "192 1/8"\n[[ceiling]]',
            "offcut 1",
            "width",
            Fault.OFFCUT_LARGE,
        ),
        (
            "[[ceiling]]",
            '[[offcut]]\nwidth = "22"\nlength = "40"\nfactory_edges = "both"\n[[ceiling]]',
            "offcut 1",
            "factory_edges",
            Fault.OFFCUT_WIDTH,
        ),
        ('kind = "window"', 'kind = "hatch"', "wall 1, opening 1", "kind", Fault.NOT_ONE_OF),
        ('kind = "window"', "kind = [1]", "wall 1, opening 1", "kind", Fault.NOT_ONE_OF),
        ('bottom = "36"\n', "", "wall 1, opening 1", "bottom", Fault.MISSING),
        ("from left", "from top", "wall 1", "studs", Fault.NOT_MEMBERS),
        ("16 on center from left", "2 on center from left", "wall 1", "studs", Fault.SPACING),
        ("16 on center from left", "often enough", "wall 1", "studs", Fault.NOT_MEMBERS),
        ('"16 on center from left"', '[10, "200"]', "wall 1", "studs", Fault.OUTSIDE),
        ('"16 on center from left"', "[10, 10]", "wall 1", "studs", Fault.TWICE),
        ('"16 on center from left"', "[10.5]", "wall 1", "studs", Fault.DECIMAL),
        ('"48 x 96"', '"48 by 96"', "job", "sheets", Fault.NOT_A_SHEET),
        ('"48 x 96"', '"96 x 48"', "job", "sheets", Fault.SHEET_SIZE),
        ('"48 x 96"', '"48 x 144"', "job", "sheets", Fault.TWICE),
        ('["48 x 96", "48 x 144"]', "[]", "job", "sheets", Fault.EMPTY),
        ('["48 x 96", "48 x 144"]', "4", "job", "sheets", Fault.NOT_A_LIST),
        ('unit = "in"', 'unit = "ft"', "job", "unit", Fault.NOT_ONE_OF),
        ('name = "ceiling"', 'name = "north"', "ceiling 1", "name", Fault.SAME_NAME),
        ('name = "ceiling"', 'name = ""', "ceiling 1", "name", Fault.EMPTY),
        ("16 on center along width", "16 on center", "ceiling 1", "joists", Fault.NO_DIRECTION),
        ('joists = "16 on center along width"', "joists = []", "ceiling 1", "joists", Fault.NO_JOISTS),
        ('name = "ceiling"', r'name = "a\u001b[2J"', "ceiling 1", "name", Fault.NOT_SHOWN),
        ('name = "ceiling"', 'name = "ceiling"\nlayers = 0', "ceiling 1", "layers", Fault.NOT_A_COUNT),
        ('name = "ceiling"', 'name = "ceiling"\nthickness = "7/8"', "ceiling 1", "thickness", Fault.NOT_ONE_OF),
        ("[job]", "[job", "the file", None, Fault.NOT_TOML),
    ],
)
def test_a_slip_is_named_with_its_table_and_key(old: str, new: str, table: str, key: str | None, fault: Fault) -> None:
    """One slip in a good file is the one fault told, where it is."""
    assert old in KITCHEN
    (found,) = faults(KITCHEN.replace(old, new, 1))
    assert (found.table, found.key, found.fault) == (table, key, fault)
    assert file_fault_text(found).startswith(table)
    assert "\x1b" not in file_fault_text(found)


HEADS = ["[job]", "[[wall]]", "[[wall.opening]]", "[[ceiling]]"]


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("wrong", ["[{0}]", "[[{0}]]", "[{0}x]", "[[{0}x]]", "[x{0}]", "[[x.{0}]]"])
def test_a_table_with_the_wrong_brackets_or_name_is_told_how_to_write_it(head: str, wrong: str) -> None:
    """Whatever else is wrong then, the head that would do is written out as it belongs there."""
    written = wrong.format(head.strip("[]"))
    if written != head:
        told = [file_fault_text(fault) for fault in faults(KITCHEN.replace(head, written))]
        assert any(head in one or "[[wall]]" in one for one in told), told


@pytest.mark.parametrize("head", ["[job]", "[[wall]]", "[[ceiling]]"])
@pytest.mark.parametrize("value", ["4", '"x"', "[4]", "true", "1.5"])
def test_a_value_where_a_table_belongs_is_told_how_to_write_it(head: str, value: str) -> None:
    """Set at the head of the file, where it is nobody else's key."""
    before, _, after = KITCHEN.partition(head)
    rest = after.partition("\n[")[2]
    text = f"{head.strip('[]')} = {value}\n{before}" + (f"\n[{rest}" if rest and head != "[[wall]]" else "")
    assert any(head in file_fault_text(fault) for fault in faults(text))


@pytest.mark.parametrize("again", ["[{0}]", "[[{0}]]"])
@pytest.mark.parametrize("head", ["job", "wall", "wall.opening", "ceiling"])
def test_a_table_that_comes_again_with_other_brackets_is_told_by_its_line(head: str, again: str) -> None:
    """Two ceilings in one bracket each are no TOML; the line is named, and what to write there."""
    text = KITCHEN if again == "[{0}]" else KITCHEN.replace(f"[[{head}]]", f"[{head}]")
    (found,) = faults(f"{text}{again.format(head)}\n")
    assert found.fault is Fault.TABLE_AGAIN
    assert f"in line {len(text.splitlines()) + 1} comes again" in file_fault_text(found)
    assert f"[[{head}]]" in file_fault_text(found)


def test_every_slip_is_told_at_once() -> None:
    """Nobody wants to mend a file one run at a time."""
    spoiled = KITCHEN.replace('"96 1/2"', "96.5").replace('"180"', '"-1"').replace('"in"', '"yards"')
    assert {fault.fault for fault in faults(spoiled)} == {Fault.DECIMAL, Fault.NEGATIVE, Fault.NOT_ONE_OF}


def test_every_fault_has_its_words() -> None:
    """A new fault without words would be a traceback on the day it is met."""
    for fault in Fault:
        text = file_fault_text(FileFault("wall 1", "width", fault, "9", ("4", "5")))
        assert text.startswith("wall 1, width: ")
        assert not re.search(r"[{}]", text)


@given(st.text(max_size=200) | st.binary(max_size=80).map(lambda data: data.decode("latin-1")))
def test_no_text_is_half_read(text: str) -> None:
    """Whatever the file holds: a house, or faults."""
    read = read_house(text)
    assert isinstance(read, House) or read


VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(allow_nan=True),
    st.text(alphabet='0123456789 /.x-e\t"', max_size=12).map(lambda text: text.replace('"', "")),
    st.lists(st.integers(-5, 300), max_size=3),
)


def _toml(value: object) -> str:
    if value is None:
        return "{}"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + value.replace("\t", "\\t") + '"'
    return str(value)


@given(st.sampled_from(re.findall(r'= (".*"|\[.*\])', KITCHEN)), VALUES)
def test_any_value_in_any_place_makes_a_house_or_faults(old: str, value: object) -> None:
    """A value of the wrong kind anywhere is a fault, never a crash."""
    read = read_house(KITCHEN.replace(old, _toml(value), 1))
    assert isinstance(read, House) or all(file_fault_text(fault) for fault in read)


@pytest.mark.parametrize(
    ("unit", "sheet", "sides"),
    [
        ("in", "8 x 96", ("12 in", "240 in")),
        ("in", "1200 x 2400", ("12 in", "240 in")),
        ("in", "48 x 241", ("12 in", "240 in")),
        ("mm", "200 x 2400", ("300 mm", "6000 mm")),
        ("mm", "48 x 96", ("300 mm", "6000 mm")),
    ],
)
def test_how_narrow_and_how_long_a_sheet_may_be_is_told_in_the_unit_of_the_job(
    unit: str, sheet: str, sides: tuple[str, str]
) -> None:
    """A job in millimeters hears no inches, and a sheet in the other one's figures is none."""
    found = faults(f'[job]\nunit = "{unit}"\nsheets = ["{sheet}"]\n')
    told = [file_fault_text(one) for one in found if one.fault is Fault.SHEET_SIZE]
    (least, most), said = sides, f"job, sheets: “{sheet}” can't be a sheet. Give the width first,"
    assert told == [f"{said} {least} or more, then the length, {most} or less."]


@pytest.mark.parametrize(
    ("width", "length", "edge", "fault"),
    [
        ("48", "60", "short side", Fault.OFFCUT_EDGE),
        ("48", "60", "long side", None),
        ("60", "60", "long side", Fault.OFFCUT_LARGE),
        ("48", "200", "long side", Fault.OFFCUT_LARGE),
        ("30", "40", "both", Fault.OFFCUT_WIDTH),
    ],
)
def test_what_is_wrong_with_an_offcut_is_told_of_what_is_wrong(
    width: str, length: str, edge: str, fault: Fault | None
) -> None:
    """Its sides, or the edge that makes them another sheet's."""
    offcut = f'\n[[offcut]]\nwidth = "{width}"\nlength = "{length}"\nfactory_edges = "{edge}"\n'
    read = read_house(KITCHEN + offcut)
    assert (None if isinstance(read, House) else [one.fault for one in read]) == (None if fault is None else [fault])


def test_a_gable_may_run_out_to_nothing_at_one_side_alone() -> None:
    """A wall that is a triangle; one without any height is none."""
    wall = '[job]\nsheets = ["48 x 96"]\n[[wall]]\nroom = "loft"\nname = "east"\nwidth = 144\nstuds = []\n'
    for left, right in (("0", "96"), ("96", "0")):
        house = read_house(f"{wall}height = {left}\ntop_right_height = {right}\n")
        assert isinstance(house, House)
        assert house.surfaces[0].highest == Length(96)
    for rest in ("height = 0\n", "height = 0\ntop_right_height = 0\n"):
        found = read_house(wall + rest)
        assert not isinstance(found, House)
        assert [(fault.key, fault.fault) for fault in found] == [("height", Fault.NOT_POSITIVE)]
