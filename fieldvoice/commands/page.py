"""The partner's page beside a live session, and the links to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Any

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import live, report, show, tell
from fieldvoice.errors import BadUsage, NotHere

if TYPE_CHECKING:
    from fieldvoice.dialogue.view import Job
    from fieldvoice.page.app import Phone
    from fieldvoice.page.authority import PageAuthority
    from fieldvoice.page.guard import Guard, LinkTokens
    from fieldvoice.page.partner import Feed
    from fieldvoice.records.said import Say

PORT = 8517
"""Where the page is unless another port is named: always the same one, so that a phone finds it after a restart."""
LOOK_AGAIN_SECONDS = 1.0
"""How often the job is looked at beside its changes: what somebody said of a circuit runs out by the clock."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was asked for: a page, for other machines of the network too, encrypted, at that port."""

    page: bool = False
    share: bool = False
    secure: bool = False
    port: int = PORT


_at_port = click.option(
    "--port", type=click.IntRange(1, 65534), default=PORT, show_default=True, help="The page's port."
)


def with_page(command: Callable[..., int]) -> Callable[..., int]:
    """The options of a command that can serve the page, handed to it together as `wanted`."""

    @wraps(command)
    def wanting(*arguments: Any, port: int, page: bool, share: bool, secure: bool, **options: Any) -> int:
        if (share or secure) and not page:
            raise BadUsage("--share and --secure are about the page: give --page with them.")
        return command(*arguments, wanted=Wanted(page, share, secure, port), **options)

    for option in (
        _at_port,
        click.option("--secure", is_flag=True, help="Encrypt the page; a phone installs a certificate for it once."),
        click.option("--share", is_flag=True, help="Let phones on this network open the page, too."),
        click.option("--page", is_flag=True, help="Serve the job as a page for a browser."),
    ):
        wanting = option(wanting)
    return wanting


@contextmanager
def partner_page(
    wanted: Wanted,
    job: Job,
    path: Path,
    done: Callable[[Sequence[Say]], None] = lambda _: None,
    phone: Phone | None = None,
    told: Callable[[str], None] = tell,
) -> Iterator[Callable[[], None]]:
    """The page for as long as this is open; gives what to call whenever the job has changed. Without `--page` that does
    nothing. `done` is told what the page's own calls have to say; `phone` takes the sound of a phone where one may be
    the microphone; `told` gets the lines with the links. Raises `NotHere` where there can be no page.
    """
    if not wanted.page:
        yield lambda: None
        return
    _installed()
    from fieldvoice.page.app import Page
    from fieldvoice.page.partner import Feed, Hands
    from fieldvoice.page.server import EVERYWHERE, LOOPBACK, served

    feed = Feed()
    hands = Hands(job, feed, done)
    hands.show()
    tokens = _tokens(path)
    host = EVERYWHERE if wanted.share else LOOPBACK
    with ExitStack() as open_now:
        trusted = open_now.enter_context(_trusted(wanted, path, host)) if wanted.secure else None
        tls = (str(trusted.page_certificate), str(trusted.page_key)) if trusted is not None else None
        page = Page(feed, _guard(tokens, wanted, wanted.port), hands, wanted.secure, phone)
        open_now.enter_context(served(page, host, wanted.port, tls))
        open_now.enter_context(_clock(feed, hands.show))
        for line in (*links(tokens, wanted), *(_trust(trusted, wanted) if trusted is not None else ())):
            told(line)
        yield hands.show


def _guard(tokens: LinkTokens, wanted: Wanted, port: int) -> Guard:
    from fieldvoice.page.guard import Guard

    return Guard(tokens, frozenset(f"{name}:{port}" for name in _hosts(share=wanted.share)))


@contextmanager
def _trusted(wanted: Wanted, path: Path, host: str) -> Iterator[PageAuthority]:
    """The authority of the machine, with the page that helps a phone to trust it served at the next port."""
    from fieldvoice.page.authority import authority
    from fieldvoice.page.server import addresses, serving, trust_application

    made = authority(path.parent / "page", addresses() if wanted.share else ())
    guard = _guard(_tokens(path), wanted, wanted.port + 1)
    with serving(trust_application(made, guard), host, wanted.port + 1):
        yield made


def _trust(authority: PageAuthority, wanted: Wanted) -> tuple[str, ...]:
    return (
        f"Once for each phone, to trust this machine: http://{_host(wanted)}:{wanted.port + 1}/",
        f"Fingerprint (SHA-256) to compare there: {authority.fingerprint}",
    )


def shown_links(lines: Sequence[str]) -> tuple[str, ...]:
    """What of the links a screen shows: where the terminal holds nothing else, all of it."""
    if not live() or not lines:
        return tuple(lines)
    return (lines[0], "Type `fieldvoice page --share` in another window to see it as a code for the phone's camera.")


@contextmanager
def _clock(feed: Feed, show: Callable[[], None]) -> Iterator[None]:
    """Shows the job once a second while anybody watches, since words about circuits run out."""
    over = Event()

    def look() -> None:
        while not over.wait(LOOK_AGAIN_SECONDS):
            if feed.viewers:
                try:
                    show()
                except Exception as fault:  # noqa: BLE001 - a thread that died would leave old marks with beats
                    feed.end()
                    tell(f"fieldvoice: {report(fault)}")
                    return

    thread = Thread(target=look, name="page clock", daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def _installed() -> None:
    try:
        import segno  # noqa: F401
        import starlette  # noqa: F401
        import uvicorn  # noqa: F401
    except ImportError as trouble:
        raise NotHere(
            "The page needs libraries that aren't installed, so there is none: run `pip install 'fieldvoice[page]'`, "
            "or go on without --page."
        ) from trouble


def _tokens(path: Path, *, new: bool = False) -> LinkTokens:
    from fieldvoice.page.guard import renewed, tokens_of

    folder = path.parent / "page"
    return (renewed if new else tokens_of)(path.name, folder)


def _hosts(*, share: bool) -> tuple[str, ...]:
    from fieldvoice.page.server import LOOPBACK, addresses

    return ("localhost", LOOPBACK, *(addresses() if share else ()))


def links(tokens: LinkTokens, wanted: Wanted) -> tuple[str, ...]:
    """The links as lines to show: one to tick by as a QR too, one only to look."""
    scheme = "https" if wanted.secure else "http"
    ticks, looks = (f"{scheme}://{_host(wanted)}:{wanted.port}/join/{token}" for token in (tokens.tick, tokens.look))
    lines = [f"The page, to tick and to call: {ticks}", f"The page, only to look:        {looks}"]
    if wanted.share:
        seen = "" if wanted.secure else "; what is sent isn't encrypted"
        lines += [f"Anyone on this network who has a link can use it{seen}.", *_qr(ticks)]
    return tuple(lines)


def _host(wanted: Wanted) -> str:
    from fieldvoice.page.server import LOOPBACK, addresses

    found = addresses() if wanted.share else ()
    return found[0] if found else LOOPBACK


def _qr(address: str) -> Iterator[str]:
    """A QR code in half blocks, dark on light, for a phone's camera."""
    import io

    import segno

    out = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(out, border=2, compact=True)
    yield from out.getvalue().splitlines()


@click.command("page")
@options.job
@click.option("--share", is_flag=True, help="The links for phones on this network.")
@click.option("--secure", is_flag=True, help="The links of a page that is encrypted.")
@_at_port
@click.option("--new-links", is_flag=True, help="Make new links; the old ones stop working.")
def page_links(job: Path | None, port: int, *, share: bool, secure: bool, new_links: bool) -> int:
    """Show the links to a job's page, for phones and browsers.

    `listen`, `type` and `replay` serve it with --page. There are two: one to look, and one to tick steps and type calls
    as well. They stay the same for the job until new ones are made; a session that is running takes the new ones once
    it is restarted.
    """
    from fieldvoice.jobs import job_file

    _installed()
    file = job_file(job)
    for line in links(_tokens(file, new=new_links), Wanted(page=True, share=share, secure=secure, port=port)):
        show(line)
    if not file.exists():
        tell(f"There is no job at {file} yet: the links show nothing until one is begun there with --page.")
    return 0
