"""What crews say, by two tables, each written before the grammar of its day was read."""

from __future__ import annotations

from collections import Counter

import pytest

from fieldvoice.language import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Incomplete, Status
from tests.language.crew import ASKS, FOLDER, Row, result, rows, verdict

ROWS = rows()
REGIONAL = rows("crew_phrases_regional.tsv")
DIFFERS = {
    "outlet center thirty and a quarter from the left fifteen up": "a point said once holds for both distances",
    "switch center thirty from left, forty eight off the floor": "a point said once holds for both distances",
    "outlet 30 1/4 from left, 80 down to center": "a point said at the end holds for both distances",
    "leave an eighth": "is the clearance, as before",
    "that's it": "is done, as before: a yes is said to a question, which the dialogue knows",
    "box one single gang center thirty from left forty eight down and it's live": "the box just named is the live one",
}
"""Where the table's writer meant something else than what is taken, and why it is."""
DIFFERS_REGIONAL = {
    "yeah top forty six and seven eighths": "a yes and a reading: the dialogue knows whether a yes was asked for",
    "it's half inch": "the dialogue takes it as the thickness of a board that nothing was measured on yet",
    "far side": "is an answer to which edge of a box is meant, as near side is",
}
"""The same of the second table."""


def worst(row: Row) -> str:
    """What comes of a phrase, typed and, where it holds no figure and no slip, spoken: the worse of the two."""
    order = ("right", "asked", "refused", "wrong")
    return max(
        (verdict(row, result(understand(row.phrase, way, row.unit), row.unit)) for way in row.ways), key=order.index
    )


def test_nothing_is_taken_wrongly() -> None:
    """No phrase comes to something else than what it means, but for those where the table is overruled."""
    assert {row.phrase for row in ROWS if worst(row) == "wrong"} == set(DIFFERS)

    assert {row.phrase for row in REGIONAL if worst(row) == "wrong"} == set(DIFFERS_REGIONAL)


def test_nearly_every_phrase_is_exactly_right() -> None:
    """At least 97 of 100 of the first table and 93 of the second, typed and spoken alike."""
    for table, share in ((ROWS, 0.97), (REGIONAL, 0.93)):
        found = Counter(map(worst, table))
        assert found["right"] >= share * len(table), found


def test_the_tables_are_wide() -> None:
    """Nine hundred phrases and five hundred, none twice in one unit."""
    for table, least in ((ROWS, 900), (REGIONAL, 500)):
        assert len(table) >= least
        assert len({(row.phrase, row.unit) for row in table}) == len(table)


UNSAFE = [row for row in (*ROWS, *REGIONAL) if row.meaning == (ASKS,)]


@pytest.mark.parametrize("row", [row for row in UNSAFE if row.phrase not in {*DIFFERS, *DIFFERS_REGIONAL}], ids=str)
def test_what_has_no_safe_meaning_is_never_taken(row: Row) -> None:
    """Asked about or refused, typed and spoken."""
    assert worst(row) == "right"


@pytest.mark.parametrize("row", [row for row in (*ROWS, *REGIONAL) if row.meaning[0].startswith("danger")], ids=str)
def test_danger_counts_in_any_case_and_with_any_punctuation(row: Row) -> None:
    """Capitals, exclamation marks, and words of no job around it."""
    for words in (row.phrase.upper(), f"{row.phrase}!!!", f"hey joe, {row.phrase}", f"{row.phrase} I think, frankly"):
        for source in Source:
            assert understand(words, source).danger, words


def board_calls() -> list[tuple[str, Unit]]:
    """Every call of the whole boards, with the unit of its job."""
    blocks = (FOLDER / "crew_boards.txt").read_text(encoding="utf-8").split("\n## ")[1:]
    found = []
    for block in blocks:
        name, *lines = block.splitlines()
        unit = Unit.MM if "[mm]" in name else Unit.INCH
        found += [(line, unit) for line in lines if line and line[0] not in "=?"]
    return found


def test_most_calls_of_whole_boards_are_understood_at_once() -> None:
    """At least 95 of 100 typed calls need no question and lack no piece."""
    calls = board_calls()
    said = [understand(line, Source.TYPED, unit) for line, unit in calls]
    whole = [
        one.status is Status.UNDERSTOOD and not any(isinstance(each, Incomplete) for each in one.meanings)
        for one in said
    ]
    assert sum(whole) >= 0.95 * len(calls)
