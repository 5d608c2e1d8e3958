"""A job goes from one device to another whole, or not at all."""

import io
import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fieldvoice.errors import BadInput
from fieldvoice.journal.check import check
from fieldvoice.journal.journal import Entry, Journal
from fieldvoice.journal.transfer import export_job, import_job

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def exported(tmp_path: Path) -> tuple[str, list[Entry]]:
    """A small job and its exported form."""
    out = io.StringIO()
    with Journal.open(tmp_path / "kitchen.job") as journal:
        journal.append("reading", "hanger", {"value": "46 7/8", "slot": "top", "heard": "½"}, NOON)
        journal.append("answer", "José", {"yes": True}, NOON)
        journal.append("tick", "partner", {"step": 1}, NOON)
        assert export_job(journal, out) == 3
        return out.getvalue(), list(journal.entries())


def test_what_is_exported_is_what_docs_say(exported: tuple[str, list[Entry]]) -> None:
    """The head names the form and its version; each entry has its sum."""
    job = json.loads(exported[0])
    assert (job["format"], job["version"], job["lost"]) == ("fieldvoice job", 1, [])
    assert job["entries"][0]["body"] == {"value": "46 7/8", "slot": "top", "heard": "½"}
    assert list(job["entries"][1]) == ["seq", "at", "who", "kind", "body", "sum"]


def test_the_sum_can_be_computed_from_the_docs(exported: tuple[str, list[Entry]]) -> None:
    """BLAKE2b of 16 bytes over five lines, as another program would write it."""
    from hashlib import blake2b

    item = json.loads(exported[0])["entries"][0]
    body = '{"heard":"\\u00bd","slot":"top","value":"46 7/8"}'
    lines = "\n".join(("1", "2026-11-25T12:00:00+00:00", "hanger", "reading", body))
    assert item["sum"] == blake2b(lines.encode(), digest_size=16).hexdigest()


def test_an_imported_job_is_the_same_job(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """Every entry, its number and its time; it checks sound and goes on."""
    path = tmp_path / "other" / "kitchen.job"
    assert import_job(exported[0], path) == 3
    assert check(path).sound
    with Journal.open(path) as journal:
        assert list(journal.entries()) == exported[1]
        assert journal.append("reading", "hanger", {}, NOON).seq == 4
    assert not list(path.parent.glob("*.building*"))


def test_a_job_is_never_laid_over_another(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """The one that is there stays."""
    with pytest.raises(BadInput, match="there already"):
        import_job(exported[0], tmp_path / "kitchen.job")
    with Journal.open(tmp_path / "kitchen.job") as journal:
        assert list(journal.entries()) == exported[1]


def test_lost_entries_stay_lost_in_the_copy(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """A gap comes over as a gap, and is known there."""
    job = json.loads(exported[0])
    del job["entries"][1]
    path = tmp_path / "other.job"
    import_job(json.dumps(job), path)
    assert check(path).sound
    with Journal.open(path) as journal:
        assert [entry.seq for entry in journal.entries()] == [1, 3]
        assert [str(span) for span in journal.lost] == ["2"]


def _changed(change: Callable[[dict[str, Any]], object]) -> Callable[[str], str]:
    def apply(text: str) -> str:
        job = json.loads(text)
        change(job)
        return json.dumps(job)

    return apply


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda text: text[:-40], "no exported job"),
        (lambda _: "[]", "no exported job"),
        (lambda _: '{"format": "shopping list"}', "no exported job"),
        (_changed(lambda job: job.update(version=2)), "version 2"),
        (_changed(lambda job: job.pop("entries")), 'no list of "entries"'),
        (_changed(lambda job: job["entries"][0]["body"].update(value="46 5/8")), "Entry 1 .* its sum"),
        (_changed(lambda job: job["entries"][1].update(who="hanger")), "Entry 2 .* its sum"),
        (_changed(lambda job: job["entries"].reverse()), "Entry 2 .* doesn't follow"),
        (_changed(lambda job: job["entries"].append(job["entries"][0])), "Entry 4 .* doesn't follow"),
        (_changed(lambda job: job["entries"][2].pop("kind")), "Entry 3 .* KeyError"),
        (_changed(lambda job: job["entries"][2].update(at="noon")), "Entry 3 .* ValueError"),
        (_changed(lambda job: job["entries"][2].update(seq=True)), "Entry 3 .* TypeError"),
        (_changed(lambda job: job["entries"].append(7)), "Entry 4 .* TypeError"),
    ],
)
def test_a_spoiled_export_is_refused_whole(
    exported: tuple[str, list[Entry]], tmp_path: Path, spoil: Callable[[str], str], words: str
) -> None:
    """The first entry that isn't as it was written is named, and nothing is taken in."""
    path = tmp_path / "other.job"
    with pytest.raises(BadInput, match=words):
        import_job(spoil(exported[0]), path)
    assert not path.exists()
