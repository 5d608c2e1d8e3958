"""The page in a real browser, where one is installed: Chromium, driven from outside, on real sessions."""

from __future__ import annotations

import json
import shutil
import signal
import socket
import subprocess
import sys
import time
import wave
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

playwright = pytest.importorskip("playwright.sync_api")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed")

ROOT = Path(__file__).parent.parent.parent
SIZES = {"phone on its side": (844, 390), "phone upright": (390, 844), "tablet": (1024, 768), "laptop": (1366, 768)}
CALLS = (
    "room kitchen",
    "top 46 7/8",
    "middle 46 3/4",
    "bottom 46 1/4",
    "height left 95 1/2",
    "single gang center 30 1/4 from left 48 from top",
    "yes",
)
LONG = 15_000
"""Milliseconds until a slow machine has surely done it; the times that were measured are in the docs."""


class Tried:
    """A session with its page in a process of its own, which can be frozen, killed and started again."""

    def __init__(self, folder: Path, *how: str) -> None:
        self._how = how
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.folder = folder
        self.start()

    def start(self) -> None:
        """Starts it, on the port and job that it had before."""
        command = [sys.executable, "-m", "tests.page.child", str(self.port), str(self.folder), *self._how]
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=pipe, text=True)
        self.answered("ready")

    def answered(self, word: str) -> None:
        """Waits for its answer."""
        assert self.process.stdout is not None
        assert self.process.stdout.readline().strip() == word

    def say(self, *lines: str) -> None:
        """Calls of the hanger."""
        assert self.process.stdin is not None
        for line in lines:
            self.process.stdin.write(f"{line}\n")
            self.process.stdin.flush()
            self.answered("taken")

    def stop(self) -> None:
        """Ends it at once."""
        self.process.kill()
        self.process.communicate()

    def link(self, right: str) -> str:
        """The link that gives a right."""
        (file,) = (self.folder / "page").glob("*.json")
        scheme = "https" if self._how else "http"
        return f"{scheme}://127.0.0.1:{self.port}/join/{json.loads(file.read_text())[right]}"

    def entries(self) -> str:
        """All of the job as text."""
        command = [sys.executable, "-m", "fieldvoice", "job", "show", "--job", str(self.folder / "tried.job")]
        return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser for all."""
    with playwright.sync_playwright() as driver:
        launched = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield launched
        launched.close()


@pytest.fixture
def tried(tmp_path: Path) -> Iterator[Tried]:
    """A session of its own for each test."""
    session = Tried(tmp_path)
    yield session
    session.stop()


class Watched:
    """A page in the browser, with all that it asked for and complained of."""

    def __init__(self, browser: Any, link: str, size: tuple[int, int] = (844, 390)) -> None:
        self.context = browser.new_context(viewport={"width": size[0], "height": size[1]})
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.goto(link)

    def looks(self, look: str) -> None:
        """Waits until it has that look."""
        playwright.expect(self.page.locator("body")).to_have_attribute("data-look", look, timeout=LONG)

    def shows(self, element: str, text: str) -> None:
        """Waits until an element holds that text."""
        playwright.expect(self.page.locator(element)).to_contain_text(text, timeout=LONG)

    def heeds(self) -> None:
        """Reads the cautions, which come before the first step."""
        self.page.click("#done")
        self.page.click("#read")
        playwright.expect(self.page.locator("#cautions")).to_be_hidden(timeout=LONG)

    def figures(self) -> str:
        """The large figures as they are read."""
        return str(self.page.locator("#figures").inner_text())


def test_from_the_link_to_the_last_tick(browser: Any, tried: Tried) -> None:
    """The link is exchanged, readings fill in, the marks come, cautions are read once, the thumb ticks, a call is
    typed; what came from the page is the partner's in the job, and the page asked nobody else for anything.
    """
    seen = Watched(browser, tried.link("tick"))
    seen.looks("measuring")
    assert "join" not in seen.page.url
    tried.say(*CALLS[:3])
    seen.shows("#figures", "46")
    tried.say(*CALLS[3:])
    seen.looks("cutting")
    seen.shows("#mode", "step 1 of")
    seen.shows("#danger", "WARNING")
    seen.heeds()
    seen.page.click("#done")
    seen.shows("#mode", "step 2 of")
    assert "95" in seen.figures()
    seen.page.click("#call")
    seen.page.fill("#line", "<img src=x onerror=alert(1)> & more")
    seen.page.press("#line", "Enter")
    playwright.expect(seen.page.locator("#line")).to_have_value("", timeout=LONG)
    assert seen.page.locator("img[src=x]").count() == 0
    kept = tried.entries()
    assert "onerror" in kept
    assert "partner" in kept
    assert seen.complaints == []
    assert {url.split("/")[2] for url in seen.asked} == {f"127.0.0.1:{tried.port}"}


def _is_blank(seen: Watched) -> None:
    """No mark, no step and no drawing is left."""
    seen.looks("lost")
    text = seen.page.locator("body").inner_text()
    assert "NOT LIVE" in text
    assert "46" not in text
    assert "95" not in text
    assert seen.page.locator("#board").get_attribute("src") is None


def test_a_frozen_session_blanks_the_marks_and_they_come_back(browser: Any, tried: Tried) -> None:
    """The connection is open and nothing comes: not a figure stays."""
    tried.say(*CALLS)
    seen = Watched(browser, tried.link("look"))
    seen.looks("cutting")
    tried.process.send_signal(signal.SIGSTOP)
    _is_blank(seen)
    tried.process.send_signal(signal.SIGCONT)
    seen.looks("cutting")
    assert "95" in seen.figures()


def test_a_session_that_is_started_again_is_found_again(browser: Any, tried: Tried) -> None:
    """Same port, same links: without a touch the page is live again, from the job as it was kept."""
    tried.say(*CALLS)
    seen = Watched(browser, tried.link("tick"))
    seen.looks("cutting")
    tried.stop()
    _is_blank(seen)
    tried.start()
    seen.looks("cutting")
    assert "95" in seen.figures()


def test_a_phone_that_loses_its_network_blanks_at_once(browser: Any, tried: Tried) -> None:
    """And is live again by itself when the network is back."""
    tried.say(*CALLS)
    seen = Watched(browser, tried.link("look"))
    seen.looks("cutting")
    seen.context.set_offline(True)
    _is_blank(seen)
    seen.context.set_offline(False)
    seen.looks("cutting")


def test_who_may_only_look_has_nothing_to_tap(browser: Any, tried: Tried) -> None:
    """No button is there, and a request made by hand is refused."""
    tried.say(*CALLS)
    seen = Watched(browser, tried.link("look"))
    seen.looks("cutting")
    assert not seen.page.locator("#done").is_visible()
    status = seen.page.evaluate("fetch('/line', {method: 'POST', body: '{\"text\": \"top 1\"}'}).then((a) => a.status)")
    assert status == 403


def test_a_wrong_link_shows_nothing(browser: Any, tried: Tried) -> None:
    """A sentence that says where the right one is."""
    tried.say(*CALLS)
    seen = Watched(browser, f"{tried.link('look')[:-4]}xxxx")
    text = seen.page.locator("body").inner_text()
    assert "isn't valid" in text
    assert "46" not in text


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_it_fits_and_every_button_can_be_hit(browser: Any, tried: Tried, size: tuple[int, int]) -> None:
    """Nothing is wider or higher than the window; figures whole and inside it; targets of 44 px and more (WCAG 2.2,
    2.5.5).
    """
    tried.say(*CALLS)
    seen = Watched(browser, tried.link("tick"), size)
    seen.looks("cutting")
    seen.heeds()
    for number in (2, 3, 4):
        seen.page.click("#done")
        seen.shows("#mode", f"step {number} of")
    assert seen.figures().split() == ["TOP", "46", "3", "/", "4", "BOTTOM", "46", "1", "/", "8"]
    wide, high = seen.page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert wide <= size[0]
    assert high <= size[1]
    for length in seen.page.locator(".length").all():
        box = length.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= size[0]
        assert box["y"] + box["height"] <= size[1]
    for button in seen.page.locator("button:visible").all():
        box = button.bounding_box()
        assert box["width"] >= 44
        assert box["height"] >= 44


SENT = """
  window.sent = [];
  const plain = WebSocket.prototype.send;
  WebSocket.prototype.send = function (what) { sent.push(what.byteLength / 2 || what); plain.call(this, what); };
  addEventListener("pointerup", () => sent.push("let go"), true);
"""
"""Keeps what the page sends: how many samples, or the button's word; and when the button is let go."""
TAIL_SAMPLES = 4_000
"""Of the 0.3 s that belong to the call after that, so many at least have come."""
QUIET = 2.6
"""Seconds of quiet before the recording: the browser plays it from when its microphone is opened."""


def _with_quiet(recording: Path, folder: Path) -> tuple[Path, float]:
    """The recording with quiet round it, and how long it speaks."""
    with wave.open(str(recording)) as source:
        rate, frames = source.getframerate(), source.readframes(source.getnframes())
    file = folder / recording.name
    with wave.open(str(file), "wb") as padded:
        padded.setnchannels(1)
        padded.setsampwidth(2)
        padded.setframerate(rate)
        padded.writeframes(bytes(2 * int(QUIET * rate)) + frames + bytes(4 * rate))
    return file, len(frames) / 2 / rate


@pytest.mark.slow
@pytest.mark.parametrize(
    ("recording", "words"),
    [
        ("05-top-forty-one-and.wav", "top forty one and three eighths"),
        ("14-top-twenty-six-and.wav", "top twenty six and seven eighths"),
    ],
)
def test_a_phone_is_the_microphone(tmp_path: Path, recording: str, words: str) -> None:
    """A shipped recording through the browser's microphone, the button and the encrypted link into the ears: the same
    words as from the file.
    """
    session = Tried(tmp_path, "phone")
    sound, seconds = _with_quiet(ROOT / "audio_samples" / recording, tmp_path)
    microphone = [
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-audio-capture={sound}%noloop",
    ]
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", *microphone])
        page = browser.new_context(ignore_https_errors=True).new_page()
        page.add_init_script(SENT)
        page.goto(session.link("tick"))
        playwright.expect(page.locator("#talk")).to_be_visible(timeout=LONG)
        page.locator("#talk").hover()
        begun = time.monotonic()
        page.mouse.down()
        playwright.expect(page.locator("#talk")).to_have_text("TALKING", timeout=LONG)
        page.wait_for_timeout(1000 * max(0.0, QUIET + seconds + 0.5 - (time.monotonic() - begun)))
        page.mouse.up()
        session.answered("told: The phone is the microphone now.")
        session.answered(f"heard: {words}")
        sent = page.evaluate("sent")
        down, let_go, up = (sent.index(what) for what in ("down", "let go", "up"))
        assert down < let_go < up
        assert sum(one for one in sent[let_go:up] if not isinstance(one, str)) >= TAIL_SAMPLES
        browser.close()
    session.stop()
