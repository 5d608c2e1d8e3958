"""The microphone's troubles are told, and speech becomes hearings."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import soxr

from fieldvoice import data_folder
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.listening import Listening, Moment, listen
from fieldvoice.ears.microphone import BandWatch, Microphone, chosen_device, device_name, narrow_by_name, sound_library
from fieldvoice.ears.sound import MISSING, RATE, Frames
from fieldvoice.ears.wav import read_wav
from fieldvoice.errors import NotHere
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Outlook, begins
from fieldvoice.records.trouble import Trouble
from fieldvoice.wording.troubles import sentence

DEVICES = [
    {"name": "Speakers", "index": 0, "max_input_channels": 0, "default_samplerate": 48000.0},
    {"name": "Built-in Microphone", "index": 1, "max_input_channels": 2, "default_samplerate": 44100.0},
    {"name": "USB Audio", "index": 2, "max_input_channels": 1, "default_samplerate": 48000.0},
]


class Tape:
    """The language of "forty two" with or without "and a half"."""

    start = 0
    finals = frozenset({2, 5})
    arcs: tuple[dict[str, int], ...] = ({"forty": 1}, {"two": 2}, {"and": 3}, {"a": 4}, {"half": 5}, {})


class CardTrouble(Exception):
    """What PortAudio raises."""


class Card:
    """Stands in for sounddevice: devices that can vanish, and a stream whose callback the test calls."""

    PortAudioError = CardTrouble
    default = SimpleNamespace(device=[-1, -1])

    def __init__(self, devices: list[dict[str, Any]]) -> None:
        self.devices = devices
        self.busy = False
        self.closed = 0

    def query_devices(self) -> list[dict[str, Any]]:
        """The devices of now."""
        return self.devices

    def InputStream(self, *, callback: Callable[..., None], **options: Any) -> SimpleNamespace:  # noqa: N802
        """A stream that the test drives."""
        self.callback, self.options = callback, options
        self.stream = SimpleNamespace(active=True, start=self._start, close=self._close)
        return self.stream

    def sleep(self, _milliseconds: int) -> None:
        """No time passes here."""

    def _start(self) -> None:
        if self.busy:
            raise CardTrouble("Device unavailable")

    def _close(self) -> None:
        self.closed += 1

    def _terminate(self) -> None:
        pass

    def _initialize(self) -> None:
        pass

    def hear(self, samples: np.ndarray, *, overflow: bool = False) -> None:
        """Hands samples to the stream's callback, as the card would."""
        self.callback(samples.astype(np.float32)[:, None], len(samples), None, overflow)


class Parrot:
    """An ear that hears one fixed thing, also where nobody speaks."""

    kind = EarKind.VOSK

    def __init__(self, words: str) -> None:
        self.name, self.words, self.fed = "parrot", words, 0

    def reset(self) -> None:
        """Forgets the sound."""
        self.fed = 0

    def feed(self, frames: Frames) -> str:
        """The fixed words."""
        self.fed += len(frames)
        return self.words

    def so_far(self) -> str:
        """The fixed words."""
        return self.words

    def silent(self, _frames: Frames | None = None) -> bool:
        """It can't tell."""
        return False

    def finish(self) -> Hearing:
        """The fixed words, certain."""
        self.fed = 0
        return Hearing((Hypothesis(self.words, 1.0),), self.name)


def _into(said: list[str]) -> Callable[[Trouble], None]:
    return lambda trouble: said.append(sentence(trouble))


def _untold(trouble: Trouble) -> None:
    pytest.fail(sentence(trouble))


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
    microphone = Microphone("usb", _untold, card)
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


def test_without_a_name_the_systems_own_microphone_is_taken() -> None:
    """The one that the system names, not the first of the list; the first where it names none that hears."""
    assert chosen_device(DEVICES, None, 2)["name"] == "USB Audio"
    assert chosen_device(DEVICES, None, 0)["name"] == "Built-in Microphone"
    assert chosen_device(DEVICES, "built", 2)["name"] == "Built-in Microphone"


def test_a_whole_name_is_taken_before_one_that_has_it_in_it() -> None:
    """ALSA's list has "sysdefault" before "default"; of two with one name it is the system's own."""
    names = ("sysdefault", "default", "default", "USB Audio 2", "USB Audio: - (hw:1,0)")
    devices = [{**DEVICES[2], "name": name, "index": index} for index, name in enumerate(names)]
    card = Card(devices)
    card.default = SimpleNamespace(device=[2, -1])
    assert Microphone(device_name(None, card), _untold, card).name == "default"
    assert card.options["device"] == 2
    assert chosen_device(devices, "default")["index"] == 1
    assert chosen_device(devices, "usb audio", 3)["index"] == 4
    assert chosen_device(devices, "usb", 4)["index"] == 3


def test_a_longer_name_is_another_microphone() -> None:
    """It doesn't take the place of the one that is gone."""
    card = Card([DEVICES[2], {**DEVICES[2], "name": "USB Audio 2", "index": 3}])
    microphone = Microphone("USB Audio", lambda _: None, card)
    card.stream.active = False
    card.devices = card.devices[1:]
    blocks = microphone.blocks()
    for _ in range(3):
        assert next(blocks) is MISSING
    assert (microphone.name, card.options["device"]) == ("USB Audio", 2)


def test_a_device_that_another_program_holds_says_so_and_is_given_back() -> None:
    """No fault of fieldvoice: 69, with what to do."""
    card = Card(DEVICES)
    card.busy = True
    with pytest.raises(NotHere, match=r"can't be opened \(Device unavailable\)") as caught:
        Microphone("usb", _untold, card)
    assert "fieldvoice type" in str(caught.value)
    assert card.closed == 1


def test_clipping_shows_in_the_level() -> None:
    """A voice at the end of the scale is seen."""
    card = Card(DEVICES)
    microphone = Microphone(None, _untold, card)
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
    microphone = Microphone("usb", _into(said), card)
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
    assert card.closed == 1, "a stream is closed once, however often its return is tried"
    assert [text.split(". ")[0] for text in said] == [
        "The microphone USB Audio is gone",
        "The microphone USB Audio is back",
    ]


def test_a_muted_microphone_is_told_of() -> None:
    """Four seconds without any sound at all: said once."""
    said: list[str] = []
    card = Card(DEVICES)
    blocks = Microphone("usb", _into(said), card).blocks()
    for _ in range(4):
        card.hear(np.zeros(48000))
        next(blocks)
    assert [text.split(". ")[0] for text in said] == ["No sound at all comes from the microphone USB Audio"]


@pytest.mark.parametrize("offset", [0.25, -0.5])
def test_a_card_that_lost_its_microphone_is_told_of_whatever_it_sends(offset: float) -> None:
    """The same sample for ever is no sound either; the level that is shown is that of silence."""
    said: list[str] = []
    card = Card(DEVICES)
    microphone = Microphone("usb", _into(said), card)
    blocks = microphone.blocks()
    for _ in range(6):
        card.hear(np.full(48000, offset))
        next(blocks)
    assert [text.split(". ")[0] for text in said] == ["No sound at all comes from the microphone USB Audio"]
    assert microphone.level.db < -80


@pytest.mark.parametrize("rate", [16_000, 44_100, 48_000, 96_000, 192_000])
def test_an_offset_of_the_card_is_not_heard(rate: int) -> None:
    """A microphone whose zero lies elsewhere brings the same sound, at any rate that cards have."""
    chance = np.random.default_rng(2)
    sound = 0.05 * np.sin(2 * np.pi * 300 * np.arange(2 * rate) / rate) + 0.001 * chance.standard_normal(2 * rate)
    heard = []
    for offset in (0.0, 0.2, -0.6):
        card = Card([{**DEVICES[-1], "default_samplerate": float(rate)}])
        blocks = Microphone(None, _untold, card).blocks()
        taken = []
        for part in np.array_split(sound + offset, 20):
            card.hear(part)
            taken.append(next(blocks))
        whole = np.concatenate(taken)
        assert abs(len(whole) - 2 * RATE) < RATE // 10
        heard.append(whole[RATE // 10 :].astype(int))
    assert max(np.abs(other - heard[0]).max() for other in heard[1:]) <= 3


def test_a_microphone_that_is_too_loud_is_told_of_once() -> None:
    """After some calls at the end of the scale, and not for a blow now and then."""
    said: list[str] = []
    card = Card(DEVICES)
    blocks = Microphone("usb", _into(said), card).blocks()
    quiet = 0.01 * np.random.default_rng(1).standard_normal(4800)
    loud = np.clip(100 * quiet, -1, 1)
    for blow in range(60):
        for part in (loud, *(quiet for _ in range(29))):
            card.hear(part)
            next(blocks)
        assert not said, f"{blow} blows"
    for _ in range(60):
        for part in (*(loud for _ in range(15)), *(quiet for _ in range(25))):
            card.hear(part)
            next(blocks)
    assert [text.split(". ")[0] for text in said] == [
        "The microphone USB Audio is too loud: words hit the end of its scale and may be misheard"
    ]


def test_dropped_sound_is_never_silent() -> None:
    """More than the buffer holds, or a card that overflowed, asks for the last reading again."""
    said: list[str] = []
    card = Card(DEVICES)
    microphone = Microphone("usb", _into(said), card)
    card.hear(np.tile([0.0, 1e-3], 24000 * 6))
    blocks = microphone.blocks()
    assert next(blocks) is MISSING, "what began before the gap must not go on after it"
    assert len(next(blocks))
    card.hear(np.zeros(480), overflow=True)
    assert next(blocks) is MISSING
    assert ["1.0 s" in said[0], "some sound" in said[1]] == [True, True]


def test_no_other_microphone_takes_the_place_of_one_that_is_gone() -> None:
    """The system's own one was pulled out: another has taken its place there, but nobody chose it."""
    said: list[str] = []
    card = Card(list(DEVICES))
    card.default = SimpleNamespace(device=[2, -1])
    microphone = Microphone(None, _into(said), card)
    blocks = microphone.blocks()
    card.stream.active = False
    card.devices, card.default = DEVICES[:2], SimpleNamespace(device=[1, -1])
    for _ in range(3):
        assert next(blocks) is MISSING
    assert microphone.name == "USB Audio"
    card.devices = list(DEVICES)
    for _ in range(2):
        next(blocks)
    assert card.options["device"] == 2
    assert [text.split(". ")[0] for text in said] == [
        "The microphone USB Audio is gone",
        "The microphone USB Audio is back",
    ]


def test_a_microphone_is_known_again_at_another_place() -> None:
    """Linux names the card's number too, which is another when it is plugged in anew."""
    said: list[str] = []
    first, again = ({**DEVICES[2], "name": f"USB Audio: - (hw:{card},0)"} for card in (1, 3))
    card = Card([first])
    microphone = Microphone(None, _into(said), card)
    assert microphone.name == device_name(None, card) == "USB Audio"
    card.stream.active = False
    card.devices = [again]
    blocks = microphone.blocks()
    for _ in range(2):
        next(blocks)
    assert said[-1] == "The microphone USB Audio is back. Go on."


def test_a_stream_that_fails_when_asked_and_a_system_that_fails_to_start_are_waited_out() -> None:
    """PortAudio may say by an error that a device is gone, and have an error for its own start as well."""
    said: list[str] = []
    card = Card(list(DEVICES))
    microphone = Microphone("usb", _into(said), card)
    blocks = microphone.blocks()

    class Failing:
        close = card.stream.close

        @property
        def active(self) -> bool:
            """What a lost device does."""
            raise CardTrouble("Unanticipated host error")

    microphone._stream = Failing()
    starts = iter([CardTrouble("no host"), None])

    def initialize() -> None:
        if trouble := next(starts):
            raise trouble

    card._initialize = initialize  # type: ignore[method-assign]
    for _ in range(3):
        assert next(blocks) is MISSING or said[-1].endswith("Go on.")
    assert [text.split(". ")[0] for text in said] == [
        "The microphone USB Audio is gone",
        "The microphone USB Audio is back",
    ]


def test_what_overflowed_while_the_assistant_spoke_is_not_asked_for_again() -> None:
    """It was its own voice."""
    said: list[str] = []
    card = Card(DEVICES)
    microphone = Microphone("usb", _into(said), card)
    card.hear(np.zeros(48000 * 6), overflow=True)
    microphone.skip()
    card.hear(np.zeros(480))
    blocks = microphone.blocks()
    assert next(blocks) is MISSING
    assert len(next(blocks))
    assert said == []


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
    assert narrow_by_name(name, rate) is narrow


@pytest.mark.parametrize(("through", "told"), [("wire", 0), ("telephone", 1)])
def test_a_narrow_band_behind_a_full_rate_is_heard(through: str, told: int) -> None:
    """A system's mixer gives a headset's sound at 48 kHz under a name of its own; it is told once, from the sound."""
    files = sorted(data_folder("audio_samples").glob("*.wav"))[:12]
    speech = np.concatenate([read_wav(file).frames for file in files]) / 32768
    if through == "telephone":
        speech = soxr.resample(soxr.resample(speech, 16_000, 8_000), 8_000, 16_000)
    said: list[str] = []
    card = Card(DEVICES)
    microphone = Microphone("usb", _into(said), card)
    blocks = microphone.blocks()
    for part in np.array_split(np.tile(soxr.resample(speech, 16_000, 48_000), 2), 100):
        card.hear(part)
        next(blocks)
    assert len(said) == told
    assert all("USB Audio carries a narrow band (nothing above 4,000 Hz" in each for each in said)


def test_quiet_says_nothing_of_a_band() -> None:
    """Whatever a microphone carries, in silence and in hiss of the last bit nothing can be told."""
    band = BandWatch()
    chance = np.random.default_rng(5)
    for level in (0.0, 1.0):
        assert not any(band.narrow((level * chance.standard_normal(1600)).astype(np.int16)) for _ in range(200))


@pytest.mark.parametrize(
    ("words", "may_begin"), [("", True), ("forty two and", True), ("hello", False), ("two", False)]
)
def test_beginnings_of_the_language_are_known(words: str, may_begin: bool) -> None:
    """Any words from the start on that the network can follow."""
    assert begins(Tape(), words) is may_begin


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
    heard = list(listen(blocks, [Parrot("forty two"), Parrot("forty")], Listening(held=held)))
    assert [[one.words for one in hearings] for hearings in heard] == [["forty two", "forty"]] * 2


def test_where_it_is_enough_the_other_ears_need_not_hear() -> None:
    """Those that were fed in vain begin the next utterance afresh; it is asked with what follows the wake phrase."""
    blocks, held = keyed("..xxx..xx.")
    first, second, asked = Parrot("hey board forty two"), Parrot("hey board forty"), []

    def enough(hearings: Sequence[Hearing], others: Sequence[Ear]) -> bool:
        asked.append([hearings[0].words, *(ear.name for ear in others)])
        return len(asked) == 1

    heard = list(listen(blocks, [first, second], Listening(held=held, enough=enough, wake="hey board")))
    assert [[one.words for one in hearings] for hearings in heard] == [["forty two"], ["forty two", "forty"]]
    assert asked == [["forty two", "parrot"]] * 2
    assert second.fed == 0


def test_who_did_not_hear_the_wake_phrase_settles_nothing() -> None:
    """The other one may have heard it."""
    blocks, held = keyed("xx.")
    listening = Listening(held=held, enough=lambda *_: True, wake="hey board")
    heard = list(listen(blocks, [Parrot("forty"), Parrot("hey board forty")], listening))
    assert [hearing.words for hearing in heard[0]] == ["", "forty"]


def test_nothing_is_heard_while_the_assistant_speaks() -> None:
    """Muted blocks end nothing and leave nothing in the ear."""
    blocks, held = keyed("xx.xx.")
    ear = Parrot("forty two")
    assert list(listen(blocks, [ear], Listening(held=held, muted=lambda: True))) == []
    assert ear.fed == 0


def test_each_moment_is_shown() -> None:
    """Whether the key is down, the words so far while it is, and the level of the noise."""
    blocks, held = keyed(".xx.")
    shown: list[Moment] = []
    list(listen(blocks, [Parrot("forty")], Listening(held=held, moment=shown.append)))
    assert [(each.speaking, each.words) for each in shown] == [
        (False, ""),
        (True, "forty"),
        (True, "forty"),
        (False, ""),
    ]
    assert {each.noise_db for each in shown} == {-96.0}


def spoken(*parts: float) -> Iterator[Frames]:
    """Half a second of a voice-like buzz for each positive number of seconds, hiss for each negative one."""
    chance = np.random.default_rng(3)
    for seconds in parts:
        time = np.arange(round(abs(seconds) * 16_000)) / 16_000
        buzz = sum(np.sin(2 * np.pi * 140 * n * time) / n for n in range(1, 20)) * (1 + np.sin(2 * np.pi * 4 * time))
        yield (chance.normal(0, 8, len(time)) + (2500 * buzz if seconds > 0 else 0)).astype(np.int16)


@pytest.mark.parametrize(("outlook", "count"), [(Outlook.COMPLETE, 2), (Outlook.MAY_GO_ON, 1), (Outlook.MUST_GO_ON, 1)])
def test_how_long_a_pause_may_be_hangs_on_the_words(outlook: Outlook, count: int) -> None:
    """After 0.9 s of quiet a complete utterance is over, one that may or must go on isn't."""
    asked: list[str] = []

    def follows(words: str) -> Outlook:
        asked.append(words)
        return outlook

    blocks = spoken(-1.0, 0.8, -0.9, 0.8, -2.5)
    assert len(list(listen(blocks, [Parrot("forty two")], Listening(follows)))) == count
    assert set(asked) == {"forty two"}


def test_the_second_recognizer_is_asked_where_the_first_has_no_words() -> None:
    """An ear that isn't sure in the pause leaves the word to the next."""
    asked: list[str] = []

    def follows(words: str) -> Outlook:
        asked.append(words)
        return Outlook.COMPLETE

    list(listen(spoken(-1.0, 0.8, -2.5), [Parrot(""), Parrot("forty")], Listening(follows)))
    assert set(asked) == {"forty"}


class Sentry(Parrot):
    """An ear that tells whether anybody speaks."""

    def __init__(self, words: str, *, nobody: bool) -> None:
        super().__init__(words)
        self.nobody = nobody

    def silent(self, _frames: Frames | None = None) -> bool:
        """The fixed answer."""
        return self.nobody


@pytest.mark.parametrize("nobody", [True, False])
def test_noise_alone_is_no_utterance(nobody: bool) -> None:
    """Where an ear hears nobody in it, nothing is said to the hanger about it, and it is over after the least pause."""
    asked: list[str] = []

    def follows(words: str) -> Outlook:
        asked.append(words)
        return Outlook.MUST_GO_ON

    ear = Sentry("forty", nobody=nobody)
    heard = list(listen(spoken(-1.0, 0.8, -2.5), [ear], Listening(follows)))
    assert len(heard) == (0 if nobody else 1)
    assert bool(asked) is not nobody
    assert ear.fed == 0


def test_what_a_key_says_is_meant_is_answered() -> None:
    """Also where nobody was heard: who pressed it waits for an answer."""
    blocks, held = keyed(".xx.")
    assert len(list(listen(blocks, [Sentry("", nobody=True)], Listening(held=held)))) == 1
