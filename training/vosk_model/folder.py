"""Write the model folder that Vosk loads."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from torch import Tensor

from training.vosk_model.features import BANDS, OPTIONS, mfcc_matrix
from training.vosk_model.graphs import (
    Costs,
    any_words,
    classes_of,
    phones_to_words,
    placed_phones,
    word_boundaries,
    words_of,
)
from training.vosk_model.kaldi_files import Affine, Array, Layer, Sum, Writer, write_network, write_transitions
from training.vosk_model.lexicon import Lexicon
from training.vosk_model.net import FIRST_KERNEL, KEPT, SUBSAMPLING, Net

DECODING = (
    "--min-active=200",
    "--max-active=3000",
    "--beam=13.0",
    "--lattice-beam=6.0",
    "--acoustic-scale=1.0",
    f"--frame-subsampling-factor={SUBSAMPLING}",
    "--endpoint.silence-phones=1",
    # Where an utterance ends is told from outside; these only keep a stream that nobody ends within bounds.
    "--endpoint.rule2.min-trailing-silence=2.0",
    "--endpoint.rule3.min-trailing-silence=2.0",
    "--endpoint.rule4.min-trailing-silence=2.0",
)


def write_folder(folder: Path, net: Net, lexicon: Lexicon, costs: Costs) -> None:
    """The network, its configuration and the graphs, in Kaldi's formats and Vosk's places."""
    to = Writer()
    write_transitions(to, classes_of(lexicon))
    write_network(to, layers(net), BANDS, net.context)
    for name, body in {
        "am/final.mdl": bytes(to.made),
        "conf/mfcc.conf": _lines(OPTIONS),
        "conf/model.conf": _lines(DECODING),
        "graph/HCLr.fst": phones_to_words(lexicon, costs).binary(),
        "graph/Gr.fst": any_words(lexicon).binary(),
        "graph/words.txt": _numbered(words_of(lexicon)),
        "graph/phones.txt": _numbered(placed_phones(lexicon)),
        "graph/phones/word_boundary.int": _lines(word_boundaries(lexicon)),
        # The first number that is no transition: nothing has to be taken out of these graphs.
        "graph/disambig_tid.int": _lines([str(2 * len(classes_of(lexicon)) + 1)]),
    }.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(body)


def _lines(lines: Sequence[str]) -> bytes:
    return "".join(f"{line}\n" for line in lines).encode()


def _numbered(names: Sequence[str]) -> bytes:
    return _lines([f"{name} {number}" for number, name in enumerate(names)])


def layers(net: Net) -> list[Layer]:
    """The network as nnet3 layers on MFCCs, its normalizations folded into the weights."""
    undone = np.linalg.inv(mfcc_matrix())
    mean, deviation = _array(net.mean), _array(net.deviation)
    kernel, bias = _folded(net.first.weight, net.norm)
    bias -= np.einsum("oik,i->o", kernel, mean / deviation)
    kernel = np.einsum("oik,i,ij->ojk", kernel, 1 / deviation, undone)
    half = FIRST_KERNEL // 2
    made: list[Layer] = [
        Affine("first", "input", tuple(range(-half, half + 1)), _side_by_side(kernel), bias, rectified=True)
    ]
    stream, step = "first", SUBSAMPLING
    for number, block in enumerate(net.blocks, start=1):
        narrow, widen, total = f"narrow{number}", f"widen{number}", f"stream{number}"
        neck = _array(block.narrow.weight)
        made.append(Affine(narrow, stream, (-step, 0), _side_by_side(neck), np.zeros(len(neck))))
        kernel, bias = _folded(block.widen.weight, block.norm)
        made.append(Affine(widen, narrow, (0, step), _side_by_side(kernel), bias, rectified=True))
        made.append(Sum(total, KEPT, stream, widen, len(bias)))
        stream = total
    made.append(Affine("scores", stream, (0,), _side_by_side(_array(net.output.weight)), _array(net.output.bias)))
    return made


def _array(values: Tensor) -> Array:
    return values.detach().cpu().double().numpy()


def _folded(weight: Tensor, norm: object) -> tuple[Array, Array]:
    """A convolution without bias and the batch normalization after it, as one kernel (out, in, frames) and bias."""
    from torch.nn import BatchNorm1d

    assert isinstance(norm, BatchNorm1d)
    assert norm.running_mean is not None
    assert norm.running_var is not None
    scale = _array(norm.weight) / np.sqrt(_array(norm.running_var) + norm.eps)
    return _array(weight) * scale[:, None, None], _array(norm.bias) - _array(norm.running_mean) * scale


def _side_by_side(kernel: Array) -> Array:
    """(out, in, frames) to (out, frames * in)."""
    return kernel.transpose(0, 2, 1).reshape(len(kernel), -1)
