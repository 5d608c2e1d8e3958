"""Every recognizer that is measured: those of fieldvoice, and others to compare with, where they are here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from time import perf_counter
from typing import cast

import numpy as np

from fieldvoice.ears import models, reading_head
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.reading_head.head import WEIGHTS
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.vosk_ear import VoskEar
from fieldvoice.ears.whisper_ear import whisper_ear
from fieldvoice.ears.whole_utterance import reading_ear
from fieldvoice.language.acceptors import Acceptor, Pieces
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.compiled import rules
from fieldvoice.records.hearing import Hearing, Hypothesis

READING, WHISPER, VOSK = "reading", "whisper", "vosk"
PLAIN, VOSK_OWN, SPHINX = "whisper plain", "vosk own", "pocketsphinx"
RARE = (PLAIN, VOSK_OWN, SPHINX)
"""To compare with only: they hear some of the clips."""


class SphinxEar:
    """PocketSphinx with a grammar of the usual calls beside a loop of phones for all else: one hypothesis, unscored.

    The whole language has 1.8 million arcs, too many for it; `_WAYS` says which rules may follow which.
    """

    name = "pocketsphinx"

    def __init__(self) -> None:
        import pocketsphinx

        self._decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL", samprate=float(RATE))
        for phone in _PHONES:
            self._decoder.add_word(f"{_OTHER}_{phone.lower()}", phone, update=False)
        arcs = list(_calls(lambda word: self._decoder.lookup_word(word) is not None))
        self._decoder.add_fsg("calls", self._decoder.create_fsg("calls", 0, 1, arcs))
        self._decoder.activate_search("calls")
        self._heard: list[Frames] = []

    def reset(self) -> None:
        """Forgets what was fed."""
        self._heard = []

    def feed(self, frames: Frames) -> str:
        """Takes the next samples."""
        self._heard.append(frames)
        return ""

    def finish(self) -> Hearing:
        """Its one hypothesis; none where the best way went through the loop."""
        frames = np.concatenate(self._heard) if self._heard else np.zeros(0, np.int16)
        self.reset()
        start = perf_counter()
        self._decoder.start_utt()
        self._decoder.process_raw(frames.tobytes(), full_utt=True)
        self._decoder.end_utt()
        found = self._decoder.hyp()
        words = found.hypstr if found else ""
        heard = (Hypothesis(words, 1.0),) if words and _OTHER not in words else ()
        return Hearing(heard, self.name, audio_seconds=len(frames) / RATE, seconds=perf_counter() - start)


_OTHER = "other"
_ARPABET = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
_PHONES = tuple(_ARPABET.split())
_INTO_THE_LOOP = 1e-20
_WAYS = (
    ("place", "row_inches"), ("row_inches",), ("row_inches", "lean"), ("place", "row_inches", "lean"), ("command",),
    ("answer",), ("box_state",), ("feet",), ("box_kind", "point", "spot"),
)  # fmt: skip
Arc = tuple[int, int, float] | tuple[int, int, float, str]


def _calls(knows: Callable[[str], bool]) -> Iterator[Arc]:
    """The ways as arcs with probabilities: state 0 is the start, 1 the end, 2 the loop of phones."""
    yield from ((0, 2, _INTO_THE_LOOP), (2, 1, 1.0))
    yield from ((2, 2, 1 / len(_PHONES), f"{_OTHER}_{phone.lower()}") for phone in _PHONES)
    first = 3
    for way in _WAYS:
        here = 0
        for rule in way:
            words = tuple(sorted(rules().spoken(rule)))
            part = Pieces(rules(), words, most=2**31).piece(rule)
            assert isinstance(part, Acceptor)
            yield here, first, 1.0
            for state in range(part.size):
                arcs = list(part.leads(state))
                yield from (
                    (first + state, first + after, 1 / len(arcs), words[label])
                    for label, after in arcs
                    if knows(words[label])
                )
            yield from ((first + final, first + part.size, 1.0) for final in sorted(part.finals))
            here, first = first + part.size, first + part.size + 1
        yield here, 1, 1.0


class VoskOwnEar(VoskEar):
    """Vosk with the language model that its folder brings instead of our word list."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder, ())
        import vosk

        self.name = f"vosk's own language model ({folder.name})"
        self._recognizer = vosk.KaldiRecognizer(self._model, RATE)
        self._recognizer.SetMaxAlternatives(10)


def openers(threads: int, vosk: Path | None) -> dict[str, Callable[[], Ear]]:
    """What opens each recognizer, by its name in the store; those of Vosk only where its model's folder is given.

    Each has an encoder of its own, so that its seconds are all that it takes.
    """
    folder = models.verified(models.find("whisper")).folder
    found: dict[str, Callable[[], Ear]] = {
        READING: lambda: reading_ear(vocabulary(), open_talk, threads=threads),
        WHISPER: lambda: whisper_ear(folder, threads=threads),
        PLAIN: lambda: whisper_ear(folder, prompt="", threads=threads),
        SPHINX: lambda: cast("Ear", SphinxEar()),  # it is only fed and finished here
    }
    if vosk is None:
        return found
    return found | {VOSK: lambda: VoskEar(vosk, vocabulary()), VOSK_OWN: lambda: VoskOwnEar(vosk)}


def head_sha() -> str:
    """The SHA-256 of the reading head that is here."""
    return models.sha256(Path(reading_head.__file__).parent / WEIGHTS)
