"""Which words of the language a typing slip may have been: one finger too many, too few, beside, or too early."""

from __future__ import annotations

from collections.abc import Collection

SHORTEST = 3
"""Letters of a word: of fewer, nearly everything is near."""


def likely(typed: str, known: Collection[str]) -> list[str]:
    """The words that are one slip away, sorted: a letter more, less, or another, or two letters swapped."""
    return sorted(word for word in known if len(word) >= SHORTEST and one_slip(typed, word))


def one_slip(typed: str, word: str) -> bool:
    """Whether one slip makes the word what was typed."""
    if typed == word or abs(len(typed) - len(word)) > 1:
        return False
    start = 0
    while start < min(len(typed), len(word)) and typed[start] == word[start]:
        start += 1
    here, there = typed[start:], word[start:]
    swapped = here[1:2] + here[:1] + here[2:]
    return here[1:] == there or here == there[1:] or here[1:] == there[1:] or (len(here) > 1 and swapped == there)
