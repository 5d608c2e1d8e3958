"""The order of work: what comes before the board, the boards, and what is looked at after."""

from __future__ import annotations

from fieldvoice.output.room_work import work_document, work_lines
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.takeoff import Phase, Task
from fieldvoice.takeoff import AFTER, BEFORE, order_of_work
from fieldvoice.wording.takeoff import task_text
from tests.takeoff.rooms import box, ceiling, room, surface, two_courses, wall

WALLS = [two_courses(wall(name)) for name in ("north", "east")]
OVER = surface(ceiling(), [box(0, 0, 144, 48), box(0, 48, 144, 96), box(0, 96, 144, 144), box(0, 144, 144, 180)])
ROOM = room(*WALLS, OVER)


def test_ceilings_then_upper_then_lower() -> None:
    """Whatever order they were called in."""
    hanging = [item for item in order_of_work(ROOM) if item.phase is Phase.HANGING]
    assert [(item.task, str(item.surface), item.pieces) for item in hanging] == [
        (Task.HANG_CEILING, "kitchen ceiling", (1, 2, 3, 4)),
        (Task.HANG_UPPER, "kitchen north", (1,)),
        (Task.HANG_UPPER, "kitchen east", (1,)),
        (Task.HANG_LOWER, "kitchen north", (2,)),
        (Task.HANG_LOWER, "kitchen east", (2,)),
    ]


def test_a_layer_before_the_next() -> None:
    """Both courses of the first layer hang before the second begins."""
    boxes = [box(0, "48 1/2", 144, "96 1/2"), box(0, "1/2", 144, "48 1/2")]
    double = surface(wall("north", layers=2), boxes * 2, layers=[1, 1, 2, 2])
    hanging = [item for item in order_of_work(room(double)) if item.phase is Phase.HANGING]
    assert [item.pieces for item in hanging] == [(1,), (2,), (3,), (4,)]


def test_before_covering_and_after() -> None:
    """Nothing that can't be seen or done later is left out, and inspection comes last before the first board."""
    items = order_of_work(ROOM)
    before = [item.task for item in items if item.phase is Phase.BEFORE]
    assert before == [
        Task.PHOTOGRAPH,
        Task.MARK_FRAMING,
        Task.SET_OUT_BOXES,
        Task.INSULATE,
        Task.HAVE_INSPECTED,
    ]
    after = [(item.task, item.limit) for item in items if item.phase is Phase.AFTER]
    assert after == [
        (Task.CHECK_DEPTH, None),
        (Task.CHECK_GAPS, Length("1/4")),
        (Task.CHECK_BOX_GAP, Length("1/8")),
        (Task.CHECK_SET_BACK, Length("1/4")),
    ]
    assert all(item.source.text for item in items)


def test_as_a_list_to_tick() -> None:
    """By phase, a box before each."""
    lines = work_lines(order_of_work(ROOM), Unit.INCH)
    assert lines[0] == "Before covering"
    assert lines[5] == "  [ ] Inspected by the authority having jurisdiction: nothing is covered before it says so."
    assert lines[6:9] == [
        "Hanging",
        "  [ ] kitchen ceiling: hang boards 1, 2, 3 and 4.",
        "  [ ] kitchen north: hang the upper course, board 1.",
    ]
    assert lines[-2:] == [
        "  [ ] No gap around a box is over 1/8 in. A larger plate doesn't cure it.",
        "  [ ] No box stands more than 1/4 in behind the face.",
    ]


def test_limits_in_a_job_in_millimeters_are_whole_ones() -> None:
    """6 mm and 3 mm, as the code itself has them (NEC 314.20 and 314.21, as quoted): never more than in inches."""
    told = {item.task: task_text(item, Unit.MM) for item in (*BEFORE, *AFTER)}
    assert "no more than 6 mm behind the face" in told[Task.SET_OUT_BOXES]
    assert "over 3 mm" in told[Task.CHECK_BOX_GAP]
    assert "over 6 mm" in told[Task.CHECK_GAPS]


def test_as_a_record() -> None:
    """Its phase, task, surface, pieces and limit."""
    document = work_document(order_of_work(ROOM)[2], Unit.INCH)
    assert (document["phase"], document["task"], document["limit"]) == ("before covering", "set out boxes", "1/4")
    assert document["surface"] is None
