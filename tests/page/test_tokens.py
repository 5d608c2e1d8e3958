"""Links of a job: random, kept, and changed only when asked."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from fieldvoice.errors import NotHere
from fieldvoice.page.tokens import LinkTokens, Right, new_tokens, renewed, tokens_of


def test_a_jobs_links_outlive_a_restart_and_no_other_job_has_them(tmp_path: Path) -> None:
    """The same ones again; a command makes new ones and the old ones are worth nothing."""
    first = tokens_of("kitchen", tmp_path / "page")
    assert tokens_of("kitchen", tmp_path / "page") == first
    assert tokens_of("hall", tmp_path / "page") != first
    second = renewed("kitchen", tmp_path / "page")
    assert tokens_of("kitchen", tmp_path / "page") == second
    assert second.right_of(first.tick) is None


def test_only_the_owner_can_read_them(tmp_path: Path) -> None:
    """And a file that is damaged is made anew rather than believed."""
    tokens_of("kitchen", tmp_path / "page")
    (file,) = (tmp_path / "page").iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.write_text("{")
    assert tokens_of("kitchen", tmp_path / "page").right_of("") is None


def test_a_token_gives_its_own_right_and_no_other() -> None:
    """Long enough not to be guessed; look isn't tick."""
    tokens = new_tokens()
    assert len(tokens.look) >= 32
    assert tokens.right_of(tokens.look) is Right.LOOK
    assert tokens.right_of(tokens.tick) is Right.TICK
    for wrong in ("", tokens.look[:-1], tokens.look + "x", "\udcff", "é"):
        assert tokens.right_of(wrong) is None
    assert LinkTokens("a", "b").right_of("ab") is None


def test_links_that_cannot_be_kept_are_no_links(tmp_path: Path) -> None:
    """Told, since they would change at the next start without a word."""
    (tmp_path / "page").write_text("a file where the folder should be")
    with pytest.raises(NotHere, match="no page"):
        tokens_of("kitchen", tmp_path / "page")
