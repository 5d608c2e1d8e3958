"""The page's few addresses: look, watch, tick, type."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from importlib.resources import files
from typing import Protocol

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import MutableHeaders
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route, WebSocketRoute
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocket, WebSocketDisconnect

from fieldvoice.page.guard import COOKIE, HEADERS, LONGEST_BODY, Guard, Right
from fieldvoice.page.partner import SLOW_SECONDS, Feed, Full, events
from fieldvoice.wording.captions import LINK_REFUSED, PHONE_TAKEN


class Partner(Protocol):
    """What may be done from the page. Each is the partner's call, kept in the journal like any other."""

    def line(self, text: str) -> None:
        """A typed call or order."""

    def tick(self, step: str) -> bool:
        """The step that the page showed under that name is done; False where another is in hand by now."""

    def untick(self) -> None:
        """The last tick was none."""

    def acknowledge(self, cautions: str) -> bool:
        """The cautions that the page showed under that name were read; False where there are others by now."""

    def drawing(self) -> str:
        """The board as SVG."""


class Phone(Protocol):
    """What sound from a phone is handed to."""

    def begin(self, phone: object) -> bool:
        """A phone's link is there; False where another one's is."""

    def sound(self, data: bytes) -> None:
        """Samples: 16 kHz, 16 bit, little end first."""

    def button(self, *, down: bool) -> None:
        """The button to talk."""

    def end(self, phone: object) -> None:
        """The link is gone."""


@dataclass(frozen=True, slots=True)
class Page:
    """What the server serves: the state that is watched, who may do what, the partner's hands, and where a phone may be
    the microphone what takes its sound.
    """

    feed: Feed
    guard: Guard
    partner: Partner
    secure: bool = False
    phone: Phone | None = None


STATIC = {
    "/": ("page.html", "text/html; charset=utf-8"),
    "/page.css": ("page.css", "text/css; charset=utf-8"),
    "/page.js": ("page.js", "text/javascript; charset=utf-8"),
    "/talk.js": ("talk.js", "text/javascript; charset=utf-8"),
    "/sound.js": ("sound.js", "text/javascript; charset=utf-8"),
    "/page.webmanifest": ("page.webmanifest", "application/manifest+json"),
    "/icon.svg": ("icon.svg", "image/svg+xml"),
}
KEEP_COOKIE = 30 * 24 * 3600
"""Seconds that a browser keeps its cookie: a job may last a month."""


def application(page: Page) -> Starlette:
    """The page as an ASGI application."""
    routes: list[BaseRoute] = [
        *(Route(path, _static(page, name, kind)) for path, (name, kind) in STATIC.items()),
        Route("/join/{token}", _join(page)),
        Route("/events", _events(page)),
        Route("/board.svg", _drawing(page)),
        Route("/tick", _posted(page, _tick), methods=["POST"]),
        Route("/untick", _posted(page, _untick), methods=["POST"]),
        Route("/line", _posted(page, _line), methods=["POST"]),
        Route("/acknowledge", _posted(page, _acknowledge), methods=["POST"]),
    ]
    if page.phone is not None:
        routes.append(WebSocketRoute("/sound", _sound(page.phone)))
    return Starlette(routes=routes, middleware=[Middleware(Guarded, guard=page.guard)])


class Guarded:
    """Every request passes the guard first, and every answer carries its headers."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        self._app, self._guard = app, guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request or link."""
        if scope["type"] == "websocket":
            await self._linked(WebSocket(scope, receive, send))
            return
        if scope["type"] != "http":
            return
        request = Request(scope)
        status = self._guard.refused(_address(request), request.method, request.headers)

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        await (self._app if status is None else _refusal(status))(scope, receive, with_headers)

    async def _linked(self, link: WebSocket) -> None:
        """A link for sound wants what a post wants: our own host and origin, and the right to tick."""
        address = link.client.host if link.client is not None else ""
        refused = self._guard.refused(address, "POST", link.headers)
        right = None if refused else self._guard.right(address, link.cookies.get(COOKIE))
        if right is not Right.TICK:
            await link.close()  # before it is accepted: the answer is 403
            return
        await self._app(link.scope, link.receive, link.send)


Answer = Callable[[Request], Awaitable[Response]]


def _address(request: Request) -> str:
    return request.client.host if request.client is not None else ""


def _refusal(status: int) -> Response:
    return Response(LINK_REFUSED[status], status_code=status, media_type="text/plain; charset=utf-8")


def _right(page: Page, request: Request) -> Right | None:
    return page.guard.right(_address(request), request.cookies.get(COOKIE))


def _join(page: Page) -> Answer:
    async def join(request: Request) -> Response:
        token = request.path_params["token"]
        if page.guard.right(_address(request), token) is None:
            return _refusal(401)
        response = RedirectResponse("/", status_code=303)
        response.set_cookie(
            COOKIE, token, max_age=KEEP_COOKIE, httponly=True, samesite="strict", secure=page.secure, path="/"
        )
        return response

    return join


def _static(page: Page, name: str, kind: str) -> Answer:
    async def static(request: Request) -> Response:
        if _right(page, request) is None:
            return _refusal(401)
        content = files("fieldvoice.page").joinpath("static", name).read_bytes()
        return Response(content, media_type=kind)

    return static


def _events(page: Page) -> Answer:
    async def watch(request: Request) -> Response:
        right = _right(page, request)
        if right is None:
            return _refusal(401)
        if page.feed.full:
            return _refusal(503)
        return _Watched(page.feed, right, talks=page.phone is not None and right is Right.TICK)

    return watch


class _Watched(Response):
    """Server-sent events to one viewer until it goes, or is too slow to be told of a mark in time."""

    def __init__(self, feed: Feed, right: Right, *, talks: bool) -> None:
        super().__init__(media_type="text/event-stream")
        del self.headers["content-length"]
        self._feed, self._right, self._talks = feed, right, talks

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:  # noqa: ARG002 - ASGI's face
        await send({"type": "http.response.start", "status": 200, "headers": self.raw_headers})
        gone = asyncio.ensure_future(_disconnected(receive))
        try:
            async with self._feed.watched() as viewer:
                await _told(send, f"event: right\ndata: {self._right.value}\n\n")
                if self._talks:
                    await _told(send, "event: talk\ndata: 1\n\n")
                async for event in events(viewer):
                    if gone.done():
                        return
                    await _told(send, event)
        except (TimeoutError, Full):
            return
        finally:
            gone.cancel()


async def _told(send: Send, event: str) -> None:
    """Raises `TimeoutError` where the viewer takes nothing."""
    await asyncio.wait_for(
        send({"type": "http.response.body", "body": event.encode(), "more_body": True}), SLOW_SECONDS
    )


async def _disconnected(receive: Receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass


def _sound(phone: Phone) -> Callable[[WebSocket], Awaitable[None]]:
    async def sound(link: WebSocket) -> None:
        await link.accept()
        if not phone.begin(link):
            await link.close(4000, PHONE_TAKEN)
            return
        try:
            while True:
                message = await link.receive()
                if message["type"] == "websocket.disconnect":
                    return
                if data := message.get("bytes"):
                    phone.sound(data)
                elif message.get("text") in {"down", "up"}:
                    phone.button(down=message["text"] == "down")
        except (WebSocketDisconnect, RuntimeError):
            return
        finally:
            phone.end(link)

    return sound


def _drawing(page: Page) -> Answer:
    async def drawing(request: Request) -> Response:
        if _right(page, request) is None:
            return _refusal(401)
        return Response(await run_in_threadpool(page.partner.drawing), media_type="image/svg+xml")

    return drawing


Move = Callable[[Partner, dict[str, object]], bool]
"""Does what was posted; False for a body that is none of these."""


def _posted(page: Page, move: Move) -> Answer:
    async def posted(request: Request) -> Response:
        right = _right(page, request)
        if right is None:
            return _refusal(401)
        if right is not Right.TICK:
            return _refusal(403)
        body = b""
        async for chunk in request.stream():
            body += chunk
            if len(body) > LONGEST_BODY:
                return _refusal(413)
        try:
            said = json.loads(body or b"{}")
        except (ValueError, RecursionError):
            return Response(status_code=400)
        done = isinstance(said, dict) and await run_in_threadpool(move, page.partner, said)
        return Response(status_code=204 if done else 400)

    return posted


def _tick(partner: Partner, said: dict[str, object]) -> bool:
    step = said.get("step")
    return isinstance(step, str) and partner.tick(step)


def _untick(partner: Partner, _: dict[str, object]) -> bool:
    partner.untick()
    return True


def _acknowledge(partner: Partner, said: dict[str, object]) -> bool:
    care = said.get("care")
    return isinstance(care, str) and partner.acknowledge(care)


def _line(partner: Partner, said: dict[str, object]) -> bool:
    text = said.get("text")
    if not isinstance(text, str) or not text.strip():
        return False
    partner.line(" ".join(text.split()))
    return True
