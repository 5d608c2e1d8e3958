"""Which recognizers listen where none is named."""

from __future__ import annotations

from typing import NoReturn

import pytest

from fieldvoice.commands import listening
from fieldvoice.errors import BadInput


def lacks_a_word(*_: object) -> NoReturn:
    """A reading ear that was made before the language gained a word."""
    raise BadInput("The reading head has no “spall”. Make a new one.")


def test_whisper_hears_alone_where_the_head_lacks_a_word(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A new word in the grammar doesn't silence the ears: Whisper goes on, and that is said."""
    monkeypatch.setattr(listening, "open_pair", lacks_a_word)
    names = [ear.name for ear in listening.open_ears(None)]
    assert "whisper (tiny.en)" in names
    assert not any("reading" in name for name in names)
    assert "Until then whisper hears without it." in capsys.readouterr().err
