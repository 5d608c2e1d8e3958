"""What geometry asks about, and what it leaves alone."""

from dataclasses import replace
from itertools import combinations, product
from random import Random
from typing import Any

import pytest

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.solving import solve
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, EdgeSetting, Lies
from fieldvoice.records.facts import Odd
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    OPPOSITE,
    Coordinate,
    Diagonal,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Slot,
)
from fieldvoice.wording.forms import Form
from fieldvoice.wording.needs import no_plan
from fieldvoice.wording.questions import ask_odd, why_odd
from tests.cutting.rooms import box, heights, widths

BOARD = Board("1", widths=widths("46 7/8", "46 3/4", "46 1/4"), heights=heights("95 1/2"))


@pytest.mark.parametrize(
    "likely",
    [
        ("46 7/8", "46 3/4", "46 1/4"),
        ("47", "46 1/2", "46 3/4"),
        ("47", "46 7/16", "45 7/8"),
        ("45 7/8", "46 7/16", "47"),
        ("46", "46 1/2", "46"),
        ("46", None, "47 1/8"),
    ],
)
def test_walls_within_the_tolerances_are_believed(likely: tuple[str, str | None, str]) -> None:
    """A lean of 1 1/8 over 8 ft and a bow of 1/2 are walls, not misreadings."""
    assert oddities(replace(BOARD, widths=widths(*likely))) == ()


@pytest.mark.parametrize(
    ("readings", "at"),
    [
        (("46 7/8", "48 3/4", "46 1/4"), Slot.MIDDLE),
        (("64 7/8", "46 3/4", "46 1/4"), Slot.TOP),
        (("46 7/8", "46 3/4", "44 1/4"), Slot.BOTTOM),
    ],
)
def test_a_width_far_from_its_fellows_is_asked_about(readings: tuple[str, str, str], at: Slot) -> None:
    """The one without which the others agree is named, with its value."""
    found = oddities(replace(BOARD, widths=widths(*readings)))
    odd = found[-1]
    assert (odd.dimension, odd.at) == (Dimension.WIDTH, at)
    assert "really" in ask_odd(odd, Form(Unit.INCH))


def test_two_that_changed_places_are_asked_about_together() -> None:
    """46, 47 1/8, 46 5/8 lies in a row with the last two swapped."""
    (odd,) = oddities(replace(BOARD, widths=widths("46", "47 1/8", "46 5/8")))
    assert "swapped" in why_odd(odd, Form(Unit.INCH))
    assert "47 1/8" in ask_odd(odd, Form(Unit.INCH))
    assert "46 5/8" in ask_odd(odd, Form(Unit.INCH))


def test_longer_than_any_sheet_is_asked_about() -> None:
    """A width of 96 standing may be a sheet lying; a height of 200 is no sheet's."""
    wide = oddities(replace(BOARD, widths=widths("96", "96", "96")))
    assert len(wide) == 3
    assert "with the sheet standing" in ask_odd(wide[0], Form(Unit.INCH))
    assert "Where the sheet lies, say “lying”" in why_odd(wide[0], Form(Unit.INCH))
    assert oddities(replace(BOARD, widths=widths("96", "96", "96"), heights=heights("48 1/2"), lies=Lies.LYING)) == ()
    (high,) = oddities(replace(BOARD, heights=heights("200")))
    assert high.dimension is Dimension.HEIGHT


def test_boxes_off_the_board_across_its_edge_or_on_each_other() -> None:
    """Each is asked about by name."""
    assert [odd.box for odd in oddities(replace(BOARD, boxes=(box("box 1", "60", "40"),)))] == ["box 1"]
    (across,) = oddities(replace(BOARD, boxes=(box("box 1", "1/2", "40"),)))
    assert across.odd is Odd.ACROSS_EDGE
    (both,) = oddities(replace(BOARD, boxes=(box("box 1", "20", "40"), box("box 2", "21", "41"))))
    assert (both.odd, both.box, both.other) == (Odd.ON_ANOTHER, "box 2", "box 1")
    assert oddities(replace(BOARD, boxes=(box("box 1", "20", "40", x_from=Edge.RIGHT),))) == ()


def sides(start: Edge, far: str) -> tuple[Coordinate, Coordinate]:
    """Both sides of an opening, from one edge."""
    return Coordinate(Point.NEAR, Length(5), start), Coordinate(Point.FAR, Length(far), start)


@pytest.mark.parametrize("kind", [OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.DUCT])
@pytest.mark.parametrize("stands", list(Neighbor))
@pytest.mark.parametrize("edge", list(Edge))
def test_nothing_runs_into_what_was_built_by_others(edge: Edge, stands: Neighbor, kind: OpeningKind) -> None:
    """Past a board a window goes on; past a wall, a ceiling or a floor by more than a tape is off, none does."""
    around = {each: EdgeSetting(Neighbor.BOARD) for each in Edge} | {edge: EdgeSetting(stands)}
    board = replace(BOARD, widths=widths("40", "40", "40"), heights=heights("80", None, "80"), edges=around)
    across, start = edge in {Edge.LEFT, Edge.RIGHT}, OPPOSITE[edge]
    level = sides(Edge.TOP if across else Edge.LEFT, "10")
    for past in ("-1", "1/8", "1/4", "6"):
        over = sides(start, str(Length("40" if across else "80") + Length(past)))
        xs, ys = (over, level) if across else (level, over)
        found = oddities(replace(board, openings=(Opening(kind, xs, ys, name=f"{kind.value} 1"),)))
        odd = [(one.odd, one.edge, one.other) for one in found]
        hard = stands not in {Neighbor.BOARD, Neighbor.OPEN, Neighbor.OUTSIDE_CORNER}
        through = hard and past in {"1/4", "6"}
        assert odd == ([(Odd.PAST_EDGE, edge, stands.value)] if through else []), (past, odd)


def test_a_box_not_quite_at_the_height_of_the_others() -> None:
    """79 1/2 twice and 74 1/2 once is asked about; a switch at 48 is not."""
    same = (box("box 1", "8", "79 1/2"), box("box 2", "24", "79 1/2"))
    (odd,) = oddities(replace(BOARD, boxes=(*same, box("box 3", "40", "74 1/2"))))
    assert odd.box == "box 3"
    assert "79 1/2" in why_odd(odd, Form(Unit.INCH))
    assert oddities(replace(BOARD, boxes=(*same, box("box 3", "40", "48")))) == ()


def test_diagonals_that_the_sides_do_not_allow() -> None:
    """A 30 by 40 opening has diagonals of 50; 51 once is the odd one, 52 twice says that a side is."""
    square = Board("1", widths=widths("30", "30", "30"), heights=heights("40", None, "40"))

    def with_diagonals(rising: str, falling: str) -> Board:
        return replace(
            square, diagonals=(Diagonal(Length(rising), rising=True), Diagonal(Length(falling), rising=False))
        )

    assert oddities(with_diagonals("50", "50")) == ()
    assert oddities(with_diagonals("49 3/4", "50 1/4")) == ()
    (one,) = oddities(with_diagonals("50", "51"))
    assert "the falling diagonal" in ask_odd(one, Form(Unit.INCH))
    (both,) = oddities(with_diagonals("52", "52"))
    assert "a width or a height" in ask_odd(both, Form(Unit.INCH))


def test_a_clearance_wider_than_any_is_asked_about() -> None:
    """A quarter is one; forty was another word."""
    for said, asked in (("1/4", ()), ("2", ()), ("40", ("Is the clearance at the right really 40 in?",))):
        edges = {**Board("1").edges, Edge.RIGHT: EdgeSetting(Neighbor.WALL, Length(said))}
        assert tuple(ask_odd(odd, Form(Unit.INCH)) for odd in oddities(Board("1", edges=edges))) == asked


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("sign", [1, -1])
def test_a_neighbor_said_to_lean_farther_than_any_does_is_asked_about(edge: Edge, sign: int) -> None:
    """As "a quarter over eight feet" is, which says a slope by two figures and reads as one length."""
    far = [replace(BOARD, plumbs=(Plumb(edge, Length(value) * sign),)) for value in ("1/4", "3", "3 1/32", "96 1/4")]
    assert [[odd.edge for odd in oddities(board) if odd.odd is Odd.OUT_OF_PLUMB] for board in far] == [
        [],
        [],
        [edge],
        [edge],
    ]


@pytest.mark.parametrize("wall", [Edge.LEFT, Edge.RIGHT])
def test_a_lean_that_would_have_the_joint_across_cut_is_asked_about_and_no_other(wall: Edge) -> None:
    """A wall that leans on one side has that side cut alone, unless somebody says yes to more."""
    joint = OPPOSITE[wall]
    edges = {**Board("1").edges, wall: EdgeSetting(Neighbor.WALL), joint: EdgeSetting(Neighbor.BOARD)}
    asked = 0
    for lean, grows in product(range(-8, 9), range(-8, 9)):
        board = replace(
            Board("1", edges=edges, heights=heights("95 1/2")),
            widths=widths("30", None, str(Length(30) + Length(grows) / 16)),
            plumbs=(Plumb(wall, Length(lean) / 16),),
        )
        found = [odd.edge for odd in oddities(board) if odd.odd is Odd.JOINT_LEANS]
        cut = joint in {one.edge for one in solve(board).cuts}
        assert found == ([wall] if cut else []), (lean, grows)
        asked += cut
    assert 0 < asked < 17 * 17


@pytest.mark.parametrize("rising", [True, False])
def test_one_diagonal_alone_is_cut_by_where_it_is_asked_about_and_nowhere_else(*, rising: bool) -> None:
    """What the plan has out of square by it was a question first, and what is no question leaves the board square."""
    square = replace(Board("1", heights=heights("90", None, "90")), widths=widths("42", None, "42"))
    asked = 0
    for sixteenths in range(-40, 41):
        length = Length("99 5/16") + Length(sixteenths) / 16
        board = replace(square, diagonals=(Diagonal(length, rising=rising),))
        found = [odd.rising for odd in oddities(board) if odd.odd is Odd.OUT_OF_SQUARE]
        slants = Edge.TOP in {cut.edge for cut in solve(board).cuts}
        assert Edge.TOP not in {cut.edge for cut in solve(square).cuts}
        assert found == ([rising] if slants else []), sixteenths
        asked += slants
    assert 0 < asked < 81


@pytest.mark.parametrize("edge", [Edge.TOP, Edge.BOTTOM])
def test_a_floor_or_a_ceiling_that_nobody_said_to_run_off_is_asked_about(edge: Edge) -> None:
    """By how far the readings have it run off beside what was said of the other one."""
    asked, level = 0, {Edge.TOP: EdgeSetting(Neighbor.CEILING), Edge.BOTTOM: EdgeSetting(Neighbor.FLOOR)}
    for drop, grows in product(range(-24, 25, 4), range(-24, 25, 4)):
        right = Length(90) + Length(grows) / 16
        board = replace(Board("1", heights=heights("90", None, str(right))), widths=widths("42", None, "42"))
        board = replace(board, plumbs=(Plumb(edge, Length(drop) / 16),), edges={**board.edges, **level})
        found = [(odd.edge, odd.values[0]) for odd in oddities(board) if odd.odd is Odd.OTHER_LEANS]
        over = abs(Length(-grows) / 16 - Length(drop) / 16)
        assert found in ([], [(edge, over)])
        assert bool(found) == (over > Length("1/2" if edge is Edge.TOP else "1/8")), (drop, grows)
        asked += bool(found)
    assert 0 < asked < 13 * 13


def _spanning() -> list[Opening]:
    """Openings of every kind about as large as a board of 42 by 90, wherever they start."""
    found = []
    for kind, across, past in product(
        (OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.DUCT, OpeningKind.NOTCH),
        (True, False),
        ("-2", "-1/4", "0", "6"),
    ):
        over = Length("42" if across else "90") + Length(past)
        for start, level in product(
            (Edge.LEFT, Edge.RIGHT) if across else (Edge.TOP, Edge.BOTTOM),
            (("0", Edge.TOP), ("20", Edge.TOP)) if across else (("0", Edge.LEFT), ("20", Edge.LEFT)),
        ):
            along = Coordinate(Point.NEAR, Length(0), start), Coordinate(Point.FAR, over, start)
            at = Length(level[0])
            other = Coordinate(Point.NEAR, at, level[1]), Coordinate(Point.FAR, at + Length(6), level[1])
            xs, ys = (along, other) if across else (other, along)
            found.append(Opening(kind, xs, ys, name=f"{kind.value} 1"))
    return found


def test_what_takes_a_whole_side_of_the_board_is_asked_about() -> None:
    """Whatever it is: what no question is about has a plan that passes its own check, beside a box near it, too."""
    board = Board("1", widths=widths("42", None, "42"), heights=heights("90", None, "90"))
    asked = 0
    for opening, beside in product(_spanning(), ((), (box("box 1", "30", "32"),))):
        whole = replace(board, openings=(opening,), boxes=beside)
        if oddities(whole):
            asked += 1
            continue
        assert solve(whole).proof.ok, opening
    assert asked > 60


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ({"widths": widths("48", "3", "24"), "heights": heights("48", "18", "50")}, "middle width, called 3 in"),
        ({"openings": (_spanning()[-1],)}, "notch 1"),
    ],
)
def test_a_plan_that_fails_its_own_check_names_what_to_measure_again(said: dict[str, Any], named: str) -> None:
    """What was called that it fails by, and nothing else."""
    board = Board("1", widths=widths("42", None, "42"), heights=heights("90", None, "90"))
    with pytest.raises(NotPlanned) as failed:
        solve(replace(board, **said))
    assert no_plan(failed.value.why, Form(Unit.INCH)).endswith(f"Measure again: {named}.")


@pytest.mark.parametrize("seed", range(12))
def test_what_lies_on_what_is_found_however_many_there_are(seed: int) -> None:
    """As when each is held against each."""
    draw = Random(seed)
    named = [f"box {number}" for number in range(1, draw.randint(2, 24))]
    boxes = tuple(box(name, str(draw.randint(3, 43)), str(draw.randint(3, 92))) for name in named)
    found = {(one.other, one.box) for one in oddities(replace(BOARD, boxes=boxes)) if one.odd is Odd.ON_ANOTHER}
    each = {
        (one.name, other.name)
        for one, other in combinations(boxes, 2)
        if any(odd.odd is Odd.ON_ANOTHER for odd in oddities(replace(BOARD, boxes=(one, other))))
    }
    assert found == each


@pytest.mark.parametrize("unlike", [None, 0, 3, 11])
def test_one_of_many_boxes_not_quite_at_their_height_is_found(unlike: int | None) -> None:
    """Of one row; of two rows each is at its own."""
    heights_of = ["48" if each != unlike else "48 3/4" for each in range(12)]
    row = tuple(box(f"box {at}", str(3 + at * 3), high) for at, high in enumerate(heights_of))
    found = [one.box for one in oddities(replace(BOARD, boxes=row)) if one.odd is Odd.UNLIKE_HEIGHT]
    assert found == ([] if unlike is None else [f"box {unlike}"])
    two = (*row, *(box(f"low {at}", str(3 + at * 3), "12") for at in range(2)))
    assert not [one for one in oddities(replace(BOARD, boxes=two)) if one.odd is Odd.UNLIKE_HEIGHT]
