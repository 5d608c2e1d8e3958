"""The one number: exact, and only exact."""

from fractions import Fraction

import pytest

from fieldvoice.records.length import Length, Unit


@pytest.mark.parametrize(
    ("text", "value"),
    [("46 7/8", Fraction(375, 8)), ("7/8", Fraction(7, 8)), ("93", Fraction(93)), ("-1/16", Fraction(-1, 16))],
)
def test_written_lengths_come_back_as_written(text: str, value: Fraction) -> None:
    """`46 7/8` is 375/8 in and is written `46 7/8` again."""
    assert Length(text).inches == value
    assert Length(text).text() == text


@pytest.mark.parametrize("bad", [46.875, True, None])
def test_anything_that_has_lost_the_number_is_refused(bad: object) -> None:
    """A float is never a length."""
    with pytest.raises(TypeError):
        Length(bad)  # type: ignore[arg-type]


@pytest.mark.parametrize("bad", ["", "seven", "1 2", "1/0", "7/8 46", "1 -1/2", "1 2 3"])
def test_text_that_is_no_length_is_refused(bad: str) -> None:
    """Only numbers make lengths."""
    with pytest.raises(ValueError, match="is not a length"):
        Length(bad)


def test_millimeters_are_exact() -> None:
    """1190.5 mm is 1190.5 mm again, and 25.4 mm is an inch."""
    assert Length.of("1190.5", Unit.MM).text(Unit.MM) == "1190.5"
    assert Length.of("25.4", Unit.MM) == Length(1)
    assert Length(1).text(Unit.MM) == "25.4"


def test_rounding_goes_to_the_side_asked_for() -> None:
    """3/32 rounds down to 1/16, up to 1/8, and to the nearest downwards at the exact half."""
    step = Length("1/16")
    assert Length("3/32").rounded_down(step) == Length("1/16")
    assert Length("3/32").rounded_up(step) == Length("1/8")
    assert Length("3/32").rounded(step) == Length("1/16")
    assert Length("7/64").rounded(step) == Length("1/8")
