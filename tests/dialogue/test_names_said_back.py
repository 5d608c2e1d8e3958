"""What is read back under a name can be said by that name: to be moved, changed, called anew and taken out."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import Concern
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Coordinate, Edge, Opening, Point
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 44", "bottom 44", "left 95", "right 95")
THINGS = {
    "box": ("single gang center {x} from left 14 up", "center"),
    "pipe": ("2 inch pipe center {x} from left 14 up", "center"),
    "light": ("light 4 inch center {x} from left 14 up", "center"),
    "hole": ("3 inch hole center {x} from left 14 up", "center"),
    "duct": ("4 inch duct center {x} from left 14 up", "center"),
    "window": ("window 14 wide 16 high, left edge {x} from left, 14 up", "near"),
    "door": ("door 14 wide 16 high, left edge {x} from left, 14 up", "near"),
    "opening": ("opening 14 wide 16 high, left edge {x} from left, 14 up", "near"),
}
NUMBERS = ({"1": "1", "2": "2"}, {"1": "one", "2": "two"})


def _two(thing: str) -> Wall:
    line = THINGS[thing][0]
    return wall_after(*BOARD, line.format(x=4), line.format(x=18))


def _there(wall: Wall) -> dict[str, Coordinate]:
    facts = (call.fact for call in wall.session.state.known("1", doubtful=True).values())
    found: dict[str, Coordinate] = {}
    for fact in facts:
        if isinstance(fact, Box):
            found[fact.name] = fact.x
        elif isinstance(fact, Opening):
            found[fact.name] = fact.xs[0]
    return found


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("say", NUMBERS, ids=["figures", "words"])
def test_one_of_two_is_changed_by_its_name(thing: str, say: dict[str, str]) -> None:
    """And the other one stays; whoever calls it anew is asked whether it replaces the one of that name."""
    point = Point(THINGS[thing][1])
    first, second = (Coordinate(point, Length(at), Edge.LEFT) for at in (4, 18))
    assert _there(_two(thing)) == {f"{thing} 1": first, f"{thing} 2": second}
    moved = Coordinate(point, Length(28), Edge.LEFT)
    where = "center" if point is Point.CENTER else "near edge"
    for (number, name), order in product(say.items(), ("change {} to", "move {} to")):
        wall = _two(thing)
        wall.types(f"{order.format(f'{thing} {name}')} {where} 28 from left")
        now = _there(wall)
        assert now[f"{thing} {number}"] == moved, order
        assert len(now) == 2
        assert len(set(now.values())) == 2
    wall = _two(thing)
    wall.types(f"{thing} {say['2']} {where} 28 from left")
    assert [doubt.concern for doubt in wall.session.state.doubts] == [Concern.SAME_BOX]
    wall.types("yes")
    assert _there(wall) == {f"{thing} 1": first, f"{thing} 2": moved}


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("say", NUMBERS, ids=["figures", "words"])
def test_one_of_two_is_taken_out_by_its_name(thing: str, say: dict[str, str]) -> None:
    """That one and no other."""
    for number, name in say.items():
        wall = _two(thing)
        wall.types(f"scratch {thing} {name}")
        assert {*_there(wall)} == {f"{thing} 1", f"{thing} 2"} - {f"{thing} {number}"}


@pytest.mark.parametrize("thing", ["pipe", "hole"])
@pytest.mark.parametrize("number", [1, 2, 5, 9])
def test_a_number_behind_a_pipe_is_no_size(thing: str, number: int) -> None:
    """How big it is is asked; with its unit, as a part, or "across" it is the size."""
    wall = wall_after(*BOARD, f"{thing} {number} center 20 from left 40 up")
    assert [doubt.concern for doubt in wall.session.state.doubts] == [Concern.LACKS]
    wall.types("3 inches")
    assert {*_there(wall)} == {f"{thing} {number}"}
    for size in (f"{number} inch", f"{number} 1/2", f"{number} across", "12"):
        facts = wall_after(*BOARD, f"{thing} {size} center 20 from left 40 up").session.state.known("1").values()
        (hole,) = (call.fact for call in facts if isinstance(call.fact, Opening))
        assert hole.name == f"{thing} 1"
        assert hole.diameter is not None
        assert hole.diameter == Length(size.split(" inch")[0].split(" across")[0])


CALLED_SO = ("call it {}", "no, call it {}", "no, {}", "it's {}", "{}")


@pytest.mark.parametrize(
    ("thing", "say"),
    [*product(("box", "pipe", "window"), CALLED_SO), *product(("light",), CALLED_SO[:2])],  # "light two" is a figure
)
def test_one_that_has_the_name_of_another_is_called_so_as_the_question_says(thing: str, say: str) -> None:
    """What it has of the other one is asked about; a name that is there already, or of another kind, is none."""
    line, point = THINGS[thing]
    wall = wall_after(*BOARD, line.format(x=4))
    wall.types(f"{thing} 1 {'center' if point == 'center' else 'near edge'} 28 from left")
    assert [doubt.concern for doubt in wall.session.state.doubts] == [Concern.SAME_BOX]
    for name in (f"{thing} 1", "duct 2"):
        again = wall.twin()
        again.types(say.format(name))
        assert Concern.SAME_BOX in {doubt.concern for doubt in again.session.state.doubts}, name
    wall.types(say.format(f"{thing} 2"))
    assert [doubt.concern for doubt in wall.session.state.doubts] == [Concern.UNSURE]
    wall.types("yes")
    assert {name: at.value for name, at in _there(wall).items()} == {f"{thing} 1": Length(4), f"{thing} 2": Length(28)}
    wall.types("undo")
    assert {*_there(wall)} == {f"{thing} 1"}


@pytest.mark.parametrize(("answer", "right"), [("all right", True), ("yes, top 44", True), ("yes, top 43", False)])
def test_the_last_check_is_answered_in_its_own_words(answer: str, *, right: bool) -> None:
    """And by a value as it was read, not by another one."""
    wall = wall_after("~top forty four", "~bottom forty four", "~left ninety five", "~right ninety five", "done")
    assert [doubt.concern for doubt in wall.session.state.doubts] == [Concern.LAST]
    wall.types(answer)
    assert wall.view.draft is not right
