"""From blocks of sound to hearings: what runs while a person speaks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from fieldvoice.ears.ear import Ear, WordNetwork
from fieldvoice.ears.endpoint import Cut, Endpointer, Outlook
from fieldvoice.ears.sound import Frames
from fieldvoice.records.hearing import Hearing


@dataclass(frozen=True, slots=True)
class Listening:
    """How to listen. `muted` is asked before each block: true while the assistant itself speaks, or on hold.

    `held` is the push-to-talk key, None for an open microphone. `wake`, where given, must begin an utterance.
    `partial` is shown the words so far; `sound` is handed the whole sound of each utterance before its hearings are.
    """

    muted: Callable[[], bool] = lambda: False
    held: Callable[[], bool] | None = None
    wake: str | None = None
    partial: Callable[[str], None] = lambda _: None
    sound: Callable[[Frames], None] | None = None


def listen(
    blocks: Iterable[Frames], ears: Sequence[Ear], automaton: WordNetwork, options: Listening = Listening()
) -> Iterator[tuple[Hearing, ...]]:
    """Each utterance as every ear took it, in the ears' order, for as long as blocks come. Memory stays bounded."""
    taker = KeyHeld(options.held) if options.held else Endpointer()
    words = ""
    kept: list[Frames] = []
    for block in blocks:
        if options.muted():
            taker.stop()
            _forget(ears)
            words = ""
            kept.clear()
            continue
        cut = taker.take(block, partial(outlook, automaton, words))
        if len(cut.frames):
            words = max((ear.feed(cut.frames) for ear in ears), key=len)
            options.partial(words)
            if options.sound is not None:
                kept.append(cut.frames)
        if cut.ended:
            words = ""
            if options.sound is not None:
                options.sound(np.concatenate(kept))
                kept.clear()
            hearings = tuple(ear.finish() for ear in ears)
            if awake := _addressed(hearings, options.wake):
                yield awake


class KeyHeld:
    """Push-to-talk: an utterance lasts from the key's pressing to its release."""

    def __init__(self, held: Callable[[], bool]) -> None:
        self._held = held
        self._was_held = False

    def take(self, block: Frames, _outlook: Callable[[], Outlook] = lambda: Outlook.COMPLETE) -> Cut:
        """The block where the key is down; the block of its release ends the utterance."""
        now, before = self._held(), self._was_held
        self._was_held = now
        return Cut(block if now or before else block[:0], ended=before and not now)

    def stop(self) -> None:
        """Forgets that the key was down."""
        self._was_held = False


def outlook(automaton: WordNetwork, words: str) -> Outlook:
    """What the language says of the words so far; no words, or words outside of it, may go on."""
    state = automaton.start
    for word in words.split():
        if word not in automaton.arcs[state]:
            return Outlook.MAY_GO_ON
        state = automaton.arcs[state][word]
    if not words:
        return Outlook.MAY_GO_ON
    if state not in automaton.finals:
        return Outlook.MUST_GO_ON
    return Outlook.MAY_GO_ON if automaton.arcs[state] else Outlook.COMPLETE


def after_wake(hearing: Hearing, phrase: str) -> Hearing:
    """The hearing of what follows the wake phrase; hypotheses that don't begin with it are left out."""
    said = tuple(
        replace(one, words=rest)
        for one in hearing.hypotheses
        if one.words.startswith(f"{phrase} ") and (rest := one.words[len(phrase) + 1 :])
    )
    return replace(hearing, hypotheses=said)


def _addressed(hearings: tuple[Hearing, ...], wake: str | None) -> tuple[Hearing, ...]:
    if wake is None:
        return hearings
    addressed = tuple(after_wake(hearing, wake) for hearing in hearings)
    return addressed if any(hearing.hypotheses for hearing in addressed) else ()


def _forget(ears: Sequence[Ear]) -> None:
    for ear in ears:
        ear.reset()
