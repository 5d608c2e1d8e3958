"""A model is fetched whole and right, or not at all, however the server behaves."""

from __future__ import annotations

import hashlib
import io
import threading
import zipfile
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from fieldvoice.ears import models
from fieldvoice.ears.fetch import fetch, known
from fieldvoice.ears.models import KnownModel
from fieldvoice.errors import BadInput, BadUsage, NotHere

FIXTURE = Path(__file__).parents[1] / "fixtures" / "vosk"
Manner = Callable[[BaseHTTPRequestHandler, bytes, int], None]
"""How the server answers: the request, the archive, and how many requests came before."""


def archive(extra: dict[str, bytes] | None = None, leave_out: str = "") -> bytes:
    """The fixture model as an official archive: one folder inside."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        for file in sorted(FIXTURE.rglob("*")):
            name = file.relative_to(FIXTURE).as_posix()
            if file.is_file() and name != leave_out:
                made.writestr(f"tiny-model/{name}", file.read_bytes())
        for name, content in (extra or {}).items():
            made.writestr(name, content)
    return out.getvalue()


def honest(request: BaseHTTPRequestHandler, content: bytes, _before: int) -> None:
    """Serves the archive, and ranges of it."""
    asked = request.headers.get("Range")
    start = int(asked.removeprefix("bytes=").rstrip("-")) if asked else 0
    request.send_response(206 if asked else 200)
    if asked:
        request.send_header("Content-Range", f"bytes {start}-{len(content) - 1}/{len(content)}")
    request.send_header("Content-Length", str(len(content) - start))
    request.end_headers()
    request.wfile.write(content[start:])


def dropping(request: BaseHTTPRequestHandler, content: bytes, before: int) -> None:
    """Promises all and drops the line twice on the way."""
    asked = request.headers.get("Range")
    start = int(asked.removeprefix("bytes=").rstrip("-")) if asked else 0
    if before >= 2:
        honest(request, content, before)
        return
    request.send_response(206 if asked else 200)
    if asked:
        request.send_header("Content-Range", f"bytes {start}-{len(content) - 1}/{len(content)}")
    request.send_header("Content-Length", str(len(content) - start))
    request.end_headers()
    request.wfile.write(content[start : start + len(content) // 3])


def deaf_to_ranges(request: BaseHTTPRequestHandler, content: bytes, before: int) -> None:
    """Drops once, then starts again from the beginning."""
    request.send_response(200)
    request.send_header("Content-Length", str(len(content)))
    request.end_headers()
    request.wfile.write(content if before else content[: len(content) // 2])


def lying_range(request: BaseHTTPRequestHandler, content: bytes, before: int) -> None:
    """Says 206 but begins somewhere else."""
    if not before:
        dropping(request, content, 0)
        return
    request.send_response(206)
    request.send_header("Content-Range", f"bytes 0-{len(content) - 1}/{len(content)}")
    request.end_headers()
    request.wfile.write(content)


def exchanged(request: BaseHTTPRequestHandler, content: bytes, _before: int) -> None:
    """Sends as many bytes, one of them another."""
    honest(request, content[:-1] + bytes([content[-1] ^ 1]), 0)


def endless(request: BaseHTTPRequestHandler, content: bytes, _before: int) -> None:
    """Never stops sending."""
    request.send_response(200)
    request.end_headers()
    for _ in range(1000):
        request.wfile.write(content)


def page(request: BaseHTTPRequestHandler, _content: bytes, _before: int) -> None:
    """A hotel's log-in page in place of the model."""
    request.send_response(200)
    request.end_headers()
    request.wfile.write(b"<html>Please log in</html>")


def gone(request: BaseHTTPRequestHandler, _content: bytes, _before: int) -> None:
    """No such file."""
    request.send_error(404)


@pytest.fixture
def serve() -> Iterator[Callable[..., KnownModel]]:
    """Starts a local server with such manners and returns the model that it serves."""
    servers: list[ThreadingHTTPServer] = []

    def start(manner: Manner, content: bytes | None = None) -> KnownModel:
        served = archive() if content is None else content
        count = iter(range(1000))

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                """Answers in the manner chosen."""
                try:
                    manner(self, served, next(count))
                except ConnectionError:
                    self.close_connection = True

            def log_message(self, *_: object) -> None:
                """Stays quiet."""

        server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        servers.append(server)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        return KnownModel(
            name="tiny-model",
            recognizer="vosk",
            license="Apache-2.0",
            archive_url=f"http://127.0.0.1:{server.server_port}/tiny-model.zip",
            archive_sha256=hashlib.sha256(served).hexdigest(),
            archive_bytes=len(served),
        )

    yield start
    for server in servers:
        server.shutdown()
        server.server_close()


@pytest.mark.parametrize("manner", [honest, dropping, deaf_to_ranges, lying_range])
def test_the_model_arrives_whole(serve: Callable[..., KnownModel], tmp_path: Path, manner: Manner) -> None:
    """Through dropped lines and servers that can't resume, the model is complete, verified and alone in the cache."""
    seen: list[tuple[int, int]] = []
    model = serve(manner)
    folder = fetch(model, lambda here, all_: seen.append((here, all_)), tmp_path)
    found = models.verified(models.find("vosk", folder))
    assert len(found.sums) >= 8
    assert seen[-1] == (model.archive_bytes, model.archive_bytes)
    assert [entry.name for entry in tmp_path.iterdir()] == ["tiny-model"]


def test_a_dropped_line_is_gone_on_from(serve: Callable[..., KnownModel], tmp_path: Path) -> None:
    """What came before the drop isn't fetched twice."""
    asked: list[str | None] = []

    def watched(request: BaseHTTPRequestHandler, content: bytes, before: int) -> None:
        asked.append(request.headers.get("Range"))
        dropping(request, content, before)

    fetch(serve(watched), cache=tmp_path)
    assert asked[0] is None
    assert all(one is not None and int(one[6:-1]) > 0 for one in asked[1:])


@pytest.mark.parametrize(
    ("manner", "sentence"),
    [(exchanged, "SHA-256 differs"), (endless, "SHA-256 differs"), (page, "fetched whole"), (gone, "404")],
)
def test_a_server_that_lies_leaves_no_model(
    serve: Callable[..., KnownModel], tmp_path: Path, manner: Manner, sentence: str
) -> None:
    """Nothing but the sentence remains; status 69."""
    with pytest.raises(NotHere, match=sentence) as caught:
        fetch(serve(manner), cache=tmp_path)
    assert caught.value.exit_status == 69
    assert not (tmp_path / "tiny-model").exists()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (archive(leave_out="am/final.mdl"), "lacks am/final.mdl"),
        (archive({"../outside": b"x"}), "points outside"),
        (b"no archive at all" * 50, "can't be opened"),
    ],
)
def test_an_archive_that_is_no_model_is_refused(
    serve: Callable[..., KnownModel], tmp_path: Path, content: bytes, sentence: str
) -> None:
    """Even with the right sum, a strange archive is not put in place."""
    with pytest.raises(NotHere, match=sentence):
        fetch(serve(honest, content), cache=tmp_path / "cache")
    assert not (tmp_path / "outside").exists()
    assert not (tmp_path / "cache" / "tiny-model").exists()


def test_what_is_there_is_not_fetched_again(serve: Callable[..., KnownModel], tmp_path: Path) -> None:
    """A second fetch asks no server."""
    model = serve(honest)
    first = fetch(model, cache=tmp_path)
    assert fetch(serve(gone), cache=tmp_path) == first


def test_a_fetched_model_that_was_changed_is_noticed(serve: Callable[..., KnownModel], tmp_path: Path) -> None:
    """The sums written at fetching are checked at every start."""
    folder = fetch(serve(honest), cache=tmp_path)
    (folder / "conf" / "mfcc.conf").write_text("--num-ceps=13\n", encoding="utf-8")
    with pytest.raises(BadInput, match="replaced"):
        models.verified(models.find("vosk", folder))


def test_no_room_is_said(serve: Callable[..., KnownModel], tmp_path: Path) -> None:
    """A cache that can't be written names its place."""
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    with pytest.raises(NotHere, match="can't be written"):
        fetch(serve(honest), cache=tmp_path / "file" / "cache")


def test_names_that_can_be_fetched_are_listed() -> None:
    """An unknown name is wrong usage and says which there are."""
    assert known("vosk-model-small-en-us-0.15").license == "Apache-2.0"
    with pytest.raises(BadUsage, match="vosk-model-small-en-us"):
        known("parrot")
