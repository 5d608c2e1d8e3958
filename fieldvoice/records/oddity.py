"""What geometry finds hard to believe of what was called: asked about before it is cut to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge, Place


class Odd(StrEnum):
    """What geometry finds hard to believe. What `values` hold stands beside each."""

    STAND_OFF = "stand off"  # at an edge: the clearance
    OUT_OF_PLUMB = "out of plumb"  # at an edge: how far its neighbor is said to lean or slope
    JOINT_LEANS = "joint leans"  # at an edge: how far the other one, a joint, would lean by it and the readings
    BEYOND_SHEETS = "beyond sheets"  # a reading: its value
    TURNED = "turned"  # the same, where a sheet the other way would reach
    FAR_FROM_FELLOWS = "far from fellows"  # a reading: its value, then its fellows'
    SWAPPED = "swapped"  # two readings: their values
    NOT_CLOSING = "not closing"  # by how much; `rising` names the diagonal, None where it is a side
    OFF_BOARD = "off board"  # a box or an opening: what was called
    ACROSS_EDGE = "across edge"  # a box or a round hole: what was called
    PAST_EDGE = "past edge"  # an opening, at the edge: what stands there
    ON_ANOTHER = "on another"  # two boxes or openings
    UNLIKE_HEIGHT = "unlike height"  # a box: how far down the others are, and what was called
    FLOOR_TO_CEILING = "floor to ceiling"  # what was said, and the height that was measured


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something worth a question. It names the reading by `dimension` and `at`, or the box or opening by `box`."""

    odd: Odd
    dimension: Dimension | None = None
    at: Place | None = None
    box: str | None = None
    values: tuple[Length, ...] = ()
    edge: Edge | None = None
    other_at: Place | None = None
    other: str | None = None
    rising: bool | None = None
    lies: Lies | None = None
