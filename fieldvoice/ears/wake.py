"""A wake phrase for an open microphone: only what begins with it is taken."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, replace

from fieldvoice.records.hearing import Arcs, Hearing, Outlook, WordNetwork


@dataclass(frozen=True, slots=True)
class Awakened:
    """A language in which every utterance begins with the phrase."""

    start: int
    finals: Container[int]
    arcs: Arcs


class _Preceded:
    """The arcs of a network with those of more states before them: -1 is the last of these."""

    def __init__(self, arcs: Arcs, more: Sequence[Mapping[str, int]]) -> None:
        self._arcs = arcs
        self._more = more

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._arcs[state] if state >= 0 else self._more[state]


def awakened(network: WordNetwork, phrase: str) -> Awakened:
    """The network with the words of `phrase` before its start."""
    words = phrase.split()
    first = -len(words)
    leads = [*range(first + 1, 0), network.start]
    chain = tuple({word: target} for word, target in zip(words, leads, strict=True))
    return Awakened(first, network.finals, _Preceded(network.arcs, chain))


def after_wake(hearing: Hearing, phrase: str) -> Hearing:
    """The hearing of what follows the wake phrase; hypotheses that don't begin with it are left out."""
    said = tuple(
        replace(one, words=rest)
        for one in hearing.hypotheses
        if one.words.startswith(f"{phrase} ") and (rest := one.words[len(phrase) + 1 :])
    )
    return replace(hearing, hypotheses=said)


HEARD = 0.01
"""The least probability of the phrase with something behind it that counts as heard. The reading ear finds words of its
language in any talk, less than a thousandth as likely: who isn't spoken to must not answer, not even that nothing was
understood.
"""


def addressed(hearings: tuple[Hearing, ...], phrase: str | None) -> tuple[Hearing, ...]:
    """The hearings of what follows the phrase, all as they are where there is none; no hearing at all where no
    recognizer heard the phrase.
    """
    if phrase is None:
        return hearings
    after = tuple(after_wake(hearing, phrase) for hearing in hearings)
    heard = any(sum(one.probability for one in hearing.hypotheses) >= HEARD for hearing in after)
    return after if heard else ()


def outlook_after(words: str, phrase: str | None, outlook: Callable[[str], Outlook]) -> Outlook:
    """What `outlook` says of the words after the phrase; while the phrase is still being said more must come."""
    if phrase is None or not words:
        return outlook(words)
    if f"{phrase} ".startswith(f"{words} "):
        return Outlook.MUST_GO_ON
    return outlook(words[len(phrase) + 1 :]) if words.startswith(f"{phrase} ") else Outlook.MAY_GO_ON
