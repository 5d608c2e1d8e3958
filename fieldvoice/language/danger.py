"""How likely somebody spoke of a circuit that isn't dead: from sound only where it is likely enough."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger

LIKELY, LIKELY_BESIDE = 0.1, 0.5
"""The probability from which on word of danger counts, among the hypotheses of the recognizer that is trusted most and
of any beside it. Measured with the reading ear and Whisper: of 153 clips of voices of no training that say danger 143
count, 89 of 91 down to 10 dB of noise; falsely 10 of 2,339 clips of people who say something else or of real noise, and
24 of 4,215 of synthetic voices. With 0.05 for both it were 147, 89, 19 and 68. No recording of a person who says "live"
was at hand.
"""


def danger_in(hearings: Sequence[Hearing], unit: Unit) -> tuple[Danger, ...]:
    """Every word of danger that was typed, or heard likely enough by any recognizer."""
    found: dict[Danger, None] = {}
    for place, hearing in enumerate(hearings):
        said: dict[Danger, float] = {}
        whole = 0.0
        for hypothesis in hearing.hypotheses:
            danger = understand(hypothesis.words, hearing.source, unit).danger
            whole += hypothesis.probability if danger else 0.0
            for each in danger:
                said[each] = said.get(each, 0.0) + hypothesis.probability
        if hearing.source is Source.TYPED or whole >= (LIKELY_BESIDE if place else LIKELY):
            found.update(dict.fromkeys(said))
    return tuple(found)
