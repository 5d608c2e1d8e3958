"""The model's tokens: the same ids and texts as the package that such models are made with gives."""

from __future__ import annotations

import gzip
import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from fieldvoice.ears import models
from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.whisper_ear import PROMPT, Decoder, TextTokens
from fieldvoice.errors import BadInput, NotHere

RECORDED = Path(__file__).parents[1] / "fixtures" / "tokens.json.gz"
"""2,600 texts and 1,000 runs of ids with what `tokenizers` 0.23.3 made of them: phrases of the language, figures of
every sort, spaces, marks and letters of other scripts.
"""


@pytest.fixture(scope="module")
def recorded() -> Any:
    """What the other package says."""
    return json.loads(gzip.decompress(RECORDED.read_bytes()))


@pytest.fixture(scope="module")
def tokens() -> TextTokens:
    """The tokens of the model that is installed."""
    try:
        return TextTokens(models.find("whisper").folder / "tokenizer.json")
    except NotHere:
        pytest.skip("no Whisper model is here")


def test_texts_become_the_same_ids(recorded: Any, tokens: TextTokens) -> None:
    """Each of them."""
    assert len(recorded["encoded"]) >= 2000
    assert [text for text, ids in recorded["encoded"] if tokens.encode(text) != ids] == []


def test_ids_become_the_same_text(recorded: Any, tokens: TextTokens) -> None:
    """Ids of halves of letters, of no text, and of nothing among them."""
    texts = tokens.texts()
    assert [ids for ids, text in recorded["decoded"] if texts.of(ids) != text] == []


def test_text_comes_back(recorded: Any, tokens: TextTokens) -> None:
    """There and back again."""
    texts = tokens.texts()
    assert [text for text, _ in recorded["encoded"] if texts.of(tokens.encode(text)) != text] == []


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"model": {"vocab": 7}}', "\\x00", '{"model": {"vocab": {}, "merges": ["a"]}}']
)
def test_a_damaged_table_is_no_fault_of_ours(text: str, tmp_path: Path) -> None:
    """Named, with what to do."""
    (tmp_path / "tokenizer.json").write_text(text)
    with pytest.raises(BadInput, match=r"tokenizer\.json is damaged"):
        Decoder(cast("Encoder", SimpleNamespace(model=None)), tmp_path, PROMPT)


def test_the_prompt_fits_before_an_utterance(tokens: TextTokens) -> None:
    """A Whisper decoder looks back over 448 tokens, half of them for what was said before."""
    assert len(tokens.encode(" " + PROMPT)) < 224
    assert tokens.number("<|startofprev|>") > max(tokens.encode(PROMPT))
    assert {tokens.encode(digit)[0] for digit in "0123456789"} <= set(tokens.with_digits())
