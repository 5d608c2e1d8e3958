"""Going to a board: what a new one takes over from the one before, and what it doesn't; and a planned piece opened as
one, where what the layout knows of it goes along and is said aloud.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from fieldvoice.dialogue.cuts import source_of
from fieldvoice.dialogue.events import BoardOpened, LaidOut, PieceOpened, PieceRenewed, TakenBack
from fieldvoice.dialogue.layouts import next_piece, openings_in, planned, standing_plan
from fieldvoice.dialogue.matching import is_room
from fieldvoice.dialogue.matters import FRAMING
from fieldvoice.dialogue.off_floor import SAYS_WHERE_THE_FLOOR_IS
from fieldvoice.dialogue.state import State, habit
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Key, Of, key_of
from fieldvoice.records.laying import Laying
from fieldvoice.records.ledger import Call, Standing, Tell
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import HABITS, Context, Edge, Topic
from fieldvoice.records.room_plan import Piece, PieceName, RoomPlan, RoomWarning

TOPICS = HABITS | frozenset(
    {
        Topic.SHEET_WIDTH,
        Topic.SHEET_LENGTH,
        Topic.ROOM,
        Topic.SURFACE,
        Topic.LIES,
        Topic.SHEET,
        Topic.THICKNESS,
        Topic.KIND,
        Topic.LAYERS,
        Topic.LAYER,
        Topic.COURSE,
        Topic.FRAMING,
        Topic.SPACING,
        Topic.UNIT,
        Topic.MARKS_BY,
        Topic.BASE,
    }
)
"""What the next board takes over from the one before: the room, the sheet and how it hangs."""
EDGES = frozenset({Edge.TOP, Edge.BOTTOM})
"""Whose neighbors and clearances go along. What is left and right of a board is its own: never a reading, a box, a
stud or what stands there."""


def open_board(turn: Turn, name: str) -> Turn:
    """Work goes to a board; the screen and the voice say which, and what a new one takes over."""
    if name in turn.state.boards:
        still = _spoken_otherwise(turn.state, name)
        turn = turn.did(BoardOpened(name)).tell(Tell.BOARD, name, 0)
        return turn.tell(Tell.STILL_HERE, *still) if still else turn
    carried = _carried(turn.state, name)
    turn = turn.did(BoardOpened(name, carried)).tell(Tell.BOARD, name, 1)
    shown = tuple(call for call in carried if call.fact != INCHES)
    return turn.tell(Tell.CARRIED, *shown)


INCHES = Context(Topic.UNIT, "in")


def _spoken_otherwise(state: State, name: str) -> list[Context]:
    """The habits and the unit of a board where words are taken otherwise by them than on the board at hand."""
    here, there = (_manners(state, each) for each in (state.board, name))
    return [fact for key, fact in there.items() if here.get(key) != fact]


def _manners(state: State, board: str) -> dict[Key, Context]:
    facts = [INCHES, *(call.fact for call in state.settled(board).values())]
    told = HABITS | {Topic.UNIT}
    return {key_of(fact): fact for fact in facts if isinstance(fact, Context) and fact.topic in told}


def _carried(state: State, name: str) -> tuple[Call, ...]:
    own = {Topic.SHEET} if state.board in state.pieces else set()  # an offcut of the layout is that piece's alone
    known = state.settled(state.board)
    own |= {topic for topic in HABITS if habit(known, topic) is None}
    return carried_to(state, name, (one for one in known.values() if _goes_along(one) and _topic(one) not in own))


def carried_to(state: State, name: str, calls: Iterable[Call]) -> tuple[Call, ...]:
    """Those calls as they go along to another board or surface."""
    return tuple(
        replace(call, number=number, board=name, carried=True, replaces=None, standing=Standing.ACCEPTED)
        for number, call in enumerate(calls, state.next_number)
    )


def _topic(call: Call) -> Topic | None:
    return call.fact.topic if isinstance(call.fact, Context) else None


def _goes_along(call: Call) -> bool:
    if not isinstance(call.fact, Context):
        return False
    if call.key.of in {Of.NEIGHBOR, Of.CLEARANCE}:
        return call.fact.edge in EDGES
    return call.fact.topic in TOPICS


ALONG = HABITS | {Topic.ROOM, Topic.UNIT}
"""What goes along from the surface as it was called."""


def open_next_piece(turn: Turn) -> Turn | None:
    """The next piece of the layout as a board; None where there is no layout, or every piece is a board already."""
    plan = standing_plan(turn.state)
    piece = next_piece(turn.state, plan) if plan is not None else None
    if plan is None or piece is None:
        return None
    return _opened(turn, piece, plan)


def open_piece(turn: Turn, surface: str, number: int) -> Turn | None:
    """That piece of the layout: the board that it is, else a new one; None where the layout has no such piece."""
    plan = standing_plan(turn.state)
    pieces = () if plan is None else plan.pieces
    piece = next((one for one in pieces if (str(one.name.surface), one.name.number) == (surface, number)), None)
    if plan is None or piece is None:
        return None
    board = next((board for board, name in turn.state.pieces.items() if name == piece.name), None)
    return _opened(turn, piece, plan) if board is None else open_board(turn, board)


def _opened(turn: Turn, piece: Piece, plan: RoomPlan) -> Turn:
    name = free_board(turn.state, piece.name.surface.room)
    said = _said_beside(turn, piece)
    turn = turn.did(BoardOpened(name), PieceOpened(name, piece.name))
    turn = turn.did(BoardOpened(name, _known_before(turn, name, piece, said)))
    turn = _told(turn, name, piece, plan)
    return turn.tell(Tell.CARRIED, *said) if said else turn


def free_board(state: State, room: str = "") -> str:
    """The first board that nothing was called on but its room and unit, else a new one. One that was told as a piece of
    another room isn't free, though a layout since has no place for it: its number was said, and may be written.
    """
    for board in state.boards:
        calls = tuple(state.on(board))
        facts = [call.fact for call in calls if not call.gone]
        alone = all(isinstance(fact, Context) and fact.topic in ALONG for fact in facts)
        told = [call.fact for call in calls if call.carried or not call.gone]
        rooms = {fact.value for fact in told if is_room(fact)}
        if board.isdigit() and alone and board not in state.pieces and rooms <= {room}:
            return board
    return str(max((int(name) for name in state.boards if name.isdigit()), default=0) + 1)


def _known_before(turn: Turn, name: str, piece: Piece, beside: tuple[Call, ...]) -> tuple[Call, ...]:
    """What is known of it before the tape comes. It was worked out, not heard: no mishearing is in it but the
    surface's own, which was read back.
    """
    known = planned(turn.state, name)
    assert known is not None
    on_surface = turn.state.settled(str(piece.name.surface))
    along = [call.fact for call in on_surface.values() if isinstance(call.fact, Context) and call.fact.topic in ALONG]
    before = turn.state.settled(name)  # what it was called in counts but where its surface was called otherwise since
    there = ((key, call, on_surface.get(key)) for key, call in before.items())
    later = {key for key, call, now in there if now and now.number > call.number and now.fact != call.fact}
    settled = {key: call for key, call in before.items() if key not in later}
    source = source_of(turn.state, name)
    board = known.board
    if source is not None and board.sheet is not None:
        board = replace(board, sheet=replace(board.sheet, width=source.width, length=source.length))
    said = {call.key: call for call in beside}
    facts = [fact for fact in (*along, *context_of(board)) if key_of(fact) not in {*settled, *said}]
    number = turn.state.next_number
    heard = turn.judged.utterance.heard
    calls = (Call(number, name, turn.who, fact, heard, Standing.ACCEPTED, 2, carried=True) for fact in facts)
    calls = (replace(each, replaces=before[each.key].number) if each.key in later else each for each in calls)
    again = (replace(call, board=name, replaces=None, displaces=()) for call in said.values())
    return tuple(replace(call, number=number + index) for index, call in enumerate((*calls, *again)))


OF_A_WALL = frozenset({Topic.THICKNESS, Topic.KIND, Topic.LAYERS, Topic.UNIT})
"""What a crew that says it of one piece of a wall means of the next."""


def _said_beside(turn: Turn, piece: Piece) -> tuple[Call, ...]:
    """What somebody said of the board at hand and the layout has otherwise: the crew's habits, and where it is of the
    same surface what it is made of and measured in.
    """
    before = turn.state.pieces.get(turn.state.board)
    along = HABITS | OF_A_WALL if before is not None and before.surface == piece.name.surface else HABITS
    there = turn.state.settled(turn.state.board).values()
    return tuple(call for call in there if not call.carried and _topic(call) in along)


def is_spare(state: State) -> bool:
    """Whether the board at hand is no piece of the layout, and nothing was called on it."""
    here = state.board
    return here in state.boards and here not in state.pieces and here not in state.called_on


def is_only_named(state: State) -> bool:
    """Whether nothing but its room was called on the board at hand: it is the next one already."""
    called = [one.fact for one in state.on(state.board) if not (one.carried or one.gone)]
    return state.board not in state.surfaces and bool(called) and all(map(is_room, called))


def laid_anew(turn: Turn, laying: Laying) -> Turn:
    """Laid out so. Boards in hand keep their places in it, and what lost or has its place again is told."""
    before, at_hand = turn.state.pieces, turn.state.board
    warned = _warnings(turn.state)
    beside = {board: _beside(turn.state, board) for board in turn.state.cut}
    inside = {board: openings_in(turn.state, board) for board in before}
    turn = turn.did(LaidOut(laying))
    after = turn.state.pieces
    for board in [each for each in before if each not in after]:
        if board in turn.state.cut:
            turn = turn.tell(Tell.CUT_OUTSIDE, board, str(before[board].surface))
        elif board == at_hand or any(not (call.carried or call.gone) for call in turn.state.on(board)):
            turn = turn.tell(Tell.PIECE_RENEWED, board)
    back = frozenset(after) - frozenset(before)
    for board in sorted(back):
        turn = turn.tell(Tell.PIECE_BACK, board, str(after[board].surface))
    for board, stood in beside.items():
        known = planned(turn.state, board)
        width = ZERO if known is None else known.width
        there = _beside(turn.state, board) if stood else ()
        other = [fact for fact in there if not any(_is_as(fact, each, width) for each in stood)]
        turn = turn.tell(Tell.CUT_OTHERWISE, board, *other) if other else turn
    for board, were in inside.items():
        now = Counter(openings_in(turn.state, board)) - Counter(were)
        if now:
            turn = turn.tell(Tell.OPENINGS_NOW, board, int(board in turn.state.cut), *now.elements())
    new = [one for one in _warnings(turn.state) if one not in warned]
    turn = turn.tell(Tell.LAYOUT_WARNS, *new) if new else turn
    return in_step(turn, anew=True, back=back)


def _warnings(state: State) -> tuple[RoomWarning, ...]:
    plan = standing_plan(state)
    return () if plan is None else plan.warnings


def _beside(state: State, board: str) -> tuple[Context, ...]:
    """What the layout has beside a board, and of which board it is there; none where it has no place."""
    known = planned(state, board)
    facts = () if known is None else context_of(known.board)
    return tuple(fact for fact in facts if fact.topic in _OF_THE_SURFACE)


def _is_as(fact: Context, stands: object, width: Length) -> bool:
    """Whether it is what stands; of studs those behind a board so wide count, since one at its end is the joint's."""
    one, other = (each.value if isinstance(each, Context) else None for each in (fact, stands))
    if fact.topic is Topic.STUDS and isinstance(one, tuple) and isinstance(other, tuple):
        return [at for at in one if at < width] == [at for at in other if at < width]
    return fact == stands


_OF_THE_SURFACE = FRAMING | {Topic.NEIGHBOR, Topic.CLEARANCE, Topic.THICKNESS, Topic.KIND, Topic.FRAMING}
"""What a cut that is made leaves standing otherwise than its wall or ceiling is."""


def beside_otherwise(state: State, board: str) -> tuple[Context, ...]:
    """What the layout has beside a board otherwise than the board was settled with, where nobody called that."""
    stands, known = state.settled(board), planned(state, board)
    there = [(fact, stands.get(key_of(fact))) for fact in _beside(state, board) if known is not None]
    width = ZERO if known is None else known.width
    carried = ((fact, call.fact) for fact, call in there if call is not None and call.carried)
    return tuple(fact for fact, stood in carried if not _is_as(fact, stood, width))


def in_step(turn: Turn, *, anew: bool = False, back: frozenset[str] = frozenset()) -> Turn:
    """What the layout has of a board in hand stands on it, and nothing that it has no longer: whatever is otherwise is
    told, of one that has its place `back` what stands beside it. What somebody called stays, and what is cut is as it
    was cut, but that what counts from the floor counts from where that is. What somebody struck comes back only with a
    layout that is made `anew`.
    """
    for board in turn.state.pieces:
        known = planned(turn.state, board)
        if known is None:
            continue
        calls, gone = tuple(_renewed(turn, board, known.board, anew=anew)), _no_longer(turn.state, board, known.board)
        cut = board in turn.state.cut
        if cut:
            calls = tuple(replace(one, number=turn.state.next_number + at) for at, one in enumerate(_of_floor(calls)))
            gone = tuple(_of_floor(gone))
        if gone:
            turn = turn.did(TakenBack(tuple(call.number for call in gone)))
        if calls:
            turn = turn.did(PieceRenewed(board, calls))
        facts = [call.fact for call in calls if isinstance(call.fact, Context)]
        told = [fact for fact in facts if fact.topic is Topic.NEIGHBOR or board not in back]
        if cut and (calls or gone):
            turn = turn.tell(Tell.CUT_OTHERWISE, board, *facts, *gone)
        elif told or gone:
            turn = turn.tell(Tell.PIECE_RENEWED, board, *told, *gone)
    return turn


def _of_floor(calls: Iterable[Call]) -> Iterator[Call]:
    """Those that say where the floor is below a board: what counts from there is marked elsewhere, or not at all."""
    return (one for one in calls if _topic(one) in SAYS_WHERE_THE_FLOOR_IS)


def _renewed(turn: Turn, name: str, board: Board, *, anew: bool) -> Iterator[Call]:
    """All but its sheet, which is what it is cut from."""
    known, settled = turn.state.known(name, doubtful=True), turn.state.settled(name)
    number, heard = turn.state.next_number, turn.judged.utterance.heard
    struck = {(call.key, call.fact) for call in turn.state.on(name) if call.carried and not call.in_force}
    for fact in context_of(board):
        key = key_of(fact)
        before = settled.get(key)
        if fact.topic is Topic.SHEET or (key in known if before is None else not before.carried or before.fact == fact):
            continue
        if before is None and not anew and (key, fact) in struck:
            continue
        replaces = None if before is None else before.number
        new = Call(number, name, turn.who, fact, heard, Standing.ACCEPTED, 2, carried=True)
        yield replace(before or new, number=number, fact=fact, replaces=replaces)
        number += 1


def _no_longer(state: State, name: str, board: Board) -> tuple[Call, ...]:
    """What came from a layout and isn't in it any more."""
    wanted = {key_of(fact) for fact in context_of(board)}
    return tuple(
        call
        for key, call in state.settled(name).items()
        if call.carried and isinstance(call.fact, Context) and call.fact.topic not in ALONG and key not in wanted
    )


def context_of(board: Board) -> Iterator[Context]:
    """What is known of a board without a reading, as somebody would call it."""
    yield Context(Topic.SURFACE, board.surface.value)
    yield Context(Topic.LIES, board.lies.value)
    yield Context(Topic.THICKNESS, board.thickness)
    yield Context(Topic.KIND, board.kind)
    yield Context(Topic.LAYERS, board.layers)
    yield Context(Topic.LAYER, board.layer or 1)
    if board.sheet is not None:
        yield Context(Topic.SHEET, (board.sheet.width, board.sheet.length))
    if board.course is not None:
        yield Context(Topic.COURSE, board.course.value)
    if board.above_floor is not None:
        yield Context(Topic.ABOVE_FLOOR, board.above_floor)
    if board.floor_to_ceiling is not None:
        yield Context(Topic.FLOOR_TO_CEILING, board.floor_to_ceiling)
    yield Context(Topic.FRAMING, board.framing.material)
    if board.framing.called:
        yield Context(Topic.SPACING, board.framing.spacing)
    if board.framing.studs:
        yield Context(Topic.STUDS, board.framing.studs)
    for edge, setting in board.edges.items():
        yield Context(Topic.NEIGHBOR, setting.neighbor, edge)
        if setting.clearance is not None:
            yield Context(Topic.CLEARANCE, setting.clearance, edge)


def _told(turn: Turn, name: str, piece: Piece, plan: RoomPlan) -> Turn:
    known = planned(turn.state, name)
    assert known is not None
    sheet, course = piece.sheet, known.board.course
    stands = tuple(fact for fact in context_of(known.board) if fact.topic in {Topic.NEIGHBOR, Topic.CLEARANCE})
    turn = turn.tell(
        Tell.PIECE,
        name,
        str(piece.name.surface),
        piece.name.number,
        known.width,
        known.height,
        sheet.width,
        sheet.length,
        course.value if course is not None else "",
        piece.lies.value,
        *stands,
        *openings_in(turn.state, name),
    )
    if piece.slopes:
        below = known.height - piece.height
        bends = [length for one in piece.bends for length in (one.across, one.height + below)]
        turn = turn.tell(Tell.PIECE_SLOPES, piece.left_height + below, piece.right_height + below, *bends)
    return _cut_from(turn, name, piece.name, plan)


def _cut_from(turn: Turn, name: str, piece: PieceName, plan: RoomPlan) -> Turn:
    """Where it comes from what is cut already: the rest of another board's sheet, or an offcut."""
    source = source_of(turn.state, name)
    if source is not None and source.name:
        return turn.tell(Tell.FROM_OFFCUT, source)
    pattern = plan.pattern_of(piece)
    if pattern is None:
        return turn
    others = {each.name for each in pattern.pieces} - {piece}
    board = next((name for name, other in turn.state.pieces.items() if other in others), None)
    return turn if board is None else turn.tell(Tell.SAME_SHEET, board)
