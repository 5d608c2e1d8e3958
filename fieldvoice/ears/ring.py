"""A bounded buffer between the sound card's thread and ours: it never grows, and what it loses it counts."""

from __future__ import annotations

import threading

import numpy as np
from numpy.typing import NDArray


class SampleBuffer:
    """The last `capacity` samples that were not yet taken; one writer, one reader."""

    def __init__(self, capacity: int) -> None:
        self._samples: NDArray[np.float32] = np.zeros(capacity, np.float32)
        self._start = 0
        self._count = 0
        self._dropped = 0
        self._changed = threading.Condition()

    def put(self, samples: NDArray[np.float32]) -> None:
        """Adds samples; where there is no room the oldest make way, and are counted."""
        with self._changed:
            capacity = len(self._samples)
            kept = samples[-capacity:]
            lost = max(0, self._count + len(kept) - capacity)
            self._dropped += lost + len(samples) - len(kept)
            self._start, self._count = (self._start + lost) % capacity, self._count - lost
            places = (self._start + self._count + np.arange(len(kept))) % capacity
            self._samples[places] = kept
            self._count += len(kept)
            self._changed.notify()

    def take(self, timeout: float) -> NDArray[np.float32]:
        """All that is there, waiting up to `timeout` seconds for some; empty where none came."""
        with self._changed:
            if not self._count:
                self._changed.wait(timeout)
            places = (self._start + np.arange(self._count)) % len(self._samples)
            taken = self._samples[places]
            self._start, self._count = 0, 0
            return taken

    def dropped(self) -> int:
        """How many samples were lost since the last time that this was asked."""
        with self._changed:
            lost, self._dropped = self._dropped, 0
            return lost
