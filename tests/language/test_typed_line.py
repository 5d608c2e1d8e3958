"""What a typed line begins with that isn't seen, and signs that stand for nothing."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.language import compiled
from fieldvoice.language.phrases import read_back
from fieldvoice.language.understanding import language, understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import MOST_PLACES, Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Ask, Question, Status


@pytest.mark.parametrize("mark", ["\ufeff", "\u200b", "\u200e", "\u200f", "\ufeff\u200f ", "\u2060"])
def test_unseen_marks_before_a_line_are_passed_over(mark: str) -> None:
    """They come with what is pasted."""
    assert understand(f"{mark}t 46 7/8", Source.TYPED).meanings == understand("t 46 7/8", Source.TYPED).meanings


def test_a_mark_that_turns_figures_around_is_not_passed_over() -> None:
    """What is seen then isn't what is kept."""
    assert understand("\u202et 46 7/8", Source.TYPED).status is Status.REFUSED


@pytest.mark.parametrize("line", ['"', "'", "''", '""', "”", "′", ' " ', ', "'])
def test_a_sign_of_inches_alone_says_nothing(line: str) -> None:
    """It isn't the unit of the job."""
    assert understand(line, Source.TYPED).status is Status.REFUSED


PARTS = (("4", "4ths"), ("8", "8ths"), ("16", "16ths"), ("32", "32nds"))


@pytest.mark.parametrize(("part", "written"), PARTS)
def test_a_part_is_written_with_its_figure_too(part: str, written: str) -> None:
    """Every odd count of it means what it means with a stroke: "46 13 16ths"."""
    for count, place in product(range(1, int(part), 2), ("top ", "")):
        with_stroke = understand(f"{place}46 {count}/{part}", Source.TYPED).meanings
        assert with_stroke == understand(f"{place}46 {count} {written}", Source.TYPED).meanings, (count, part)


@pytest.mark.parametrize("way", ["{} less a hair", "{} plus a hair", "a hair over {}", "a hair under {}"])
def test_a_hair_is_one_of_the_unit_of_the_job(way: str) -> None:
    """Half a millimeter where the job's tape shows the value, also where that is a whole number of inches."""
    for value in (1016, 1190, 2032, 2400):
        (said,) = understand("top " + way.format(value), Source.TYPED, Unit.MM).meanings
        assert isinstance(said, Reading)
        assert abs(said.value - Length.of(value, Unit.MM)) == Length.of(Fraction(1, 2), Unit.MM), said
        assert understand(read_back(said, Unit.MM), Source.SPOKEN, Unit.MM).meanings == (said,)


@pytest.mark.parametrize(
    "line", ["top {} mm", "left wall leans in {} mm", "outlet {} mm from the left", "clearance {} mm"]
)
def test_no_more_places_are_taken_than_can_be_said_back(line: str) -> None:
    """Six at most: what is finer was a slip, and no tape shows it."""
    for places in range(1, 15):
        said = understand(line.format(f"3.{'1' * places}"), Source.TYPED)
        assert (said.status is Status.REFUSED) == (places > MOST_PLACES), said
        for meaning, unit in product(said.meanings, Unit):
            assert read_back(meaning, unit)


@pytest.mark.parametrize("thing", ["door", "window"])
def test_the_only_opening_is_read_back_as_itself(thing: str) -> None:
    """And no box of that name."""
    (order,) = understand(f"scratch the {thing}", Source.TYPED).meanings
    assert understand(read_back(order, Unit.INCH), Source.SPOKEN).meanings == (order,)


def slips() -> list[tuple[str, str]]:
    """Orders of one word, each with two of its letters swapped."""
    orders = ("done", "undo", "help", "resume", "continue", "repeat", "louder", "quieter", "finished", "pause")
    swaps = [
        (word, word[:at] + word[at + 1] + word[at] + word[at + 2 :]) for word in orders for at in range(len(word) - 1)
    ]
    return [(word, slip) for word, slip in swaps if slip not in language().known]


@pytest.mark.parametrize(("word", "slip"), slips())
def test_letters_swapped_go_before_all_else_that_a_slip_may_be(word: str, slip: str) -> None:
    """The order is asked about, and no other: "doen" may be "den" and "down" as well."""
    said = understand(slip, Source.TYPED)
    assert said.ask == Question(Ask.DID_YOU_MEAN, (slip, word)), said


def test_what_is_kept_of_the_grammar_is_kept_for_the_code_that_reads_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same text read by other code is asked for under another name."""
    asked: list[str] = []

    def recall(name: str) -> bytes:
        asked.append(name)
        return b"{}"

    monkeypatch.setattr(compiled, "recall", recall)
    compiled.rules.__wrapped__()
    monkeypatch.setattr(compiled, "makers", lambda: "other code")
    compiled.rules.__wrapped__()
    assert len(set(asked)) == 2
