"""The lifting equation against the examples of NIOSH publication 94-110 and two pages that work one out.

The publication rounds its multipliers to two places and its limits to one; where full precision gives another last
digit both are checked. What of an example comes from memory is said beside it.
"""

from __future__ import annotations

from dataclasses import astuple, replace
from fractions import Fraction
from math import floor

import pytest

from fieldvoice.fastening.weight import (
    LOAD,
    Coupling,
    Duration,
    Lift,
    Multipliers,
    multipliers,
    recommended_weight_limit,
)

INSPECTION = Lift(Fraction(10), Fraction(22), Fraction(37), per_minute=Fraction(3), coupling=Coupling.FAIR)
"""Example 4, package inspection: inputs inferred, not read; they give all four printed figures."""

HOPPER = Lift(Fraction(18), Fraction(15), Fraction(21), Fraction(45), coupling=Coupling.FAIR)
"""Example 3, dishwasher bags into a hopper: inputs from memory (high)."""


def rounded(value: Fraction, places: int) -> Fraction:
    """To so many decimal places, a half up."""
    scale = 10**places
    return Fraction(floor(value * scale + Fraction(1, 2)), scale)


def printed_factors(lift: Lift) -> Multipliers:
    """The multipliers as the publication's own tables print them: to two places."""
    return Multipliers(*(rounded(one, 2) for one in astuple(multipliers(lift))))


def by_rounded(lift: Lift) -> Fraction:
    """The limit as the publication works it out: from multipliers of two places."""
    return LOAD * printed_factors(lift).product()


def test_package_inspection_at_the_start() -> None:
    """94-110, example 4, figure 14: 34.9 lb printed; 34.8 in full precision."""
    lift = INSPECTION
    factors = printed_factors(lift)
    assert [str(float(one)) for one in (factors.horizontal, factors.vertical, factors.distance)] == [
        "1.0",
        "0.94",
        "0.87",
    ]
    assert (factors.frequency, factors.coupling) == (Fraction("0.88"), Fraction("0.95"))
    assert factors.asymmetry == 1
    assert rounded(by_rounded(lift), 3) == Fraction("34.868")
    assert rounded(recommended_weight_limit(lift), 3) == Fraction("34.814")
    assert rounded(by_rounded(lift), 1) == Fraction("34.9")


def test_package_inspection_at_the_end() -> None:
    """94-110, example 4: 15.2 lb printed; 15.3 in full precision."""
    lift = replace(INSPECTION, horizontal=Fraction(20), vertical=Fraction(59))
    assert rounded(by_rounded(lift), 3) == Fraction("15.228")
    assert rounded(by_rounded(lift), 1) == Fraction("15.2")
    assert rounded(recommended_weight_limit(lift), 3) == Fraction("15.253")


def test_bags_into_a_hopper() -> None:
    """94-110, example 3, from memory: 18.9 lb; 18.521 in full precision."""
    assert rounded(by_rounded(HOPPER), 3) == Fraction("18.898")
    assert rounded(by_rounded(HOPPER), 1) == Fraction("18.9")
    assert rounded(recommended_weight_limit(HOPPER), 3) == Fraction("18.521")


@pytest.mark.parametrize(
    ("vertical", "vertical_factor", "coupling", "limit", "printed"),
    [
        (15, "0.89", "0.95", "16.317", "16.3"),
        (63, "0.75", "1", "14.474", "14.5"),
    ],
)
def test_loading_a_punch_press(vertical: int, vertical_factor: str, coupling: str, limit: str, printed: str) -> None:
    """94-110, example 1, from memory (medium to high): 44 lb of stock, 16.3 and 14.5 lb. The publication's own table
    prints .44 for hands 23 in out, where its formula gives .43: with .44 the printed limits come out.
    """
    lift = Lift(Fraction(23), Fraction(vertical), Fraction(48), coupling=Coupling.FAIR)
    factors = printed_factors(lift)
    assert factors.horizontal == Fraction("0.43")
    assert (factors.vertical, factors.coupling) == (Fraction(vertical_factor), Fraction(coupling))
    assert factors.distance == Fraction("0.86")
    printed_table = factors.product() / factors.horizontal * Fraction("0.44") * 51
    assert rounded(printed_table, 3) == Fraction(limit)
    assert rounded(printed_table, 1) == Fraction(printed)


def test_a_lift_from_near_the_floor() -> None:
    """A page of worked answers: H 20, V 6, D 16, fair grip: 18.474 (it prints 18.4); 18.524 in full precision."""
    lift = Lift(Fraction(20), Fraction(6), Fraction(16), coupling=Coupling.FAIR)
    assert rounded(by_rounded(lift), 3) == Fraction("18.474")
    assert rounded(recommended_weight_limit(lift), 3) == Fraction("18.524")


def test_the_best_lift_is_the_load_constant() -> None:
    """94-110: 51 lb where every multiplier is 1."""
    assert recommended_weight_limit(Lift(Fraction(10), Fraction(30), Fraction(10))) == 51


@pytest.mark.parametrize(
    "lift",
    [
        Lift(Fraction(26), Fraction(30), Fraction(10)),
        Lift(Fraction(10), Fraction(71), Fraction(10)),
        Lift(Fraction(10), Fraction(30), Fraction(71)),
        Lift(Fraction(10), Fraction(30), Fraction(10), Fraction(136)),
        Lift(Fraction(10), Fraction(30), Fraction(10), per_minute=Fraction(16)),
        Lift(Fraction(10), Fraction(29), Fraction(10), per_minute=Fraction(13)),
    ],
)
def test_outside_its_limits_nothing_is_recommended(lift: Lift) -> None:
    """94-110, pages 8 to 15: farther, higher, longer, more turned or more often than this the multiplier is 0."""
    assert recommended_weight_limit(lift) == 0


def test_nearer_and_shorter_count_as_the_least() -> None:
    """94-110: hands nearer than 10 in and lifts of less than 10 in count as 10, rarer ones as one in five minutes."""
    least = Lift(Fraction(10), Fraction(30), Fraction(10))
    under = Lift(Fraction(6), Fraction(30), Fraction(4), per_minute=Fraction(1, 60))
    assert recommended_weight_limit(under) == recommended_weight_limit(least)


@pytest.mark.parametrize(
    ("per_minute", "factor"),
    [(1, 94), (2, 91), (3, 88), (4, 84), (5, 80), (6, 75), (7, 70), (8, 60), (9, 52), (10, 45), (11, 41), (12, 37)],
)
def test_table_5_for_an_hour(per_minute: int, factor: int) -> None:
    """94-110, table 5, up to an hour, as public copies have it."""
    lift = Lift(Fraction(10), Fraction(30), Fraction(10), per_minute=Fraction(per_minute))
    assert multipliers(lift).frequency == Fraction(factor, 100)


@pytest.mark.parametrize(
    ("per_minute", "factor"), [("0.2", "0.95"), ("0.5", "0.92"), ("1", "0.88"), ("2", "0.84"), ("3", "0.79")]
)
def test_table_5_for_two_hours(per_minute: str, factor: str) -> None:
    """94-110, table 5, from one to two hours, as public copies have it."""
    lift = Lift(Fraction(10), Fraction(30), Fraction(10), per_minute=Fraction(per_minute), duration=Duration.MODERATE)
    assert multipliers(lift).frequency == Fraction(factor)


def test_between_two_frequencies_the_higher_counts() -> None:
    """Our own rule, on the safe side: table 5 lists whole numbers of lifts a minute."""
    often = Lift(Fraction(10), Fraction(30), Fraction(10), per_minute=Fraction(5, 2))
    assert multipliers(often).frequency == Fraction("0.88")
