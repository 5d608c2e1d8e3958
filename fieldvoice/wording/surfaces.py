"""Walls, ceilings and their layout in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from string import ascii_uppercase

from fieldvoice.language.speaking import length_words, number_words
from fieldvoice.records.ledger import Tell, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Course, Edge, LayoutWish, SurfaceCall, Wish
from fieldvoice.records.orders import NEXT_ROOM, NEXT_WALL
from fieldvoice.records.room_plan import Piece, RoomPlan, SurfaceAtHand
from fieldvoice.wording.figures import counted, joined, own_edges

Both = tuple[str, str]


def the(name: Value) -> str:
    """`the north wall`, but `wall 2`."""
    return str(name) if str(name)[-1:].isdigit() else f"the {name}"


def sides(call: SurfaceCall, unit: Unit) -> str:
    """A surface by its two sides, and under a slope by the heights of both ends."""
    if call.right_height is not None:
        ends = f"{call.height.text(unit)} at its left and {call.right_height.text_with_unit(unit)} at its right"
        return f"{call.width.text(unit)} wide, {ends}"
    return f"{call.width.text(unit)} by {call.height.text_with_unit(unit)}"


def wished(wish: LayoutWish, unit: Unit) -> str:
    """What is wanted of a layout."""
    if wish.wish is Wish.START:
        return f"full sheets from the {wish.edge} on"
    if wish.wish is Wish.LENGTH and wish.length is not None:
        return f"sheets of {wish.length.text_with_unit(unit)} only"
    return "sheets standing" if wish.wish is Wish.STANDING else "sheets lying"


def spacing(fact: Context, unit: Unit) -> str:
    """Framing on center, and the side that it is counted from."""
    assert isinstance(fact.value, Length)
    side = f" from the {_SIDES[fact.edge]}" if fact.edge is not None else ""
    return f"{fact.value.text_with_unit(unit)} on center{side}"


_SIDES = {Edge.LEFT: "left", Edge.RIGHT: "right", Edge.TOP: "far end", Edge.BOTTOM: "near end"}


def _surface(values: Sequence[Value], _: Unit) -> str:
    name, new = values
    return f"{_named(name)}, new." if new else f"{_named(name)}, as it was left."


def _named(name: Value) -> str:
    shown = str(name)
    return shown[0].upper() + shown[1:]


def _layout(values: Sequence[Value], unit: Unit) -> Both:
    pieces, *rest = values
    texts: list[str] = []
    words: list[str] = []
    for count, width, length in zip(rest[::3], rest[1::3], rest[2::3], strict=True):
        assert isinstance(count, int)
        assert isinstance(width, Length)
        assert isinstance(length, Length)
        sheets = "" if texts else " sheet" if count == 1 else " sheets"
        texts.append(f"{count}{sheets} of {width.text(unit)} x {length.text(unit)}")
        words.append(f"{number_words(count)}{sheets} of {length_words(length, unit)}")
    assert isinstance(pieces, int)
    count = counted(pieces, "piece")
    spoken = "one piece" if pieces == 1 else f"{number_words(pieces)} pieces"
    text = f"Laid out: {count} from {joined(texts)}." if texts else f"Laid out: {count}."
    said = f"{spoken} from {joined(words)}." if words else f"{spoken}."
    return f"{text} Say next board to cut.", said


def _piece(values: Sequence[Value], unit: Unit) -> Both:
    board, name, number, width, height, across, long, course, lies, *edges = values
    assert isinstance(number, int)
    lengths = [each for each in (width, height, across, long) if isinstance(each, Length)]
    wide, high, sheet, run = (each.text(unit) for each in lengths)
    row = f", {course} course" if course else ""
    stands = ", ".join(f"{one.edge} {one.value}" for one in edges if isinstance(one, Context))
    text = (
        f"Board {board}, piece {number} of {the(name)}: about {wide} wide by {high} high, {lies}{row}, from a sheet "
        f"{sheet} x {run}. Beside it: {stands}."
    )
    long_side = length_words(lengths[3], unit)
    spoken = f"Board {board}, piece {number_words(number)} of {the(name)}, {lies}{row}, sheet {long_side}. {stands}."
    return text, spoken


def _from_offcut(values: Sequence[Value], unit: Unit) -> Both:
    name, along, across, factory = values
    assert isinstance(along, Length)
    assert isinstance(across, Length)
    size = f"{along.text(unit)} x {across.text_with_unit(unit)}"
    square = "" if len(str(factory).split()) == len(Edge) else " Square its cut end first"
    why = f"{square}: the marks are from a square edge." if square else ""
    return (
        f"Cut it from the offcut “{name}”, {size}, {_own(factory)}.{why}",
        f"Cut it from the offcut {_lettered(name)}.{square}{'.' * bool(square)}",
    )


def _own(factory: Value) -> str:
    return own_edges(Edge(each) for each in str(factory).split())


def _leaves(values: Sequence[Value], unit: Unit) -> Both:
    """What to write on each offcut, which is counted as it is once it is squared."""
    _, *rest = values
    texts: list[str] = []
    words: list[str] = []
    for name, along, across, factory in zip(rest[::4], rest[1::4], rest[2::4], rest[3::4], strict=True):
        assert isinstance(along, Length)
        assert isinstance(across, Length)
        texts.append(f"“{name}” on {along.text(unit)} x {across.text_with_unit(unit)}, {_own(factory)}")
        words.append(f"{_lettered(name)} on {length_words(along, unit)} by {length_words(across, unit)}")
    return f"It leaves: write {'; '.join(texts)}.", f"Write {', '.join(words)}."


def _lettered(name: Value) -> str:
    """The name of an offcut as it is spoken: the board's number, then the letter."""
    number = str(name).rstrip(ascii_uppercase)
    letter = str(name)[len(number) :]
    return f"{number_words(int(number))} {letter}" if number.isdigit() else str(name)


_SURFACES = ("wall or ceiling", "walls and ceilings")


def _house(values: Sequence[Value], _: Unit) -> Both:
    name, count, *rooms = values
    assert isinstance(count, int)
    where = f"{counted(count, *_SURFACES)} in {listed(rooms)}"
    return (
        f"{_named(name)}: {where}. Say the room to work in, or next board.",
        f"{number_words(count)} {_SURFACES[count > 1]}. Say the room, or next board.",
    )


def listed(values: Sequence[Value]) -> str:
    """Names in a row."""
    *before, last = map(str, values)
    return f"{', '.join(before)} and {last}" if before else last


def _house_changed(values: Sequence[Value], _: Unit) -> Both:
    file, *others = values
    text = (
        f"{file} has changed since this job took it: {listed(others)}. The job goes on as it was. Call what is "
        "different, or start another job from the file."
    )
    return text, "The house's file has changed. This job goes on as it was."


def _room(values: Sequence[Value], _: Unit) -> Both:
    name, done, count = values
    shown = _named(name)
    assert isinstance(done, int)
    assert isinstance(count, int)
    if done == count:
        return f"{shown}: every piece is a board.", f"{shown}, every piece is a board."
    return (
        f"{shown}: {counted(count, 'piece')}, {done} of them boards already."
        if done
        else f"{shown}: {counted(count, 'piece')}.",
        f"{shown}, {number_words(count - done)} {'piece' if count - done == 1 else 'pieces'} left.",
    )


def sized(name: str, call: SurfaceCall | None, unit: Unit) -> str:
    """A surface with its sides, for the head of a page."""
    return _named(name) if call is None else f"{_named(name)}: {sides(call, unit)}"


def what_is_next(surface: SurfaceAtHand, unit: Unit) -> str:
    """What to do at a surface now."""
    if surface.plan is None:
        return "Not laid out yet: ask what's missing."
    ahead = next((piece for piece in surface.plan.pieces if piece.name == surface.next), None)
    if ahead is None:
        return "Every piece of it is a board. Say next board for the next wall."
    return f"Next is {ahead.name.number}: {_extent(ahead, unit)}. Say next board."


def where_to_begin(plan: RoomPlan) -> str:
    """What to say at a board that nothing was called on, where a house or a wall is laid out."""
    rooms = list(dict.fromkeys(one.room for one in plan.house.surfaces if one.room))
    where = f" in {listed(rooms)}" if rooms else ""
    return f"{len(plan.pieces)} pieces are laid out{where}. Say the room, the wall, or next board."


def piece_line(piece: Piece, surface: SurfaceAtHand, unit: Unit) -> str:
    """One piece: its size, its course, its sheet, and what became of it."""
    course = f", {piece.course} course" if isinstance(piece.course, Course) else ""
    board = surface.boards.get(piece.name)
    became = "" if board is None else f": board {board}, cut" if piece.name in surface.cut else f": board {board}"
    sheet = f"{piece.sheet.width.text(unit)} x {piece.sheet.length.text(unit)}"
    return f"{_extent(piece, unit)}{course}, from {sheet}{became}"


def _extent(piece: Piece, unit: Unit) -> str:
    return f"{piece.width.text(unit)} wide by {piece.height.text(unit)} high"


def _how_called(name: str) -> str:
    named = "Say its name and its two sides." if name == NEXT_WALL else "Call it by its two sides."
    return "Say its name, as in bedroom two." if name == NEXT_ROOM else named


WORDED: Mapping[Tell, Callable[[Sequence[Value], Unit], Both | str]] = {
    Tell.SURFACE: _surface,
    Tell.SURFACE_WHOLE: lambda values, _: f"Nothing is missing on {the(values[0])}.",
    Tell.SURFACE_NOT_YET: lambda values, _: f"There is no {values[0]} yet. {_how_called(str(values[0]))}",
    Tell.WHICH_SURFACE: lambda values, _: (
        f"Which {values[0]}: {' or '.join(map(str, values[1:]))}? Not taken. Say the room first, then the {values[0]}."
    ),
    Tell.HOUSE: _house,
    Tell.HOUSE_GOES_ON: lambda values, _: (
        f"{values[0]} hasn't changed. Going on where you left off.",
        "Going on where you left off.",
    ),
    Tell.HOUSE_CHANGED: _house_changed,
    Tell.HOUSE_CLASHES: lambda values, _: (
        f"{values[0]} was not taken: there would be two of {values[1]}. Start another job for it.",
        "The house was not taken: one of its walls is there already.",
    ),
    Tell.ROOM: _room,
    Tell.WHICH_ROOM: lambda values, _: f"Which room: {' or '.join(map(str, values[1:]))}? Say it, or go to its wall.",
    Tell.FRAMING_WANTED: lambda values, _: (
        f"Where is the framing of {the(values[0])}? Say it, as in sixteen on center from the left."
    ),
    Tell.ONE_SURFACE: lambda _, __: "That is more than one wall or ceiling, so none was taken. Say one at a time.",
    Tell.NO_SURFACE: lambda _, __: "There is no wall or ceiling to lay out yet. Call one by its two sides.",
    Tell.NOT_OF_SURFACE: lambda values, _: (
        f"That belongs to a board, not to {the(values[0])}. Not taken. Say next board, then call it."
    ),
    Tell.OUTSIDE: lambda values, _: (
        f"{_named(values[1])} doesn't fit into {the(values[0])}, so nothing is laid out. Undo it and call it again."
    ),
    Tell.LAYOUT: _layout,
    Tell.NO_LAYOUT: lambda values, _: f"{values[0]} Or undo what was called last.",
    Tell.LAYOUT_OFF: lambda _, __: "Nothing is laid out now.",
    Tell.PIECE: _piece,
    Tell.SAME_SHEET: lambda values, _: f"Cut it from what board {values[0]} leaves of its sheet.",
    Tell.FROM_OFFCUT: _from_offcut,
    Tell.LEAVES: _leaves,
    Tell.ALL_PIECES: lambda values, _: (
        f"Every piece of the layout is a board now, {values[0]} in all. Call the next wall, or go on with this board.",
        "Every piece is a board now. Call the next wall.",
    ),
}
"""What is told of surfaces and of their layout."""
