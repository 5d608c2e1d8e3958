"""Kaldi's binary files as far as a Vosk model needs them: the transition model and the nnet3 network in `final.mdl`."""

from __future__ import annotations

import math
import struct
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating]


@dataclass(slots=True)
class Writer:
    """Appends tokens, numbers, vectors and matrices in Kaldi's binary form."""

    made: bytearray = field(default_factory=lambda: bytearray(b"\0B"))

    def tokens(self, *names: str) -> None:
        """Each name with a space after it."""
        self.made += "".join(f"{name} " for name in names).encode()

    def text(self, lines: str) -> None:
        """Plain text."""
        self.made += lines.encode()

    def integers(self, *values: int) -> None:
        """Each with its size before it."""
        for value in values:
            self.made += b"\4" + struct.pack("<i", value)

    def real(self, value: float) -> None:
        """In single precision."""
        self.made += b"\4" + struct.pack("<f", value)

    def double(self, value: float) -> None:
        """In double precision."""
        self.made += b"\x08" + struct.pack("<d", value)

    def integer_vector(self, values: Sequence[int]) -> None:
        """Count and values."""
        self.integers(len(values))
        self.made += np.asarray(values, "<i4").tobytes()

    def vector(self, values: Array | Sequence[float]) -> None:
        """In single precision."""
        self.tokens("FV")
        self.integers(len(values))
        self.made += np.asarray(values, "<f4").tobytes()

    def matrix(self, values: Array) -> None:
        """(rows, columns) in single precision."""
        self.tokens("FM")
        self.integers(*values.shape)
        self.made += np.ascontiguousarray(values, "<f4").tobytes()


def entering(phone: int) -> int:
    """The transition that leaves a phone's only state, after its one frame of entering it; phones count from 1."""
    return 2 * phone


def staying(phone: int) -> int:
    """The transition from a phone's only state to itself."""
    return 2 * phone - 1


def write_transitions(to: Writer, classes: Sequence[int]) -> None:
    """Phones 1, 2, …, of one state each, in which phone p has scores 2c and 2c + 1 for its class c = `classes[p - 1]`.

    Kaldi numbers transitions by their place in a state; the one to itself is given first.
    """
    phones = range(1, len(classes) + 1)
    to.tokens("<TransitionModel>", "<Topology>")
    to.integer_vector(list(phones))
    to.integer_vector([-1, *(0 for _ in phones)])
    # Entering and staying have scores of their own, which is what -1 announces; one shape for all; two states in it.
    to.integers(-1, 1, 2)
    to.integers(0, 1, 2)
    for target in (0, 1):
        to.integers(target)
        to.real(0.5)
    to.integers(-1, -1, 0)
    to.tokens("</Topology>", "<Tuples>")
    to.integers(len(classes))
    for phone, number in zip(phones, classes, strict=True):
        to.integers(phone, 0, 2 * number, 2 * number + 1)
    to.tokens("</Tuples>", "<LogProbs>")
    to.vector([0.0, *(math.log(0.5) for _ in range(2 * len(classes)))])
    to.tokens("</LogProbs>", "</TransitionModel>")


@dataclass(frozen=True, slots=True)
class Affine:
    """`weight` (out, in * offsets) on the input's frames at these offsets, side by side; then a rectifier, or none."""

    name: str
    source: str
    offsets: tuple[int, ...]
    weight: Array
    bias: Array
    rectified: bool = False


@dataclass(frozen=True, slots=True)
class Sum:
    """`share` of one layer plus another."""

    name: str
    share: float
    one: str
    other: str
    width: int


Layer = Affine | Sum


def write_network(to: Writer, layers: Sequence[Layer], inputs: int, context: int) -> None:
    """An nnet3 network from `input` to `output`, which is the last layer; `context` input frames on either side.

    A layer is found by its name, with what is rectified after its rectifier.
    """
    components = [part for layer in layers for part in _components(layer)]
    to.tokens("<Nnet3>")
    lines = [f"input-node name=input dim={inputs}"]
    lines += [f"component-node name={name} component={name} input={source}" for name, source, _ in components]
    lines += [f"output-node name=output input={layers[-1].name} objective=linear"]
    to.text("\n" + "\n".join(lines) + "\n\n")
    to.tokens("<NumComponents>")
    to.integers(len(components))
    for name, _, body in components:
        to.tokens("<ComponentName>", name)
        to.made += body
    to.tokens("</Nnet3>", "<LeftContext>")
    to.integers(context)
    to.tokens("<RightContext>")
    to.integers(context)
    to.tokens("<Priors>")
    to.vector([])


def _components(layer: Layer) -> list[tuple[str, str, bytes]]:
    """Name, descriptor of the input, and the component itself."""
    if isinstance(layer, Sum):
        return [(layer.name, f"Sum(Scale({layer.share}, {layer.one}), {layer.other})", _no_op(layer.width))]
    frames = [layer.source if offset == 0 else f"Offset({layer.source}, {offset})" for offset in layer.offsets]
    source = frames[0] if len(frames) == 1 else f"Append({', '.join(frames)})"
    if not layer.rectified:
        return [(layer.name, source, _affine(layer))]
    inner = f"{layer.name}.affine"
    return [(inner, source, _affine(layer)), (layer.name, inner, _rectifier(len(layer.bias)))]


def _affine(layer: Affine) -> bytes:
    body = Writer(bytearray())
    body.tokens("<FixedAffineComponent>", "<LinearParams>")
    body.matrix(layer.weight)
    body.tokens("<BiasParams>")
    body.vector(layer.bias)
    body.tokens("</FixedAffineComponent>")
    return bytes(body.made)


def _rectifier(width: int) -> bytes:
    body = Writer(bytearray())
    body.tokens("<RectifiedLinearComponent>", "<Dim>")
    body.integers(width)
    for name in ("<ValueAvg>", "<DerivAvg>"):
        body.tokens(name)
        body.vector([])
    body.tokens("<Count>")
    body.double(0.0)
    body.tokens("</RectifiedLinearComponent>")
    return bytes(body.made)


def _no_op(width: int) -> bytes:
    body = Writer(bytearray())
    body.tokens("<NoOpComponent>", "<Dim>")
    body.integers(width)
    body.tokens("<BackpropScale>")
    body.real(1.0)
    body.tokens("</NoOpComponent>")
    return bytes(body.made)
