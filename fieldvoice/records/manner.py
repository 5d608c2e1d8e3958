"""How the read-back is spoken, as a crew sets it by a word."""

from __future__ import annotations

from dataclasses import dataclass, replace

LOUDEST, SLOWEST = 3, 3


@dataclass(frozen=True, slots=True)
class Manner:
    """Steps from how it is spoken by default: `loudness` up to 3 louder, down to 2 softer; `slowness` up to 3 slower,
    down to 2 faster.
    """

    loudness: int = 0
    slowness: int = 0

    def louder(self, steps: int = 1) -> Manner:
        """So many steps louder, softer where negative; as far as it goes."""
        return replace(self, loudness=max(-2, min(LOUDEST, self.loudness + steps)))

    def slower(self, steps: int = 1) -> Manner:
        """So many steps slower, faster where negative; as far as it goes."""
        return replace(self, slowness=max(-2, min(SLOWEST, self.slowness + steps)))
