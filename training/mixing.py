"""A voice on the site: dry speech in, what the microphone takes out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, lfilter, sosfilt

from training.noises import RATE, Dice, Noise, Wave, echo, noise, speech_power
from training.splits import Split, machines_of

CLEAN_SNR = 55.0


@dataclass(frozen=True, slots=True)
class Scene:
    """Where the words are said: SNR in dB over the speech's active parts, the noise kinds and whether the room
    echoes.
    """

    snr: float
    kinds: tuple[Noise, ...]
    echoes: bool


def draw_scene(dice: Dice, snr: float | None = None) -> Scene:
    """A scene; without `snr` one in five is clean and the others lie between 0 and 30 dB."""
    if snr is None:
        snr = CLEAN_SNR if dice.random() < 0.2 else float(dice.uniform(-2, 30))
    count = 0 if snr >= CLEAN_SNR else int(dice.integers(1, 4))
    kinds = tuple(sorted(Noise(kind) for kind in dice.choice(list(Noise), count, replace=False)))
    return Scene(snr, kinds, bool(dice.random() < 0.5))


def on_site(speech: Wave, scene: Scene, split: Split, dice: Dice, talk: Sequence[Wave] = ()) -> NDArray[np.float32]:
    """The clip, with 0.05 to 0.7 s before the words and 0.15 to 0.9 s after them, at a level of -0.1 to -22 dB peak."""
    numbers = machines_of(split)
    if scene.echoes:
        speech = echo(speech, int(dice.choice(numbers)))
    speech = _microphone(speech, dice)
    before, after = (np.zeros(int(dice.uniform(low, high) * RATE)) for low, high in ((0.05, 0.7), (0.15, 0.9)))
    clip = np.concatenate([before, speech, after])
    around = site_noise(len(clip), scene.kinds, split, dice, talk)
    clip = clip + speech_power(speech) * 10 ** (-scene.snr / 20) * around
    clip = clip / (np.abs(clip).max() + 1e-9) * 10 ** (-dice.uniform(0.1, 22) / 20)
    return np.asarray(np.clip(clip * 3, -0.9, 0.9) if dice.random() < 0.02 else clip, dtype=np.float32)


def site_noise(
    samples: int,
    kinds: Sequence[Noise],
    split: Split,
    dice: Dice,
    talk: Sequence[Wave] = (),
) -> Wave:
    """The noises together, at unit power; without a kind it is the microphone's own hiss."""
    if not kinds:
        return dice.standard_normal(samples)
    numbers = machines_of(split)
    parts = [dice.uniform(0.3, 1) * noise(kind, int(dice.choice(numbers)), samples, dice, talk) for kind in kinds]
    mixed = np.sum(parts, axis=0)
    return np.asarray(mixed / (mixed.std() + 1e-9))


def noise_alone(kinds: Sequence[Noise], split: Split, dice: Dice, talk: Sequence[Wave] = ()) -> Wave:
    """0.7 to 4 s of a site on which nobody calls anything, at -10 to -45 dB."""
    sound = site_noise(int(dice.uniform(0.7, 4) * RATE), kinds, split, dice, talk)
    return sound * 10 ** (-dice.uniform(10, 45) / 20)


def as_frames(sound: NDArray[np.floating]) -> NDArray[np.int16]:
    """The sound in 16 bits, as the ears take it; what is beyond -1 to 1 is cut off."""
    return np.asarray(np.clip(sound, -1, 1) * 32_767).astype(np.int16)


def _microphone(speech: Wave, dice: Dice) -> Wave:
    """A tilt of the spectrum, now and then a narrow band or a low cut, as headsets and phones have."""
    if dice.random() < 0.5:
        speech = lfilter([1, -dice.uniform(-0.6, 0.6)], [1, -dice.uniform(-0.3, 0.3)], speech)
    if dice.random() < 0.15:
        speech = sosfilt(butter(6, dice.uniform(3_200, 5_500), fs=RATE, output="sos"), speech)
    if dice.random() < 0.2:
        speech = sosfilt(butter(2, dice.uniform(100, 400), "high", fs=RATE, output="sos"), speech)
    return np.asarray(speech)
