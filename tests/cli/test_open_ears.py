"""Which recognizers listen where none is named, and what is said of those that can't."""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path

import pytest

from fieldvoice.commands import recognizers
from fieldvoice.ears import models, whole_utterance
from fieldvoice.ears.reading_head import head
from fieldvoice.ears.reading_head.head import ReadingHead
from fieldvoice.errors import BadUsage, NotHere
from fieldvoice.language.automaton import vocabulary
from fieldvoice.records.hearing import begins
from fieldvoice.records.length import Unit

FIXTURE = Path(__file__).parents[1] / "fixtures" / "vosk"


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> pytest.MonkeyPatch:
    """A machine with what pip brings and no fetched model."""
    monkeypatch.delenv(models.SETTING, raising=False)
    monkeypatch.setattr(models, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr("fieldvoice.ears.personal.folder", lambda: tmp_path / "voice")
    labels = ReadingHead.load().labels
    words = tuple(word for word in vocabulary() if word in labels)
    monkeypatch.setattr(recognizers, "vocabulary", lambda: words)
    return monkeypatch


def with_vosk(machine: pytest.MonkeyPatch) -> None:
    """The fixture model, and a language of its words."""
    known = {line.split(" ")[0] for line in (FIXTURE / "graph" / "words.txt").read_text(encoding="utf-8").split("\n")}
    words = tuple(word for word in vocabulary() if word in known)
    machine.setattr(recognizers, "vocabulary", lambda: words)
    machine.setenv(models.SETTING, str(FIXTURE))


def without_whisper(machine: pytest.MonkeyPatch) -> None:
    """The package with the model isn't installed."""
    machine.setattr(models, "find_spec", lambda _: None)


def names() -> list[str]:
    """Who hears."""
    return [ear.name for ear in recognizers.open_ears(None)]


def test_what_pip_brings_hears_and_a_model_that_was_never_fetched_is_no_trouble(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line says which two hear."""
    assert names() == ["reading", "whisper (tiny.en)"]
    assert capsys.readouterr().err.endswith("Hearing with reading and whisper (tiny.en).\n")


def test_a_word_that_the_head_never_heard_is_named_and_all_others_are_heard(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A new word in the grammar doesn't silence the ears."""
    machine.setattr(ReadingHead, "missing", lambda *_: ("spall",))
    assert names() == ["reading", "whisper (tiny.en)"]
    told = capsys.readouterr().err
    assert "doesn't know 1 of the" in told
    assert "spall" in told


def test_whisper_hears_alone_where_the_heads_file_is_damaged(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Its checksum differs, and that is said."""
    (tmp_path / "head.json").write_text('{"sha256": "0", "words": []}')
    (tmp_path / "head.npz").write_bytes(b"")
    damaged = ReadingHead.load
    machine.setattr(ReadingHead, "load", lambda: damaged(tmp_path))
    assert names() == ["whisper (tiny.en)"]
    assert "checksum differs" in capsys.readouterr().err


def test_whisper_hears_alone_where_the_encoder_is_damaged(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Its checksum differs, and that is said; nothing is read with it."""
    shutil.copytree(Path(head.__file__).parent, tmp_path / "ear")
    file = tmp_path / "ear" / "encoder" / "model.bin"
    file.write_bytes(file.read_bytes()[:-1] + b"x")
    machine.setattr(whole_utterance, "encoder_folder", partial(head.encoder_folder, tmp_path / "ear"))
    assert names() == ["whisper (tiny.en)"]
    assert "an encoder that is not what was trained" in capsys.readouterr().err


def test_the_reading_ear_and_vosk_need_no_whisper(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each has a model of its own."""
    with_vosk(machine)
    without_whisper(machine)
    assert names() == ["reading", "vosk (vosk)"]
    assert capsys.readouterr().err.endswith("Hearing with reading and vosk (vosk).\n")


def test_all_three_hear_where_all_are_here(machine: pytest.MonkeyPatch) -> None:
    """The most trusted first."""
    with_vosk(machine)
    assert names() == ["reading", "whisper (tiny.en)", "vosk (vosk)"]


def test_a_model_that_lacks_words_is_told_while_the_others_hear(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Someone put it there: that it can't be used is worth a sentence."""
    machine.setenv(models.SETTING, str(FIXTURE))
    assert names() == ["reading", "whisper (tiny.en)"]
    assert "could never be heard" in capsys.readouterr().err


def test_where_none_is_here_each_is_named_with_what_to_do(machine: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """69, every way to get one, and typing meanwhile."""
    without_whisper(machine)
    load = ReadingHead.load
    machine.setattr(ReadingHead, "load", lambda: load(tmp_path))
    with pytest.raises(NotHere, match=r"can't be read.*pip install.*fieldvoice model --fetch"):
        recognizers.open_ears(None)


def test_a_fit_of_another_head_is_told_and_not_used(
    machine: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The reading ear hears as shipped; so it does recordings, which may be of anyone, without a word."""
    (tmp_path / "voice").mkdir()
    (tmp_path / "voice" / "change.npz").write_bytes(b"x")
    (tmp_path / "voice" / "change.json").write_text(
        '{"sha256": "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881", "head_sha256": "another"}'
    )
    assert names()[0] == "reading"
    assert "your voice" not in capsys.readouterr().err
    assert recognizers.open_ears(None, voice=recognizers.own_voice("USB Audio"))[0].name == "reading"
    assert "a newer one than your voice was fitted to" in capsys.readouterr().err


@pytest.mark.parametrize("wake", [None, "hey board"])
def test_the_language_is_that_of_the_jobs_unit(machine: pytest.MonkeyPatch, wake: str | None) -> None:
    """The ears are handed the way to the network of now, behind the wake phrase too; none is loaded before it is asked
    for.
    """
    handed, now = list[recognizers.Language](), [Unit.INCH]
    machine.setattr(recognizers, "open_ear", lambda _, __, language, **___: handed.append(language))
    recognizers.open_ears("reading", lambda: now[0], wake)
    called = f"{wake or ''} top eleven ninety then"
    assert not begins(handed[0](), called)
    now[0] = Unit.MM
    assert begins(handed[0](), called)


@pytest.mark.parametrize(
    ("phrase", "told"),
    [("hey carpenter", "don't know carpenter"), ("board one", "begins a reading"), ("hey", "two or more words")],
)
def test_a_wake_phrase_that_would_not_work_is_refused(phrase: str, told: str) -> None:
    """Before anything listens."""
    with pytest.raises(BadUsage, match=told):
        recognizers.open_ears(None, wake=phrase)


def test_behind_a_wake_phrase_the_language_is_the_same(machine: pytest.MonkeyPatch) -> None:
    """The reading ear's network begins with it."""
    (ear, *_) = recognizers.open_ears("reading", wake="hey board")
    assert ear.name == "reading"
