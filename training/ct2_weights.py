"""The variables of a CTranslate2 `model.bin`, so that training can run the encoder on any device.

The file is little-endian: version (u32), specification name, its revision (u32), then the variables, each with name,
number of dimensions (u8), dimensions (u32), type (u8), size in bytes (u32) and data. Names are a u16 length, which
counts the closing zero, and bytes.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

_TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}


def read_variables(path: Path, prefix: str = "") -> dict[str, NDArray[np.generic]]:
    """The variables whose name starts with `prefix`, by name."""
    with path.open("rb") as file:
        return {name: array for name, array in _variables(file) if name.startswith(prefix)}


def _variables(file: BinaryIO) -> Iterator[tuple[str, NDArray[np.generic]]]:
    _number(file, "<I")
    _name(file)
    _number(file, "<I")
    for _ in range(_number(file, "<I")):
        name = _name(file)
        shape = tuple(_number(file, "<I") for _ in range(_number(file, "<B")))
        kind = _TYPES[_number(file, "<B")]
        data = file.read(_number(file, "<I"))
        yield name, np.frombuffer(data, kind).reshape(shape)


def _number(file: BinaryIO, form: str) -> int:
    return int(struct.unpack(form, file.read(struct.calcsize(form)))[0])


def _name(file: BinaryIO) -> str:
    return file.read(_number(file, "<H")).rstrip(b"\0").decode()
