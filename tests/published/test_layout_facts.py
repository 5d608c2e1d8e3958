"""What every layout keeps, against where it is published, or marked as practice; looked at on a whole house's plan."""

from __future__ import annotations

from itertools import combinations

import pytest

from fieldvoice.layout.rules import LIMITS, rules
from fieldvoice.records.board import Lies, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension
from fieldvoice.records.room_plan import Joint, JointKind, RoomPlan, RuleCode, SurfacePlan
from tests.layout.houses import lake_plan

INCH = LIMITS[Unit.INCH]


@pytest.fixture(scope="module")
def house() -> RoomPlan:
    """A whole house, planned."""
    return lake_plan()


def ends(surface: SurfacePlan) -> list[Joint]:
    """Its end joints: those that cross the long edges of the boards that meet there."""
    lying = {piece.name: piece.lies is Lies.LYING for piece in surface.pieces}
    return [
        joint for joint in surface.joints if joint.kind is JointKind.BUTT and upright(joint) is lying[joint.pieces[0]]
    ]


def upright(joint: Joint) -> bool:
    """Whether it runs up."""
    return joint.start[0] == joint.end[0]


def place(joint: Joint) -> Length:
    """Where it crosses its course."""
    return joint.start[0] if upright(joint) else joint.start[1]


def span(joint: Joint) -> tuple[Length, Length]:
    """From where to where it runs."""
    axis = 1 if upright(joint) else 0
    return min(joint.start[axis], joint.end[axis]), max(joint.start[axis], joint.end[axis])


def test_butt_joints_of_neighbors_are_two_feet_apart(house: RoomPlan) -> None:
    """End joints are staggered (GA-216 and ASTM C840 as their association's staff summarize them); 24 in is trade habit
    (engineerfix.com: 48 in is better).
    """
    assert Length(24) == INCH.stagger
    looked = 0
    for surface in house.surfaces:
        for one, other in combinations(ends(surface), 2):
            if one.layer == other.layer and meet(one, other):
                looked += 1
                assert abs((place(one) - place(other)).inches) >= 24
    assert looked


def meet(one: Joint, other: Joint) -> bool:
    """Whether two joints stand in courses that touch."""
    if upright(one) is not upright(other):
        return False
    (low, high), (lower, higher) = span(one), span(other)
    return high == lower or higher == low


def test_butt_joints_are_on_framing(house: RoomPlan) -> None:
    """IBC 2508.3 (Virginia Construction Code 2021, in a public copy): ends on framing, unless they cross it."""
    looked = 0
    for surface in house.surfaces:
        members = surface.surface.members
        up = members.along is Dimension.WIDTH
        extent = surface.surface.width if up else surface.surface.highest
        for joint in ends(surface):
            if upright(joint) is up:
                looked += 1
                assert place(joint) in members.centers(extent)
    assert looked


def test_no_butt_joint_is_within_6_in_of_an_openings_corner(house: RoomPlan) -> None:
    """A detail of GA-216-2016 keeps joints off the corners (that it exists is reported, its wording wasn't read); 6 in
    by an older residential guide.
    """
    assert Length(6) == INCH.past_opening
    for surface in house.surfaces:
        for joint in ends(surface):
            for hole in surface.surface.openings:
                low, high = span(joint)
                if upright(joint) and low <= hole.top and hole.bottom <= high:
                    assert all(abs((place(joint) - side).inches) >= 6 for side in (hole.left, hole.right))


def test_the_floor_gap(house: RoomPlan) -> None:
    """1/2 in is quoted as practice (greenyplace.com, a weak page); at least 1/4 in: GA-216, from memory (medium); that
    a base covers 1 in: common practice, no source.
    """
    assert (INCH.gap, INCH.gap_least, INCH.gap_most) == (Length("1/2"), Length("1/4"), Length(1))
    for surface in house.surfaces:
        if surface.surface.kind is Surface.WALL:
            lowest = min(piece.y for piece in surface.pieces)
            assert Length("1/4") <= lowest <= Length(1)


def test_ceilings_run_across_their_joists_where_these_are_wide() -> None:
    """IRC Table R702.3.5 as reported: either way at 16 in, across alone at 24 in."""
    assert (INCH.widest_along_joists, INCH.widest_framing) == (Length(16), Length(24))


def test_pieces_are_no_shorter_than_practice_has_it(house: RoomPlan) -> None:
    """24 in, and no course ripped under 6 in: common practice, no source."""
    assert (INCH.least_piece, INCH.least_strip) == (Length(24), Length(6))
    said = {rule.code: rule.source for rule in rules(Unit.INCH)}
    for code in (RuleCode.LEAST_PIECE, RuleCode.LEAST_STRIP, RuleCode.NO_NEEDLESS_JOINT, RuleCode.FACTORY_EDGES):
        assert said[code] == "common practice, no source"
    assert all(min(piece.width, piece.height) >= Length(6) for piece in house.pieces)


@pytest.mark.parametrize("unit", list(Unit))
def test_every_rule_names_its_source(unit: Unit) -> None:
    """Published, reported, from memory, or marked as practice; none stands by itself."""
    found = rules(unit)
    assert {rule.code for rule in found} == set(RuleCode)
    assert all(rule.source for rule in found)


def test_a_job_in_millimeters_keeps_the_rules_in_inches() -> None:
    """Its trade's round figures: none asks for less than 1/2 in under 24 in, 1/4 in under 6 in, and framing that is no
    wider.
    """
    metric = LIMITS[Unit.MM]
    assert metric.stagger >= INCH.stagger - Length("1/2")
    assert metric.past_opening >= INCH.past_opening - Length("1/4")
    assert metric.widest_framing <= INCH.widest_framing
    assert metric.widest_along_joists <= INCH.widest_along_joists
    assert metric.gap_most <= INCH.gap_most
