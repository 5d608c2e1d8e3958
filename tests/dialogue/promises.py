"""People talking at random, with every promise checked after every turn.

Utterances come from the grammar's own sampler and from a crew's usual calls; some are spoilt: words lost, twins, sides
swapped, broken off. Two people speak, answer or don't, the job is reopened, the clock moves.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from fieldvoice.dialogue.assembly import board_of
from fieldvoice.dialogue.codec import turn_of
from fieldvoice.dialogue.events import Answered, DeadSaid, Endangered, Opened
from fieldvoice.dialogue.finishing import SAYS_NOTHING_OF_THE_CUT
from fieldvoice.dialogue.looking import look
from fieldvoice.dialogue.reducer import apply
from fieldvoice.dialogue.session import reopened
from fieldvoice.dialogue.state import State, is_whole
from fieldvoice.dialogue.view import View
from fieldvoice.language.sampling import sample
from fieldvoice.language.understanding import understand
from fieldvoice.records.board import Known
from fieldvoice.records.facts import Fact, Odd
from fieldvoice.records.hearing import Source
from fieldvoice.records.ledger import ACROSS, DOWN, ENOUGH, AnsweredBy, Call, Concern, Doubt, Notice, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Circuit,
    Context,
    DeadAndTested,
    Diagonal,
    Edge,
    Incomplete,
    Opening,
    Plumb,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.plan import Method, Tool, Where
from fieldvoice.records.utterance import Answer, Correction, Meaning, Part, Status, Utterance
from fieldvoice.wording.aloud import ASKS, says_of
from fieldvoice.wording.forms import MOST_SECONDS, seconds
from tests.dialogue.talk import Wall

PEOPLE = ("hanger", "partner")
FRACTIONS = ("", " and a half", " and seven eighths", " and a quarter", " and three sixteenths")
TENS = {
    44: "forty four",
    45: "forty five",
    46: "forty six",
    47: "forty seven",
    49: "forty nine",
    40: "forty",
    14: "fourteen",
}
DANGER = ("power is on", "box one is live", "all boxes are live", "live", "box two is hot", "careful that one is LIVE")
SWAPS = {"left": "right", "right": "left", "top": "bottom", "bottom": "top", "up": "down", "down": "up", "five": "nine"}
"""Words heard for one another."""
SOUND = frozenset({Standing.REPLACED, Standing.TAKEN_BACK, Standing.NOT_TAKEN})
A_WHOLE_BOARD = (
    *("next board", "yes", "next board", "left wall right board"),
    *("top forty six and a half", "top forty six and a half"),
    "bottom forty six and a half",
    *("height left ninety five and a half", "height right ninety five and a quarter", "done"),
)
"""Called at once, so that a plan is read back to its end."""
VALUES = Reading | Box | Opening | Diagonal | Plumb


def utterance(rng: random.Random) -> str:
    """Something that somebody at the wall says."""
    of_boards = (_reading, _one_of_few, _of_others, _box, _edge, _of_the_sheet, _taken_out)
    kinds = (*of_boards, _answer, _order, _mend, _circuit, _room, _sampled, _unclear, _part)
    line = rng.choices(kinds, (24, 8, 8, 10, 4, 6, 6, 20, 12, 8, 8, 4, 8, 6, 8))[0](rng)
    return _spoilt(line, rng) if rng.random() < 0.15 else line


def _length(rng: random.Random, whole: str | None = None) -> str:
    return f"{whole or rng.choice(tuple(TENS.values()))}{rng.choice(FRACTIONS)}"


def _reading(rng: random.Random) -> str:
    if rng.random() < 0.4:
        high = rng.choice(("ninety five", "ninety six", "ninety"))
        return f"height {rng.choice(('left', 'right'))} {_length(rng, high)}"
    place = rng.choice(("top", "middle", "bottom", ""))
    return f"{place} {_length(rng)}".strip()


def _one_of_few(rng: random.Random) -> str:
    """One of few, so that the same is called again and again."""
    return rng.choice(("top forty six and a half", "bottom forty six and a half", "height left ninety five"))


def _of_others(rng: random.Random) -> str:
    """Several places at once, or told by another."""
    at, other = rng.sample(("top", "middle", "bottom"), 2)
    by = rng.choice(("an eighth", "a quarter", "half an inch"))
    return rng.choice(
        (
            f"both sides {_length(rng, 'ninety five')}",
            f"top and bottom {_length(rng)}",
            f"{at} same as the {other}",
            f"{at} is {by} less than the {other}",
            f"the {at} is {by} bigger than the {other}",
            f"add {by} to the {at}",
            f"take {by} off that",
            f"no both sides {_length(rng, 'ninety five')}",
        )
    )


def _room(rng: random.Random) -> str:
    """A wall or a ceiling as a whole, and what is called of one."""
    return rng.choice(
        (
            "north wall one hundred forty four by ninety six",
            "south wall one hundred twenty by ninety six",
            "ceiling one hundred forty four by one hundred twenty",
            "sixteen on center from the left",
            "start from the right",
            "twelve footers only",
            "no one hundred fifty by ninety six",
        )
    )


def _box(rng: random.Random) -> str:
    name = rng.choice(("box one ", "box two ", ""))
    side = rng.choice(("left", "right"))
    return f"{name}single gang center {rng.choice(('twelve', 'thirty', 'twenty'))} from {side} forty eight down"


def _answer(rng: random.Random) -> str:
    return rng.choice(("yes", "yes", "yes", "no", "wrong", "the top", "center", "seven eighths"))


def _order(rng: random.Random) -> str:
    return rng.choice(
        (
            "undo",
            "undo",
            "done",
            "done",
            "next board",
            "what's missing",
            "say again",
            "go to board one",
            "scratch box one",
            "hold",
            "resume",
        )
    )


def _mend(rng: random.Random) -> str:
    return rng.choice(
        (f"no {_length(rng)}", f"change top to {_length(rng)}", f"yes bottom {_length(rng)}", f"no top {_length(rng)}")
    )


def _circuit(rng: random.Random) -> str:
    return rng.choice(
        (
            *DANGER,
            "box one dead and tested",
            "box two dead and tested",
            "all boxes dead and tested",
            "yes box two is dead and tested",
        )
    )


def _edge(rng: random.Random) -> str:
    return rng.choice(
        ("left edge is a wall", "right edge is a board", "bottom edge is a board", "three eighths clearance left")
    )


def _unclear(rng: random.Random) -> str:
    unclear = (
        "top forty six and seven",
        "no forty seven eighths",
        "no forty nine and sixteenths",
        "wait banana it's hot",
        "bottom forty seven eighths",
        "outlet thirty from left fifteen up",
    )
    return rng.choice(unclear)


def _of_the_sheet(rng: random.Random) -> str:
    """What a board is cut from, how it hangs and what is behind it."""
    return rng.choice(
        (
            "no boxes",
            "upper course",
            "lower course",
            "lying down",
            "standing up",
            "floor below",
            "board below",
            "five eighths board",
            "two layers",
            "forty eight by one hundred twenty sheet",
            "studs sixteen on center",
            "same height as box one",
        )
    )


def _taken_out(rng: random.Random) -> str:
    """What goes, and what is moved or named anew."""
    return rng.choice(
        (
            "scratch top",
            "scratch bottom",
            "scratch left",
            "never mind",
            "forget box one",
            "go to board two",
            "box one is two gang",
            "no box one center twenty from left forty eight down",
            "that's the bottom",
            "no that's box two",
        )
    )


def _part(rng: random.Random) -> str:
    """A piece of what is asked about, or of what was read back, with a soft no or without."""
    before = rng.choice(("", "", "sorry ", "scratch that ", "no "))
    pieces = ("sixteen up", "thirteen from left", "double gang", "forty nine down", "center", "right")
    return before + rng.choice((*pieces, "box one dead and tested"))


def _sampled(rng: random.Random) -> str:
    return sample(rng).words


def _spoilt(line: str, rng: random.Random) -> str:
    words = line.split()
    at = rng.randrange(len(words))
    match rng.randrange(4):
        case 0:
            words.pop(at)
        case 1:
            words = words[: at + 1]
        case 2:
            words = [SWAPS.get(word, word) for word in words]
        case _:
            words.insert(at, "banana")
    return " ".join(words) or "banana"


A_BOARD = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
TWO_TESTED = (
    *A_BOARD,
    "box one single gang center thirty from left forty eight down",
    "yes",
    "box one dead and tested",
    "yes",
    "next board",
    *A_BOARD,
    "box one single gang center thirty from left forty eight down",
    "yes",
    "box one dead and tested",
    "yes",
)
"""Two boards whose boxes were tested: a third of the talks begin there."""


SPOKEN = (
    "bottom edge is a board",
    "top forty six and seven eighths",
    "middle forty six and seven eighths",
    "bottom forty six and seven eighths",
    "height left ninety six",
    "height right ninety six",
)
"""A board by voice: a third begins there."""


SAYS_NOT_TAKEN = {
    Tell.ANSWER_FIRST,
    Tell.NAMES_ANOTHER,
    Tell.REFUSED,
    Tell.KEPT_NOT_TAKEN,
    Tell.PUT_OFF,
    Tell.UTTERANCE_ASKED,
    Tell.SAY_WHOLE,
    Tell.RIP,
    Tell.WHICH_VALUE,
    Tell.NO_BOX,
    Tell.NOT_OF_SURFACE,
    Tell.NO_SURFACE,
    Tell.BOXES_THERE,
    Tell.WIDTHS_THERE,
    Tell.SAY_BOARD,
    Tell.SAME_AS_WHAT,
}
"""One of these, or a question, tells that something was called and isn't taken."""


@dataclass
class Talk:
    """A talk being led, with what it said and what may hold of circuits, by a model that is simple to believe."""

    seed: int
    rng: random.Random = field(init=False)
    wall: Wall = field(default_factory=Wall)
    lines: list[str] = field(default_factory=list)
    shown: dict[str, View] = field(default_factory=dict)
    due: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.rng = random.Random(self.seed)
        if self.seed % 3 == 0:
            for line in TWO_TESTED:
                self.wall.types(line)
        if self.seed % 3 == 1:
            for line in SPOKEN:
                self.wall.speaks(line)

    def lead(self, turns: int) -> None:
        """So many turns, each checked."""
        try:
            for _ in range(turns):
                self._turn()
        except AssertionError as wrong:
            said = "\n".join(self.lines)
            raise AssertionError(f"{wrong}\nseed {self.seed}:\n{said}") from wrong

    def _turn(self) -> None:
        happens = self.rng.random()
        if happens < 0.02:
            self._reopen()
            return
        if happens < 0.05:
            self.wall.wait(self.rng.choice((1, 3, 5)))
            self._check_gate()
            return
        if not self.due and happens < 0.09:
            self.due = [*A_WHOLE_BOARD]
        whole = bool(self.due)
        who = PEOPLE[0] if whole else self.rng.choices(PEOPLE, (4, 1))[0]
        line = self.due.pop(0) if whole else utterance(self.rng)
        before = self.wall.session.state
        spoken = whole or self.rng.random() < 0.6
        meant = understand(line, Source.SPOKEN if spoken else Source.TYPED, self.wall.session.unit)
        answer = (self.wall.speaks if spoken else self.wall.types)(line, who=who)
        self.lines.append(f"{who}{'~' if spoken else ':'} {line}  →  {answer}")
        after = self.wall.session.state
        for check in (
            _ledger,
            _nothing_dropped,
            _nothing_came,
            _scratched,
            _called_anew,
            _answers,
            _objections,
            _danger,
            _drafts,
            _heard_twice,
            _aloud,
        ):
            check(before, after, meant, who, self.wall)
        self._check_gate()
        if self.rng.random() < 0.2:
            self._check_kept()

    def _reopen(self) -> None:
        before = self.wall.session.state
        self.wall.restart()
        self.lines.append("(reopened)")
        left, found = (_whenever_they_come(each) for each in (before, self.wall.session.state))
        assert found == left, "a session finds what the last one left"
        assert not any(_dead(self.wall.session.state)), "a new session knows of no dead circuit"

    def _check_gate(self) -> None:
        """Every board, as it is shown now, puts a tool only into a box that a person said to be dead and tested, with
        nobody's word against it since.
        """
        state = self.wall.session.state
        said = _tested(self.wall)
        for name in state.boards:
            view = self.wall.session.view(name)
            for box in _tools(view):
                assert (name, box) in said, f"a tool goes into {box} of board {name}"
            assert view == look(state, self.wall.now, self.wall.rooms, board=name), "a view is made when it is shown"

    def _check_kept(self) -> None:
        """The job is what its entries say, and nothing else."""
        kept, lost = reopened(self.wall.journal, self.wall.now)
        assert lost is None
        state = self.wall.session.state
        assert (kept.calls, kept.open, kept.words, kept.boards, kept.ticks) == (
            state.calls,
            state.open,
            state.words,
            state.boards,
            state.ticks,
        ), "the state is the fold over the entries"


def _dead(state: State) -> Iterator[tuple[str, str]]:
    for board, words in state.words.items():
        yield from ((board, box) for box, word in words.items() if word.state is Circuit.DEAD)


def _tested(wall: Wall) -> set[tuple[str, str]]:
    """By the entries alone, and without the reducer's own rule: boxes said to be dead and tested in the last four hours
    of this session, with no danger, no move and no undo of them since.
    """
    found: dict[tuple[str, str], float] = {}
    state = State()
    for entry in wall.journal.entries():
        for event in turn_of(entry.body):
            if isinstance(event, DeadSaid):
                found.update({(event.board, box): entry.at.timestamp() for box in event.boxes})
            elif isinstance(event, Opened):
                found.clear()
            elif isinstance(event, Endangered):
                for each in event.boxes:
                    found.pop(each, None)
            elif isinstance(event, Answered):
                for note in event.notices:  # what was told as canceled counts again once it is said anew
                    told = map(str, note.values if note.tell in {Tell.MOVED_SINCE, Tell.MEASURED_SINCE} else ())
                    for each in zip(told, told, strict=True):
                        found.pop(each, None)
            state = apply(state, event, entry.who, entry.at)
    now = wall.now.timestamp()
    there = {(board, box) for board in state.boards for box in state.boxes(board)}
    return {each for each, at in found.items() if at <= now <= at + 4 * 3600 and each in there}


def _whenever_they_come(state: State) -> list[Call]:
    """The calls, whether they wait for their turn or are to be said again: what waits behind a question of a circuit
    ends with it, and so with the session.
    """
    return [replace(call, queued=False) for call in state.calls.values()]


def _tools(view: View) -> Iterator[str]:
    if view.plan is None:
        return
    boxes = {box.name for box in view.plan.board.boxes}
    for opening in view.plan.openings:
        if opening.name in boxes and opening.method not in {Method.BEFOREHAND, Method.COMPASS}:
            yield opening.name
    for step in view.plan.steps:
        if step.tool is Tool.ROUTER or (step.tool is not None and step.where is Where.WALL):
            yield from ({*step.near, step.opening} & boxes)  # type: ignore[misc]


def _ledger(before: State, after: State, _: Utterance, who: str, wall: Wall) -> None:
    """Nothing leaves the ledger, what a call holds never changes, and nothing goes without a word."""
    told = {value.number for notice in after.said for value in notice.values if isinstance(value, Call)}
    listed = {
        item.number
        for notice in after.said
        for value in notice.values
        for item in ((value.call,) if hasattr(value, "call") and isinstance(value.call, Call) else ())
    }
    words = {notice.tell for notice in after.said}
    by_words = {Tell.KEPT_NOT_TAKEN, Tell.ORDER_BACK}
    kept = {value for notice in after.said if notice.tell in by_words for value in notice.values}
    for number, call in before.calls.items():
        assert number in after.calls, f"call {number} is gone"
        now = after.calls[number]
        assert (now.fact, now.board, now.by, now.words) == (call.fact, call.board, call.by, call.words)
        if now.standing is call.standing or now.standing not in SOUND:
            continue
        if now.standing is Standing.REPLACED:
            new = [one for one in after.calls.values() if one.replaces == number or _again(one, call, before)]
            done = after.ordered is not None and after.ordered.words == call.words
            order = call.queued or done if call.fact is None else not isinstance(call.fact, VALUES | Incomplete)
            asked = any(_same(call.fact, way) for way in _ways(after)) if isinstance(call.fact, VALUES) else False
            tests = any(doubt.concern is Concern.TESTED for doubt in after.doubts)
            claim = tests and call.fact is None and any(isinstance(one, DeadAndTested) for one in _meant(call.words))
            assert new or order or asked or claim, f"{call} was replaced by nothing"  # an order is told by what it does
            if call.queued and isinstance(call.fact, VALUES):  # its turn comes, whatever else is called of its place
                made = [one.fact for each, one in after.calls.items() if each not in before.calls]
                comes = any(_same(call.fact, one) for one in (*made, *_ways(after)))
                assert comes or _again_by_name(call, before), f"{call} never came to its turn"
        else:
            same = (one for one in after.calls.values() if one.number in told and one.key == call.key)
            back = call.carried and Tell.ORDER_BACK in words  # with the board that it was carried to
            assert (
                back or call.words in kept or number in told | listed or any(one.fact == call.fact for one in same)
            ), f"{call} went to {now.standing} without a word: {after.said}"
    for call in after.calls.values():
        if call.number not in before.calls and call.standing is Standing.NOT_TAKEN:
            assert words & SAYS_NOT_TAKEN or after.asks
    for board in after.boards:
        force = [call.key for call in after.on(board) if call.in_force]
        assert len(force) == len(set(force)), "one value a place"
    homes = [number for one in after.open.values() for number in one.calls]
    assert len(homes) == len(set(homes)), "a call waits for one person"
    waits = {call.number for call in after.calls.values() if call.waits}
    assert set(homes) <= waits
    assert waits - set(homes) == set() or after.losses, "a call waits for nobody"


def _again_by_name(call: Call, before: State) -> bool:
    """Whether it was kept twice, or is a box that was called to its end under another name."""
    return isinstance(call.fact, Box | Opening) or any(
        one.number != call.number and one.fact == call.fact for one in before.calls.values()
    )


def _ways(state: State) -> list[Fact]:
    """What is asked about, in all of its ways."""
    return [fact for one in state.open.values() for doubt in one.doubts for way in doubt.ways for fact in way]


def _again(one: Call, old: Call, before: State) -> bool:
    """Whether a new call says the old one again: at its place or one found since, by another name, completed."""
    if one.number in before.calls:
        return False
    if one.key == old.key or (one.by == old.by and not is_whole(old)):
        return True
    if one.queued and (one.by, one.words) == (old.by, old.words):
        return True  # its words are heard anew, in another unit
    if isinstance(one.fact, Reading) and isinstance(old.fact, Reading):
        return one.fact.value == old.fact.value
    if not isinstance(one.fact, Box | Opening) or not isinstance(old.fact, Box | Opening):
        return False
    return replace(one.fact, name="") == replace(old.fact, name="")


def _nothing_dropped(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """Every value of an utterance is a call, the answer to a question, or asked about."""
    if before.holding or meant.status is not Status.UNDERSTOOD:
        return
    said = [meaning.new if isinstance(meaning, Correction) else meaning for meaning in meant.meanings]
    facts = [fact for fact in said if isinstance(fact, VALUES)]
    held = [call.fact for call in after.calls.values()]
    held += _ways(after)
    new = (call for call in after.calls.values() if call.number not in before.calls)
    words_kept = any(call.fact is None and call.words == meant.heard for call in new)
    for fact in facts:
        kept = words_kept or any(_same(fact, each) for each in held) or _begins(fact, _ways(before))
        assert kept or after.refused or after.asks, f"{fact} was dropped"
        if not kept:
            words = {notice.tell for notice in after.said}
            assert words & {
                Tell.NO_BOX,
                Tell.WHICH_VALUE,
                Tell.SAME_AS_WHAT,
                Tell.KEPT_NOT_TAKEN,
                Tell.WHICH_DIAGONAL,
                Tell.ORDER_UNSURE,
                Tell.ORDER_RIGHT,
                Tell.PICK_ONE,
                Tell.SAY_THE_PART,
            }, f"{fact} was dropped: {after.said}"


def _begins(fact: Fact, ways: list[Fact]) -> bool:
    """Whether it is the whole inches of one of those that it was to choose from, which is asked about instead."""
    figures = [way.value for way in ways if isinstance(way, Reading)] if isinstance(fact, Reading) else []
    return isinstance(fact, Reading) and any(0 < (each - fact.value).inches < 1 for each in figures)


def _nothing_came(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """A piece or a word of a circuit under a question changes what is known or asked, or is named as not taken."""
    mine = before.open.get(who)
    if mine is None or not mine.doubts or before.holding or meant.status is not Status.UNDERSTOOD:
        return
    pieces = [each for each in meant.meanings if isinstance(each, Part | Correction | DeadAndTested)]
    same = (before.calls, before.open, before.words) == (after.calls, after.open, after.words)
    if pieces and same and meant.meanings != (Part(Edge.RIGHT),):
        kept = [call.words for call in after.not_taken(after.board) if call.by == who]
        assert meant.heard in kept or after.refused, f"nothing came of {meant.heard}"


def _scratched(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """What is told as taken out stands and waits nowhere on its board, unless it was called anew with it."""
    out = [note.values[0] for note in after.said if note.tell is Tell.TAKEN_OUT]
    for call in out:
        assert isinstance(call, Call)
        left = [one for one in after.on(call.board) if one.key == call.key and (one.in_force or one.waits)]
        assert all(one.number not in before.calls for one in left), f"{call} is out, and {left} is there"


def _called_anew(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """Readings called with their places where nothing is asked are calls of their own, also where they say the same."""
    mine = before.open.get(who)
    facts = [fact for fact in meant.meanings if isinstance(fact, Reading) and fact.at is not None]
    if before.holding or meant.status is not Status.UNDERSTOOD or len(facts) < len(meant.meanings):
        return
    if facts and not (mine is not None and mine.doubts) and not after.refused and not after.asks:
        new = [call.fact for call in after.calls.values() if call.number not in before.calls]
        values = {fact.value for fact in new if isinstance(fact, Reading)}
        assert {fact.value for fact in facts} <= values, f"{facts} left no call"


def _heard_twice(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """What was heard once and not often enough said once more aloud sounds in the last read-back: with another figure
    it would be other words, wherever that other figure is.
    """
    for note in after.said:
        if note.tell is Tell.TOGETHER:
            for call in (value for value in note.values if isinstance(value, Call)):
                _sounds(note, call, "x", "y")
        doubt = note.values[0] if note.tell is Tell.QUESTION else None
        if isinstance(doubt, Doubt) and doubt.concern is Concern.LAST:
            again = _said_together(wall)
            for call in (after.calls[number] for number in doubt.calls):
                whole: tuple[str, ...] = ("x",) if call.checked else ("x", "y")  # told whole in the part before
                whole = {ACROSS: ("x",), DOWN: ("y",)}.get("".join(doubt.told), whole)
                for place in () if again[call.number] >= ENOUGH else whole:
                    _sounds(note, call, place)


def _aloud(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """What is said aloud takes six seconds at most, and neither danger nor what is asked is left to the eye alone."""
    spoken = [say.spoken for say in wall.said]
    assert sum(map(seconds, spoken)) <= MOST_SECONDS, f"too long: {spoken}"
    danger = [say.spoken for say in wall.said if say.safety]
    assert not danger or any(danger), f"danger for the eye alone: {wall.said}"
    asked = [say.spoken for say, note in zip(wall.said, after.said, strict=False) if note.tell in ASKS]
    told = len(wall.said) == len(after.said)  # nothing of the journal goes before it
    assert not (told and after.asks and asked) or any(asked), f"asked of the eye alone: {wall.said}"


def _said_together(wall: Wall) -> Counter[int]:
    """By the entries alone: how often each call was said once more behind a read-back."""
    events = (event for entry in wall.journal.entries() for event in turn_of(entry.body))
    notes = (note for event in events if isinstance(event, Answered) for note in event.notices)
    told = (value for note in notes if note.tell is Tell.TOGETHER for value in note.values)
    return Counter(value.number for value in told if isinstance(value, Call))


def _sounds(note: Notice, call: Call, *places: str) -> None:
    """Whether another reading, or a box with other distances there, would be told in other words."""
    if isinstance(call.fact, Reading):
        other: Fact = replace(call.fact, value=call.fact.value + Length("5/16"))
    elif isinstance(call.fact, Box):
        spots = {place: getattr(call.fact, place) for place in places}
        more = {place: replace(spot, value=spot.value + Length("5/16")) for place, spot in spots.items()}
        other = replace(call.fact, **more)
    else:
        return
    values = tuple(
        replace(value, fact=other) if isinstance(value, Call) and value.number == call.number else value
        for value in note.values
    )
    spoken = says_of((note,), Unit.INCH)[0].spoken
    assert says_of((replace(note, values=values),), Unit.INCH)[0].spoken != spoken, f"{call.fact} isn't said"


def _same(said: object, kept: object) -> bool:
    if isinstance(said, Reading) and isinstance(kept, Incomplete | Box | Opening):
        return said.at is not Slot.MIDDLE and said.value in _figures(kept)  # "top 14 1/4": so far from the top
    if isinstance(said, Reading) and isinstance(kept, Reading):
        return said.value == kept.value or (said.value.inches < 1 and kept.value.inches % 1 == said.value.inches)
    if isinstance(said, Reading) and isinstance(kept, Context | Plumb | Diagonal):
        return said.at is None and kept.value in {said.value, -said.value}  # what was denied is one length
    if isinstance(said, Box) and isinstance(kept, Box):
        return (said.kind, said.x, said.y, said.far) == (kept.kind, kept.x, kept.y, kept.far)
    if isinstance(said, Opening) and isinstance(kept, Opening):
        return (said.kind, said.xs, said.ys) == (kept.kind, kept.xs, kept.ys)
    if isinstance(said, Diagonal) and isinstance(kept, Diagonal):
        return said.value == kept.value and said.rising in {None, kept.rising}
    return type(said) is type(kept) and said == kept


def _figures(thing: Incomplete | Box | Opening) -> set[Length | None]:
    """Every figure that a thing was called with: of one that was begun a bare one is its next."""
    if isinstance(thing, Box):
        return {each.value for each in (thing.x, thing.y, *(thing.far or ()))}
    places = thing.distances if isinstance(thing, Incomplete) else (*thing.xs, *thing.ys)
    return {thing.width, thing.height, thing.diameter, *(each.value for each in places)}


def _answers(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """Yes settles nothing of anybody else, and nothing that isn't a question of yes and no."""
    answer = next((meaning for meaning in meant.meanings if isinstance(meaning, Answer)), None)
    if before.holding or answer is None or not answer.yes:
        return
    for person, one in before.open.items():
        for number in one.calls if person != who else ():
            call = after.calls[number]
            calm = number in one.stood and any(
                call in note.values for note in after.said if note.tell is Tell.READ_BACK
            )
            assert not call.in_force or calm, f"the yes of {who} settled what waits for {person}: {call}"
    mine = before.open.get(who)
    if mine is not None and mine.doubts and len(meant.meanings) == 1:
        doubt = mine.doubts[0]
        needs_more = doubt.concern is Concern.LACKS or (doubt.concern is Concern.WHICH_OF and len(doubt.ways) > 1)
        if needs_more or doubt.answered_by is not AnsweredBy.YES_OR_NO:
            now = after.open.get(who)
            assert now is not None and doubt in now.doubts, f"yes answered {doubt}"  # noqa: PT018


def _objections(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """What begins with no puts what was read back last in question, however unclear the rest is, or the reading at the
    place that it names; or has another in its stead.
    """
    if not meant.objects or meant.status is Status.UNDERSTOOD:
        return
    mine = before.open.get(who)
    if mine is not None and mine.doubts and mine.doubts[0].concern is Concern.TESTED:
        return  # it is about the circuit
    instead = {one.replaces for one in after.calls.values() if one.waits and one.number not in before.calls}
    if instead - {None}:
        return  # it has another in its stead
    if isinstance(meant.begun, tuple) and _objected_to(after) - _objected_to(before):
        return  # it names its place
    for number in before.read_last.calls:
        call = before.calls[number]
        if call.fact is not None and (call.in_force or call.waits) and call.number in after.calls:
            now = after.calls[number]
            asked = any(number in one.calls and one.doubts for one in after.open.values())
            assert not now.in_force, f"no was not heard of {call}"
            assert asked or now.standing is not Standing.READ_BACK, f"no was not heard of {call}"


def _meant(words: str) -> tuple[Meaning, ...]:
    return understand(words, Source.TYPED).meanings


def _objected_to(state: State) -> set[int | None]:
    return {doubt.call for doubt in state.doubts if doubt.concern is Concern.OBJECTED}


def _danger(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """Word of danger leaves no circuit dead of the boxes that it names, else of any, on any board."""
    if not meant.danger:
        return
    named = {f"box {each.box}" for each in meant.danger if each.box is not None}
    every = any(each.box is None for each in meant.danger)
    for board, box in _dead(after):
        assert not every and box not in named, f"{box} of board {board} is still dead"  # noqa: PT018


def _drafts(before: State, after: State, meant: Utterance, who: str, wall: Wall) -> None:
    """A plan is final only where nothing waits, nothing stands as not taken, and every edge is known."""
    name = after.board
    view = wall.view
    if not view.draft:
        assert not [call for call in after.on(name) if call.waits or call.standing is Standing.NOT_TAKEN]
        assert view.hole is not None or name in after.surfaces
        edges = view.hole.edges.values() if view.hole is not None else ()
        assert all(setting.known is not Known.UNKNOWN for setting in edges)
        _no_odd_pair(after, name, wall)
        spoken = [call for call in after.on(name) if call.in_force and call.hearings < 2 and name not in after.surfaces]
        topics = {call.fact.topic for call in spoken if isinstance(call.fact, Context)}
        of_no_cut = all(isinstance(call.fact, Context) for call in spoken) and topics <= SAYS_NOTHING_OF_THE_CUT
        assert of_no_cut, "a plan is final that was heard once"
    if after.board != before.board and after.board not in {*before.boards, *before.surfaces}:
        carried = {call.number for call in after.on(name) if call.carried}
        told = {value.number for notice in after.said for value in notice.values if isinstance(value, Call)}
        silent = {number for number in carried - told if after.calls[number].fact != Context(Topic.UNIT, "in")}
        assert not silent, "what goes along is said"


def _no_odd_pair(state: State, name: str, wall: Wall) -> None:
    """Whichever of the readings of a settled board was called last, none is far from its fellows that nobody said yes
    to, of it or of one of them.
    """
    values = state.settled(name)
    for key, call in values.items():
        if not isinstance(call.fact, Reading):
            continue
        board = board_of(name, {**{each: one for each, one in values.items() if each != key}, key: call}, {})
        alike = [one for one in values.values() if isinstance(one.fact, Reading) and one.key.of is key.of]
        dimension = call.fact.dimension
        odd = (one for one in wall.rooms.oddities(board) if one.dimension is dimension)
        far = any(one.odd is Odd.FAR_FROM_FELLOWS for one in odd)
        sure = any(one.standing is Standing.CONFIRMED for one in alike)
        assert sure or not far, f"{[one.fact for one in alike]} are in force, and nobody was asked"
