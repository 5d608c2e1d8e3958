"""The line of danger names every box that it is about, with its own word."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from itertools import product

import pytest

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.said import BoxWord
from fieldvoice.wording.cautions import danger_at_boxes
from fieldvoice.wording.forms import clock

NINE, ONE = (datetime(2026, 3, 2, hour, 10, tzinfo=UTC) for hour in (9, 13))
WORDS = {
    "live": (Circuit.LIVE, "hanger", NINE),
    "dead at nine": (Circuit.DEAD, "hanger", NINE),
    "dead at one": (Circuit.DEAD, "partner", ONE),
    "nothing": None,
}


def _boxes(text: str) -> set[str]:
    return set(re.findall(r"box \d+", text))


@pytest.mark.parametrize("said", [each for count in (1, 2, 3, 4) for each in product(WORDS, repeat=count)])
def test_each_box_is_named_with_what_was_said_of_it(said: tuple[str, ...]) -> None:
    """Whatever was said of the others: who reads "no tool in them" knows which, and no test is dated by another one."""
    names = [f"box {number}" for number in range(1, len(said) + 1)]
    words = [BoxWord(name, *word) for name, each in zip(names, said, strict=True) if (word := WORDS[each]) is not None]
    line = danger_at_boxes(names, words)
    of = {each: {name for name, one in zip(names, said, strict=True) if one == each} for each in WORDS}
    if of["live"] or of["nothing"]:
        about, _, order = line.partition(": no tool in ")
        assert line.startswith("WARNING")
        assert _boxes(about) == of["live"] | of["nothing"]
        assert _boxes(about.split("not said")[0].split("said LIVE")[0]) == (of["live"] or of["nothing"])
        assert order == ("it" if len(of["live"] | of["nothing"]) == 1 else "them")
        return
    assert line.startswith("CAUTION")
    for part in line.removesuffix(". Test again first.").split("; "):
        at = {"hanger": NINE, "partner": ONE}
        who = "hanger" if "said hanger" in part else "partner"
        assert part.endswith(f"dead and tested, said {who} {clock(at[who])}")
        assert _boxes(part) == of["dead at nine" if who == "hanger" else "dead at one"]
