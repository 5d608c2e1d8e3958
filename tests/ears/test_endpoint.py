"""An utterance is cut where the speaker stops, and not between inches and fraction."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice import data_folder
from fieldvoice.ears.endpoint import STEP, Endpointer, Patience
from fieldvoice.ears.microphone import SampleBuffer
from fieldvoice.ears.sound import RATE, Frames, HighPass, level_db
from fieldvoice.ears.wav import read_wav
from fieldvoice.records.hearing import Outlook

SAMPLES = data_folder("audio_samples")
USUAL = Patience()
DEMO = [
    entry
    for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    if (entry := json.loads(line))["demo"]
]


def clip(number: int) -> Frames:
    """The demo's line with that number, without the quiet at its ends."""
    return read_wav(SAMPLES / DEMO[number - 1]["file"]).frames[RATE // 4 : -RATE // 4]


def hiss(seconds: float, level: float = 12.0) -> Frames:
    """A quiet room."""
    return (level * np.random.default_rng(1).standard_normal(round(RATE * seconds))).astype(np.int16)


def steps_until_end(frames: Frames, endpointer: Endpointer, outlook: Outlook = Outlook.COMPLETE) -> float | None:
    """Seconds fed until the utterance ended, or None where it didn't."""
    for at in range(0, len(frames), STEP):
        if any(cut.ended for cut in endpointer.take(frames[at : at + STEP], lambda: outlook)):
            return (at + STEP) / RATE
    return None


def utterances(frames: Frames, patience: Patience = USUAL, size: int = 1600) -> list[Frames]:
    """What a recording is cut into, in blocks of that size; with enough quiet behind it to end the last."""
    endpointer, running, found = Endpointer(patience), list[Frames](), list[Frames]()
    whole = np.concatenate([frames, np.zeros(round(RATE * (patience.unfinished + 0.1)), np.int16)])
    for at in range(0, len(whole), size):
        for cut in endpointer.take(whole[at : at + size]):
            running.append(cut.frames)
            if cut.ended:
                found.append(np.concatenate(running))
                running = []
    return found


def test_the_demo_spoken_in_one_go_falls_into_its_lines() -> None:
    """Three lines with a second of quiet between are three utterances, none cut off at its ends."""
    talk = np.concatenate([part for number in (5, 6, 12) for part in (hiss(1.0), clip(number))] + [hiss(1.0)])
    pieces = utterances(talk, Patience(open=0.6))
    assert len(pieces) == 3
    for utterance, number in zip(pieces, (5, 6, 12), strict=True):
        assert len(utterance) >= len(clip(number)) - RATE // 20


def test_an_end_is_seen_within_a_third_of_a_second() -> None:
    """The hang-over is 0.3 s at best."""
    sound = np.concatenate([hiss(1.0), clip(12), hiss(2.0)])
    ended = steps_until_end(sound, Endpointer())
    assert ended is not None
    assert ended - (1.0 + len(clip(12)) / RATE) <= 0.34


def test_where_more_must_come_a_pause_is_waited_through() -> None:
    """The words "forty one and" aren't cut after half a second; without more it ends after 2 s all the same."""
    sound = np.concatenate([hiss(1.0), clip(12), hiss(3.0)])
    plain, waiting = (steps_until_end(sound, Endpointer(), more) for more in (Outlook.COMPLETE, Outlook.MUST_GO_ON))
    assert plain is not None
    assert waiting is not None
    assert 1.6 < waiting - plain < 1.8


def test_the_hang_over_grows_with_the_speakers_own_gaps() -> None:
    """Someone who leaves long gaps between words is given longer at the end; one who no longer does, less again."""
    endpointer = Endpointer()
    gaps = [part for gap in (0.1, 0.15, 0.2, 0.25, 0.3) for part in (clip(12), hiss(gap))]
    assert steps_until_end(np.concatenate([hiss(1.0), *gaps, clip(12), hiss(2.0)]), endpointer) is not None
    slow, later = (waited(endpointer) for _ in range(2))
    assert slow > waited(Endpointer()) + 0.1
    assert later < slow


def waited(endpointer: Endpointer) -> float:
    """Seconds from the end of a clip to the end-point."""
    ended = steps_until_end(np.concatenate([hiss(0.5), clip(12), hiss(2.0)]), endpointer)
    assert ended is not None
    return ended - 0.5 - len(clip(12)) / RATE


def test_what_is_heard_in_a_pause_is_what_the_utterance_ends_with() -> None:
    """Quiet beyond the shortest pause is held back, and handed on where words follow."""
    words, quiet = clip(12), hiss(1.0)
    ended = utterances(np.concatenate([hiss(1.0), words, hiss(3.0)]))
    assert len(ended[0]) <= len(words) + 0.62 * RATE
    went_on = utterances(np.concatenate([hiss(1.0), words, quiet, words, hiss(3.0)]))
    assert len(went_on) == 1
    assert len(went_on[0]) >= 2 * len(words) + len(quiet) - RATE // 10


def test_silence_and_steady_noise_are_no_utterance() -> None:
    """Ten seconds of either never begin one."""
    assert utterances(np.zeros(10 * RATE, np.int16)) == []
    assert utterances(hiss(10.0, 300.0)) == []


def test_talk_without_a_pause_is_ended_by_the_clock() -> None:
    """Ten minutes without a pause come as pieces no longer than the limit."""
    talk = np.concatenate([hiss(1.0), np.tile(clip(10), 8)])
    pieces = utterances(talk, Patience(longest=5.0))
    assert len(pieces) > 3
    assert max(len(piece) for piece in pieces) <= 5.4 * RATE


def test_noise_that_comes_and_goes_does_not_hold_the_utterance_open() -> None:
    """A motor that starts with the words and runs on 24 dB below them: the end is seen while it runs."""
    words, time = clip(12), np.arange(6 * RATE) / RATE
    motor = sum(np.sin(2 * np.pi * 140 * n * time) / n for n in range(1, 20)) * (1 + np.sin(2 * np.pi * 4 * time))
    motor *= 10 ** ((level_db(words) - 24 - level_db((3000 * motor).astype(np.int16))) / 20) * 3000
    talk = motor[: 5 * RATE].copy()
    talk[: len(words)] += words
    endpointer = Endpointer()
    assert steps_until_end(np.concatenate([hiss(1.0), talk.astype(np.int16)]), endpointer) is not None
    assert endpointer.noise_db < level_db(motor.astype(np.int16)) - 10, "the running noise doesn't know the motor yet"


def test_a_begun_utterance_can_be_dropped() -> None:
    """When the assistant speaks, what it would hear of itself is forgotten."""
    endpointer = Endpointer()
    assert sum(len(cut.frames) for cut in endpointer.take(np.concatenate([hiss(1.0), clip(5)]))) > RATE
    endpointer.interrupted()
    assert steps_until_end(hiss(3.0), endpointer) is None


def test_the_end_of_a_call_whose_front_is_missing_begins_nothing() -> None:
    """Who talked on while the assistant spoke is heard from the next call on, not from the middle of this one."""
    endpointer = Endpointer()
    list(endpointer.take(hiss(1.0)))
    endpointer.interrupted()
    rest = np.concatenate([clip(5)[RATE // 2 :], hiss(1.0)])
    assert steps_until_end(rest, endpointer) is None
    assert steps_until_end(np.concatenate([clip(5), hiss(2.0)]), endpointer) is not None


@settings(max_examples=15, deadline=None)
@given(st.integers(1, 5000))
def test_block_sizes_do_not_matter(size: int) -> None:
    """The same sound in other blocks gives the same utterance."""
    sound = np.concatenate([hiss(1.0), clip(12), hiss(1.0)])
    (whole,), (cut,) = utterances(sound), utterances(sound, size=size)
    assert np.array_equal(whole, cut)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(0, 30), max_size=20), st.integers(1, 40))
def test_the_ring_keeps_the_newest_and_counts_what_it_lost(sizes: list[int], capacity: int) -> None:
    """Taken and dropped together are all that was put in."""
    ring = SampleBuffer(capacity)
    numbers = np.arange(sum(sizes), dtype=np.float32)
    at = 0
    for size in sizes:
        ring.put(numbers[at : at + size])
        at += size
    kept = ring.take(0.0)
    assert np.array_equal(kept, numbers[len(numbers) - len(kept) :])
    assert len(kept) == min(capacity, len(numbers))
    assert ring.dropped() == len(numbers) - len(kept)
    assert ring.dropped() == 0


@pytest.mark.parametrize(("hertz", "change"), [(20, -40.0), (50, -20.0), (300, 0.0), (3000, 0.0)])
def test_wind_is_filtered_and_the_voice_is_not(hertz: int, change: float) -> None:
    """What lies below the voice goes down; from 300 Hz up nothing changes."""
    tone = (8000 * np.sin(2 * np.pi * hertz * np.arange(2 * RATE) / RATE)).astype(np.int16)
    filtered = HighPass()(tone)[RATE:]
    difference = level_db(filtered) - level_db(tone[RATE:])
    assert difference <= change + 0.3
    assert difference >= -0.3 or change < 0


def test_filtering_in_blocks_is_filtering_at_once() -> None:
    """The seam between two blocks isn't heard."""
    sound = clip(5)
    whole, filtered = HighPass()(sound), HighPass()
    pieces = np.concatenate([filtered(sound[:777]), filtered(sound[777:])])
    assert np.abs(whole.astype(int) - pieces.astype(int)).max() <= 1


def throbbing(words: Frames, seconds: float, below_db: float = 8.0) -> np.ndarray:
    """A motor so far below the words that the detector takes it for speech, and finds no pause in it."""
    time = np.arange(round(seconds * RATE)) / RATE
    motor = sum(np.sin(2 * np.pi * 140 * n * time) / n for n in range(1, 20)) * (1.2 + np.sin(2 * np.pi * 8 * time))
    loud = level_db((3000 * motor).astype(np.int16))
    return np.asarray(3000 * motor * 10 ** ((level_db(words) - below_db - loud) / 20))


def over(words: Frames, seconds: float, at: float = 0.0) -> Frames:
    """The motor, and the words from `at` on."""
    sound = throbbing(words, seconds)
    sound[round(at * RATE) : round(at * RATE) + len(words)] += words
    return sound.astype(np.int16)


class Ears:
    """Ears that know when somebody speaks, in seconds; they note when they were asked."""

    def __init__(self, *spoken: tuple[float, float]) -> None:
        self.spoken, self.asked, self.fed = spoken, list[float](), 0.0

    def silent(self, frames: Frames) -> bool:
        """Whether nobody speaks in the last samples of what was fed."""
        self.asked.append(self.fed)
        begin = self.fed - len(frames) / RATE
        return not any(start < self.fed and end > begin for start, end in self.spoken)

    def cuts(self, sound: Frames, outlook: Outlook, endpointer: Endpointer) -> list[tuple[float, Frames]]:
        """When each utterance ended, and its sound; what is left at the end comes last."""
        found, running = list[tuple[float, Frames]](), list[Frames]()
        for at in range(0, len(sound), STEP):
            self.fed = (at + STEP) / RATE
            for cut in endpointer.take(sound[at : at + STEP], lambda: outlook, self.silent):
                running.append(cut.frames)
                if cut.ended:
                    found.append((self.fed, np.concatenate(running)))
                    running = []
        return [*found, (self.fed, np.concatenate(running))] if running else found


def test_where_noise_sounds_like_speech_the_ears_tell_that_nobody_speaks() -> None:
    """The detector alone finds no end; the noise after the words is left out, and no look follows another at once."""
    words = clip(12)
    sound = over(words, 7.0)
    assert steps_until_end(np.concatenate([hiss(1.0), sound]), Endpointer()) is None
    spoken = 1.0, 1.0 + len(words) / RATE
    ears = Ears(spoken)
    ended, frames = ears.cuts(np.concatenate([hiss(1.0), sound]), Outlook.COMPLETE, Endpointer())[0]
    assert spoken[1] < ended < spoken[1] + 1.0
    assert len(frames) / RATE < ended - 1.0
    assert min(np.diff([0.0, *ears.asked])) >= 0.3 - 1e-6


@pytest.mark.parametrize(("least", "soon"), [(0.0, 0.92), (0.85, 1.22)])
@pytest.mark.parametrize("late", [0.0, 0.1, 0.2, 0.3, 0.5])
def test_an_end_beside_a_machine_is_seen_soon_in_a_longer_piece_too(least: float, soon: float, late: float) -> None:
    """A machine that whines like a voice is known as one by ears that hear enough of it."""

    class Slow(Ears):
        def silent(self, frames: Frames) -> bool:
            return super().silent(frames) and len(frames) / RATE >= least

    words = np.tile(clip(12), 2)
    words = words[: len(words) - round(late * RATE)]
    spoken = 1.0, 1.0 + len(words) / RATE
    sound = np.concatenate([hiss(1.0), over(words, len(words) / RATE + 5.0)])
    (ended, _), *_ = Slow(spoken).cuts(sound, Outlook.COMPLETE, Endpointer())
    assert spoken[1] < ended < spoken[1] + soon


def test_nothing_is_cut_while_the_ears_hear_someone() -> None:
    """A long call over the motor is one utterance, every sample of it, however often they were asked."""
    words = np.tile(clip(10), 3)
    sound = np.concatenate([hiss(1.0), over(words, len(words) / RATE)])
    ears = Ears((1.0, 99.0))
    ((_, frames),) = ears.cuts(np.concatenate([sound, hiss(0.2)]), Outlook.COMPLETE, Endpointer())
    assert len(frames) >= len(words) - RATE, "the last second may wait yet for a look"
    assert len(ears.asked) >= 3


@pytest.mark.parametrize(("outlook", "rest", "whole"), [(Outlook.MAY_GO_ON, 1.3, True), (Outlook.COMPLETE, 3.2, False)])
def test_a_fraction_after_a_rest_in_noise_belongs_to_its_inches(outlook: Outlook, rest: float, whole: bool) -> None:
    """The rest is no end where a fraction may follow, though the ears hear nobody in it."""
    words = clip(12)
    seconds = len(words) / RATE
    again = seconds + rest
    sound = over(words, again + seconds + 5.0)
    sound[round(again * RATE) : round(again * RATE) + len(words)] += words
    ears = Ears((1.0, 1.0 + seconds), (1.0 + again, 1.0 + again + seconds))
    first, *_ = ears.cuts(np.concatenate([hiss(1.0), sound]), outlook, Endpointer())
    assert (len(first[1]) >= round((again + seconds) * RATE)) is whole


def test_a_tool_that_runs_in_bursts_does_not_hold_an_open_utterance() -> None:
    """After "forty two" each burst would begin the wait anew; a knock isn't even asked about."""
    words = clip(12)
    burst, knock = throbbing(words, 0.5).astype(np.int16), throbbing(words, 0.06).astype(np.int16)
    bursts = [part for _ in range(6) for part in (hiss(0.45), burst, hiss(0.45), knock)]
    sound = np.concatenate([hiss(1.0), words, *bursts])
    spoken = 1.0 + len(words) / RATE
    ears = Ears((1.0, spoken))
    ended, _ = ears.cuts(sound, Outlook.MAY_GO_ON, Endpointer())[0]
    assert spoken + 1.3 < ended < spoken + 3.0
    assert sum(at <= ended for at in ears.asked) <= 2
    assert steps_until_end(sound, Endpointer(), Outlook.MAY_GO_ON) is None


def test_a_word_that_begins_where_the_ears_heard_nobody_is_kept_whole() -> None:
    """The last of a second without words is the first of what follows."""
    words = clip(12)
    sound = np.concatenate([hiss(1.0), over(words, 9.0)])
    ears = Ears((1.0, 1.0 + len(words) / RATE), (6.0, 7.0))
    first, second, *_ = ears.cuts(sound, Outlook.COMPLETE, Endpointer())
    assert first[0] < 6.0
    assert second[0] - len(second[1]) / RATE < 6.0


@pytest.mark.parametrize(("spoken", "taken"), [((0.0, 0.0), True), ((0.0, 4.5), False)])
def test_after_the_read_back_noise_does_not_make_it_deaf(spoken: tuple[float, float], taken: bool) -> None:
    """In noise without a pause the ears tell that no call runs whose front is missing; one that runs is waited out."""
    words = clip(12)
    endpointer = Endpointer()
    list(endpointer.take(hiss(1.0)))
    endpointer.interrupted()
    ears = Ears(spoken, (2.5, 2.5 + len(words) / RATE))
    found = ears.cuts(over(words, 5.0, at=2.5), Outlook.COMPLETE, endpointer)
    assert bool(found) is taken


@pytest.mark.parametrize("at", [0.7, 0.9, 1.1])
def test_a_call_right_after_an_answer_is_heard_beside_a_machine(at: float) -> None:
    """Nobody waits for a second before the next call: whole, from its first word on."""
    words = clip(12)
    endpointer = Endpointer()
    list(endpointer.take(hiss(1.0)))
    endpointer.interrupted()
    ears = Ears((at, at + len(words) / RATE))
    sound = over(words, 5.0, at=at)
    first, *_ = ears.cuts(sound, Outlook.COMPLETE, endpointer)
    begin = round(at * RATE) // STEP * STEP
    assert sound[begin : begin + len(words)].tobytes() in first[1].tobytes()
