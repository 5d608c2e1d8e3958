"""The recordings' manifest and Whisper's prompt speak the job's language."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fieldvoice import data_folder
from fieldvoice.ears.ear import plain_words
from fieldvoice.ears.whisper_ear import PROMPT
from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.understanding import understand
from fieldvoice.output.documents.meanings import meaning_document
from fieldvoice.records.hearing import Source

LINES = (data_folder("audio_samples") / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
MANIFEST: list[dict[str, Any]] = [json.loads(line) for line in LINES]


@pytest.mark.parametrize("entry", MANIFEST, ids=lambda entry: entry["file"])
def test_the_manifests_meaning_is_the_languages(entry: dict[str, Any]) -> None:
    """What each clip must be understood as, written by hand, is what its words mean."""
    meanings = [meaning_document(one) for one in understand(entry["text"], Source.SPOKEN).meanings]
    assert len(meanings) == len(entry["meanings"])
    for meant, expected in zip(meanings, entry["meanings"], strict=True):
        assert {key: meant[key] for key in expected} == expected


def test_the_prompt_after_its_first_sentence_is_words_of_the_job() -> None:
    """A word that the grammar lacks would draw Whisper away from it."""
    _, examples = PROMPT.split(". ", 1)
    assert set(plain_words(examples).split()) <= set(vocabulary())
