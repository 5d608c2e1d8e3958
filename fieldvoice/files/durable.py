"""A file that lasts: one writer, bytes that are there when a call returns, and a new file whole or not at all.

The lock is on the file itself, so that a link to it, of either kind, is the same file. Failures are `OSError`.
"""

from __future__ import annotations

import os
import sys
from io import FileIO
from pathlib import Path
from secrets import token_hex

if sys.platform == "win32":
    import msvcrt

    _FAR = 2**62
    """Beyond any file of ours: the byte that is locked can't be read by others."""

    def _lock(file: FileIO) -> None:
        file.seek(_FAR)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(file: FileIO) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


class InUse(OSError):
    """Another one writes the file."""


def hold(path: Path) -> FileIO:
    """The file, open to read and write and locked. `InUse` while another one has it; `OSError` where it can't be."""
    while True:
        file = FileIO(path, "r+")
        try:
            _lock(file)
        except OSError as error:
            file.close()
            raise InUse(str(path)) from error
        if _is_at(file, path):
            return file
        file.close()  # it was replaced between opening and locking


def is_held(path: Path) -> bool:
    """Whether somebody writes the file now, such as a session that is open."""
    try:
        hold(path).close()
    except InUse:
        return True
    except OSError:
        return False
    return False


def write_at(file: FileIO, place: int, data: bytes) -> None:
    """Writes over what is there and returns when it is on the disk."""
    file.seek(place)
    while data:
        data = data[file.write(data) or 0 :]
    sync(file)


def sync(file: FileIO) -> None:
    """Returns when the file is on the disk: on macOS `fsync` alone leaves it in the drive's own memory."""
    if sys.platform == "darwin":
        fcntl.fcntl(file, fcntl.F_FULLFSYNC)
    else:
        os.fsync(file.fileno())


def make(path: Path, data: bytes, *, over: bool = False, mode: int = 0o666) -> None:
    """Makes a file of these bytes at once: after a kill it is there whole or not at all, and on a full disk nothing of
    it is left. `FileExistsError` where there is one, or a link by its name, unless the new one is to be laid `over` it.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    if not over and os.path.lexists(path):
        raise FileExistsError(str(path))
    building = path.with_name(f"{path.name}.{token_hex(4)}.building")
    try:
        with FileIO(building, "w", opener=lambda name, flags: os.open(name, flags, mode)) as file:
            write_at(file, 0, data)
        if over:
            building.replace(path)
        else:
            _put(building, path)
    finally:
        building.unlink(missing_ok=True)
    if sys.platform != "win32":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _put(building: Path, path: Path) -> None:
    try:
        os.link(building, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if path.exists():
            raise FileExistsError(str(path)) from None
        building.replace(path)


def _is_at(file: FileIO, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file.fileno()), path.stat())
    except FileNotFoundError:
        return False
