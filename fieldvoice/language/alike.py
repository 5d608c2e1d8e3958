"""Words that are nearly other words: a typing slip of one finger, and what is said again."""

from __future__ import annotations

from collections.abc import Collection
from difflib import SequenceMatcher

SHORTEST = 3
"""Letters of a word: of fewer, nearly everything is near."""


def likely(typed: str, known: Collection[str]) -> list[str]:
    """The words that are one slip away, sorted: a letter more, less, or another, or two letters swapped. A slip leaves
    the first letter or the last as it is; a figure is none.
    """
    if typed[:1].isdigit():
        return []
    near, first, last = range(max(SHORTEST, len(typed) - 1), len(typed) + 2), typed[:1], typed[-1:]
    sound = (word for word in known if len(word) in near and (word[0] == first or word[-1] == last))
    return sorted(word for word in sound if one_slip(typed, word))


def swapped(typed: str, word: str) -> bool:
    """Whether the two have the same letters: of what fingers do to a word, that is told from another word best."""
    return sorted(typed) == sorted(word)


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


ALIKE = 0.6
"""The share of words in common, in order, from which on one utterance is the other said again (our own rule)."""


def says_again(before: str, now: str) -> bool:
    """Whether most of the words of `before` come in `now`, in the same order."""
    first, second = (_words(text) for text in (before, now))
    if not first or not second:
        return False
    matched = sum(block.size for block in SequenceMatcher(None, first, second, autojunk=False).get_matching_blocks())
    return matched >= ALIKE * min(len(first), len(second))


def _words(text: str) -> list[str]:
    return text.lower().replace("-", " ").replace(",", " ").split()
