"""Speech of people and sounds of real machines, read from public recordings that lie on this machine.

None of it belongs to this source tree; weights that were trained on it may be handed on with the notices that
`fieldvoice/ears/reading_head/CARD.md` carries. By person, and for sounds by the recording that they were cut from,
each belongs to one split:

- AN4 (Carnegie Mellon University, 1991; free for any purpose, notice kept): its own ten test speakers are TEST, a
  quarter of the others TUNE, the rest TRAIN.
- Speech Commands v0.01 (CC BY 4.0), as the 300 clips of 41 people in github:vinsis/speech-commands-recognition: half
  the people are TEST, three in twenty TUNE, the rest TRAIN.
- Free Spoken Digit Dataset (CC BY-SA 4.0): TEST alone, since what is trained on it would have to be shared alike.
- ESC-10 at commit 553c8f1 (CC BY 3.0): its folds 1 and 2 are TRAIN, 3 is TUNE, 4 and 5 are TEST.
"""

from __future__ import annotations

import random
import re
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.utterance import Status
from training.corpus import SCALE, Clip
from training.noises import RATE, Wave
from training.splits import Split
from training.texts import Said, Text
from training.voices import Voice

LONGEST_SECONDS = 8.5
_TUNE_OF_AN4, _TEST_OF_COMMANDS, _TUNE_OF_COMMANDS = 0.25, 0.5, 0.65
_FOLDS = {1: Split.TRAIN, 2: Split.TRAIN, 3: Split.TUNE, 4: Split.TEST, 5: Split.TEST}
_LOUD_DB = 26.0
"""Within so much of the loudest block a clip counts as words; people's rooms are no quieter than that in AN4."""
_BLOCK = RATE // 100


@dataclass(frozen=True, slots=True)
class Recording:
    """One utterance of a person: the words, as far as they are words of any dictionary, letters in capitals."""

    words: str
    person: str
    split: Split
    file: Path

    def wave(self) -> Wave:
        """The whole of it at 16 kHz, its loud parts at a root mean square of 0.1."""
        sound, rate = soundfile.read(self.file, dtype="float64", always_2d=True)
        return leveled(soxr.resample(sound.mean(axis=1), rate, RATE))


def an4(folder: Path) -> Iterator[Recording]:
    """Of the folder's `wav` and `etc`, as github:cmusphinx/an4 holds them."""
    for name, part in (("train", "an4_clstk"), ("test", "an4test_clstk")):
        for line in (folder / "etc" / f"an4_{name}.transcription").read_text(encoding="ascii").splitlines():
            said, _, key = line.strip().rpartition(" (")
            key = key.rstrip(")")
            person = key.split("-")[1]
            split = Split.TEST if name == "test" else _by_share(person, 0.0, _TUNE_OF_AN4)
            file = folder / "wav" / part / person / f"{key}.wav"
            if file.exists():
                yield Recording(_plain(said), f"an4 {person}", split, file)


def _plain(said: str) -> str:
    """In small letters, but for letters that are spelled: those are no words of a reading. The letter O is the word
    that a nought is called by.
    """
    words = re.sub(r"</?s>", "", said).split()
    return " ".join("oh" if word == "O" else word if len(word) == 1 else word.lower() for word in words)


def commands(folder: Path) -> Iterator[Recording]:
    """Of a folder `speech_commands_v0.01`: a folder for each word, the person's number first in a file's name."""
    for file in sorted(folder.glob("*/*_nohash_*.wav")):
        person = file.name.split("_")[0]
        split = _by_share(person, _TEST_OF_COMMANDS, _TUNE_OF_COMMANDS)
        yield Recording(file.parent.name, f"commands {person}", split, file)


_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def digits(folder: Path) -> Iterator[Recording]:
    """Of a folder of files such as `7_jackson_32.wav`."""
    for file in sorted(folder.glob("*_*_*.wav")):
        figure, person, _ = file.stem.split("_")
        yield Recording(_DIGITS[int(figure)], f"digits {person}", Split.TEST, file)


def real_sounds(folder: Path, split: Split, kind: str = "0*") -> list[Wave]:
    """The sounds of a split at unit power, 5 s each, of the folders of ESC-10, or of one of them; those that are mostly
    silence are left out.
    """
    found = []
    for file in sorted(folder.glob(f"{kind}/*.ogg")):
        if _FOLDS[int(file.name[0])] is split:
            sound, rate = soundfile.read(file, dtype="float64")
            sound = soxr.resample(sound, rate, RATE)
            if np.mean(np.abs(sound) > 0.01 * np.abs(sound).max()) > 0.2:
                found.append(sound / (sound.std() + 1e-9))
    return found


_SOUND = 5 * RATE


def keep_sounds(sounds: Sequence[Wave], file: Path) -> None:
    """Sounds of 5 s of unit power in one Ogg Vorbis file."""
    with soundfile.SoundFile(file, "w", RATE, 1, format="OGG", subtype="VORBIS", compression_level=0.9) as kept:
        for sound in sounds:
            kept.write(np.clip(np.resize(sound, _SOUND) / _HEADROOM, -1, 1))


def kept_sounds(file: Path) -> list[Wave]:
    """What `keep_sounds` kept."""
    sound = soundfile.read(file, dtype="float64")[0]
    return [one / (one.std() + 1e-9) for one in sound.reshape(-1, _SOUND)]


_HEADROOM = 12.0


def clip_of(recording: Recording) -> Clip:
    """The recording as a corpus keeps it: its words with at most 0.25 s of its own quiet on either side."""
    sound = recording.wave()
    first, last = words_in(sound)
    sound = sound[max(0, first - RATE // 4) : last + RATE // 4][: round(LONGEST_SECONDS * RATE)]
    means = understand(recording.words, Source.SPOKEN).status is Status.UNDERSTOOD
    text = Text(Said.PHRASE if means else Said.TALK, recording.words)
    voice = Voice("people", recording.person, recording.split)
    return Clip(text, voice, (np.clip(sound, -4, 4) * SCALE).astype(np.int16))


def joined(clips: Sequence[Clip], count: int, dice: random.Random) -> Iterator[Clip]:
    """Utterances of two or three that one person said, one behind the other, each cut close: people whose words run on
    as those of a call do. What comes out longer than an ear hears at once is left out.
    """
    said: dict[Voice, list[Clip]] = {}
    for clip in clips:
        said.setdefault(clip.voice, []).append(clip)
    voices = [voice for voice, theirs in said.items() if len(theirs) > 1]
    for _ in range(count if voices else 0):
        parts = dice.sample(said[voice := dice.choice(voices)], min(dice.randint(2, 3), len(said[voice])))
        sounds = [cut_close(part.wave) for part in parts]
        gaps = [np.zeros(round(dice.uniform(0.02, 0.2) * RATE)) for _ in sounds]
        sound = np.concatenate([piece for pair in zip(sounds, gaps, strict=True) for piece in pair][:-1])
        if len(sound) <= LONGEST_SECONDS * RATE:
            text = Text(Said.TALK, " ".join(part.text.words for part in parts))
            yield Clip(text, voice, (np.clip(sound, -4, 4) * SCALE).astype(np.int16))


def _by_share(person: str, test: float, tune: float) -> Split:
    """The person's split by a hash of who it is."""
    place = zlib.crc32(person.encode()) % 1000 / 1000
    return Split.TEST if place < test else Split.TUNE if place < tune else Split.TRAIN


def leveled(sound: Wave) -> Wave:
    """The sound with its loud parts at a root mean square of 0.1."""
    first, last = words_in(sound)
    loud = sound[first:last]
    active = loud[np.abs(loud) > 0.02 * np.abs(loud).max()]
    return np.asarray(_LEVEL * sound / (np.sqrt(np.mean(active**2)) + 1e-9))


def words_in(sound: Wave) -> tuple[int, int]:
    """From which sample to which the words are: from the first to the last block of 10 ms that is loud."""
    levels = _levels(sound)
    loud = np.flatnonzero(levels > levels.max() - _LOUD_DB)
    return int(loud[0]) * _BLOCK, min(len(sound), (int(loud[-1]) + 1) * _BLOCK)


def _levels(sound: Wave) -> NDArray[np.float64]:
    blocks = sound[: max(1, len(sound) // _BLOCK) * _BLOCK]
    blocks = np.resize(blocks, (max(1, len(blocks) // _BLOCK), _BLOCK))
    return np.asarray(10 * np.log10(np.mean(blocks**2, axis=1) + 1e-10))


def cut_close(sound: Wave) -> Wave:
    """The words alone, as a talk key cuts them."""
    first, last = words_in(sound)
    return sound[first:last]


def in_its_own_quiet(sound: Wave, dice: random.Random) -> Wave:
    """The words with 0.35 to 0.45 s of what is heard between them on either side, as a microphone would give them."""
    first, last = words_in(sound)
    before, after = (round(dice.uniform(0.35, 0.45) * RATE) for _ in range(2))
    quiet = _quiet_of(sound)
    start, end = max(0, first - before), min(len(sound), last + after)
    return np.concatenate(
        [np.resize(quiet, before - (first - start)), sound[start:end], np.resize(quiet, after - (end - last))]
    )


_QUIET_DB = 20.0
"""What isn't so far below the words is a part of them."""


def _quiet_of(sound: Wave) -> Wave:
    """The quietest tenth of a second, forth and back, so that it can be repeated without a click; no more than hiss
    where a clip is cut so close that there is no quiet in it.
    """
    size = min(len(sound), RATE // 10)
    powers = np.convolve(sound**2, np.ones(size) / size, "valid")
    start = int(powers.argmin())
    if 10 * np.log10(powers[start] + 1e-10) > 20 * np.log10(_LEVEL) - _QUIET_DB:
        return np.random.default_rng(len(sound)).normal(0, _LEVEL * 10 ** (-45 / 20), RATE)
    piece = sound[start : start + size]
    return np.concatenate([piece, piece[::-1]])


_LEVEL = 0.1
"""The root mean square that the loud parts are brought to."""
