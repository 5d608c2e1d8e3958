"""A small page, not secure itself, by which a phone gets the certificate of the machine's authority. Nothing of a job
is on it, and a certificate is no secret: there is no token.
"""

from __future__ import annotations

from html import escape

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from fieldvoice.page.app import Guarded
from fieldvoice.page.authority import PageAuthority
from fieldvoice.page.guard import Guard
from fieldvoice.wording import trust as wording


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
    steps = "".join(f"<li>{escape(step)}</li>" for step in wording.STEPS)
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(wording.TITLE)}</title><h1>{escape(wording.TITLE)}</h1><p>{escape(wording.WHY)}</p>"
        f"<p>{escape(wording.COMPARE)}</p><pre>{escape(chr(10).join(lines))}</pre><ol>{steps}</ol>"
        f'<p><a href="/fieldvoice.crt">{escape(wording.GET)}</a></p></html>'
    )
