"""The reading ear fitted to one person's voice: a small change of the head's last layer, and where it is kept; and how
near the head is to what should be said, with its gradient.

The change is added to the shipped weights when the head is loaded. It belongs to one head, by its SHA-256, and to the
microphone that it was made with, by its name: with another of either it counts for nothing. Nothing of it leaves this
machine.
"""

from __future__ import annotations

import hashlib
import io
import json
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears import reading_head
from fieldvoice.ears.reading_head.head import FACTS, Matrix, ReadingHead, features, log_softmax
from fieldvoice.files.durable import make
from fieldvoice.records.trouble import Trouble, Wrong

Change = Mapping[str, Matrix]
"""What is added to the weights of that name."""

LAYER = ("words.weight", "words.bias")
STEPS = 20
PULL = 0.1
"""How strongly the weights are held to the shipped ones: half of this times the squared change is added to the loss."""

CHANGE = "change.npz"
STATEMENT = "change.json"


@dataclass(frozen=True, slots=True)
class Personal:
    """What is kept for this person: the change, if there is one that belongs to this head and microphone; else
    why not, where there is one that doesn't.
    """

    change: Change | None = None
    note: Trouble | None = None


AS_SHIPPED = Personal()
"""Nobody's change: for recordings, which may be of anyone."""


def folder() -> Path:
    """Where a person's recordings and change are kept on this platform."""
    from platformdirs import user_data_path

    return user_data_path("fieldvoice", appauthor=False) / "voice"


def applied(head: ReadingHead, change: Change | None) -> ReadingHead:
    """The head with the change added; the same head where there is none."""
    if change is None:
        return head
    return replace(head, weights={**head.weights, **{name: head.weights[name] + change[name] for name in LAYER}})


def fitted(head: ReadingHead, clips: Sequence[tuple[NDArray[np.floating], Sequence[str]]]) -> Change:
    """The change of the last layer that makes these clips, each the encoder's frames and its words, likelier.

    Gradient descent on the mean loss of a clip with a pull to the shipped weights; a step that would make it worse is
    taken half as long. In half precision, as it is kept.
    """
    examples = [
        (features(frames.astype(np.float32), head.weights), [head.labels[word] for word in words])
        for frames, words in clips
    ]
    start = [head.weights[name].astype(np.float64) for name in LAYER]
    now, stride = [array.copy() for array in start], 1e-2
    loss, slope = _objective(now, start, examples)
    for _ in range(STEPS):
        tried = [array - stride * rise for array, rise in zip(now, slope, strict=True)]
        new_loss, new_slope = _objective(tried, start, examples)
        if new_loss < loss:
            now, loss, slope, stride = tried, new_loss, new_slope, 1.5 * stride
        else:
            stride /= 4
    pairs = zip(LAYER, now, start, strict=True)
    return {name: (array - shipped).astype(np.float16).astype(np.float32) for name, array, shipped in pairs}


Arrays = list[NDArray[np.float64]]


def _objective(layer: Arrays, start: Arrays, examples: Sequence[tuple[Matrix, Sequence[int]]]) -> tuple[float, Arrays]:
    """The mean loss of an example with the pull, and its derivative by the weights and the bias."""
    weight, bias = layer
    away = [array - shipped for array, shipped in zip(layer, start, strict=True)]
    loss = 0.5 * PULL * float(sum(np.sum(array**2) for array in away))
    slope = [PULL * array for array in away]
    heard = [log_softmax(frames @ weight.T + bias) for frames, _ in examples]
    found = losses_and_gradients(heard, [labels for _, labels in examples])
    for (frames, _), (one, by_score) in zip(examples, found, strict=True):
        loss += one / len(examples)
        slope[0] += by_score.T @ frames / len(examples)
        slope[1] += by_score.sum(axis=0) / len(examples)
    return loss, slope


def keep(where: Path, change: Change, device: str, facts: Mapping[str, object]) -> None:
    """Writes the change with its SHA-256, that of the head it belongs to, the microphone's name, and what is known of
    it. A change that was kept before is replaced in one step. Raises OSError where it can't be written.
    """
    where.mkdir(parents=True, exist_ok=True)
    file = io.BytesIO()
    arrays: dict[str, Any] = {name: change[name].astype(np.float16) for name in LAYER}
    np.savez_compressed(file, **arrays)
    raw = file.getvalue()
    statement = {"sha256": hashlib.sha256(raw).hexdigest(), "head_sha256": head_sha256(), "device": device, **facts}
    make(where / CHANGE, raw, over=True)
    make(where / STATEMENT, json.dumps(statement, indent=1).encode(), over=True)


def kept(where: Path, device: str | None = None) -> Personal:
    """What is kept there for the shipped head and the microphone of that name, or for any where none is given."""
    if not (where / STATEMENT).exists():
        return Personal()
    try:
        statement = json.loads((where / STATEMENT).read_text(encoding="utf-8"))
        raw = (where / CHANGE).read_bytes()
        whole = hashlib.sha256(raw).hexdigest() == statement["sha256"]
        belongs = statement["head_sha256"] == head_sha256()
        own_device = str(statement["device"]) if belongs else ""
    except (OSError, ValueError, KeyError, TypeError):
        whole, belongs, own_device = False, False, ""
    if not whole:
        return Personal(note=Trouble(Wrong.FITTING_DAMAGED))
    if not belongs:
        return Personal(note=Trouble(Wrong.FITTED_TO_OTHER_EAR))
    if device is not None and own_device.lower() not in device.lower():
        return Personal(note=Trouble(Wrong.FITTED_ON_OTHER_MICROPHONE, fitted_on=own_device, device=device))
    with np.load(io.BytesIO(raw)) as arrays:
        return Personal({name: arrays[name].astype(np.float32) for name in LAYER})


def forget(where: Path) -> bool:
    """Removes everything that is kept there, recordings too; whether there was anything. Raises OSError where it can't
    be removed.
    """
    there = where.exists()
    if there:
        shutil.rmtree(where)
    return there


def unfit(where: Path) -> None:
    """Hears as shipped from the next start on; recordings stay. Raises OSError where the change can't be removed."""
    for name in (STATEMENT, CHANGE):
        (where / name).unlink(missing_ok=True)


def head_sha256() -> str:
    """The SHA-256 of the shipped head's weights, as its own facts tell it."""
    facts = json.loads((Path(reading_head.__file__).parent / FACTS).read_text(encoding="utf-8"))
    return str(facts["sha256"])


Floats = NDArray[np.float64]

Integers = NDArray[np.int64]

BLANK = 0


def losses_and_gradients(
    log_probabilities: Sequence[Floats], labels: Sequence[Sequence[int]]
) -> list[tuple[float, Floats]]:
    """For each utterance the loss, minus the logarithm of the probability of its labels, and the derivative of that by
    each score before the softmax.

    The log probabilities of an utterance are (frames, labels), and so is its derivative. Where the frames are too few
    for the labels the loss is infinite and the derivative zero.
    """
    places = [_places(each) for each in labels]
    emitted = [frames[:, at] for frames, at in zip(log_probabilities, places, strict=True)]
    forward = _swept(emitted, [_jumps(at) for at in places])
    turned = _swept([each[::-1, ::-1] for each in emitted], [_jumps(at[::-1]) for at in places])
    backward = [each[::-1, ::-1] for each in turned]
    return [_one(*each) for each in zip(log_probabilities, places, emitted, forward, backward, strict=True)]


def _one(
    log_probabilities: Floats, places: Integers, emitted: Floats, forward: Floats, backward: Floats
) -> tuple[float, Floats]:
    total = float(np.logaddexp.reduce(forward[-1, -2:]))
    if total == -np.inf:
        return np.inf, np.zeros_like(log_probabilities)
    at_place = np.exp(forward + backward - emitted - total)
    expected = np.zeros_like(log_probabilities)
    np.add.at(expected.T, places, at_place.T)
    return -total, np.exp(log_probabilities) - expected


def _places(labels: Sequence[int]) -> Integers:
    """The labels with a blank before, between and after."""
    places = np.full(2 * len(labels) + 1, BLANK, dtype=np.int64)
    places[1::2] = labels
    return places


def _jumps(places: Integers) -> NDArray[np.bool_]:
    """Which places may follow the one two before them: labels that differ from the label before, without the blank."""
    jumps = np.zeros(len(places), dtype=np.bool_)
    jumps[2:] = (places[2:] != BLANK) & (places[2:] != places[:-2])
    return jumps


def _swept(emitted: Sequence[Floats], jumps: Sequence[NDArray[np.bool_]]) -> list[Floats]:
    """For each utterance, frame and place the logarithm of all ways that lead there, its own emission included. All
    utterances are gone through side by side, since a step for one costs as much as a step for all.
    """
    size = (len(emitted), max(len(each) for each in emitted), max(each.shape[1] for each in emitted))
    padded, may_jump = np.full(size, -np.inf), np.zeros((size[0], size[2]), dtype=np.bool_)
    for number, (each, jump) in enumerate(zip(emitted, jumps, strict=True)):
        padded[number, : each.shape[0], : each.shape[1]] = each
        may_jump[number, : len(jump)] = jump
    ways = np.full(size, -np.inf)
    ways[:, 0, :2] = padded[:, 0, :2]
    for frame in range(1, size[1]):
        before = ways[:, frame - 1]
        here = before.copy()
        here[:, 1:] = np.logaddexp(here[:, 1:], before[:, :-1])
        here[:, 2:] = np.logaddexp(here[:, 2:], np.where(may_jump[:, 2:], before[:, :-2], -np.inf))
        ways[:, frame] = here + padded[:, frame]
    return [ways[number, : each.shape[0], : each.shape[1]] for number, each in enumerate(emitted)]
