"""The lexicon, the distortions and the network's edges."""

from __future__ import annotations

from pathlib import Path

import pytest
import torch

from fieldvoice.language import vocabulary
from training.vosk_model.distort import Features, distorted, hidden
from training.vosk_model.features import BANDS, LogMel, frames_of
from training.vosk_model.lexicon import SILENCE, Lexicon
from training.vosk_model.net import Net, outputs_of


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    """That of the grammar and a sentence."""
    return Lexicon.of(vocabulary(), ["the zebra qqzx"])


def test_every_word_of_the_grammar_has_a_sound(lexicon: Lexicon) -> None:
    """One to four ways of one phone or more, silence in none of them."""
    assert set(vocabulary()) == set(lexicon.vocabulary)
    for word in lexicon.vocabulary:
        assert 1 <= len(lexicon.sounds[word]) <= 4
        assert all(sound and SILENCE not in sound for sound in lexicon.sounds[word])


def test_teens_and_tens_end_on_phones_of_their_own(lexicon: Lexicon) -> None:
    """The weak vowel of "thirty" is none of "thirteen"."""
    weak = lexicon.phones.index("IY0")
    for ten, teen in (("thirty", "thirteen"), ("forty", "fourteen"), ("ninety", "nineteen")):
        assert all(sound[-1] == weak for sound in lexicon.sounds[ten])
        assert not any(weak in sound for sound in lexicon.sounds[teen])


def test_a_text_is_spelled_or_not_at_all(lexicon: Lexicon) -> None:
    """One word that the dictionary lacks is enough; nothing said is spelled as nothing."""
    assert lexicon.spell("the zebra") == [lexicon.sounds["the"], lexicon.sounds["zebra"]]
    assert lexicon.spell("the zebra qqzx") is None
    assert lexicon.spell("") == []


def test_a_word_of_the_grammar_without_a_sound_is_named() -> None:
    """It would otherwise never be heard."""
    with pytest.raises(ValueError, match="qqzx"):
        Lexicon.of(["yes", "qqzx"], [])


def test_a_lexicon_comes_back_from_its_file(lexicon: Lexicon, tmp_path: Path) -> None:
    """The same, tuples and all."""
    lexicon.save(tmp_path / "lexicon.json")
    assert Lexicon.load(tmp_path / "lexicon.json") == lexicon


@pytest.mark.parametrize("samples", [399, 400, 559, 560, 16_000])
def test_a_frame_is_a_whole_window(samples: int) -> None:
    """As many frames as are counted."""
    counted = int(frames_of(torch.tensor(samples)))
    assert counted == (LogMel()(torch.zeros(1, samples)).shape[1] if samples >= 400 else 0)


def test_what_is_beyond_a_clips_end_changes_nothing() -> None:
    """A clip's scores are the same alone as padded beside a longer one."""
    torch.manual_seed(2)
    net = Net(3, width=16, neck=4, depth=2).eval()
    mel = torch.randn(2, 50, BANDS)
    frames = torch.tensor([31, 50])
    together, alone = net(mel, frames), net(mel[:1, :31], frames[:1])
    assert torch.allclose(together[:1, : int(outputs_of(frames[0]))], alone, atol=1e-5)


def test_a_network_comes_back_from_its_weights() -> None:
    """Whatever its size, with the same scores."""
    torch.manual_seed(2)
    net = Net(3, width=16, neck=4, depth=2).eval()
    again = Net.of(net.state_dict(), 3).eval()
    mel, frames = torch.randn(1, 20, BANDS), torch.tensor([20])
    assert torch.equal(net(mel, frames), again(mel, frames))


def test_distorted_clips_keep_their_words_length_within_the_tempo() -> None:
    """Every value is a number, no clip is shorter or longer than the tempo allows, none is left as it was."""
    torch.manual_seed(4)
    clean = Features(torch.randn(64, 120, BANDS) + 8, torch.randint(60, 121, (64,)))
    other = distorted(clean)
    assert torch.isfinite(other.mel).all()
    share = other.frames / clean.frames
    assert 0.88 < float(share.min()) < 0.95
    assert 1.05 < float(share.max()) <= 1.12
    assert other.mel.shape[1] == int(other.frames.max())
    assert not any(torch.equal(one[:60], another[:60]) for one, another in zip(clean.mel, other.mel, strict=True))


def test_parts_are_hidden_and_most_is_left() -> None:
    """Some of each of many clips is 0, never more than half of all."""
    torch.manual_seed(4)
    before = torch.ones(200, 100, BANDS)
    after = hidden(before, torch.full((200,), 100))
    assert 0.05 < float((after == 0).float().mean()) < 0.5
    assert set(after.unique().tolist()) == {0.0, 1.0}
