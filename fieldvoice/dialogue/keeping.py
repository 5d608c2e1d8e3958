"""What is called as a call of the ledger, and what is kept there as not taken until its time comes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fieldvoice.dialogue.amending import figures_of, says_again, says_all_again
from fieldvoice.dialogue.events import Awaited, NotTaken, SaidAgain, Struck, TakenBack
from fieldvoice.dialogue.matching import begun_so, has_part
from fieldvoice.dialogue.on_the_wall import is_on_its_piece
from fieldvoice.dialogue.state import Open, State, are_one_figure, is_whole
from fieldvoice.dialogue.surfaces import of_a_surface
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Said, key_of
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Standing, Tell
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Danger,
    DeadAndTested,
    Diagonal,
    Dimension,
    Edge,
    Incomplete,
    Lack,
    Opening,
    Plumb,
    Reading,
    Slot,
    SurfaceCall,
    Thing,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Action, Answer, Command, Meaning, Part, SameAgain, Status, Utterance, Why


def calls_of(turn: Turn, facts: Iterable[Said | None], standing: Standing) -> tuple[Call, ...]:
    """What the turn's words called, each as a call of its own; None where they have no meaning yet."""
    number, heard, unit = turn.state.next_number, turn.judged.utterance.heard, turn.unit
    board, hearings = turn.state.board, 1 if turn.spoken else 2
    numbered = dict(enumerate(facts, number))
    places = {key_of(fact): each for each, fact in numbered.items() if fact is not None}

    def told_by(fact: Said | None) -> int | None:
        like = _told_by(turn, fact)
        return places.get(like) if isinstance(like, Key) else like

    return tuple(
        Call(each, board, turn.who, fact, heard, standing, hearings, like=told_by(fact), unit=unit)
        for each, fact in numbered.items()
    )


def _told_by(turn: Turn, fact: Said | None) -> int | Key | None:
    match fact:
        case Reading():
            return turn.like.get(key_of(fact))
        case SurfaceCall():
            return turn.like.get(fact)
        case Box() | Incomplete():
            height = _height(fact)
            return None if height is None else turn.like.get(height)
    return None


def _height(thing: Said | None) -> Coordinate | None:
    """How high a box is, once both its point and its side are known."""
    if isinstance(thing, Box):
        return thing.y
    distances = thing.distances if isinstance(thing, Incomplete) else ()
    return next((each.whole for each in distances if each.start in {Edge.TOP, Edge.BOTTOM}), None)


def figure_told(fact: Said | None) -> object:
    """What another may have of it: a reading's value, the height of a box, the sides of a wall."""
    match fact:
        case Reading(value=value):
            return value
        case SurfaceCall() as sides:
            return sides.width, sides.height, sides.right_height, sides.breaks
    return _height(fact)


def still_like(was: Call, new: Call) -> Call:
    """A call in the place of one that was told by another, as long as it has the same figure of it."""
    figure = figure_told(was.fact)
    same = figure is not None and figure == figure_told(new.fact)
    return replace(new, like=was.like) if new.like is None and same else new


def in_its_unit(turn: Turn, was: Call, new: Call) -> Call:
    """A call in the place of one that waited. Where that has figures that were called in another unit, and more are
    said of it now, it keeps its unit: it is asked about, since these may be of either.
    """
    before = figures_of(was.fact)
    both = was.unit is not None and before and figures_of(new.fact) - before
    return replace(new, board=was.board, replaces=was.number, unit=was.unit if both else turn.unit)


def queue(turn: Turn, facts: tuple[Said, ...], *, corrects: bool = False) -> Turn:
    """Keeps what was called while a question is open, and puts the question again. What was itself heard with doubt has
    to be said again: its rivals aren't kept.
    """
    sure = not turn.judged.doubtful
    made = calls_of(turn, facts, Standing.NOT_TAKEN)
    calls = tuple(replace(one, queued=sure, corrects=corrects) for one in made)
    turn = turn.did(NotTaken(calls)) if calls else turn
    return turn if turn.asked is None else turn.put(turn.asked, Tell.ANSWER_FIRST)


def put_off(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Without the question for a part of a thing, where its speaker goes on with what needs no answer to it: the thing
    is kept, and its part is asked for again with "done". What is open about the rest of it waits for its answer.
    """
    doubt = turn.asked
    if doubt is None or doubt.answered_by is not AnsweredBy.PART or turn.judged.doubtful:
        return turn
    old = turn.state.call_of(doubt)
    if old is None or [each for each in turn.mine.doubts if each.call == old.number] != [doubt]:
        return turn
    elsewhere = any(isinstance(fact, SurfaceCall) for fact in facts)  # with its room and all that is said of it
    if not elsewhere and not all(_stands_alone(turn, fact, old) for fact in facts):
        return turn
    turn = turn.did(SaidAgain((old.number,)))
    kept = replace(old, number=turn.state.next_number, standing=Standing.NOT_TAKEN, replaces=old.number, put_off=True)
    return turn.did(NotTaken((kept,))).tell(Tell.PUT_OFF, kept)


def _stands_alone(turn: Turn, fact: Said, lacking: Call) -> bool:
    """Whether a value has a place or a name of its own, and can be no part of what lacks one."""
    thing = lacking.fact
    if not isinstance(thing, Incomplete):
        return False
    match fact:
        case Reading():
            return fact.at is not None and (
                Lack.DISTANCE not in thing.lacks or _is_of_the_board(turn, lacking.board, fact)
            )
        case Box() | Opening() | Incomplete():
            placed = not isinstance(fact, Incomplete) or bool(fact.distances) or _is_there(turn, lacking.board, fact)
            return placed and not says_again(thing, fact) and key_of(fact) != lacking.key
        case Context():
            return fact.topic not in _OF_THE_BOX
    return isinstance(fact, Diagonal | Plumb)


def _is_there(turn: Turn, board: str, fact: Said) -> bool:
    """Whether a thing of that name is known, or was put off."""
    known, later = turn.state.known(board, doubtful=True), turn.state.put_off(board)
    return key_of(fact) in known or any(one.key == key_of(fact) for one in later)


NEAR_A_READING = Length(4)
"""A figure with a side that is nearer than this to a reading of its kind may be another one (our own rule)."""
HALF_A_SHEET = Length(48)
"""Where there is none yet, a distance is below it (our own rule)."""


def fellows(turn: Turn, board: str, said: Reading) -> list[Length]:
    """What was read the way that a figure with its side runs."""
    known = turn.state.known(board, doubtful=True).values()
    return [one.fact.value for one in known if isinstance(one.fact, Reading) and _way(one.fact) is _way(said)]


def _way(reading: Reading) -> Dimension | None:
    across = Dimension.HEIGHT if reading.at in {Slot.LEFT, Slot.RIGHT} else Dimension.WIDTH
    return reading.dimension or across


def _is_of_the_board(turn: Turn, board: str, said: Reading) -> bool:
    """Whether a figure with its side is the board's, where a thing lacks a distance."""
    near = (abs(each - said.value) < NEAR_A_READING for each in fellows(turn, board, said))
    return said.value >= HALF_A_SHEET or any(near)


_OF_THE_BOX = frozenset({Topic.BOX_POINT, Topic.OVER, Topic.UNIT, Topic.BOARD, Topic.ROOM, Topic.BOXES})
"""What is said that may be a part of a box, or changes what its figures mean or where it is."""


def queued(turn: Turn) -> tuple[Call, ...]:
    """What the speaker called here under a question, in the order in which it was called."""
    return tuple(one for one in turn.state.not_taken(turn.state.board) if one.by == turn.who and one.queued)


def called_at(state: State, call: Call) -> int:
    """The number that a call had when it was said: what waited behind a question, or for its part, was called before
    what came since.
    """
    old = state.calls.get(call.replaces or 0)
    if old is not None and isinstance(old.fact, Incomplete) and old.key == call.key and old.by == call.by:
        return called_at(state, old)
    came = (one for one in state.on(call.board) if (one.queued or one.put_off) and one.standing is Standing.REPLACED)
    mine = (one for one in came if one.by == call.by and one.number < call.number and one.words == call.words)
    same = [one.number for one in mine if one.key == call.key or one.fact is None]
    return same[-1] if same else call.number


def queue_words(turn: Turn, words: str, about: Key | None = None) -> Turn:
    """Keeps words whose time comes once the question is answered; the same once, where nothing came between. An order
    is `about` nothing.
    """
    (one,) = calls_of(turn, (None,), Standing.NOT_TAKEN)
    kept = replace(one, words=words, queued=True, unit=None, about=about)
    before = queued(turn)
    same = bool(before) and before[-1].fact is None and before[-1].words == words
    return turn if same else turn.did(NotTaken((kept,)))


def leads_away(fact: Said | Meaning | None) -> bool:
    """Whether work goes elsewhere with it."""
    if isinstance(fact, Command):
        return fact.action in {Action.GO_TO_BOARD, Action.GO_TO_SURFACE, Action.NEXT_BOARD}
    return isinstance(fact, SurfaceCall) or (isinstance(fact, Context) and fact.topic in {Topic.BOARD, Topic.ROOM})


def order_waits(turn: Turn) -> bool:
    """Whether the speaker ordered work elsewhere under the question that is open: what is called now comes behind it,
    also where the question is put off by that.
    """
    return turn.asked is not None and any(map(_leads, queued(turn)))


def _leads(call: Call) -> bool:
    """Whether work goes elsewhere with what waits: words that are told by what stands are about themselves."""
    return call.about is None if call.fact is None else leads_away(call.fact)


def behind_order(state: State, board: str) -> frozenset[int]:
    """What was called on a board behind an order to leave it, and waits for that to be carried out: it isn't of it."""
    left: set[str] = set()
    found = set()
    for one in state.not_taken(board):
        if one.queued and _leads(one):
            left.add(one.by)
        elif one.queued and one.by in left:
            found.add(one.number)
    return frozenset(found)


def keep_words(turn: Turn, words: str = "", whose: str = "") -> Turn:
    """Words that could not be understood, kept as not taken: those of the turn, and the speaker's, where no others."""
    words = words or turn.judged.utterance.heard
    if not words.strip():
        return turn
    number, by = turn.state.next_number, whose or turn.who
    one = Call(number, turn.state.board, by, None, words, Standing.NOT_TAKEN, unit=turn.unit)
    return turn.did(NotTaken((one,))).tell(Tell.KEPT_NOT_TAKEN, words)


def dismissed(turn: Turn, call: Call) -> Turn:
    """The turn without what was called and not taken; one figure of several places goes as one."""
    out = _one_figure(turn, call)
    return turn.did(TakenBack(tuple(each.number for each in out))).tell(Tell.DISMISSED, *out)


def left_out(turn: Turn, call: Call) -> Turn:
    """The same by its speaker's word: an undo has it not taken again, and takes nothing else back."""
    out = _one_figure(turn, call)
    return turn.did(Struck(call.board, tuple(each.number for each in out))).tell(Tell.DISMISSED, *out)


def _one_figure(turn: Turn, call: Call) -> tuple[Call, ...]:
    return tuple(each for each in turn.state.not_taken(call.board) if are_one_figure((each, call))) or (call,)


def words_kept(turn: Turn) -> Turn:
    """The turn with its words kept as not taken, where what it tells says so."""
    return replace(keep_words(turn), notices=turn.notices)


def kept_where_nothing_came(turn: Turn) -> Turn:
    """What was called and changed nothing, since something else is asked: its words stand as not taken, once."""
    said = turn.judged.utterance
    if len(turn.events) > 1 or said.status is not Status.UNDERSTOOD or turn.asked is None or turn.state.holding:
        return turn
    before = [one.words for one in turn.state.not_taken(turn.state.board) if one.by == turn.who]
    called = any(not isinstance(one, _NO_CALL) for one in said.meanings)
    if said.heard in before or not called or named_again(turn) or may_be_a_yes(turn) or _says_what_is_asked(turn):
        return turn
    told = any(one.tell is Tell.ANSWER_FIRST for one in turn.notices)
    kept = keep_words(turn)
    return replace(kept, notices=(*(() if told else kept.notices[len(turn.notices) :]), *turn.notices))


def named_again(turn: Turn) -> bool:
    """Whether a thing of which nothing was said but what it is was heard twice."""
    named = [one for one in turn.asked_of if isinstance(one.fact, Incomplete) and one.fact.is_only_named]
    return any(one.words == turn.judged.utterance.heard for one in named)


def until_called(turn: Turn, said: Meaning) -> Turn:
    """What is said to be the same as a place that has no value, kept as not taken until its own place is called, to
    which the next figure alone belongs.
    """
    if not isinstance(said, SameAgain) or said.at is None or turn.asked is not None:
        return turn
    up = said.like in {Slot.LEFT, Slot.RIGHT}
    way = said.dimension or (Dimension.HEIGHT if up else Dimension.WIDTH)
    (one,) = calls_of(turn, (None,), Standing.NOT_TAKEN)
    turn = turn.did(NotTaken((replace(one, about=key_of(Reading(ZERO, way, said.at))),)))
    return turn.did(Awaited(way, said.at, instead=(one.number,)))


def _says_what_is_asked(turn: Turn) -> bool:
    """Whether all that was called is what is asked about already, as far as it goes."""
    asked = [one.fact for one in turn.asked_of if one.fact is not None]
    return all(
        any(old == new or _says_again(old, new) for old in asked) or _begins_an_answer(turn, new)
        for new in turn.judged.utterance.meanings
        if not isinstance(new, _NO_CALL)
    )


def _begins_an_answer(turn: Turn, new: Meaning) -> bool:
    """Whether it is the whole inches of what it is asked to choose from."""
    return turn.asked is not None and isinstance(new, Reading | Part) and bool(begun_so(turn.asked, (new,)))


def _says_again(old: Said, new: Meaning) -> bool:
    if isinstance(new, Part):
        return isinstance(old, Incomplete) and has_part(old, new)
    return isinstance(old, Incomplete) and isinstance(new, Thing) and says_again(old, new)


def may_be_a_yes(turn: Turn) -> bool:
    """Whether all that was said is a lone "right" behind a question of yes and no: a yes, or the side."""
    said = turn.judged.utterance
    alone = said.meanings == (Part(Edge.RIGHT),) and " " not in said.heard.strip()
    return alone and turn.asked is not None and turn.asked.answered_by is AnsweredBy.YES_OR_NO


SAY_AGAIN = frozenset({Why.NOTHING_SAID, Why.NOTHING_HEARD, Why.NO_READING})
"""Refusals of what held nothing: there is nothing to keep."""


def kept_for_unit(turn: Turn) -> Turn | None:
    """While it is asked which unit the board is in no figure has a meaning: the words are kept, and taken up with the
    answer. None where nothing of the kind is asked, or no figure was said.
    """
    asked = next(((who, one.doubts[0]) for who, one in turn.state.open.items() if _about_unit(turn, one)), None)
    utterance = turn.judged.utterance
    if asked is None or not holds_figures(utterance) or any(_is_unit(each) for each in utterance.meanings):
        return None
    who, doubt = asked
    (words,) = calls_of(turn, (None,), Standing.NOT_TAKEN)
    turn = turn.did(NotTaken((replace(words, queued=not turn.judged.doubtful, unit=None),)))
    if who == turn.who:
        return turn.put(doubt, Tell.ANSWER_FIRST)
    return turn.tell(Tell.KEPT_NOT_TAKEN, words.words).refuse(Tell.ASKED_ANOTHER, who, doubt, *turn.about(doubt))


def holds_figures(utterance: Utterance) -> bool:
    """Whether an utterance is, or may be, more than an answer, an order or word of a circuit."""
    if utterance.status is Status.UNDERSTOOD:
        return not all(isinstance(each, _NO_FIGURE) for each in utterance.meanings)
    if utterance.why is not None:
        return utterance.why.why not in SAY_AGAIN
    return utterance.begun is not None or bool(utterance.alternatives) or " " in utterance.heard  # a word alone is none


_NO_CALL = Answer | Command | Danger
_NO_FIGURE = _NO_CALL | DeadAndTested


def _is_unit(said: object) -> bool:
    return isinstance(said, Context) and said.topic is Topic.UNIT


def _about_unit(turn: Turn, one: Open) -> bool:
    """Whether the question that is put to somebody decides the unit of the board at hand."""
    doubt = one.doubts[0] if one.doubts and one.board == turn.state.board else None
    call = turn.state.call_of(doubt)
    if doubt is None or call is None:
        return False
    return _is_unit(call.fact) or any(_is_unit(fact) for way in doubt.ways for fact in way)


def said_at_wall(state: State, surface: str) -> tuple[Call, ...]:
    """What was called of a board while its wall or ceiling was at hand."""
    return tuple(one for one in state.not_taken(surface) if not of_a_surface(one.fact))


def come_again(turn: Turn, board: str, made: Sequence[Call]) -> tuple[int, ...]:
    """The calls kept as not taken that the new ones are. What waits for its turn comes yet, unless it says the same, as
    all does that waits before it of its place.
    """
    kept = [one for one in turn.state.not_taken(board) if one.number not in behind_order(turn.state, board)]
    piece = turn.state.pieces.get(board)
    at_wall = () if piece is None else said_at_wall(turn.state, str(piece.surface))
    of_boards = [one for one in at_wall if is_on_its_piece(turn.state, board, one.fact) is not False]
    same, facts = {one.key for one in made}, {one.fact for one in made}

    def comes(one: Call) -> bool:
        if one.queued:
            return all(
                each.fact in facts for each in kept if each.queued and each.key == one.key and each.number <= one.number
            )
        return any(_renamed(one, new) for new in made) or (one.key in same and not one.put_off)

    found = [one for one in kept if comes(one)]
    found += [one for one in of_boards if any(_of_wall(one, new) for new in made)]
    return tuple(one.number for one in found)


def _of_wall(old: Call, new: Call) -> bool:
    """Whether what was called at a wall is called here: by its name, where its own caller says it, else all of it."""
    return (old.key == new.key and (old.by == new.by or old.fact == new.fact)) or _renamed(old, new)


def _renamed(old: Call, new: Call) -> bool:
    """The same box or opening under another name."""
    if old.put_off:
        goes_on = old.key == new.key and bool(figures_of(old.fact)) and figures_of(old.fact) <= figures_of(new.fact)
        return goes_on or (new.fact is not None and says_all_again(old.fact, new.fact))
    if isinstance(old.fact, Incomplete) and isinstance(new.fact, WholeThing):
        return says_again(old.fact, replace(new.fact, name=""))
    if not isinstance(old.fact, WholeThing) or not isinstance(new.fact, WholeThing):
        return False
    return replace(old.fact, name="") == replace(new.fact, name="")


def repeated(turn: Turn, words: str, first: int) -> Turn:
    """Words that could not be taken before and were said again with success, as a call of this turn (from `first` on),
    stand as not taken no more. A value that was said no to is another one beside the next, however alike their words:
    its own place or name settles it.
    """
    now = (one for number in range(first, turn.state.next_number) if (one := turn.state.calls.get(number)) is not None)
    standing = {Standing.READ_BACK, Standing.DOUBTFUL, Standing.ACCEPTED}
    taken = [one for one in now if one.words == words and one.standing in standing]
    tests = turn.asked is not None and turn.asked.concern is Concern.TESTED
    claimed = tests and any(isinstance(one, DeadAndTested) for one in turn.judged.utterance.meanings)
    if not taken and not claimed:
        return turn
    before = (*turn.state.boards, *turn.state.surfaces)  # a wall's words were kept where its speaker was then
    again = tuple(
        one.number
        for board in (turn.state.board, *(before if any(isinstance(one.fact, SurfaceCall) for one in taken) else ()))
        for one in turn.state.not_taken(board)
        if one.by == turn.who
        and not (one.queued or one.put_off or is_whole(one))
        and turn.rooms.again(one.words, words)
    )
    return turn.did(SaidAgain(again)) if again else turn
