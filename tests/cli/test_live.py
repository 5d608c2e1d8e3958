"""The live screen: what is told stays in sight, and the last row is drawn where a terminal is."""

from __future__ import annotations

import pytest

from fieldvoice.commands import live
from fieldvoice.commands.talk import recorded_talk
from fieldvoice.ears.listening import Moment
from fieldvoice.ears.microphone import Level

QUIET = Level(-50.0, clipping=False)


def screen(monkeypatch: pytest.MonkeyPatch, *, terminal: bool, key: bool = False) -> live.Screen:
    """A screen on a terminal, or in a pipe."""
    monkeypatch.setattr(live, "live", lambda: terminal)
    monkeypatch.setenv("COLUMNS", "100")
    return live.Screen(key=key)


def test_in_a_pipe_lines_are_said_and_no_level_is_drawn(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was said goes to standard output, what is told to standard error."""
    shown = screen(monkeypatch, terminal=False)
    shown.show(recorded_talk().look(), ["hanger: yes"])
    shown.moment(Moment(speaking=True, words="top", noise_db=-60.0), QUIET)
    shown.tell("The microphone is gone.")
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("hanger: yes\n", "The microphone is gone.\n")


def test_what_is_told_stays_until_the_next_utterance(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The last row would else overwrite it."""
    shown = screen(monkeypatch, terminal=True)
    shown.show(recorded_talk().look(), [])
    shown.tell("The microphone is gone.")
    shown.tell("The microphone is back.")
    both = capsys.readouterr().out
    assert "! The microphone is gone." in both
    assert "! The microphone is back." in both
    shown.show(recorded_talk().look(), [])
    assert "microphone" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("key", "speaking", "words"),
    [
        (False, False, "listening"),
        (False, True, "hearing: top forty"),
        (True, False, "SPACE TO TALK"),
        (True, True, "TALKING, space ends: top forty"),
    ],
)
def test_the_last_row_says_what_is_being_done(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], key: bool, speaking: bool, words: str
) -> None:
    """In place, without a new line, and only where it changed."""
    shown = screen(monkeypatch, terminal=True, key=key)
    now = Moment(speaking, "top forty" if speaking else "", -60.0)
    shown.moment(now, QUIET)
    row = capsys.readouterr().out
    assert row.startswith("\r\x1b[K")
    assert words in row
    assert "\n" not in row
    shown.moment(now, QUIET)
    assert capsys.readouterr().out == ""


def test_clipping_stays_long_enough_to_be_seen(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A block of a tenth of a second would flash by."""
    time = [100.0]
    monkeypatch.setattr(live, "monotonic", lambda: time[0])
    shown = screen(monkeypatch, terminal=True)
    now = Moment(speaking=True, words="", noise_db=-60.0)
    shown.moment(now, Level(0.0, clipping=True))
    time[0] += 1.5
    shown.moment(now, QUIET)
    assert "it clips" in capsys.readouterr().out.rsplit("\r", 1)[1]
    time[0] += 1.0
    shown.moment(now, QUIET)
    assert "it clips" not in capsys.readouterr().out
