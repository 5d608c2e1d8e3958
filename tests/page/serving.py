"""A page on a real port of this machine, and a browser's requests without a browser."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from fieldvoice.page.app import Page
from fieldvoice.page.guard import Guard, LinkTokens
from fieldvoice.page.partner import Feed
from fieldvoice.page.server import LOOPBACK, served

TOKENS = LinkTokens("looking-token", "ticking-token")


@dataclass
class Hands:
    """Notes what came from the page."""

    did: list[str] = field(default_factory=list)

    def line(self, text: str) -> None:
        """A typed line."""
        self.did.append(f"line {text}")

    def tick(self, step: str) -> bool:
        """The step in hand is `now`."""
        self.did.append(f"tick {step}")
        return step == "now"

    def untick(self) -> None:
        """The last tick was none."""
        self.did.append("untick")

    def acknowledge(self, cautions: str) -> bool:
        """Those of now were read."""
        self.did.append(f"acknowledge {cautions}")
        return cautions == "now"

    def drawing(self) -> str:
        """An empty drawing."""
        return '<svg xmlns="http://www.w3.org/2000/svg"/>'


@dataclass
class Served:
    """A served page and what asks of it."""

    port: int
    feed: Feed
    hands: Hands
    guard: Guard

    @property
    def host(self) -> str:
        """What a browser writes as the host."""
        return f"{LOOPBACK}:{self.port}"

    def ask(
        self,
        path: str,
        method: str = "GET",
        token: str | None = None,
        body: str | bytes | None = None,
        **headers: str,
    ) -> http.client.HTTPResponse:
        """One request on a connection of its own; the answer is read whole."""
        connection = http.client.HTTPConnection(LOOPBACK, self.port, timeout=10)
        sent = {"Host": self.host, **{name.replace("_", "-"): value for name, value in headers.items()}}
        if token is not None:
            sent["Cookie"] = f"fieldvoice={token}"
        connection.request(method, path, body, sent)
        answer = connection.getresponse()
        answer.text = answer.read().decode()  # type: ignore[attr-defined]
        connection.close()
        return answer

    def post(self, path: str, said: object = None, token: str = TOKENS.tick) -> int:
        """What the page posts; its status."""
        body = json.dumps(said if said is not None else {})
        return self.ask(path, "POST", token, body, Origin=f"http://{self.host}").status

    def watching(self) -> socket.socket:
        """A connection that has asked for the events."""
        watcher = socket.create_connection((LOOPBACK, self.port), timeout=10)
        asked = f"GET /events HTTP/1.1\r\nHost: {self.host}\r\nCookie: fieldvoice={TOKENS.look}\r\n\r\n"
        watcher.sendall(asked.encode())
        return watcher


@contextmanager
def page() -> Iterator[Served]:
    """A page with a guard of its own."""
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        port = probe.getsockname()[1]
    feed, hands = Feed(), Hands()
    guard = Guard(TOKENS, frozenset({f"{LOOPBACK}:{port}"}))
    with served(Page(feed, guard, hands), LOOPBACK, port) as bound:
        assert bound == port
        found = Served(port, feed, hands, guard)
        yield found
