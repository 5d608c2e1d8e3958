"""The model's tokens have the ids and texts that the package gives with which such models are made; our log-mel picture
is the one that the encoder was trained on.
"""

from __future__ import annotations

import gzip
import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from fieldvoice.ears import models
from fieldvoice.ears.encoder import Encoder, context_columns, in_context, log_mel
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


REFERENCE = Path(__file__).parents[1] / "fixtures" / "log_mel.npz"
"""Made once by faster-whisper 1.2.1's FeatureExtractor (its defaults) from the sweep below; kept as data since that
package brings 180 MB of others."""


def sweep() -> np.ndarray:
    """0.6 s of a rising tone over a high steady one."""
    time = np.arange(9600) / 16000
    low = 0.3 * np.sin(2 * np.pi * (200 + 3000 * time) * time)
    return (low + 0.05 * np.sin(2 * np.pi * 5200 * time)).astype(np.float32)


def test_the_picture_is_the_reference_librarys() -> None:
    """Every band of every column agrees with faster-whisper's extractor."""
    reference = np.load(REFERENCE)["picture"]
    ours = log_mel(sweep())
    assert ours.shape == reference.shape
    assert np.abs(ours - reference).max() < 1e-3


@pytest.mark.parametrize("samples", [0, 1, 159, 400, 401, 16000])
def test_any_length_has_a_picture(samples: int) -> None:
    """Even a single sample gives finite columns."""
    picture = log_mel(np.zeros(samples, np.float32))
    assert picture.shape == (80, samples // 160 + 1)
    assert np.isfinite(picture).all()


def test_the_context_is_ten_seconds_and_grows_with_long_utterances() -> None:
    """1,000 columns up to 8.5 s, then 1.5 s more than the utterance, never over 30 s."""
    assert context_columns(0) == 1000
    assert context_columns(8 * 16000) == 1000
    assert context_columns(12 * 16000) == 1350
    assert context_columns(60 * 16000) == 3000
    assert in_context(np.ones((80, 5), np.float32), 8).sum() == 400
