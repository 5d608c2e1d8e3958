"""What is to be planned, as files: a house, or sheets on hand and pieces, as TOML, every fault at its table and key, or
the whole of it, nothing half read; and lines of numbers as published problems have them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from fieldvoice.files.toml_values import TomlTable
from fieldvoice.records.board import KINDS, EdgesTold, Lies, OddOffcut, Offcut, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import FIVE_IN_EIGHT_FEET, Dimension, Edge, TopPoint
from fieldvoice.records.room import (
    USUAL,
    Ceiling,
    House,
    Material,
    Members,
    RoomSurface,
    RoughOpening,
    RoughOpeningKind,
    Wall,
    height_at,
    line_of_top,
)
from fieldvoice.records.room_plan import PieceList, WantedPiece
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.stock.guillotine import Rectangle
from fieldvoice.stock.rack import TOLD, told

LEAST_SPACING, MOST_SPACING = Length(4), Length(48)
"""On center; curved walls are framed at 6 in and closer, nothing is framed wider than 48 in."""

LONGEST = {Unit.INCH: Length(240), Unit.MM: Length.of(6000, Unit.MM)}
"""How long a sheet may be at most (our own rule; 16 ft are the longest sold: trade pages): one of 1200 x 2400 in was
written in another unit."""
NARROWEST = {Unit.INCH: Length(12), Unit.MM: Length.of(300, Unit.MM)}
"""No sheet is sold narrower (our own rule)."""
MOST_LAYERS = 4
THICKNESSES = {
    Unit.INCH: ("1/4", "3/8", "1/2", "5/8", "3/4", "1"),
    Unit.MM: ("6", "9.5", "10", "12.5", "13", "15", "18"),
}
"""Boards are listed in these: trade pages for inches, EN 520 and AS/NZS 2588 for millimeters."""

_SHEET = re.compile(r"\s*([^x×]+?)\s*[x×]\s*([^x×]+?)\s*", re.IGNORECASE)
_ON_CENTER = re.compile(
    r"\s*(\S+(?:\s+\d+/\d+)?)\s+on\s+center(?:\s+from\s+(\w+))?(?:\s+along\s+(\w+))?\s*", re.IGNORECASE
)


def read_house(text: str) -> House | tuple[FileFault, ...]:
    """The house of a TOML text, or every fault in it."""
    top = TomlTable.of(text)
    if isinstance(top, FileFault):
        return (top,)
    faults = top.faults
    unit, name, sheets = _read_job(top)
    of_walls, of_ceilings = top.tables("wall"), top.tables("ceiling")
    walls, ceilings = [_wall(table) for table in of_walls], [_ceiling(table) for table in of_ceilings]
    offcuts = [_offcut(table, f"{TOLD}{number}") for number, table in enumerate(top.tables("offcut"), 1)]
    top.done()
    if not walls and not ceilings and not faults:
        top.missing("wall")
    whole: list[RoomSurface] = [surface for surface in (*walls, *ceilings) if surface is not None]
    _unique((*of_walls, *of_ceilings))
    left = tuple(one for one in offcuts if one is not None)
    return tuple(faults) if faults else House(name, unit, sheets, tuple(whole), left)


def _read_job(top: TomlTable) -> tuple[Unit, str | None, tuple[Sheet, ...]]:
    """The unit, the name and the sheets of a file's table `job`; the rest of the file is in that unit."""
    job = top.table("job", required=True)
    if job is None:
        return top.unit, None, ()
    unit = Unit(job.choice("unit", [one.value for one in Unit], Unit.INCH.value) or Unit.INCH)
    top.unit = job.unit = unit
    name = job.text("name")
    sheets = _sheets(job)
    job.done()
    return unit, name, sheets


def _sheets(job: TomlTable) -> tuple[Sheet, ...]:
    value = job.get("sheets", required=True)
    if value is None:
        return ()
    if not isinstance(value, list):
        job.fault("sheets", Fault.NOT_A_LIST, value)
        return ()
    if not value:
        job.fault("sheets", Fault.EMPTY)
    sheets = [sheet for one in value if (sheet := _sheet(job, one)) is not None]
    for size, again in combinations(sheets, 2):
        if size == again:
            job.fault("sheets", Fault.TWICE, f"{size.width.text(job.unit)} x {size.length.text(job.unit)}")
    return tuple(sheets)


def _sheet(job: TomlTable, value: object) -> Sheet | None:
    if isinstance(value, float):
        job.fault("sheets", Fault.DECIMAL, value)
        return None
    parts = _SHEET.fullmatch(value) if isinstance(value, str) else None
    if parts is None:
        job.fault("sheets", Fault.NOT_A_SHEET, value)
        return None
    width, length = (job.length_of("sheets", part) for part in parts.groups())
    if width is None or length is None:
        return None
    least, most = NARROWEST[job.unit], LONGEST[job.unit]
    if not least <= width <= length <= most:
        job.fault("sheets", Fault.SHEET_SIZE, value, tuple(each.text_with_unit(job.unit) for each in (least, most)))
        return None
    return Sheet(width, length)


OTHERWISE_WRITTEN = {
    **dict.fromkeys(("apex", "peak", "peak_left", "ridge", "top"), Fault.PEAK),
    **dict.fromkeys(("arc", "curve", "curve_radius", "curved", "radius"), Fault.CURVE),
    **dict.fromkeys(("bottom_breaks", "bottom_left_height", "bottom_right_height", "stairs"), Fault.RISING_FLOOR),
}
"""Keys that somebody may think of for a wall that isn't flat, level and square, beside those that it has."""
ROUND = dict.fromkeys(("arch", "arch_height", "diameter", "radius", "rise", "round"), Fault.ROUND_OPENING)
"""The same for an opening."""
MOST_BREAKS = 6


def _wall(table: TomlTable) -> Wall | None:
    room, name = table.text("room", required=True), table.text("name", required=True)
    width, right = table.length("width", required=True), table.length("top_right_height", zero=True)
    peaked = any(table.values.get(key) is not None for key in ("peak_height", "top_breaks"))
    height = table.length("height", required=True, zero=bool(right) or peaked)
    studs = _members(table, "studs", (Edge.LEFT, Edge.RIGHT), (Dimension.WIDTH,), width)
    thickness, board, layers = _board(table)
    lies = _lies(table)
    breaks = _breaks(table, width, height, right)
    line = None if width is None or height is None else line_of_top(width, height, right, breaks)
    openings = _openings(table, width, line)
    table.done(OTHERWISE_WRITTEN)
    if room is None or name is None or width is None or height is None or studs is None:
        return None
    return Wall(room, name, width, height, studs, openings, right, thickness, board, layers, lies, breaks)


def _breaks(
    table: TomlTable, width: Length | None, height: Length | None, right: Length | None
) -> tuple[TopPoint, ...]:
    """Where the slope of a wall's top changes: its peak, else each place of a list. The top falls from its highest
    place to either side.
    """
    peak, across = table.length("peak_height"), table.length("peak_from_left")
    listed = table.get("top_breaks")
    key, found = "peak_height", list[TopPoint]()
    if listed is not None:
        key, found = "top_breaks", _listed_breaks(table, listed)
    if peak is not None:
        if listed is not None:
            table.fault("peak_height", Fault.ONE_OF_BOTH, "peak_height", ("top_breaks",))
        elif width is not None:
            found = [TopPoint(width / 2 if across is None else across, peak)]
    elif across is not None:
        table.fault("peak_height", Fault.MISSING)
    if width is None or height is None or not found:
        return ()
    line = line_of_top(width, height, right, tuple(found))
    if any(one.across >= other.across for one, other in pairwise(line)):
        table.fault("peak_from_left" if across is not None else key, Fault.TOP_OUT_OF_ORDER)
        return ()
    rises = [one.height < other.height for one, other in pairwise(line) if one.height != other.height]
    if (key == "peak_height" and rises != [True, False]) or rises != sorted(rises, reverse=True):
        table.fault(key, Fault.NO_PEAK if key == "peak_height" else Fault.TOP_RISES_AGAIN)
        return ()
    return tuple(found)


def _listed_breaks(table: TomlTable, listed: object) -> list[TopPoint]:
    """Pairs of how far from the left end and how high."""
    given = listed if isinstance(listed, list) else []
    pairs = [each for each in given if isinstance(each, list) and len(each) == 2]
    if len(pairs) < len(given) or not 0 < len(pairs) <= MOST_BREAKS:
        table.fault("top_breaks", Fault.NOT_BREAKS, str(listed), (str(MOST_BREAKS),))
        return []
    read = [(table.length_of("top_breaks", one), table.length_of("top_breaks", other)) for one, other in pairs]
    return [TopPoint(one, other) for one, other in read if one is not None and other is not None]


def _ceiling(table: TomlTable) -> Ceiling | None:
    room, name = table.text("room", required=True), table.text("name", required=True)
    width, length = table.length("width", required=True), table.length("length", required=True)
    joists = _joists(table, width, length)
    thickness, board, layers = _board(table)
    lies = _lies(table)
    line = None if width is None or length is None else line_of_top(width, length)
    openings = _openings(table, width, line)
    table.done()
    if room is None or name is None or width is None or length is None or joists is None:
        return None
    return Ceiling(room, name, width, length, joists, openings, thickness, board, layers, lies)


def _lies(table: TomlTable) -> Lies | None:
    said = table.choice("lies", [one.value for one in Lies], "")
    return Lies(said) if said else None


def _board(table: TomlTable) -> tuple[Length, str, int]:
    thickness, board = _sort_of_board(table)
    return thickness, board, table.count("layers", 1, MOST_LAYERS)


def _sort_of_board(table: TomlTable) -> tuple[Length, str]:
    thickness = table.length("thickness")
    listed = [Length.of(size, table.unit) for size in THICKNESSES[table.unit]]
    if thickness is not None and thickness not in listed:
        table.fault("thickness", Fault.NOT_ONE_OF, thickness.text(table.unit), THICKNESSES[table.unit])
    board = table.choice("kind", KINDS, KINDS[0]) or KINDS[0]
    return thickness or USUAL[table.unit], board


def _offcut(table: TomlTable, name: str) -> Offcut | None:
    """An offcut from elsewhere, as it is told by voice."""
    one, other = table.length("width", required=True), table.length("length", required=True)
    edges = table.choice("factory_edges", [each.value for each in EdgesTold], EdgesTold.UNKNOWN.value)
    thickness, kind = _sort_of_board(table)
    table.done()
    if one is None or other is None or edges is None:
        return None
    found = told(name, (one, other), EdgesTold(edges), thickness, kind)
    if isinstance(found, OddOffcut):
        size = f"{one.text(table.unit)} x {other.text(table.unit)}"
        edges_key = found in {OddOffcut.NO_WIDTH, OddOffcut.NO_EDGE}
        table.fault("factory_edges" if edges_key else "width", _ODD[found], size)
        return None
    return found


_ODD = {
    OddOffcut.TOO_SMALL: Fault.OFFCUT_SMALL,
    OddOffcut.NO_SHEET: Fault.OFFCUT_LARGE,
    OddOffcut.NO_EDGE: Fault.OFFCUT_EDGE,
    OddOffcut.NO_WIDTH: Fault.OFFCUT_WIDTH,
}


def _joists(table: TomlTable, width: Length | None, length: Length | None) -> Members | None:
    """Joists counted along the width or the length; which one decides what they must lie inside."""
    said = table.values.get("joists")
    along_length = isinstance(said, str) and "along length" in " ".join(said.lower().split())
    edges = (Edge.BOTTOM, Edge.TOP) if along_length else (Edge.LEFT, Edge.RIGHT)
    return _members(table, "joists", edges, (Dimension.WIDTH, _LENGTH), length if along_length else width)


_LENGTH = Dimension.HEIGHT
"""A ceiling's length runs the way that a wall's height does."""

_DIMENSIONS = {"width": Dimension.WIDTH, "length": Dimension.HEIGHT, "height": Dimension.HEIGHT}


def _members(
    table: TomlTable, key: str, edges: tuple[Edge, Edge], along: tuple[Dimension, ...], extent: Length | None
) -> Members | None:
    value = table.get(key, required=True)
    material = Material(table.choice("framing", [one.value for one in Material], Material.WOOD.value) or Material.WOOD)
    if value is None:
        return None
    if value == [] and key == "joists":
        table.fault(key, Fault.NO_JOISTS)
        return None
    if isinstance(value, list):
        return _places(table, key, value, material, extent)
    parts = _ON_CENTER.fullmatch(value) if isinstance(value, str) else None
    if parts is None:
        table.fault(key, Fault.NOT_MEMBERS, value)
        return None
    spacing = _spacing(table, key, parts[1])
    if spacing is None:
        return None
    if not LEAST_SPACING <= spacing <= MOST_SPACING:
        limits = (LEAST_SPACING.text(table.unit), MOST_SPACING.text(table.unit))
        table.fault(key, Fault.SPACING, parts[1], limits)
        return None
    if key == "joists" and parts[3] is None:
        table.fault(key, Fault.NO_DIRECTION, value)
        return None
    start = (parts[2] or edges[0].value).lower()
    runs = _DIMENSIONS.get((parts[3] or "width").lower())
    if start not in edges or runs not in along:
        table.fault(key, Fault.NOT_MEMBERS, value)
        return None
    return Members(spacing, Edge(start), (), runs, material)


def _spacing(table: TomlTable, key: str, said: str) -> Length | None:
    """Center to center: as a tape shows it, or five spaces in eight feet."""
    five = table.unit is Unit.INCH and said.split() in (["19.2"], ["19", "1/5"])
    return FIVE_IN_EIGHT_FEET if five else table.length_of(key, said)


def _places(
    table: TomlTable, key: str, values: Sequence[object], material: Material, extent: Length | None
) -> Members | None:
    """Centers one by one, from the left end."""
    places = [table.length_of(key, value) for value in values]
    known = [place for place in places if place is not None]
    if len(known) < len(places):
        return None
    for place in known:
        if extent is not None and place >= extent:
            table.fault(key, Fault.OUTSIDE, place.text(table.unit))
    if len(set(known)) < len(known):
        table.fault(key, Fault.TWICE, ", ".join(place.text(table.unit) for place in known))
    return Members(None, Edge.LEFT, tuple(sorted(set(known))), Dimension.WIDTH, material)


def _openings(table: TomlTable, width: Length | None, line: tuple[TopPoint, ...] | None) -> tuple[RoughOpening, ...]:
    read = []
    for number, inner in enumerate(table.tables("opening"), 1):
        opening = _opening(inner)
        if opening is None:
            continue
        if width is not None and line is not None and not _inside(opening, width, line):
            inner.fault(None, Fault.OUTSIDE)
        read.append((number, opening))
    for (_, one), (number, other) in combinations(read, 2):
        if _overlap(one, other):
            table.faults.append(FileFault(f"{table.name}, opening {number}", None, Fault.OVERLAP))
    return tuple(opening for _, opening in read)


def _opening(table: TomlTable) -> RoughOpening | None:
    kind = table.choice("kind", [one.value for one in RoughOpeningKind if one is not RoughOpeningKind.LIGHT])
    left, bottom = table.length("left", required=True, zero=True), table.length("bottom", zero=True)
    width, height = table.length("width", required=True), table.length("height", required=True)
    if bottom is None and table.get("bottom") is None:
        bottom = _floor(table, kind)
    table.done(ROUND)
    if kind is None or left is None or bottom is None or width is None or height is None:
        return None
    return RoughOpening(RoughOpeningKind(kind), left, bottom, width, height)


def _floor(table: TomlTable, kind: str | None) -> Length | None:
    """A door that says nothing else stands on the floor; anything else has to say where it begins."""
    if kind == RoughOpeningKind.DOOR:
        return Length(0)
    table.fault("bottom", Fault.MISSING)
    return None


def _inside(opening: RoughOpening, width: Length, line: tuple[TopPoint, ...]) -> bool:
    """The top falls from its highest place to either side, so that it is lowest over one of the two jambs."""
    if opening.right > width:
        return False
    return opening.top <= min(height_at(line, x) for x in (opening.left, opening.right))


def _overlap(one: RoughOpening, other: RoughOpening) -> bool:
    across = one.left < other.right and other.left < one.right
    return across and one.bottom < other.top and other.bottom < one.top


def _unique(tables: Sequence[TomlTable]) -> None:
    """Notes rooms that are written in two ways, and names that come again in their room."""
    rooms = dict[str, str]()
    for table in tables:
        room = _said(table, "room")
        first = rooms.setdefault(_bare(room), room)
        if room != first:
            table.fault("room", Fault.TWO_WAYS, room, (first,))
    _each_once(tables, ("room", "name"), Fault.SAME_NAME)


def _each_once(tables: Sequence[TomlTable], keys: Sequence[str], fault: Fault) -> None:
    """Notes each table that those of its keys name as one before it; the last of them is its own name."""
    seen = set[tuple[str, ...]]()
    for table in tables:
        said = [_said(table, key) for key in keys]
        bare = tuple(map(_bare, said))
        if bare[-1] and bare in seen:
            table.fault(keys[-1], fault, " ".join(filter(None, said)))
        seen.add(bare)


def _said(table: TomlTable, key: str) -> str:
    return str(table.values.get(key, "")).strip()


def _bare(name: str) -> str:
    """Capitals and blanks alone make no other name."""
    return "".join(name.casefold().split())


LARGEST = 20_000
"""The longest side that is taken: the table of best values has a place for each size."""


@dataclass(frozen=True, slots=True)
class SheetProblem:
    """A sheet and the pieces that may be cut from it for the most value."""

    width: int
    height: int
    pieces: tuple[Rectangle, ...]


def is_instance(text: str) -> bool:
    """Whether a file is in the instances' format: its first line that holds something is one whole number."""
    first = next((line.split() for line in text.splitlines() if line.strip()), [])
    return len(first) == 1 and first[0].isdecimal()


def read_instance(text: str) -> SheetProblem | tuple[FileFault, ...]:
    """The problem, or every fault in the file. Lines are `length width value`, or `length width most value`."""
    lines = [(number, line.split()) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    faults: list[FileFault] = []
    if len(lines) < 3:
        return (FileFault("the file", None, Fault.COUNT),)
    count, sheet = _numbers(*lines[0], 1, faults), _numbers(*lines[1], 2, faults)
    columns = 4 if len(lines[2][1]) == 4 else 3
    rows = [_numbers(number, words, columns, faults) for number, words in lines[2:]]
    if count and len(rows) != count[0]:
        faults.append(FileFault("the file", None, Fault.COUNT))
    if sheet and max(sheet) > LARGEST:
        faults.append(FileFault(f"line {lines[1][0]}", None, Fault.TOO_LARGE, " ".join(lines[1][1])))
    if faults or not count or not sheet:
        return tuple(faults)
    pieces = [Rectangle(row[0], row[1], row[-1], row[2] if columns == 4 else None) for row in rows if row]
    return SheetProblem(sheet[0], sheet[1], tuple(pieces))


def _numbers(line: int, words: list[str], count: int, faults: list[FileFault]) -> list[int] | None:
    good = len(words) == count and all(word.isdecimal() and len(word) <= 12 and int(word) > 0 for word in words)
    if not good:
        faults.append(FileFault(f"line {line}", None, Fault.NOT_NUMBERS, " ".join(words)[:80], (str(count),)))
        return None
    return [int(word) for word in words]


MOST_OF_ONE = 1000


def read_pieces(text: str) -> PieceList | tuple[FileFault, ...]:
    """The list of a TOML text, or every fault in it."""
    top = TomlTable.of(text)
    if isinstance(top, FileFault):
        return (top,)
    faults = top.faults
    unit, _, sheets = _read_job(top)
    tables = top.tables("piece")
    found = [_piece(table, sheets) for table in tables]
    top.done()
    if not found and not faults:
        top.missing("piece")
    _each_once(tables, ("name",), Fault.PIECE_NAME)
    pieces = tuple(piece for piece in found if piece is not None)
    return tuple(faults) if faults else PieceList(unit, sheets, pieces)


def _piece(table: TomlTable, sheets: tuple[Sheet, ...]) -> WantedPiece | None:
    name = table.text("name", required=True)
    length, width = table.length("length", required=True), table.length("width", required=True)
    count = table.count("count", 1, MOST_OF_ONE)
    tapered = int(table.choice("factory_edges", ("0", "1", "2"), "0") or 0)
    table.done()
    if name is None or length is None or width is None:
        return None
    if sheets and not any(_fits(length, width, tapered, sheet) for sheet in sheets):
        table.fault(None, Fault.FITS_NO_SHEET)
    return WantedPiece(name, length, width, count, tapered)


def _fits(length: Length, width: Length, tapered: int, sheet: Sheet) -> bool:
    if length > sheet.length or width > sheet.width:
        return False
    return tapered < 2 or width == sheet.width
