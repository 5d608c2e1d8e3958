"""Any bytes and any words, guided by coverage: an utterance ends in what can be read back, a question or a reason.

Run from the top of the source tree, with atheris (Apache-2.0) installed: `python tests/fuzz/fuzz_language.py
-max_total_time=120 -max_len=400 -len_control=0`. It stops at the first input that breaks a promise and writes it down.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parents[2]))
with atheris.instrument_imports(include=["fieldvoice"]):
    from fieldvoice.language.choosing import choose
    from fieldvoice.language.compiled import rules
    from fieldvoice.language.descent import MOST_STEPS
    from fieldvoice.language.phrases import read_back
    from fieldvoice.language.rules import START
    from fieldvoice.language.understanding import language, read_spoken, understand
    from fieldvoice.records.hearing import Hearing, Hypothesis, Source
    from fieldvoice.records.length import Unit
    from fieldvoice.records.utterance import Status

FIGURES = ("46", "7/8", "46.875", "1190", "2400", "4x8", "b1", "t46", "-", ",", "?", "!", "/", '"', "'")
WORDS = (*sorted(rules().words()), *FIGURES)


def one_input(raw: bytes) -> None:
    """Text by the raw bytes, or words of the language picked by them."""
    data = atheris.FuzzedDataProvider(raw)
    source = Source.TYPED if data.ConsumeBool() else Source.SPOKEN
    unit = Unit.MM if data.ConsumeBool() else Unit.INCH
    if data.ConsumeBool():
        text = data.ConsumeUnicodeNoSurrogates(200)
    else:
        text = " ".join(WORDS[data.ConsumeIntInRange(0, len(WORDS) - 1)] for _ in range(data.ConsumeIntInRange(0, 40)))
    said = understand(text, source, unit)
    assert bool(said.meanings) == (said.status is Status.UNDERSTOOD)
    assert bool(said.ask) == (said.status is Status.UNCLEAR)
    assert bool(said.why) == (said.status is Status.REFUSED)
    assert all(read_back(meaning, unit) for meaning in said.meanings)
    choice = choose(Hearing((Hypothesis(text, 0.6), Hypothesis(f"top {text}", 0.4)), "fuzz"), unit)
    assert choice.candidates or choice.refused
    assert language(unit).parser.parse(read_spoken(text)[:80], START).steps <= 2 * MOST_STEPS


if __name__ == "__main__":
    atheris.Setup(sys.argv, one_input)
    atheris.Fuzz()
