"""The tables beside the grammar: what may be heard or typed in a word's place, and how often what is said."""

from __future__ import annotations

from functools import cache

from fieldvoice.resources import data_folder


def _lines(name: str) -> list[list[str]]:
    text = (data_folder("grammar") / name).read_text(encoding="utf-8")
    return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]


@cache
def rows(name: str) -> dict[str, tuple[str, str]]:
    """A table by its first column: what stands for it, and why."""
    return {first: (second, reason) for first, second, reason in _lines(name)}


@cache
def usage() -> dict[tuple[str, str], int]:
    """How often what is said, by rule and form."""
    return {(rule, form): int(share) for rule, form, share in _lines("usage.tsv")}


def heard_as(word: str, after: str) -> tuple[str, ...]:
    """The words that a heard word may be before another (none at the end), itself where the table has nothing."""
    table = rows("heard.tsv")
    found = table.get(f"{word} {after or '.'}") or table.get(word)
    return tuple(found[0].split()) if found else (word,)


def typed_as(word: str) -> str:
    """The word that a typed shorthand stands for, itself where the table has nothing."""
    found = rows("typed.tsv").get(word)
    return found[0] if found else word


@cache
def unheard() -> frozenset[str]:
    """The words that are understood where typed or spelled by a free recognizer, and that no ear listens for."""
    return frozenset(word for word, _ in _lines("unheard.tsv"))
