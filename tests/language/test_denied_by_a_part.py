"""A no that is put softly, and behind it a part of what was called: the figure belongs to the part, not to the no."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Distance, Edge
from fieldvoice.records.orders import Answer, Part

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
