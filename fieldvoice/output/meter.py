"""What the microphone brings, in one line under the job: level, noise, clipping, and the words as they come."""

from __future__ import annotations

from dataclasses import dataclass

from rich.text import Text

from fieldvoice.wording.screen import CLIPS, level

LOUD_DB = -33.0
"""Noise above this, in dB of full scale, is called loud on the line (our own rule, not measured)."""
CELLS = 10
QUIETEST_DB = -60.0


@dataclass(frozen=True, slots=True)
class MicrophoneState:
    """Level and noise in dB of full scale; whether the level hit the end of the scale lately; `doing` says what is
    being done with the sound ("listening", "hearing", "space to talk"); the words so far, if any recognizer has them.
    """

    level_db: float
    noise_db: float
    clipping: bool
    doing: str
    words: str = ""


def meter(heard: MicrophoneState, columns: int, *, blocks: bool = True) -> Text:
    """The line, no wider than `columns`. Where the words need more room their beginning gives way."""
    share = (heard.level_db - QUIETEST_DB) / -QUIETEST_DB
    full = max(0, min(CELLS, round(CELLS * share)))
    bar = ("▮" if blocks else "#") * full + ("▯" if blocks else ".") * (CELLS - full)
    line = Text(level(bar, heard.level_db, heard.noise_db, loud=heard.noise_db > LOUD_DB))
    if heard.clipping:
        line.append(CLIPS, style="bold reverse red").append(" ")
    line.append(heard.doing, style="bold")
    room = columns - len(line.plain) - 3
    if heard.words and room > 0:
        words = heard.words if len(heard.words) <= room else "…" + heard.words[-(room - 1) :] if room > 1 else "…"
        line.append(f": {words} ")
    line.truncate(columns)
    return line
