"""What several tests of the terminal need."""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from tests.cli.test_terminal import Glass


@pytest.fixture
def sized(monkeypatch: pytest.MonkeyPatch) -> Callable[[int, int], Glass]:
    """A glass of another size."""

    def made(columns: int, rows: int) -> Glass:
        glass = Glass(columns, rows)
        monkeypatch.setattr(glass, "fileno", lambda: 1)
        monkeypatch.setattr("os.get_terminal_size", lambda _: os.terminal_size((columns, rows)))
        return glass

    return made
