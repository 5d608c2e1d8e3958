"""The links to the partner's page."""

from __future__ import annotations

import re
from pathlib import Path

from tests.cli.program import fieldvoice


def _links(out: str) -> list[str]:
    return re.findall(r"http://[\d.]+:\d+/join/[\w-]+", out)


def test_a_job_has_two_links_and_keeps_them(tmp_path: Path) -> None:
    """The same ones each time it is asked, and at the port that is named."""
    job = str(tmp_path / "kitchen.job")
    first = _links(fieldvoice("page", "--job", job, "--port", "9000").out)
    assert len(set(first)) == 2
    assert all(":9000/" in link for link in first)
    assert _links(fieldvoice("page", "--job", job, "--port", "9000").out) == first
    other = _links(fieldvoice("page", "--job", str(tmp_path / "hall.job"), "--port", "9000").out)
    assert not set(first) & set(other)


def test_new_links_shut_the_old_ones_out(tmp_path: Path) -> None:
    """By one command."""
    job = str(tmp_path / "kitchen.job")
    first = _links(fieldvoice("page", "--job", job).out)
    second = _links(fieldvoice("page", "--job", job, "--new-links").out)
    assert not set(first) & set(second)
    assert _links(fieldvoice("page", "--job", job).out) == second


def test_a_shared_link_comes_as_a_picture_for_the_phones_camera(tmp_path: Path) -> None:
    """No row wider than a terminal, no more rows than fit, and it is said who can use it."""
    out = fieldvoice("page", "--job", str(tmp_path / "kitchen.job"), "--share").out
    rows = [line for line in out.splitlines() if line and set(line) <= set("█▀▄ ")]
    assert 15 <= len(rows) <= 23
    assert max(map(len, rows)) <= 78
    assert "isn't encrypted" in out
