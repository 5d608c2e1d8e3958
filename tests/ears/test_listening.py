"""The microphone's troubles are told, and speech becomes hearings."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from fieldvoice.ears.listening import Listening, after_wake, listen, outlook
from fieldvoice.ears.microphone import Microphone, chosen_device, narrow_by_name, sound_library
from fieldvoice.ears.sound import Frames
from fieldvoice.errors import NotHere
from fieldvoice.records.hearing import Hearing, Hypothesis

DEVICES = [
    {"name": "Speakers", "index": 0, "max_input_channels": 0, "default_samplerate": 48000.0},
    {"name": "Built-in Microphone", "index": 1, "max_input_channels": 2, "default_samplerate": 44100.0},
    {"name": "USB Audio", "index": 2, "max_input_channels": 1, "default_samplerate": 48000.0},
]


class Tape:
    """The language of "forty two" with or without "and a half"."""

    start = 0
    finals = frozenset({2, 5})
    arcs = ({"forty": 1}, {"two": 2}, {"and": 3}, {"a": 4}, {"half": 5}, {})


class Card:
    """Stands in for sounddevice: devices that can vanish, and a stream whose callback the test calls."""

    PortAudioError = OSError

    def __init__(self, devices: list[dict[str, Any]]) -> None:
        self.devices = devices
        self.started = 0

    def query_devices(self) -> list[dict[str, Any]]:
        """The devices of now."""
        return self.devices

    def InputStream(self, *, callback: Callable[..., None], **options: Any) -> SimpleNamespace:  # noqa: N802
        """A stream that the test drives."""
        self.callback, self.options = callback, options
        self.stream = SimpleNamespace(active=True, start=lambda: None, close=lambda: None)
        return self.stream

    def sleep(self, _milliseconds: int) -> None:
        """No time passes here."""
        """A stream that the test drives."""
        self.started += 1

    def _terminate(self) -> None:
        pass

    def _initialize(self) -> None:
        pass

    def hear(self, samples: np.ndarray, *, overflow: bool = False) -> None:
        """Hands samples to the stream's callback, as the card would."""
        self.callback(samples.astype(np.float32)[:, None], len(samples), None, overflow)


class Parrot:
    """An ear that hears one fixed thing."""

    def __init__(self, words: str) -> None:
        self.name, self.words, self.fed = "parrot", words, 0

    def reset(self) -> None:
        """Forgets the sound."""
        self.fed = 0

    def feed(self, frames: Frames) -> str:
        """The fixed words."""
        self.fed += len(frames)
        return self.words

    def finish(self) -> Hearing:
        """The fixed words, certain."""
        self.fed = 0
        return Hearing((Hypothesis(self.words, 1.0),), self.name)


def test_a_missing_portaudio_names_its_package(monkeypatch: pytest.MonkeyPatch) -> None:
    """The text says which package brings it and offers typing; the status is 69."""

    class Broken:
        def find_spec(self, name: str, *_: object) -> None:
            """Breaks the one import as a missing PortAudio does."""
            if name == "sounddevice":
                raise OSError("PortAudio library not found")

    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Broken(), *sys.meta_path])
    with pytest.raises(NotHere, match="libportaudio2") as caught:
        sound_library()
    assert "fieldvoice type" in str(caught.value)


def test_a_device_is_chosen_by_name_and_opened_at_its_own_rate() -> None:
    """Part of the name is enough, in any case; 48 kHz comes out as 16 kHz."""
    card = Card(DEVICES)
    microphone = Microphone("usb", pytest.fail, card)
    assert card.options["device"] == 2
    assert card.options["samplerate"] == 48000
    blocks = microphone.blocks()
    got = 0
    for _ in range(10):
        card.hear(0.25 * np.sin(np.arange(4800) / 20))
        got += len(next(blocks))
    microphone.close()
    assert 15_000 < got <= 16_000
    assert -20 < microphone.level.db < -10
    assert not microphone.level.clipping


def test_clipping_shows_in_the_level() -> None:
    """A voice at the end of the scale is seen."""
    card = Card(DEVICES)
    microphone = Microphone(None, pytest.fail, card)
    assert microphone.name == "Built-in Microphone"
    card.hear(np.sign(np.sin(np.arange(44100) / 40)))
    next(microphone.blocks())
    assert microphone.level.clipping


@pytest.mark.parametrize(
    ("devices", "wanted", "sentence"), [([], None, "No microphone"), (DEVICES, "ear", "Built-in Microphone; USB Audio")]
)
def test_a_missing_device_offers_what_is_there(devices: list[Any], wanted: str | None, sentence: str) -> None:
    """The names that can be chosen are listed, and typing is offered."""
    with pytest.raises(NotHere, match=sentence) as caught:
        chosen_device(devices, wanted)
    assert "fieldvoice type" in str(caught.value)


def test_unplugging_and_return_are_said_and_listening_goes_on() -> None:
    """Gone once, back once, however often it was tried in between."""
    said: list[str] = []
    card = Card(list(DEVICES))
    microphone = Microphone("usb", said.append, card)
    blocks = microphone.blocks()
    card.stream.active = False
    card.devices = DEVICES[:2]
    for _ in range(4):
        next(blocks)
    card.devices = list(DEVICES)
    for _ in range(2):
        next(blocks)
    card.hear(np.ones(9600) * 0.1)
    assert len(next(blocks)) > 0
    assert [text.split(". ")[0] for text in said] == [
        "The microphone USB Audio is gone",
        "The microphone USB Audio is back",
    ]


def test_dropped_sound_is_never_silent() -> None:
    """More than the buffer holds, or a card that overflowed, asks for the last reading again."""
    said: list[str] = []
    card = Card(DEVICES)
    microphone = Microphone("usb", said.append, card)
    card.hear(np.zeros(48000 * 6))
    blocks = microphone.blocks()
    next(blocks)
    card.hear(np.zeros(480), overflow=True)
    next(blocks)
    assert ["1.0 s" in said[0], "some sound" in said[1]] == [True, True]


@pytest.mark.parametrize(
    ("name", "rate", "narrow"),
    [
        ("Jobsite Headset Hands-Free", 8000, True),
        ("bluez input", 16000, True),
        ("USB Audio", 48000, False),
        ("USB Audio", 16000, False),
    ],
)
def test_a_narrow_band_is_said(name: str, rate: int, narrow: bool) -> None:
    """Telephone quality is announced before it costs readings."""
    assert (narrow_by_name(name, rate) is not None) is narrow


@pytest.mark.parametrize(
    ("words", "follows"),
    [
        ("", "may go on"),
        ("forty", "must go on"),
        ("forty two", "may go on"),
        ("forty two and", "must go on"),
        ("forty two and a half", "complete"),
        ("hello", "may go on"),
    ],
)
def test_the_grammar_says_whether_more_must_come(words: str, follows: str) -> None:
    """After "and" the fraction is still to come; after the fraction nothing is."""
    assert outlook(Tape(), words) == follows


def keyed(pattern: str) -> tuple[Iterator[Frames], Callable[[], bool]]:
    """Blocks during which a key is down (x) or up (.)."""
    state = {"down": False}

    def blocks() -> Iterator[Frames]:
        for sign in pattern:
            state["down"] = sign == "x"
            yield np.zeros(1600, np.int16)

    return blocks(), lambda: state["down"]


def test_push_to_talk_ends_with_the_key() -> None:
    """Two presses are two utterances, each heard by both ears."""
    blocks, held = keyed("..xxx..xx.")
    heard = list(listen(blocks, [Parrot("forty two"), Parrot("forty")], Tape(), Listening(held=held)))
    assert [[one.words for one in hearings] for hearings in heard] == [["forty two", "forty"]] * 2


def test_nothing_is_heard_while_the_assistant_speaks() -> None:
    """Muted blocks end nothing and leave nothing in the ear."""
    blocks, held = keyed("xx.xx.")
    ear = Parrot("forty two")
    assert list(listen(blocks, [ear], Tape(), Listening(held=held, muted=lambda: True))) == []
    assert ear.fed == 0


def test_the_words_so_far_are_shown() -> None:
    """The partial words reach the screen while the key is down."""
    blocks, held = keyed("xx.")
    shown: list[str] = []
    list(listen(blocks, [Parrot("forty")], Tape(), Listening(held=held, partial=shown.append)))
    assert shown == ["forty"] * 3


@pytest.mark.parametrize(("words", "left"), [("tape forty two", ["forty two"]), ("forty two", []), ("tape", [])])
def test_a_wake_phrase_opens_the_utterance(words: str, left: list[str]) -> None:
    """With it, the rest counts; without it, the talk wasn't meant for us."""
    hearing = Hearing((Hypothesis(words, 0.9),), "parrot")
    assert [one.words for one in after_wake(hearing, "tape").hypotheses] == left
    blocks, held = keyed("x.")
    heard = list(listen(blocks, [Parrot(words)], Tape(), Listening(held=held, wake="tape")))
    assert len(heard) == len(left)
