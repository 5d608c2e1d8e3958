"""What whole utterances come to: orders, answers, corrections, and items in a row."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise, starmap
from typing import Any

from fieldvoice.language.meanings.boxes import box, to_point
from fieldvoice.language.meanings.context import COMMON_SHEETS
from fieldvoice.language.meanings.readings import bare, reading
from fieldvoice.language.partial import (
    Alone,
    Item,
    Link,
    Measured,
    Named,
    ReadingPlace,
    RoomAlone,
    Same,
    Several,
    Sides,
    Sloped,
    ThingCall,
    Unnamed,
)
from fieldvoice.records.board import EdgesTold
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Danger,
    DeadAndTested,
    Dimension,
    Edge,
    Incomplete,
    Neighbor,
    OpeningKind,
    Reading,
    Slot,
    Thing,
    Topic,
)
from fieldvoice.records.utterance import (
    HEARD,
    NEXT_ROOM,
    NEXT_WALL,
    OFFCUT,
    PIECE,
    THE_LAYOUT,
    Action,
    Answer,
    Ask,
    Command,
    Correction,
    Meaning,
    Misplaced,
    OffcutTold,
    Part,
    Question,
    Refusal,
    SameAgain,
    SameSurface,
    Why,
)

Meanings = tuple[Meaning, ...]
WHICH_BOX = Question(Ask.WHICH_BOX)
A_PART_UP_TO = Length(10)
MOST_MOVED = 6
"""Inches: "box one down two inches" is how far it goes from where it is; what is more is where it is (our own rule)."""
THE_WHOLE, WHAT_IS_CORRECTED = Question(Ask.WHOLE_OR_END), Question(Ask.WHAT_IS_CORRECTED)


def chain(*parts: Item | tuple[Item, ...] | Link) -> Meanings | Question | Several:
    """Items in a row. That something slopes is told by its two heights; what nobody told is asked."""
    told = [part for part in parts if not _says_it_slopes(part)]
    found = _in_a_row(*told) if told else ()
    if len(told) == len(parts) or not isinstance(found, tuple):
        return found
    heights = {one.at: one.value for one in found if isinstance(one, Reading) and one.dimension is Dimension.HEIGHT}
    left, right = heights.get(Slot.LEFT), heights.get(Slot.RIGHT)
    return Question(Ask.HOW_SLOPED) if None in {left, right} or left == right else found


def _says_it_slopes(part: Item | tuple[Item, ...] | Link) -> bool:
    return isinstance(part, Sloped) or (isinstance(part, Link) and part.meanings == (Sloped(),))


def _in_a_row(*parts: Item | tuple[Item, ...] | Link) -> Meanings | Question | Several:
    """Items in a row; what follows a correction takes the place of what it corrects."""
    said: list[Meaning] = []
    as_one = 1
    for part in parts:
        link = part if isinstance(part, Link) else Link(meanings(part))
        if _tests(link) and said and all(isinstance(one, DeadAndTested) for one in said):
            said = [replace(one, tested=True) for one in said if isinstance(one, DeadAndTested)]
            continue
        found = _resolved(said, link.meanings)
        if isinstance(found, Question):
            return found
        if (trouble := _take(said, found, link, as_one)) is not None:
            return trouble
        as_one = as_one if link.instead else _as_one(found)
    if len(said) > 1 and any(isinstance(one, Context) and one.topic is Topic.UNIT for one in said):
        return Question(Ask.UNIT_ALONE)
    if any(starmap(_wide_room, pairwise(said))):
        return Question(Ask.PLACES)
    if any(starmap(_wide_sheet, pairwise(said))):
        return Several(())
    if any(starmap(_hatch_of_attic, pairwise(said))) or any(starmap(_none_for_this_room, pairwise(said))):
        return Several(())
    return _boxes_of_rooms(parts, said)


def _boxes_of_rooms(parts: Sequence[Item | tuple[Item, ...] | Link], said: Sequence[Meaning]) -> Meanings | Several:
    """The things said; a room right before a box may be where we are, or part of the box's name ("porch light box")."""
    alone = [item.room for part in parts for item in _items(part) if isinstance(item, RoomAlone)]
    part_of_it = {room for room, box in pairwise(said) if room in alone and isinstance(box, Thing)}
    without = tuple(each for each in said if each not in part_of_it)
    return Several((tuple(said), without)) if part_of_it else tuple(said)


def _items(part: Item | tuple[Item, ...] | Link) -> tuple[Item, ...]:
    return part.meanings if isinstance(part, Link) else meanings(part)


def _as_one(said: Meanings) -> int:
    """How many places have the figure that was said last for all of them at once; what is called in a row has each its
    own.
    """
    readings = [one for one in said if isinstance(one, Reading) and one.at is not None]
    same = len(readings) == len(said) and len({one.value for one in readings}) == 1
    return len(said) if same else 1


def _wide_room(room: Meaning, width: Meaning) -> bool:
    """Whether a width or height of no place may be that of the room just named: "hallway thirty six wide"."""
    named = isinstance(room, Context) and room.topic is Topic.ROOM
    return named and isinstance(width, Reading) and width.at is None


def _wide_sheet(width: Meaning, long: Meaning) -> bool:
    """Whether a width of no place is that of the sheet whose length is named behind it: "54 wide 12 foot board"."""
    sheet = isinstance(long, Context) and long.topic is Topic.SHEET_LENGTH
    return sheet and isinstance(width, Reading) and width.at is None and width.value in COMMON_SHEETS


def _hatch_of_attic(room: Meaning, hole: Meaning) -> bool:
    """Whether a room is only the first word of "attic hatch"."""
    return room == Context(Topic.ROOM, "attic") and getattr(hole, "kind", None) is OpeningKind.OPENING


def _none_for_this_room(none: Meaning, room: Meaning) -> bool:
    """Whether a room may belong to the "no boxes" before it: "no box for this room two" is no word of room two."""
    named = isinstance(room, Context) and room.topic is Topic.ROOM
    return named and isinstance(none, Context) and none.topic is Topic.BOXES


def _tests(link: Link) -> bool:
    """Whether it says of the boxes just named that they were tested: "box two isolated and proved dead"."""
    return any(isinstance(one, Unnamed) and one.word == DeadAndTested(count=1) for one in link.meanings)


def meanings(item: Item | tuple[Item, ...]) -> tuple[Item, ...]:
    """An item's meanings: most have one."""
    return item if isinstance(item, tuple) else (item,)


def _resolved(said: Sequence[Meaning], items: Sequence[Item]) -> Meanings | Question:
    """Meanings that stand by themselves: "the same" has its value and "dead and tested" its box."""
    found: list[Meaning] = []
    for item in items:
        whole = item if isinstance(item, Question) else _whole([*said, *found], item)
        if isinstance(whole, Question):
            return whole
        found.append(whole)
    return tuple(found)


def _whole(before: Sequence[Meaning], item: Item) -> Meaning | Question:
    if isinstance(item, Same):
        return _same(before, item)
    if isinstance(item, Sloped):
        return Question(Ask.HOW_SLOPED)
    if isinstance(item, RoomAlone):
        return item.room
    return _named(before, item) if isinstance(item, Unnamed) else item


def _same(before: Sequence[Meaning], same: Same) -> Reading | SameAgain | Question:
    last = before[-1] if before else None
    if last is None or isinstance(last, SameAgain) or same.like is not None:
        return SameAgain(same.where.dimension, same.where.at, same.like)
    if not isinstance(last, Reading) or same.where.dimension not in _kinds_of(last, before):
        return Question(Ask.SAME_AS_WHAT)
    return Reading(last.value, same.where.dimension, same.where.at, last.qualifier)


def _kinds_of(last: Reading, before: Sequence[Meaning]) -> Collection[Dimension | None]:
    """What a value may be said of again: a width of widths, and of a middle, of which nobody said what it is."""
    said = {one.dimension for one in before if isinstance(one, Reading) and one.value == last.value}
    return {None, *(said - {None} or Dimension)}


def _named(before: Sequence[Meaning], unnamed: Unnamed) -> Danger | DeadAndTested | Question:
    boxes = [one for one in before if isinstance(one, Box | Incomplete)]
    if boxes and boxes[-1].name:
        return replace(unnamed.word, box=boxes[-1].name)
    return unnamed.word if isinstance(unnamed.word, Danger) or not before else WHICH_BOX


def _take(said: list[Meaning], found: Meanings, link: Link, as_one: int) -> Question | None:
    """Add a link's meanings to what was said, or put them in the place of what they correct: a figure in that of the
    figure before it, which was said `as_one` for so many places.
    """
    if not link.instead:
        said += found
        return None
    new = found[0]
    place = _corrected(said, new, bare=link.bare)
    if place is None:
        return WHAT_IS_CORRECTED
    places = range(place + 1 - as_one, place + 1) if link.bare else range(place, place + 1)
    if link.fraction:
        return _with_fraction(said, places, new)
    if link.bare and _may_be_a_part(said[place], new):
        return THE_WHOLE
    new_ones = [_with_place(said[each], new) for each in places] if link.bare else found
    said[places.start : places.stop] = new_ones
    return None


def _with_fraction(said: list[Meaning], places: Sequence[int], new: Meaning) -> Question | None:
    """As in "forty two and an eighth, sorry, and a quarter": the same inches with another fraction."""
    for each in places:
        old = said[each]
        if not (isinstance(old, Reading) and isinstance(new, Part) and isinstance(new.value, Length)):
            return WHAT_IS_CORRECTED
        said[each] = Reading(Length(old.value.inches // 1) + new.value, old.dimension, old.at)
    return None


def _may_be_a_part(old: Meaning, new: Meaning) -> bool:
    """Whether only the end of a reading may have been put right: "forty two, no, three"; "and a half, no, three
    eighths".
    """
    if isinstance(old, Reading) and isinstance(new, Part):
        return True
    if not (isinstance(old, Reading) and isinstance(new, Reading)):
        return False
    return new.value < A_PART_UP_TO <= old.value


def _corrected(said: list[Meaning], new: Meaning, *, bare: bool) -> int | None:
    """Which of the things said the new one corrects: the last, or the one at the same place."""
    last = len(said) - 1
    if bare:
        return last if isinstance(said[last], Reading) else None
    same = [place for place, old in enumerate(said) if _place(old) == _place(new)]
    if same:
        return same[-1]
    return last if len(said) == 1 and type(said[0]) is type(new) else None


def _place(meaning: Meaning) -> object:
    if isinstance(meaning, Reading):
        return (Reading, meaning.dimension, meaning.at)
    if isinstance(meaning, Box):
        return (Box, meaning.name)
    return (type(meaning), getattr(meaning, "topic", None), getattr(meaning, "edge", None))


def _with_place(old: Meaning, new: Meaning) -> Meaning:
    if isinstance(old, Reading) and isinstance(new, Reading):
        return Reading(new.value, old.dimension, old.at, new.qualifier)
    return new


def scratch_place(where: ReadingPlace) -> Command | Refusal:
    """A reading to take out, by its place."""
    words = [str(where.at)] if where.at else []
    words += [str(where.dimension)] if where.dimension else []
    at_length = isinstance(where.at, Length)
    return Command(Action.SCRATCH, " ".join(reversed(words) if at_length else words))


def answered(answer: Answer, said: Meanings) -> Meanings | Question:
    """Yes or no, and more. After a no a small value alone may be the end of the right one."""
    return THE_WHOLE if not answer.yes and _is_small(said[0]) else (answer, *said)


def answered_part(answer: Answer, part: Meaning) -> Meanings:
    """As in "no, the left": an answer with the piece that was asked for."""
    return (answer, part)


def change_bare(length: Measured) -> Correction | Question:
    """A new value for what was said last."""
    new = bare(length)
    return THE_WHOLE if isinstance(new, Part) or _is_small(new) else Correction(new)


def _is_small(new: Meaning) -> bool:
    return isinstance(new, Reading) and new.at is None and new.dimension is None and new.value < A_PART_UP_TO


def value_corrected(_: Measured, right: Measured, where: ReadingPlace) -> Item | tuple[Item, ...] | Question:
    """As in "thirty five, no, thirty six and a half top": where it isn't the end alone that is put right."""
    small = bare(right)
    return THE_WHOLE if isinstance(small, Part) or _is_small(small) else reading(where, right)


def not_that(right: Measured, wrong: Measured) -> Meanings | Question:
    """As in "forty three, not forty two": what was read back was wrong, and this is right."""
    return answered(Answer(yes=False, was=wrong.value), (bare(right),)) if right != wrong else WHAT_IS_CORRECTED


def change_not(where: ReadingPlace, right: Measured, wrong: Measured) -> Correction | Question:
    """As in "top is forty three, not forty two"."""
    found = WHAT_IS_CORRECTED if right == wrong else _corrected_by(reading(where, right))
    return replace(found, was=wrong.value) if isinstance(found, Correction) else found


def not_then(wrong: Measured, right: Measured) -> Question | Several:
    """As in "not fifteen fifty": which of the two it is can't be heard."""
    small = bare(right)
    return (
        Several(())
        if isinstance(small, Part) or _is_small(small)
        else Question(Ask.NOT_THEN, (wrong.value, right.value))
    )


def _corrected_by(new: Reading | Question) -> Correction | Question:
    return new if isinstance(new, Question) else Correction(new)


def told_wrong(new: Item | tuple[Item, ...]) -> Correction | Several:
    """As in "I told you wrong, top is forty two": of that place alone."""
    return Correction(new) if isinstance(new, Reading) else Several(())


def misplaced(at: str, was: str | None = None) -> Misplaced | Question:
    """As in "that's the bottom", "bottom, not top"."""
    return Misplaced(Slot(at), Slot(was) if was else None) if at != was else WHAT_IS_CORRECTED


def _changed_box(name: Named, kind: Any, distances: ThingCall) -> Correction | Question:
    """As in "change box one to single gang center thirty from the left forty eight down"."""
    new = box(name, kind, distances)
    return Correction(new) if isinstance(new, Box) else Question(Ask.BOX_KIND)


def _changed_part(name: Named, part: Any) -> Correction | Question:
    """As in "change box one to thirty two from left": the rest stays."""
    new = box(name, part)
    return Correction(new) if isinstance(new, Incomplete) else Question(Ask.BOX_KIND)


def _as_called_after(distances: Any, kind: Any, point: str | None = None) -> Any:
    """A box whose distances were said before its kind: "14 over 16 up outlet center"."""
    return box(kind, to_point(distances, point)) if isinstance(distances, ThingCall) else distances


def offcut_told(sides: Sides, edges: EdgesTold = EdgesTold.UNKNOWN) -> Command:
    """An offcut from elsewhere goes on the rack."""
    return Command(Action.OFFCUT, str(OffcutTold(sides.one, sides.other, edges)))


def next_board_beside(side: str) -> Alone:
    """As in "next board to the right": this one stands at its left edge."""
    edge = Edge.LEFT if Edge(side) is Edge.RIGHT else Edge.RIGHT
    return Alone((Command(Action.NEXT_BOARD), Context(Topic.NEIGHBOR, Neighbor.BOARD, edge)))


def _order(action: Action, target: str | None = None) -> Callable[[], Command]:
    return lambda: Command(action, target)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "undo": _order(Action.UNDO),
    "say_again": _order(Action.SAY_AGAIN),
    "missing": _order(Action.MISSING),
    "sheets": _order(Action.SHEETS),
    "misplaced": misplaced,
    "misplaced_from": lambda was, at: misplaced(at, was),
    "same_wall": lambda name, like: SameSurface(name, like) if name != like else Refusal(Why.NO_SENSE, (like,)),
    "fastening": _order(Action.FASTENING),
    "weight": _order(Action.WEIGHT),
    "read_back": _order(Action.READ_BACK),
    "read_back_all": lambda *_: Command(Action.READ_BACK),
    "done": _order(Action.DONE),
    "done_there": lambda _: Command(Action.DONE),
    "next_board": _order(Action.NEXT_BOARD),
    "next_board_beside": next_board_beside,
    "go_to_board": lambda name: Command(Action.GO_TO_BOARD, str(name)),
    "go_to_piece": lambda number: Command(Action.GO_TO_BOARD, f"{PIECE} {number}"),
    "go_to_piece_of": lambda surface, number: Command(Action.GO_TO_BOARD, f"{surface} {PIECE} {number}"),
    "go_to_piece_on": lambda number, surface: Command(Action.GO_TO_BOARD, f"{surface} {PIECE} {number}"),
    "pieces_left": _order(Action.PIECES_LEFT),
    "rack": _order(Action.RACK),
    "offcut_told": offcut_told,
    "offcut_sides": lambda one, other: Sides(Length(one), Length(other), in_feet=False),
    "both_tapered": lambda: EdgesTold.BOTH,
    "tapered_long": lambda: EdgesTold.LONG,
    "tapered_short": lambda: EdgesTold.SHORT,
    "all_cut": lambda: EdgesTold.NONE,
    "offcut_off": lambda name: Command(Action.TAKE_OUT, f"{OFFCUT} {name}"),
    "go_to_surface": lambda name: Command(Action.GO_TO_SURFACE, name),
    "wall_there": lambda room, wall: Command(Action.GO_TO_SURFACE, f"{room} {wall}"),
    "scratch_surface": lambda name: Command(Action.TAKE_OUT, name),
    "named_wall": lambda name: f"{name} wall",
    "numbered_wall": lambda name: f"wall {name}",
    "the_ceiling": lambda: "ceiling",
    "wall_of_room": lambda room, name: f"{room} {name} wall",
    "numbered_wall_of_room": lambda room, name: f"{room} {name} wall" if str(name).isalpha() else f"{room} wall {name}",
    "wall_in_room": lambda name, room: f"{room} {name} wall",
    "ceiling_of_room": lambda room: f"{room} ceiling",
    "next_wall": lambda: Command(Action.GO_TO_SURFACE, NEXT_WALL),
    "the_layout": lambda: Command(Action.GO_TO_SURFACE, THE_LAYOUT),
    "next_room": lambda: Command(Action.GO_TO_SURFACE, NEXT_ROOM),
    "nothing_said": lambda: Refusal(Why.NO_READING),
    "distances_first": lambda distances, *more: _as_called_after(distances, *more),
    "louder": _order(Action.LOUDER),
    "quieter": _order(Action.QUIETER),
    "slower": _order(Action.SLOWER),
    "faster": _order(Action.FASTER),
    "next_step": _order(Action.NEXT),
    "step_back": _order(Action.BACK),
    "prompt": _order(Action.PROMPT),
    "unprompt": _order(Action.UNPROMPT),
    "acknowledge": _order(Action.ACKNOWLEDGE),
    "acknowledge_heard": _order(Action.ACKNOWLEDGE, HEARD),
    "quit": _order(Action.QUIT),
    "dismiss": _order(Action.DISMISS),
    "hold": _order(Action.HOLD),
    "resume": _order(Action.RESUME),
    "help": _order(Action.HELP),
    "tick": lambda name: Command(Action.TICK, str(name)),
    "scratch_opening": lambda name: Command(Action.SCRATCH, name),
    "scratch_only_box": lambda: Command(Action.SCRATCH, "box"),
    "read_back_cuts": lambda *_: Command(Action.DONE),
    "scratch_box": lambda named: Command(Action.SCRATCH, named.said),
    "scratch_a_box": _order(Action.SCRATCH, "box"),
    "scratch_place": scratch_place,
    "full_yes": lambda: "full",
    "said_yes": lambda *said: Answer(yes=True, plain="full" in said),
    "did_it": lambda *said: Answer(yes=True, plain="full" in said, of_doing=True),
    "did_not": lambda: Answer(yes=False, of_doing=True),
    "said_agreed": lambda *_: Answer(yes=True, agreed=True),
    "said_no": lambda *_: Answer(yes=False),
    "mended": lambda said: answered(Answer(yes=False), said),
    "mended_side": lambda side: (Answer(yes=False), Part(Edge(side))),
    "mended_part": lambda said: (Answer(yes=False), *meanings(said)),
    "value_corrected": value_corrected,
    "not_that": not_that,
    "not_but": lambda wrong, right: not_that(right, wrong),
    "answered": lambda *parts: answered(parts[0], parts[-1]),
    "answered_part": answered_part,
    "objecting": lambda: Answer(yes=False),
    "change": lambda where, length: _corrected_by(reading(where, length)),
    "change_after": lambda length, where: _corrected_by(reading(where, length)),
    "change_not": change_not,
    "not_but_at": lambda wrong, right, where: change_not(where, right, wrong),
    "change_from": lambda where, wrong, right: change_not(where, right, wrong),
    "not_known": lambda: Question(Ask.NOT_KNOWN),
    "start_over": lambda: Question(Ask.START_OVER),
    "moved_or_placed": lambda _, moved: Question(Ask.RELATIVE) if moved < MOST_MOVED else Several(()),
    "moved_by": lambda *_: Question(Ask.RELATIVE),
    "how_far_back": lambda *_: Question(Ask.HOW_FAR_BACK),
    "other_side": lambda: Question(Ask.OTHER_SIDE),
    "redo": lambda: Question(Ask.REDO),
    "skip_what": lambda *_: Question(Ask.SKIP_WHAT),
    "stop_what": lambda *_: Question(Ask.STOP_WHAT),
    "print_how": lambda *_: Question(Ask.PRINT_HOW),
    "which_offcut": lambda *_: Question(Ask.WHICH_OFFCUT),
    "which_of_boxes": lambda *_: WHICH_BOX,
    "wrong_board": lambda *_: Question(Ask.WRONG_BOARD),
    "not_then": not_then,
    "not_so_far": lambda right, wrong: (
        (Answer(yes=False), Part(right)) if right.value.inches != wrong else WHAT_IS_CORRECTED
    ),
    "change_box_kind": lambda name, right, wrong: _changed_part(name, right) if right != wrong else WHAT_IS_CORRECTED,
    "change_box_from": lambda name, right, _: _changed_part(name, right),
    "no_neighbor": lambda *_: Question(Ask.NO_NEIGHBOR),
    "is_square": lambda: Question(Ask.SQUARE),
    "same_as_what": lambda *_: Question(Ask.SAME_AS_WHAT),
    "change_bare": change_bare,
    "told_wrong": told_wrong,
    "change_box": _changed_box,
    "change_of_box": _changed_part,
    "corrected": Correction,
    "chain": chain,
    "also": lambda item: Link(meanings(item)),
    "instead": lambda item: Link(meanings(item), instead=True),
    "instead_part": lambda part: Link((Part(Length(part)),), instead=True, bare=True, fraction=True),
    "instead_bare": lambda length: Link((bare(length),), instead=True, bare=True),
}
