"""Where the package's own data lie: beside the code once installed, at the top of the source tree before that."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent


def data_folder(name: str) -> Path:
    """The folder `grammar`, `audio_samples` or `houses`, wherever this installation keeps it."""
    installed = _PACKAGE / name
    return installed if installed.is_dir() else _PACKAGE.parent / name
