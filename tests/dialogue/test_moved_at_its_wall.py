"""An opening that is moved at its wall, or taken out there, is asked about on every board where it was called: that
isn't settled as it was, whatever was said before.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue import taking_back
from tests.dialogue.talk import Wall, wall_after

WALL = ("north wall 144 by 96", "16 on center from left", "lying")
KINDS = {
    "window 1 30 wide 30 high {at} from left 50 from floor": "70",
    "window 1 30 wide 30 high {at} from right 50 from floor": "40",
    "pipe 1 4 inch center {at} from left center 60 from floor": "72",
}
"""What is called at its wall and on its board, and where it is moved to at the wall."""
AT = "58"


def moved(kind: str, at: str) -> str:
    """The words that move it."""
    words = kind.split()
    point = "center " if "center" in words else ""
    return f"change {' '.join(words[:2])} to {point}{at} from {words[words.index('from') + 1]}"


def settled(kind: str) -> Wall:
    """A wall with one opening that was called on its upper board as well, which is settled."""
    wall = wall_after(*WALL, kind.format(at=AT), "next board", "t 144 b 144", "l 48 r 48", kind.format(at=AT), "done")
    assert wall.view.plan is not None, wall.said
    assert not wall.view.draft, wall.said
    return wall


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("how", ["moved", "called anew", "scratched"])
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_what_was_called_on_a_board_is_asked_about_once_its_wall_has_it_otherwise(
    kind: str, how: str, answer: str
) -> None:
    """A yes settles it as it was called; a no takes it out."""
    wall = settled(kind)
    board = wall.session.state.board
    name = " ".join(kind.split()[:2])
    then = {"moved": moved(kind, "{at}"), "called anew": kind, "scratched": f"scratch {name}"}[how]
    wall.types("north wall", then.format(at=KINDS[kind]))
    while wall.asks and "the layout has" not in " ".join(say.text for say in wall.said):
        wall.types("yes")
    told = " ".join(say.text for say in wall.said)
    if not wall.asks:
        told = wall.types(f"board {board}")
    assert "the layout has" in told, told
    assert wall.asks
    assert ("none here" in told) is (how == "scratched")
    wall.types("done")
    assert wall.session.state.in_question(board)
    wall.types(answer, f"board {board}", "done")
    called = [call for call in wall.session.state.settled(board).values() if call.key.name == name]
    assert bool(called) is (answer == "yes")


@pytest.mark.parametrize(("kind", "off"), tuple(product(KINDS, ("1/4", "1/2"))))
def test_what_is_moved_by_less_than_tapes_differ_is_not_asked_about(kind: str, off: str) -> None:
    """And what is as far on as it was is no question."""
    wall = settled(kind)
    wall.types("north wall", moved(kind, f"{AT} {off}"), "board 1")
    assert not wall.asks


def test_the_board_was_right_all_along() -> None:
    """Called on the board where its wall has it since: the wall put right later is no question."""
    kind = next(iter(KINDS))
    wall = wall_after(*WALL, kind.format(at="70"), "next board", "t 144 b 144", "l 48 r 48")
    wall.types(kind.format(at=AT), "yes", "done", "north wall", moved(kind, AT))
    while wall.asks:
        assert "the layout has" not in " ".join(say.text for say in wall.said)
        wall.types("yes")
    wall.types("board 1")
    assert not wall.asks
    wall.types("done")
    assert not wall.view.draft, wall.said


@pytest.mark.parametrize("kind", KINDS)
def test_a_mutant_is_seen(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule it stays where it was, in silence."""
    monkeypatch.setattr(taking_back, "moved_at_wall", lambda *_: ())
    wall = settled(kind)
    wall.types("north wall", moved(kind, KINDS[kind]), "yes", "board 1", "done")
    assert not wall.view.draft
