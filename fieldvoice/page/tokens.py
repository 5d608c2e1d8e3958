"""Who may look and who may tick: random tokens of a job, kept beside the jobs so that a restart changes none."""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from fieldvoice.errors import NotHere
from fieldvoice.files.durable import make
from fieldvoice.records.trouble import Trouble, Wrong

TOKEN_BYTES = 24
"""Random bytes in a token: 192 bits can't be guessed at any rate that a network carries."""


class Right(StrEnum):
    """What a link lets its holder do."""

    LOOK = "look"
    TICK = "tick"


@dataclass(frozen=True, slots=True)
class LinkTokens:
    """The two tokens of a job: one to look, one to tick steps and type calls as well."""

    look: str
    tick: str

    def right_of(self, token: str) -> Right | None:
        """What a token lets do; None for a wrong one. Takes the same time for every wrong one."""
        held = {
            right: hmac.compare_digest(own.encode(), token.encode("utf-8", "replace")) for right, own in self._all()
        }
        return next((right for right in (Right.TICK, Right.LOOK) if held[right]), None)

    def _all(self) -> tuple[tuple[Right, str], ...]:
        return ((Right.LOOK, self.look), (Right.TICK, self.tick))


def new_tokens() -> LinkTokens:
    """Tokens that nobody has yet."""
    return LinkTokens(secrets.token_urlsafe(TOKEN_BYTES), secrets.token_urlsafe(TOKEN_BYTES))


def tokens_of(job: str, folder: Path) -> LinkTokens:
    """The tokens of the job that is kept under that name, made where it has none. Only the owner can read their file.

    Raises `NotHere` where they can't be kept: then they would change at the next start without a word.
    """
    try:
        kept = json.loads(_file(job, folder).read_text("utf-8"))
        return LinkTokens(str(kept["look"]), str(kept["tick"]))
    except (OSError, ValueError, KeyError, TypeError):
        return renewed(job, folder)


def renewed(job: str, folder: Path) -> LinkTokens:
    """New tokens for the job; links and browsers that have the old ones are shut out. Raises `NotHere`."""
    tokens = new_tokens()
    file = _file(job, folder)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        make(file, json.dumps({"look": tokens.look, "tick": tokens.tick}).encode(), over=True, mode=0o600)
    except OSError as trouble:
        raise NotHere(Trouble(Wrong.LINKS_NOT_KEPT, folder=folder, error=trouble.strerror)) from trouble
    return tokens


def _file(job: str, folder: Path) -> Path:
    return folder / f"{hashlib.sha256(job.encode()).hexdigest()[:32]}.json"
