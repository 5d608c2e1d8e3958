"""Weighted transducers in OpenFst's binary form "const"."""

from __future__ import annotations

import struct
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf

_MAGIC = 2125659606
_VERSION = 2
_EXPANDED = 0x1
_SORTED_BY_OUTPUT = 0x40000000


@dataclass(frozen=True, slots=True)
class Arc:
    """From a state to another, taking a label in and giving one out (0: none), at a cost in natural logarithms."""

    source: int
    target: int
    taken: int
    given: int
    cost: float = 0.0


@dataclass(slots=True)
class Transducer:
    """States 0, 1, …, made as they are asked for; `ends` holds the cost of ending in a state."""

    start: int = 0
    states: int = 0
    arcs: list[Arc] = field(default_factory=list)
    ends: dict[int, float] = field(default_factory=dict)

    def state(self) -> int:
        """A new state."""
        self.states += 1
        return self.states - 1

    def add(self, arcs: Iterable[Arc]) -> None:
        """More arcs."""
        self.arcs.extend(arcs)

    def binary(self) -> bytes:
        """The file, each state's arcs in the order of what they give."""
        leaving: dict[int, list[Arc]] = defaultdict(list)
        for arc in sorted(self.arcs, key=lambda arc: (arc.source, arc.given)):
            leaving[arc.source].append(arc)
        header = struct.pack("<i", _MAGIC) + _string("const") + _string("standard")
        properties = _EXPANDED | _SORTED_BY_OUTPUT
        header += struct.pack("<iiQqqq", _VERSION, 0, properties, self.start, self.states, len(self.arcs))
        states, arcs = bytearray(), bytearray()
        position = 0
        for state in range(self.states):
            out = leaving[state]
            silent = [
                sum(label == 0 for label in labels) for labels in ([a.taken for a in out], [a.given for a in out])
            ]
            states += struct.pack("<fIIII", self.ends.get(state, inf), position, len(out), *silent)
            arcs += b"".join(struct.pack("<iifi", arc.taken, arc.given, arc.cost, arc.target) for arc in out)
            position += len(out)
        return header + bytes(states) + bytes(arcs)


def _string(text: str) -> bytes:
    return struct.pack("<i", len(text)) + text.encode()
