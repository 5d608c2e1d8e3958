"""In which order a room is done, and what is looked at before it is covered and after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldvoice.records.board import Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Course
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import RoomPlan, SurfacePlan
from fieldvoice.records.sources import Citation, Confidence
from fieldvoice.records.takeoff import Phase, Task, WorkItem

BOX_GAP = Length("1/8")
BOX_SET_BACK = Length("1/4")
JOINT_GAP = Length("1/4")

_PRACTICE = Citation("the trade", Confidence.PRACTICE)
_CEILINGS_FIRST = Citation("trade pages and a board maker's guide, page 103: ceilings first", Confidence.REPORTED)
_COVERED = Citation("IRC R109: inspected before it is covered; local code decides", Confidence.MEMORY_HIGH)
_SET_BACK = Citation("NEC 314.20, as quoted: no more than 1/4 in behind the finished face", Confidence.REPORTED)
_BOX_GAP = Citation("NEC 314.21, as quoted: no gap over 1/8 in; a larger plate is no cure", Confidence.REPORTED)
_JOINT_GAP = Citation("an older residential guide: gaps of 1/4 in at most", Confidence.REPORTED)

BEFORE = (
    WorkItem(Phase.BEFORE, Task.PHOTOGRAPH, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.MARK_FRAMING, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.SET_OUT_BOXES, _SET_BACK, limit=BOX_SET_BACK),
    WorkItem(Phase.BEFORE, Task.INSULATE, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.HAVE_INSPECTED, _COVERED),
)
"""What can't be done, or seen, once the board hangs."""

AFTER = (
    WorkItem(Phase.AFTER, Task.CHECK_DEPTH, _PRACTICE),
    WorkItem(Phase.AFTER, Task.CHECK_GAPS, _JOINT_GAP, limit=JOINT_GAP),
    WorkItem(Phase.AFTER, Task.CHECK_BOX_GAP, _BOX_GAP, limit=BOX_GAP),
    WorkItem(Phase.AFTER, Task.CHECK_SET_BACK, _SET_BACK, limit=BOX_SET_BACK),
)
"""What is looked at before anything is taped."""


def order_of_work(plan: RoomPlan) -> tuple[WorkItem, ...]:
    """Everything in order: before covering, the boards of every surface, after hanging. All ceilings come first, then
    room by room the walls' upper course, then the lower, each layer before the next.
    """
    ceilings = [one for one in plan.surfaces if one.surface.kind is Surface.CEILING]
    rooms: dict[str, list[SurfacePlan]] = {}
    for surface in plan.surfaces:
        if surface.surface.kind is Surface.WALL:
            rooms.setdefault(surface.surface.room, []).append(surface)
    walls = (item for room in rooms.values() for item in _hung(room))
    return (*BEFORE, *_hung(ceilings), *walls, *AFTER)


def _hung(surfaces: Sequence[SurfacePlan]) -> Iterator[WorkItem]:
    """The pieces of surfaces, those together that hang together: a wall's course, or all of a ceiling."""
    runs: dict[tuple[int, int, int], list[int]] = {}
    for number, surface in enumerate(surfaces):
        for piece in surface.pieces:
            row = _CEILING if surface.surface.kind is Surface.CEILING else _row(piece.course)
            runs.setdefault((piece.layer, row, number), []).append(piece.name.number)
    for (_, row, number), pieces in sorted(runs.items()):
        task = _TASKS.get(row, Task.HANG_COURSE)
        yield WorkItem(Phase.HANGING, task, _CEILINGS_FIRST, name_of(surfaces[number].surface), tuple(pieces))


_CEILING, _UPPER, _LOWER = -3, -2, -1
_TASKS = {_CEILING: Task.HANG_CEILING, _UPPER: Task.HANG_UPPER, _LOWER: Task.HANG_LOWER}


def _row(course: Course | int) -> int:
    """The place of a course from the top."""
    if isinstance(course, Course):
        return _UPPER if course is Course.UPPER else _LOWER
    return course
