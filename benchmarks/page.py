"""How long the page needs: from a reading that was taken to the event that a viewer reads, on a real port.

`python -m benchmarks.page` prints it and writes `benchmarks/results/page.json`. The view is made anew for each, as in a
session; the browser's own drawing isn't in it.
"""

from __future__ import annotations

import json
import socket
import statistics
from pathlib import Path
from time import perf_counter

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.page.app import Page
from fieldvoice.page.guard import Guard, new_tokens
from fieldvoice.page.partner import Feed, Hands
from fieldvoice.page.server import LOOPBACK, served
from fieldvoice.records.hearing import Hearing

TIMES = 200
CALLS = ("middle 46 3/4", "bottom 46 1/4", "height left 95 1/2", "single gang center 30 1/4 from left 48 from top")


def main() -> None:
    """Measures and writes."""
    session, feed, tokens = Session(MemoryJournal()), Feed(), new_tokens()
    hands = Hands(session, feed, lambda _: None)
    for call in CALLS:
        session.take(Hearing.typed(call), "hanger")
    guard = Guard(tokens, frozenset())
    taken_to_page, view_alone = [], []
    with served(Page(feed, guard, hands), LOOPBACK) as port:
        guard.hosts = frozenset({f"{LOOPBACK}:{port}"})
        watcher = _watching(port, tokens.look)
        for number in range(TIMES):
            session.take(Hearing.typed(f"instead of top {46 if number % 2 else 45} 7/8"), "hanger")
            session.take(Hearing.typed(f"top {46 if number % 2 else 45} {number % 15 + 1}/16"), "hanger")
            begun = perf_counter()
            hands.show()
            view_alone.append(perf_counter() - begun)
            _until(watcher, b"event: state")
            taken_to_page.append(perf_counter() - begun)
        watcher.close()
    found = {"times": TIMES, "reading to page": _figures(taken_to_page), "of that the view": _figures(view_alone)}
    text = json.dumps(found, indent=2)
    print(text)
    Path(__file__).with_name("results").joinpath("page.json").write_text(f"{text}\n")


def _watching(port: int, token: str) -> socket.socket:
    watcher = socket.create_connection((LOOPBACK, port), timeout=20)
    watcher.sendall(f"GET /events HTTP/1.1\r\nHost: {LOOPBACK}:{port}\r\nCookie: fieldvoice={token}\r\n\r\n".encode())
    _until(watcher, b"event: state")
    return watcher


def _until(watcher: socket.socket, wanted: bytes) -> None:
    got = b""
    while wanted not in got:
        got += watcher.recv(65536)


def _figures(seconds: list[float]) -> dict[str, float]:
    ranked = sorted(seconds)
    return {
        "median ms": round(1000 * statistics.median(ranked), 1),
        "95 of 100 ms": round(1000 * ranked[int(0.95 * len(ranked))], 1),
        "worst ms": round(1000 * ranked[-1], 1),
    }


if __name__ == "__main__":
    main()
