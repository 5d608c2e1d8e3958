"""Words to meaning and meaning back to words, from the one grammar. No sound and no job state here.

Each name is imported when it is first asked for: who only understands words needs no word network.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldvoice.language.automaton import Automaton, open_talk, vocabulary
    from fieldvoice.language.choosing import Candidate, Choice, choose, twins
    from fieldvoice.language.phrases import read_back
    from fieldvoice.language.sampling import Sample, sample
    from fieldvoice.language.speaking import length_words, number_words
    from fieldvoice.language.understanding import understand

__all__ = [
    "Automaton",
    "Candidate",
    "Choice",
    "Sample",
    "choose",
    "length_words",
    "number_words",
    "open_talk",
    "read_back",
    "sample",
    "twins",
    "understand",
    "vocabulary",
]

_MODULES = {
    "Automaton": "automaton",
    "Candidate": "choosing",
    "Choice": "choosing",
    "Sample": "sampling",
    "choose": "choosing",
    "length_words": "speaking",
    "number_words": "speaking",
    "open_talk": "automaton",
    "read_back": "phrases",
    "sample": "sampling",
    "twins": "choosing",
    "understand": "understanding",
    "vocabulary": "automaton",
}


def __getattr__(name: str) -> Any:
    """A name of the package, from its module."""
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULES[name]}"), name)
