"""The reading ear: an encoder and a head trained on tape readings, decoded inside the language."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldvoice.ears import reading_head
from fieldvoice.ears.ear import WordNetwork
from fieldvoice.ears.encoder import Encoded, Encoder, bare_columns
from fieldvoice.ears.personal import Change, applied
from fieldvoice.ears.reading_head import ReadingHead
from fieldvoice.ears.sound import Frames
from fieldvoice.ears.whole import WholeEar
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import EarKind, Hearing


def reading_ear(
    words: Sequence[str], language: Callable[[], WordNetwork], change: Change | None = None, threads: int = 2
) -> WholeEar:
    """The encoder and the head that come with fieldvoice, changed for one person's voice where that is given.
    `language` is asked at each utterance for the network of what may be said then: a job's unit can change.

    Raises BadInput where it can't hear a word of the vocabulary, NotHere where a file is missing or damaged.
    """
    head = applied(known_head(words), change)

    def read(encoded: Encoded, _frames: Frames) -> tuple[Hearing, float]:
        found = head.decode(encoded.vectors, head.network(language()))
        return Hearing(found.hypotheses, ""), found.silence

    def silence(encoded: Encoded) -> float:
        return head.silence(encoded.vectors)

    whose = " (your voice)" if change is not None else ""
    return WholeEar(f"reading{whose}", EarKind.READING, reading_encoder(threads), read, silence)


def reading_encoder(threads: int = 2) -> Encoder:
    """The encoder that was trained with the head. Raises NotHere where its files are missing or damaged."""
    return Encoder(reading_head.encoder_folder(), "reading", bare_columns, threads)


def known_head(words: Sequence[str]) -> ReadingHead:
    """The head that comes with fieldvoice. Raises BadInput where it can't hear one of the words, NotHere where its file
    is missing or damaged.
    """
    head = ReadingHead.load()
    if missing := head.missing(words):
        raise BadInput(
            f"The reading head doesn't know {len(missing)} of the {len(words)} words of the job: {', '.join(missing)}. "
            "With it those could never be heard, so it isn't used. Train it anew, or listen with --ear whisper."
        )
    return head
