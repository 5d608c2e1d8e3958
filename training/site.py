"""An endless stream of clips on noisy sites, mixed on the device that trains: it takes ten times what processors mix.

The scenes are those of `training.mixing`, which mixes one clip at a time for the splits that are measured; filters here
change the loudness of each frequency and not its phase.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from training.corpus import SCALE, SHARES, Clip
from training.mixing import CLEAN_SNR
from training.noises import RATE, Noise, Wave, noise, room
from training.splits import Split, machines_of

CLIPS = 256
"""Utterances at once, of about one length; noise alone comes on top."""

LONGEST = 10 * RATE
_NOISE_ALONE = 12
_SORTED_AT_ONCE = 8
_MACHINES = tuple(kind for kind in Noise if kind is not Noise.RADIO)
_RADIO = 0
"""Among the kinds drawn from; the machines' rows follow."""
_RECORDED = 8 * RATE
_CLEAN_SHARE = 0.15
_SNR = (-4.0, 26.0)
_CLOSE_SHARE = 0.25
"""Of the clips begin and end with their words, as a talk key cuts them."""
QUIET = round(0.3 * RATE)
"""Samples of no sound at all before and after everything: the ear puts them there (`ears/whole_utterance.py`)."""
_LINE_SHARE, _MU = 0.2, 255.0
"""Of the clips come over a telephone line, in its scale."""
_MOST_KINDS = 3
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Noisy:
    """Clips as a microphone takes them, padded to the longest: (clips, samples) in -1 to 1, the same words at the same
    time dry and clean (silence where nothing is said), how many samples each clip has, and what is said in it.
    """

    sound: Tensor
    dry: Tensor
    lengths: Tensor
    words: tuple[str, ...]


class Site:
    """The clips, and recordings of the training split's machines and rooms, on a device."""

    def __init__(self, clips: Sequence[Clip], device: str, seed: int, real: Sequence[Wave] = ()) -> None:
        """`real` are recorded sounds of unit power, which are mixed in beside the made ones."""
        self._dice = torch.Generator(device).manual_seed(seed)
        self._order = random.Random(seed)  # noqa: S311 - a corpus, not a secret
        self._device, self._words = device, [clip.text.words for clip in clips]
        self._sizes = [len(clip.sound) for clip in clips]
        self._by_engine: dict[str, list[int]] = {}
        for number, clip in enumerate(clips):
            self._by_engine.setdefault(clip.voice.engine, []).append(number)
        self._speech = torch.from_numpy(np.concatenate([clip.sound for clip in clips])).to(device)
        self._lengths = torch.tensor(self._sizes, device=device)
        self._starts = self._lengths.cumsum(0) - self._lengths
        numbers = machines_of(Split.TRAIN)
        machines = np.concatenate([_recordings(numbers, seed), _rows(real, len(numbers))])
        self._machines = torch.from_numpy(machines).to(device)
        rooms = [room(number).astype(np.float32) for number in numbers]
        self._room_lengths = torch.tensor([len(one) for one in rooms], device=device)
        longest = max(map(len, rooms))
        self._rooms = torch.from_numpy(np.stack([np.pad(one, (0, longest - len(one))) for one in rooms])).to(device)

    def __iter__(self) -> Iterator[Noisy]:
        """Without end: the engines in their shares, clips of about one length together."""
        engines = sorted(self._by_engine)
        shares = [SHARES[engine] for engine in engines]
        while True:
            drawn = self._order.choices(engines, shares, k=CLIPS * _SORTED_AT_ONCE)
            numbers = sorted((self._order.choice(self._by_engine[one]) for one in drawn), key=self._sizes.__getitem__)
            groups = [numbers[start : start + CLIPS] for start in range(0, len(numbers), CLIPS)]
            self._order.shuffle(groups)
            yield from map(self.mixed, groups)

    @torch.no_grad()
    def mixed(self, numbers: Sequence[int], noise_alone: int = _NOISE_ALONE) -> Noisy:
        """These clips, each in a scene of its own, and some noise without a word behind them."""
        clips = len(numbers)
        dry, spoken = self._spoken(torch.tensor(numbers, device=self._device))
        heard, echoes = self._in_a_room(dry)
        heard = self._by_a_microphone(heard)
        before, after = self._between(clips, 0.05, 0.7) * RATE, self._between(clips, 0.15, 0.9) * RATE
        close = self._chance(clips, _CLOSE_SHARE)
        before = torch.where(close, self._between(clips, 0, 0.03) * RATE, before).long() + QUIET
        after = torch.where(close, self._between(clips, 0, 0.05) * RATE - echoes, after).long() + QUIET
        lengths = (before + spoken + echoes + after).clamp(max=LONGEST)
        samples = int(lengths.max())
        places = torch.arange(samples, device=self._device)
        inside = (places >= QUIET) & (places < (lengths - QUIET)[:, None])
        dry, heard = (_shifted(one, before, samples) * inside for one in (dry, heard))
        snr = torch.where(self._chance(clips, _CLEAN_SHARE), CLEAN_SNR, self._between(clips, *_SNR))
        around = self._around(clips, samples, quiet=snr == CLEAN_SNR, radio=True)
        sound = heard + _loudness(heard)[:, None] * 10 ** (-snr / 20)[:, None] * around
        sound = self._over_a_line(self._at_a_level(sound * inside))
        alone = self._alone(noise_alone, samples) * ((places >= QUIET) & (places < samples - QUIET))
        return Noisy(
            torch.cat([sound, alone]),
            torch.cat([dry, torch.zeros_like(alone)]),
            torch.cat([lengths, torch.full((noise_alone,), samples, device=self._device)]),
            (*(self._words[number] for number in numbers), *[""] * noise_alone),
        )

    def _spoken(self, chosen: Tensor) -> tuple[Tensor, Tensor]:
        """The clips, most of them up to a sixth faster and higher or slower and lower, and how long each now is."""
        clips = len(chosen)
        tempo = torch.where(self._chance(clips, 0.7), self._between(clips, 0.87, 1.16), 1.0)
        lengths, starts = self._lengths[chosen], self._starts[chosen]
        spoken = (lengths / tempo).long()
        places = torch.arange(int(spoken.max()), device=self._device) * tempo[:, None]
        low = torch.minimum(places.long(), (lengths - 2)[:, None])
        one, other = (self._speech[starts[:, None] + low + step].float() / SCALE for step in (0, 1))
        inside = torch.arange(places.shape[1], device=self._device) < spoken[:, None]
        return torch.lerp(one, other, (places - low).clamp(0, 1)) * inside, spoken

    def _in_a_room(self, dry: Tensor) -> tuple[Tensor, Tensor]:
        """Half of the clips with a room's echo, all with place for it behind them, and how long each one's is."""
        clips, samples = dry.shape
        chosen = torch.randint(len(self._rooms), (clips,), generator=self._dice, device=self._device)
        echoes = self._chance(clips, 0.5)
        whole = samples + self._rooms.shape[1]
        wet = torch.fft.irfft(
            torch.fft.rfft(dry, n=_easy(whole)) * torch.fft.rfft(self._rooms, n=_easy(whole))[chosen], n=_easy(whole)
        )[:, :whole]
        padded = torch.nn.functional.pad(dry, (0, whole - samples))
        return torch.where(echoes[:, None], wet, padded), torch.where(echoes, self._room_lengths[chosen], 0)

    def _by_a_microphone(self, sound: Tensor) -> Tensor:
        """A tilt of the spectrum, now and then a narrow band or a low cut, as headsets and phones have; effort, which
        lifts what lies above 1 kHz; a dust mask, which dampens above 2 kHz and rings below.
        """
        clips, size = len(sound), _easy(sound.shape[1])
        hertz = torch.fft.rfftfreq(size, 1 / RATE, device=self._device)[None]
        turn = torch.exp(-2j * torch.pi * hertz / RATE)
        above, below = (self._between(clips, -one, one)[:, None] for one in (0.6, 0.3))
        curve = torch.where(self._chance(clips, 0.5)[:, None], ((1 - above * turn) / (1 - below * turn)).abs(), 1.0)
        narrow, low = self._between(clips, 3_200, 5_500)[:, None], self._between(clips, 100, 400)[:, None]
        effort, ring = 10 ** (self._between(clips, 3, 12) / 20)[:, None], self._between(clips, 500, 1_200)[:, None]
        lifted = 1 + (effort - 1) * _above(hertz, torch.full_like(ring, 1_000.0), 1)
        curve = torch.where(self._chance(clips, 0.15)[:, None], curve * lifted, curve)
        mask = _below(hertz, self._between(clips, 1_500, 3_500)[:, None], 1)
        mask = mask * (1 + 0.8 * torch.exp(-(((hertz - ring) / 250) ** 2)))
        curve = torch.where(self._chance(clips, 0.12)[:, None], curve * mask, curve)
        curve = torch.where(self._chance(clips, 0.15)[:, None], curve * _below(hertz, narrow, 6), curve)
        curve = torch.where(self._chance(clips, 0.2)[:, None], curve * _above(hertz, low, 2), curve)
        return torch.fft.irfft(torch.fft.rfft(sound, n=size) * curve, n=size)[:, : sound.shape[1]]

    def _around(self, clips: int, samples: int, quiet: Tensor, *, radio: bool) -> Tensor:
        """One to three kinds of noise for each clip, at unit power; hiss for those that are quiet."""
        drawn = torch.rand(clips, 1 + len(self._machines), generator=self._dice, device=self._device)
        if not radio:
            drawn[:, _RADIO] = 2.0
        kinds = drawn.argsort(1)[:, :_MOST_KINDS]
        count = torch.randint(1, _MOST_KINDS + 1, (clips,), generator=self._dice, device=self._device)
        talk, mixed = self._talk(clips, samples), torch.zeros(clips, samples, device=self._device)
        for place in range(_MOST_KINDS):
            kind = kinds[:, place]
            machine = self._machine((kind - 1).clamp(min=0), samples)
            part = torch.where((kind == _RADIO)[:, None], talk, machine)
            mixed += ((count > place) * self._between(clips, 0.3, 1.0))[:, None] * part
        hiss = torch.randn(clips, samples, generator=self._dice, device=self._device)
        return _unit(torch.where(quiet[:, None], hiss, mixed))

    def _machine(self, kinds: Tensor, samples: int) -> Tensor:
        """A stretch of the work of any machine of each kind."""
        clips = len(kinds)
        numbers = torch.randint(self._machines.shape[1], (clips,), generator=self._dice, device=self._device)
        starts = torch.randint(_RECORDED, (clips,), generator=self._dice, device=self._device)
        places = (starts[:, None] + torch.arange(samples, device=self._device)) % _RECORDED
        return _unit(self._machines[kinds[:, None], numbers[:, None], places].float())

    def _talk(self, clips: int, samples: int) -> Tensor:
        """One to three people through a small loudspeaker."""
        count = torch.randint(1, 4, (clips,), generator=self._dice, device=self._device)
        sound = 0.05 * torch.randn(clips, samples, generator=self._dice, device=self._device)
        for speaker in range(3):
            chosen = torch.randint(len(self._sizes), (clips,), generator=self._dice, device=self._device)
            start = torch.randint(LONGEST, (clips,), generator=self._dice, device=self._device)
            places = (start[:, None] + torch.arange(samples, device=self._device)) % self._lengths[chosen][:, None]
            voice = _unit(self._speech[self._starts[chosen][:, None] + places].float())
            sound += ((count > speaker) * self._between(clips, 0.3, 1.0))[:, None] * voice
        size = _easy(samples)
        hertz = torch.fft.rfftfreq(size, 1 / RATE, device=self._device)[None]
        low, high = self._between(clips, 150, 500)[:, None], self._between(clips, 2_500, 5_500)[:, None]
        band = _above(hertz, low, 2) * _below(hertz, high, 2)
        return _unit(torch.fft.irfft(torch.fft.rfft(sound, n=size) * band, n=size)[:, :samples])

    def _at_a_level(self, sound: Tensor) -> Tensor:
        """Peaks of -0.1 to -22 dB; two in a hundred overdriven."""
        clips = len(sound)
        level = 10 ** (-self._between(clips, 0.1, 22) / 20) / (sound.abs().amax(1) + _TINY)
        sound = sound * level[:, None]
        return torch.where(self._chance(clips, 0.02)[:, None], (3 * sound).clamp(-0.9, 0.9), sound)

    def _over_a_line(self, sound: Tensor) -> Tensor:
        """Some of them as a telephone or a headset's call hands them on: 300 to 3,400 Hz in the 8 bits of a
        logarithmic scale.
        """
        size = _easy(sound.shape[1])
        hertz = torch.fft.rfftfreq(size, 1 / RATE, device=self._device)[None]
        low, high = torch.full_like(hertz[:, :1], 300.0), torch.full_like(hertz[:, :1], 3_400.0)
        band = _above(hertz, low, 3) * _below(hertz, high, 8)
        narrow = torch.fft.irfft(torch.fft.rfft(sound, n=size) * band, n=size)[:, : sound.shape[1]]
        steps = torch.round(narrow.sign() * (1 + _MU * narrow.abs().clamp(max=1)).log() / math.log1p(_MU) * 127) / 127
        handed = steps.sign() * ((1 + _MU) ** steps.abs() - 1) / _MU
        return torch.where(self._chance(len(sound), _LINE_SHARE)[:, None], handed, sound)

    def _alone(self, clips: int, samples: int) -> Tensor:
        """A site on which nobody calls anything, at -10 to -45 dB; without radio talk, which would be words."""
        quiet = torch.zeros(clips, dtype=torch.bool, device=self._device)
        level = 10 ** (-self._between(clips, 10, 45) / 20)
        return (self._around(clips, samples, quiet, radio=False) * level[:, None]).clamp(-1, 1)

    def _between(self, clips: int, low: float, high: float) -> Tensor:
        return low + (high - low) * torch.rand(clips, generator=self._dice, device=self._device)

    def _chance(self, clips: int, share: float) -> Tensor:
        return torch.rand(clips, generator=self._dice, device=self._device) < share


def _recordings(numbers: Sequence[int], seed: int) -> NDArray[np.float16]:
    """(kinds, machines, samples): some seconds of each, of unit power."""

    def recorded(of: tuple[Noise, int]) -> NDArray[np.float16]:
        kind, number = of
        return noise(kind, number, _RECORDED, np.random.default_rng((seed, number))).astype(np.float16)

    wanted = [(kind, number) for kind in _MACHINES for number in numbers]
    with ThreadPoolExecutor() as pool:
        return np.stack(list(pool.map(recorded, wanted))).reshape(len(_MACHINES), len(numbers), _RECORDED)


def _rows(real: Sequence[Wave], numbers: int) -> NDArray[np.float16]:
    """(kinds, `numbers`, samples): the recorded sounds, each repeated to the length of the made ones; of the last ones
    some twice to fill a row.
    """
    rows = -(-len(real) // numbers)
    filled = [np.resize(real[at % len(real)], _RECORDED).astype(np.float16) for at in range(rows * numbers)]
    return (
        np.stack(filled).reshape(rows, numbers, _RECORDED) if filled else np.zeros((0, numbers, _RECORDED), np.float16)
    )


def _shifted(sound: Tensor, before: Tensor, samples: int) -> Tensor:
    """(clips, samples): each sound with so much silence before it."""
    places = torch.arange(samples, device=sound.device) - before[:, None]
    there = (places >= 0) & (places < sound.shape[1])
    return sound.gather(1, places.clamp(0, sound.shape[1] - 1)) * there


def _loudness(sound: Tensor) -> Tensor:
    """The root mean square of each clip's parts that are not silence."""
    loud = sound.abs() > 0.02 * sound.abs().amax(1, keepdim=True)
    return ((sound**2 * loud).sum(1) / loud.sum(1).clamp(min=1)).sqrt()


def _unit(sound: Tensor) -> Tensor:
    return sound / (sound.std(1, correction=0, keepdim=True) + 1e-6)


def _below(hertz: Tensor, corner: Tensor, order: int) -> Tensor:
    """What a Butterworth filter leaves of each frequency above its corner."""
    return (1 + (hertz / corner) ** (2 * order)) ** -0.5


def _above(hertz: Tensor, corner: Tensor, order: int) -> Tensor:
    """What it leaves of each frequency below its corner."""
    return (1 + (corner / hertz.clamp(min=1)) ** (2 * order)) ** -0.5


def _easy(samples: int) -> int:
    """The next multiple of 4,096, for which transforms are fast."""
    return -(-samples // 4_096) * 4_096
