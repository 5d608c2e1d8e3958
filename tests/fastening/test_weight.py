"""What a piece weighs, to the last fraction, and who lifts it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from fieldvoice.fastening.panels import Hole
from fieldvoice.fastening.plans import fasten
from fieldvoice.fastening.table import built_in
from fieldvoice.fastening.weight import area_less, one_person, weigh
from fieldvoice.records.fastening import Crew, Location, Situation
from fieldvoice.records.length import Length
from tests.fastening.panels import hole, panel, rectangle, sheet_on


def test_a_whole_sheet() -> None:
    """4 by 8 ft of half inch board at 1.78 lb: 56.96 lb."""
    weight = weigh(sheet_on(16), built_in())
    assert weight.piece == weight.sheet == weight.lifted == Fraction("56.96")


def test_a_window_cut_out_once_it_hangs_is_lifted_all_the_same() -> None:
    """3 by 3 ft of window take 16.02 lb off the piece, and nothing off what is lifted."""
    window = hole(30, 66, 6, 42)
    hung = weigh(sheet_on(16, replace(window, beforehand=False)), built_in())
    sawn = weigh(sheet_on(16, window), built_in())
    assert hung.piece == sawn.piece == sawn.lifted == Fraction("56.96") - 9 * Fraction("1.78")
    assert hung.lifted == Fraction("56.96")


def test_an_opening_over_the_edge_takes_only_what_is_board() -> None:
    """A notch that runs 4 in past the corner."""
    assert area_less(tuple((Fraction(x), Fraction(y)) for x, y in rectangle(40, 40)), [hole(36, 44, -4, 4)]) == 1584


@given(
    st.lists(st.tuples(st.integers(-5, 50), st.integers(1, 30), st.integers(-5, 50), st.integers(1, 30)), max_size=4),
    st.integers(0, 20),
)
def test_it_is_never_lighter_than_shapely_finds_it(sizes: list[tuple[int, int, int, int]], rake: int) -> None:
    """Exactly that where openings don't overlap, and no less where they do."""
    corners = [(0, rake), (48, 0), (47, 48), (1, 48)]
    holes = [Hole(Fraction(x), Fraction(x + w), Fraction(y), Fraction(y + h)) for x, w, y, h in sizes]
    found = float(area_less(tuple((Fraction(x), Fraction(y)) for x, y in corners), holes))
    boxes = [box(float(one.left), float(one.top), float(one.right), float(one.bottom)) for one in holes]
    together = unary_union([Polygon(), *boxes])
    exact = Polygon(corners).difference(together).area
    assert found >= exact - 1e-6
    if sum(one.area for one in boxes) - together.area < 1e-9:
        assert abs(found - exact) < 1e-6


class TestWhoLifts:
    """By the most that the lifting equation recommends for one, at its best."""

    def test_one_person_at_knuckle_height(self) -> None:
        """51 lb for a poor grip (.90) all day, once in five minutes (.85): 39.0 lb."""
        assert round(one_person(Length(0)), 1) == 39

    def test_less_for_the_upper_course(self) -> None:
        """Up to 48 in: .865 for the height and .92 for the way."""
        assert one_person(Length(48)) == Fraction("0.865") * Fraction("0.92") * 51 * Fraction("0.9") * Fraction("0.85")

    def test_none_above_70_in(self) -> None:
        """The equation ends there."""
        assert one_person(Length(71)) == 0
        high = replace(sheet_on(16), hangs_at=Length(80))
        assert (fasten(high).hanging.crew, fasten(high).hanging.limit) == (Crew.LIFT, None)

    def test_a_strip_up_there_takes_one(self) -> None:
        """Some 9 lb, held up with one hand, on a wall or a ceiling; over 10 lb a lift or two."""
        for long, crew in ((60, Crew.ONE), (72, Crew.LIFT)):
            strip = panel(rectangle(long, 12), list(range(16, long, 16)))
            overhead = Situation(Location.CEILING, Length("1/2"))
            on_ceiling = panel(rectangle(long, 12), list(range(16, long, 16)), case=overhead)
            assert fasten(replace(strip, hangs_at=Length(90))).hanging.crew is crew
            assert fasten(on_ceiling).hanging.crew is crew

    def test_a_whole_sheet_takes_two(self) -> None:
        """56.96 lb is over one person's and within two's."""
        plan = fasten(sheet_on(16))
        assert plan.carrying.crew is Crew.TWO
        assert plan.hanging.crew is Crew.TWO

    def test_a_small_piece_takes_one(self) -> None:
        """2 by 4 ft, though the sheet that it is cut from takes two."""
        plan = fasten(panel(rectangle(48, 24), [16, 32]))
        assert plan.hanging.crew is Crew.ONE
        assert plan.carrying.crew is Crew.TWO

    def test_a_ceiling_takes_a_lift(self) -> None:
        """Overhead the equation has no figure at all."""
        hung = fasten(sheet_on(16, location=Location.CEILING)).hanging
        assert (hung.crew, hung.limit) == (Crew.LIFT, None)

    def test_the_heaviest_takes_a_lift(self) -> None:
        """4 by 12 ft of 5/8 in is 110.4 lb, over twice one person's: three where no lift is at hand."""
        case = Situation(Location.WALL, Length("5/8"), "type x")
        heavy = panel(rectangle(144, 48), list(range(16, 144, 16)), case=case)
        assert fasten(heavy).weight.piece == Fraction("110.4")
        assert (fasten(heavy).hanging.crew, fasten(heavy).hanging.people) == (Crew.LIFT, 3)

    def test_overhead_no_fewer_than_low(self) -> None:
        """The same board on a ceiling takes three as well, and one of 13.8 lb two."""
        heavy = Situation(Location.CEILING, Length("5/8"), "type x")
        assert fasten(panel(rectangle(144, 48), [16], case=heavy)).hanging.people == 3
        assert fasten(panel(rectangle(36, 24), [16], case=heavy)).hanging.people == 2
