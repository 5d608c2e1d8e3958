"""Site noise from numbered machines: a kind and a number give always the same tool, each call another stretch of its
work.

Everything is at 16 kHz, float, and of unit power unless said otherwise. Generators and figures are our own and meant
to be as varied as sites are; they are no recording of any tool.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, sosfilt

RATE = 16_000

Wave = NDArray[np.float64]
Dice = np.random.Generator


class Noise(StrEnum):
    """What is heard besides the hanger."""

    SCREW_GUN = "screw gun"
    SAW = "saw"
    COMPRESSOR = "compressor"
    RADIO = "radio talk"
    HAMMER = "hammer"
    SITE = "site hum"


def noise(kind: Noise, number: int, samples: int, dice: Dice, talk: Sequence[Wave] = ()) -> Wave:
    """A stretch of `samples` of machine `number` of its kind. `talk` are clips of speech, from which radio talk is
    made.
    """
    machine = np.random.default_rng((sum(kind.encode()), number))
    sound = _radio(samples, machine, dice, talk) if kind is Noise.RADIO else _MAKERS[kind](samples, machine, dice)
    return _at_unit_power(sound)


def _at_unit_power(sound: Wave) -> Wave:
    return np.asarray(sound / (sound.std() + 1e-9), dtype=np.float64)


def room(number: int) -> Wave:
    """The impulse response of an empty room: 1 and a decaying tail of 0.1 to 0.8 s."""
    machine = np.random.default_rng((7_001, number))
    decay = machine.uniform(0.1, 0.8)
    length = int(decay * RATE)
    tail = machine.standard_normal(length) * np.exp(-6.9 * np.arange(length) / length)
    tail *= machine.uniform(0.05, 0.45) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return tail


def _motor(pitch: Wave, partials: int, tilt: float, dice: Dice) -> Wave:
    turns = 2 * np.pi * np.cumsum(pitch) / RATE
    waves = (np.sin(k * turns + dice.uniform(0, 6)) / k**tilt for k in range(1, partials + 1))
    return np.asarray(np.sum(list(waves), axis=0), dtype=np.float64)


def _hiss(samples: int, slope: float, dice: Dice) -> Wave:
    spectrum = np.fft.rfft(dice.standard_normal(samples))
    return _at_unit_power(np.fft.irfft(spectrum * (np.arange(len(spectrum)) + 8.0) ** slope, samples))


def _wander(samples: int, low: float, high: float, knots: int, dice: Dice) -> Wave:
    """A curve through random points."""
    return np.interp(np.linspace(0, 1, samples), np.linspace(0, 1, knots), dice.uniform(low, high, knots))


def _screw_gun(samples: int, machine: Dice, dice: Dice) -> Wave:
    """Short runs of a whining motor, each ended by the clutch's ratchet."""
    base, ratchet, slope = machine.uniform(250, 900), machine.uniform(25, 70), machine.uniform(-0.4, 0.2)
    sound = 0.02 * _hiss(samples, -0.5, dice)
    start = int(dice.uniform(0, 0.5) * RATE)
    while start < samples:
        length = min(int(dice.uniform(0.3, 1.1) * RATE), samples - start)
        seconds = np.arange(length) / RATE
        whine = _motor(base * (1 + 0.25 * np.minimum(1, seconds / 0.1)), 9, 0.7, dice)
        run = whine / (whine.std() + 1e-9) + 0.6 * _hiss(length, slope, dice)
        clutch = (seconds > 0.7 * length / RATE) * np.sign(np.sin(2 * np.pi * ratchet * seconds))
        sound[start : start + length] += run * (1 + 0.8 * clutch)
        start += length + int(dice.uniform(0.1, 1.2) * RATE)
    return sound


def _saw(samples: int, machine: Dice, dice: Dice) -> Wave:
    """Gliding partials and a broad hiss, up and down with the load."""
    base, tilt, share = machine.uniform(150, 1400), machine.uniform(0.3, 1.2), machine.uniform(0.3, 1.5)
    pitch = base * (1 + _wander(samples, -0.25, 0.1, 2 + samples // RATE * 2, dice))
    whine = _motor(pitch, 7, tilt, dice)
    load = np.clip(_wander(samples, -0.3, 1.3, 3 + samples // RATE * 2, dice), 0, 1)
    cut: Wave = (whine / whine.std() + share * _hiss(samples, machine.uniform(-0.3, 0.3), dice)) * load
    return cut + 1e-3 * _hiss(samples, 0, dice)


def _compressor(samples: int, machine: Dice, dice: Dice) -> Wave:
    """A thudding piston over hum."""
    beat, hum = machine.uniform(8, 30), machine.uniform(45, 125)
    seconds = np.arange(samples) / RATE
    thud = np.maximum(0, np.sin(2 * np.pi * beat * seconds + dice.uniform(0, 6))) ** machine.uniform(2, 8)
    tone = _motor(np.full(samples, hum), 14, machine.uniform(0.6, 1.2), dice)
    under_load: Wave = tone / tone.std() * (0.4 + thud)
    return under_load + _hiss(samples, machine.uniform(-0.9, -0.3), dice) * (0.2 + thud)


def _hammer(samples: int, machine: Dice, dice: Dice) -> Wave:
    """Blows with a ring, and boards set down."""
    rate, rings = machine.uniform(0.8, 4), machine.uniform(80, 3500, 4)
    sound = 0.02 * _hiss(samples, -0.5, dice)
    for start in dice.integers(0, samples, max(1, int(dice.poisson(samples / RATE * rate)))):
        decay = dice.uniform(0.01, 0.12)
        seconds = np.arange(min(int(6 * decay * RATE), samples - start)) / RATE
        ring = np.sum([dice.uniform(0, 1) * np.sin(2 * np.pi * ring * seconds) for ring in rings], axis=0)
        blow = (ring + dice.uniform(0, 1) * dice.standard_normal(len(seconds))) * np.exp(-seconds / decay)
        sound[start : start + len(seconds)] += dice.uniform(0.2, 1) * blow
    return sound


def _site(samples: int, machine: Dice, dice: Dice) -> Wave:
    """A fan or a generator far off, and the color of the place."""
    low = machine.uniform(60, 800)
    band = butter(2, [low, min(low * machine.uniform(2, 10), 7_500)], "band", fs=RATE, output="sos")
    fan = sosfilt(band, dice.standard_normal(samples))
    return np.asarray(fan / fan.std() + machine.uniform(0, 2) * _hiss(samples, machine.uniform(-1.1, 0.2), dice))


def _radio(samples: int, machine: Dice, dice: Dice, talk: Sequence[Wave]) -> Wave:
    """People talking through a small loudspeaker; hiss alone where there is no talk to draw on."""
    sound = 0.05 * _hiss(samples, -0.3, dice)
    for _ in range(int(machine.integers(1, 4)) if talk else 0):
        clip = np.resize(talk[int(dice.integers(len(talk)))], samples)
        sound += dice.uniform(0.3, 1) * np.roll(clip, int(dice.integers(samples))) / (clip.std() + 1e-9)
    band = butter(2, [machine.uniform(150, 500), machine.uniform(2_500, 5_500)], "band", fs=RATE, output="sos")
    return np.asarray(sosfilt(band, sound))


_MAKERS: dict[Noise, Callable[[int, Dice, Dice], Wave]] = {
    Noise.SCREW_GUN: _screw_gun,
    Noise.SAW: _saw,
    Noise.COMPRESSOR: _compressor,
    Noise.HAMMER: _hammer,
    Noise.SITE: _site,
}


def speech_power(speech: Wave) -> float:
    """The root mean square of the parts that are not silence."""
    loud = speech[np.abs(speech) > 0.02 * np.abs(speech).max()]
    return float(np.sqrt(np.mean(loud**2)) + 1e-9)


def echo(speech: Wave, number: int) -> Wave:
    """The speech in room `number`."""
    return np.asarray(fftconvolve(speech, room(number)))
