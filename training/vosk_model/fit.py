"""Fit the network to a stream of noisy clips."""

from __future__ import annotations

import json
import math
import random
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from queue import Empty, Queue
from typing import Any, TextIO

import torch
from torch import Tensor

from training.site import Noisy
from training.vosk_model.denominator import Denominator, denominator
from training.vosk_model.distort import Features, distorted, hidden
from training.vosk_model.features import LogMel, frames_of
from training.vosk_model.lexicon import Lexicon
from training.vosk_model.net import Net, outputs_of
from training.vosk_model.numerators import Numerators, graph
from training.vosk_model.objective import objective

READY_BATCHES, FEWEST_KEPT, KEPT_BATCHES = 6, 20, 200
"""Batches mixed ahead, and those kept to be trained on again, a few megabytes each, once there are some."""

SCORES_DECAY = 5e-4


@dataclass(frozen=True, slots=True)
class Plan:
    """The network's size, for how many seconds it is trained and how fast."""

    seconds: float
    width: int = 512
    neck: int = 112
    depth: int = 11
    rate: float = 2e-3
    decay: float = 1e-3


@dataclass(frozen=True, slots=True)
class Batch:
    """Features of clips, the number of each one's text, and whether they come for the first time."""

    features: Features
    texts: Tensor
    fresh: bool = False


class Texts:
    """Every text of the corpus that can be spelled, and nothing said, by number."""

    def __init__(self, texts: Sequence[str], lexicon: Lexicon, device: str) -> None:
        spelled = {text: lexicon.spell(text) for text in ("", *texts)}
        self._known = {text: ways for text, ways in spelled.items() if ways is not None}
        self._number = {text: number for number, text in enumerate(self._known)}
        self._all = Numerators.of([graph(ways) for ways in self._known.values()], device)
        self._phones, self._device = len(lexicon.phones), device

    def numbers(self, texts: Sequence[str]) -> list[int | None]:
        """Each text's number; None where a word of it can't be spelled."""
        return [self._number.get(text) for text in texts]

    def numerators(self, numbers: Tensor) -> Numerators:
        """Their graphs."""
        return self._all.select(numbers)

    def denominator(self, seed: int) -> Denominator:
        """What might be said, learnt from all of the texts."""
        dice = random.Random(seed)  # noqa: S311 - drawing pronunciations
        return denominator(list(self._known.values()), self._phones, dice).to(self._device)


def fit(
    stream: Iterator[Noisy], texts: Sequence[str], lexicon: Lexicon, plan: Plan, device: str, log: TextIO, seed: int = 1
) -> Net:
    """The fitted network. `texts` are all that may come in the stream. A line of JSON to `log` every 100 steps."""
    torch.manual_seed(seed)
    known, mel = Texts(texts, lexicon, device), LogMel().to(device)
    possible = known.denominator(seed)
    net = Net(len(lexicon.phones), plan.width, plan.neck, plan.depth).to(device)
    optimizer = torch.optim.AdamW(net.parameters(), lr=plan.rate, weight_decay=plan.decay, betas=(0.9, 0.98))
    meter = Meter(log, plan, sum(value.numel() for value in net.parameters()))
    for step, batch in enumerate(_batches(stream, known, mel, device, seed)):
        if step == 0:
            _measure(net, batch.features)
        if meter.done >= 1:
            break
        rate = plan.rate * min(1, (step + 1) / 200) * (0.5 + 0.5 * math.cos(math.pi * meter.done)) + 1e-5
        optimizer.param_groups[0]["lr"] = rate
        meter.count(batch, *_step(net, optimizer, batch, known.numerators(batch.texts), possible))
    meter.say()
    return net.eval()


def _step(
    net: Net, optimizer: torch.optim.Optimizer, batch: Batch, said: Numerators, possible: Denominator
) -> tuple[Tensor, Tensor]:
    """The sum of the clips' objectives, and their output frames."""
    other = distorted(batch.features)
    scores = net(hidden(net.normal(other.mel), other.frames), other.frames)
    frames = outputs_of(other.frames)
    gained = objective(scores, frames, said, possible).sum()
    loss = -gained / frames.sum() + SCORES_DECAY * (scores**2).mean()
    optimizer.zero_grad(set_to_none=True)
    loss.backward()
    torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
    optimizer.step()
    return gained.detach(), frames.sum()


def _batches(stream: Iterator[Noisy], texts: Texts, mel: LogMel, device: str, seed: int) -> Iterator[Batch]:
    """Each batch as it comes; while none is ready, one of those kept, so that the device never waits."""
    dice = random.Random(seed)  # noqa: S311 - shuffling
    ready, kept = _ahead(stream), list[Batch]()
    while True:
        try:
            noisy = ready.get(block=len(kept) < FEWEST_KEPT)
        except Empty:
            yield dice.choice(kept)
            continue
        if isinstance(noisy, BaseException):
            raise noisy
        batch = _batch(noisy, texts, mel, device)
        if len(kept) < KEPT_BATCHES:
            kept.append(batch)
        else:
            kept[dice.randrange(KEPT_BATCHES)] = batch
        yield replace(batch, fresh=True)


def _ahead(stream: Iterator[Noisy]) -> Queue[Noisy | BaseException]:
    """What a thread takes from the stream beforehand, and what went wrong with it; the thread ends with the process."""
    ready: Queue[Noisy | BaseException] = Queue(READY_BATCHES)

    def fill() -> None:
        try:
            for noisy in stream:
                ready.put(noisy)
            ready.put(EOFError("The stream of clips has an end."))
        except BaseException as error:  # noqa: BLE001 - it is raised where the batches are awaited
            ready.put(error)

    threading.Thread(target=fill, daemon=True).start()
    return ready


def _batch(noisy: Noisy, texts: Texts, mel: LogMel, device: str) -> Batch:
    """Its clips whose words can be spelled; noise alone always can."""
    numbers = texts.numbers(noisy.words)
    kept = [row for row, number in enumerate(numbers) if number is not None]
    sound = (noisy.sound[kept].to(device) * 32_768).round()
    frames = frames_of(noisy.lengths[kept].to(device))
    chosen = torch.tensor([number for number in numbers if number is not None], device=device)
    return Batch(Features(mel(sound), frames), chosen)


def _measure(net: Net, features: Features) -> None:
    inside = torch.arange(features.mel.shape[1], device=features.mel.device) < features.frames[:, None]
    real = features.mel[inside]
    net.mean.copy_(real.mean(0))
    net.deviation.copy_(real.std(0))


class Meter:
    """Time, clips and objective so far, told every 100 steps."""

    def __init__(self, log: TextIO, plan: Plan, parameters: int) -> None:
        self._log, self._plan = log, plan
        self._start = time.monotonic()
        self._steps = self._clips = self._fresh = 0
        self._gained: list[Tensor] = []
        self._frames: list[Tensor] = []
        self._write({**asdict(plan), "parameters": parameters})

    @property
    def done(self) -> float:
        """The share of the time that is over."""
        return (time.monotonic() - self._start) / self._plan.seconds

    def count(self, batch: Batch, gained: Tensor, frames: Tensor) -> None:
        """A step more."""
        self._steps += 1
        self._clips += len(batch.texts)
        self._fresh += len(batch.texts) if batch.fresh else 0
        self._gained.append(gained)
        self._frames.append(frames)
        if self._steps % 100 == 0:
            self.say()

    def say(self) -> None:
        """The objective an output frame since the last time; steps, clips, those not seen before and seconds so far."""
        frames = float(sum(map(float, self._frames)))
        gained = float(sum(map(float, self._gained)))
        seconds = time.monotonic() - self._start
        objective_a_frame = round(gained / frames, 5) if frames else None
        self._write(
            {"steps": self._steps, "clips": self._clips, "objective": objective_a_frame, "seconds": round(seconds, 1)}
        )
        self._gained, self._frames = [], []

    def _write(self, line: dict[str, Any]) -> None:
        print(json.dumps(line), file=self._log, flush=True)
