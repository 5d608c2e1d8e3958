"""Whether words say again what other words said that could not be taken."""

from __future__ import annotations

from difflib import SequenceMatcher

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
