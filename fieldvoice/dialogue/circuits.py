"""What is said of circuits: danger at once and widely, "dead and tested" only as the answer to a question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain

from fieldvoice import safety
from fieldvoice.dialogue.events import Asked, Closed, DeadSaid, Endangered
from fieldvoice.dialogue.keeping import queue
from fieldvoice.dialogue.matching import is_room
from fieldvoice.dialogue.on_the_wall import at_their_places
from fieldvoice.dialogue.proposals import set_aside, settle
from fieldvoice.dialogue.state import OnBoard, State, has_circuit
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.ledger import Concern, Doubt, Tell
from fieldvoice.records.meaning import (
    BoxKind,
    Circuit,
    Context,
    Danger,
    DeadAndTested,
    Incomplete,
    Reading,
    SurfaceCall,
    Topic,
)
from fieldvoice.records.utterance import Action, Answer, Ask, Command, Meaning, Part, Utterance, Why

OF_DANGER = frozenset({Tell.NOT_DEAD, Tell.MAYBE_LIVE, Tell.AFTER_DEAD})
"""What tells that a circuit counts as live by what somebody said in this turn."""


def endanger(turn: Turn) -> Turn:
    """Word that a circuit isn't dead is taken before anything else, even from words that are doubtful or unclear: for
    the boxes that it names, else for all, on every board of the job.
    """
    said = turn.judged.danger
    if not said:
        return _suspected(turn) if turn.judged.sure and _is_suspect(turn.judged.utterance) else turn
    return revoke(turn, boxes_of(turn.state, said), live=any(each.live for each in said))


def without_danger(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """Without what was taken as danger already, and without "dead" for a box that the same breath calls anything else:
    of two words for one box the safe one counts. A room that is all that is said beside it names the circuit.
    """
    danger = {each.box for each in meanings if isinstance(each, Danger)}
    if None in danger and all(isinstance(each, Danger) or is_room(each) for each in meanings):
        return ()

    def stays(meaning: Meaning) -> bool:
        if not isinstance(meaning, DeadAndTested):
            return not isinstance(meaning, Danger)
        return not (danger if meaning.box is None else danger & {meaning.box, None})

    return tuple(meaning for meaning in meanings if stays(meaning))


def _is_suspect(utterance: Utterance) -> bool:
    """Whether what wasn't understood may be about a circuit; or that it was of another board, so that nobody knows of
    which box the test was.
    """
    return utterance.suspect or (utterance.ask is not None and utterance.ask.about is Ask.WRONG_BOARD)


def _suspected(turn: Turn) -> Turn:
    """What wasn't understood has words of circuits in it: no box counts as dead until that is said anew, nor is one
    that was about to.
    """
    dead = _dead_or_asked(turn.state)
    if not dead:
        return turn
    return turn.did(Endangered(dead, live=False)).tell(Tell.MAYBE_LIVE, *chain(*dead), safety=True)


def _dead_or_asked(state: State) -> tuple[tuple[str, str], ...]:
    """Every box, with its board, that counts as dead, or of which that is asked."""
    asked = (
        (one.board, box)
        for one in state.open.values()
        for doubt in one.doubts
        if doubt.concern is Concern.TESTED
        for box in doubt.boxes
    )
    dead = _dead(state, ((board, box) for board, words in state.words.items() for box in words))
    return tuple(dict.fromkeys((*dead, *asked)))


def deny_dead(turn: Turn) -> Turn:
    """What denies or corrects anything right behind the word that boxes are dead and tested, by whomever, is about that
    word, whatever else it is about; and so may be words that break off or make no sense there, which name another box,
    and "not yet", which is an order to wait.
    """
    dead = _just_dead(turn)
    utterance = turn.judged.utterance
    waits = Command(Action.HOLD) in utterance.meanings
    own = any(turn.state.words[board][box].by == turn.who for board, box in dead)  # whose undo takes it back
    undone = Command(Action.UNDO) in utterance.meanings and not own
    if dead and (utterance.objects or waits or undone or any(map(_is_no, utterance.meanings))):
        return revoke(turn, dead, live=False)
    if dead and not utterance.danger and _breaks_off(turn, utterance):
        return turn.did(Endangered(dead, live=False)).tell(Tell.AFTER_DEAD, *chain(*dead), safety=True)
    return turn


def denied_claim(turn: Turn, said: tuple[DeadAndTested, ...]) -> Turn | None:
    """A no with "dead and tested" in one breath is about that word, whatever was said since: of the boxes that it
    names, else of all that count as dead or are asked about. None where none does: it is about what was read back.
    """
    if any(note.tell in OF_DANGER for note in turn.notices):
        return turn
    dead = _dead_or_asked(turn.state)
    named = {each.box for each in said if each.box is not None}
    meant = tuple(one for one in dead if one[1] in named)
    return revoke(turn, meant or dead, live=False) if dead else None


def _is_no(meaning: Meaning) -> bool:
    """Whether it is a no, or begins like one: "no middle"."""
    match meaning:
        case Answer(yes=said):
            return not said
        case Context(topic=Topic.MIDDLE_WIDTH, value=said):
            return said == "no"
    return False


def denied_dead(turn: Turn) -> bool:
    """Whether the no of this turn was about a circuit alone: nothing was told since that it may be about."""
    last = any(note.tell is Tell.DEAD for note in turn.state.said)
    return last and any(note.tell is Tell.NOT_DEAD for note in turn.notices)


def _just_dead(turn: Turn) -> tuple[tuple[str, str], ...]:
    """The boxes, each with its board, that were told to be dead in the last answer to this speaker, or to anybody."""
    told = {(note.values[0], note.values[1]) for note in turn.told_last if note.tell is Tell.DEAD}
    if not told:
        return ()
    words = ((board, box, word) for board, said in turn.state.words.items() for box, word in said.items())
    return tuple(
        (board, box) for board, box, word in words if word.state is Circuit.DEAD and (word.by, word.at) in told
    )


def _breaks_off(turn: Turn, utterance: Utterance) -> bool:
    """Whether words break off, or make no sense where they are sure, and neither a place nor a new box is begun by
    them; a kind of box alone begins none there. What was heard with a rival may be anything.
    """
    if turn.judged.rival is not None or utterance.alternatives or isinstance(utterance.begun, tuple):
        return False
    if isinstance(utterance.begun, Incomplete):
        return utterance.begun.name in turn.state.boxes(turn.state.board)
    if turn.asked is None and any(utterance.meanings == (alone,) for alone in _KIND_ALONE):
        return True  # "smoke", "three way switch"
    broken = utterance.ask is not None and utterance.ask.about is Ask.BROKE_OFF
    senseless = utterance.why is not None and utterance.why.why in {Why.NO_SENSE, Why.NO_WORD}
    return broken or (senseless and turn.judged.sure)


_KIND_ALONE = tuple(alone for kind in BoxKind for alone in (Part(kind), Incomplete(kind)))
"""The kinds of boxes, each as all that is said."""


def boxes_of(state: State, said: tuple[Danger, ...]) -> tuple[tuple[str, str], ...]:
    """The boxes that word of danger is about, with their boards. Where any of it names none, or a box that is nowhere,
    that is every box of the job.
    """
    every = [(board, box) for board in state.boards for box in state.boxes(board)]
    named = {each.box for each in said if each.box is not None}
    there = {box for _, box in every}
    if any(each.box is None for each in said) or not named <= there:
        own = [(state.board, box) for box in sorted(named - there)]
        return (*every, *own)
    return tuple((board, box) for board, box in every if box in named)


def revoke(turn: Turn, boxes: tuple[tuple[str, str], ...], *, live: bool) -> Turn:
    """These boxes aren't known to be dead any more, nor is what lies there on another board; said first."""
    boxes = at_their_places(turn.state, boxes)
    revoked = _dead(turn.state, boxes)
    names = tuple(dict.fromkeys(box for _, box in boxes))
    turn = turn.did(Endangered(boxes, live))
    return turn.tell(Tell.NOT_DEAD, turn.who, len(names), *names, *chain(*revoked), safety=True)


def doubt_dead(turn: Turn, board: str, boxes: Iterable[str]) -> Turn:
    """The same of boxes of one board, by a no."""
    return revoke(turn, tuple((board, box) for box in boxes), live=False)


def _dead(state: State, boxes: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Those of the boxes, each with its board, that count as dead."""
    return tuple(
        (board, box)
        for board, box in boxes
        if (word := state.words.get(board, {}).get(box)) is not None and word.state is Circuit.DEAD
    )


def untested(before: State, turn: Turn) -> Turn:
    """Tells of each box that counted as dead before the turn and doesn't now, where nothing else told it: one that was
    called elsewhere, or put back, was tested somewhere else.
    """
    if any(note.tell in OF_DANGER for note in turn.notices):
        return turn
    said = {(event.board, box) for event in turn.events if isinstance(event, DeadSaid) for box in event.boxes}
    counted = {
        (board, box)
        for board in _changed(before, turn.state)
        for box, word in before.circuits(board).items()
        if word.state is Circuit.DEAD and box in turn.state.boxes(board)
    }
    lost = [each for each in (*counted, *said, *_questions_off(before, turn)) if not _counts(turn.state, *each)]
    lost += [(board, box) for board, box in counted if _elsewhere(before.calls.on(board), turn.state.calls.on(board))]
    anew = [each for each in counted if each not in lost and _measured_anew(turn.state, *each)]
    anew += [each for each in _of_walls_called(before, turn.state) if each not in {*lost, *anew}]
    for tell, boxes in ((Tell.MOVED_SINCE, lost), (Tell.MEASURED_SINCE, anew)):
        gone = tuple(sorted({each for each in boxes if each not in _taken_back(turn)}))
        if gone:
            turn = turn.did(Endangered(gone, live=False, said=False)).tell(tell, *chain(*gone), safety=True)
    return turn


def _measured_anew(state: State, board: str, box: str) -> bool:
    """Whether two of what stands there were called anew since a box was tested, by no word of change: two readings, or
    one and the box. That may be the next board, of which nobody said so, and its box another one.
    """
    behind = state.circuits(board)[box].behind
    since = [one for one in state.on(board) if one.number > behind and (one.in_force or one.waits)]
    anew = [one for one in since if one.replaces is not None and not (one.corrects or one.carried)]
    readings = sum(isinstance(one.fact, Reading) for one in anew)
    return readings > 1 or (readings == 1 and any(one.key.name == box for one in anew))


def _of_walls_called(before: State, after: State) -> tuple[tuple[str, str], ...]:
    """The boxes that count as dead on boards of a wall that was just called anew by its sides, by no word of change,
    behind its boards: that may be a wall of another room, and its box another one.
    """
    anew = {
        board
        for board in after.calls.changed_since(before.calls)
        for number, one in after.calls.on(board).items()
        if number >= before.next_number and isinstance(one.fact, SurfaceCall) and one.replaces and not one.corrects
    }
    boards = [board for board, name in after.pieces.items() if str(name.surface) in anew]
    return _dead(after, ((board, box) for board in boards for box in after.words.get(board, {})))


def _elsewhere(before: OnBoard, after: OnBoard) -> bool:
    """Whether a board hangs in another room or on another surface than it did: what was tested there wasn't here."""
    (room, surface), (room_now, surface_now) = before.wall, after.wall
    return room not in {None, room_now} or (surface or _WALL) != (surface_now or _WALL)


_WALL = Context(Topic.SURFACE, "wall")
"""Where a board hangs that nobody said anything else of."""


def _taken_back(turn: Turn) -> set[tuple[str, str]]:
    """The boxes of which the word itself was just taken back, with their boards: that says all."""
    return {
        (str(note.values[0]), box)
        for note in turn.notices
        if note.tell is Tell.TAKEN_BACK
        for box in note.values[1:]
        if isinstance(box, str)
    }


def _changed(before: State, after: State) -> set[str]:
    """The boards of which anything was called or said of a circuit in between: no other's circuits count otherwise."""
    called = after.calls.changed_since(before.calls)
    return {*called, *(board for board in before.words if after.words.get(board) != before.words[board])}


def _questions_off(before: State, turn: Turn) -> Iterator[tuple[str, str]]:
    """The boxes that somebody else was asked about, who isn't any more."""
    for who, one in before.open.items():
        now = turn.state.open_to(who)
        for doubt in one.doubts:
            if who != turn.who and doubt.concern is Concern.TESTED and doubt not in now.doubts:
                yield from ((one.board, box) for box in doubt.boxes if box in turn.state.boxes(one.board))


def _counts(state: State, board: str, box: str) -> bool:
    word = state.circuits(board).get(box)
    return word is not None and word.state is Circuit.DEAD


def claim_dead(turn: Turn, said: tuple[DeadAndTested, ...]) -> Turn:
    """Nobody's word that circuits are dead is taken as said: it is read back to them as a question."""
    if not all(each.tested for each in said):
        return turn.ask(Tell.DEAD_ALONE, safety=True)
    turn = set_aside(turn)
    if turn.asked is not None and turn.asked.concern is not Concern.TESTED:
        return queue(turn, ())
    turn = settle(turn)
    board = turn.state.board
    if board in turn.state.surfaces:
        return turn.refuse(Tell.TEST_ON_BOARD)  # a plan's boxes are those of its board
    boxes = turn.state.boxes(board)
    every = any(each.box is None for each in said)
    if every and any(each.count is not None and each.count != len(boxes) for each in said) and boxes:
        return turn.ask(Tell.WHICH_BOTH, safety=True)
    named = boxes if every else tuple(dict.fromkeys(str(each.box) for each in said))
    if waits := _waiting(turn, board, named):
        return waits
    unknown = [name for name in named if name not in boxes]
    if unknown:
        return turn.refuse(Tell.NO_BOX, unknown[0])
    if not named:
        return turn.refuse(Tell.NO_BOX_HERE)
    if turn.asked is not None and turn.mine.board == board:  # asked with them
        named = tuple(dict.fromkeys((*turn.asked.boxes, *named)))
    if not turn.present:
        return turn.tell(Tell.DEAD_RECORDED, *named, safety=True)
    doubt = Doubt(Concern.TESTED, boxes=named)
    return turn.did(Asked(board, doubt)).put(doubt, safety=True)


def _waiting(turn: Turn, board: str, boxes: tuple[str, ...]) -> Turn | None:
    """Refuses to take a box for dead that somebody has called and not gone on from: where it is isn't settled yet."""
    begun = (call for call in turn.state.begun(board) if call.put_off or has_circuit(call.fact))
    found = [call for call in begun if call.key.name in boxes]
    if not found:
        return None
    return turn.refuse(Tell.BOX_WAITS, found[0].by, *dict.fromkeys(call.key.name for call in found))


def say_dead(turn: Turn, doubt: Doubt) -> Turn:
    """The one who tested said yes; one that comes late is asked for once more, since it counts from when it is said."""
    board = turn.mine.board
    late = turn.asked_long_ago
    turn = turn.did(Closed(turn.who))
    if late:
        return turn.did(Asked(board, doubt)).put(doubt, safety=True)
    if waits := _waiting(turn, board, doubt.boxes):
        return waits
    return turn.did(DeadSaid(board, doubt.boxes)).tell(Tell.DEAD, turn.who, turn.at, *doubt.boxes, safety=True)


def heed_untested(turn: Turn, board: str) -> Turn:
    """What isn't known to be dead: of each that was said to be, by whom and when, and that it counts no more."""
    held = _held(turn, board)
    over = _run_out(turn, board, held)
    never = [box for box in held if box not in over]
    turn = _of_no_test(turn, board, over)
    return turn.tell(Tell.HEED, *never, safety=True) if never else turn


def _held(turn: Turn, board: str) -> list[str]:
    words = turn.state.circuits(board)
    return [box for box in turn.state.boxes(board) if not safety.is_dead(words.get(box), turn.at)]


def _run_out(turn: Turn, board: str, held: Iterable[str]) -> dict[str, CircuitWord]:
    """Those of the boxes that were said to be dead, each with that word, which counts no more."""
    words = {**turn.state.ended.get(board, {}), **turn.state.circuits(board)}
    said = {box: words[box] for box in held if box in words}
    return {box: word for box, word in said.items() if word.state is Circuit.DEAD}


def say_run_out(turn: Turn, board: str) -> Turn:
    """That a word of a dead circuit counts no more, and whose that was."""
    return _of_no_test(turn, board, _run_out(turn, board, _held(turn, board)))


def _of_no_test(turn: Turn, board: str, over: Mapping[str, CircuitWord]) -> Turn:
    words = turn.state.circuits(board)
    for box, word in over.items():
        until = (safety.ends(word),) if box in words else ()
        turn = turn.tell(Tell.TEST_OVER, box, word.by, word.at, *until, safety=True)
    return turn
