"""What a typed line begins with that isn't seen, and signs that stand for nothing."""

from __future__ import annotations

import pytest

from fieldvoice.language import compiled
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.utterance import Status


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
