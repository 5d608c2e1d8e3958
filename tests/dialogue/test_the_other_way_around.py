"""To the question whether two readings are swapped only their own figures are an answer: any other may be of either, or
of what was called last, and is never given to one of them untold.
"""

from __future__ import annotations

import pytest

from fieldvoice.dialogue import figure_alone
from tests.dialogue.talk import Wall, wall_after

READINGS = {"b": "43 1/2", "m": "44", "t": "43 1/8"}
"""No wall leans so, but with the bottom and the middle the other way around one does."""
NAMES = {"b": "width, bottom", "m": "width, middle", "t": "width, top"}
SAID = ("{}", "no {}", "make that {}", "sorry {}", "i mean {}", "no it's {}", "it's {}")


def asked(order: tuple[str, ...]) -> Wall:
    """A board whose widths were called in that order."""
    wall = wall_after("l 87 3/4", "r 87 3/4", *(f"{each} {READINGS[each]}" for each in order))
    assert "and not the other way around?" in " ".join(say.text for say in wall.said), wall.said
    return wall


ORDERS = (("b", "m", "t"), ("b", "t", "m"), ("t", "b", "m"))
"""Those in which no other question comes first."""


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("figure", ["43", "43 3/4", "44 1/8", "42 7/8"])
@pytest.mark.parametrize("said", SAID)
def test_a_figure_of_neither_is_asked_which_it_is_of(order: tuple[str, ...], figure: str, said: str) -> None:
    """Whichever way it is said; the one that is named has it, and no other has changed."""
    wall = asked(order)
    told = wall.types(said.format(figure))
    assert wall.asks
    assert all(wall.value(NAMES[each]) == READINGS[each] for each in READINGS), told
    for each in {"b", "m", order[-1]}:
        other = wall.twin()
        other.types({"b": "bottom", "m": "middle", "t": "top"}[each])
        assert other.value(NAMES[each]) == figure, (told, other.said)
        rest = [one for one in READINGS if one != each]
        assert all(other.value(NAMES[one]) == READINGS[one] for one in rest), (told, other.said)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("said", SAID)
def test_the_figure_of_the_other_may_be_of_the_first_or_of_what_was_called_last(
    order: tuple[str, ...], said: str
) -> None:
    """It isn't taken for the one that is asked about where another was called behind both."""
    wall = asked(order)
    wall.types(said.format(READINGS["m"] if _asks_of_bottom(wall) else READINGS["b"]))
    if order[-1] == "t":
        assert wall.asks
        assert all(wall.value(NAMES[each]) == READINGS[each] for each in READINGS)


def _asks_of_bottom(wall: Wall) -> bool:
    return "Is the bottom width" in " ".join(say.text for say in wall.said)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("no", ["no", "nope", "wrong"])
@pytest.mark.parametrize("around", [True, False])
def test_a_no_leaves_neither(order: tuple[str, ...], no: str, *, around: bool) -> None:
    """What both are is asked, and nothing is settled before."""
    wall = asked(order)
    wall.types(no)
    assert wall.value(NAMES["b"]) is None
    assert wall.value(NAMES["m"]) is None
    wall.types("done")
    assert wall.view.draft
    values = ("44", "43 1/2") if around else ("43 1/4", "43 3/16")
    wall.types(f"b {values[0]}", f"m {values[1]}")
    while wall.asks:
        wall.types("yes")
    wall.types("done")
    assert not wall.view.draft, wall.said
    assert (wall.value(NAMES["b"]), wall.value(NAMES["m"])) == values


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule the first of the two has the figure."""
    monkeypatch.setattr(figure_alone, "swapped_with", lambda *_: ())
    wall = asked(("b", "m", "t"))
    wall.types("43")
    assert wall.value("width, bottom") == "43"
