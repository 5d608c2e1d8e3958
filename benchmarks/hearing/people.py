"""A person's voice: readings joined from recorded words, and recorded sentences that are no readings.

No registry that was looked through carries tape readings spoken by people. Debian's `asterisk-core-sounds-en-wav`
(CC-BY-SA-3.0, 18 MB) has numbers, ordinals, "and", and some 250 announcements by one professional speaker, at 8 kHz as
over a telephone or a Bluetooth headset. Get it with `apt-get download`, unpack it with `dpkg-deb -x`, and give its
folder of sounds. Joined words have no sentence melody, so this is a hint and no more.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchmarks.hearing.policies import judged, treated
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import RATE, Sound
from fieldvoice.ears.wav import read_wav
from fieldvoice.language.speaking import number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from training.mixing import CLEAN_SNR, as_frames, draw_scene, on_site
from training.noises import Wave
from training.splits import Split

LEVELS = {"clean": CLEAN_SNR, "20 dB": 20.0, "10 dB": 10.0}
_PARTS = {"fourth": ("h-4", (1, 3)), "eighth": ("h-8", (1, 3, 5, 7)), "sixteenth": ("h-16", tuple(range(1, 16, 2)))}
_GAP = np.zeros(RATE // 25)
_NO_SPEECH = ("beep", "tone", "silence", "digits", "letters", "phonetic", "monkeys", "weasels")


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words as a person said them, none for an announcement; dry, at 16 kHz."""

    words: str
    wave: Wave


def readings(folder: Path, count: int, dice: random.Random) -> Iterator[Spoken]:
    """Readings from 12 to 145 inches, two in three with a fraction."""
    for _ in range(count):
        whole = dice.randint(12, 145)
        words, files = number_words(whole).replace(" and ", " "), _number(whole)
        if dice.random() < 2 / 3:
            part, (ordinal, over) = dice.choice(list(_PARTS.items()))
            many = dice.choice(over)
            words += f" and {number_words(many)} {part}"
            files = [*files, "vm-and", f"digits/{many}", f"digits/{ordinal}"]
        yield Spoken(words, np.concatenate([part for file in files for part in (_word(folder, file), _GAP)]))


def announcements(folder: Path) -> Iterator[Spoken]:
    """Sentences of 1 to 8 s that are nothing of a job."""
    for file in sorted(folder.rglob("*.wav")):
        sound = read_wav(file)
        if 1.0 < sound.seconds < 8.0 and not any(part in str(file.relative_to(folder)) for part in _NO_SPEECH):
            yield Spoken("", _trimmed(sound))


def _number(whole: int) -> list[str]:
    if whole >= 100:
        rest = _number(whole % 100) if whole % 100 else []
        return [f"digits/{whole // 100}", "digits/hundred", *rest]
    if whole <= 20 or whole % 10 == 0:
        return [f"digits/{whole}"]
    return [f"digits/{whole // 10 * 10}", f"digits/{whole % 10}"]


def _word(folder: Path, name: str) -> Wave:
    return _trimmed(read_wav(folder / f"{name}.wav"))


def _trimmed(sound: Sound) -> Wave:
    """Without the silence around it, its active parts at a root mean square of 0.1."""
    wave = sound.frames.astype(np.float64)
    loud = np.flatnonzero(np.abs(wave) > 0.02 * np.abs(wave).max())
    wave = wave[loud[0] : loud[-1] + 1]
    return np.asarray(0.1 * wave / np.sqrt(np.mean(wave[np.abs(wave) > 0.02 * np.abs(wave).max()] ** 2)))


def heard(spoken: Sequence[Spoken], ears: Sequence[Ear], seed: int) -> dict[str, dict[str, int]]:
    """How many of these were right, asked and wrong at each level, in the noise of the test split's machines."""
    dice, counts = np.random.default_rng(seed), {}
    for level, snr in LEVELS.items():
        counts[level] = {"of": len(spoken), "right": 0, "asked": 0, "wrong": 0}
        for one in spoken:
            site = on_site(one.wave, draw_scene(dice, snr), Split.TEST, dice)
            sound = Sound(as_frames(site))
            meant = understand(one.words, Source.SPOKEN).meanings if one.words else ()
            counts[level][treated(meant, [hear(ear, sound) for ear in ears], judged()).result] += 1
    return counts
