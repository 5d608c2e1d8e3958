"""What of an utterance the dialogue has a use for: "the same" becomes a reading, one told by another ("an eighth less
than the top") is worked out from what is in force, to be asked, a value read back at one place is moved to the one that
it is of ("that's the bottom"), and what changes nothing is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from fieldvoice.dialogue.amending import is_bare
from fieldvoice.dialogue.completing import by_habit, level
from fieldvoice.dialogue.events import NotTaken
from fieldvoice.dialogue.keeping import (
    calls_of,
    holds_figures,
    keep_words,
    leads_away,
    order_waits,
    queue_words,
    queued,
    until_called,
    words_kept,
)
from fieldvoice.dialogue.matching import find_surfaces, room_of
from fieldvoice.dialogue.placing import denied
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.rivals import called
from fieldvoice.dialogue.state import are_one_figure
from fieldvoice.dialogue.surfaces import of_a_ceiling
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.undoing import undo
from fieldvoice.records.facts import Fact, Key, Of, key_of
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    DeadAndTested,
    Dimension,
    Edge,
    Incomplete,
    Lack,
    Place,
    Reading,
    Slot,
    SurfaceCall,
    Thing,
    Topic,
)
from fieldvoice.records.utterance import (
    Action,
    Answer,
    Ask,
    Command,
    Meaning,
    Misplaced,
    Part,
    Question,
    Relative,
    SameAgain,
    SameHeight,
    SameSurface,
    Status,
    Told,
    Utterance,
)

_ORDERS = frozenset({Action.QUIT})
"""Orders to what shows, not to the dialogue."""


def usable(turn: Turn, meanings: Iterable[Meaning]) -> tuple[Turn, tuple[Meaning, ...]]:
    """The meanings that count, "the same" with its value; the turn tells of each that nothing comes of."""
    said = tuple(meanings)
    if len(said) == 1 and isinstance(said[0], Misplaced):
        return _moved(turn, said[0])
    if (other := _by_its_order(turn, said)) is not None:
        return words_kept(turn).refuse(Tell.SAY_BOARD, *turn.named(other), *turn.named(turn.state.board)), ()
    return _usable(turn, said)


def _by_its_order(turn: Turn, said: tuple[Meaning, ...]) -> str | None:
    """The other board that may be meant where a value is called of "the first board" or "the last" while one is up that
    was measured already: with nothing called on it, it is the first or the last of its row.
    """
    words = {str(one.value) for one in said if isinstance(one, Context) and one.topic is Topic.ORDER}
    measured = turn.state.called_on
    if not words or len(said) < 2 or turn.state.board not in measured:
        return None
    other = measured[0] if "first" in words else measured[-1]
    return other if other != turn.state.board and words <= {"first", "last"} else None


def _usable(turn: Turn, meanings: tuple[Meaning, ...]) -> tuple[Turn, tuple[Meaning, ...]]:
    kept: list[Meaning] = []
    lost: list[Tell] = []
    for meaning in meanings:
        meaning = _height_asked(turn, meaning)
        if isinstance(meaning, SameHeight):
            if level(turn, meaning, kept):
                turn = _told_by(turn, _box_called(turn, meaning.like), None)
            else:
                lost.append(Tell.NO_LEVEL)
            continue
        if isinstance(meaning, Context) and meaning.topic is Topic.RIP and isinstance(meaning.value, Length):
            turn = words_kept(turn).refuse(Tell.RIP, meaning.value)  # the board is to be so wide, or the opening
            continue
        framed = of_a_ceiling(turn.state, meanings, meaning)
        if framed is not None:
            turn = turn.did(NotTaken(calls_of(turn, (framed,), Standing.NOT_TAKEN))).refuse(Tell.OF_A_CEILING)
            continue
        turn, same = _as_told(turn, meaning, kept)
        if same is None:
            lost.append(Tell.SAME_AS_WHAT)
            turn = until_called(turn, meaning)
        elif _idle(same):
            lost.append(Tell.NO_USE)
        else:
            kept.append(same)
    for tell in dict.fromkeys(lost):
        words: tuple[str, ...] = (turn.judged.utterance.heard,) if tell is Tell.NO_USE else ()
        turn = turn.tell(tell, *words) if kept else turn.refuse(tell, *words)
    return turn, tuple(kept)


def _height_asked(turn: Turn, meaning: Meaning) -> Meaning:
    """The same height, where a box lacks it, as that of the boxes that are there, if they have one."""
    doubt = turn.asked
    asked = turn.state.call_of(doubt)
    if asked is None or not isinstance(asked.fact, Incomplete) or Lack.DISTANCE not in asked.fact.lacks:
        return meaning
    if not isinstance(meaning, SameAgain) or meaning.at is not None or meaning.dimension is not Dimension.HEIGHT:
        return meaning
    boxes = [one.fact for one in turn.state.known(asked.board).values() if isinstance(one.fact, Box)]
    one = boxes[0].name if len({each.y for each in boxes}) == 1 else ""
    return SameHeight(None, one) if one else meaning


def _idle(meaning: Meaning) -> bool:
    return isinstance(meaning, Command) and meaning.action in _ORDERS


def _as_told(turn: Turn, meaning: Meaning, kept: list[Meaning]) -> tuple[Turn, Meaning | None]:
    """What is said to be the same as another one, with its value and what tells it; anything else by the crew's habits.
    None where there is no other one.
    """
    if not isinstance(meaning, SameAgain | SameSurface):
        known = turn.state.known(turn.state.board)
        return turn, by_habit(known, meaning) if isinstance(meaning, Incomplete) else meaning
    before = _in_this_breath(meaning, kept) if isinstance(meaning, SameAgain) else None
    if isinstance(meaning, SameAgain) and before is not None:
        again = replace(before, at=meaning.at, dimension=before.dimension or meaning.dimension)
        return replace(turn, like={**turn.like, key_of(again): key_of(before)}), again
    like = _like(turn, meaning)
    same = _as_it(meaning, like)
    return _told_by(turn, like, same), same


def _in_this_breath(same: SameAgain, kept: list[Meaning]) -> Reading | None:
    """The reading whose value is said to be another one's, too, where the same breath called it."""
    readings = [each for each in called(tuple(kept)) if isinstance(each, Reading) and same.like in {None, each.at}]
    last = readings[-1] if readings else None
    fits = last is not None and (None in {same.dimension, last.dimension} or same.dimension is last.dimension)
    return last if fits else None


def _like(turn: Turn, same: SameAgain | SameSurface) -> Call | None:
    """The wall that was named; the reading at the place that was named, else the one that was called last on this
    board: a width for a width, a height for a height, and for a middle whichever that was.
    """
    if isinstance(same, SameSurface):
        names = find_surfaces(turn.state, f"{same.like} wall")
        known = turn.state.known(names[0], doubtful=True).values() if len(names) == 1 else ()
        return next((one for one in known if isinstance(one.fact, SurfaceCall)), None)
    called = [call for call in turn.state.on(turn.state.board) if call.waits or call.in_force]
    readings = [call for call in called if isinstance(call.fact, Reading) and same.like in {None, call.fact.at}]
    last = readings[-1].fact if readings else None
    fits = isinstance(last, Reading) and same.dimension in {None, last.dimension}
    return readings[-1] if fits else None


def _as_it(same: SameAgain | SameSurface, like: Call | None) -> Reading | SurfaceCall | None:
    """What is said to be the same; of a wall whose top slopes it isn't known which way the other one does."""
    match same, like.fact if like is not None else None:
        case SameAgain(at=at), Reading() as reading:
            return replace(reading, at=at)
        case SameSurface(name=name), SurfaceCall(slopes=False) as wall:
            return replace(wall, name=name)
    return None


def _box_called(turn: Turn, name: str) -> Call | None:
    return turn.known.get(Key(Of.BOX, name=name))


def _told_by(turn: Turn, like: Call | None, told: Meaning | None) -> Turn:
    """With what is told by that call: a reading by its place, a wall, a box by its height."""
    if like is None:
        return turn
    box = like.fact.y if isinstance(like.fact, Box) else None
    key = key_of(told) if isinstance(told, Reading) else told if isinstance(told, SurfaceCall) else box
    return turn if key is None else replace(turn, like={**turn.like, key: like.number})


def of_what_is_asked(turn: Turn) -> Turn | None:
    """What is told by a value that is in question, or by one that waits for its turn, has no figure until that has
    come; nor is what waits put right before it stands: the words have their turn then. What is called behind somebody
    else's going to another board may be of either. None where nothing is told so, and of a no that is about the
    question.
    """
    utterance = turn.judged.utterance
    left = turn.state.led_away.get(turn.who)
    answers = turn.asked is not None or turn.denies or denied(turn)
    if left is not None and not answers and _belongs_to_a_board(utterance):
        turn = turn.at_board(left, words_kept) if holds_figures(utterance) else turn
        return turn.refuse(Tell.SAY_BOARD, *turn.named(left), *turn.named(turn.state.board))
    if utterance.danger:
        return None
    if turn.asked is not None and _comes_behind(turn):
        if turn.judged.doubtful and utterance.status is Status.UNDERSTOOD:
            return words_kept(turn).put(turn.asked, Tell.ANSWER_FIRST)
        return _later(turn, turn.asked)
    if turn.denies:
        return None
    told = [meaning for meaning in utterance.meanings if isinstance(meaning, SameAgain)]
    keys = {like.key for meaning in told if (like := _like(turn, meaning)) is not None}
    relative = utterance.ask.relative if utterance.ask is not None else None
    for who, one in turn.state.open.items():
        if one.board != turn.state.board or not one.doubts:
            continue
        called = (turn.state.calls[each] for each in one.calls)
        asked = {call.key for call in called if call.standing is Standing.DOUBTFUL}
        asked |= {key_of(fact) for doubt in one.doubts for way in doubt.ways for fact in way}
        if asked & keys or (relative is not None and any(_is_base(relative, key) for key in asked)):
            if who == turn.who:
                return _later(turn, one.doubts[0])
            return keep_words(turn).refuse(Tell.ASKED_ANOTHER, who, one.doubts[0], *turn.about(one.doubts[0]))
    return None


def _belongs_to_a_board(said: Utterance) -> bool:
    """Whether anything was called, or is to be scratched, without its board."""
    called = holds_figures(said) or any(isinstance(each, DeadAndTested) for each in said.meanings)
    scratched = any(isinstance(each, Command) and each.action is Action.SCRATCH for each in said.meanings)
    return said.status is not Status.REFUSED and (called or scratched) and not any(map(leads_away, said.meanings))


def _later(turn: Turn, asked: Doubt) -> Turn:
    """The words wait for the answer."""
    words = turn.judged.utterance.heard
    return queue_words(turn, words, Key(Of.WORDS, name=words)).put(asked, Tell.ANSWER_FIRST)


def _comes_behind(turn: Turn) -> bool:
    """Whether it is told by what stands while anything of its speaker waits, or puts right what waits: in the order in
    which all was said. What leaves the board takes all behind it along.
    """
    waits = queued(turn)
    utterance = turn.judged.utterance
    new = called(utterance.meanings)
    if turn.denies:
        if turn.asked is not None and turn.asked.concern is Concern.TESTED:
            return False  # nobody says yes to a circuit past a no
        asked = {one.key for one in turn.asked_of}
        facts = (each for each in new if isinstance(each, Reading | Thing | Context))
        keys = {key_of(each) for each in facts if not is_bare(each)} - asked
        elsewhere = bool(keys) and order_waits(turn)
        return elsewhere or any(one.key in keys for one in waits)
    old = turn.asked_about
    part = old is not None and isinstance(old.fact, Incomplete)
    told = any(isinstance(each, SameAgain | SameHeight | SameSurface) for each in new) and not part
    ask = utterance.ask
    return bool(waits) and (told or (ask is not None and (ask.relative is not None or ask.level is not None)))


def without_figure(turn: Turn, told: Relative) -> Turn | None:
    """What is told by values that aren't there, where no figure would answer: of two places that were to be swapped
    there is nothing to swap, and what was called last is not known. None where a figure answers.
    """
    if told.swaps:
        return words_kept(turn).refuse(Tell.NO_USE, turn.judged.utterance.heard)
    return words_kept(turn).refuse(Tell.WHICH_VALUE) if told.of_the_last else None


def _is_base(told: Relative, key: Key) -> bool:
    """Whether the reading at a place is one by which the figure is told."""
    places = (told.at, told.like) if told.swaps else (told.at if told.changes else told.like,)
    return key.at in places and key.at is not None and told.dimension in {None, Dimension(key.of.value)}


_Base = dict[int, Reading]
"""Readings by the numbers of their calls."""


def reckoned(turn: Turn, question: Question) -> tuple[tuple[Fact, ...], tuple[int, ...]]:
    """What a question is about that what was called before tells: a reading that is told by others, with the calls that
    tell it; a wall at hand by its sides. None where these aren't sure.
    """
    if question.relative is not None:
        return _reading_told(turn, question.relative)
    if question.about is Ask.JOISTS_RUN:
        return _joists_counted(turn, *question.values), ()
    if question.about is Ask.WALL_PEAK and question.values:
        return _peaked(turn, *question.values)
    return (_wall_at_hand(turn, question.sides) if question.sides else ()), ()


def _reading_told(turn: Turn, told: Relative) -> tuple[tuple[Reading, ...], tuple[int, ...]]:
    """The reading with its figure, each of its places where one breath called it for several, and the calls by which it
    is told; none where these aren't sure, or may be one of several.
    """
    if told.swaps:
        return _swapped(turn, told)
    awaited = turn.state.awaited.get(turn.who)
    at = told.at or (awaited.at if awaited is not None else None)
    dimension = told.dimension or (awaited.dimension if awaited is not None and told.at is None else None)
    if told.changes:
        base = _last(turn, told.dimension) if told.at is None else _at(turn, told.dimension, told.at)
        return _longer(base.values(), told.by), tuple(base)
    base = _last(turn) if told.like is None else _at(turn, dimension, told.like)
    others = {call: one for call, one in base.items() if one.at != at and dimension in {None, one.dimension}}
    if at is None or not others:
        return (), ()
    call, other = next(iter(others.items()))
    return _longer((replace(other, at=at),), told.by), (call,)


def _wall_at_hand(turn: Turn, sides: tuple[Length, ...]) -> tuple[SurfaceCall, ...]:
    """The wall that somebody stands at, with the sides that were said of a wall without its name: one alone is the one
    that it is nearer to. None where nobody stands at one, or it slopes.
    """
    wall = _wall_among(turn.state.known(turn.state.board))
    if wall is None or wall.slopes:
        return ()
    width, *more = sides
    if more:
        return (replace(wall, width=width, height=more[0]),)
    if abs(width.inches - wall.width.inches) <= abs(width.inches - wall.height.inches):
        return (replace(wall, width=width),)
    return (replace(wall, height=width),)


def _peaked(
    turn: Turn, height: Told, far: Told | None = None, end: Told | None = None
) -> tuple[tuple[Fact, ...], tuple[int, ...]]:
    """The wall at hand with its peak so high, in the middle or so far from one of its ends; at a board the height that
    was measured there. None where that isn't told.
    """
    if turn.state.board not in turn.state.surfaces and isinstance(height, Length):
        return _peak_of_board(turn, height, far, end)
    wall = _wall_among(turn.known)
    if wall is None or not isinstance(height, Length):
        return (), ()
    peaked = wall.peaked(height, (far, end) if isinstance(far, Length) and isinstance(end, Edge) else None)
    return (() if peaked is None else (peaked,)), ()


def _peak_of_board(
    turn: Turn, height: Length, far: Told | None, end: Told | None
) -> tuple[tuple[Reading, ...], tuple[int, ...]]:
    """The height of a board at its peak. Its place is counted from the left: from the right it is told by the width at
    the top, which has to be called; in the middle it is no board's where a room was named and nothing measured.
    """
    if not isinstance(far, Length):
        measured = any(isinstance(one.fact, Reading) for one in turn.state.on(turn.state.board))
        of_it = measured or not room_of(turn.state, turn.state.board)
        return ((Reading(height, Dimension.HEIGHT, Slot.MIDDLE),) if of_it else ()), ()
    if end is Edge.LEFT:
        return (Reading(height, Dimension.HEIGHT, far),), ()
    widths = {call: one.value for call, one in _at(turn, Dimension.WIDTH, Slot.TOP).items() if one.value > far}
    return tuple(Reading(height, Dimension.HEIGHT, wide - far) for wide in widths.values()), tuple(widths)


def _wall_among(known: Mapping[Key, Call]) -> SurfaceCall | None:
    facts = (call.fact for call in known.values())
    return next((fact for fact in facts if isinstance(fact, SurfaceCall) and fact.surface == "wall"), None)


def _joists_counted(turn: Turn, way: Told, apart: Told | None = None) -> tuple[Context, ...]:
    """From where the joists of the ceiling at hand are counted, by the way that they run: across its width they are
    counted from its near end. None where there is no ceiling, or it isn't known how far they are apart.
    """
    known = [call.fact for call in turn.state.known(turn.state.board).values()]
    ceiling = next((fact for fact in known if isinstance(fact, SurfaceCall) and fact.surface == "ceiling"), None)
    called = (fact.value for fact in known if isinstance(fact, Context) and fact.topic is Topic.SPACING)
    spacing = apart or next(called, None)
    if ceiling is None or not isinstance(spacing, Length):
        return ()
    if way in {"long way", "short way"} and ceiling.width == ceiling.height:
        return ()
    longer = ceiling.width > ceiling.height
    along_width = way == "across width" or (way != "across length" and (way == "long way") == longer)
    return (Context(Topic.SPACING, spacing, Edge.BOTTOM if along_width else Edge.LEFT),)


def _swapped(turn: Turn, told: Relative) -> tuple[tuple[Reading, ...], tuple[int, ...]]:
    """The two readings, each at the other's place; none where either isn't there, or they are the same."""
    both = [_at(turn, told.dimension, at) for at in (told.at, told.like) if at is not None]
    found = {call: one for base in both for call, one in base.items()}
    if len(found) < len(both) or len({one.value for one in found.values()}) < len(both):
        return (), ()
    one, other = found.values()
    return (replace(other, at=one.at), replace(one, at=other.at)), tuple(found)


def _last(turn: Turn, dimension: Dimension | None = None) -> _Base:
    """What was read back last, where that is one figure: "it" is nothing that was called before that. "The width" is
    the only one of the board, whatever was read back last.
    """
    known = turn.state.known(turn.state.board).values()
    calls = turn.state.called_last if turn.refused_at is None else ()
    if dimension is not None:
        calls = tuple(one for one in known if isinstance(one.fact, Reading) and one.fact.dimension is dimension)
    sure = are_one_figure(calls) and all(call in known for call in calls)
    return {call.number: call.fact for call in calls if isinstance(call.fact, Reading)} if sure else {}


def _at(turn: Turn, dimension: Dimension | None, at: Place) -> _Base:
    there = {
        call.number: call.fact
        for call in turn.state.known(turn.state.board).values()
        if isinstance(call.fact, Reading) and call.fact.at == at and dimension in {None, call.fact.dimension}
    }
    return there if len(there) == 1 else {}


def _longer(readings: Iterable[Reading], by: Length) -> tuple[Reading, ...]:
    return tuple(replace(one, value=one.value + by, qualifier=None) for one in readings if one.value + by > ZERO)


_OF_HEIGHT = frozenset({Slot.LEFT, Slot.RIGHT})


def _moved(turn: Turn, said: Misplaced) -> tuple[Turn, tuple[Meaning, ...]]:
    """Takes back what was read back last and tells its value for the other place; what stood before it stands again.
    Where it was called there, that is a yes; where a question is open to which a place is an answer, it
    answers that. What can't be told is asked.
    """
    asked = turn.asked
    if asked is not None and said.was is None and _is_the_side_asked_for(turn, said.at):
        return turn, (Part(Edge(said.at)),)
    last = () if turn.judged.doubtful else _figure_called_last(turn)
    reading = last[0].fact if last else None
    if not isinstance(reading, Reading) or said.was not in {None, reading.at}:
        return turn.refuse(Tell.WHICH_VALUE), ()
    if reading.at is said.at:
        return turn, (Answer(yes=True, agreed=True),)
    after = undo(turn)
    still = {one.number for one in after.state.known(turn.state.board, doubtful=True).values()}
    if any(call.number in still for call in last):
        return (after if after.refused else turn.refuse(Tell.WHICH_VALUE)), ()
    dimension = Dimension.HEIGHT if said.at in _OF_HEIGHT else Dimension.WIDTH
    return after, (Reading(reading.value, dimension, said.at, reading.qualifier),)


def _is_the_side_asked_for(turn: Turn, at: Slot) -> bool:
    """Whether the open question is one about a missing piece, which a side may be."""
    doubt = turn.asked
    return doubt is not None and doubt.answered_by is AnsweredBy.PART and at in _OF_HEIGHT


def _figure_called_last(turn: Turn) -> tuple[Call, ...]:
    """The one figure that its speaker called and had read back last; none where undo would take back anything else."""
    calls = turn.state.called_last
    if turn.state.read_last.board != turn.state.board or not are_one_figure(calls):
        return ()
    if any(note.tell is Tell.READ_ALL for note in turn.state.said):
        return ()  # everything was read back
    numbers = {call.number for call in calls}
    waiting = {call.number for call in turn.state.waiting(turn.who) if call.by == turn.who}
    past = last_change(turn.state, turn.who)
    undone = waiting or (set(past.calls) if past is not None else set())
    return calls if numbers and numbers == undone else ()
