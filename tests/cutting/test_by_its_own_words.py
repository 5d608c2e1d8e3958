"""A plan is proved by carrying its steps out: a step that says something else is refused, whatever else is right."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely import box as shape

from fieldvoice.cutting.bench import carry_out
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.solving import solve
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, CutFrom, Lies, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, BoxKind, Circuit, Course, Edge, Neighbor, Plumb
from fieldvoice.records.plan import CutPlan, Does, Flaw, Hook, Mark, No, Offset, Step, Tool, Where
from fieldvoice.wording import steps as words
from tests.cutting.by_the_words import read_all
from tests.cutting.everyday import KINDS, ODD
from tests.cutting.rooms import SIDES_SWAPPED, SIDES_WALLED, box, heights, sides, widths
from tests.cutting.true_rooms import Hand

BOXES = (
    box("box 1", "12", "20"),
    box("box 2", "30", "60", kind=BoxKind.ROUND),
    box("box 3", "20", "40", kind=BoxKind.DOUBLE),
)
BOARDS = {
    "to a wall that leans": Board(
        "1",
        widths=widths("46 7/8", "46 3/4", "46 1/4"),
        heights=heights("95 1/2"),
        boxes=BOXES,
        circuits={"box 3": Circuit.DEAD},
    ),
    "from a wall that leans": Board(
        "2", edges=SIDES_SWAPPED, widths=widths("46", "45 5/8", "45 1/4"), heights=heights("95 1/2"), boxes=BOXES
    ),
    "between walls, both lean": Board(
        "3",
        edges=SIDES_WALLED,
        widths=widths("40", "40 3/8", "40 3/4"),
        heights=heights("95 1/2"),
        plumbs=(Plumb(Edge.LEFT, Length("1/2")), Plumb(Edge.RIGHT, Length("1/4"))),
        boxes=BOXES,
    ),
    "under a slope": Board("4", widths=widths("42", None, "41 1/2"), heights=heights("75", None, "95"), boxes=BOXES),
    "lower course": Board(
        "5",
        lies=Lies.LYING,
        course=Course.LOWER,
        edges=sides(Neighbor.WALL, Neighbor.BOARD),
        widths=widths("110", None, "109 1/2"),
        heights=heights("44 1/2"),
        boxes=(box("box 1", "12", "14", y_from=Edge.BOTTOM),),
    ),
    "from an offcut, its length cut first": Board(
        "6",
        lies=Lies.LYING,
        course=Course.LOWER,
        edges=sides(Neighbor.BOARD, Neighbor.WALL, Neighbor.BOARD, Neighbor.FLOOR),
        widths=widths("60", "60", "59 3/4"),
        heights=heights("24 1/2", None, "24 1/2"),
        boxes=(box("box 1", "12", "14"),),
        sheet=Sheet(Length(36), Length(84)),
        cut_from=CutFrom("3A", frozenset({Edge.LEFT, Edge.BOTTOM})),
        taped=frozenset({Edge.TOP}),
        sides_first=True,
    ),
}
PLANS = {name: solve(board) for name, board in BOARDS.items()}
Spoil = Callable[[CutPlan], CutPlan | None]
SPOILT: dict[str, Spoil] = {}


def spoilt(make: Spoil) -> Spoil:
    """A way to spoil a plan; None where the plan has nothing of the kind."""
    SPOILT[make.__name__] = make
    return make


def told(plan: CutPlan, steps: tuple[Step, ...]) -> CutPlan:
    """The plan with other steps, and what it lists of its cuts as those steps say."""
    marks = {step.edge: step.marks for step in steps if step.does is Does.MARK}
    cuts = tuple(replace(cut, marks=marks.get(cut.edge, cut.marks)) for cut in plan.cuts)
    return replace(plan, steps=steps, cuts=cuts)


def changed(plan: CutPlan, does: Does, change: Callable[[Step], Step], which: int = 0) -> CutPlan | None:
    """The plan with one step of a sort changed, None where that changes nothing."""
    places = [i for i, step in enumerate(plan.steps) if step.does is does]
    if len(places) <= which:
        return None
    i = places[which]
    new = change(plan.steps[i])
    return None if new == plan.steps[i] else told(plan, (*plan.steps[:i], new, *plan.steps[i + 1 :]))


def other(hook: Hook) -> Hook:
    """The edge across from it."""
    across = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[hook.edge.value]
    return Hook(f"{across} {hook.value.split()[1]} edge")


@spoilt
def origin_swapped(plan: CutPlan) -> CutPlan | None:
    """The tape is hooked on the edge that is cut off."""
    return changed(plan, Does.MARK, lambda step: replace(step, origin=other(step.origin)))  # type: ignore[arg-type]


@spoilt
def origin_called_cut(plan: CutPlan) -> CutPlan | None:
    """A factory edge is called a cut one: nobody finds it."""

    def called_cut(step: Step) -> Step:
        assert step.origin is not None
        return replace(step, origin=Hook(step.origin.value.replace("factory", "cut")))

    return changed(plan, Does.MARK, called_cut)


def _tapered(plan: CutPlan) -> int | None:
    marks = [step for step in plan.steps if step.does is Does.MARK]
    return next((i for i, step in enumerate(marks) if len({mark.distance for mark in step.marks}) > 1), None)


@spoilt
def marks_at_the_other_end(plan: CutPlan) -> CutPlan | None:
    """46 3/4 at the bottom and 46 1/8 at the top."""
    which = _tapered(plan)
    if which is None:
        return None

    def turned(step: Step) -> Step:
        far = tuple(mark.distance for mark in reversed(step.marks))
        return replace(
            step, marks=tuple(replace(mark, distance=one) for mark, one in zip(step.marks, far, strict=True))
        )

    return changed(plan, Does.MARK, turned, which)


@spoilt
def both_marks_at_one_end(plan: CutPlan) -> CutPlan | None:
    """No line goes through one place."""

    def one_end(step: Step) -> Step:
        first = step.marks[0]
        return replace(step, marks=tuple(replace(mark, start=first.start, along=first.along) for mark in step.marks))

    return changed(plan, Does.MARK, one_end)


@spoilt
def mark_in_the_offcut(plan: CutPlan) -> CutPlan | None:
    """Farther along than what is left of the sheet."""

    def beyond(step: Step) -> Step:
        return replace(step, marks=(*step.marks[:-1], replace(step.marks[-1], along=Length(200))))

    return changed(plan, Does.MARK, beyond)


@spoilt
def a_sixteenth_too_much(plan: CutPlan) -> CutPlan | None:
    """One mark a graduation too far."""

    def more(step: Step) -> Step:
        first = step.marks[0]
        return replace(step, marks=(replace(first, distance=first.distance + Length("1/16")), *step.marks[1:]))

    return changed(plan, Does.MARK, more, sum(step.does is Does.MARK for step in plan.steps) - 1)


@spoilt
def stand_off_left_out(plan: CutPlan) -> CutPlan | None:
    """Nothing says how far from the side it hangs."""
    return changed(plan, Does.HANG, lambda step: replace(step, stand_offs=step.stand_offs[1:]))


@spoilt
def stand_off_of_nothing(plan: CutPlan) -> CutPlan | None:
    """Tight to where it should stand off, and off where it should be tight."""

    def swapped(step: Step) -> Step:
        offs = [Length(0) if one.off else Length("1/8") for one in step.stand_offs]
        return replace(
            step, stand_offs=tuple(replace(one, off=off) for one, off in zip(step.stand_offs, offs, strict=True))
        )

    return changed(plan, Does.HANG, swapped)


@spoilt
def hung_by_the_other_side(plan: CutPlan) -> CutPlan | None:
    """The side across is put to its neighbor instead: another place, but where both are cut to fit alike."""
    if {Edge.LEFT, Edge.RIGHT} <= {cut.edge for cut in plan.cuts}:
        return None

    def across(step: Step) -> Step:
        first = step.stand_offs[0]
        edge = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT}[first.edge]
        return replace(step, stand_offs=(replace(first, edge=edge), *step.stand_offs[1:]))

    return changed(plan, Does.HANG, across)


@spoilt
def another_gap_at_the_floor(plan: CutPlan) -> CutPlan | None:
    """What stays open isn't what is said."""

    def wider(step: Step) -> Step:
        return replace(step, leaves=tuple(replace(one, off=one.off + Length("1/4")) for one in step.leaves))

    return changed(plan, Does.HANG, wider)


def reordered(plan: CutPlan, first: Does, second: Does) -> CutPlan | None:
    """The first step of a sort after the first one of another."""
    steps = list(plan.steps)
    i = next((i for i, step in enumerate(steps) if step.does is first), None)
    j = next((i for i, step in enumerate(steps) if step.does is second), None)
    if i is None or j is None or i > j:
        return None
    steps.insert(j, steps.pop(i))
    return told(plan, tuple(steps))


@spoilt
def cut_before_it_is_marked(plan: CutPlan) -> CutPlan | None:
    """Nothing to cut along."""
    return reordered(plan, Does.MARK, Does.CUT)


@spoilt
def hung_before_it_is_cut(plan: CutPlan) -> CutPlan | None:
    """Then there is no sheet on the stand."""
    steps = [step for step in plan.steps if step.does is not Does.HANG]
    hang = next(step for step in plan.steps if step.does is Does.HANG)
    return told(plan, (steps[0], hang, *steps[1:]))


@spoilt
def openings_marked_before_the_cuts(plan: CutPlan) -> CutPlan | None:
    """From edges that are cut edges later: a mark from one of those comes elsewhere, or its edge isn't there."""
    marks = tuple(step for step in plan.steps if step.does is Does.MARK_OPENING)
    hooks = {offset.hook for step in marks for offset in _offsets(step)}
    if not any(hook.is_cut and hook.edge not in plan.board.cut_before for hook in hooks):
        return None
    rest = tuple(step for step in plan.steps if step.does is not Does.MARK_OPENING)
    return told(plan, (rest[0], *marks, *rest[1:]))


def _offsets(step: Step) -> tuple[Offset, ...]:
    assert step.hole is not None
    return (*(step.hole.center or ()), *(offset for _, offset in step.hole.sides))


@spoilt
def a_cut_left_out(plan: CutPlan) -> CutPlan | None:
    """Marked and not cut."""
    last = max(i for i, step in enumerate(plan.steps) if step.does is Does.CUT)
    return told(plan, (*plan.steps[:last], *plan.steps[last + 1 :]))


@spoilt
def an_opening_left_out(plan: CutPlan) -> CutPlan | None:
    """The board would lie on the box."""
    steps = tuple(step for step in plan.steps if not (step.does is Does.MAKE_OPENING and step.opening == "box 1"))
    return told(plan, steps)


def _with_hole(step: Step, change: Callable[[Length], Length], pair: frozenset[Edge]) -> Step:
    assert step.hole is not None
    given = tuple(
        (edge, replace(one, distance=change(one.distance)) if edge in pair else one) for edge, one in step.hole.sides
    )
    center = step.hole.center
    if center is not None and Edge.LEFT in pair:
        center = (replace(center[0], distance=change(center[0].distance)), center[1])
    elif center is not None:
        center = (center[0], replace(center[1], distance=change(center[1].distance)))
    return replace(step, hole=replace(step.hole, sides=given, center=center))


@spoilt
def a_hole_an_eighth_to_the_side(plan: CutPlan) -> CutPlan | None:
    """The plate would cover it, the box wouldn't come through."""
    pair = frozenset({Edge.LEFT, Edge.RIGHT})
    return changed(plan, Does.MARK_OPENING, lambda step: _with_hole(step, lambda one: one + Length("1/8"), pair))


@spoilt
def a_hole_an_eighth_higher(plan: CutPlan) -> CutPlan | None:
    """The same upwards."""
    pair = frozenset({Edge.TOP, Edge.BOTTOM})
    return changed(plan, Does.MARK_OPENING, lambda step: _with_hole(step, lambda one: one - Length("1/8"), pair))


@spoilt
def a_hole_from_the_other_edge(plan: CutPlan) -> CutPlan | None:
    """As many inches, from the side across."""

    def across(step: Step) -> Step:
        assert step.hole is not None
        cut = {one.edge for one in plan.cuts}
        hooks = {one.hook for _, one in step.hole.sides if one.hook.edge in {Edge.LEFT, Edge.RIGHT}}
        swap = {hook: Hook.on(other(hook).edge, frozenset(cut)) for hook in hooks}
        given = tuple((edge, replace(one, hook=swap.get(one.hook, one.hook))) for edge, one in step.hole.sides)
        center = step.hole.center and tuple(replace(one, hook=swap.get(one.hook, one.hook)) for one in step.hole.center)
        return replace(step, hole=replace(step.hole, sides=given, center=center))  # type: ignore[arg-type]

    return changed(plan, Does.MARK_OPENING, across)


@spoilt
def a_smaller_circle(plan: CutPlan) -> CutPlan | None:
    """The round box doesn't come through."""
    marks = [step for step in plan.steps if step.does is Does.MARK_OPENING]
    which = next((i for i, step in enumerate(marks) if step.hole is not None and step.hole.radius is not None), None)
    if which is None:
        return None
    smaller = Length("1 15/16")

    def made_smaller(step: Step) -> Step:
        assert step.hole is not None
        return replace(step, hole=replace(step.hole, radius=smaller))

    return changed(plan, Does.MARK_OPENING, made_smaller, which)


@spoilt
def a_bit_into_a_live_box(plan: CutPlan) -> CutPlan | None:
    """Nobody said that it is dead and tested."""
    return changed(plan, Does.MAKE_OPENING, lambda step: replace(step, tool=Tool.ROUTER))


@spoilt
def a_saw_on_the_wall_beside_a_live_box(plan: CutPlan) -> CutPlan | None:
    """A step that comes near it with a tool in place."""
    makes = [step for step in plan.steps if step.does is Does.MAKE_OPENING]
    which = next((i for i, step in enumerate(makes) if step.where is Where.WALL), None)
    if which is None:
        return None
    return changed(plan, Does.MAKE_OPENING, lambda step: replace(step, near=("box 1",)), which)


@spoilt
def the_sheet_turned(plan: CutPlan) -> CutPlan | None:
    """It lies where it should stand."""
    turned = {Lies.STANDING: Lies.LYING, Lies.LYING: Lies.STANDING}[plan.lies]
    return changed(plan, Does.LEAN, lambda step: replace(step, lies=turned))


@spoilt
def a_shorter_sheet(plan: CutPlan) -> CutPlan | None:
    """What is leaned isn't what is ordered."""
    return changed(plan, Does.LEAN, lambda step: replace(step, sheet=Sheet(Length(48), Length(84))))


@spoilt
def an_offcut_called_a_sheet(plan: CutPlan) -> CutPlan | None:
    """It is leaned as if all its edges were factory edges."""
    return changed(plan, Does.LEAN, lambda step: replace(step, edges=()))


@spoilt
def a_taped_edge_put_on_a_cut_one(plan: CutPlan) -> CutPlan | None:
    """The offcut is turned so that its cut edge comes to the joint, and everything says so."""
    if plan.board.cut_from is None:
        return None
    turned = replace(plan.board.cut_from, cut=frozenset({Edge.RIGHT, Edge.TOP}))
    spoiled = changed(plan, Does.LEAN, lambda step: replace(step, edges=(Edge.RIGHT, Edge.TOP)))
    return None if spoiled is None else replace(spoiled, board=replace(plan.board, cut_from=turned))


@spoilt
def the_rest_as_if_cut_in_another_order(plan: CutPlan) -> CutPlan | None:
    """What is listed as left is what the other order would leave."""
    other_way = solve(replace(plan.board, sides_first=not plan.board.sides_first))
    return None if other_way.left == plan.left else replace(plan, left=other_way.left)


@spoilt
def the_rest_a_sixteenth_longer(plan: CutPlan) -> CutPlan | None:
    """An offcut is listed that isn't as large."""
    left = tuple(replace(one, width=one.width + Length("1/16")) for one in plan.left)
    return replace(plan, left=left) if left else None


@spoilt
def the_rest_with_a_factory_edge_more(plan: CutPlan) -> CutPlan | None:
    """A cut edge of it is listed as a factory edge."""
    left = tuple(replace(one, cut=frozenset()) for one in plan.left)
    return replace(plan, left=left) if left else None


@pytest.mark.parametrize("name", PLANS)
def test_the_steps_give_the_board(name: str) -> None:
    """Carried out, they make the piece that is drawn, and nothing is wrong with it."""
    piece, failures = carry_out(PLANS[name].steps)
    assert failures == ()
    assert piece is not None
    assert prove(PLANS[name]).failures == ()


@pytest.mark.parametrize("spoil", SPOILT)
@pytest.mark.parametrize("name", PLANS)
def test_steps_that_say_something_else_are_refused(name: str, spoil: str) -> None:
    """By what becomes of the board, not only because the drawing shows another."""
    plan = SPOILT[spoil](PLANS[name])
    if plan is None:
        return
    flaws = {one.flaw for one in prove(plan).failures}
    assert flaws - {Flaw.OUTLINE}, spoil


@pytest.mark.parametrize("spoil", SPOILT)
def test_every_way_to_spoil_a_plan_spoils_one(spoil: str) -> None:
    """None of them changes nothing on every board."""
    assert any(SPOILT[spoil](plan) is not None for plan in PLANS.values())


def test_a_mark_too_short_is_another_board_than_the_drawn_one() -> None:
    """It would hang, with a wider gap than is said."""
    plan = PLANS["to a wall that leans"]

    def less(mark: Mark) -> Mark:
        return replace(mark, distance=mark.distance - Length("1/4"))

    spoiled = changed(plan, Does.MARK, lambda step: replace(step, marks=tuple(map(less, step.marks))), 1)
    assert spoiled is not None
    assert not prove(spoiled).ok


EVERY_KIND = {**KINDS, **ODD}


@pytest.mark.parametrize("name", EVERY_KIND)
def test_what_is_left_is_there_whichever_cut_comes_first(name: str) -> None:
    """Rooms drawn at random, cut from a sheet or an offcut in both orders by a hand of floats: each offcut that is
    listed lies within what came off by its cut, against the outer edge, and the English says which edges are cut.
    """
    draw = random.Random(name)
    for _ in range(3):
        case = EVERY_KIND[name](draw)
        for sides_first in (False, True):
            cut = frozenset(edge for edge in Edge if draw.random() < 0.5)
            offcut = CutFrom("3A", cut) if draw.random() < 0.7 else None
            plan = _solved(replace(case.board, cut_from=offcut, sides_first=sides_first))
            if plan is None:
                continue
            lean = read_all(words.text(step, plan.board.unit) for step in plan.steps)[0]
            assert lean.offcut == (offcut.offcut if offcut else None)
            assert frozenset(lean.edges) == plan.board.cut_before
            _came_off(plan)


def _solved(board: Board) -> CutPlan | None:
    """The plan, None where the readings make none; a plan that isn't proved is a fault."""
    try:
        return solve(board)
    except NotPlanned as found:
        if found.why.no is No.PROOF:
            raise
        return None


def _came_off(plan: CutPlan) -> None:
    hand, waste = Hand(), {}
    for step in plan.steps:
        before = hand.sheet
        if step.does in {Does.LEAN, Does.MARK, Does.CUT}:
            hand.work(replace(plan, steps=(step,)))
        if step.does is Does.CUT and step.edge is not None:
            waste[step.edge] = before.difference(hand.sheet)
    order = [cut.edge for cut in plan.cuts]
    assert [one.off for one in plan.left] == [edge for edge in order if edge in {one.off for one in plan.left}]
    for one in plan.left:
        wide, high = float(one.width.inches), float(one.height.inches)
        corners = waste[one.off].exterior.coords
        xs = [x for corner, _ in corners for x in (corner, corner - wide)]
        ys = [y for _, corner in corners for y in (corner, corner - high)]
        room = waste[one.off].buffer(1e-6)
        assert any(room.contains(shape(x, y, x + wide, y + high)) for x in xs for y in ys), one
        cut_before = plan.board.cut_before | set(order[: order.index(one.off)])
        assert one.cut == cut_before | {OPPOSITE[one.off]}
