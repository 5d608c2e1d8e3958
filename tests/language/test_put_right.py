"""What is put right in a breath, or by a soft no: which figure goes, and where the new one belongs."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Distance, Edge, Reading, Slot
from fieldvoice.records.utterance import Answer, Part

SOFT = ("scratch that", "strike that", "sorry", "actually", "excuse me", "oops", "my bad", "or rather", "wait no", "no")
PARTS = {"16 up": Edge.BOTTOM, "13 from left": Edge.LEFT, "80 1/4 down": Edge.TOP, "9 1/2 from the right": Edge.RIGHT}


@pytest.mark.parametrize(("before", "part"), tuple(product(SOFT, PARTS)))
def test_the_figure_is_of_the_part(before: str, part: str) -> None:
    """A distance with its side, as behind a plain no."""
    said = understand(f"{before}, {part}", Source.TYPED)
    plain = understand(part, Source.TYPED)
    assert said.meanings == (Answer(yes=False), *plain.meanings)
    (distance,) = plain.meanings
    assert isinstance(distance, Part)
    assert isinstance(distance.value, Distance)
    assert distance.value.start is PARTS[part]
    assert distance.value.value > Length(8)


PLACES = {
    "top and bottom": (Slot.TOP, Slot.BOTTOM),
    "left and right": (Slot.LEFT, Slot.RIGHT),
    "both sides": (Slot.LEFT, Slot.RIGHT),
    "top middle and bottom": (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM),
    "bottom": (Slot.BOTTOM,),
}
MENDS = {"no 43": "43", "sorry 43": "43", "make that 43": "43", "sorry and a quarter": "42 1/4"}


@pytest.mark.parametrize(("places", "mend"), tuple(product(PLACES, MENDS)))
def test_a_figure_of_several_places_is_put_right_at_all_of_them(places: str, mend: str) -> None:
    """It was one figure; what was called with a figure of its own before it stands."""
    said = understand(f"left 90 {places} 42 and a half {mend}", Source.TYPED).meanings
    before = 0 if Slot.LEFT in PLACES[places] else 1
    if before == 0:
        said = understand(f"{places} 42 and a half {mend}", Source.TYPED).meanings
    assert [(one.at, one.value) for one in said[before:] if isinstance(one, Reading)] == [
        (at, Length(MENDS[mend])) for at in PLACES[places]
    ]
    assert not before or said[0] == Reading(Length(90), Dimension.HEIGHT, Slot.LEFT)


@pytest.mark.parametrize(
    ("words", "values"),
    [
        ("top 42 bottom 42 no 43", ("42", "43")),
        ("42, 42 1/4, 42 1/2, no 42 5/8", ("42", "42 1/4", "42 5/8")),
        ("42, 42, 42, no 43", ("42", "42", "43")),
        ("42, 42 1/4, 90, 90 1/2, sorry 91", ("42", "42 1/4", "90", "91")),
    ],
)
def test_of_several_figures_the_last_is_put_right(words: str, values: tuple[str, ...]) -> None:
    """However alike they are: each was called by itself."""
    said = understand(words, Source.TYPED).meanings
    assert [one.value for one in said if isinstance(one, Reading)] == [Length(value) for value in values]
