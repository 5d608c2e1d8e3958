"""What is said of a board's fasteners and its weight, for the eye and for the ear."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from fieldvoice.fastening.plans import fasten
from fieldvoice.records.fastening import Fastener, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.wording.fastening import fastening_lines, handling_text, mark_lines
from fieldvoice.wording.forms import Form, InWords
from tests.fastening.panels import hole, panel, rectangle, sheet_on


def test_a_sheet_for_the_eye() -> None:
    """Both figures where the trade asks for more than the code, the stricter first."""
    assert fastening_lines(fasten(sheet_on(16, hole(30, 34, 20, 24))), Form(Unit.INCH)) == (
        "32 screws, coarse thread.",
        "1 1/4 in (the trade; the code: 1 1/8 in) long, and no longer: wires and pipes run in the framing.",
        "Spacing at most: along edges on framing 12 in (the trade; the code: 16 in), elsewhere 16 in (the code).",
        "From every edge and opening at least 3/8 in (the code).",
        "The first 6 hold it, away from the openings. Once those are cut, drive the rest, from the middle out.",
    )


def test_a_sheet_for_the_ear() -> None:
    """Lengths as they are said."""
    lines = fastening_lines(fasten(sheet_on(16)), InWords(Unit.INCH))
    assert lines[1].startswith("One inch and one quarter (the trade; the code: one inch and one eighth) long")
    assert "three eighths of an inch" in lines[3]


def test_in_millimeters() -> None:
    """A job in millimeters is told in whole ones that still keep the rule, and in kilograms."""
    plan = fasten(sheet_on(16))
    lines = fastening_lines(plan, Form(Unit.MM))
    assert lines[1].startswith("32 mm (the trade; the code: 29 mm) long")
    assert "304 mm (the trade; the code: 406 mm)" in lines[2]
    assert "at least 10 mm (the code)" in lines[3]
    assert handling_text(plan.carrying, plan.hanging, Unit.MM) == (
        "The sheet weighs up to 26 kg: carry it with two people. The board weighs up to 26 kg: hang it with two "
        "people. The lifting equation recommends 17 kg for one at best."
    )


def test_doubled_nails_and_adhesive_are_told() -> None:
    """How far the second nail is from the first, by whom, and that the rim has single ones; where the bead goes."""
    doubled = Situation(Location.WALL, Length("1/2"), fastener=Fastener.NAIL, double_nailing=True)
    lines = fastening_lines(fasten(panel(rectangle(96, 48), [16, 32, 48, 64, 80], case=doubled)), Form(Unit.INCH))
    assert lines[4] == (
        "Nails in the field are doubled: once all are in, a second one 2 in (the code) to 2 1/2 in (the code) from "
        "each, then the first ones once more. The rim keeps single nails."
    )
    both = replace(doubled, adhesive=True)
    lines = fastening_lines(fasten(panel(rectangle(96, 48), [16, 32, 48, 64, 80], case=both)), Form(Unit.INCH))
    assert lines[4] == "No rule here is for doubled nails with adhesive: single ones are counted."
    glued = Situation(Location.WALL, Length("1/2"), adhesive=True)
    lines = fastening_lines(fasten(panel(rectangle(96, 48), [16, 32, 48, 64, 80], case=glued)), Form(Unit.INCH))
    assert lines[4].startswith("Adhesive: a bead of 3/8 in on every member")


@pytest.mark.parametrize(
    ("location", "thickness", "kind", "told"),
    [
        (Location.GARAGE_WALL, "3/8", "regular", "at least 1/2 in (the code) is usual toward the house"),
        (Location.GARAGE_CEILING, "1/2", "regular", "5/8 in (the code) of type x is usual under rooms"),
        (Location.GARAGE_CEILING, "5/8", "regular", "5/8 in (the code) of type x is usual under rooms"),
        (Location.GARAGE_WALL, "1/2", "regular", None),
        (Location.GARAGE_CEILING, "5/8", "type x", None),
    ],
)
def test_a_garage_says_what_is_usual_against_fire(
    location: Location, thickness: str, kind: str, told: str | None
) -> None:
    """Where the board is less than that, with who asks for it; local code decides."""
    case = Situation(location, Length(thickness), kind=kind)
    lines = fastening_lines(fasten(panel(rectangle(96, 48), [16, 32, 48, 64, 80], case=case)), Form(Unit.INCH))
    found = [line for line in lines if line.startswith("In a garage")]
    if told is None:
        assert not found
    else:
        assert told in found[0]
        assert "Local code decides" in found[0]


def test_a_joint_in_the_air() -> None:
    """What is wrong, what it means and what to do."""
    lines = fastening_lines(fasten(panel(rectangle(90, 48), [16], joints=frozenset({Edge.RIGHT}))), Form(Unit.INCH))
    assert lines[-1] == (
        "No framing was called behind the joint at the right: its fasteners would have nothing to hold in. Put in "
        "blocking, or measure the framing again, before it is hung."
    )


def test_framing_too_wide() -> None:
    """Half inch on a ceiling at 24 in: what it may span by whom, and what to do."""
    case = Situation(Location.CEILING, Length("1/2"), spacing=Length(24))
    lines = fastening_lines(fasten(panel(rectangle(96, 48), [24, 48], case=case)), Form(Unit.INCH))
    assert lines[-1] == (
        "The framing is 24 in apart, and hung this way this board may span 16 in (the trade; the code: 24 in). Take "
        "thicker "
        "or stiffer board, turn it, or add framing."
    )


def test_only_the_spacing_is_known() -> None:
    """Then the members are to be found first."""
    lines = fastening_lines(fasten(panel(rectangle(48, 48), [16], called=False)), Form(Unit.INCH))
    assert lines[-1].startswith("Only the spacing of the framing is known: find each member")


def test_marks_at_both_edges() -> None:
    """A line an edge, from its left end."""
    leaning = fasten(panel([(0, 0), (48, 0), (48, 96), (Fraction(1), 96)], [16, 32]))
    assert mark_lines(leaning.marks, Form(Unit.INCH)) == (
        "Framing along the top edge, from its left corner: 16 in, 32 in.",
        "Framing along the bottom edge, from its left corner: 15 in, 31 in.",
    )


class TestWhoLifts:
    """Never less than it weighs."""

    def test_two(self) -> None:
        """56.96 lb is up to 57."""
        plan = fasten(sheet_on(16))
        assert handling_text(plan.carrying, plan.hanging, Unit.INCH) == (
            "The sheet weighs up to 57 lb: carry it with two people. The board weighs up to 57 lb: hang it with two "
            "people. The lifting equation recommends 39 lb for one at best."
        )

    def test_a_small_board_of_a_large_sheet(self) -> None:
        """Two carry, one hangs."""
        plan = fasten(panel(rectangle(24, 24), [16]))
        text = handling_text(plan.carrying, plan.hanging, Unit.INCH)
        assert text is not None
        assert "The board weighs up to 8 lb. " in text

    def test_overhead(self) -> None:
        """With a lift, whatever it weighs."""
        plan = fasten(sheet_on(16, location=Location.CEILING))
        text = handling_text(plan.carrying, plan.hanging, Unit.INCH)
        assert text is not None
        assert "hang it with a sheet lift, or two people" in text
