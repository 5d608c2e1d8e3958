"""One turn of the dialogue while it is decided: what happened so far in it, and what is to be told; how what was heard
once is told once more, in which order, and what goes with it so that it is short.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from fractions import Fraction
from itertools import groupby

from fieldvoice import safety
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.events import Answered, Awaited, DeadSaid, Event, Questioned
from fieldvoice.dialogue.reducer import apply
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import Open, State
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.hearing import Source
from fieldvoice.records.ledger import AGAIN, AS_HIGH, AS_NEAR, Call, Concern, Doubt, Notice, Tell, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Coordinate, Dimension, Edge, Place, Point, Reading, Slot, SurfaceCall
from fieldvoice.records.utterance import SHOWS, Answer, Command

_OF_A_BOARD = frozenset({Tell.READ_BACK, Tell.CONFIRMED, Tell.NOT_TAKEN_WHAT_IS_IT, Tell.QUESTION, Tell.DEAD})
"""What tells of calls without their board."""


@dataclass(frozen=True, slots=True)
class Turn:
    """Grows by `did` and `tell`, each of which gives a new turn whose state has the events so far in it. `present`:
    people are at the wall now, so that what they say of a circuit can count; a file's word can't. `like` is the call
    that what is called now is told by, or its place where the same breath calls it, by its own place, its height, or
    the wall that it is.
    """

    state: State
    who: str
    at: datetime
    rooms: Rooms
    judged: Judged
    source: Source = Source.SPOKEN
    present: bool = True
    events: tuple[Event, ...] = ()
    notices: tuple[Notice, ...] = ()
    asks: bool = False
    refused: bool = False
    like: Mapping[Key | Coordinate | SurfaceCall, int | Key] = field(default_factory=dict)

    def did(self, *events: Event) -> Turn:
        """The turn after those events."""
        state = self.state
        for event in events:
            state = apply(state, event, self.who, self.at)
        return replace(self, state=state, events=self.events + events)

    def tell(self, tell: Tell, *values: Value, safety: bool = False) -> Turn:
        """The turn with more to tell."""
        return self.note(Notice(tell, values, safety))

    def note(self, *notices: Notice) -> Turn:
        """The turn with these notices."""
        return replace(self, notices=self.notices + notices)

    def ask(self, tell: Tell, *values: Value, safety: bool = False) -> Turn:
        """The turn ending in a question."""
        return replace(self.tell(tell, *values, safety=safety), asks=True)

    def refuse(self, tell: Tell, *values: Value) -> Turn:
        """The turn taking nothing, and why."""
        return replace(self.tell(tell, *values), refused=True)

    def put(self, doubt: Doubt, tell: Tell = Tell.QUESTION, *, safety: bool = False) -> Turn:
        """The turn ending in the question of a doubt, with the calls that it is about; one at a time."""
        about = self.about(doubt)
        told: tuple[Value, ...] = read_last(self.state, about) if doubt.concern is Concern.LAST else about
        if doubt.concern is Concern.LACKS and (more := self._things_beside(about)):
            told = (*told, more)
        if tell is Tell.ANSWER_FIRST and self._put_off_before(doubt):
            told = (*told, AGAIN)
        before = tuple(one for one in self.notices if one.tell is not Tell.QUESTION)
        return replace(self, notices=before).ask(tell, doubt, *told, safety=safety)

    def put_again(self) -> Turn:
        """The turn ending in the question that is open for this speaker, if one is."""
        return self if self.asked is None else self.put(self.asked)

    def question(self, *doubts: Doubt) -> Turn:
        """The turn ending in the first of these questions, whose calls are in question from now on."""
        numbers = tuple(dict.fromkeys(doubt.call for doubt in doubts if doubt.call is not None))
        return self.did(Questioned(self.who, numbers, doubts)).put(doubts[0])

    def _put_off_before(self, doubt: Doubt) -> bool:
        """Whether the last answer to this speaker said already that the question is to be answered first."""
        notes = self.state.told_to.get(self.who, ())
        return any(note.tell is Tell.ANSWER_FIRST and doubt in note.values for note in notes)

    def _things_beside(self, about: tuple[Call, ...]) -> int:
        """How many boxes and openings there are on the board of what is asked about, beside it, begun ones too."""
        board = about[0].board if about else self.state.board
        keys = (*self.state.known(board, doubtful=True), *(call.key for call in self.state.begun(board)))
        there = {key for key in keys if key.of in {Of.BOX, Of.OPENING}}
        return len(there - {call.key for call in about})

    def about(self, doubt: Doubt) -> tuple[Call, ...]:
        """The calls that a doubt is about, and what the first of them takes the place of."""
        as_one = (each.call for each in self.state.asked_as_one(doubt) if each.call != doubt.call)
        numbers = (*(() if doubt.call is None else (doubt.call,)), *filter(None, as_one), *doubt.calls)
        first = self.state.call_of(doubt)
        if first is not None and first.replaces is not None:
            numbers = (*numbers, first.replaces)
        return tuple(self.state.calls[each] for each in numbers if each in self.state.calls)

    def at_board(self, board: str, then: Callable[[Turn], Turn]) -> Turn:
        """What `then` makes of the turn as if work were at that board: it stays where it is, unless that leads to yet
        another one.
        """
        here = self.state.board
        turn = then(replace(self, state=replace(self.state, board=board)))
        return turn if turn.state.board != board else replace(turn, state=replace(turn.state, board=here))

    def closed(self) -> Turn:
        """The turn with its answer recorded, safety first, and nothing twice in one breath."""
        told = (one for one, _ in groupby(sorted(self.notices, key=lambda notice: not notice.safety)))
        notices = tuple(one for notice in told for one in self._with_board(notice))
        turn = replace(self, notices=notices)
        return turn.did(Answered(notices, self.asks, self.refused)) if notices else turn

    def _with_board(self, notice: Notice) -> Iterator[Notice]:
        """The notice behind the board that it is of, where that is another one than the board at hand."""
        boards = (self._board_of(value) for value in notice.values if isinstance(value, Call | Doubt))
        if notice.tell is Tell.DEAD:
            boards = (event.board for event in self.events if isinstance(event, DeadSaid))
        board = next(filter(None, boards), None)
        if notice.tell in _OF_A_BOARD and board is not None and board != self.state.board:
            yield Notice(Tell.OF_BOARD, self.named(board), notice.safety)
        yield notice

    def _board_of(self, value: Call | Doubt) -> str | None:
        """The board of a call, or of the boxes that a question is about."""
        if isinstance(value, Call):
            return value.board
        return next((one.board for one in self.state.open.values() if value.boxes and value in one.doubts), None)

    def named(self, board: str) -> tuple[str, int]:
        """The board as it is told: its name, and whether it is a surface."""
        return board, int(board in self.state.surfaces)

    @property
    def told_last(self) -> tuple[Notice, ...]:
        """What was told in the last answer, and in the last to this speaker."""
        return (*self.state.said, *self.state.told_to.get(self.who, ()))

    @property
    def after_refusal(self) -> bool:
        """Whether what was said before this turn wasn't understood: an answer now is no answer to what came earlier."""
        lost = {Tell.REFUSED, Tell.UTTERANCE_ASKED, Tell.SAY_WHOLE}
        return any(note.tell in lost for note in self.state.said)

    @property
    def refused_at(self) -> Awaited | None:
        """Where the words that the speaker said last belong, which weren't taken: "it" is what stands for them."""
        awaited = self.state.awaited.get(self.who) if self.asked is None else None
        return awaited if awaited is not None and awaited.instead else None

    @property
    def only_shows(self) -> bool:
        """Whether all that was said is orders that show something and change nothing."""
        said = self.judged.utterance.meanings
        return bool(said) and all(isinstance(each, Command) and each.action in SHOWS for each in said)

    @property
    def denies(self) -> bool:
        """Whether what is said begins with a no."""
        said = self.judged.utterance
        return said.objects or any(isinstance(each, Answer) and not each.yes for each in said.meanings)

    @property
    def asked_long_ago(self) -> bool:
        """Whether what a yes would be to was put so long ago that it has to be put again."""
        asked_at = self.mine.asked_at
        return asked_at is None or not safety.in_time(asked_at, self.at)

    @property
    def spoken(self) -> bool:
        """Whether the words may have been misheard."""
        return self.source is Source.SPOKEN

    @property
    def mine(self) -> Open:
        """What waits for this speaker."""
        return self.state.open_to(self.who)

    @property
    def asked_of(self) -> tuple[Call, ...]:
        """The calls that an answer of this speaker's settles, the one that is asked about first."""
        asked = () if self.asked is None else self.state.asked_as_one(self.asked)
        numbers = sorted((each.call for each in asked if each.call is not None), key=lambda each: each != asked[0].call)
        return tuple(self.state.calls[each] for each in numbers if each in self.state.calls)

    @property
    def asked(self) -> Doubt | None:
        """The question that was put to this speaker."""
        return next(iter(self.mine.doubts), None)

    @property
    def asked_about(self) -> Call | None:
        """The call that the question which was put to this speaker is about."""
        return self.state.call_of(self.asked)

    @property
    def asked_another(self) -> tuple[str, Open, Doubt] | None:
        """Who else was asked just before this turn, with what is open for them and the question."""
        whose = self.state.told
        one = self.state.open_to(whose)
        asked = whose != self.who and self.state.asks and one.doubts
        return (whose, one, one.doubts[0]) if asked else None

    @property
    def known(self) -> Mapping[Key, Call]:
        """What stands or waits on the board at hand, the doubted too."""
        return self.state.known(self.state.board, doubtful=True)

    @property
    def unit(self) -> Unit:
        """The unit that the board at hand is spoken in."""
        return unit_of(self.state.known(self.state.board))


_ORDER = {Of.WIDTH: 0, Of.HEIGHT: 1}
_SLOTS = (Slot.TOP, Slot.LEFT, Slot.MIDDLE, Slot.BOTTOM, Slot.RIGHT)


def in_order(call: Call) -> tuple[int, int, Length]:
    """Widths from the top down, heights from the left, then the rest."""
    at = call.key.at
    slot = _SLOTS.index(at) if isinstance(at, Slot) else len(_SLOTS)
    return _ORDER.get(call.key.of, 2), slot, at if isinstance(at, Length) else Length(0)


def read_last(state: State, calls: tuple[Call, ...]) -> tuple[Value, ...]:
    """The calls of the last read-back; behind a reading that none of its kind can be an inch off; behind a box its
    center from the side it wasn't measured from, as a tape shows it, and that another one is so near its height that
    none can be an inch off.
    """
    told: list[Value] = []
    for call in calls:
        told.append(call)
        if isinstance(call.fact, Reading) and _near_fellows(state, call):
            told.append(AS_NEAR)
        if isinstance(call.fact, Box) and (other := _from_other_side(state, call)) is not None:
            told.append(other)
        if isinstance(call.fact, Box) and _as_high(state, call, call.fact):
            told.append(AS_HIGH)
    return tuple(told)


def _as_high(state: State, call: Call, box: Box) -> bool:
    """Whether another box of the board, that was heard apart, was called at almost the same height."""
    others = (one.fact for one in state.known(call.board).values() if one.key != call.key)
    return unit_of(state.known(call.board)) is Unit.INCH and any(
        isinstance(one, Box) and one.y.start is box.y.start and abs(one.y.value - box.y.value) <= NEAR for one in others
    )


NEAR = Length("3/4")
"""How far apart readings of a kind may be to be said once more without their inches: one that was an inch off would lie
farther from the others (our own rule)."""


def _near_fellows(state: State, call: Call) -> bool:
    known = state.known(call.board)
    values = [one.fact.value for key, one in known.items() if isinstance(one.fact, Reading) and key.of is call.key.of]
    return len(values) > 1 and unit_of(known) is Unit.INCH and max(values) - min(values) <= NEAR


def _from_other_side(state: State, call: Call) -> Coordinate | None:
    box = call.fact
    if not isinstance(box, Box) or box.x.start not in {Edge.LEFT, Edge.RIGHT}:
        return None
    width = _width_at(state, call.board, box)
    if width is None or width <= box.x.value:
        return None
    other = Edge.RIGHT if box.x.start is Edge.LEFT else Edge.LEFT
    point = {Point.NEAR: Point.FAR, Point.FAR: Point.NEAR}.get(box.x.point, box.x.point)
    tape = Length("1/8") if unit_of(state.known(call.board)) is Unit.INCH else Length.of(1, Unit.MM)
    return Coordinate(point, (width - box.x.value).rounded(tape), other)


def _width_at(state: State, board: str, box: Box) -> Length | None:
    """The width as read at the box: between the readings above and below it."""
    values = state.known(board)
    readings = [call.fact for call in values.values() if isinstance(call.fact, Reading)]
    heights = (one.value.inches for one in readings if one.dimension is Dimension.HEIGHT)
    high = next(heights, Fraction(96))
    read = [(_down(one.at, high), one.value) for one in readings if one.dimension is Dimension.WIDTH]
    places = sorted((place, width) for place, width in read if place is not None)
    if not places:
        return None
    y = box.y.value.inches
    if box.y.start is Edge.BOTTOM:
        y = high - y
    return _between(places, y)


def _between(places: list[tuple[Fraction, Length]], y: Fraction) -> Length:
    before = [one for one in places if one[0] <= y]
    after = [one for one in places if one[0] >= y]
    if not before or not after:
        return (before or after)[-1 if before else 0][1]
    (above, first), (below, last) = before[-1], after[0]
    if above == below:
        return first
    return first + (last - first) * ((y - above) / (below - above))


def _down(at: Place | None, high: Fraction) -> Fraction | None:
    if isinstance(at, Length):
        return at.inches
    return {Slot.TOP: Fraction(0), Slot.MIDDLE: high / 2, Slot.BOTTOM: high}.get(at) if at is not None else None
