"""Walls, ceilings and their layout in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fieldvoice.records.board import EdgesTold, OddOffcut, Offcut, Surface
from fieldvoice.records.ledger import Tell, Value
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Context, Course, Edge, LayoutWish, SurfaceCall, TopPoint, Wish
from fieldvoice.records.plan import NoPlan
from fieldvoice.records.room_plan import Piece, RoomPlan, RoomWarning, SurfaceAtHand
from fieldvoice.records.utterance import NEXT_ROOM, NEXT_WALL
from fieldvoice.wording.forms import (
    AS_A_PEAK,
    TO_ITS_SHAPE,
    Both,
    Form,
    InWords,
    Worded,
    as_planned,
    counted,
    each,
    first_large,
    joined,
    offcut_text,
    piece_size,
    says,
    size_text,
    slope_text,
)
from fieldvoice.wording.needs import no_plan
from fieldvoice.wording.room import all_pieces_text, begun_text, unsaid_text, warning_aloud, warning_text


def the(name: Value, form: Form) -> str:
    """`the north wall`, but `wall 2`."""
    return form.words(name) if str(name)[-1:].isdigit() else f"the {form.words(name)}"


def at_work(name: Value) -> str:
    """A board by its number, a wall or a ceiling by its name."""
    return f"board {name}" if str(name).isdecimal() else the(name, Form(Unit.INCH))


def sides(call: SurfaceCall, form: Form) -> str:
    """A surface by its two sides, and under a slope by the heights of both ends."""
    if call.breaks:
        right = call.height if call.right_height is None else call.right_height
        line = (TopPoint(ZERO, call.height), *call.breaks, TopPoint(call.width, right))
        return f"{form.length(call.width)} wide, {slope_text(line, form)}"
    if call.right_height is not None:
        ends = f"{form.length(call.height)} at its left and {form.with_unit(call.right_height)} at its right"
        return f"{form.length(call.width)} wide, {ends}"
    return f"{form.length(call.width)} by {form.with_unit(call.height)}"


def wished(wish: LayoutWish, form: Form) -> str:
    """What is wanted of a layout."""
    if wish.wish is Wish.START:
        return f"full sheets from the {wish.edge} on"
    if wish.wish is Wish.LENGTH and wish.length is not None:
        return f"sheets of {form.with_unit(wish.length)} only"
    return "sheets standing" if wish.wish is Wish.STANDING else "sheets lying"


def spacing(fact: Context, form: Form) -> str:
    """Framing on center, and the side that it is counted from."""
    assert isinstance(fact.value, Length)
    side = f" from the {_SIDES[fact.edge]}" if fact.edge is not None else ""
    return f"{form.spacing(fact.value)} on center{side}"


_SIDES = {Edge.LEFT: "left", Edge.RIGHT: "right", Edge.TOP: "far end", Edge.BOTTOM: "near end"}


def _surface(values: Sequence[Value], form: Form) -> str:
    name, new = values
    return f"{_named(name, form)}, {'new' if new else 'as it stands'}."


def _named(name: Value, form: Form) -> str:
    return first_large(form.words(name))


def _layout_of_all(values: Sequence[Value], ear: InWords) -> Both:
    """The same of several walls and ceilings."""
    surfaces, *rest = values
    assert isinstance(surfaces, int)
    shown, spoken = _pieces_of_sheets(rest, ear)
    return f"Laid out, {ear.eye.number(surfaces)} walls and ceilings in all: {shown}.", f"In all {spoken}."


def _layout(values: Sequence[Value], ear: InWords) -> Both:
    shown, spoken = _pieces_of_sheets(values, ear)
    return f"Laid out: {shown}.", f"{spoken}."


def _pieces_of_sheets(values: Sequence[Value], ear: InWords) -> Both:
    pieces, *rest = values
    assert isinstance(pieces, int)
    eye = ear.eye
    texts: list[str] = []
    words: list[str] = []
    starts = [index for index, value in enumerate(rest) if isinstance(value, int)]
    for start, end in zip(starts, (*starts[1:], len(rest)), strict=True):
        count, (width, length, *thick) = rest[start], _lengths(rest[start:end])
        assert isinstance(count, int)
        kind = " ".join(one for one in rest[start:end] if isinstance(one, str))
        sheets = "" if texts else " sheet" if count == 1 else " sheets"
        material = "".join(f", {eye.with_unit(one)} {kind}" for one in thick)
        aloud = "".join(f", {ear.length(one)} {kind}" for one in thick)
        texts.append(f"{count}{sheets} of {eye.length(width)} x {eye.length(length)}{material}")
        words.append(f"{ear.number(count)}{sheets} of {ear.length(length)}{aloud}")
    shown, spoken = eye.counted(pieces, "piece"), ear.counted(pieces, "piece")
    return (f"{shown} from {joined(texts)}", f"{spoken} from {joined(words)}") if texts else (shown, spoken)


def _lengths(values: Sequence[Value]) -> list[Length]:
    return [one for one in values if isinstance(one, Length)]


def _pieces_left(values: Sequence[Value], form: Form) -> str:
    here, surface, everywhere, *begun = values
    assert isinstance(here, int)
    assert isinstance(everywhere, int)
    if not everywhere:
        return f"No more boards to open: every piece of the layout is a board.{begun_text([*map(form.words, begun)])}"
    said = f"{form.counted(everywhere, 'board')} to go"
    of_surface = f" in all, {form.counted(here, 'board')} on {the(surface, form)}" if surface else ""
    return f"{said}{of_surface}.{begun_text([*map(form.words, begun)])}"


def _piece(values: Sequence[Value], ear: InWords) -> Both:
    board, name, number, width, height, across, long, course, lies, *rest = values
    assert isinstance(number, int)
    assert isinstance(width, Length)
    assert isinstance(height, Length)
    assert isinstance(across, Length)
    assert isinstance(long, Length)
    eye = ear.eye
    wide, high = (eye.length(as_planned(side, eye.unit)) for side in (width, height))
    sheet, run = map(eye.length, (across, long))
    row = f", {course} course" if course else ""
    shown, stands = (", ".join(_at(one, form) for one in rest if isinstance(one, Context)) for form in (eye, ear))
    openings = ["an opening" if one == "other" else f"a {one}" for one in rest if isinstance(one, str)]
    around = f" It is cut around {joined(openings)}." if openings else ""
    text = (
        f"Board {board}, piece {number} of {the(name, eye)}: about {wide} wide by {high} high, {lies}{row}, from a "
        f"sheet {sheet} x {run}. Beside it: {shown}.{around}"
    )
    which = f"Board {ear.words(board)}, piece {ear.number(number)} of {the(name, ear)}"
    return text, f"{which}, {lies}{row}, sheet {ear.length(long)}. {stands}.{around}"


def _at(one: Context, form: Form) -> str:
    """What stands at an edge, or how far the board stays off there."""
    return f"{one.edge} gap {form.with_unit(one.value)}" if isinstance(one.value, Length) else f"{one.edge} {one.value}"


def _piece_slopes(values: Sequence[Value], ear: InWords) -> Both:
    corners = _corners([each for each in values if isinstance(each, Length)])
    pointed = not corners[0].height.inches or not corners[-1].height.inches
    eye = ear.eye
    planned = [TopPoint(as_planned(one.across, eye.unit), as_planned(one.height, eye.unit)) for one in corners]
    text, words = first_large(slope_text(planned, eye)), first_large(slope_text(corners, ear))
    if pointed:
        why = "No marks are given for a board that runs out to a point."
        return f"{text}. {why} {TO_ITS_SHAPE}", f"{words}. No marks for it: take its shape off the wall."
    if len(corners) == 2:
        return f"{text}.", f"{words}."
    which = "both sides and where its top breaks"
    return f"{text}. Call its height at {which}, {AS_A_PEAK}", f"{words}. Call its height at {which}."


def _corners(lengths: Sequence[Length]) -> list[TopPoint]:
    """Of the heights at the left and the right, and the places in between: each with its height, or, as earlier jobs
    kept it, one alone, where the top is as high as at the higher side. How far the right is stays out of what is told.
    """
    left, right, *rest = lengths
    inside = [TopPoint(*both) for both in zip(rest[::2], rest[1::2], strict=False)]
    if len(rest) == 1:
        inside = [TopPoint(rest[0], max(left, right))]
    return [TopPoint(ZERO, left), *inside, TopPoint(max([ZERO, *(one.across for one in inside)]), right)]


def _from_offcut(values: Sequence[Value], ear: InWords) -> Both:
    (offcut,) = values
    assert isinstance(offcut, Offcut)
    square = "" if len(offcut.factory) == len(Edge) else " Square its cut edges first"
    why = f"{square}: the marks are from a square edge." if square else ""
    return (
        f"Cut it from the offcut “{offcut.name}”, {offcut_text(offcut, ear.unit)}.{why}",
        f"Cut it from the offcut {ear.words(offcut.name)}.{square}{'.' * bool(square)}",
    )


def _leaves(values: Sequence[Value], ear: InWords) -> Both:
    """What to write on each offcut, which is counted as it is once it is squared."""
    eye, left = ear.eye, [each for each in values if isinstance(each, Offcut)]
    texts = [f"“{one.name}” on {offcut_text(one, eye.unit)}" for one in left]
    words = [f"{ear.words(one.name)} on {ear.length(one.width)} by {ear.length(one.length)}" for one in left]
    return f"It leaves: write {'; '.join(texts)}.", f"Write {', '.join(words)}."


def _left_over(values: Sequence[Value], ear: InWords) -> Both:
    """The same where no layout asks for the offcut: nothing to be said aloud after every board."""
    return _leaves(values, ear)[0], ""


def _rack(values: Sequence[Value], ear: InWords) -> Both:
    """Every offcut with its size, and for which board it is; nothing is on it before a board is cut."""
    there = [(one, board) for one, board in zip(values[::2], values[1::2], strict=True) if isinstance(one, Offcut)]
    if not there:
        return "Nothing is on the rack.", "Nothing is on the rack."
    texts = [
        f"“{one.name}”, {offcut_text(one, ear.eye.unit)}{f', for board {board}' if board else ''}"
        for one, board in there
    ]
    words = [f"{ear.words(one.name)}, {ear.length(one.width)} by {ear.length(one.length)}" for one, _ in there]
    return f"On the rack: {'; '.join(texts)}.", f"On the rack: {'; '.join(words)}."


_COUNTS = {
    EdgesTold.UNKNOWN: "Nobody said which edges are factory edges: all count as cut, and no tapered seam comes of it.",
    EdgesTold.NONE: "No tapered seam comes of it.",
}


def _offcut_in(values: Sequence[Value], ear: InWords) -> Both:
    """An offcut from elsewhere, as it counts: what to write on it, and what it is good for."""
    offcut, edges = values
    assert isinstance(offcut, Offcut)
    assert isinstance(edges, EdgesTold)
    counts = _COUNTS.get(edges)
    board = f"{offcut.thickness.text_with_unit(ear.unit)} {offcut.board}"
    why = f" {counts}" if counts else ""
    return (
        f"On the rack: write “{offcut.name}” on {offcut_text(offcut, ear.unit)}, {board}.{why}",
        f"On the rack: write {ear.words(offcut.name)} on {ear.length(offcut.width)} by {ear.length(offcut.length)}.",
    )


def _offcut_moved(what: str) -> Worded:
    """Off the rack, or on it again."""

    def told(values: Sequence[Value], ear: InWords) -> Both:
        (offcut,) = values
        assert isinstance(offcut, Offcut)
        shown = f"“{offcut.name}”, {size_text(offcut, ear.unit)} {ear.unit.value}"
        return f"{shown}, is {what} the rack.", f"{ear.words(offcut.name)} is {what} the rack."

    return told


_ODD = {
    OddOffcut.TOO_SMALL: "Nothing that small is kept.",
    OddOffcut.NO_SHEET: "No sheet is that large.",
    OddOffcut.NO_EDGE: "With a factory edge on that side it would be wider than any sheet. Say the other side, or only "
    "its sides.",
    OddOffcut.NO_WIDTH: "Both factory edges are a sheet's width apart: one of the two sides is that. Say which edges "
    "are factory edges, or say only its sides.",
}


def _offcut_odd(values: Sequence[Value], form: Form) -> str:
    why, one, other = values
    assert isinstance(why, OddOffcut)
    assert isinstance(one, Length)
    assert isinstance(other, Length)
    return f"No offcut, {form.length(one)} by {form.length(other)}. {_ODD[why]}"


def _no_offcut(values: Sequence[Value], form: Form) -> str:
    (why,) = values
    assert isinstance(why, NoPlan)
    return no_plan(why, form)


_SURFACES = ("wall or ceiling", "walls and ceilings")


def _house(values: Sequence[Value], ear: InWords) -> Both:
    name, count, *rooms = values
    assert isinstance(count, int)
    where = f"{counted(count, *_SURFACES)} in {listed(rooms)}"
    return (
        f"{_named(name, ear.eye)}: {where}. Say the room to work in, or next board.",
        f"{ear.counted(count, *_SURFACES)}. Say the room, or next board.",
    )


def listed(values: Sequence[Value]) -> str:
    """Names in a row."""
    return joined(map(str, values))


def _house_changed(values: Sequence[Value], _: InWords) -> Both:
    file, *others = values
    text = (
        f"The house in {file} has changed since this job took it: {listed(others)}. The job goes on as it was. Call "
        "what is different, or start another job from the file."
    )
    return text, "The house's file has changed. This job goes on as it was."


def _house_unsaid(values: Sequence[Value], _: InWords) -> Both:
    file, *names = values
    text = f"The house in {file} was not taken: {unsaid_text([str(name) for name in names])}"
    return text, "The house was not taken: it has names that nobody can say."


def _house_said(values: Sequence[Value], _: InWords) -> Both:
    names = [str(value) for value in values]
    told = "; ".join(f"{first_large(old)} is the {new}" for old, new in zip(names[::2], names[1::2], strict=True))
    return f"By their words: {told}.", "Some walls have other names here."


def _room(values: Sequence[Value], ear: InWords) -> Both:
    name, done, count = values
    assert isinstance(done, int)
    assert isinstance(count, int)
    eye = ear.eye
    shown, said = _named(name, eye), _named(name, ear)
    if done == count:
        return f"{shown}: every piece is a board.", f"{said}, every piece is a board."
    boards = f", {done} of them boards already" if done else ""
    return f"{shown}: {eye.counted(count, 'piece')}{boards}.", f"{said}, {ear.counted(count - done, 'piece')} left."


def sized(name: str, call: SurfaceCall | None, unit: Unit) -> str:
    """A surface with its sides, for the head of a page."""
    return f"{first_large(name)}: {sides(call, Form(unit))}" if call is not None else first_large(name)


def what_is_next(surface: SurfaceAtHand, unit: Unit) -> str:
    """What to do at a surface now."""
    if surface.plan is None:
        return "Not laid out yet: say done."
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
    """One piece: its size, its course, its layer where there are several, its sheet, and what became of it."""
    course = f", {piece.course} course" if isinstance(piece.course, Course) else ""
    layered = surface.plan is not None and surface.plan.surface.layers > 1
    course += f", layer {piece.layer}" if layered else ""
    board = surface.boards.get(piece.name)
    became = "" if board is None else f": board {board}, cut" if piece.name in surface.cut else f": board {board}"
    sheet = size_text(piece.sheet, unit)
    return f"{_extent(piece, unit)}{course}, from {sheet}{became}"


def _extent(piece: Piece, unit: Unit) -> str:
    return f"{piece_size(piece, unit, 'wide by')} high"


def _not_yet(values: Sequence[Value], form: Form) -> str:
    (name,) = values
    how = "Say its name and its two sides." if name == NEXT_WALL else "Call it by its two sides."
    how = "Say its name, as in bedroom two." if name == NEXT_ROOM else how
    return f"There is no {form.words(name)} yet. {how}"


def _roomless(values: Sequence[Value], form: Form) -> str:
    name, *whole = values
    wall = the(name, form)
    if whole:
        return (
            f"{first_large(wall)} was called in no room, and counts beside it. If it is the same one, say undo, then "
            f"take out {wall}, and call this one again."
        )
    return f"{first_large(wall)} was called in no room. To have it in this one, take it out and call it here."


def _which_surface(values: Sequence[Value], form: Form) -> str:
    name, *there = map(form.words, values)
    return f"Which {name}: {' or '.join(there)}? Not taken. Say the room first, then the {name}."


def _which_room(values: Sequence[Value], form: Form) -> str:
    _, *there = map(form.words, values)
    return f"Which room: {' or '.join(there)}? Say it, or go to its wall."


def _outside(values: Sequence[Value], form: Form) -> str:
    surface, opening = values
    where = the(surface, form)
    return f"{_named(opening, form)} doesn't fit into {where}, so nothing is laid out. Undo it and call it again."


def _not_of_surface(values: Sequence[Value], form: Form) -> str:
    where = the(values[0], form)
    return f"That belongs to a board, not to {where}. Not taken yet: say next board."


def _layout_warns(values: Sequence[Value], ear: InWords) -> Both:
    """All of it on the screen; aloud the first, and how many more there are."""
    found = [each for each in values if isinstance(each, RoomWarning)]
    text = " ".join(first_large(warning_text(one, ear.eye.unit)) for one in found)
    more = f" {ear.number(len(found) - 1)} more on the screen." if len(found) > 1 else ""
    return text, f"{warning_aloud(found[0], ear)}{more}"


def _cut_outside(values: Sequence[Value], form: Form) -> str:
    board, surface = values
    return f"Board {form.words(board)} counts as cut and has no place on {the(surface, form)} now. Its offcuts stay."


def _framing_wanted(values: Sequence[Value], form: Form) -> str:
    near = ", or from the near end" if str(values[0]).endswith(Surface.CEILING.value) else ""
    return f"Where is the framing of {the(values[0], form)}? Say it, as in sixteen on center from the left{near}."


def _joists_assumed(values: Sequence[Value], ear: InWords) -> Both:
    (otherwise,) = values
    assert isinstance(otherwise, Context)
    text = f"By default the joists span the shorter side. If they span the longer, say {spacing(otherwise, ear.eye)}."
    return text, "By default the joists span the shorter side."


def _screen_alone(shown: str, spoken: str) -> Worded:
    """A sentence whose values are for the screen alone."""
    return lambda values, ear: (shown.format(*map(ear.eye.tell, values)), spoken)


OF_SURFACES: Mapping[Tell, Worded] = {
    Tell.SURFACE: each(_surface),
    Tell.SURFACE_WHOLE: each(lambda values, form: f"Nothing is missing on {the(values[0], form)}."),
    Tell.SURFACE_NOT_YET: each(_not_yet),
    Tell.ROOMLESS: each(_roomless),
    Tell.SURFACE_OUT: each(lambda values, form: f"{_named(values[0], form)} is out, with all that was called on it."),
    Tell.WHICH_SURFACE: each(_which_surface),
    Tell.HOUSE: _house,
    Tell.HOUSE_GOES_ON: _screen_alone(
        "The house in {0} hasn't changed. Going on where you left off.", "Going on where you left off."
    ),
    Tell.HOUSE_CHANGED: _house_changed,
    Tell.HOUSE_UNSAID: _house_unsaid,
    Tell.HOUSE_SAID: _house_said,
    Tell.HOUSE_CLASHES: _screen_alone(
        "The house in {0} was not taken: there would be two of {1}. Start another job for it.",
        "The house was not taken: one of its walls is there already.",
    ),
    Tell.ROOM: _room,
    Tell.WHICH_ROOM: each(_which_room),
    Tell.JOISTS_ASSUMED: _joists_assumed,
    Tell.OF_A_CEILING: says(
        "Only a ceiling's joists are counted from its near or far end. Not taken. Say from the left or from the right."
    ),
    Tell.FRAMING_WANTED: each(_framing_wanted),
    Tell.ONE_SURFACE: says("That is more than one wall or ceiling, so none was taken. Say one at a time."),
    Tell.NO_SURFACE: says("There is no wall or ceiling to lay out yet. Call one by its two sides."),
    Tell.NOT_OF_SURFACE: each(_not_of_surface),
    Tell.OUTSIDE: each(_outside),
    Tell.LAYOUT: _layout,
    Tell.LAYOUT_OF_ALL: _layout_of_all,
    Tell.LAYOUT_WARNS: _layout_warns,
    Tell.LAYOUT_OFF: says("Nothing is laid out now."),
    Tell.PIECE: _piece,
    Tell.PIECE_SLOPES: _piece_slopes,
    Tell.SAME_SHEET: says("Cut it from what board {0} leaves of its sheet."),
    Tell.FROM_OFFCUT: _from_offcut,
    Tell.NO_OFFCUT: each(_no_offcut),
    Tell.OFFCUT_OTHERWISE: says(
        "Board {0} is cut from the offcut {1}, which isn't as it was. Look at board {0} before you cut it."
    ),
    Tell.LEAVES: _leaves,
    Tell.LEFT_OVER: _left_over,
    Tell.PIECE_BACK: each(
        lambda values, form: f"Board {form.words(values[0])} has its place on {the(values[1], form)} again."
    ),
    Tell.CUT_OUTSIDE: each(_cut_outside),
    Tell.NO_PIECE: says("The layout has no {0}. Say next board for the next piece."),
    Tell.PIECES_LEFT: each(_pieces_left),
    Tell.RACK: _rack,
    Tell.OFFCUT_IN: _offcut_in,
    Tell.OFFCUT_OFF: _offcut_moved("off"),
    Tell.OFFCUT_BACK: _offcut_moved("back on"),
    Tell.OFFCUT_ODD: each(_offcut_odd),
    Tell.OFFCUT_NOT_TOLD: says("{0} is no offcut that somebody told. What a board leaves stays on the rack."),
    Tell.OFFCUT_NOT_THERE: says("There is no offcut {0} on the rack, so nothing was taken off it."),
    Tell.ALL_PIECES: each(all_pieces_text),
}
"""What is told of surfaces and of their layout."""
