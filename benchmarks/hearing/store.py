"""What was heard, kept in a folder outside the repository: a file for each recognizer, a line for each sound.

Lines are added as sounds are heard, so that a run that was broken off goes on where it stopped. The reading head's
file bears the SHA-256 of its weights: another head hears anew.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis


@dataclass(frozen=True, slots=True)
class Store:
    """The hearings of one split."""

    folder: Path

    def file(self, recognizer: str) -> Path:
        """Where a recognizer's hearings are."""
        return self.folder / f"{recognizer}.jsonl"

    def keep(self, recognizer: str, key: str, hearing: Hearing) -> None:
        """One more hearing."""
        with self.file(recognizer).open("a", encoding="utf-8") as file:
            file.write(json.dumps({"key": key, **document_of(hearing)}) + "\n")

    def heard(self, recognizer: str) -> dict[str, Hearing]:
        """All hearings of a recognizer by the key of their sound; none where it heard nothing yet."""
        if not self.file(recognizer).exists():
            return {}
        return {line.pop("key"): hearing_of(line) for line in self._lines(recognizer)}

    def _lines(self, recognizer: str) -> Iterator[dict[str, Any]]:
        with self.file(recognizer).open(encoding="utf-8") as file:
            for line in file:
                # A run that was ended while it wrote leaves half a line.
                if line.endswith("\n"):
                    yield json.loads(line)


def document_of(hearing: Hearing) -> dict[str, Any]:
    """What is kept of a hearing."""
    facts = {field.name: getattr(hearing, field.name) for field in fields(hearing)}
    return facts | {"hypotheses": [[one.words, one.probability] for one in hearing.hypotheses]}


def hearing_of(facts: dict[str, Any]) -> Hearing:
    """Of what was kept, as far as a hearing still has it."""
    hypotheses = tuple(Hypothesis(words, probability) for words, probability in facts["hypotheses"])
    kind = EarKind(facts["kind"]) if facts.get("kind") else _kind_by(facts.get("scale"), facts["encoder"])
    known = {field.name: facts[field.name] for field in fields(Hearing) if field.name in facts}
    return Hearing(**known | {"hypotheses": hypotheses, "kind": kind})


def _kind_by(scale: str | None, encoder: str | None) -> EarKind:
    """Of a hearing that was kept before hearings had a kind: what its probabilities were parts of told the head."""
    if scale == "posterior":
        return EarKind.READING
    return EarKind.WHISPER if encoder is not None else EarKind.VOSK
