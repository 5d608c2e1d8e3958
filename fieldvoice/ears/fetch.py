"""Model archives fetched by name: resumed where a connection dropped, checked before use, in place all at once or not.

Nothing that was fetched is looked into, let alone used, before its SHA-256 is the expected one.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import urllib.error
import urllib.request
import zipfile
from collections.abc import Callable
from http.client import HTTPException, HTTPResponse
from pathlib import Path, PurePosixPath

from fieldvoice.ears.models import CATALOGUE, SUMS, KnownModel, cache_folder, lacking, sha256
from fieldvoice.errors import BadUsage, NotHere
from fieldvoice.records.trouble import Trouble, Wrong

ATTEMPTS = 5
TIMEOUT_SECONDS = 20.0
CHUNK = 1 << 16
UNPACKED_AT_MOST = 20
"""An archive may unpack to so many times its own size; more is no model."""

Progress = Callable[[int, int], None]
"""Takes the bytes that are here and the bytes that there will be."""


def known(name: str) -> KnownModel:
    """The catalogue's model of that name that can be fetched; BadUsage names those that can."""
    fetchable = [model for model in CATALOGUE if model.archive_url]
    for model in fetchable:
        if model.name == name:
            return model
    names = ", ".join(model.name for model in fetchable)
    raise BadUsage(Trouble(Wrong.NO_MODEL_TO_FETCH, name=name, there=names))


def fetch(model: KnownModel, progress: Progress = lambda _here, _all: None, cache: Path | None = None) -> Path:
    """Fetches a model into the cache and returns its folder; one that is there and complete is left as it is.

    Raises NotHere where it can't be had: no network, a server that gives up or sends something else, no room. What came
    rightly so far is kept for the next try.
    """
    cache = cache if cache is not None else cache_folder()
    target = cache / model.name
    if target.is_dir() and not lacking(model.recognizer, target):
        return target
    try:
        cache.mkdir(parents=True, exist_ok=True)
        part = cache / f"{model.name}.zip.part"
        _download(model, part, progress)
        _check(model, part)
        _unpack(model, part, target)
        part.unlink()
    except OSError as error:
        raise NotHere(
            Trouble(Wrong.MODEL_NOT_WRITTEN, name=model.name, folder=cache, error=error.strerror or error)
        ) from error
    return target


def _download(model: KnownModel, part: Path, progress: Progress) -> None:
    """Gets what is missing of the archive, in several tries."""
    trouble: Exception | None = None
    for _ in range(ATTEMPTS):
        here = part.stat().st_size if part.exists() else 0
        if here >= model.archive_bytes:
            return
        try:
            _append(model, part, here, progress)
        except (urllib.error.URLError, HTTPException, TimeoutError, ConnectionError) as error:
            trouble = error
    if part.exists() and part.stat().st_size >= model.archive_bytes:
        return
    raise NotHere(Trouble(Wrong.FETCHED_IN_PART, name=model.name, error=trouble))


def _append(model: KnownModel, part: Path, here: int, progress: Progress) -> None:
    """One connection: goes on from what is here if the server can, from the start if it can't."""
    headers = {"Range": f"bytes={here}-"} if here else {}
    request = urllib.request.Request(str(model.archive_url), headers=headers)  # noqa: S310 - from the catalogue
    with urllib.request.urlopen(request, timeout=TIMEOUT_SECONDS) as answer:  # noqa: S310
        resumed = here > 0 and answer.status == 206 and _starts_at(answer, here)
        with part.open("ab" if resumed else "wb") as file:
            size = here if resumed else 0
            while size <= model.archive_bytes and (chunk := answer.read(CHUNK)):
                file.write(chunk)
                size += len(chunk)
                progress(min(size, model.archive_bytes), model.archive_bytes)


def _starts_at(answer: HTTPResponse, here: int) -> bool:
    """Whether the server really goes on where it was asked to."""
    return (answer.headers.get("Content-Range") or "").startswith(f"bytes {here}-")


def _check(model: KnownModel, part: Path) -> None:
    """What isn't the expected archive is thrown away at once."""
    if part.stat().st_size == model.archive_bytes and sha256(part) == model.archive_sha256:
        return
    part.unlink()
    raise NotHere(Trouble(Wrong.FETCHED_OTHER, name=model.name))


def _unpack(model: KnownModel, part: Path, target: Path) -> None:
    """Unpacks beside the target and moves it there in one step, so that a model is never half there."""
    workshop = Path(tempfile.mkdtemp(prefix=".unpack-", dir=target.parent))
    try:
        with zipfile.ZipFile(part) as archive:
            _refuse_strange(archive, model)
            archive.extractall(workshop)
        inside = [entry for entry in workshop.iterdir() if entry.is_dir()]
        folder = inside[0] if len(inside) == 1 else workshop
        missing = lacking(model.recognizer, folder)
        if missing:
            raise NotHere(Trouble(Wrong.ARCHIVE_LACKS, name=model.name, missing=", ".join(missing)))
        _write_sums(folder)
        if target.exists():
            shutil.rmtree(target)
        os.replace(folder, target)  # noqa: PTH105 - named for what matters here: it is atomic
    except zipfile.BadZipFile as error:
        raise NotHere(Trouble(Wrong.NO_ARCHIVE, name=model.name)) from error
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def _refuse_strange(archive: zipfile.ZipFile, model: KnownModel) -> None:
    """Names that lead out of the folder, and archives that unpack to far more than a model."""
    entries = archive.infolist()
    if any(
        PurePosixPath(entry.filename).is_absolute() or ".." in PurePosixPath(entry.filename).parts for entry in entries
    ):
        raise NotHere(Trouble(Wrong.ARCHIVE_LEADS_OUT, name=model.name))
    if sum(entry.file_size for entry in entries) > UNPACKED_AT_MOST * max(model.archive_bytes, 1):
        raise NotHere(Trouble(Wrong.ARCHIVE_TOO_LARGE, name=model.name))


def _write_sums(folder: Path) -> None:
    files = sorted(file for file in folder.rglob("*") if file.is_file())
    lines = [f"{sha256(file)}  {file.relative_to(folder).as_posix()}" for file in files]
    (folder / SUMS).write_text("\n".join(lines) + "\n", encoding="utf-8")
