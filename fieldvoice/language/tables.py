"""The two tables of words beside the grammar: what may be heard, and what may be typed, in a word's place."""

from __future__ import annotations

from functools import cache

from fieldvoice.resources import data_folder


@cache
def rows(name: str) -> dict[str, tuple[str, str]]:
    """A table by its first column: what stands for it, and why."""
    text = (data_folder("grammar") / name).read_text(encoding="utf-8")
    lines = [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]
    return {first: (second, reason) for first, second, reason in lines}


def heard_as(word: str) -> tuple[str, ...]:
    """The words that a heard word may be, itself where the table has nothing."""
    found = rows("heard.tsv").get(word)
    return tuple(found[0].split()) if found else (word,)


def typed_as(word: str) -> str:
    """The word that a typed shorthand stands for, itself where the table has nothing."""
    found = rows("typed.tsv").get(word)
    return found[0] if found else word
