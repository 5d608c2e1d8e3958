"""What a typed line begins with that isn't seen, and signs that stand for nothing."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language import compiled
from fieldvoice.language.understanding import language, understand
from fieldvoice.records.hearing import Source
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
