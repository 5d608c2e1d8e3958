"""The line under the job says how loud it is and what is being heard, in any width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.output.screen.parts import MicrophoneState, meter


def line(columns: int = 100, *, blocks: bool = False, **changes: object) -> str:
    """The line's text for a voice at -24 dB over quiet."""
    facts = {"level_db": -24.0, "noise_db": -55.0, "clipping": False, "doing": "hearing", **changes}
    return meter(MicrophoneState(**facts), columns, blocks=blocks).plain  # type: ignore[arg-type]


def test_level_noise_and_words_are_figures_and_text() -> None:
    """Six of ten cells at -24 dB, and the words as they come."""
    assert line(words="top forty two") == "######.... -24 dB, noise -55 dB hearing: top forty two "


def test_clipping_and_loud_noise_are_said_in_words() -> None:
    """What makes readings be asked again is named."""
    assert "TOO CLOSE OR TOO LOUD: it clips" in line(clipping=True)
    assert "noise -30 dB LOUD" in line(noise_db=-30.0)
    assert "LOUD" not in line()


def test_the_last_words_stay_where_room_is_short() -> None:
    """The beginning gives way."""
    told = line(60, words="top forty two and a sixteenth")
    assert told.endswith("a sixteenth ")
    assert "…" in told
    assert "top" not in told


@pytest.mark.parametrize("level", [-96.0, 0.0, 3.0])
def test_the_bar_has_ten_cells_at_any_level(level: float) -> None:
    """From silence to beyond full scale."""
    bar = line(level_db=level, blocks=True).split(" ")[0]
    assert len(bar) == 10
    assert set(bar) <= {"▮", "▯"}


@given(st.floats(-96, 6), st.booleans(), st.text(st.characters(codec="ascii"), max_size=200), st.integers(1, 200))
def test_it_never_is_wider_than_the_screen(level: float, clipping: bool, words: str, columns: int) -> None:
    """Or the terminal would wrap it and scroll the job away."""
    assert len(line(columns, level_db=level, clipping=clipping, words=words)) <= columns
