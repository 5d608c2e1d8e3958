"""When a value is asked about before it counts: weighed against its fellows, the sheet, the wall's other boards and
what sounds like it, whichever way it came.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from fieldvoice.dialogue.assembly import board_of
from fieldvoice.dialogue.events import Tick
from fieldvoice.dialogue.layouts import planned, rough
from fieldvoice.dialogue.matching import free_name, stem
from fieldvoice.dialogue.matters import contradictions, unlikely_size
from fieldvoice.dialogue.on_the_wall import Hole, otherwise, reaching
from fieldvoice.dialogue.rivals import (
    HEIGHTS,
    beside_its_row,
    by_height_above_floor,
    nearly,
    rival_of,
    teen_or_ten,
    twins_of,
    unmatched,
)
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import State, facts_of, other_heights
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Fact, Key, Odd, Oddity, Of, Said, key_of, measured
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Dimension,
    Edge,
    Opening,
    OpeningKind,
    Reading,
    Slot,
    SurfaceCall,
    Topic,
    WholeThing,
)
from fieldvoice.records.room import RoughOpening, RoughOpeningKind
from fieldvoice.records.utterance import Ask

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard

FELLOWS = Length(4)
"""How far a reading may be from its fellows before its twin is looked at (our own rule; a wall within 3/8 in per 32 in
differs by 1 1/8 in over 96 in)."""
ODD_WIDTHS = Length("1/2")
"""How far a width must be from one that was odd beside it and is said to be right, to be asked about (our own rule)."""
OTHER_BOARDS = Length(3)
"""The same against the other boards of its wall, over which a ceiling may fall farther (our own rule)."""
NEAR = Length("3/4")
"""How near a twin must be to a fellow to be named as what may have been said (our own rule)."""
READ_ANEW = Length(2)
"""How far a value may be from the one whose place it takes without a word of correction (our own rule: a tape is
misread by an inch, and what is farther off was another place's, or misheard)."""
LEAST = {Unit.INCH: Length(2), Unit.MM: Length.of(300, Unit.MM)}
"""Readings below it are asked about: a fraction that lost its inches, a number that lost its last figure (our own
rule). No wall is left a strip of 2 in without a word."""


@dataclass(frozen=True, slots=True)
class Ground:
    """What calls are weighed on: the values on the board, the steps cut, what was just asked about and answered, the
    heights of the same wall's other boards, and what stood before each call (`replaced`); what the layout knows of the
    board (`planned`), what other boards of its wall have that reaches onto it (`reaching`), and whether it is a wall or
    a ceiling as a whole (`surface`). `judged` is None where nothing was heard just now; `slopes` where it was just
    asked how much the board does.
    """

    board: str
    values: Mapping[Key, Call]
    ticks: tuple[Tick, ...]
    unit: Unit
    judged: Judged | None = None
    spoken: bool = False
    answered: frozenset[Length] = field(default_factory=frozenset)
    heights: tuple[Length, ...] = ()
    corrects: bool = False
    replaced: Mapping[int, Said | None] = field(default_factory=dict)
    planned: PlannedBoard | None = None
    surface: bool = False
    slopes: bool = False
    reaching: tuple[Hole, ...] = ()


def ground_of(state: State, board: str, values: Mapping[Key, Call], unit: Unit) -> Ground:
    """What a board's calls are weighed on where none was heard just now."""
    return Ground(
        board,
        values,
        state.ticks.get(board, ()),
        unit,
        heights=other_heights(state, board),
        planned=planned(state, board),
        surface=board in state.surfaces,
        slopes=any(Ask.HOW_SLOPED in note.values for note in state.said),
        reaching=tuple(reaching(state, board)),
    )


def weigh(new: tuple[Call, ...], ground: Ground, rooms: Rooms) -> tuple[Doubt, ...]:
    """Every doubt about the new calls, in the order to ask. One confirmed against doubt is asked about no more."""
    found: list[Doubt] = []
    for call in new:
        if call.standing is not Standing.CONFIRMED:
            found.extend(
                _by_ear(call, new, ground)
                or _far_from_layout(call, ground)
                or _off_another_board(call, ground)
                or by_number(call, ground)
                or _in_its_row(call, new, ground)
                or _by_size(call)
                or _by_twin(call, ground)
            )
            if ground.spoken:
                board = board_of(ground.board, ground.values, {})
                found.extend(by_height_above_floor(call, board, ground.values))
            found.extend(_misplaced(call, ground))
            found.extend(_by_name(call, ground))
            found.extend(contradictions(call, new, ground.values))
        found.extend(_already_cut(call, ground))
    asked = {doubt.call for doubt in found if doubt.concern.kind.of_figures}
    readings = {call.number for call in new if isinstance(call.fact, Reading)}
    for doubt in _by_geometry(new, ground, rooms):
        if doubt.call not in asked:
            found.append(doubt)
            asked |= readings & {doubt.call}  # whether a figure is right is asked once; of a box each thing by itself
    asked |= {doubt.call for doubt in found}
    unasked = (call for call in new if call.number not in asked and call.standing is not Standing.CONFIRMED)
    return (*found, *(doubt for call in unasked for doubt in _instead(call, ground)))


def _by_ear(call: Call, new: tuple[Call, ...], ground: Ground) -> tuple[Doubt, ...]:
    """The recognizer's other meaning; else its own doubt; else the teen or ten that sounds alike."""
    if not ground.spoken or ground.judged is None:
        return ()
    rival = rival_of(call, new, ground.judged)
    if rival is not None and ground.judged.likelier:
        return (Doubt(Concern.RIVAL, call.number, ((rival,),)),)
    if rival is not None:
        return (Doubt(Concern.WHICH_OF, call.number, tuple((each,) for each in (*facts_of([call]), rival))),)
    if ground.judged.unsure or unmatched(call, ground.judged):
        return (Doubt(Concern.UNSURE, call.number),)
    twin = teen_or_ten(call.fact.value) if isinstance(call.fact, Reading) else None
    if isinstance(call.fact, Reading) and twin is not None and _twin_fits(call.fact, twin, ground):
        return (Doubt(Concern.TWIN, call.number, value=twin),)
    return ()


def _twin_fits(reading: Reading, twin: Length, ground: Ground) -> bool:
    """Whether the twin could be meant as well. Fellow readings near the value and far from its twin rule it out."""
    if reading.value in ground.answered:
        return False
    fellows = fellows_of(reading, ground) or (ground.heights if reading.dimension is Dimension.HEIGHT else ())
    near = [fellow for fellow in fellows if abs(fellow - reading.value) <= FELLOWS]
    return not near or any(abs(fellow - twin) <= FELLOWS for fellow in fellows)


def fellows_of(reading: Reading, ground: Ground) -> tuple[Length, ...]:
    """The other readings of the same dimension on the board."""
    return tuple(
        call.fact.value
        for call in ground.values.values()
        if isinstance(call.fact, Reading) and call.fact.dimension is reading.dimension and call.fact.at != reading.at
    )


def _far_from_layout(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """What isn't as the layout has it on its board: a reading or an opening far from there, another sheet or surface.
    The boards beside it know nothing of that.
    """
    fact, planned = call.fact, ground.planned
    if planned is None or call.carried:
        return ()
    from fieldvoice.layout.boards import ceiling_off, far_from_layout

    match fact:
        case Reading(dimension=Dimension()):
            far = far_from_layout(planned, fact)
            return () if far is None else (Doubt(Concern.FAR_FROM_LAYOUT, call.number, value=far.planned),)
        case Opening(kind=OpeningKind.WINDOW | OpeningKind.DOOR):
            return _opening_off(call, fact, planned)
        case Opening(kind=OpeningKind.LIGHT) if any(one.kind is RoughOpeningKind.LIGHT for one in planned.openings):
            return _opening_off(call, fact, planned)  # few layouts have any
        case Context(topic=Topic.FLOOR_TO_CEILING, value=Length() as said):
            there = ceiling_off(planned, said)
            return () if there is None else (Doubt(Concern.FAR_FROM_LAYOUT, call.number, value=there),)
        case Context(topic=topic) if (there := _as_laid_out(planned).get(topic)) not in (None, fact.value):
            before = ground.values.get(call.key)
            same = before is not None and before.fact == fact
            return () if same else (Doubt(Concern.NOT_IN_LAYOUT, call.number, ((Context(topic, there),),)),)
    return ()


def _off_another_board(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """A hole that another board of the wall has elsewhere, or as another thing: it is one hole, in both."""
    found = otherwise(ground.planned, call, ground.reaching) if ground.planned is not None else None
    if found is None or call.carried:
        return ()
    start = () if found.start is None else (found.start.value,)
    return (Doubt(Concern.OFF_ANOTHER_BOARD, call.number, value=found.value, told=(found.there.board, *start)),)


def _as_laid_out(planned: PlannedBoard) -> dict[Topic, Any]:
    """What of a board isn't its hanger's to say otherwise: its surface is laid out by it."""
    sheet = planned.piece.sheet
    return {
        Topic.ROOM: planned.piece.name.surface.room or None,
        Topic.SURFACE: planned.board.surface.value,
        Topic.SHEET: (sheet.width, sheet.length),
        Topic.SHEET_WIDTH: sheet.width,
        Topic.SHEET_LENGTH: sheet.length,
    }


def _opening_off(call: Call, opening: Opening, planned: PlannedBoard) -> tuple[Doubt, ...]:
    """A window or a door where the layout has none, has it beside the board, or farther off than walls are out; a light
    elsewhere or of another size than one that the layout has on the board.
    """
    from fieldvoice.layout.boards import beside, sides_off

    called = _on_board(opening, planned)
    found = [sides_off(planned, called, one) for one in planned.openings if one.kind is called.kind]
    if not found:
        edge = beside(planned, called)
        return (Doubt(Concern.NOT_IN_LAYOUT, call.number, told=() if edge is None else (edge.value,)),)
    side, at = next(iter(min(found, key=len).items()), (None, ZERO))
    if side is None:
        return ()
    at += planned.below if side in {Edge.TOP, Edge.BOTTOM} else ZERO
    return (Doubt(Concern.FAR_FROM_LAYOUT, call.number, value=at, told=(side.value,)),)


def _on_board(opening: Opening, planned: PlannedBoard) -> RoughOpening:
    """An opening called on a board of a layout, from the board's lower left corner."""
    called = rough(opening, SurfaceCall("", "", planned.width, planned.piece.height + planned.below))
    return replace(called, bottom=called.bottom - planned.below)


def moved_at_wall(state: State, before: State, board: str) -> Iterator[Doubt]:
    """The openings called on a board that its layout has elsewhere now than before, or not at all any more, and
    otherwise than they were called: whatever was said to be right then.
    """
    was, now = planned(before, board), planned(state, board)
    if was is None or now is None or was.openings == now.openings:
        return
    for call in state.known(board, doubtful=True).values():
        if isinstance(call.fact, Opening) and (off := _opening_off(call, call.fact, now)) != _opening_off(
            call, call.fact, was
        ):
            yield from off


def by_number(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """A reading too small to be one; a height far from every other height of the board, or with none there yet from
    those of the wall's other boards: misheard, or a slope, which its speaker knows. A layout knows the board's own.
    """
    fact = call.fact
    if not isinstance(fact, Reading):
        return ()
    if fact.value < LEAST[ground.unit]:
        rather = fact.value * 10 if ground.unit is Unit.MM else None
        return (Doubt(Concern.SMALL, call.number, other=rather),)
    if fact.dimension is not Dimension.HEIGHT:
        return ()
    sloped = ground.slopes or (ground.planned is not None and ground.planned.piece.slopes)
    own = () if sloped else fellows_of(fact, ground)
    others = ground.heights if ground.planned is None else ()
    for fellows, far, concern in (
        (own, HEIGHTS, Concern.FELLOWS),
        (others, OTHER_BOARDS, Concern.OTHER_BOARDS),
    ):
        if fellows:
            nearest = min(fellows, key=lambda fellow: abs(fellow - fact.value))
            if abs(nearest - fact.value) <= far:
                return ()
            twins = [twin for twin in twins_of(fact.value, ground.unit) if abs(twin - nearest) <= NEAR]
            return (Doubt(concern, call.number, value=nearest, other=twins[0] if twins else None),)
    return ()


def _by_size(call: Call) -> tuple[Doubt, ...]:
    """A wall, a ceiling or a sheet of a size that few have, or framing so spaced: another unit or figure was meant."""
    size = unlikely_size(call.fact)
    return () if size is None else (Doubt(Concern.UNLIKELY, call.number, value=size),)


def _in_its_row(call: Call, new: tuple[Call, ...], ground: Ground) -> tuple[Doubt, ...]:
    return () if ground.slopes else beside_its_row(call, new, board_of(ground.board, ground.values, {}).widths)


OFF_LINE = Length("1/4")
"""How far a spoken reading may be from its fellows' line before what sounds like it is looked at (our own rule: half of
the bow that the trade allows)."""
ON_LINE = Length("1/8")
"""How near that must be to be named."""


def _by_twin(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """A spoken reading off the line of its fellows, where what sounds like it lies on it: 7/16 for 7/8."""
    fact = call.fact
    if not ground.spoken or not isinstance(fact, Reading):
        return ()
    line = _line_at(fact, ground)
    if line is None or abs(fact.value - line) <= OFF_LINE or fact.value in ground.answered:
        return ()
    twins = [twin for twin in twins_of(fact.value, ground.unit) if abs(twin - line) <= ON_LINE]
    return (Doubt(Concern.TWIN, call.number, value=twins[0]),) if twins else ()


def far_apart(new: Fact, old: Fact) -> list[tuple[Length, Length]]:
    """What was measured of it, each with what it was before, where no tape is misread by so much."""
    return [(one, was) for one, was in zip(measured(new), measured(old), strict=False) if abs(one - was) > READ_ANEW]


def _instead(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """A value far from the one whose place it takes, where no word said that this was wrong: whatever was measured."""
    new, old = call.fact, ground.replaced.get(call.number)
    if ground.corrects or not isinstance(new, Fact) or not isinstance(old, Fact):
        return ()
    far = far_apart(new, old)
    if key_of(old) != call.key or not far:
        return ()
    value, was = far[0]
    if ground.spoken and value in ground.answered:  # it was misheard for what sounds like it, and is said again
        return ()
    highest = isinstance(new, SurfaceCall) and value == new.highest != new.height
    told = ("highest",) if highest or (isinstance(old, SurfaceCall) and was == old.highest != old.height) else ()
    return (Doubt(Concern.INSTEAD, call.number, value=was, other=value, told=told),)


_ALONG = {Slot.TOP: 0, Slot.LEFT: 0, Slot.MIDDLE: 1, Slot.BOTTOM: 2, Slot.RIGHT: 2}


def _line_at(reading: Reading, ground: Ground) -> Length | None:
    """Where the straight line through the other readings is; with one alone, that one."""
    places = {
        _ALONG[call.fact.at]: call.fact.value
        for call in ground.values.values()
        if isinstance(call.fact, Reading)
        and call.fact.dimension is reading.dimension
        and isinstance(call.fact.at, Slot)
        and call.fact.at != reading.at
    }
    if not places or not isinstance(reading.at, Slot):
        return None
    (low, first), (high, last) = min(places.items()), max(places.items())
    return first if low == high else first + (last - first) * Fraction(_ALONG[reading.at] - low, high - low)


def _misplaced(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """The same figure took another's place before, unconfirmed: it was this one, heard for another place."""
    fact = call.fact
    if not ground.spoken or not isinstance(fact, Reading):
        return ()
    for other in ground.values.values():
        old = ground.replaced.get(other.number)
        if (
            isinstance(other.fact, Reading)
            and isinstance(old, Reading)
            and other.standing is not Standing.CONFIRMED
            and (other.fact.value, other.fact.dimension) == (fact.value, fact.dimension)
            and other.fact.at != fact.at
            and old.value != other.fact.value
        ):
            return (Doubt(Concern.MISPLACED, other.number, ((old,), (other.fact,))),)
    return ()


def disagreeing(doubt: Doubt, call: Call, values: Mapping[Key, Call]) -> tuple[Doubt, ...]:
    """Once a reading that is odd among its fellows is said to be right: the question of each fellow that was heard once
    and can't be right beside it.
    """
    fact = call.fact
    if isinstance(fact, Box) and doubt.concern is Concern.SWAPPED:
        others = (one for one in values.values() if _is_unconfirmed(one, call))
        return tuple(
            Doubt(Concern.SWAPPED, one.number, ((replace(one.fact, y=fact.y),),))
            for one in others
            if isinstance(one.fact, Box) and one.fact.y.point is fact.y.point and nearly(one.fact.y, fact.y)
        )
    odd = doubt.odd is not None and doubt.odd.odd is Odd.FAR_FROM_FELLOWS
    if not isinstance(fact, Reading) or not (odd or doubt.concern is Concern.FELLOWS):
        return ()
    far = HEIGHTS if fact.dimension is Dimension.HEIGHT else ODD_WIDTHS
    return tuple(
        Doubt(Concern.FELLOWS, one.number, value=fact.value)
        for one in values.values()
        if isinstance(one.fact, Reading)
        and _is_unconfirmed(one, call)
        and one.fact.dimension is fact.dimension
        and abs(one.fact.value - fact.value) > far
    )


def _is_unconfirmed(one: Call, but: Call) -> bool:
    return one.number != but.number and one.hearings < 2 and one.standing is not Standing.CONFIRMED


def _by_name(call: Call, ground: Ground) -> tuple[Doubt, ...]:
    """Another place under the name of a box that is there already: its number may have been misheard."""
    known = ground.values.get(call.key)
    if ground.corrects or known is None or known.fact == call.fact or not isinstance(call.fact, WholeThing):
        return ()
    free = free_name(stem(call.fact.name) or call.fact.name, (key.name for key in ground.values))
    return (Doubt(Concern.SAME_BOX, call.number, told=(free,)),)


def _already_cut(call: Call, ground: Ground) -> Iterator[Doubt]:
    """A ticked step used another value here."""
    for tick in ground.ticks:
        for key, used in tick.used:
            if key == call.key and used != call.fact:
                yield Doubt(Concern.ALREADY_CUT, call.number, ((used,),), told=(tick.by, str(tick.number)))
                return


def _by_geometry(new: tuple[Call, ...], ground: Ground, rooms: Rooms) -> Iterator[Doubt]:
    """What the cutting room finds odd now and didn't before, unless it was confirmed."""
    called = {call.key: call for call in new}
    values = {**{key: call for key, call in ground.values.items() if key not in called}, **called}  # the newest last
    known = set(oddities(rooms, ground, ground.values)) if ground.values else set()
    for odd in oddities(rooms, ground, values):
        if odd not in known:
            key = key_of_odd(odd)
            own = next((call for call in new if call.key == key), None)
            if own is None:  # a value called earlier is the one that disagrees now, but of a lean and readings the last
                older = ground.values.get(key) if odd.odd not in {Odd.JOINT_LEANS, Odd.OTHER_LEANS} else None
                own = older if older is not None and older.key != new[-1].key else new[-1]
            yield Doubt(Concern.ODD, own.number, odd=odd)


def oddities(rooms: Rooms, ground: Ground, values: Mapping[Key, Call]) -> tuple[Oddity, ...]:
    """What the cutting room finds odd about those values, but for what was said to be right."""
    found = found_odd(rooms, ground, values)
    return tuple(odd for odd in found if not _confirmed(values.get(key_of_odd(odd))))


def found_odd(rooms: Rooms, ground: Ground, values: Mapping[Key, Call]) -> tuple[Oddity, ...]:
    """What it finds odd about them, whatever was said."""
    board = board_of(ground.board, values, {})
    found = rooms.oddities(_as_one_board(board, values) if ground.surface else board)
    if ground.surface:
        found = tuple(odd for odd in found if odd.odd in {Odd.ON_ANOTHER, Odd.STAND_OFF, Odd.LARGE_ROUND})
    if ground.planned is not None and not (board.widths and board.heights):
        there = rooms.oddities(_as_laid(board, ground.planned))
        found += tuple(odd for odd in there if odd.odd is Odd.OFF_BOARD and odd not in found)
    return tuple(_of_the_newer(odd, values) for odd in found)


def _of_the_newer(odd: Oddity, values: Mapping[Key, Call]) -> Oddity:
    """Two things at one place: the question is about the one that was called last, which is the last of the values."""
    if odd.odd is not Odd.ON_ANOTHER:
        return odd
    older, newer = (key.name for key in values if key.name in {odd.box, odd.other})
    return replace(odd, box=newer, other=older)


def _as_laid(board: Board, planned: PlannedBoard) -> Board:
    """A piece before the tape comes, of the size that it is laid out in, by which a thing of another piece is told."""
    wide, high = Reading(planned.width, Dimension.WIDTH, Slot.TOP), Reading(planned.height, Dimension.HEIGHT, Slot.LEFT)
    return replace(board, widths=board.widths or (wide,), heights=board.heights or (high,))


def _as_one_board(board: Board, values: Mapping[Key, Call]) -> Board:
    """A wall as a whole, with its sides as readings: what is called from its far ends lies where it does."""
    sides = next((one.fact for one in values.values() if isinstance(one.fact, SurfaceCall)), None)
    if sides is None:
        return board
    wide, high = Reading(sides.width, Dimension.WIDTH, Slot.TOP), Reading(sides.height, Dimension.HEIGHT, Slot.LEFT)
    return replace(board, widths=(wide,), heights=(high,))


def _confirmed(call: Call | None) -> bool:
    return call is not None and call.standing is Standing.CONFIRMED


def key_of_odd(odd: Oddity) -> Key:
    """What an oddity is about."""
    if odd.box is not None:
        opening = stem(odd.box) in set(OpeningKind)
        return Key(Of.OPENING if opening else Of.BOX, name=odd.box)
    if odd.rising is not None:
        return Key(Of.DIAGONAL, rising=odd.rising)
    if odd.dimension is not None:
        return key_of(Reading(Length(0), odd.dimension, odd.at))
    return Key(Of.CLEARANCE if odd.odd in {Odd.STAND_OFF, Odd.OPEN_JOINT} else Of.PLUMB, edge=odd.edge)
