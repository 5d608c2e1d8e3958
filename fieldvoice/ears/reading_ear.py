"""The reading ear: an encoder and a head trained on tape readings, decoded inside the language."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldvoice.ears.encoder import Encoded, Encoder, bare_columns
from fieldvoice.ears.personal import Change, applied
from fieldvoice.ears.reading_head.head import ReadingHead, encoder_folder
from fieldvoice.ears.sound import Frames
from fieldvoice.ears.whole_utterance import WholeEar
from fieldvoice.records.hearing import EarKind, Hearing, WordNetwork


def reading_ear(
    words: Sequence[str], language: Callable[[], WordNetwork], change: Change | None = None, threads: int = 2
) -> WholeEar:
    """The encoder and the head that come with fieldvoice, changed for one person's voice where that is given.
    `language` is asked at each utterance for the network of what may be said then: a job's unit can change.

    Words that it wasn't trained on it can't hear: they are named in the ear's `unheard`. Raises NotHere where a file is
    missing or damaged.
    """
    head = applied(ReadingHead.load(), change)

    def read(encoded: Encoded, _frames: Frames) -> tuple[Hearing, float]:
        found = head.decode(encoded.vectors, head.network(language()))
        return Hearing(found.hypotheses, ""), found.silence

    def silence(encoded: Encoded) -> float:
        return head.silence(encoded.vectors)

    whose = " (your voice)" if change is not None else ""
    return WholeEar(
        f"reading{whose}", EarKind.READING, reading_encoder(threads), read, silence, unheard=head.missing(words)
    )


def reading_encoder(threads: int = 2) -> Encoder:
    """The encoder that was trained with the head. Raises NotHere where its files are missing or damaged."""
    return Encoder(encoder_folder(), "reading", bare_columns, threads)
