"""Walls and ceilings called as a whole: each is kept in the ledger as a board is, under its own name. Once nothing of
it is open it is laid out, and that is told.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TypeVar

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.cuts import kept
from fieldvoice.dialogue.events import LaidOut, SurfaceOpened
from fieldvoice.dialogue.layouts import laid, standing_plan
from fieldvoice.dialogue.state import State, facts_of
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.laying import Laying
from fieldvoice.records.ledger import Call, Fact, Notice, Standing, Tell, Value, surface_name
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import (
    Context,
    Coordinate,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Opening,
    OpeningKind,
    Point,
    SurfaceCall,
    Topic,
    Wish,
)
from fieldvoice.records.room import (
    Ceiling,
    Material,
    Members,
    RoomSurface,
    RoughOpening,
    RoughOpeningKind,
    SurfaceName,
    Wall,
)
from fieldvoice.records.room_plan import RoomPlan, SheetCount
from fieldvoice.records.wish import HangThem, OnlyLengths, StartFrom
from fieldvoice.records.wish import LayoutWish as PlannersWish

Said = Fact | Incomplete

STOCK = {
    Unit.INCH: tuple(Sheet(Length(48), Length(12 * feet)) for feet in (8, 10, 12)),
    Unit.MM: tuple(Sheet(Length.of(1200, Unit.MM), Length.of(long, Unit.MM)) for long in (2400, 3000, 3600)),
}
"""The sheets to be had where none was called (common practice, no source); how many of which is told."""
CARRIED = frozenset({Topic.ROOM, Topic.UNIT, Topic.THICKNESS, Topic.KIND, Topic.FRAMING})
"""What the next surface takes over from the board or the surface before. Where its framing is is its own, and a piece's
sheet is no limit to the sheets to be had."""
_OF_SURFACE = frozenset(
    {*CARRIED, Topic.SPACING, Topic.SHEET, Topic.SHEET_WIDTH, Topic.SHEET_LENGTH, Topic.LIES, Topic.LAYERS, Topic.STUDS}
)


def opened(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Work goes to the surface that was called; a wish is about the surface spoken of last."""
    call = next((fact for fact in facts if isinstance(fact, SurfaceCall)), None)
    if call is not None:
        return open_surface(turn, _in_its_room(turn.state, surface_name(call)))
    if turn.state.board in turn.state.surfaces or not any(isinstance(fact, LayoutWish) for fact in facts):
        return turn
    if not turn.state.surfaces:
        return turn
    piece = turn.state.pieces.get(turn.state.board)
    return open_surface(turn, turn.state.surfaces[-1] if piece is None else piece.surface.name)


def find_surface(state: State, name: str) -> str | None:
    """The whole name of a surface that was called: of the room at hand first, else the one that is called so."""
    here = _in_its_room(state, name)
    if here in state.surfaces:
        return here
    ends = [each for each in state.surfaces if each == name or each.endswith(f" {name}")]
    return ends[0] if len(ends) == 1 else None


def _in_its_room(state: State, name: str) -> str:
    room = next((fact.value for fact in _contexts(state, state.board) if fact.topic is Topic.ROOM), None)
    return name if room is None else f"{room} {name}"


def open_surface(turn: Turn, name: str) -> Turn:
    """Work goes to a surface by its whole name; a new one says what it takes over."""
    if name == turn.state.board:
        return turn
    if name in turn.state.surfaces:
        return turn.did(SurfaceOpened(name)).tell(Tell.SURFACE, name, 0)
    number = turn.state.next_number
    found = [
        call
        for call in turn.state.settled(turn.state.board).values()
        if isinstance(call.fact, Context) and call.fact.topic in CARRIED
    ]
    carried = tuple(
        replace(call, number=number + index, board=name, carried=True, replaces=None, standing=Standing.ACCEPTED)
        for index, call in enumerate(found)
    )
    turn = turn.did(SurfaceOpened(name, carried)).tell(Tell.SURFACE, name, 1)
    shown = tuple(call for call in carried if call.fact != Context(Topic.UNIT, "in"))
    return turn.tell(Tell.CARRIED, *shown) if shown else turn


def belongs(state: State, fact: Said) -> bool:
    """Whether a fact can be said of what is at hand: readings and boxes of a board, a wish of a surface."""
    if state.board not in state.surfaces:
        return not isinstance(fact, SurfaceCall | LayoutWish)
    if isinstance(fact, Incomplete):
        return isinstance(fact.kind, OpeningKind)
    if isinstance(fact, Context):
        return fact.topic in _OF_SURFACE
    return isinstance(fact, SurfaceCall | LayoutWish | Opening)


def counted(state: State, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """What the words leave open of a surface, all of which is read back. Framing is counted from a wall's left end, and
    along a ceiling's longer side, since joists span the shorter (common practice, no source); a door stands on the
    floor.
    """
    if state.board not in state.surfaces:
        return facts
    known = [*facts_of(state.known(state.board, doubtful=True).values()), *facts]
    call = next((fact for fact in reversed(known) if isinstance(fact, SurfaceCall)), None)
    along_length = call is not None and call.surface == "ceiling" and call.height > call.width
    side = Edge.BOTTOM if along_length else Edge.LEFT
    return tuple(_counted(fact, side) for fact in facts)


def _counted(fact: Said, side: Edge) -> Said:
    if isinstance(fact, Context) and fact.topic is Topic.SPACING and fact.edge is None:
        return replace(fact, edge=side)
    if isinstance(fact, Context) and fact.topic is Topic.SHEET_LENGTH and isinstance(fact.value, Length):
        return LayoutWish(Wish.LENGTH, None, fact.value)  # "ten footers" at a wall: what to lay it out from
    return _on_floor(fact)


def _on_floor(fact: Said) -> Said:
    if not isinstance(fact, Incomplete) or fact.kind is not OpeningKind.DOOR or len(fact.distances) != 1:
        return fact
    if fact.distances[0].start in {Edge.TOP, Edge.BOTTOM}:
        return fact
    door = replace(fact, distances=(*fact.distances, Distance(ZERO, Point.NEAR, Edge.BOTTOM)))
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
    waits = any(call.waits for name in state.surfaces for call in state.on(name))
    left_out = any(state.not_taken(name) for name in state.surfaces)  # a wall without its door is another wall
    if here and lacks_framing(state, state.board) and (not waits or _called_now(turn)):
        wanted = Notice(Tell.FRAMING_WANTED, (state.board,))
        return turn if wanted in turn.notices else turn.note(wanted)
    if waits or left_out:
        return turn
    laying = _laying(state)
    last = state.layings[-1] if state.layings else None
    if last is not None and replace(laying, cut=()) == replace(last, cut=()):
        return turn
    if not laying.surfaces:
        return turn if last is None else turn.did(LaidOut(laying)).tell(Tell.LAYOUT_OFF)
    return _laid_out(turn, laying, here=here)


def lay_out_again(turn: Turn) -> Turn:
    """The layout told, whether it is new or stood before."""
    new = lay_out(turn)
    plan = standing_plan(new.state) if new.notices == turn.notices else None
    return new if plan is None else _told(new, plan)


def _laid_out(turn: Turn, laying: Laying, *, here: bool) -> Turn:
    outside = _outside(turn.state)
    if outside is not None:
        return turn.ask(Tell.OUTSIDE, *outside) if here else turn
    try:
        plan = laid((*turn.state.layings, laying))
    except CannotCut as why:
        return turn.ask(Tell.NO_LAYOUT, str(why)) if here else turn
    assert plan is not None
    return _told(turn.did(LaidOut(laying)), plan)


def _told(turn: Turn, plan: RoomPlan) -> Turn:
    sizes: list[Value] = []
    for one in plan.sheets:
        sizes += [one.count, one.sheet.width, one.sheet.length]
    return turn.tell(Tell.LAYOUT, len(plan.pieces), *sizes)


def lay_out_rest(turn: Turn) -> Turn:
    """What is left planned anew where more is cut, or cut otherwise, than was known when it was laid out; told where
    other sheets are needed for it.
    """
    state = turn.state
    before = standing_plan(state)
    if before is None or kept(state) == state.layings[-1].cut:
        return turn
    laying = _laying(state)
    try:
        plan = laid((*state.layings, laying))
    except CannotCut as why:
        return turn.ask(Tell.NO_LAYOUT, str(why))
    assert plan is not None
    turn = turn.did(LaidOut(laying))
    return turn if plan.sheets == _to_be_had(before, laying) else _told(turn, plan)


def _to_be_had(plan: RoomPlan, laying: Laying) -> tuple[SheetCount, ...]:
    """The sheets of a plan of which nothing is cut yet."""
    cut = {each.piece for each in laying.cut}
    begun = Counter(
        one.sheet for one in plan.patterns if one.offcut is None and any(each.name in cut for each in one.pieces)
    )
    left = (replace(one, count=one.count - begun[one.sheet]) for one in plan.sheets)
    return tuple(one for one in left if one.count)


def _called_now(turn: Turn) -> bool:
    last = turn.state.read_last.calls
    return any(isinstance(turn.state.calls[each].fact, SurfaceCall) for each in last if each in turn.state.calls)


def _laying(state: State) -> Laying:
    made = [surface for name in state.surfaces if (surface := surface_of(state, name)) is not None]
    unit = unit_of(state.settled(state.surfaces[0]))
    called = [fact.value for name in state.surfaces for fact in _contexts(state, name) if fact.topic is Topic.SHEET]
    sheets = tuple(Sheet(value[0], value[1]) for value in called if isinstance(value, tuple)) or _stock(state, unit)
    wishes = tuple(_wish(name, fact) for name in state.surfaces for fact in _settled(state, name, LayoutWish))
    return Laying(unit, tuple(dict.fromkeys(sheets)), tuple(made), wishes, kept(state))


def _stock(state: State, unit: Unit) -> tuple[Sheet, ...]:
    """The lengths to be had, in the width that was called, if any."""
    facts = (fact for name in state.surfaces for fact in _contexts(state, name) if fact.topic is Topic.SHEET_WIDTH)
    width = next((fact.value for fact in facts if isinstance(fact.value, Length)), None)
    return STOCK[unit] if width is None else tuple(replace(sheet, width=width) for sheet in STOCK[unit])


_F = TypeVar("_F", SurfaceCall, LayoutWish, Opening, Context)


def _settled(state: State, name: str, kind: type[_F]) -> list[_F]:
    return [call.fact for call in state.settled(name).values() if isinstance(call.fact, kind)]


def _contexts(state: State, name: str) -> list[Context]:
    return _settled(state, name, Context)


def _wish(name: str, wish: LayoutWish) -> PlannersWish:
    surface = SurfaceName("", name)
    if wish.wish is Wish.LENGTH:
        assert wish.length is not None
        return OnlyLengths((wish.length,))
    if wish.wish is Wish.START:
        return StartFrom(wish.edge or Edge.LEFT, surface)
    return HangThem(Lies.STANDING if wish.wish is Wish.STANDING else Lies.LYING, surface)


def surface_of(state: State, name: str) -> RoomSurface | None:
    """A surface as settled, None where its sides or its framing aren't called."""
    calls = _settled(state, name, SurfaceCall)
    members = _members(_contexts(state, name))
    if not calls or members is None:
        return None
    call = calls[-1]
    said = {fact.topic: fact.value for fact in _contexts(state, name)}
    openings = tuple(rough(fact, call) for fact in _settled(state, name, Opening))
    thickness, kind, layers = (said.get(each) for each in (Topic.THICKNESS, Topic.KIND, Topic.LAYERS))
    lies = Lies(str(said[Topic.LIES])) if Topic.LIES in said else None
    board = (
        thickness if isinstance(thickness, Length) else Length("1/2"),
        str(kind or "regular"),
        layers if isinstance(layers, int) else 1,
    )
    if call.surface == "ceiling":
        return Ceiling("", name, call.width, call.height, members, openings, *board, lies)
    return Wall("", name, call.width, call.height, members, openings, None, *board, lies or Lies.LYING)


def _members(facts: list[Context]) -> Members | None:
    said = {fact.topic: fact for fact in facts}
    material = Material(str(said[Topic.FRAMING].value)) if Topic.FRAMING in said else Material.WOOD
    if Topic.STUDS in said:
        places = said[Topic.STUDS].value
        assert isinstance(places, tuple)
        return Members(None, Edge.LEFT, places, material=material)
    if Topic.SPACING not in said:
        return None
    spacing, edge = said[Topic.SPACING].value, said[Topic.SPACING].edge or Edge.LEFT
    assert isinstance(spacing, Length)
    along = Dimension.HEIGHT if edge in {Edge.TOP, Edge.BOTTOM} else Dimension.WIDTH
    return Members(spacing, edge, (), along, material)


_KINDS = {OpeningKind.WINDOW: RoughOpeningKind.WINDOW, OpeningKind.DOOR: RoughOpeningKind.DOOR}


def rough(opening: Opening, call: SurfaceCall) -> RoughOpening:
    """An opening by its lower left corner, however it was called."""
    left, width = _span(opening.xs, opening.width or opening.diameter, call.width, Edge.RIGHT)
    bottom, height = _span(opening.ys, opening.height or opening.diameter, call.height, Edge.TOP)
    return RoughOpening(_KINDS.get(opening.kind, RoughOpeningKind.OTHER), left, bottom, width, height)


def _span(places: tuple[Coordinate, ...], size: Length | None, extent: Length, far: Edge) -> tuple[Length, Length]:
    """Where it begins, counted from the left or from below, and how far it runs."""
    from_start = [extent - one.value if one.start is far else one.value for one in places]
    if len(places) > 1:
        return min(from_start), abs(from_start[0] - from_start[1])
    (one,), (at,) = places, from_start
    assert size is not None
    if one.point is Point.CENTER:
        return at - size / 2, size
    return (at, size) if (one.point is Point.NEAR) != (one.start is far) else (at - size, size)


def _outside(state: State) -> tuple[str, str] | None:
    """A surface with an opening that doesn't lie in it, or lies over another one."""
    for name in state.surfaces:
        surface = surface_of(state, name)
        calls = [call for call in state.settled(name).values() if isinstance(call.fact, Opening)]
        for index, call in enumerate(calls):
            if surface is not None and not _fits(surface, index):
                return name, _name(call)
    return None


def _fits(surface: RoomSurface, index: int) -> bool:
    one = surface.openings[index]
    inside = one.left >= ZERO and one.bottom >= ZERO and one.right <= surface.width and one.top <= surface.height
    return inside and not any(
        one.left < other.right and other.left < one.right and one.bottom < other.top and other.bottom < one.top
        for other in surface.openings[:index]
    )


def _name(call: Call) -> str:
    return call.key.name
