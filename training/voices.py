"""Synthetic voices: Debian's espeak-ng, flite and festival, and neural ones from packages of PyPI where these are
installed.

Each voice belongs to one split. Speech comes out as float at 16 kHz, cut to the words, at a root mean square of 0.1.
"""

from __future__ import annotations

import random
import shutil
import subprocess
import tempfile
import wave
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soxr

from training.noises import RATE, Wave
from training.splits import Split

# Variants that are not speech as people speak it: whispers, robots, croaks.
_ODD = {
    "whisper",
    "whisperf",
    "Demonic",
    "Storm",
    "UniRobot",
    "anikaRobot",
    "croak",
    "Tweaky",
    "ufo",
    "fast_test",
    "zac",
}
_ESPEAK_TUNE = ("f4", "m7", "Andy", "belinda")
_ESPEAK_TEST = ("f3", "m3", "steph3", "edward2")
# hibari's voice "heart" is Kokoro's speaker of that name, so that both are in one split.
_KOKORO_TUNE = ("jm_kumo", "af_kore", "am_eric", "bf_alice", "bm_daniel")
_KOKORO_TEST = ("af_heart", "af_nova", "am_liam", "bf_lily", "bm_lewis")
_ACCENTS = ("en-us", "en-us", "en-us", "en-us", "en-us", "en-us-nyc", "en-gb", "en-gb-x-rp", "en-029", "en-gb-scotland")
_VARIANTS = Path("/usr/lib/x86_64-linux-gnu/espeak-ng-data/voices/!v")


@dataclass(frozen=True, slots=True)
class Voice:
    """A speaker of one engine and the split that may use it."""

    engine: str
    name: str
    split: Split


# flite's and festival's "kal" are one speaker, as are flite's "slt" and festival's slt, so each pair keeps to one
# split.
_NAMED = (
    Voice("flite", "slt", Split.TRAIN),
    Voice("flite", "rms", Split.TRAIN),
    Voice("flite", "awb", Split.TUNE),
    Voice("flite", "kal", Split.TEST),
    Voice("festival", "cmu_us_slt_arctic_hts", Split.TRAIN),
    Voice("festival", "ked_diphone", Split.TRAIN),
    Voice("festival", "kal_diphone", Split.TEST),
    Voice("hibari", "heart", Split.TEST),
    Voice("piper", "joe", Split.TEST),
)


def voices(split: Split) -> tuple[Voice, ...]:
    """Every voice of a split whose engine is here."""
    named = (voice for voice in _NAMED if voice.split is split and _is_here(voice.engine))
    espeak = _espeak_names(split) if shutil.which("espeak-ng") else ()
    return (*named, *(Voice("espeak", name, split) for name in espeak), *_kokoro_voices(split))


def _kokoro_voices(split: Split) -> tuple[Voice, ...]:
    """Speakers kept for tuning and for the test, one by one; those for tuning in blends too, since five are few; all
    others in blends, to train on.
    """
    if not _is_here("kokoro"):
        return ()
    from training.neural import kokoro_speakers

    kept = {Split.TUNE: _KOKORO_TUNE, Split.TEST: _KOKORO_TEST}.get(split)
    if kept is None:
        free = [name for name in kokoro_speakers() if name not in _KOKORO_TUNE + _KOKORO_TEST]
        return (Voice("kokoro", "+".join(free), split),)
    names = [name for name in kokoro_speakers() if name in kept]
    # Each blend is of all but one, so that what is chosen without that speaker can be tried on them.
    blends = ["+".join(one for one in names if one != left) for left in names] if split is Split.TUNE else []
    return tuple(Voice("kokoro", name, split) for name in (*names, *blends))


def speak(voice: Voice, texts: Sequence[str], dice: random.Random, device: str = "cpu") -> Iterator[Wave | None]:
    """Each text in this voice, at a tempo, pitch and vocal tract of its own; None where the engine said nothing.

    `device` is torch's, for the engine that can use a GPU.
    """
    for text, sound in zip(texts, _sounds(voice, texts, dice, device), strict=True):
        yield _trimmed(sound) if sound is not None and len(sound) > 800 and len(text) > 0 else None


def _espeak_names(split: Split) -> tuple[str, ...]:
    if split is not Split.TRAIN:
        return _ESPEAK_TUNE if split is Split.TUNE else _ESPEAK_TEST
    kept = {*_ODD, *_ESPEAK_TUNE, *_ESPEAK_TEST}
    names = sorted(path.name for path in _VARIANTS.glob("*"))
    return tuple(n for n in names if n not in kept and not n.lower().startswith("robosoft") and " " not in n)


def _is_here(engine: str) -> bool:
    if engine in ("flite", "festival"):
        return shutil.which(engine) is not None
    from training.neural import ENGINES

    return ENGINES[engine].is_here()


def _trimmed(sound: Wave) -> Wave | None:
    level = np.abs(sound)
    loud = np.flatnonzero(level > 0.01 * level.max())
    if not len(loud) or level.max() < 1e-4:
        return None
    sound = sound[max(0, loud[0] - 160) : loud[-1] + 160]
    active = sound[np.abs(sound) > 0.02 * level.max()]
    return np.asarray(0.1 * sound / np.sqrt(np.mean(active**2)))


def at_16_khz(sound: Wave, rate: float) -> Wave:
    """The sound resampled from `rate` Hz."""
    return np.asarray(soxr.resample(sound, rate, RATE))


def _read(path: Path) -> tuple[Wave, int] | None:
    if not path.exists() or path.stat().st_size < 1_000:
        return None
    with wave.open(str(path)) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16)
        return samples.astype(np.float64) / 32_768, file.getframerate()


def _run(*command: str) -> None:
    subprocess.run(command, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # noqa: S603 - our own words


def _espeak(name: str, texts: Sequence[str], dice: random.Random) -> Iterator[Wave | None]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "e.wav")
        for text in texts:
            path.unlink(missing_ok=True)
            speed, pitch = str(dice.randint(120, 215)), str(dice.randint(20, 80))
            _run("espeak-ng", "-v", f"{dice.choice(_ACCENTS)}+{name}", "-s", speed, "-p", pitch, "-w", str(path), text)
            heard = _read(path)
            yield at_16_khz(*heard) if heard else None


def _flite(name: str, texts: Sequence[str], dice: random.Random) -> Iterator[Wave | None]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "f.wav")
        for text in texts:
            path.unlink(missing_ok=True)
            tract = dice.uniform(0.86, 1.17)
            pitch = (160 if name == "slt" else 95) * dice.uniform(0.85, 1.2)
            stretch = f"duration_stretch={tract * dice.uniform(0.78, 1.2):.3f}"
            _run(
                "flite",
                "-voice",
                name,
                "--setf",
                stretch,
                "--setf",
                f"int_f0_target_mean={pitch:.0f}",
                "-t",
                text,
                "-o",
                str(path),
            )
            heard = _read(path)
            # Played faster or slower it is another vocal tract; the stretch has undone the change of tempo.
            yield at_16_khz(heard[0], heard[1] * tract) if heard else None


def _festival(name: str, texts: Sequence[str], dice: random.Random) -> Iterator[Wave | None]:
    with tempfile.TemporaryDirectory() as folder:
        tracts = [dice.uniform(0.86, 1.17) for _ in texts]
        lines = [f"(voice_{name})"]
        for number, (text, tract) in enumerate(zip(texts, tracts, strict=True)):
            lines.append(f"(Parameter.set 'Duration_Stretch {tract * dice.uniform(0.78, 1.2):.3f})")
            lines.append(f'(utt.save.wave (utt.synth (Utterance Text "{text}")) "{folder}/{number}.wav" \'riff)')
        script = Path(folder, "say.scm")
        script.write_text("\n".join(lines))
        _run("festival", "-b", str(script))
        for number, tract in enumerate(tracts):
            heard = _read(Path(folder, f"{number}.wav"))
            yield at_16_khz(heard[0], heard[1] * tract) if heard else None


_PROGRAMS: dict[str, Callable[[str, Sequence[str], random.Random], Iterator[Wave | None]]] = {
    "espeak": _espeak,
    "flite": _flite,
    "festival": _festival,
}


def _sounds(voice: Voice, texts: Sequence[str], dice: random.Random, device: str) -> Iterator[Wave | None]:
    if voice.engine in _PROGRAMS:
        yield from _PROGRAMS[voice.engine](voice.name, texts, dice)
        return
    from training.neural import ENGINES

    for sound, rate in ENGINES[voice.engine].say(voice.name, texts, dice, device):
        yield at_16_khz(sound, rate)
