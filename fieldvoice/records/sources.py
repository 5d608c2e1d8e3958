"""Where a figure comes from, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Confidence(StrEnum):
    """How a figure was come by: read in its source, read in a page that reports it, calculated, or remembered."""

    SEEN = "seen"
    REPORTED = "reported"
    CALCULATED = "calculated"
    MEMORY_HIGH = "memory, high"
    MEMORY_MEDIUM = "memory, medium"
    MEMORY_LOW = "memory, low"
    PRACTICE = "common practice, no source"
    OWN = "your own table"


@dataclass(frozen=True, slots=True)
class Citation:
    """Who says so: a publication with its place in it, and how it was come by."""

    text: str
    confidence: Confidence
