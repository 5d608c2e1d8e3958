"""Where fasteners go: shapely, which shares nothing with the planner, measures every one of them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from fieldvoice.fastening.panels import Hole, Panel
from fieldvoice.fastening.plans import AWAY, FEW, fasten, reaches
from fieldvoice.records.fastening import Fastener, FasteningPlan, Location, Situation, Spot, Stage
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge
from tests.fastening.panels import Corners, hole, panel, rectangle, sheet_on

LEAST = Fraction(3, 8)


def places(plan: FasteningPlan) -> list[tuple[str, str]]:
    """Where every fastener is, as read off a tape."""
    return [(str(spot.x), str(spot.y)) for spot in plan.spots]


class TestAWholeSheet:
    """4 by 8, lying across studs 16 in apart."""

    def test_in_rows_on_the_studs(self) -> None:
        """At the joints the least from the edge and 12 in apart, on the studs between 16 in; top and bottom 1/2 in."""
        plan = fasten(sheet_on(16))
        xs = sorted({spot.x for spot in plan.spots})
        assert [str(x) for x in xs] == ["3/8", "16", "32", "48", "64", "80", "95 5/8"]
        edge = sorted(str(spot.y) for spot in plan.spots if spot.x == Length("3/8"))
        assert edge == sorted(["1/2", "12 1/4", "24", "35 3/4", "47 1/2"])
        field = [spot.y for spot in plan.spots if spot.x == Length(48)]
        assert len(field) == 4
        assert plan.count == 2 * 5 + 5 * 4

    def test_a_few_first(self) -> None:
        """Six hold it, and the rest goes from the middle outwards."""
        plan = fasten(sheet_on(16))
        stages = [spot.stage for spot in plan.spots]
        assert stages == [Stage.FIRST] * FEW + [Stage.REST] * (plan.count - FEW)
        middle = [(spot.x.inches - 48) ** 2 + (spot.y.inches - 24) ** 2 for spot in plan.spots[FEW:]]
        assert middle == sorted(middle)

    def test_the_first_keep_away_from_a_box(self) -> None:
        """A foot at least, while fasteners are that far from it."""
        at_box = hole(30, 34, 20, 24)
        plan = fasten(sheet_on(16, at_box))
        for spot in plan.spots:
            if spot.stage is Stage.FIRST:
                assert off(spot, at_box) >= AWAY[0].inches

    def test_a_small_piece_full_of_box(self) -> None:
        """Where nothing is far enough from the box none goes first."""
        small = panel(rectangle(14, 10), [], hole(4, 10, 3, 7))
        assert {spot.stage for spot in fasten(small).spots} == {Stage.REST}


class TestOpenings:
    """None in a box, none in a window, and beside a window along its framing."""

    def test_a_box_on_a_stud(self) -> None:
        """The stud's row stops short of the box above and below."""
        plan = fasten(sheet_on(16, hole(31, 35, 20, 24)))
        ys = sorted(spot.y for spot in plan.spots if spot.x == Length(32))
        assert Length("19 1/2") in ys
        assert Length("24 1/2") in ys
        assert not any(Length("19 5/8") < y < Length("24 3/8") for y in ys)

    def test_a_window_has_fasteners_along_its_jambs(self) -> None:
        """Both sides as at an edge, 12 in apart at most, though no stud was called there."""
        window = replace(hole(36, 60, 10, 48), framed=True, beforehand=False)
        plan = fasten(sheet_on(16, window))
        for x in (Length("35 1/2"), Length("60 1/2")):
            ys = sorted(spot.y.inches for spot in plan.spots if spot.x == x)
            assert len(ys) >= 4
            assert all(b - a <= 12 for a, b in pairwise(ys))

    def test_no_second_row_beside_a_jamb(self) -> None:
        """A stud within a member's width of the jamb is the jamb's own beside the window, and goes on above it."""
        window = replace(hole(33, 60, 20, 48), framed=True)
        plan = fasten(sheet_on(16, window))
        ys = [spot.y for spot in plan.spots if spot.x == Length(32)]
        assert ys
        assert all(y < Length(20) for y in ys)


class TestFraming:
    """On what was called."""

    def test_called_studs_and_no_others(self) -> None:
        """Fasteners in the field stand on the centers alone."""
        plan = fasten(panel(rectangle(90, 48), [11, 33, 57], joints=frozenset({Edge.RIGHT})))
        field = {spot.x for spot in plan.spots if not spot.along_edge}
        assert field == {Length(11), Length(33), Length(57)}

    def test_no_second_row_beside_a_joint(self) -> None:
        """A stud half an inch short of the joint is the joint's own: its row is the one along the edge."""
        joint = frozenset({Edge.RIGHT})
        plan = fasten(panel(rectangle(48, 48), [16, 32, Fraction(95, 2)], joints=joint))
        assert {spot.x for spot in plan.spots if not spot.along_edge} == {Length(16), Length(32)}

    def test_a_joint_without_a_stud_is_told(self) -> None:
        """The right joint at 90 has no member; at 89 3/4 one is near enough for both boards, and at 89 1/2 a screw 3/8
        in from the other board's edge would be off it.
        """
        joint = frozenset({Edge.RIGHT})
        assert fasten(panel(rectangle(90, 48), [16, 32, 48, 64, 80], joints=joint)).off_framing == (Edge.RIGHT,)
        assert fasten(panel(rectangle(90, 48), [16, Fraction(359, 4)], joints=joint)).off_framing == ()
        assert fasten(panel(rectangle(90, 48), [16, Fraction(179, 2)], joints=joint)).off_framing == (Edge.RIGHT,)
        assert fasten(panel(rectangle(90, 48), [16], joints=joint, called=False)).off_framing == ()

    def test_joists_that_run_across(self) -> None:
        """The same piece turned has the same fasteners turned."""
        upright = panel(rectangle(96, 48), list(range(0, 97, 16)), joints=frozenset({Edge.LEFT}))
        lying = panel(rectangle(48, 96), list(range(0, 97, 16)), across=True, joints=frozenset({Edge.TOP}))
        assert [(s.x, s.y, s.stage) for s in fasten(upright).spots] == [
            (s.y, s.x, s.stage) for s in fasten(lying).spots
        ]
        marks = fasten(lying).marks
        assert {mark.edges for mark in marks} == {(Edge.LEFT, Edge.RIGHT)}
        off = fasten(panel(rectangle(48, 90), [16], across=True, joints=frozenset({Edge.BOTTOM}))).off_framing
        assert off == (Edge.BOTTOM,)

    def test_marks_at_both_edges(self) -> None:
        """From the left edge at the top and at the bottom, which differ where the left edge leans."""
        leaning = panel([(0, 0), (48, 0), (48, 96), (1, 96)], [16, 32])
        assert [tuple(map(str, mark.distances)) for mark in fasten(leaning).marks] == [("16", "15"), ("32", "31")]

    @given(
        lean=st.integers(-2, 2),
        tops=st.tuples(*[st.integers(0, 22)] * 3),
        bottoms=st.tuples(st.integers(90, 96), st.integers(90, 96)),
    )
    @settings(deadline=None)
    def test_marks_lie_along_an_edge_that_slopes(
        self, lean: int, tops: tuple[int, int, int], bottoms: tuple[int, int]
    ) -> None:
        """As a tape on it reads from its left corner on, over a ridge, too, not from where the board begins there."""
        upper = LineString([(max(lean, 0), tops[0]), (24, tops[1]), (48, tops[2])])
        lower = LineString([(max(-lean, 0), bottoms[0]), (48, bottoms[1])])
        corners: Corners = [(Fraction(x), Fraction(y)) for x, y in (*upper.coords, *reversed(lower.coords))]
        for mark, center in zip(fasten(panel(corners, [16, 32])).marks, (16, 32), strict=True):
            for line, told in zip((upper, lower), mark.distances, strict=True):
                at = line.intersection(LineString([(center, -1), (center, 200)]))
                assert told is not None
                assert abs(float(told.inches) - line.project(at)) <= 1 / 32 + 1e-6

    def test_no_mark_where_a_door_is(self) -> None:
        """The board is open at the bottom there."""
        door = panel(rectangle(96, 48), [16, 48], hole(40, 70, 10, 48))
        marks = fasten(door).marks
        assert [mark.distances[1] for mark in marks] == [Length(16), None]
        assert [mark.distances[0] for mark in marks] == [Length(16), Length(48)]


@given(*[st.tuples(st.integers(-9, 9), st.integers(-9, 9)) for _ in range(3)], st.integers(1, 100))
def test_a_distance_in_whole_numbers_is_the_distance(
    point: tuple[int, int], a: tuple[int, int], b: tuple[int, int], squared: int
) -> None:
    """As shapely measures it, but where the two are one to its rounding."""
    far = LineString([a, b]).distance(Point(point)) ** 2 if a != b else Point(a).distance(Point(point)) ** 2
    if abs(far - squared) > 1e-9:
        assert reaches(point, a, b, squared) is (far > squared)


@st.composite
def pieces(draw: st.DrawFn) -> Panel:
    """A piece with leaning sides, perhaps a raked top, boxes and a window, on members anywhere."""
    sixteenth = st.integers(0, 18).map(lambda n: Fraction(n, 16))
    width, height = draw(st.integers(12, 144)), draw(st.integers(12, 96))
    rake = draw(st.sampled_from([Fraction(0), Fraction(0), Fraction(height, 3)]))
    corners: list[tuple[Fraction | int, Fraction | int]] = [
        (draw(sixteenth), rake),
        (width - draw(sixteenth), Fraction(0)),
        (width - draw(sixteenth), Fraction(height)),
        (draw(sixteenth), Fraction(height)),
    ]
    spacing = draw(st.sampled_from([16, 24]))
    start = draw(st.integers(1, 16))
    holes = []
    for _ in range(draw(st.integers(0, 3))):
        left, top = Fraction(draw(st.integers(-2, width * 2)), 2), Fraction(draw(st.integers(-2, height * 2)), 2)
        wide, high = draw(st.integers(2, 40)), draw(st.integers(2, 40))
        holes.append(Hole(left, left + wide, top, top + high, draw(st.booleans())))
    joints = frozenset(draw(st.sets(st.sampled_from(list(Edge)))))
    case = Situation(draw(st.sampled_from([Location.WALL, Location.CEILING])), Length("1/2"), spacing=Length(spacing))
    return panel(corners, list(range(start, width, spacing)), *holes, case=case, joints=joints)


def off(spot: Spot, opening: Hole) -> float:
    """How far a fastener is from an opening."""
    around = box(float(opening.left), float(opening.top), float(opening.right), float(opening.bottom))
    return float(around.distance(Point(float(spot.x.inches), float(spot.y.inches))))


@settings(deadline=None, max_examples=60)
@given(pieces())
def test_every_fastener_is_in_board_and_keeps_its_distance(piece: Panel) -> None:
    """3/8 in at least from every edge and opening, on whatever piece."""
    outline = Polygon([(float(x), float(y)) for x, y in piece.outline])
    for spot in fasten(piece).spots:
        where = Point(float(spot.x.inches), float(spot.y.inches))
        assert outline.contains(where)
        assert outline.exterior.distance(where) >= float(LEAST) - 1e-9
        assert all(off(spot, one) >= float(LEAST) - 1e-9 for one in piece.holes)


@settings(deadline=None, max_examples=60)
@given(pieces())
def test_every_fastener_is_on_framing_and_on_a_mark(piece: Panel) -> None:
    """On a center, at a side that lies along a member, or at a window's jamb; and where a tape has a mark."""
    jambs = [x for one in piece.holes if one.framed for x in (one.left - Fraction(1, 2), one.right + Fraction(1, 2))]
    for spot in fasten(piece).spots:
        assert (spot.y.inches * 16).denominator == 1
        assert (spot.x.inches * 16).denominator == 1
        if not spot.along_edge:
            assert spot.x.inches in piece.members
        elif spot.x.inches not in jambs:
            edges = (Fraction(0), max(x for x, _ in piece.outline))
            assert min(abs(spot.x.inches - edge) for edge in edges) <= Fraction(18, 16) * 2 + 1


@settings(deadline=None, max_examples=60)
@given(pieces())
def test_no_two_neighbors_on_a_member_are_farther_apart_than_the_rule(piece: Panel) -> None:
    """Along every center, but where an opening or an edge that has its own row lies between."""
    plan = fasten(piece)
    most = plan.schedule.field.value.inches
    for center in piece.members:
        ys = sorted(spot.y.inches for spot in plan.spots if not spot.along_edge and spot.x.inches == center)
        for a, b in pairwise(ys):
            between = [one for one in piece.holes if one.top - 1 < b and a < one.bottom + 1]
            assert b - a <= most or any(one.left - 3 < center < one.right + 3 for one in between)


@settings(deadline=None, max_examples=40)
@given(st.integers(30, 144), st.integers(20, 54), st.sampled_from([16, 24]), st.sampled_from(list(Location)))
def test_every_member_of_a_plain_piece_is_fastened_from_edge_to_edge(
    width: int, height: int, spacing: int, location: Location
) -> None:
    """The first and the last fastener on each member are at the edges, and none is missing between."""
    case = Situation(location, Length("5/8"), "type x", spacing=Length(spacing))
    plain = panel(rectangle(width, height), list(range(spacing, width, spacing)), case=case)
    plan = fasten(plain)
    most = plan.schedule.field.value.inches
    for center in plain.members:
        if not Fraction(3, 2) <= center <= width - Fraction(3, 2):
            continue
        ys = sorted(spot.y.inches for spot in plan.spots if spot.x.inches == center)
        assert ys[0] == Fraction(1, 2)
        assert ys[-1] == height - Fraction(1, 2)
        assert all(b - a <= most for a, b in pairwise(ys))


@pytest.mark.parametrize("millimeters", [(1200, 2400), (2400, 1200), (913, 1741)])
@pytest.mark.parametrize("fastener", list(Fastener))
def test_in_a_job_in_millimeters_every_place_is_a_whole_one(millimeters: tuple[int, int], fastener: Fastener) -> None:
    """On a tape's marks, never nearer to an edge than the least and, of nails, never farther than the most."""
    wide, high = (Length.of(each, Unit.MM).inches for each in millimeters)
    centers = [Length.of(each, Unit.MM).inches for each in range(400, millimeters[0], 400)]
    case = Situation(Location.WALL, Length.of("12.5", Unit.MM), fastener=fastener)
    piece = replace(panel(rectangle(wide, high), [*centers], case=case), step=Length.of(1, Unit.MM))
    plan = fasten(piece)
    assert plan.count > 10
    for spot in plan.spots:
        assert (spot.x.inches * 254 / 10).denominator == 1
        assert (spot.y.inches * 254 / 10).denominator == 1
        off = min(spot.x.inches, spot.y.inches, wide - spot.x.inches, high - spot.y.inches)
        assert off >= LEAST
        if spot.along_edge and fastener is Fastener.NAIL:
            assert min(spot.x.inches, wide - spot.x.inches) <= Fraction(1, 2)


@settings(deadline=None, max_examples=60)
@given(pieces())
def test_doubled_nails_have_their_second_in_the_field_alone(piece: Panel) -> None:
    """2 to 2 1/2 in from its first on the same member, after all first ones; none at the rim, none too near to anything
    (Gypsum Association, section III, and a board maker's guide, page 103).
    """
    case = replace(piece.case, fastener=Fastener.NAIL, double_nailing=True)
    plan = fasten(replace(piece, case=case))
    stages = [spot.stage for spot in plan.spots]
    assert stages == sorted(stages, key=list(Stage).index)
    firsts = [spot for spot in plan.spots if spot.stage is not Stage.SECOND]
    for second in (spot for spot in plan.spots if spot.stage is Stage.SECOND):
        assert not second.along_edge
        near = [one for one in firsts if one.x == second.x and Length(2) <= second.y - one.y <= Length("2 1/2")]
        assert near
        assert all(off(second, one) >= float(LEAST) - 1e-9 for one in piece.holes)
    places = [(spot.x, spot.y) for spot in plan.spots]
    assert len(places) == len(set(places))


@pytest.mark.parametrize("location", list(Location))
def test_doubled_nails_are_12_in_apart_in_the_field(location: Location) -> None:
    """Their first set; the rim keeps 7 and 8 in. A garage's ceiling of 5/8 in type X keeps its 6 in."""
    kind = "type x" if location is Location.GARAGE_CEILING else "regular"
    case = Situation(location, Length("5/8"), kind=kind, fastener=Fastener.NAIL, double_nailing=True)
    plan = fasten(panel(rectangle(96, 48), [16, 32, 48, 64, 80], case=case))
    field = 6 if location is Location.GARAGE_CEILING else 12
    edge = {Location.CEILING: 7, Location.GARAGE_CEILING: 6}.get(location, 8)
    assert (plan.schedule.field.value, plan.schedule.edge.value) == (Length(field), Length(edge))
    middle = sorted(spot.y for spot in plan.spots if spot.x == Length(48) and spot.stage is not Stage.SECOND)
    assert all(b - a <= Length(field) for a, b in pairwise(middle))
    seconds = [spot for spot in plan.spots if spot.x == Length(48) and spot.stage is Stage.SECOND]
    assert len(seconds) == len(middle) - 2


@pytest.mark.parametrize("corners", [rectangle(48, 96), rectangle(96, 48)])
def test_nails_hold_closer_than_screws(corners: Corners) -> None:
    """More of them on the same sheet, whichever way it lies."""
    nails = Situation(Location.WALL, Length("1/2"), fastener=Fastener.NAIL)
    assert fasten(panel(corners, [16, 32], case=nails)).count > fasten(panel(corners, [16, 32])).count
