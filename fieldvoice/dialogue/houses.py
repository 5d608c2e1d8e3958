"""A planned house taken from its file: its walls and ceilings are called as a person calls them, and laid out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain

from fieldvoice.dialogue.cuts import names_given
from fieldvoice.dialogue.events import BoardOpened, HouseTaken, SurfaceOpened
from fieldvoice.dialogue.layouts import laid, standing_plan, surface_at_hand
from fieldvoice.dialogue.matching import plain_room, rooms_meant
from fieldvoice.dialogue.new_boards import laid_anew
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.surfaces import laying_of, open_surface, tell_layout
from fieldvoice.dialogue.turn import Turn
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.board import Lies, Offcut
from fieldvoice.records.facts import Fact, surface_name
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Call, Standing, Tell
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Context, Coordinate, Edge, Opening, OpeningKind, Point, SurfaceCall, Topic
from fieldvoice.records.room import House, Members, RoomSurface, RoughOpening, RoughOpeningKind, Wall
from fieldvoice.records.room_plan import Progress
from fieldvoice.records.utterance import Action, Command, Meaning
from fieldvoice.stock.rack import told_name

_KINDS = {
    RoughOpeningKind.WINDOW: OpeningKind.WINDOW,
    RoughOpeningKind.DOOR: OpeningKind.DOOR,
    RoughOpeningKind.LIGHT: OpeningKind.LIGHT,
    RoughOpeningKind.OTHER: OpeningKind.OPENING,
}


def take_house(turn: Turn, house: House, file: str, progress: Progress | None = None) -> Turn:
    """The surfaces of a house become those of the job, laid out with the sheets that its file lists. One that was taken
    before goes on as it was, and what its file has otherwise since is told. Raises `CannotCut` where no layout keeps
    the rules; then nothing is taken.
    """
    before = turn.state.house
    if before is not None:
        laid(turn.state.laying, progress)
        others = changed(_as_said(turn.rooms, before), _as_said(turn.rooms, house))
        return turn.tell(Tell.HOUSE_GOES_ON, file) if not others else turn.refuse(Tell.HOUSE_CHANGED, file, *others)
    unsaid = _unsaid(turn.rooms, house)
    if unsaid:
        return turn.refuse(Tell.HOUSE_UNSAID, file, *unsaid)
    house, written = _as_said(turn.rooms, house), house
    called = [(whole_name(surface), surface) for surface in house.surfaces]
    twice = _twice([*turn.state.called_surfaces, *(name for name, _ in called)])
    if twice is not None:
        return turn.refuse(Tell.HOUSE_CLASHES, file, twice)
    at_hand = turn.state.board
    turn = turn.did(HouseTaken(file, _with_free_names(turn.state, house)))
    for name, surface in called:
        turn = turn.did(SurfaceOpened(name, _calls(turn, name, facts_of_surface(surface, house.unit), file)))
    unit = (Context(Topic.UNIT, house.unit.value),) if house.unit is not Unit.INCH else ()
    turn = turn.did(BoardOpened(at_hand, _calls(turn, at_hand, unit, file)))
    laying = laying_of(turn.state)
    plan = laid(laying, progress)
    assert plan is not None
    rooms = list(dict.fromkeys(surface.room for surface in house.surfaces))
    turn = laid_anew(turn, laying).tell(Tell.HOUSE, house.name or file, len(called), *rooms)
    both = zip(written.surfaces, called, strict=True)
    otherwise = [(old, name) for each, (name, _) in both if (old := whole_name(each)).lower() != name.lower()]
    return tell_layout(turn.tell(Tell.HOUSE_SAID, *chain(*otherwise)) if otherwise else turn, plan)


def not_called(rooms: Rooms, house: House) -> tuple[list[str], list[str]]:
    """The names of a file that no words lead to; and, where there are none, those that several surfaces are called by.
    A job takes no house that has any.
    """
    unsaid = _unsaid(rooms, house)
    called = Counter(whole_name(surface).lower() for surface in _as_said(rooms, house).surfaces)
    return unsaid, [] if unsaid else [name for name, count in called.items() if count > 1]


def _unsaid(rooms: Rooms, house: House) -> list[str]:
    """The names of a file that no words lead to: what is said then would be of another room's wall."""
    names = dict.fromkeys((one.room, _room_said(rooms, one.room)) for one in house.surfaces)
    names |= dict.fromkeys((surface_name(_call_of(one)), _surface_said(rooms, one)) for one in house.surfaces)
    return [name for name, said in names if said is None]


def _as_said(rooms: Rooms, house: House) -> House:
    """The house with the names that the words of its own names mean: "bed 1" is bedroom 1, an "N" wall is north."""
    surfaces = tuple(
        replace(one, room=_room_said(rooms, one.room) or one.room, name=_surface_said(rooms, one) or one.name)
        for one in house.surfaces
    )
    return replace(house, surfaces=surfaces)


def _room_said(rooms: Rooms, name: str) -> str | None:
    """The room that is meant by those words; as it is written where only its spelling differs."""
    (said,) = _meant(rooms, name) or (None,)
    if not isinstance(said, Context) or said.topic is not Topic.ROOM:
        return None
    return " ".join(name.lower().split()) if plain_room(str(said.value)) == plain_room(name) else str(said.value)


def _surface_said(rooms: Rooms, surface: RoomSurface) -> str | None:
    """The name of the wall or the ceiling that is gone to by its name."""
    (said,) = _meant(rooms, f"go to the {surface_name(_call_of(surface))}") or (None,)
    if not isinstance(said, Command) or said.action is not Action.GO_TO_SURFACE:
        return None
    kind = surface.kind.value
    return str(said.target).removesuffix(f" {kind}").removeprefix(f"{kind} ")


def _meant(rooms: Rooms, words: str) -> tuple[Meaning, ...]:
    judged = rooms.judged((Hearing.typed(words),), Expectation())
    return judged.utterance.meanings if len(judged.utterance.meanings) == 1 else ()


def _with_free_names(state: State, house: House) -> House:
    """The house with names for its offcuts that none has that was told before."""
    named: list[Offcut] = []
    for one in house.offcuts:
        named.append(replace(one, name=told_name((*names_given(state), *(other.name for other in named)))))
    return replace(house, offcuts=tuple(named))


def changed(old: House, new: House) -> tuple[str, ...]:
    """The whole names of what is otherwise in the new file, or in one of the two alone; "sheets" and "offcuts" where
    those are.
    """
    was, now = ({whole_name(each): _as_it_lies(each) for each in house.surfaces} for house in (old, new))
    names = dict.fromkeys((*was, *now))
    job = ["sheets"] if (old.unit, old.sheets) != (new.unit, new.sheets) else []
    offcuts = [[replace(one, name="") for one in house.offcuts] for house in (old, new)]
    job += ["offcuts"] if offcuts[0] != offcuts[1] else []
    return (*job, *(name for name in names if was.get(name) != now.get(name)))


def _as_it_lies(surface: RoomSurface) -> RoomSurface:
    """Sheets of a wall lie where its file doesn't say; a house that was kept in earlier jobs says so itself."""
    return replace(surface, lies=surface.lies or Lies.LYING) if isinstance(surface, Wall) else surface


def whole_name(surface: RoomSurface) -> str:
    """What a surface is called in a job: its room, then its own name as it is spoken ("kitchen north wall")."""
    return f"{surface.room} {surface_name(_call_of(surface))}".strip()


def _call_of(surface: RoomSurface) -> SurfaceCall:
    kind = surface.kind.value
    name = " ".join(surface.name.lower().split()).removesuffix(f" {kind}")
    right, breaks = (surface.top_right_height, surface.breaks) if isinstance(surface, Wall) else (None, ())
    return SurfaceCall(kind, name, surface.width, surface.height, right, breaks)


def _twice(names: Sequence[str]) -> str | None:
    return next((name for index, name in enumerate(names) if name in names[:index]), None)


def _calls(turn: Turn, name: str, facts: Iterable[Fact], file: str) -> tuple[Call, ...]:
    """As calls of the file's, in force. What is written was seen: no mishearing is in it, as in none that is typed."""
    number = turn.state.next_number
    return tuple(Call(number + index, name, file, fact, file, Standing.ACCEPTED, 2) for index, fact in enumerate(facts))


def facts_of_surface(surface: RoomSurface, unit: Unit) -> Iterator[Fact]:
    """A surface as somebody would call it, nothing left to a default."""
    yield Context(Topic.ROOM, surface.room)
    if unit is not Unit.INCH:
        yield Context(Topic.UNIT, unit.value)
    yield _call_of(surface)
    yield Context(Topic.FRAMING, surface.members.material.value)
    yield _framing(surface.members)
    yield Context(Topic.THICKNESS, surface.thickness)
    yield Context(Topic.KIND, surface.board)
    yield Context(Topic.LAYERS, surface.layers)
    if surface.lies is not None:
        yield Context(Topic.LIES, surface.lies.value)
    count: dict[OpeningKind, int] = {}
    for each in surface.openings:
        kind = _KINDS[each.kind]
        count[kind] = count.get(kind, 0) + 1
        yield _opening(each, kind, f"{kind.value} {count[kind]}")


def _framing(members: Members) -> Context:
    if members.spacing is None:
        return Context(Topic.STUDS, members.places)
    return Context(Topic.SPACING, members.spacing, members.start)


def _opening(rough: RoughOpening, kind: OpeningKind, name: str) -> Opening:
    left = Coordinate(Point.NEAR, rough.left, Edge.LEFT)
    bottom = Coordinate(Point.NEAR, rough.bottom, Edge.BOTTOM)
    return Opening(kind, (left,), (bottom,), rough.width, rough.height, name=name)


def go_to_room(turn: Turn, said: str) -> Turn | None:
    """Work goes to a room of the house: to the first of its surfaces that isn't all cut, in the order of hanging. None
    where the house has no such room, so that somebody begins one of their own.
    """
    meant = rooms_meant(turn.state, said)
    if len(meant) != 1:
        return turn.refuse(Tell.WHICH_ROOM, said, *meant) if meant else None
    plan = standing_plan(turn.state)
    (room,) = meant
    pieces = [piece for piece in plan.pieces if piece.name.surface.room == room] if plan is not None else []
    boards = set(turn.state.pieces.values())
    left = [piece for piece in pieces if piece.name not in boards]
    turn = turn.tell(Tell.ROOM, room, len(pieces) - len(left), len(pieces))
    here = surface_at_hand(turn.state)
    if any(str(piece.name.surface) == here for piece in pieces) or not pieces:
        return turn
    return open_surface(turn, str((left or pieces)[0].name.surface))
