"""Words to meaning and meaning back to words, from the one grammar. No sound and no job state here."""

from fieldvoice.language.automaton import Automaton, automaton, open_talk, vocabulary
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
    "automaton",
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
