"""How board is fastened, against where it is published, and against what the trade does where it is not."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from fieldvoice.fastening.panels import MEMBER
from fieldvoice.fastening.plans import fasten
from fieldvoice.fastening.rules import bends, least_radius, pounds_per_square_foot, schedule
from fieldvoice.fastening.table import Table, TableRow, built_in
from fieldvoice.records.board import Sheet
from fieldvoice.records.fastening import (
    Authority,
    Bending,
    Confidence,
    Direction,
    Fastener,
    FramingDoubt,
    Grip,
    Location,
    Requirement,
    Ruling,
    Situation,
)
from fieldvoice.records.length import Length, Unit
from fieldvoice.wording.fastening import CURVED_FRAMING
from tests.fastening.panels import sheet_on

WALL, CEILING = Location.WALL, Location.CEILING


def asked(ruling: Ruling, authority: Authority) -> Length | None:
    """What one authority asks for."""
    return next((one.value for one in ruling.requirements if one.authority is authority), None)


def case(location: Location, thickness: str = "1/2", spacing: int = 16, **more: object) -> Situation:
    """A board on its framing."""
    return Situation(location, Length(thickness), spacing=Length(spacing), **more)  # type: ignore[arg-type]


class TestSpacing:
    """The most between fasteners."""

    @pytest.mark.parametrize(
        ("location", "spacing", "screws", "nails"),
        [(CEILING, 16, 12, 7), (CEILING, 24, 12, 7), (WALL, 16, 16, 8), (WALL, 24, 12, 8)],
    )
    def test_without_adhesive(self, location: Location, spacing: int, screws: int, nails: int) -> None:
        """NAVEDTRA 14044 page 164, the Gypsum Association's section III and CMHC; IRC Table R702.3.5 from memory."""
        for fastener, most in ((Fastener.SCREW, screws), (Fastener.NAIL, nails)):
            for thickness in ("1/2", "5/8"):
                found = schedule(case(location, thickness, spacing, fastener=fastener), built_in())
                assert asked(found.field, Authority.CODE) == Length(most)
                assert asked(found.edge, Authority.CODE) == Length(most)

    @pytest.mark.parametrize(
        ("location", "spacing", "nails", "screws"),
        [(CEILING, 16, 16, 16), (CEILING, 24, 12, 16), (WALL, 24, 16, 24), (WALL, 16, 16, 24)],
    )
    def test_with_adhesive(self, location: Location, spacing: int, nails: int, screws: int) -> None:
        """IRC Table R702.3.5, from memory (high)."""
        for fastener, most in ((Fastener.SCREW, screws), (Fastener.NAIL, nails)):
            found = schedule(case(location, "1/2", spacing, fastener=fastener, adhesive=True), built_in())
            assert asked(found.field, Authority.CODE) == Length(most)

    @pytest.mark.parametrize("location", [CEILING, WALL])
    def test_glued_nails_are_12_in_apart(self, location: Location) -> None:
        """NAVEDTRA 14044, page 164; the 16 in of IRC Table R702.3.5 (from memory) is shown after it."""
        found = schedule(case(location, fastener=Fastener.NAIL, adhesive=True), built_in())
        assert found.field.value == Length(12)
        assert asked(found.field, Authority.PRACTICE) == Length(12)

    def test_a_garage_ceiling_under_rooms(self) -> None:
        """IRC Tables R302.6 and R702.3.5 as drafting notes report them: 5/8 type X, 6 in, framing to 24 in."""
        for fastener in Fastener:
            found = schedule(case(Location.GARAGE_CEILING, "5/8", 24, kind="type x", fastener=fastener), built_in())
            assert (found.edge.value, found.field.value) == (Length(6), Length(6))
            assert found.concerns == ()

    @pytest.mark.parametrize("adhesive", [False, True])
    @pytest.mark.parametrize("double_nailing", [False, True])
    @pytest.mark.parametrize("spacing", [16, 24])
    def test_no_other_row_loosens_a_garage_ceiling(self, *, adhesive: bool, double_nailing: bool, spacing: int) -> None:
        """Its 6 in (IRC Table R702.3.5, as drafting notes report it) holds with adhesive and doubled nails too."""
        for fastener in Fastener:
            asked_of = case(
                Location.GARAGE_CEILING,
                "5/8",
                spacing,
                kind="type x",
                fastener=fastener,
                adhesive=adhesive,
                double_nailing=double_nailing,
            )
            found = schedule(asked_of, built_in())
            assert asked(found.edge, Authority.CODE) == asked(found.field, Authority.CODE) == Length(6)

    @pytest.mark.parametrize(("location", "edge"), [(CEILING, 7), (WALL, 8)])
    def test_double_nailing(self, location: Location, edge: int) -> None:
        """Gypsum Association, section III, and a board maker's guide, page 103: first set 12 in apart, the second 2 to
        2 1/2 in from the first, in the field alone.
        """
        found = schedule(case(location, fastener=Fastener.NAIL, double_nailing=True), built_in())
        assert (found.edge.value, found.field.value) == (Length(edge), Length(12))
        assert found.pair is not None
        assert found.pair_most is not None
        assert (found.pair.value, found.pair_most.value) == (Length(2), Length("2 1/2"))
        single = schedule(case(location, fastener=Fastener.NAIL), built_in())
        assert (single.pair, single.field.value) == (None, Length(edge))

    @pytest.mark.parametrize(
        ("location", "thickness", "kind", "enough"),
        [
            (Location.GARAGE_WALL, "3/8", "regular", False),
            (Location.GARAGE_WALL, "1/2", "regular", True),
            (Location.GARAGE_CEILING, "1/2", "type x", False),
            (Location.GARAGE_CEILING, "5/8", "regular", False),
            (Location.GARAGE_CEILING, "5/8", "type x", True),
            (WALL, "3/8", "regular", True),
            (CEILING, "1/2", "regular", True),
        ],
    )
    def test_a_garages_board(self, location: Location, thickness: str, kind: str, *, enough: bool) -> None:
        """IRC Table R302.6 as drafting notes report it: 1/2 in on the garage's side, 5/8 in type X under rooms."""
        found = schedule(case(location, thickness, kind=kind), built_in())
        assert (FramingDoubt.FIRE not in {concern.doubt for concern in found.concerns}) is enough

    def test_the_trade_asks_for_more_round_the_edges(self) -> None:
        """Common practice, no source: 12 in round the edges of a wall's board, 16 in its field; the code's 16 is shown
        after.
        """
        found = schedule(case(WALL), built_in())
        assert [(one.value, one.authority) for one in found.edge.requirements] == [
            (Length(12), Authority.PRACTICE),
            (Length(16), Authority.CODE),
        ]
        assert found.field.value == Length(16)


class TestLength:
    """How long the fastener is."""

    @pytest.mark.parametrize(
        ("thickness", "layers", "framing", "code"),
        [
            ("1/2", 1, "wood", "1 1/8"),
            ("5/8", 1, "wood", "1 1/4"),
            ("5/8", 2, "wood", "1 7/8"),
            ("5/8", 1, "steel", "1"),
            ("1/2", 1, "steel", "1"),
        ],
    )
    def test_by_the_code(self, thickness: str, layers: int, framing: str, code: str) -> None:
        """Derived: all layers and 5/8 in into wood (IRC R702.3.5.1, reported) or 3/8 in into steel (reported), as sold
        (from memory).
        """
        found = schedule(case(WALL, thickness, framing=framing, layers=layers), built_in())
        assert asked(found.lengths[-1], Authority.CODE) == Length(code)

    @pytest.mark.parametrize(
        ("thickness", "layers", "practice"), [("1/2", 1, "1 1/4"), ("5/8", 1, "1 5/8"), ("1/2", 2, "2")]
    )
    def test_by_the_trade(self, thickness: str, layers: int, practice: str) -> None:
        """Common practice, no source: 1 1/4, 1 5/8, and 2 in for two layers of 1/2 in; all more than the code's."""
        found = schedule(case(WALL, thickness, layers=layers), built_in())
        assert found.lengths[-1].value == Length(practice)
        assert asked(found.lengths[-1], Authority.PRACTICE) == Length(practice)

    def test_each_layer_has_its_own(self) -> None:
        """The first layer's screw goes through one board, the second's through both."""
        found = schedule(case(WALL, "1/2", layers=2), built_in())
        assert [one.value for one in found.lengths] == [Length("1 1/4"), Length(2)]

    @pytest.mark.parametrize(
        ("grip", "thickness", "length"),
        [
            (Grip.RINGED, "1/2", "1 1/4"),
            (Grip.RINGED, "5/8", "1 3/8"),
            (Grip.SMOOTH, "1/2", "1 1/2"),
            (Grip.SMOOTH, "5/8", "1 5/8"),
        ],
    )
    def test_nails(self, grip: Grip, thickness: str, length: str) -> None:
        """NAVEDTRA 14044: 3/4 in into wood ringed, 1 in smooth; an inspectors' page of IRC Table R702.3.5 for lengths,
        whose 13 gauge nail of 1 3/8 in through 1/2 in board goes in 7/8 in only, so that the deeper rule decides.
        """
        found = schedule(case(WALL, thickness, fastener=Fastener.NAIL, grip=grip), built_in())
        assert found.lengths[0].value == Length(length)

    def test_a_garage_ceilings_nail(self) -> None:
        """IRC Table R702.3.5, as drafting notes report it: 6d, 1 7/8 in."""
        found = schedule(case(Location.GARAGE_CEILING, "5/8", kind="type x", fastener=Fastener.NAIL), built_in())
        assert found.lengths[0].value == Length("1 7/8")

    def test_coarse_in_wood_and_fine_in_steel(self) -> None:
        """IRC R702.3.5.1 (reported) names types W and S; coarse and fine are common practice, no source."""
        assert schedule(case(WALL), built_in()).grip is Grip.COARSE
        assert schedule(case(WALL, framing="steel"), built_in()).grip is Grip.FINE


def test_from_the_edge() -> None:
    """2018 IRC Table R702.3.6 note d: 3/8 in at least; a maker's guide: nails no more than 1/2 in."""
    for fastener in Fastener:
        found = schedule(case(WALL, fastener=fastener), built_in())
        assert found.edge_distance.value == Length("3/8")
        most = found.edge_distance_most
        assert (most.value if most else None) == (Length("1/2") if fastener is Fastener.NAIL else None)


@pytest.mark.parametrize(("framing", "spacing", "count"), [(16, 16, 28), (16, 12, 35), (24, 12, 25), (24, 16, 20)])
def test_screws_of_a_whole_sheet(framing: int, spacing: int, count: int) -> None:
    """Recomputed from geometry: a 4 by 8 sheet across its framing, members at both ends, one spacing throughout."""
    flat = Ruling((Requirement(Length(spacing), Authority.OWN, built_in().edge[0].source),))
    one_spacing = Table(
        edge=tuple(replaced(row, flat.value) for row in built_in().edge),
        field=tuple(replaced(row, flat.value) for row in built_in().field),
    ).over(built_in())
    assert fasten(sheet_on(framing), one_spacing).count == count


def replaced(row: TableRow[Length], value: Length) -> TableRow[Length]:
    """A row of the table with another figure, as one's own."""
    return replace(row, value=value, authority=Authority.OWN)


class TestFraming:
    """How far apart the framing may stand."""

    @pytest.mark.parametrize(
        ("location", "thickness", "direction", "most"),
        [
            (WALL, "3/8", Direction.ACROSS, 16),
            (WALL, "1/2", Direction.ALONG, 24),
            (WALL, "5/8", Direction.ACROSS, 24),
            (CEILING, "3/8", Direction.ACROSS, 16),
            (CEILING, "1/2", Direction.ALONG, 16),
            (CEILING, "5/8", Direction.ALONG, 16),
            (CEILING, "5/8", Direction.ACROSS, 24),
        ],
    )
    def test_the_codes_most(self, location: Location, thickness: str, direction: Direction, most: int) -> None:
        """IRC Table R702.3.5 as notes on a state's code report it; 3/8 and 5/8 in on ceilings from memory (high)."""
        held = schedule(case(location, thickness, most, direction=direction), built_in())
        over = schedule(case(location, thickness, most + 8, direction=direction), built_in())
        assert held.concerns == ()
        assert [concern.doubt for concern in over.concerns] == [FramingDoubt.TOO_WIDE]
        allowed = over.concerns[0].allowed
        assert allowed is not None
        assert allowed.value == Length(most)

    def test_half_inch_sags_between_joists_24_in_apart(self) -> None:
        """A maker's tips that cite GA-216-2021: sag resistant board then; the code alone allows it across."""
        plain = schedule(case(CEILING, spacing=24), built_in())
        assert [concern.doubt for concern in plain.concerns] == [FramingDoubt.TOO_WIDE]
        assert plain.concerns[0].allowed is not None
        assert asked(plain.concerns[0].allowed, Authority.CODE) == Length(24)
        assert schedule(case(CEILING, spacing=24, kind="sag resistant"), built_in()).concerns == ()

    def test_quarter_inch_is_in_no_table(self) -> None:
        """IRC Table R702.3.5 begins at 3/8 in."""
        assert [concern.doubt for concern in schedule(case(WALL, "1/4"), built_in()).concerns] == [
            FramingDoubt.NOT_LISTED
        ]


@pytest.mark.parametrize(
    ("thickness", "kind", "pounds"),
    [
        ("1/4", "regular", "1.2"),
        ("3/8", "regular", "1.4"),
        ("1/2", "regular", "1.78"),
        ("1/2", "lightweight", "1.375"),
        ("5/8", "type x", "2.3"),
    ],
)
def test_pounds_a_square_foot(thickness: str, kind: str, pounds: str) -> None:
    """Trade pages, the upper of each range: 1/4 in 38.4 lb a 4 by 8 sheet, 1/2 in 1.6 to 1.78, 5/8 in 2.2 to 2.3."""
    found, source = pounds_per_square_foot(case(WALL, thickness, kind=kind), built_in())
    assert found == Fraction(pounds)
    assert source.confidence is Confidence.REPORTED


def test_a_metric_board_goes_by_the_next_thinner_for_strength_and_the_thicker_for_weight() -> None:
    """EN 520 tolerances (reported): 12.5 mm goes by 1/2 in both ways, 15 mm by 1/2 in for its framing and by 5/8 in
    for its weight; the screw goes by what it is.
    """
    half = Situation(WALL, Length.of("12.5", Unit.MM))
    thick = Situation(CEILING, Length.of(15, Unit.MM), direction=Direction.ACROSS, spacing=Length(24))
    assert pounds_per_square_foot(half, built_in())[0] == Fraction("1.78")
    assert pounds_per_square_foot(thick, built_in())[0] == Fraction("2.3")
    wide, between = schedule(thick, built_in()).concerns
    assert (wide.doubt, between.doubt, between.by) == (FramingDoubt.TOO_WIDE, FramingDoubt.BETWEEN, Length("1/2"))
    assert not schedule(half, built_in()).concerns
    assert schedule(half, built_in()).lengths[0].value == Length("1 1/4")


@pytest.mark.parametrize(
    ("thickness", "bending", "feet"),
    [
        ("1/4", Bending.LENGTHWISE, Fraction(5)),
        ("5/16", Bending.LENGTHWISE, Fraction(25, 4)),
        ("3/8", Bending.LENGTHWISE, Fraction(15, 2)),
        ("1/2", Bending.LENGTHWISE, Fraction(10)),
        ("5/8", Bending.LENGTHWISE, Fraction(15)),
        ("1/4", Bending.WIDTHWISE, Fraction(15)),
        ("5/16", Bending.WIDTHWISE, Fraction(20)),
        ("3/8", Bending.WIDTHWISE, Fraction(25)),
    ],
)
def test_bending_radii(thickness: str, bending: Bending, feet: Fraction) -> None:
    """Gypsum Association figures in two trade articles: dry, on framing no more than 6 in apart."""
    found = least_radius(Length(thickness), bending, built_in())
    assert found is not None
    assert found.value == Length(feet * 12)
    going = (one for one in bends(found.value, built_in()) if one.bends and one.way is bending)
    assert next(going).thickness == Length(thickness)


def test_the_tightest_curve_takes_two_layers_of_flexible_board() -> None:
    """Two trade articles: some 12 in, in two layers of 1/4 in, on framing no more than 6 in apart."""
    *_, flexible = bends(Length(12), built_in())
    assert (flexible.kind, flexible.layers, flexible.thickness) == ("flexible", 2, Length("1/4"))
    assert flexible.bends
    assert not any(one.bends for one in bends(Length("11 3/4"), built_in()))
    assert Length(6) == CURVED_FRAMING


def test_framing_is_an_inch_and_a_half_wide() -> None:
    """IRC R702.3.2 (reported) asks for 2 in nominal in wood, which is 1 1/2 in planed (common practice, no source); a
    steel stud's flange is 1 1/4 in (from memory, high).
    """
    assert {"wood": Length("1 1/2"), "steel": Length("1 1/4")} == MEMBER


@pytest.mark.parametrize(("kind", "thickness"), [("lightweight", "1/2"), ("regular", "1/2"), ("type x", "5/8")])
def test_a_sheet_of_12_ft_is_carried_by_two_at_least(kind: str, thickness: str) -> None:
    """Trade pages' weights: 61.2 to 110.4 lb, all above the 51 lb of NIOSH 94-110's best lift."""
    large = replace(sheet_on(16), sheet=Sheet(Length(48), Length(144)), case=case(WALL, thickness, kind=kind))
    plan = fasten(large)
    assert plan.carrying.pounds > 51
    assert plan.carrying.people >= 2


def test_thick_board_is_not_bent_across() -> None:
    """The second article has no radius for 1/2 and 5/8 in along the width."""
    for thickness in ("1/2", "5/8"):
        assert least_radius(Length(thickness), Bending.WIDTHWISE, built_in()) is None
    assert not any(one.bends for one in bends(Length(59), built_in()) if one.kind != "flexible")


def test_every_row_has_its_source() -> None:
    """Nothing in the shipped table stands by itself."""
    table = built_in()
    rows = [
        row
        for rows in (table.edge, table.field, table.penetration, table.length, table.edge_distance, table.framing)
        for row in rows
    ]
    assert len(rows) > 40
    assert all(row.source.text and row.authority is not Authority.OWN for row in rows)
