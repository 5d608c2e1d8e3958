"""The two forms of every sentence: figures for the eye, words for the ear."""

from __future__ import annotations

from enum import StrEnum

from fieldvoice.language.speaking import length_words
from fieldvoice.records.length import Length, Unit


class Form(StrEnum):
    """Whether a sentence is read or heard."""

    EYE = "eye"
    EAR = "ear"


def told(length: Length, unit: Unit, form: Form) -> str:
    """A length with its unit: `1 1/4 in`, or as it is said."""
    if form is Form.EYE:
        return f"{length.text(unit)} {unit.value}"
    return length_words(length, unit)
