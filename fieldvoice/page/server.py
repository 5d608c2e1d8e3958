"""The server in a thread of its own: one port, this machine alone unless sharing was asked for. Beside a
secure page there is a small one, not secure itself, by which a phone gets the certificate of the machine's authority:
nothing of a job is on it, and a certificate is no secret, so there is no token.
"""

from __future__ import annotations

import asyncio
import logging
import socket
import threading
from collections import Counter as Counts
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from html import escape
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from fieldvoice.errors import NotHere
from fieldvoice.page.app import Guarded, Page, application
from fieldvoice.page.authority import PageAuthority
from fieldvoice.page.guard import Guard
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording import captions as wording

LOOPBACK = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104 - only where the person asked for it by --share
SILENT_SECONDS = 5.0
"""A connection that has asked for nothing by then is closed: idle ones would shut out everybody else."""
LONGEST_MESSAGE = 8192
"""Bytes of one message of sound: a quarter of a second."""
CONNECTIONS_AN_ADDRESS = 16
"""Connections of one address: a browser opens six, and a phone behind the same router has a few tabs."""


_open: Counts[str] = Counts()
"""Connections that are open, by address; links that were connections among them."""


def _left(address: str) -> None:
    _open[address] -= 1
    if _open[address] <= 0:
        del _open[address]


class _Protocol(H11Protocol):
    """Closes what sends nothing, and what is one connection too many of its address."""

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        self._address = self.client[0] if self.client else ""
        _open[self._address] += 1
        self._asked = False
        if _open[self._address] > CONNECTIONS_AN_ADDRESS:
            transport.close()
            return
        self.loop.call_later(SILENT_SECONDS, self._silent)

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self._asked = self._asked or self.cycle is not None

    def handle_websocket_upgrade(self, event: Any) -> None:
        """From here on the connection is a link, which counts as one itself."""
        self._asked = True
        _left(self._address)
        super().handle_websocket_upgrade(event)

    def connection_lost(self, exc: Exception | None) -> None:
        _left(self._address)
        super().connection_lost(exc)

    def _silent(self) -> None:
        if not self._asked and self.transport is not None and not self.transport.is_closing():
            self.transport.close()


def _link_protocol() -> type[asyncio.Protocol]:
    """Links for sound, counted by address like every other connection; loaded where they are wanted."""
    from uvicorn.protocols.websockets.websockets_sansio_impl import WebSocketsSansIOProtocol

    class Link(WebSocketsSansIOProtocol):
        def connection_made(self, transport: Any) -> None:
            super().connection_made(transport)
            self._address = self.client[0] if self.client else ""
            _open[self._address] += 1

        def connection_lost(self, exc: Exception | None) -> None:
            _left(self._address)
            super().connection_lost(exc)

    return Link


@contextmanager
def served(page: Page, host: str = LOOPBACK, port: int = 0, tls: tuple[str, str] | None = None) -> Iterator[int]:
    """The page served until this is left; gives the port. Raises `NotHere` where the port can't be had.

    `tls` names the files of a certificate and its key.
    """
    with serving(application(page), host, port, tls, sound=page.phone is not None) as bound:
        try:
            yield bound
        finally:
            page.feed.end()


@contextmanager
def serving(
    app: ASGIApp, host: str, port: int, tls: tuple[str, str] | None = None, *, sound: bool = False
) -> Iterator[int]:
    """An application served in a thread of its own; links for `sound` too where that is wanted."""
    listening = listening_socket(host, port)
    log = logging.getLogger("uvicorn")
    log.addHandler(logging.NullHandler())  # what a viewer's browser does is nothing for the terminal
    log.propagate = False
    config = uvicorn.Config(
        app,
        http=_Protocol,
        ws=_link_protocol() if sound else "none",
        ws_max_size=LONGEST_MESSAGE,
        ws_ping_interval=1.0,
        ws_ping_timeout=2.0,
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        timeout_keep_alive=5,
        timeout_graceful_shutdown=1,
        ssl_certfile=tls[0] if tls else None,
        ssl_keyfile=tls[1] if tls else None,
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, args=([listening],), name="page", daemon=True)
    thread.start()
    try:
        yield listening.getsockname()[1]
    finally:
        server.should_exit = True
        thread.join(5)
        listening.close()


def listening_socket(host: str, port: int) -> socket.socket:
    """A socket that listens there already. Raises `NotHere` where the port can't be had."""
    # Named as TCP: only then asyncio sends small pieces at once, else each answer waits 40 ms for an acknowledgment.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)  # from here on nobody is refused: who comes before the server is up waits for it
    except OSError as trouble:
        listening.close()
        raise NotHere(Trouble(Wrong.PORT_TAKEN, port=port, error=trouble.strerror)) from trouble
    return listening


def addresses() -> tuple[str, ...]:
    """The addresses of the machine on the networks that it is on, the likeliest first; no packet is sent."""
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # an address that is reserved for documentation: nothing is sent to it
        found.append(probe.getsockname()[0])
    with suppress(OSError):
        found += [info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return tuple(dict.fromkeys(str(each) for each in found if not str(each).startswith("127.")))


def trust_application(authority: PageAuthority, guard: Guard) -> Starlette:
    """The page and the certificate, within the same limits as every other."""
    page = _page(authority.fingerprint).encode()

    async def show(_: Request) -> Response:
        return Response(page, media_type="text/html; charset=utf-8")

    async def certificate(_: Request) -> Response:
        named = {"Content-Disposition": 'attachment; filename="fieldvoice.crt"'}
        return Response(authority.certificate, media_type="application/x-x509-ca-cert", headers=named)

    routes = [Route("/", show), Route("/fieldvoice.crt", certificate)]
    return Starlette(routes=routes, middleware=[Middleware(Guarded, guard=guard)])


def _page(fingerprint: str) -> str:
    pairs = fingerprint.split(":")
    lines = [" ".join(pairs[place : place + 8]) for place in range(0, len(pairs), 8)]
    steps = "".join(f"<li>{escape(step)}</li>" for step in wording.TRUST_STEPS)
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(wording.TRUST_TITLE)}</title><h1>{escape(wording.TRUST_TITLE)}</h1><p>{escape(wording.TRUST_WHY)}</p>"
        f"<p>{escape(wording.TRUST_COMPARE)}</p><pre>{escape(chr(10).join(lines))}</pre><ol>{steps}</ol>"
        f'<p><a href="/fieldvoice.crt">{escape(wording.TRUST_GET)}</a></p></html>'
    )
