"""No step is ticked before the cautions of its plan were read as they are now, whichever way it is told."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

import pytest

from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.view import View
from fieldvoice.page.partner import Feed, Hands, care, hand
from fieldvoice.records.ledger import Tell
from tests.dialogue.talk import Wall, wall_after

BOARD = ("left board", "right wall", "t 46 7/8", "m 46 3/4", "b 46 1/4", "l 95 1/2", "r 95 1/2", "done")
BOX = "single gang center 30 from left, 48 down"


def _hands(session: Session) -> Hands:
    return Hands(session, Feed(), lambda _: None)


def _by_page(wall: Wall) -> None:
    step = hand(wall.view)
    assert step is not None
    _hands(wall.session).tick(step)


def _by_key(wall: Wall) -> None:
    wall.session.tick(wall.view, "partner")


WAYS: dict[str, Callable[[Wall], object]] = {
    "page": _by_page,
    "key": _by_key,
    "next": lambda wall: wall.types("next"),
    "tick 2": lambda wall: wall.types("tick 2"),
    "step 3 done": lambda wall: wall.types("step 3 done"),
    "spoken": lambda wall: wall.speaks("step three done"),
}
READ: dict[str, Callable[[Wall], object]] = {
    "said": lambda wall: wall.types("understood"),
    "page": lambda wall: _hands(wall.session).acknowledge(care(wall.view)),
    "key": lambda wall: wall.session.acknowledge(wall.view, "partner"),
}
NEW: dict[str, Sequence[str]] = {
    "a box": (f"box 2 {BOX.replace('30', '12')}", "done"),
    "a box that is dead": ("box 1 dead and tested", "yes"),
    "a box that is live": ("box 1 is live",),
    "word of danger for all": ("power is on",),
}
"""What brings a caution that nobody has read."""


def board() -> Wall:
    """A board with a box, settled."""
    wall = wall_after(*BOARD[:-1], f"box 1 {BOX}", "done")
    assert not wall.view.draft
    return wall


@pytest.mark.parametrize(("way", "read"), [*product(WAYS, READ)])
def test_no_way_to_tick_goes_past_unread_cautions(way: str, read: str) -> None:
    """Refused before they were read, taken afterward."""
    wall = board()
    WAYS[way](wall)
    assert wall.view.ticked == frozenset()
    assert wall.refuses
    READ[read](wall)
    assert wall.view.acknowledged
    WAYS[way](wall)
    assert len(wall.view.ticked) == 1


@pytest.mark.parametrize(("new", "way"), [*product(NEW, WAYS)])
def test_understood_is_said_of_what_was_there(new: str, way: str) -> None:
    """A caution that came later was read by nobody."""
    wall = board()
    wall.types("understood", "next")
    assert len(wall.view.ticked) == 1
    before = set(wall.view.cautions)
    wall.types(*NEW[new])
    assert set(wall.view.cautions) - before
    ticked = wall.view.ticked
    assert not wall.view.acknowledged
    WAYS[way](wall)
    assert wall.view.ticked == ticked
    wall.types("understood", "next")
    assert len(wall.view.ticked) == len(ticked) + 1


def test_what_ran_out_by_the_clock_is_another_caution() -> None:
    """Dead and tested is what was read; four hours later it isn't."""
    wall = board()
    wall.types("box 1 dead and tested", "yes", "understood")
    assert wall.view.acknowledged
    wall.wait(5)
    assert not wall.view.acknowledged


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("steps", range(6))
def test_that_a_word_of_a_dead_circuit_ran_out_is_told_before_the_next_step(way: str, steps: int) -> None:
    """Whoever asks for it, and whatever was ticked: whose word it was, and until when it counted."""
    wall = board()
    wall.types("box 1 dead and tested", "yes", "understood", *["next"] * steps)
    wall.wait(5)
    WAYS[way](wall)
    if any(note.tell is Tell.STEP_BEFORE for note in wall.session.state.said):
        return
    assert [note.values[:2] for note in wall.session.state.said if note.tell is Tell.TEST_OVER] == [("box 1", "hanger")]


@pytest.mark.parametrize("heard", ["got it", "copy that"])
@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("behind", ["done", "what's the top", "top 46 3/4", "next"])
def test_that_something_was_heard_is_no_word_that_cautions_were_read(heard: str, who: str, behind: str) -> None:
    """But right behind being asked to read them."""
    wall = board()
    wall.types(behind)
    wall.types(heard, who=who)
    assert wall.view.acknowledged == (behind == "next")


def test_a_step_ticked_ahead_tells_which_are_not() -> None:
    """Whoever wanted to hear of it knows what is missing; in their order none is."""
    wall = board()
    wall.types("understood", "next")
    assert wall.types("step 4") == "Step 4 done. Not ticked before it: 2 and 3."
    assert wall.types("next") == "Step 2 done."


def test_a_pound_more_is_no_other_caution() -> None:
    """Who has read how the sheet is carried isn't asked again for an eighth of an inch."""
    wall = board()
    wall.types("understood", "change top to 46 3/4", "done")
    assert not wall.view.draft
    assert wall.view.acknowledged


def test_another_board_and_another_session_ask_again() -> None:
    """What was read of one board is no other's, and who opens the job may be somebody else."""
    wall = board()
    wall.types("understood", "next board", *BOARD)
    assert not wall.view.acknowledged
    wall.types("go to board 1")
    assert wall.view.acknowledged
    wall.restart()
    assert not wall.view.acknowledged


class Between:
    """A session in which somebody else comes between a look and what is done after it."""

    def __init__(self, session: Session, first: Callable[[], object]) -> None:
        self._session, self._first = session, first
        self.tick, self.acknowledge = session.tick, session.acknowledge
        self.take, self.untick = session.take, session.untick

    def view(self) -> View:
        """As it was before the other one came."""
        seen = self._session.view()
        self._first()
        return seen


def _ticked(wall: Wall) -> frozenset[str]:
    return frozenset(one.step for ticks in wall.session.state.ticks.values() for one in ticks)


@pytest.mark.parametrize("between", ["next", "undo", "change top to 45", "next board", "box 1 is live"])
def test_a_step_that_went_before_the_tap_came_isnt_ticked(between: str) -> None:
    """However little time lies between them: what was shown is what is ticked, or nothing."""
    wall = board()
    wall.types("understood", "next", "next")
    step = hand(wall.view)
    assert step is not None
    before: list[frozenset[str]] = []

    def first() -> None:
        wall.types(between)
        before.append(_ticked(wall))

    page = Hands(Between(wall.session, first), Feed(), lambda _: None)
    page.tick(step)
    assert _ticked(wall) == before[0]


def test_cautions_that_came_before_the_tap_arent_read() -> None:
    """The page showed others."""
    wall = board()
    page = Hands(Between(wall.session, lambda: wall.types("box 1 is live")), Feed(), lambda _: None)
    page.acknowledge(care(wall.view))
    assert not wall.view.acknowledged
    assert not _hands(wall.session).acknowledge("of another time")
