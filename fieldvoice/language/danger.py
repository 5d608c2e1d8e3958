"""How likely somebody spoke of a circuit that isn't dead: from sound only where it is likely enough."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger

LIKELY = 0.05
"""The probability among one recognizer's hypotheses from which on a word of danger counts. Anywhere among them it would
count at 0.0003, and a "five" does that nine times of ten: people who hear a false alarm a day stop listening."""


def danger_in(hearings: Sequence[Hearing], unit: Unit) -> tuple[Danger, ...]:
    """Every word of danger that was typed, or heard likely enough by any recognizer."""
    found: dict[Danger, None] = {}
    for hearing in hearings:
        said: dict[Danger, float] = {}
        whole = 0.0
        for hypothesis in hearing.hypotheses:
            danger = understand(hypothesis.words, hearing.source, unit).danger
            whole += hypothesis.probability if danger else 0.0
            for each in danger:
                said[each] = said.get(each, 0.0) + hypothesis.probability
        if hearing.source is Source.TYPED or whole >= LIKELY:
            found.update(dict.fromkeys(said))
    return tuple(found)
