"""An ONNX graph run node by node in torch, on any device: on a GPU a neural voice speaks many times faster.

Only the operators that Kokoro's graph has, so far as it uses them; another one is a KeyError with its name. Integers
that come of shapes stay on the CPU, where reading them costs nothing; bytes of quantized layers are kept as floats,
which hold them exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional as nn

Values = Sequence[Any]
_DTYPES = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool}


@dataclass(frozen=True, slots=True)
class _Node:
    operator: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    attributes: Mapping[str, Any]
    forgets: tuple[str, ...]


class Graph:
    """A graph ready to be called with its inputs by name; gives its first output."""

    def __init__(self, model: bytes, device: str) -> None:
        import onnx

        graph = onnx.load_model_from_string(model).graph
        self._device = device
        self._constants = {one.name: self._constant(onnx.numpy_helper.to_array(one)) for one in graph.initializer}
        self._output = graph.output[0].name
        last = {name: number for number, node in enumerate(graph.node) for name in node.input}
        self._nodes = [
            _Node(
                node.op_type,
                tuple(node.input),
                tuple(node.output),
                {one.name: onnx.helper.get_attribute_value(one) for one in node.attribute},
                tuple({n for n in node.input if n and last[n] == number and n not in self._constants}),
            )
            for number, node in enumerate(graph.node)
        ]
        self._lstms: dict[str, torch.nn.LSTM] = {}

    def _constant(self, array: np.ndarray[Any, Any]) -> Tensor:
        found = torch.from_numpy(np.array(array))
        if found.dtype in (torch.int64, torch.int32, torch.bool):
            return found
        return found.float().to(self._device)

    @torch.inference_mode()
    def __call__(self, **inputs: Tensor) -> Tensor:
        """The first output for these inputs."""
        known: dict[str, Any] = {**self._constants, **{name: one.to(self._device) for name, one in inputs.items()}}
        for node in self._nodes:
            given = [known[name] if name else None for name in node.inputs]
            if node.operator == "DynamicQuantizeLSTM":
                results: Any = self._recurrent(node, given)
            else:
                results = _OPERATORS[node.operator](self._same_device(given), node.attributes)
            several = results if isinstance(results, tuple) else (results,)
            known.update(zip(node.outputs, several, strict=False))
            for name in node.forgets:
                del known[name]
        found: Tensor = known[self._output]
        return found

    def _same_device(self, given: list[Any]) -> list[Any]:
        """Where floats are on the GPU, what is to be computed with them comes there too; shapes and places don't."""
        if all(one is None or one.device.type == "cpu" for one in given) or self._device == "cpu":
            return given
        return [
            one.to(self._device) if one is not None and one.ndim and one.is_floating_point() else one for one in given
        ]

    def _recurrent(self, node: _Node, given: Values) -> tuple[Tensor, ...]:
        name = node.inputs[1]
        if name not in self._lstms:
            self._lstms[name] = _lstm(given, int(node.attributes["hidden_size"])).to(self._device)
        spoken, (hidden, cell) = self._lstms[name](given[0].to(self._device))
        frames, clips, _ = spoken.shape
        return spoken.view(frames, clips, 2, -1).transpose(1, 2), hidden, cell


def _lstm(given: Values, width: int) -> torch.nn.LSTM:
    """Both directions, from quantized weights (directions, inputs, 4 × width) in ONNX's order of gates i, o, f, c."""
    _, w, r, bias, _, _, _, _, w_scale, w_zero, r_scale, r_zero = given
    found = torch.nn.LSTM(w.shape[1], width, bidirectional=True)
    order = torch.cat([torch.arange(width) + gate * width for gate in (0, 2, 3, 1)])
    with torch.no_grad():
        for direction, suffix in enumerate(("", "_reverse")):
            into = ((w[direction] - w_zero[direction]) * w_scale[direction]).T.cpu()
            back = ((r[direction] - r_zero[direction]) * r_scale[direction]).T.cpu()
            first, second = bias[direction].cpu().split(4 * width)
            for part, value in (("weight_ih", into), ("weight_hh", back), ("bias_ih", first), ("bias_hh", second)):
                getattr(found, f"{part}_l0{suffix}").copy_(value[order])
    return found


def _ints(given: Tensor) -> list[int]:
    return [int(one) for one in given.tolist()]


def _quantized(x: Tensor) -> tuple[Tensor, Tensor, Tensor]:
    low, high = x.amin().clamp(max=0), x.amax().clamp(min=0)
    scale = ((high - low) / 255).clamp(min=1e-30)
    zero = torch.round(-low / scale).clamp(0, 255)
    return torch.round(x / scale).add(zero).clamp(0, 255), scale, zero


def _convolved(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, weight, *bias = given
    pads = has["pads"]
    x = nn.pad(x, (pads[0], pads[1]))
    return nn.conv1d(x, weight, *bias, stride=has["strides"], dilation=has["dilations"], groups=has["group"])


def _integers_convolved(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, weight, x_zero, w_zero = given
    return _convolved([x - x_zero, weight - w_zero.reshape(-1, 1, 1)], has)


def _spread(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, weight, *bias = given
    return nn.conv_transpose1d(
        x,
        weight,
        *bias,
        stride=has["strides"],
        padding=has["pads"][0],
        output_padding=has.get("output_padding", 0),
        groups=has["group"],
    )


def _gathered(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, places = given
    axis = has["axis"] % x.ndim
    if places.ndim == 0:
        return x.select(axis, int(places))
    found = x.index_select(axis, places.reshape(-1).to(x.device))
    return found.reshape(*x.shape[:axis], *places.shape, *x.shape[axis + 1 :])


def _sliced(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, starts, ends, *more = given
    axes = _ints(more[0]) if more else list(range(len(starts)))
    steps = _ints(more[1]) if len(more) > 1 else [1] * len(axes)
    parts = [slice(None)] * x.ndim
    for axis, start, end, step in zip(axes, _ints(starts), _ints(ends), steps, strict=True):
        if step < 0:
            x = x.flip(axis)
            parts[axis] = slice(_mirrored(x.shape[axis], start, end), None, -step)
        else:
            parts[axis] = slice(start, end, step)
    return x[tuple(parts)]


def _mirrored(size: int, start: int, end: int) -> int:
    """Where a slice that runs backwards to the very beginning starts in the turned tensor."""
    if end > -size:
        raise NotImplementedError
    return size - 1 - min(start % size if start < 0 else start, size - 1)


def _reshaped(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, shape = given
    return x.reshape([x.shape[place] if size == 0 else size for place, size in enumerate(_ints(shape))])


def _unsqueezed(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, axes = given
    axes = _ints(axes.reshape(-1))
    for axis in sorted(one % (x.ndim + len(axes)) for one in axes):
        x = x.unsqueeze(axis)
    return x


def _squeezed(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, axes = given
    return x.squeeze(tuple(_ints(axes.reshape(-1))))


def _resized(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, _, scales = given
    scale = float(scales[-1])
    if has["mode"] == b"nearest":
        return nn.interpolate(x, scale_factor=scale, mode="nearest")
    return nn.interpolate(x, scale_factor=scale, mode="linear", align_corners=False, recompute_scale_factor=False)


def _padded(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, pads = given
    sizes = _ints(pads)
    return nn.pad(x, (sizes[x.ndim - 1], sizes[-1]), mode="reflect")


def _spectrum(given: Values, _: Mapping[str, Any]) -> Tensor:
    signal, step, window, length = given
    frames = signal.reshape(signal.shape[0], -1).unfold(-1, int(length), int(step))
    return torch.view_as_real(torch.fft.rfft(frames * window))


def _scattered(given: Values, _: Mapping[str, Any]) -> Tensor:
    x, places, values = given
    found = x.clone()
    found[tuple(places.to(x.device).unbind(-1))] = values.to(x.device)
    return found


def _normed(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, gamma, beta = given
    return nn.layer_norm(x, x.shape[-1:], gamma, beta, has["epsilon"])


def _added_and_normed(given: Values, has: Mapping[str, Any]) -> Tensor:
    x, skipped, gamma, beta = given
    return _normed([x + skipped, gamma, beta], has)


def _on_one_device(given: Values) -> Values:
    """All where the first of them is that isn't on the CPU, or on the CPU with all of them."""
    device = next((one.device for one in given if one.device.type != "cpu"), given[0].device)
    return [one.to(device) for one in given]


def _two(compute: Callable[[Any, Any], Any]) -> Callable[[Values, Mapping[str, Any]], Any]:
    def found(given: Values, _: Mapping[str, Any]) -> Any:
        return compute(*_on_one_device(given))

    return found


def _divided(x: Tensor, y: Tensor) -> Tensor:
    """Nothing over nothing is 0: the angle of a silent bin."""
    return torch.nan_to_num(x / y, nan=0.0) if x.is_floating_point() else x // y


def _one(compute: Callable[[Any], Any]) -> Callable[[Values, Mapping[str, Any]], Any]:
    return lambda given, _: compute(given[0])


def _chosen(given: Values, _: Mapping[str, Any]) -> Tensor:
    return torch.where(*_on_one_device(given))


def _joined(given: Values, has: Mapping[str, Any]) -> Tensor:
    return torch.cat(_on_one_device(given), has["axis"])


_OPERATORS: Mapping[str, Callable[[Values, Mapping[str, Any]], Any]] = {
    "Add": _two(torch.add),
    "Sub": _two(torch.sub),
    "Mul": _two(torch.mul),
    "Div": _two(_divided),
    "Pow": _two(torch.pow),
    "And": _two(torch.logical_and),
    "Equal": _two(torch.eq),
    "Greater": _two(torch.gt),
    "GreaterOrEqual": _two(torch.ge),
    "Less": _two(torch.lt),
    "MatMul": _two(torch.matmul),
    "FusedMatMul": _two(lambda a, b: a.transpose(-1, -2) @ b),
    "Atan": _one(torch.atan),
    "Cos": _one(torch.cos),
    "Sin": _one(torch.sin),
    "Exp": _one(torch.exp),
    "Floor": _one(torch.floor),
    "Round": _one(torch.round),
    "Sigmoid": _one(torch.sigmoid),
    "Sqrt": _one(torch.sqrt),
    "Tanh": _one(torch.tanh),
    "NonZero": _one(lambda x: x.nonzero().T),
    "Shape": _one(lambda x: torch.tensor(x.shape)),
    "DynamicQuantizeLinear": _one(_quantized),
    "DequantizeLinear": lambda given, _: (given[0] - given[2]) * given[1],
    "MatMulInteger": lambda given, _: (given[0] - given[2]) @ (given[1] - given[3]),
    "ConvInteger": _integers_convolved,
    "Conv": _convolved,
    "ConvTranspose": _spread,
    "Cast": lambda given, has: given[0].to(_DTYPES[has["to"]]),
    "Clip": lambda given, _: given[0].clamp(min=given[1]),
    "Concat": _joined,
    "ConstantOfShape": lambda given, has: torch.full(_ints(given[0]), _filling(has)),
    "CumSum": lambda given, _: given[0].cumsum(int(given[1])),
    "Expand": lambda given, _: given[0].expand(torch.broadcast_shapes(given[0].shape, tuple(_ints(given[1])))),
    "FastGelu": lambda given, _: nn.gelu(given[0] + given[1], approximate="tanh"),
    "Gather": _gathered,
    "LayerNormalization": _normed,
    "LeakyRelu": lambda given, has: nn.leaky_relu(given[0], has["alpha"]),
    "Pad": _padded,
    "Range": lambda given, _: torch.arange(*(one.item() for one in given)),
    "ReduceMean": lambda given, _: given[0].mean(_ints(given[1]), keepdim=True),
    "ReduceSum": lambda given, _: given[0].sum(_ints(given[1])),
    "Reshape": _reshaped,
    "Resize": _resized,
    "STFT": _spectrum,
    "ScatterND": _scattered,
    "SkipLayerNormalization": _added_and_normed,
    "Slice": _sliced,
    "Softmax": lambda given, _: given[0].softmax(-1),
    "Split": lambda given, has: tuple(given[0].split(_ints(given[1]), has["axis"])),
    "Squeeze": _squeezed,
    "Transpose": lambda given, has: given[0].permute(has["perm"]),
    "Unsqueeze": _unsqueezed,
    "Where": _chosen,
}


def _filling(has: Mapping[str, Any]) -> float:
    import onnx

    return float(onnx.numpy_helper.to_array(has["value"]).item())
