"""Who gets what from the page, tried on a real port. Links of a job: random, kept, and changed only when asked."""

from __future__ import annotations

import json
import re
import socket
import stat
import threading
import time
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

from fieldvoice.commands.page import _clock
from fieldvoice.errors import NotHere
from fieldvoice.page.app import STATIC
from fieldvoice.page.guard import HEADERS, LONGEST_BODY, WRONG, LinkTokens, Right, new_tokens, renewed, tokens_of
from fieldvoice.page.partner import BEAT_SECONDS, VIEWERS
from fieldvoice.page.server import CONNECTIONS_AN_ADDRESS, LOOPBACK, SILENT_SECONDS, listening_socket
from tests.page.serving import TOKENS, Served, page

PATHS = (*STATIC, "/events", "/board.svg")
POSTS = ("/tick", "/untick", "/line", "/acknowledge")


@pytest.fixture
def served() -> Iterator[Served]:
    """A page of its own for each test."""
    with page() as found:
        yield found


@pytest.mark.parametrize("path", PATHS)
def test_without_the_link_nothing_is_shown(served: Served, path: str) -> None:
    """No cookie and a wrong one: 401, with nothing of the job in it."""
    served.feed.publish("the marks")
    for token in (None, "guessed", ""):
        answer = served.ask(path, token=token)
        assert answer.status == 401
        assert "marks" not in answer.text  # type: ignore[attr-defined]


@pytest.mark.parametrize("path", POSTS)
def test_without_the_right_nothing_is_done(served: Served, path: str) -> None:
    """No token, a wrong one, and the one that only looks."""
    assert served.post(path, {"step": "now", "text": "t 46"}, "guessed") == 401
    assert served.post(path, {"step": "now", "text": "t 46"}, TOKENS.look) == 403
    assert served.hands.did == []


def test_the_link_is_exchanged_for_a_cookie_that_no_script_can_read(served: Served) -> None:
    """And the token is gone from the address, so that it is in no history and no referrer."""
    answer = served.ask(f"/join/{TOKENS.tick}")
    assert (answer.status, answer.headers["Location"]) == (303, "/")
    cookie = answer.headers["Set-Cookie"]
    for part in ("HttpOnly", "SameSite=strict", "Path=/"):
        assert part in cookie
    assert served.ask("/", token=TOKENS.tick).status == 200
    assert served.ask("/join/guessed").status == 401


def test_what_the_ticking_link_may_do(served: Served) -> None:
    """Lines in one blank each, ticks by the step's name: one of another step is refused."""
    assert served.post("/line", {"text": "  top   46 7/8 "}) == 204
    assert served.post("/tick", {"step": "now"}) == 204
    assert served.post("/tick", {"step": "before"}) == 400
    assert served.post("/untick") == 204
    assert served.post("/acknowledge", {"care": "now"}) == 204
    assert served.post("/acknowledge", {"care": "before"}) == 400
    assert served.post("/acknowledge") == 400
    assert served.hands.did == [
        "line top 46 7/8",
        "tick now",
        "tick before",
        "untick",
        "acknowledge now",
        "acknowledge before",
    ]


@pytest.mark.parametrize(
    ("path", "body", "status"),
    [
        ("/tick", "{}", 400),
        ("/tick", '{"step": 3}', 400),
        ("/tick", "[]", 400),
        ("/tick", "nonsense", 400),
        ("/tick", "[" * 4000, 400),
        ("/line", '{"text": ""}', 400),
        ("/line", '{"text": 46}', 400),
        ("/line", '{"text": "' + "x" * LONGEST_BODY + '"}', 413),
    ],
)
def test_what_makes_no_sense_does_nothing(served: Served, path: str, body: str, status: int) -> None:
    """A status, and no trace in the job."""
    assert served.ask(path, "POST", TOKENS.tick, body, Origin=f"http://{served.host}").status == status
    assert served.hands.did == []


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "elsewhere.example"},
        {"Origin": "http://elsewhere.example"},
        {"Origin": "null"},
        {},
        {"Sec_Fetch_Site": "cross-site", "Origin": "same"},
    ],
)
def test_another_page_can_post_nothing(served: Served, headers: dict[str, str]) -> None:
    """Foreign names for this machine, foreign pages, and requests that say nothing of where they come from."""
    sent = {name: f"http://{served.host}" if value == "same" else value for name, value in headers.items()}
    assert served.ask("/untick", "POST", TOKENS.tick, "{}", **sent).status == 403
    assert served.hands.did == []


def test_a_foreign_name_for_this_machine_sees_nothing(served: Served) -> None:
    """A page elsewhere that makes its own name point here gets no look either."""
    assert served.ask("/", token=TOKENS.tick, Host="elsewhere.example").status == 403


@pytest.mark.parametrize("path", [*PATHS[:-2], "/board.svg", "/nowhere", "/join/guessed"])
def test_every_answer_carries_the_headers(served: Served, path: str) -> None:
    """The refusals, too."""
    for token in (TOKENS.look, None):
        answer = served.ask(path, token=token)
        assert {name: answer.headers[name] for name in HEADERS} == dict(HEADERS)


def test_guessing_is_slowed_down(served: Served) -> None:
    """After ten wrong tokens the address waits, with the right one too."""
    statuses = [served.ask(f"/join/guess{number}").status for number in range(WRONG.count + 2)]
    assert statuses == [401] * WRONG.count + [429] * 2
    assert served.ask("/", token=TOKENS.tick).status == 429


def test_a_flood_is_refused_and_the_page_goes_on(served: Served) -> None:
    """Of 400 requests in a row most get 429; nothing falls over."""
    statuses = [served.ask("/page.css", token=TOKENS.look).status for _ in range(400)]
    assert set(statuses) == {200, 429}
    assert statuses.count(429) > 200


def read_until(watcher: socket.socket, wanted: bytes, within: float = 10.0) -> bytes:
    """What comes until `wanted` is in it."""
    found, until = b"", time.monotonic() + within
    while wanted not in found and time.monotonic() < until:
        found += watcher.recv(4096)
    return found


def test_a_change_reaches_the_page_at_once_and_beats_follow(served: Served) -> None:
    """The state that is there, a new one, and a beat when nothing is new."""
    served.feed.publish("first")
    watcher = served.watching()
    assert b"data: first" in read_until(watcher, b"data: first")
    started = time.monotonic()
    served.feed.publish("second")
    assert b"event: state\ndata: second" in read_until(watcher, b"data: second")
    assert time.monotonic() - started < BEAT_SECONDS
    assert b"event: beat" in read_until(watcher, b"event: beat")
    watcher.close()


def test_so_many_may_watch_and_one_that_goes_makes_room(served: Served) -> None:
    """Twenty; the next is refused until one has gone. They come from other addresses of this machine."""
    watchers = [_from(served, f"127.0.1.{number // 10 + 1}") for number in range(VIEWERS)]
    for watcher in watchers:
        assert b"200" in watcher.recv(200)
    late = _from(served, "127.0.1.9")
    assert b"503" in late.recv(200)
    watchers.pop().close()
    until = time.monotonic() + 10
    while served.feed.full and time.monotonic() < until:
        time.sleep(0.1)
    assert b"200" in _from(served, "127.0.1.9").recv(200)
    for watcher in (*watchers, late):
        watcher.close()


def _from(served: Served, address: str) -> socket.socket:
    watcher = socket.create_connection((LOOPBACK, served.port), timeout=10, source_address=(address, 0))
    asked = f"GET /events HTTP/1.1\r\nHost: {served.host}\r\nCookie: fieldvoice={TOKENS.look}\r\n\r\n"
    watcher.sendall(asked.encode())
    return watcher


def test_idle_connections_shut_nobody_out(served: Served) -> None:
    """Forty that send nothing: those too many of one address are closed at once, the rest after a while, and another
    address is served all the time.
    """
    idle = [socket.create_connection((LOOPBACK, served.port), timeout=15) for _ in range(40)]
    served.feed.publish("marks")
    watcher = _from(served, "127.0.2.1")
    assert b"data: marks" in read_until(watcher, b"data: marks")
    started = time.monotonic()
    closed = [_closed(each) for each in idle]
    assert all(closed)
    assert time.monotonic() - started < SILENT_SECONDS + 5
    assert served.ask("/", token=TOKENS.look).status == 200
    watcher.close()


def _closed(connection: socket.socket) -> bool:
    try:
        return connection.recv(1) == b""
    except ConnectionResetError:
        return True


def test_a_viewer_that_takes_nothing_never_holds_up_the_dialogue(served: Served) -> None:
    """Ten thousand states are published while one viewer reads none: each is handed on without waiting."""
    watcher = served.watching()
    watcher.recv(100)
    started = time.monotonic()
    for number in range(10_000):
        served.feed.publish(f"{number} " + "x" * 2000)
    assert time.monotonic() - started < 5
    watcher.close()


def test_two_addresses_are_counted_apart() -> None:
    """One that floods leaves the other its requests."""
    with page() as served:
        done = threading.Event()

        def flood() -> None:
            while not done.is_set():
                served.ask("/", token=TOKENS.look)

        thread = threading.Thread(target=flood)
        thread.start()
        try:
            watcher = _from(served, "127.0.3.1")
            assert b"200" in watcher.recv(200)
            watcher.close()
        finally:
            done.set()
            thread.join()


def test_the_page_asks_nobody_else_and_writes_text_alone() -> None:
    """No address of another host in any file, and no markup made of what was said."""
    for name, _ in STATIC.values():
        content = files("fieldvoice.page").joinpath("static", name).read_text("utf-8")
        found = [each for each in re.findall(r"https?://[^\"'\s)]+", content) if "www.w3.org/2000/svg" not in each]
        assert found == []
        assert not re.search(r"innerHTML|outerHTML|insertAdjacent|document\.write|eval\(", content)
        assert CONNECTIONS_AN_ADDRESS > 6


def test_the_end_of_a_session_is_quiet(capfd: pytest.CaptureFixture[str]) -> None:
    """However many watch: nothing of the server's reaches the terminal, and nobody has to be waited for."""
    with page() as served:
        served.feed.publish("marks")
        watchers = [served.watching() for _ in range(5)]
        for watcher in watchers:
            assert b"data: marks" in read_until(watcher, b"data: marks")
    for watcher in watchers:
        while watcher.recv(4096):
            continue
        watcher.close()
    assert capfd.readouterr().err == ""


def test_an_answer_is_sent_at_once() -> None:
    """The connection is one that holds nothing back: small pieces waited 40 ms for an acknowledgment each."""
    listening = listening_socket(LOOPBACK, 0)
    assert listening.proto == socket.IPPROTO_TCP
    listening.close()


BREAKS = "\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029"
"""What Python calls an end of a line, and a browser or JSON doesn't."""


def test_no_sign_in_a_name_parts_the_state(served: Served) -> None:
    """A state that comes in pieces is no JSON, and the page would go on showing the one before it."""
    state = json.dumps({"heard": f"wall {BREAKS} top"}, ensure_ascii=False)
    served.feed.publish(state)
    watcher = served.watching()
    found = read_until(watcher, b"top").decode()
    assert [line for line in re.split(r"\r\n|\n|\r", found) if line.startswith("data: {")] == [f"data: {state}"]
    watcher.close()


def test_what_fails_at_looking_blanks_the_page(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beats that go on without a new state would keep marks in sight that nobody looks after."""
    monkeypatch.setattr("fieldvoice.commands.page.LOOK_AGAIN_SECONDS", 0.05)
    with page() as served:
        watcher = served.watching()
        read_until(watcher, b"event: beat")

        def broken() -> None:
            raise RuntimeError("broken")

        with _clock(served.feed, broken):
            until = time.monotonic() + 10
            while not served.feed.full and time.monotonic() < until:
                time.sleep(0.02)
            while watcher.recv(4096):
                assert time.monotonic() < until
        assert b"503" in _from(served, "127.0.1.9").recv(200)
    assert "don't cut from this run" in capsys.readouterr().err


def test_a_jobs_links_outlive_a_restart_and_no_other_job_has_them(tmp_path: Path) -> None:
    """The same ones again; a command makes new ones and the old ones are worth nothing."""
    first = tokens_of("kitchen", tmp_path / "page")
    assert tokens_of("kitchen", tmp_path / "page") == first
    assert tokens_of("hall", tmp_path / "page") != first
    second = renewed("kitchen", tmp_path / "page")
    assert tokens_of("kitchen", tmp_path / "page") == second
    assert second.right_of(first.tick) is None


def test_only_the_owner_can_read_them(tmp_path: Path) -> None:
    """And a file that is damaged is made anew rather than believed."""
    tokens_of("kitchen", tmp_path / "page")
    (file,) = (tmp_path / "page").iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.write_text("{")
    assert tokens_of("kitchen", tmp_path / "page").right_of("") is None


def test_a_token_gives_its_own_right_and_no_other() -> None:
    """Long enough not to be guessed; look isn't tick."""
    tokens = new_tokens()
    assert len(tokens.look) >= 32
    assert tokens.right_of(tokens.look) is Right.LOOK
    assert tokens.right_of(tokens.tick) is Right.TICK
    for wrong in ("", tokens.look[:-1], tokens.look + "x", "\udcff", "é"):
        assert tokens.right_of(wrong) is None
    assert LinkTokens("a", "b").right_of("ab") is None


def test_links_that_cannot_be_kept_are_no_links(tmp_path: Path) -> None:
    """Told, since they would change at the next start without a word."""
    (tmp_path / "page").write_text("a file where the folder should be")
    with pytest.raises(NotHere, match="no page"):
        tokens_of("kitchen", tmp_path / "page")
