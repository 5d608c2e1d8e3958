"""The decoding graphs of a Vosk model: phones to words, and the words in any order.

With a list of words or phrases given at run time Vosk makes the second anew and puts both together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log

from training.vosk_model.kaldi_files import entering, staying
from training.vosk_model.lexicon import SILENCE, Lexicon, Sound
from training.vosk_model.openfst import Arc, Transducer

UNKNOWN = "[unk]"
"""The word for whatever is none of the vocabulary."""

PLACES = {"B": "begin", "I": "internal", "E": "end", "S": "singleton"}
"""Where in its word a phone stands, as Kaldi marks and names it."""


@dataclass(frozen=True, slots=True)
class Costs:
    """In natural logarithms: of a silence before, between or after words, and for each phone of an unknown word what it
    costs besides being one of them all. Chosen on the tuning split.
    """

    silence: float = 0.7
    no_silence: float = 0.7
    unknown: float = 1.0


def words_of(lexicon: Lexicon) -> tuple[str, ...]:
    """The words by number, 0 being none; the last three are of Kaldi's own."""
    return ("<eps>", UNKNOWN, *lexicon.vocabulary, "#0", "<s>", "</s>")


def placed_phones(lexicon: Lexicon) -> tuple[str, ...]:
    """Phones by number in Kaldi's files: 0 is none, 1 silence, then each phone of speech in its four places."""
    silence, *speech = lexicon.phones
    return ("<eps>", silence, *(f"{phone}_{place}" for phone in speech for place in PLACES))


def classes_of(lexicon: Lexicon) -> list[int]:
    """For each of Kaldi's phones, from 1, the phone that it is wherever it stands."""
    speech = range(SILENCE + 1, len(lexicon.phones))
    return [SILENCE, *(phone for phone in speech for _ in PLACES)]


def placed(phone: int, place: str) -> int:
    """Kaldi's number of a phone in a place."""
    return 2 + len(PLACES) * (phone - 1) + "BIES".index(place)


_SILENCE_PLACED = 1


def phones_to_words(lexicon: Lexicon, costs: Costs) -> Transducer:
    """Transitions in, words out: silence or none, then a word, over and over. A word is given at its first phone."""
    made = Transducer()
    start, ready, done, quiet = (made.state() for _ in range(4))
    made.ends[ready] = 0.0
    for before in (start, done):
        made.add([Arc(before, ready, 0, 0, costs.no_silence)])
        made.add([Arc(before, quiet, entering(_SILENCE_PLACED), 0, costs.silence)])
    made.add([Arc(quiet, quiet, staying(_SILENCE_PLACED), 0), Arc(quiet, ready, 0, 0)])
    number = {word: at for at, word in enumerate(words_of(lexicon))}
    for word in lexicon.vocabulary:
        for sound in lexicon.sounds[word]:
            made.add(_said(made, sound, number[word], ready, done))
    made.add(_unknown(made, lexicon, number[UNKNOWN], ready, done, costs))
    return made


def _said(made: Transducer, sound: Sound, word: int, ready: int, done: int) -> Iterator[Arc]:
    at = ready
    for place, phone in zip(_places(len(sound)), sound, strict=True):
        number, held = placed(phone, place), made.state()
        yield Arc(at, held, entering(number), word if at == ready else 0)
        yield Arc(held, held, staying(number), 0)
        at = held
    yield Arc(at, done, 0, 0)


def _places(count: int) -> str:
    return "S" if count == 1 else "B" + "I" * (count - 2) + "E"


def _unknown(made: Transducer, lexicon: Lexicon, word: int, ready: int, done: int, costs: Costs) -> Iterator[Arc]:
    """Two phones or more, whichever."""
    hub = made.state()
    cost = log(len(lexicon.phones) - 1) + costs.unknown
    for phone in range(SILENCE + 1, len(lexicon.phones)):
        for place, source, target, given in (("B", ready, hub, word), ("I", hub, hub, 0), ("E", hub, done, 0)):
            number, held = placed(phone, place), made.state()
            yield Arc(source, held, entering(number), given, cost)
            yield Arc(held, held, staying(number), 0)
            yield Arc(held, target, 0, 0)


def any_words(lexicon: Lexicon) -> Transducer:
    """Each word of the vocabulary as likely as any other and as the end."""
    made = Transducer()
    state = made.state()
    cost = log(len(lexicon.vocabulary) + 1)
    made.ends[state] = cost
    numbers = range(2, 2 + len(lexicon.vocabulary))
    made.add(Arc(state, state, number, number, cost) for number in numbers)
    return made


def word_boundaries(lexicon: Lexicon) -> Sequence[str]:
    """The lines of word_boundary.int."""
    lines = [f"{number} {PLACES[name[-1]]}" for number, name in enumerate(placed_phones(lexicon)) if number > 1]
    return ["1 nonword", *lines]
