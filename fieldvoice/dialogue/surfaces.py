"""Walls and ceilings called as a whole: each is kept in the ledger as a board is, under its own name. Once nothing of
it is open it is laid out, and that is told.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.cuts import kept
from fieldvoice.dialogue.events import BoardOpened, Struck, SurfaceOpened
from fieldvoice.dialogue.layouts import goes_on, laid, light_across, rough, sheets_told, standing_plan, surface_at_hand
from fieldvoice.dialogue.matching import find_surfaces, room_of, roomless
from fieldvoice.dialogue.new_boards import carried_to, free_board, laid_anew
from fieldvoice.dialogue.state import State, facts_of
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.facts import Fact, Key, Said
from fieldvoice.records.laying import HangThem, Laying, OnlyLengths, PlannersWish, StartFrom
from fieldvoice.records.ledger import Call, Notice, Standing, Tell
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import (
    HABITS,
    ON_THE_FLOOR,
    Context,
    Dimension,
    Edge,
    Incomplete,
    Lack,
    LayoutWish,
    Opening,
    OpeningKind,
    Reading,
    Slot,
    SurfaceCall,
    Topic,
    Wish,
)
from fieldvoice.records.room import USUAL, Ceiling, Material, Members, RoomSurface, SurfaceName, Wall, name_of
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.records.utterance import Correction, Meaning

STOCK = {
    Unit.INCH: tuple(Sheet(Length(48), Length(12 * feet)) for feet in (8, 10, 12)),
    Unit.MM: tuple(Sheet(Length.of(1200, Unit.MM), Length.of(long, Unit.MM)) for long in (2400, 3000, 3600)),
}
"""The sheets to be had where none was called (common practice, no source); how many of which is told."""
CARRIED = HABITS | {Topic.ROOM, Topic.UNIT, Topic.THICKNESS, Topic.KIND, Topic.FRAMING, Topic.LAYERS}
"""What the next surface takes over from the board or the surface before. Where its framing is is its own, and a piece's
sheet is no limit to the sheets to be had."""
OF_A_SHEET = frozenset({Topic.SHEET, Topic.SHEET_WIDTH})
"""What it takes over of a board that is no piece of a layout: the sheets at hand."""
ITS_OWN = frozenset({Topic.LIES, Topic.SHEET_LENGTH})
"""What it doesn't take over of such a board, which is told."""
_OF_SURFACE = frozenset(
    {*CARRIED, Topic.SPACING, Topic.SHEET, Topic.SHEET_WIDTH, Topic.SHEET_LENGTH, Topic.LIES, Topic.LAYERS, Topic.STUDS}
)


def opened(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """A wish is about the surface spoken of last."""
    there = turn.state.called_surfaces
    if turn.state.board in there or not there or not any(isinstance(fact, LayoutWish) for fact in facts):
        return turn
    here = surface_at_hand(turn.state)
    return open_surface(turn, here if here in there else there[-1])


def _measured_in_a_room(state: State) -> bool:
    """Whether the board at hand has a room, and readings or things of it."""
    calls = (one for one in state.on(state.board) if one.in_force or one.waits)
    return bool(room_of(state, state.board)) and any(not isinstance(one.fact, Context) for one in calls)


def enter_room(turn: Turn, room: str) -> Turn:
    """Work goes from a surface, a piece of one or a board that was measured in its room, to another room: to the
    surface that was called there first, else to a free board. What was measured in one room is never another one's.
    """
    state = turn.state
    here = surface_at_hand(state)
    if here not in state.surfaces:
        here = state.board if _measured_in_a_room(state) else ""
    if not here or room_of(state, here) == room:
        return turn
    there = next((name for name in state.called_surfaces if room_of(state, name) == room), None)
    if there is not None:
        return open_surface(turn, there)
    name = free_board(state)
    carried = _carried(state, name, CARRIED - {Topic.ROOM})
    turn = turn if room_of(state, here) else turn.tell(Tell.ROOMLESS, here)
    return _carries(turn.did(BoardOpened(name, carried)).tell(Tell.BOARD, name, int(name not in state.boards)), carried)


def open_surface(turn: Turn, name: str) -> Turn:
    """Work goes to a surface by its whole name; a new one says what it takes over."""
    if name == turn.state.board:
        return turn.did(SurfaceOpened(name)) if turn.who in turn.state.led_away else turn
    if name in turn.state.called_surfaces:
        return turn.did(SurfaceOpened(name)).tell(Tell.SURFACE, name, 0)
    here = room_of(turn.state, turn.state.board)
    along = CARRIED if name.startswith(f"{here} ") else CARRIED - {Topic.ROOM}
    of_layout = turn.state.board in {*turn.state.surfaces, *turn.state.pieces}
    own = () if of_layout else tuple(one for one in turn.state.settled(turn.state.board).values() if _is_own(one))
    carried = _carried(turn.state, name, along if of_layout else along | OF_A_SHEET)
    beside = roomless(turn.state, name)
    turn = turn.did(SurfaceOpened(name, carried)).tell(Tell.SURFACE, name, 1)
    turn = turn if beside is None else turn.tell(Tell.ROOMLESS, beside, name)
    turn = _carries(turn, carried)
    return turn.tell(Tell.NOT_CARRIED, *own) if own else turn


def _is_own(call: Call) -> bool:
    return isinstance(call.fact, Context) and call.fact.topic in ITS_OWN


def _carries(turn: Turn, carried: tuple[Call, ...]) -> Turn:
    """Tells what was taken over, but the usual unit and the room, which is told with the name."""
    told = {Context(Topic.UNIT, "in"), Context(Topic.ROOM, room_of(turn.state, turn.state.board))}
    shown = tuple(call for call in carried if call.fact not in told)
    return turn.tell(Tell.CARRIED, *shown) if shown else turn


def _carried(state: State, name: str, topics: Collection[Topic]) -> tuple[Call, ...]:
    there = state.settled(name)
    found = (
        call
        for key, call in state.settled(state.board).items()
        if isinstance(call.fact, Context) and call.fact.topic in topics and key not in there
    )
    return carried_to(state, name, found)


def not_yet(turn: Turn, name: str) -> Turn:
    """There is no such surface; one that is called so without its room is named beside it."""
    beside = roomless(turn.state, name)
    turn = turn.refuse(Tell.SURFACE_NOT_YET, name)
    return turn if beside is None else turn.tell(Tell.ROOMLESS, beside)


def take_out(turn: Turn, said: str | None) -> Turn:
    """A wall or a ceiling is off with all that was called on it. What is cut for it stays cut, what was measured for it
    is told by the layout that is made anew; work goes on at what was called last.
    """
    meant = find_surfaces(turn.state, said or "")
    if len(meant) != 1:
        return turn.refuse(Tell.WHICH_SURFACE, said or "", *meant) if meant else not_yet(turn, said or "")
    (name,) = meant
    calls = tuple(call.number for call in turn.state.on(name) if not call.gone)
    turn = turn.did(Struck(name, calls)).tell(Tell.SURFACE_OUT, name)
    rest = turn.state.called_surfaces
    if turn.state.board != name:
        return turn
    return open_surface(turn, rest[-1]) if rest else turn.did(BoardOpened(free_board(turn.state)))


def belongs(state: State, fact: Said) -> bool:
    """Whether a fact can be said of what is at hand: readings and boxes of a board, a wish of a surface."""
    if state.board not in state.surfaces:
        return not isinstance(fact, SurfaceCall | LayoutWish)
    return of_a_surface(fact)


def of_a_surface(fact: Said | None) -> bool:
    """Whether it may be said of a wall or a ceiling as a whole; words that weren't understood may be."""
    if isinstance(fact, Incomplete):
        return isinstance(fact.kind, OpeningKind)
    if isinstance(fact, Context):
        return fact.topic in _OF_SURFACE or (fact.topic is Topic.CLEARANCE and fact.edge is not None)
    return fact is None or isinstance(fact, SurfaceCall | LayoutWish | Opening)


NEAR = Length(2)
"""What a wall is out of level by at most; its two ends differ by more only where its top slopes (common practice, no
source)."""


def with_slope(state: State, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """The heights of both ends of a wall, called where the wall is at hand: its top runs from the one to the other. One
    of them is the height that the wall was called with; what is near neither is a board's. One alone, in one breath
    with the wall, leaves that height to the other end.
    """
    if state.board not in state.surfaces:
        return facts
    ends = [fact for fact in facts if isinstance(fact, Reading) and fact.at in {Slot.LEFT, Slot.RIGHT}]
    known = [*facts_of(state.known(state.board, doubtful=True).values()), *facts]
    call = next((fact for fact in reversed(known) if isinstance(fact, SurfaceCall)), None)
    heights = {fact.at: fact.value for fact in ends if fact.dimension in {None, Dimension.HEIGHT}}
    if call is None or call.surface == "ceiling":
        return facts
    alone = call in facts and len(ends) == 1
    if len(heights) != len(ends) or not (alone or len(ends) == 2):
        return facts
    left, right = (heights.get(each, call.height) for each in (Slot.LEFT, Slot.RIGHT))
    called = {call.height, call.right_height or call.height}
    if abs(left - right) < NEAR or not any(abs(end - high) < NEAR for end in (left, right) for high in called):
        return facts
    return (replace(call, height=left, right_height=right), *(each for each in facts if each not in (*ends, call)))


def counted(state: State, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """What the words leave open of a surface, all of which is read back. Framing is counted from a wall's left end, and
    along a ceiling's longer side, since joists span the shorter (common practice, no source); a door stands on the
    floor; a light of a board is as large as the layout has it.
    """
    if state.board not in state.surfaces:
        return tuple(_sized(state, fact) for fact in facts)
    call, end = _counted_from(state, facts)
    side = end or (Edge.BOTTOM if call is not None and call.surface == "ceiling" and _is_long(call) else Edge.LEFT)
    return tuple(_counted(fact, side) for fact in facts)


def _counted_from(state: State, facts: tuple[Said, ...]) -> tuple[SurfaceCall | None, Edge | None]:
    """The surface at hand as it was called, and the end that its framing was said to be counted from, which stays."""
    known = [*facts_of(state.known(state.board, doubtful=True).values()), *facts]
    call = next((fact for fact in reversed(known) if isinstance(fact, SurfaceCall)), None)
    ends = (fact.edge for fact in reversed(known) if isinstance(fact, Context) and fact.topic is Topic.SPACING)
    return call, next((end for end in ends if end is not None), None)


def _is_long(call: SurfaceCall) -> bool:
    return call.height > call.width


def of_a_ceiling(state: State, breath: tuple[Meaning, ...], meaning: Meaning) -> Context | None:
    """What a meaning of this breath says that can be said of a ceiling alone, where none is at hand: framing that is
    counted from its near or its far end.
    """
    fact = meaning.new if isinstance(meaning, Correction) else meaning
    if not isinstance(fact, Context) or fact.topic is not Topic.SPACING or fact.edge not in {Edge.TOP, Edge.BOTTOM}:
        return None
    called = next((one for one in breath if isinstance(one, SurfaceCall)), None)
    if called is None and state.board in state.surfaces:
        called, _ = _counted_from(state, ())
    return fact if called is None or called.surface != "ceiling" else None


def joists_assumed(state: State, facts: tuple[Said, ...]) -> Context | None:
    """Where the framing of a ceiling is called and nobody said from which side it is counted: as it would be said if
    the joists spanned the longer side after all.
    """
    spacing = next((one for one in facts if isinstance(one, Context) and one.topic is Topic.SPACING), None)
    if state.board not in state.surfaces or spacing is None:
        return None
    call, end = _counted_from(state, facts)
    if call is None or call.surface != "ceiling" or end is not None:
        return None
    return replace(spacing, edge=Edge.LEFT if _is_long(call) else Edge.BOTTOM)


def _counted(fact: Said, side: Edge) -> Said:
    if isinstance(fact, Context) and fact.topic is Topic.SPACING and fact.edge is None:
        return replace(fact, edge=side)
    if isinstance(fact, Context) and fact.topic is Topic.SHEET_LENGTH and isinstance(fact.value, Length):
        return LayoutWish(Wish.LENGTH, None, fact.value)  # "ten footers" at a wall: what to lay it out from
    return _on_floor(fact)


def _sized(state: State, fact: Said) -> Said:
    unsized = isinstance(fact, Incomplete) and fact.kind is OpeningKind.LIGHT and Lack.SIZE in fact.lacks
    across = light_across(state, state.board) if unsized else None
    if across is None or not isinstance(fact, Incomplete):
        return fact
    light = replace(fact, diameter=across)
    return light.whole or light


def _on_floor(fact: Said) -> Said:
    if not isinstance(fact, Incomplete) or fact.kind is not OpeningKind.DOOR or len(fact.distances) != 1 or fact.name:
        return fact
    if fact.distances[0].start in {Edge.TOP, Edge.BOTTOM}:
        return fact
    door = replace(fact, distances=(*fact.distances, ON_THE_FLOOR))
    return door.whole or door


def lacks_framing(state: State, name: str) -> bool:
    """Whether a surface was called and nobody said where its studs or joists are."""
    facts = facts_of(state.known(name, doubtful=True).values())
    framed = any(isinstance(fact, Context) and fact.topic in {Topic.SPACING, Topic.STUDS} for fact in facts)
    return not framed and any(isinstance(fact, SurfaceCall) for fact in facts)


def lay_out(turn: Turn) -> Turn:
    """Plans anew where what is settled of the surfaces isn't what was laid out last, and tells it in one breath; asks
    for the framing where that alone is missing.
    """
    state = turn.state
    if not state.surfaces or turn.asks or turn.refused:
        return turn
    here = state.board in state.surfaces
    on_surfaces = [call for name in state.surfaces for call in state.on(name)]
    waits = any(call.waits for call in on_surfaces)
    left_out = any(call.standing is Standing.NOT_TAKEN and of_a_surface(call.fact) for call in on_surfaces)
    if here and lacks_framing(state, state.board) and (not waits or _called_now(turn)):
        return _framing_wanted(turn, state.board)
    if waits or left_out:
        return turn
    laying = laying_of(state)
    last = state.laying
    if laying.asks_as(last):
        return turn
    if not laying.surfaces:
        return turn if last is None else laid_anew(turn, laying).tell(Tell.LAYOUT_OFF)
    return _laid_out(turn, laying, here=here)


def lay_out_again(turn: Turn) -> Turn:
    """The layout told, whether it is new or stood before."""
    new = lay_out(turn)
    if new.notices != turn.notices or new.asks:
        return new
    plan = standing_plan(new.state)
    if plan is not None:
        return tell_layout(new, plan)
    called = new.state.called_surfaces
    return _framing_wanted(new, *called) if called else new.tell(Tell.NO_SURFACE)


def _framing_wanted(turn: Turn, *names: str) -> Turn:
    """Asked of the first of them that is in no layout, since nobody said where its framing is."""
    wanted = [Notice(Tell.FRAMING_WANTED, (name,)) for name in names if lacks_framing(turn.state, name)][:1]
    return turn if not wanted or wanted[0] in turn.notices else turn.note(wanted[0])


def _laid_out(turn: Turn, laying: Laying, *, here: bool) -> Turn:
    outside = _outside(turn.state)
    if outside is not None:
        return turn.ask(Tell.OUTSIDE, *outside) if here else turn
    try:
        plan = laid(laying)
    except CannotCut as why:
        return turn.ask(Tell.NO_LAYOUT, why.why) if here else turn
    assert plan is not None
    return tell_layout(laid_anew(turn, laying), plan)


def tell_layout(turn: Turn, plan: RoomPlan) -> Turn:
    """How many pieces, and from which sheets; of how many walls and ceilings where that is all of the job's. What isn't
    among them for want of its framing is told behind it.
    """
    sizes = tuple(sheets_told(plan))
    many = len(plan.surfaces)
    told = (Tell.LAYOUT_OF_ALL, many, len(plan.pieces)) if many > 1 else (Tell.LAYOUT, len(plan.pieces))
    return _framing_wanted(turn.tell(*told, *sizes), *turn.state.called_surfaces)


def lay_out_rest(turn: Turn) -> Turn:
    """What is left planned anew where it doesn't come out of what is cut any more; told where other sheets are needed
    for it.
    """
    state = turn.state
    before = standing_plan(state)
    if before is None or goes_on(state, before):
        return turn
    laying = laying_of(state)
    try:
        plan = laid(laying)
    except CannotCut as why:
        return turn.ask(Tell.NO_LAYOUT, why.why)
    assert plan is not None
    turn = laid_anew(turn, laying)
    return turn if plan.sheets == before.sheets else tell_layout(turn, plan)


def _called_now(turn: Turn) -> bool:
    return any(isinstance(call.fact, SurfaceCall) for call in turn.state.called_last)


def laying_of(state: State) -> Laying:
    """What a layout is made from now: the surfaces as they are settled, the sheets that were called or that the house's
    file lists, the wishes, and what is cut, the offcuts of which stay wherever it hangs. What was only measured, and
    has no place, comes back with its place, unless its offcut may be another piece by then.
    """
    facts = _settled_on_surfaces(state)
    made = [surface for name in state.surfaces if (surface := surface_of(name, facts[name])) is not None]
    unit = unit_of(state.settled((state.called_surfaces or state.surfaces)[0]))  # one that is out says nothing
    named = {str(name_of(surface)): name_of(surface) for surface in made}
    wishes = tuple(
        _wish(named[name], each)
        for name in state.surfaces
        for each in facts[name]
        if isinstance(each, LayoutWish) and name in named
    )
    laying = Laying(unit, _sheets(state, facts, unit), tuple(made), wishes, kept(state))
    begun = laying.begun
    return replace(laying, cut=tuple(one for one in laying.cut if one in begun or not one.offcut))


def _settled_on_surfaces(state: State) -> Mapping[str, tuple[Fact, ...]]:
    """What is in force on each surface, what was called last at its end."""
    found: dict[str, dict[Key, Fact]] = {name: {} for name in state.surfaces}
    for name, facts in found.items():
        for call in state.on(name):
            if call.in_force and isinstance(call.fact, Fact):
                facts.pop(call.key, None)
                facts[call.key] = call.fact
    return {name: tuple(facts.values()) for name, facts in found.items()}


def _sheets(state: State, facts: Mapping[str, tuple[Fact, ...]], unit: Unit) -> tuple[Sheet, ...]:
    """The sheets called; else those of the house's file; else the lengths to be had, and those that somebody wants
    alone, from 8 to 16 ft, in the width called, if any.
    """
    said = [fact for on in facts.values() for fact in on if isinstance(fact, Context)]
    called = [fact.value for fact in said if fact.topic is Topic.SHEET]
    sheets = tuple(Sheet(value[0], value[1]) for value in called if isinstance(value, tuple))
    if sheets or state.house is not None:
        return tuple(dict.fromkeys(sheets)) or (() if state.house is None else state.house.sheets)
    width = next(
        (each.value for each in said if each.topic is Topic.SHEET_WIDTH and isinstance(each.value, Length)), None
    )
    usual = STOCK[unit] if width is None else tuple(replace(sheet, width=width) for sheet in STOCK[unit])
    wished = (fact.length for on in facts.values() for fact in on if isinstance(fact, LayoutWish))
    sold = (length for length in wished if length and usual[0].length <= length <= usual[0].length * 2)
    return tuple(dict.fromkeys((*usual, *(replace(usual[0], length=length) for length in sold))))


def _wish(surface: SurfaceName, wish: LayoutWish) -> PlannersWish:
    if wish.wish is Wish.LENGTH:
        assert wish.length is not None
        return OnlyLengths((wish.length,))
    if wish.wish is Wish.START:
        return StartFrom(wish.edge or Edge.LEFT, surface)
    return HangThem(Lies.STANDING if wish.wish is Wish.STANDING else Lies.LYING, surface)


def surface_of(whole: str, facts: Sequence[Fact]) -> RoomSurface | None:
    """A surface by its whole name as settled, None where its sides or its framing aren't called."""
    call = next((fact for fact in facts if isinstance(fact, SurfaceCall)), None)
    contexts = [fact for fact in facts if isinstance(fact, Context)]
    members = _members(contexts)
    if call is None or members is None:
        return None
    said = {fact.topic: fact.value for fact in contexts}
    room, name = _in_room(whole, said.get(Topic.ROOM))
    openings = tuple(rough(fact, call) for fact in facts if isinstance(fact, Opening))
    thickness, kind, layers = (said.get(each) for each in (Topic.THICKNESS, Topic.KIND, Topic.LAYERS))
    lies = Lies(str(said[Topic.LIES])) if Topic.LIES in said else None
    board = (
        thickness if isinstance(thickness, Length) else USUAL[Unit(str(said.get(Topic.UNIT, Unit.INCH)))],
        str(kind or "regular"),
        layers if isinstance(layers, int) else 1,
    )
    if call.surface == "ceiling":
        return Ceiling(room, name, call.width, call.height, members, openings, *board, lies)
    return Wall(room, name, call.width, call.height, members, openings, call.right_height, *board, lies, call.breaks)


def _in_room(whole: str, room: object) -> tuple[str, str]:
    """The room and the name in it that make up a whole name; the room is none where it was said only later."""
    begins = isinstance(room, str) and whole.startswith(f"{room} ")
    return (str(room), whole.removeprefix(f"{room} ")) if begins else ("", whole)


def _members(facts: Sequence[Context]) -> Members | None:
    material = next((Material(str(fact.value)) for fact in facts if fact.topic is Topic.FRAMING), Material.WOOD)
    said = next((fact for fact in reversed(facts) if fact.topic in {Topic.STUDS, Topic.SPACING}), None)
    if said is None:
        return None
    if isinstance(said.value, tuple):
        return Members(None, Edge.LEFT, said.value, material=material)
    spacing, edge = said.value, said.edge or Edge.LEFT
    assert isinstance(spacing, Length)
    along = Dimension.HEIGHT if edge in {Edge.TOP, Edge.BOTTOM} else Dimension.WIDTH
    return Members(spacing, edge, (), along, material)


def _outside(state: State) -> tuple[str, str] | None:
    """A surface with an opening that doesn't lie in it, or lies over another one."""
    for name, facts in _settled_on_surfaces(state).items():
        surface = surface_of(name, facts)
        openings = [fact.name for fact in facts if isinstance(fact, Opening)]
        for index, opening in enumerate(openings):
            if surface is not None and not _fits(surface, index):
                return name, opening
    return None


def _fits(surface: RoomSurface, index: int) -> bool:
    one = surface.openings[index]
    low = min(surface.top_at(x) for x in (one.left, one.right))
    inside = one.left >= ZERO and one.bottom >= ZERO and one.right <= surface.width and one.top <= low
    return inside and not any(
        one.left < other.right and other.left < one.right and one.bottom < other.top and other.bottom < one.top
        for other in surface.openings[:index]
    )
