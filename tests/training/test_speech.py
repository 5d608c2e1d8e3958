"""Speech that training keeps: it comes back as it was said, but for what a lossy codec takes; of people's recordings
nobody is in two splits, letters are no words, and what is cut close is the words alone; no voice, text or noise machine
is in two splits, or the figures would flatter.
"""

from __future__ import annotations

import itertools
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.utterance import Status
from training.calls import DANGER, SET_PHRASES, alone, of_danger
from training.corpus import Clip, Corpus, orders
from training.parting import FRAME, places, words_apart
from training.people import an4, commands, cut_close, digits, in_its_own_quiet, joined, words_in
from training.phrases import phrases
from training.splits import Split, machines_of, split_of_text
from training.texts import Said, Text, Texts, small_talk
from training.voices import Voice, voices


def clip(words: str, pitch: float, samples: int) -> Clip:
    """A tone for words."""
    wave = 3_000 * np.sin(2 * np.pi * pitch * np.arange(samples) / 16_000)
    return Clip(Text(Said.PHRASE, words), Voice("flite", "slt", Split.TRAIN), wave.astype(np.int16))


def test_a_hundred_long_clips_are_written(tmp_path: Path) -> None:
    """Together they last five minutes, of which the encoder can't take all at once."""
    clips = tuple(clip("", 200 + number, 48_000) for number in range(100))
    Corpus(clips).save(tmp_path / "speech")
    assert sum(len(one.sound) for one in Corpus.load(tmp_path / "speech").clips) == 100 * 48_000


def test_a_corpus_comes_back(tmp_path: Path) -> None:
    """Words, voices and lengths to the letter, each sound its own."""
    clips = tuple(clip(f"top {number}", 200 + 3 * number, 8_000 + 37 * number) for number in range(130))
    Corpus(clips).save(tmp_path / "speech")
    back = Corpus.load(tmp_path / "speech").clips
    assert [(one.text, one.voice, len(one.sound)) for one in back] == [
        (one.text, one.voice, len(one.sound)) for one in clips
    ]
    for mine, theirs in zip(clips, back, strict=True):
        assert np.corrcoef(mine.sound, theirs.sound)[0, 1] > 0.98


def _drawn(dice: random.Random) -> str:
    return f"top {dice.randrange(5_000)}"


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng says the orders")
def test_orders_keep_to_their_split_and_engines() -> None:
    """No text of another split is said but for set phrases and lone words, and only by the engines asked for."""
    texts = Texts(_drawn, _drawn, ["top"], [["some", "other", "words"]])
    made = orders(texts, Split.TUNE, 240, 3, {"espeak"})
    assert {order.voice.engine for order in made} <= {"espeak"}
    said = {text.words for order in made for text in order.texts if " " in text.words}
    assert {split_of_text(words) for words in said - SET_PHRASES} == {Split.TUNE}
    assert made == orders(texts, Split.TUNE, 240, 3, {"espeak"})


def test_no_speaker_is_in_two_splits() -> None:
    """A blend draws on no speaker that is kept for tuning or for the test."""
    names = {
        split: {name for voice in voices(split) for name in voice.name.split("+") if voice.engine == "kokoro"}
        for split in Split
    }
    assert not names[Split.TRAIN] & names[Split.TUNE]
    assert not names[Split.TRAIN] & names[Split.TEST]
    assert not names[Split.TUNE] & names[Split.TEST]


RATE = 16_000


def spoken(quiet: float = 0.001) -> np.ndarray:
    """Half a second of a tone between half seconds of a quiet room."""
    dice = np.random.default_rng(1)
    room = dice.normal(0, quiet, RATE // 2)
    return np.concatenate([room, 0.1 * np.sin(np.arange(RATE // 2)), room])


def write(file: Path) -> None:
    """A recording."""
    file.parent.mkdir(parents=True, exist_ok=True)
    soundfile.write(file, spoken(), RATE)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Forty people of AN4, one of its test speakers, and forty of Speech Commands."""
    lines = [f"<s> YES </s> (an1-f{number:02}-b)" for number in range(40)]
    (tmp_path / "etc").mkdir()
    (tmp_path / "etc" / "an4_train.transcription").write_text("\n".join(lines))
    (tmp_path / "etc" / "an4_test.transcription").write_text("RUBOUT A O FIFTY (an2-mtest-b)")
    for number in range(40):
        write(tmp_path / "wav" / "an4_clstk" / f"f{number:02}" / f"an1-f{number:02}-b.wav")
        write(tmp_path / "commands" / "yes" / f"{number:02}_nohash_0.wav")
        write(tmp_path / "commands" / "cat" / f"{number:02}_nohash_0.wav")
    write(tmp_path / "wav" / "an4test_clstk" / "mtest" / "an2-mtest-b.wav")
    write(tmp_path / "digits" / "7_theo_3.wav")
    return tmp_path


def test_nobody_is_in_two_splits(folder: Path) -> None:
    """AN4's own test speakers and the digits are for measuring alone; each split has people of both."""
    people = [*an4(folder), *commands(folder / "commands"), *digits(folder / "digits")]
    splits = {one.person: {other.split for other in people if other.person == one.person} for one in people}
    assert all(len(each) == 1 for each in splits.values())
    assert splits["an4 mtest"] == splits["digits theo"] == {Split.TEST}
    assert {one.split for one in an4(folder)} == {one.split for one in commands(folder / "commands")} == set(Split)


def test_a_letter_is_no_word_but_for_the_nought(folder: Path) -> None:
    """Capitals are words of no dictionary, so that an A that is spelled isn't the article."""
    assert next(one.words for one in an4(folder) if one.split is Split.TEST) == "rubout A oh fifty"


def test_cut_close_there_are_the_words_alone() -> None:
    """And in its own quiet there is at least a third of a second of the same room on either side."""
    sound = spoken()
    assert abs(len(cut_close(sound)) - RATE // 2) < RATE // 50
    padded = in_its_own_quiet(cut_close(np.concatenate([sound[: RATE // 4], sound])), random.Random(1))
    first, last = words_in(padded)
    assert first > 0.3 * RATE
    assert len(padded) - last > 0.3 * RATE
    assert np.abs(padded[: RATE // 4]).max() < 0.02


def test_utterances_are_joined_by_the_person_alone() -> None:
    """Every joined clip holds the words of two or three of one person's, and nothing else but a short gap."""
    people = [Voice("people", f"an4 {name}", Split.TRAIN) for name in "abc"]
    said = [
        Clip(Text(Said.TALK, f"{voice.name[-1]}{number}"), voice, (8_000 * spoken(0.0)).astype(np.int16))
        for voice in people[:2]
        for number in range(4)
    ]
    alone = Clip(Text(Said.TALK, "c0"), people[2], said[0].sound)
    made = list(joined([*said, alone], 40, random.Random(1)))
    assert len(made) == 40
    for one in made:
        words = one.text.words.split()
        assert {word[0] for word in words} == {one.voice.name[-1]}
        assert len(set(words)) == len(words) in (2, 3)
        assert len(words) * 0.5 <= len(one.sound) / RATE <= len(words) * 0.55 + 0.2 * (len(words) - 1)
    assert {one.voice for one in made} == set(people[:2])


def test_word_of_danger_is_word_of_danger() -> None:
    """Whatever stands before it, each phrase that is drawn speaks of a circuit that isn't dead; half are set ones."""
    dice, drawn = random.Random(2), of_danger(phrases().of("danger"))
    said = [drawn(dice) for _ in range(120)]
    assert all(understand(words, Source.SPOKEN).danger for words in said)
    assert 30 < sum(words in DANGER for words in said) < 90


def test_a_call_alone_is_one_word_or_a_figure() -> None:
    """Each has a meaning, half are figures, and every kind of lone word comes up."""
    dice = random.Random(3)
    said = [alone(dice) for _ in range(400)]
    assert all(understand(words, Source.SPOKEN).status is not Status.REFUSED for words in said)
    figures = [words for words in said if words not in SET_PHRASES]
    assert 150 < len(figures) < 250
    assert {"yes", "no", "done", "upper", "live", "seven"} <= set(said)
    assert all(" " not in words for words in said if words not in figures)


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(Split, 2)))
def test_machines_are_kept_apart(one: Split, other: Split) -> None:
    """A saw that was trained on is in no other split."""
    assert not set(machines_of(one)) & set(machines_of(other))


def test_a_text_is_in_one_split_and_stays_there() -> None:
    """The split is a function of the words; about 80, 10 and 10 in 100."""
    counts = dict.fromkeys(Split, 0)
    for number in range(2_000):
        words = f"top {number} and an eighth"
        assert split_of_text(words) is split_of_text(words)
        counts[split_of_text(words)] += 1
    assert 1_500 < counts[Split.TRAIN] < 1_700
    assert min(counts.values()) > 150


def _scores(dice: random.Random, labels: list[int], frames: int) -> tuple[np.ndarray, list[tuple[int, int]]]:
    """Scores in which each label is the likeliest in frames of its own, and these frames."""
    starts = sorted(dice.sample(range(0, frames - 3, 4), len(labels)))
    spans = [(start, start + dice.randint(0, 2)) for start in starts]
    scores = np.log(np.full((frames, 8), 0.02))
    scores[:, 0] = np.log(0.86)
    for label, (first, last) in zip(labels, spans, strict=True):
        scores[first : last + 1, [0, label]] = scores[first : last + 1, [label, 0]]
    return scores, spans


def test_a_word_is_found_where_it_is_heard() -> None:
    """Whatever the words, the same one twice in a row with it, and however long each is."""
    dice = random.Random(5)
    for _ in range(40):
        labels = [dice.randint(1, 7) for _ in range(dice.randint(1, 6))]
        scores, spans = _scores(dice, labels, 60)
        assert places(scores, labels) == spans
    tight = np.log(np.full((3, 8), 0.02))
    tight[:, 3] = np.log(0.86)
    assert places(tight, [3, 3]) == [(0, 0), (2, 2)], "without a blank between them two are one"


def _utterance(dice: np.random.Generator, gaps: list[float]) -> tuple[np.ndarray, list[tuple[int, int]]]:
    """Tones of 0.3 s with so many seconds between them, and the samples of each."""
    tone = 0.1 * np.sin(2 * np.pi * 300 * np.arange(int(0.3 * RATE)) / RATE)
    parts, spans, at = [], [], 0
    for gap in [*gaps, 0.0]:
        spans.append((at, at + len(tone)))
        parts += [tone, np.zeros(int(gap * RATE))]
        at += len(tone) + int(gap * RATE)
    sound = np.concatenate(parts)
    return sound + dice.normal(0, 1e-4, len(sound)), spans


def _always(scores: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
    """An ear that hears the same whatever it is given."""
    return lambda _: scores


def test_words_that_stand_apart_are_cut_where_it_is_quiet() -> None:
    """Each in its own clip, whole and with no piece of another, by the same voice; what runs into its neighbor is no
    clip, and a single word is none that wasn't there before.
    """
    dice = np.random.default_rng(3)
    for gaps in ([0.2, 0.2], [0.1, 0.0, 0.3], [0.0, 0.15], []):
        sound, spans = _utterance(dice, gaps)
        words = ["five", "Q", "two", "eight"][: len(spans)]
        labels = list(range(1, len(spans) + 1))
        scores = np.log(np.full((len(sound) // FRAME, 8), 0.02))
        scores[:, 0] = np.log(0.86)
        for label, (_, last) in zip(labels, spans, strict=True):
            # An ear tells a word near its end, and not where it begins.
            scores[(last - RATE // 20) // FRAME, [0, label]] = scores[(last - RATE // 20) // FRAME, [label, 0]]
        voice = Voice("people", "an4 a", Split.TRAIN)
        whole = Clip(Text(Said.TALK, " ".join(words)), voice, (8_000 * sound).astype(np.int16))
        made = list(words_apart(whole, _always(scores), labels))
        free = [gap > 0 for gap in gaps]
        alone = [one for one, *beside in zip(words, [True, *free], [*free, True], strict=True) if all(beside)]
        assert [one.text.words for one in made] == (alone if gaps else [])
        for one in made:
            first, last = words_in(one.wave)
            assert one.voice == voice
            assert abs(last - first - 0.3 * RATE) < RATE // 40


def test_so_large_a_share_is_of_small_words() -> None:
    """And without one no text is what it was not before: what is measured is drawn by the same dice."""
    texts = [Texts(_drawn, _drawn, ["top"], [["some", "other", "words"]], small) for small in (0.0, 0.5)]
    known = {small_talk(random.Random(number)) for number in range(3_000)}
    shares = []
    for one in texts:
        dice = random.Random(4)
        shares.append(sum(one.draw(dice, Split.TRAIN).words in known for _ in range(600)) / 600)
    assert shares[0] < 0.1
    assert 0.4 < shares[1] < 0.65
