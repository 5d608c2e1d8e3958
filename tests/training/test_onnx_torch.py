"""Each operator computed in torch is what the reference runtime computes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

torch = pytest.importorskip("torch")
onnx = pytest.importorskip("onnx")
onnxruntime = pytest.importorskip("onnxruntime")

from onnx import TensorProto, helper, numpy_helper  # noqa: E402

from training.onnx_torch import Graph  # noqa: E402

DICE = np.random.default_rng(5)
X = DICE.standard_normal((2, 3, 8)).astype(np.float32)


def model(nodes: list[Any], constants: dict[str, np.ndarray]) -> bytes:
    """A graph from `x`, (2, 3, 8) floats, to `y`."""
    graph = helper.make_graph(
        nodes,
        "one",
        [helper.make_tensor_value_info("x", TensorProto.FLOAT, X.shape)],
        [helper.make_tensor_value_info("y", TensorProto.FLOAT, None)],
        [numpy_helper.from_array(value, name) for name, value in constants.items()],
    )
    sets = [helper.make_opsetid("", 18), helper.make_opsetid("com.microsoft", 1)]
    return bytes(helper.make_model(graph, opset_imports=sets, ir_version=8).SerializeToString())


def node(operator: str, *inputs: str, **attributes: Any) -> Any:
    """One node from `x` and constants to `y`."""
    domain = "com.microsoft" if operator in ("FastGelu", "SkipLayerNormalization", "DynamicQuantizeLSTM") else ""
    return helper.make_node(operator, ["x", *inputs], ["y"], domain=domain, **attributes)


def ints(*values: int) -> np.ndarray:
    """Whole numbers."""
    return np.array(values, dtype=np.int64)


def floats(*shape: int) -> np.ndarray:
    """Drawn numbers."""
    return DICE.standard_normal(shape).astype(np.float32)


CASES: dict[str, tuple[list[Any], dict[str, np.ndarray]]] = {
    "gather one": ([node("Gather", "i", axis=1)], {"i": np.array(2)}),
    "gather several": ([node("Gather", "i", axis=2)], {"i": np.array([[1, 5], [0, 7]])}),
    "slice": ([node("Slice", "s", "e", "a", "t")], {"s": ints(1), "e": ints(7), "a": ints(2), "t": ints(2)}),
    "slice backwards": (
        [node("Slice", "s", "e", "a", "t")],
        {"s": ints(-1), "e": ints(-(2**63)), "a": ints(2), "t": ints(-1)},
    ),
    "reshape": ([node("Reshape", "s")], {"s": ints(0, -1)}),
    "unsqueeze": ([node("Unsqueeze", "a")], {"a": ints(0, 3)}),
    "resize to the nearest": (
        [node("Resize", "", "s", mode="nearest", nearest_mode="floor", coordinate_transformation_mode="asymmetric")],
        {"s": np.array([1, 1, 3], np.float32)},
    ),
    "resize on a line": ([node("Resize", "", "s", mode="linear")], {"s": np.array([1, 1, 2.5], np.float32)}),
    "pad": ([node("Pad", "p", mode="reflect")], {"p": ints(0, 0, 2, 0, 0, 1)}),
    "convolve": (
        [node("Conv", "w", "b", pads=[2, 2], dilations=[2], strides=[1], group=1, kernel_shape=[3])],
        {"w": floats(5, 3, 3), "b": floats(5)},
    ),
    "spread": (
        [
            node(
                "ConvTranspose", "w", pads=[1, 1], strides=[2], dilations=[1], output_padding=[1], group=3,
                kernel_shape=[3],
            )
        ],
        {"w": floats(3, 1, 3)},
    ),
    "norm": ([node("LayerNormalization", "g", "b", axis=-1, epsilon=1e-5)], {"g": floats(8), "b": floats(8)}),
    "add and norm": (
        [node("SkipLayerNormalization", "k", "g", "b", epsilon=1e-5)],
        {"k": floats(2, 3, 8), "g": floats(8), "b": floats(8)},
    ),
    "gelu": ([node("FastGelu", "b")], {"b": floats(8)}),
    "running sum": ([node("CumSum", "a")], {"a": np.array(1)}),
    "mean": ([node("ReduceMean", "a", keepdims=1)], {"a": ints(-1)}),
    "expand": (
        [node("Unsqueeze", "a"), helper.make_node("Expand", ["y", "s"], ["z"])],
        {"a": ints(0), "s": ints(4, 1, 1, 1)},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_an_operator_agrees(name: str) -> None:
    """As onnxruntime computes it."""
    nodes, constants = CASES[name]
    if nodes[-1].output[0] == "z":
        nodes[0].output[0], nodes[-1].input[0], nodes[-1].output[0] = "between", "between", "y"
    raw = model(nodes, constants)
    expected = onnxruntime.InferenceSession(raw, providers=["CPUExecutionProvider"]).run(None, {"x": X})[0]
    found = Graph(raw, "cpu")(x=torch.from_numpy(X)).numpy()
    assert found.shape == expected.shape
    np.testing.assert_allclose(found, expected, atol=2e-5)


def test_quantized_layers_agree() -> None:
    """Bytes and their scales, through a product: the reference rounds in integers, this in floats that hold them."""
    weight = DICE.integers(-100, 100, (8, 4)).astype(np.int8)
    nodes = [
        helper.make_node("DynamicQuantizeLinear", ["x"], ["q", "scale", "zero"]),
        helper.make_node("MatMulInteger", ["q", "w", "zero", "w_zero"], ["whole"]),
        helper.make_node("Cast", ["whole"], ["float"], to=TensorProto.FLOAT),
        helper.make_node("Mul", ["float", "scale"], ["y"]),
    ]
    raw = model(nodes, {"w": weight, "w_zero": np.array(3, np.int8)})
    expected = onnxruntime.InferenceSession(raw, providers=["CPUExecutionProvider"]).run(None, {"x": X})[0]
    np.testing.assert_allclose(Graph(raw, "cpu")(x=torch.from_numpy(X)).numpy(), expected, rtol=1e-4, atol=1e-3)


def test_a_spectrum_is_the_transform_of_each_window() -> None:
    """Against numpy's own transform."""
    signal, window = floats(1, 50, 1), np.hanning(20).astype(np.float32)
    nodes = [
        helper.make_node("STFT", ["s", "step", "w", "n"], ["whole"]),
        helper.make_node("Cast", ["whole"], ["y"], to=1),
    ]
    raw = model(nodes, {"s": signal, "step": np.array(5), "w": window, "n": np.array(20)})
    found = Graph(raw, "cpu")(x=torch.from_numpy(X)).numpy()
    frames = np.stack([signal[0, start : start + 20, 0] for start in range(0, 31, 5)])
    spectrum = np.fft.rfft(frames * window)
    np.testing.assert_allclose(found[0, :, :, 0] + 1j * found[0, :, :, 1], spectrum, atol=1e-4)
