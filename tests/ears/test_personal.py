"""The head fitted to a voice: better on words of that voice, kept with its sums, void with another head."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import soxr
from numpy.typing import NDArray

from benchmarks.hearing import open_pair
from fieldvoice.ears import personal
from fieldvoice.ears.personal import losses_and_gradients
from fieldvoice.ears.reading_head.head import ReadingHead
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.whole_utterance import reading_encoder
from fieldvoice.language.automaton import automaton, vocabulary
from fieldvoice.output.voice import Synthesizer
from fieldvoice.wording.troubles import sentence

CALLS = (
    "top forty one and three eighths",
    "bottom forty and five eighths",
    "height left ninety five and three eighths",
)
HELD_BACK = "top ninety and five eighths"


@pytest.fixture(scope="module")
def head() -> ReadingHead:
    """As shipped."""
    return ReadingHead.load()


@pytest.fixture(scope="module")
def heard() -> dict[str, np.ndarray]:
    """The encoder's frames of each text, spoken by the program's own voice in loud hiss."""
    voice, encoder = Synthesizer(), reading_encoder()
    chance = np.random.default_rng(2)

    def spoken(text: str) -> Frames:
        samples = np.array(voice(text), np.float32)
        sound: NDArray[np.float32] = soxr.resample(samples, voice.rate, RATE)
        loud: NDArray[np.float64] = sound / 3 + chance.normal(0, 700, len(sound))
        return loud.clip(-32768, 32767).astype(np.int16)

    return {text: encoder.encode(spoken(text)).vectors for text in (*CALLS, HELD_BACK)}


@pytest.fixture(scope="module")
def change(head: ReadingHead, heard: dict[str, np.ndarray]) -> personal.Change:
    """Fitted to all but one."""
    return personal.fitted(head, [(heard[text], text.split()) for text in CALLS])


def loss(head: ReadingHead, frames: np.ndarray, text: str) -> float:
    """How unlikely a text is to a head."""
    labels = [head.labels[word] for word in text.split()]
    return losses_and_gradients([head.log_probabilities(frames)], [labels])[0][0]


def test_a_text_that_it_was_not_fitted_to_becomes_likelier(
    head: ReadingHead, heard: dict[str, np.ndarray], change: personal.Change
) -> None:
    """In the same voice and noise; and those that it was fitted to do as well."""
    own = personal.applied(head, change)
    for text in (*CALLS, HELD_BACK):
        assert loss(own, heard[text], text) < loss(head, heard[text], text)


def test_only_the_last_layer_changes_and_only_a_little(head: ReadingHead, change: personal.Change) -> None:
    """The pull holds it to the shipped weights; the shipped head itself is as it was."""
    own = personal.applied(head, change)
    changed = {name for name in head.weights if not np.array_equal(own.weights[name], head.weights[name])}
    assert changed == set(personal.LAYER)
    for name in personal.LAYER:
        assert np.linalg.norm(change[name]) < 0.1 * np.linalg.norm(head.weights[name])
    assert personal.applied(head, None) is head


def test_what_is_kept_comes_back_with_what_is_known_of_it(tmp_path: Path, change: personal.Change) -> None:
    """Small, and named by its own SHA-256 and by the head's."""
    where = tmp_path / "voice"
    assert personal.kept(where) == personal.Personal()
    personal.keep(where, change, "USB Audio", {"kept": True})
    again = personal.kept(where)
    assert again.note is None
    assert again.change is not None
    for name in personal.LAYER:
        assert np.array_equal(again.change[name], change[name])
    statement = json.loads((where / personal.STATEMENT).read_text())
    assert statement["kept"] is True
    assert statement["head_sha256"] == personal.head_sha256()
    assert sum(file.stat().st_size for file in where.iterdir()) < 1_000_000


def test_another_head_makes_it_void_and_says_so(
    tmp_path: Path, change: personal.Change, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is not guessed that it fits."""
    personal.keep(tmp_path, change, "USB Audio", {})
    monkeypatch.setattr(personal, "head_sha256", lambda: "another")
    kept = personal.kept(tmp_path)
    assert kept.change is None
    assert kept.note is not None
    assert "a newer one than your voice was fitted to" in sentence(kept.note)


@pytest.mark.parametrize(("fitted_on", "device"), [("USB Audio", "USB Audio"), ("usb", "USB Audio: - (hw:2,0)")])
def test_it_counts_for_the_microphone_that_it_was_made_with(
    tmp_path: Path, change: personal.Change, fitted_on: str, device: str
) -> None:
    """Part of the name is enough, as where a device is chosen; another one is told of, and hears as shipped."""
    personal.keep(tmp_path, change, fitted_on, {})
    assert personal.kept(tmp_path, device).change is not None
    assert personal.kept(tmp_path).change is not None
    other = personal.kept(tmp_path, "Built-in Microphone")
    assert other.change is None
    assert other.note is not None
    assert f"fitted on the microphone {fitted_on}; Built-in Microphone is another" in sentence(other.note)


@pytest.mark.parametrize("name", [personal.CHANGE, personal.STATEMENT])
@pytest.mark.parametrize("content", [b"", b"{}", b"\xff" * 50])
def test_a_damaged_change_is_not_used_and_says_so(
    tmp_path: Path, change: personal.Change, name: str, content: bytes
) -> None:
    """Whatever lies there, the shipped head hears."""
    personal.keep(tmp_path, change, "USB Audio", {})
    (tmp_path / name).write_bytes(content)
    kept = personal.kept(tmp_path)
    assert kept.change is None
    assert kept.note is not None
    assert "damaged" in sentence(kept.note)


def test_forgetting_removes_everything(tmp_path: Path, change: personal.Change) -> None:
    """Recordings too; a second time there is nothing."""
    where = tmp_path / "voice"
    personal.keep(where, change, "USB Audio", {})
    (where / "clips").mkdir()
    (where / "clips" / "01.wav").write_bytes(b"x")
    assert personal.forget(where)
    assert not where.exists()
    assert not personal.forget(where)


def test_the_ears_name_says_whose_voice_it_is_fitted_to(change: personal.Change) -> None:
    """So that every utterance in the journal does."""
    own, _ = open_pair(vocabulary(), automaton, change=change)
    assert own.name == "reading (your voice)"


def test_a_fit_can_be_left_without_the_recordings(tmp_path: Path, change: personal.Change) -> None:
    """A fit that was not tried on new calls goes; what was recorded stays."""
    where = tmp_path / "voice"
    personal.keep(where, change, "USB Audio", {})
    (where / "clips").mkdir()
    personal.unfit(where)
    personal.unfit(where)
    assert personal.kept(where) == personal.AS_SHIPPED
    assert (where / "clips").exists()
