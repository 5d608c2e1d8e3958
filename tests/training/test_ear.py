"""What the reading ear is trained on is what it hears with: pictures, encoder, files. Clips stay with their words."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import torch

from fieldvoice.ears.encoder import Encoder as Running
from fieldvoice.ears.encoder import band_corners, bare_columns, in_context, log_mel
from fieldvoice.ears.reading_head.head import ReadingHead, encoder_folder
from fieldvoice.errors import NotHere
from fieldvoice.language.automaton import vocabulary
from training import site as site_module
from training.corpus import Clip
from training.encoder import Encoder, LogMel, installed
from training.export import export, keep, kept_head, write_encoder
from training.fit import Listener, Plan, _of_other_tracts, fit
from training.labels import Labels
from training.model import Head, begun, drawn_together
from training.site import QUIET, Noisy, Site
from training.splits import Split
from training.texts import NEAR, Said, Text
from training.voices import Voice


def sweep(seconds: float, base: float = 200.0) -> np.ndarray:
    """A rising tone, in int16."""
    time = np.arange(int(seconds * 16_000)) / 16_000
    return (6_000 * np.sin(2 * np.pi * (base + 900 * time) * time)).astype(np.int16)


@pytest.fixture(scope="module")
def site() -> Site:
    """Five clips of different lengths and words, with two machines of each kind."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(site_module, "machines_of", lambda _: range(2))
        voice = Voice("espeak", "f1", Split.TRAIN)
        clips = [
            Clip(Text(Said.PHRASE, f"top {word}"), voice, sweep(0.5 + 0.3 * number, 200 + 100 * number))
            for number, word in enumerate(("one", "two", "three", "four", "five"))
        ]
        return Site(clips, "cpu", 3)


def test_a_noisy_clip_has_its_words_where_the_dry_one_has_them(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """In little noise the two rise and fall together."""
    monkeypatch.setattr(site_module, "_SNR", (40.0, 40.0))
    monkeypatch.setattr(site_module, "_CLOSE_SHARE", 0.0)
    noisy = site.mixed([3, 0, 4, 3, 0, 4], noise_alone=1)
    assert noisy.words == ("top four", "top one", "top five", "top four", "top one", "top five", "")
    clips = list(zip(noisy.sound.numpy(), noisy.dry.numpy(), noisy.lengths.tolist(), strict=True))
    for sound, dry, length in clips[:-1]:
        assert np.abs(sound).max() <= 1
        assert not sound[length:].any()
        loud, quiet = (np.add.reduceat(one**2, np.arange(0, len(one), 320)) for one in (sound, dry))
        assert np.corrcoef(loud, quiet)[0, 1] > 0.6


def test_noise_alone_has_no_words_and_no_speech(site: Site) -> None:
    """Its dry side is silence."""
    noisy = site.mixed([1, 2], noise_alone=3)
    assert noisy.words[2:] == ("", "", "")
    assert not noisy.dry[2:].any()
    assert (noisy.sound[2:].abs().amax(1) > 0).all()


def test_the_noise_is_as_loud_as_it_is_said_to_be(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """At 0 dB the clip is about half noise: before its words there is about as much of it as in them."""
    monkeypatch.setattr(site_module, "_SNR", (0.0, 0.0))
    monkeypatch.setattr(site_module, "_CLEAN_SHARE", 0.0)
    noisy = site.mixed([4] * 40, noise_alone=1)
    sound, dry, lengths = noisy.sound[:-1], noisy.dry[:-1], noisy.lengths[:-1]
    spoken = dry.abs() > 0
    places = torch.arange(sound.shape[1])
    inside = (places >= QUIET) & (places < (lengths - QUIET)[:, None])
    quiet, loud = ((sound**2 * where).sum(1) / where.sum(1) for where in (inside & ~spoken, inside & spoken))
    assert 0.3 < float((quiet / loud).median()) < 0.8


def test_the_picture_is_the_ears() -> None:
    """Every column of it, and emptiness behind it."""
    sound = sweep(1.234)
    ours = LogMel()(torch.from_numpy(sound / 32_768).float()[None], torch.tensor([len(sound)]), 20)[0].numpy()
    theirs = in_context(log_mel((sound / 32_768).astype(np.float32)), ours.shape[1])
    assert ours.shape[1] % 64 == 0
    assert np.abs(ours - theirs).max() < 1e-3


def test_what_is_written_is_what_was_trained(tmp_path: Path) -> None:
    """The encoder in 8 bits gives nearly what torch gives with the same rounding; head, words and sums go with it."""
    encoder, labels = Encoder(installed()).eval(), Labels.of(vocabulary())
    with torch.no_grad():
        for value in encoder.parts.values():
            value.mul_(1 + 0.05 * torch.randn_like(value))
    head = Head(labels.other + 1, len(labels.phones) + 1, 16, 3, 1)
    keep(encoder, head, tmp_path)
    export(tmp_path, labels, tmp_path, {"clips": {"espeak": 1}})
    sound = sweep(1.0)
    running = Running(encoder_folder(tmp_path), "trial", bare_columns, 1)
    heard = running.encode(sound).vectors
    picture = in_context(log_mel((sound / 32_768).astype(np.float32)), bare_columns(len(sound)))
    encoder.rounded = True
    with torch.no_grad():
        wanted = encoder(torch.from_numpy(picture)[None])[0].numpy()[: len(heard)]
    assert np.corrcoef(heard.ravel(), wanted.ravel())[0, 1] > 0.99
    assert not ReadingHead.load(tmp_path).missing(vocabulary())


def test_an_encoder_that_is_not_whole_is_refused(tmp_path: Path) -> None:
    """One byte is enough, and so is a file that is gone."""
    labels = Labels.of(vocabulary())
    keep(Encoder(installed()), Head(labels.other + 1, len(labels.phones) + 1, 16, 3, 1), tmp_path)
    export(tmp_path, labels, tmp_path, {})
    file = tmp_path / "encoder" / "model.bin"
    raw = bytearray(file.read_bytes())
    raw[len(raw) // 2] ^= 1
    file.write_bytes(raw)
    with pytest.raises(NotHere, match="checksum"):
        encoder_folder(tmp_path)
    file.unlink()
    with pytest.raises(NotHere, match="lacks its encoder"):
        encoder_folder(tmp_path)


@pytest.mark.slow
def test_training_makes_what_was_said_likelier(site: Site) -> None:
    """In a minute the loss of a clip falls to a fraction."""
    labels, told = Labels.of(["top", "one", "two", "three", "four", "five"]), list[str]()

    def stream() -> object:
        while True:
            yield site.mixed([0, 1, 2, 3, 4], noise_alone=1)

    head = Head(labels.other + 1, len(labels.phones) + 1, 48, 5, 1)
    whisper = Encoder(installed())
    fit(stream(), Listener(whisper, head), whisper, labels, Plan(70, warm_up=20), told.append)  # type: ignore[arg-type]
    first, last = (float(line.split("faith: ")[1].split(",")[0]) for line in (told[0], told[-1]))
    assert last < first / 2


def test_a_run_that_was_interrupted_goes_on_where_it_was(site: Site, tmp_path: Path) -> None:
    """The second begins with the steps and weights of the first, and has the rest of the time."""
    labels, told = Labels.of(["top", "one", "two", "three", "four", "five"]), list[str]()
    whisper, kept = Encoder(installed()), tmp_path / "going_on.pt"

    def listener() -> Listener:
        return Listener(Encoder(installed()), Head(labels.other + 1, len(labels.phones) + 1, 16, 5, 1))

    stream = [site.mixed([0, 1], noise_alone=1)] * 3
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("training.fit._KEPT_EVERY", 0.0)
        first = fit(stream, listener(), whisper, labels, Plan(900, warm_up=20), told.append, kept)
    again = fit([], listener(), whisper, labels, Plan(900, warm_up=20), told.append, kept)
    assert torch.load(kept, weights_only=True)["steps"] == 3
    assert all(torch.equal(one, other) for one, other in zip(first.parameters(), again.parameters(), strict=True))


def test_an_ear_begins_with_what_an_earlier_one_knew() -> None:
    """Words that both know keep their rows, a new one begins as the least likely."""
    old, new = Head(4, 3, 16, 3, 1), Head(5, 3, 16, 3, 1)
    weights = {name: value.numpy() for name, value in old.state_dict().items() if not name.startswith("phones.")}
    head = begun(new, weights, ["left", "top"], ["hall", "left", "top"]).state_dict()
    assert torch.equal(head["words.weight"][[0, 2, 3, 4]], old.state_dict()["words.weight"])
    assert head["words.bias"][1] == old.state_dict()["words.bias"].min()


def test_the_8_bits_of_the_ear_are_read_back_as_the_numbers_they_stand_for(tmp_path: Path) -> None:
    """So that an ear can be trained on from the package's files."""
    encoder = Encoder(installed())
    write_encoder(encoder, tmp_path)
    again = Encoder(tmp_path)
    for name, value in encoder.parts.items():
        assert torch.allclose(again.parts[name], value, atol=float(value.detach().abs().max()) / 100), name


def test_clips_too_short_for_their_words_are_left_out() -> None:
    """CTC has no way to spell them."""
    from training.fit import batch_of

    labels = Labels.of(["top", "one"])
    noisy = Noisy(torch.zeros(2, 1_600), torch.zeros(2, 1_600), torch.tensor([1_600, 1_600]), ("top " * 9, "top"))
    assert batch_of(noisy, LogMel(), labels).words == [[labels.words["top"]]]


def test_another_tract_moves_what_is_heard_and_nothing_in_time() -> None:
    """A band of tone comes to lie as much higher or lower as its frequency was stretched, in the same columns."""
    centers = torch.from_numpy(band_corners()[1:-1])
    mel = torch.zeros(200, 80, 30)
    mel[:, 49:52, 10:20] = 1.0
    torch.manual_seed(1)
    moved = _of_other_tracts(mel)
    assert not moved[..., :10].any()
    assert not moved[..., 20:].any()
    weight = moved.sum(2)
    ratio = (weight * centers).sum(1) / weight.sum(1) / centers[50]
    assert 0.85 < float(ratio.min()) < 0.9
    assert 1.1 < float(ratio.max()) < 1.18
    assert 60 < int((ratio.sub(1).abs() < 1e-3).sum()) < 140


def test_over_a_telephone_line_what_is_high_is_gone(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tone within the band is handed on within the steps of 8 bits; one above it isn't."""
    monkeypatch.setattr(site_module, "_LINE_SHARE", 1.0)
    time = torch.arange(16_000) / 16_000
    tones = torch.stack([0.3 * torch.sin(2 * torch.pi * pitch * time) for pitch in (1_000.0, 6_000.0)])
    low, high = site._over_a_line(tones)[:, 2_000:-2_000]
    assert float((low - tones[0, 2_000:-2_000]).abs().max()) < 0.03
    assert len(set(low[4_000:8_000].tolist())) < 256
    assert float(high.abs().max()) < 0.01


def test_at_first_only_the_phones_of_an_ear_that_is_trained_on_are_fitted(site: Site) -> None:
    """Guesses at phones change nothing that it knew."""
    labels, whisper = Labels.of(["top", "one", "two", "three", "four", "five"]), Encoder(installed())
    ear = Listener(Encoder(installed()), Head(labels.other + 1, len(labels.phones) + 1, 16, 5, 1))
    before = {name: value.clone() for name, value in ear.state_dict().items()}
    fit([site.mixed([0, 1], noise_alone=1)] * 2, ear, whisper, labels, Plan(900, guide_alone=2), print)
    changed = {name for name, value in ear.state_dict().items() if not torch.equal(value, before[name])}
    assert changed == {"head.phones.weight", "head.phones.bias"}


def test_a_blend_lies_between_two_ears() -> None:
    """So large a share of the one, the rest of the other."""
    one, other = Head(4, 3, 16, 3, 1), Head(4, 3, 16, 3, 1)
    wanted = {name: 0.25 * value + 0.75 * other.state_dict()[name] for name, value in one.state_dict().items()}
    drawn_together(one, other, 0.25)
    assert all(torch.allclose(value, wanted[name]) for name, value in one.state_dict().items())


def test_a_head_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    """In its own size."""
    labels = Labels.of(["top", "one"])
    head = Head(labels.other + 1, len(labels.phones) + 1, 24, 5, 2)
    keep(Encoder(installed()), head, tmp_path)
    again = kept_head(tmp_path, labels).state_dict()
    assert all(torch.allclose(again[name], value, atol=1e-3) for name, value in head.state_dict().items())


def test_what_is_near_a_word_of_the_language_is_none() -> None:
    """A word that sounds as one of the language does would be taught as no call."""
    labels = Labels.of(vocabulary())
    own = {tuple(ways) for word in vocabulary() for ways in labels.dictionary.get(word, ())}
    for words in NEAR:
        if words not in vocabulary():
            assert all(map(labels.knows, words.split()))
            assert own.isdisjoint(map(tuple, labels.dictionary.get(words, ()))), words
