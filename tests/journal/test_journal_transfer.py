"""A job goes from one device to another whole, or not at all."""

import io
import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fieldvoice.errors import BadInput
from fieldvoice.jobs import entry_sum, export_job, import_job
from fieldvoice.journal.format import Entry
from fieldvoice.journal.journal import Journal, MemoryJournal

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def _opens(journal: MemoryJournal) -> None:
    """As a session does that reads every entry."""
    assert all(entry.body is not None for entry in journal.entries())


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
    assert job["last"] == {"seq": 3, "sum": job["entries"][2]["sum"]}
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
    assert import_job(exported[0], path, _opens) == 3
    with Journal.open(path) as journal:
        assert journal.mended is None
        assert list(journal.entries()) == exported[1]
        assert journal.append("reading", "hanger", {}, NOON).seq == 4
    assert [file.name for file in path.parent.iterdir()] == ["kitchen.job"]


def test_a_job_is_never_laid_over_another(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """The one that is there stays."""
    with pytest.raises(BadInput, match="already there"):
        import_job(exported[0], tmp_path / "kitchen.job", _opens)
    with Journal.open(tmp_path / "kitchen.job") as journal:
        assert list(journal.entries()) == exported[1]


def test_lost_entries_stay_lost_in_the_copy(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """A gap comes over as a gap, and is known there."""
    job = json.loads(exported[0])
    del job["entries"][1]
    job["lost"] = [{"first": 5, "last": None}, {"first": 2, "last": 2}, {"first": "x"}, 7]
    path = tmp_path / "other.job"
    import_job(json.dumps(job), path, _opens)
    with Journal.open(path) as journal:
        assert journal.mended is None
        assert [entry.seq for entry in journal.entries()] == [1, 3]
        assert [str(span) for span in journal.lost] == ["2", "perhaps any after 4"]
        again = io.StringIO()
        export_job(journal, again)
    import_job(again.getvalue(), tmp_path / "third.job", _opens)
    with Journal.open(tmp_path / "third.job") as journal:
        assert [str(span) for span in journal.lost] == ["2", "perhaps any after 4"]


def test_an_end_that_is_cut_off_an_export_is_told(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """The document names its last entry; one of before that did so is taken as it is."""
    job = json.loads(exported[0])
    del job["entries"][-1]
    with pytest.raises(BadInput, match="the end is missing"):
        import_job(json.dumps(job), tmp_path / "other.job", _opens)
    del job["last"]
    assert import_job(json.dumps(job), tmp_path / "other.job", _opens) == 2


def test_what_would_never_open_is_not_taken_in(exported: tuple[str, list[Entry]], tmp_path: Path) -> None:
    """Every sum is right, and the session that tries it fails: that is the file's fault and is said so."""

    def fails(_: MemoryJournal) -> None:
        raise KeyError("furlong")

    with pytest.raises(BadInput, match=r"sums are right, but it can't be opened.*furlong"):
        import_job(exported[0], tmp_path / "other.job", fails)
    assert not (tmp_path / "other.job").exists()


def _forged(**parts: object) -> str:
    """An export of one entry made by hand, with a sum that fits it."""
    item = {"seq": 1, "at": NOON.isoformat(), "who": "hanger", "kind": "turn", "body": {}} | parts
    entry = Entry(item["seq"], NOON, item["who"], item["kind"], item["body"])  # type: ignore[arg-type]
    try:
        sum_ = entry_sum(entry)
    except (TypeError, ValueError):
        sum_ = "0" * 32
    return json.dumps({"format": "fieldvoice job", "version": 1, "entries": [item | {"sum": sum_}]})


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        '{"format": "fieldvoice job", "version": 1, "entries": ' + "[" * 5_000 + "]" * 5_000 + "}",
        '{"format": "fieldvoice job", "version": ' + "9" * 5_000 + "}",
        _forged(seq=10**30),
        _forged(seq=2**53 + 1),
        _forged(seq=-1),
        _forged(seq=1.0),
        _forged(who="\x1b]0;title\x07"),
        _forged(who="\u202ereversed"),
        _forged(who="\ud800"),
        _forged(kind="a\nb"),
        _forged(at="0001-01-01T00:00:00+00:00"),
        _forged(at="9999-12-31T23:59:59-12:00"),
        _forged(at="2026-11-25T12:00:00"),
        _forged(at=7),
        _forged(body=[]),
        _forged(body={"value": 10**400}),
        _forged(body={"value": 1e300}),
        _forged().replace('"body": {}', '"body": {"value": 1e999}'),
        _forged().replace('"body": {}', '"body": {"value": NaN}'),
        _forged().replace('"body": {}', '"body": {"value": ' + "1" * 5_000 + "}"),
        _forged().replace('"body": {}', '"body": ' + '{"in": ' * 900 + "1" + "}" * 900),
        _forged(body={"in": [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]}),
        "\0",
        "",
    ],
    ids=range(25),
)
def test_a_hostile_export_is_refused_cleanly(text: str, tmp_path: Path) -> None:
    """Deep, huge, or of another world: said in words, and nothing is taken in."""
    with pytest.raises(BadInput, match="Nothing was taken in"):
        import_job(text, tmp_path / "other.job", _opens)
    assert list(tmp_path.iterdir()) == []


def test_an_export_made_by_hand_is_taken_where_its_sums_are_right(tmp_path: Path) -> None:
    """The refusals of the others are theirs, not the hand's."""
    assert import_job(_forged(who="José", body={"value": "46 7/8"}), tmp_path / "other.job", _opens) == 1


def _changed(change: Callable[[dict[str, Any]], object]) -> Callable[[str], str]:
    def apply(text: str) -> str:
        job = json.loads(text)
        change(job)
        return json.dumps(job)

    return apply


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda text: text[:-40], "isn't an exported job"),
        (lambda _: "[]", "isn't an exported job"),
        (lambda _: '{"format": "shopping list"}', "isn't an exported job"),
        (_changed(lambda job: job.update(version=2)), "another version"),
        (_changed(lambda job: job.pop("entries")), 'no list of "entries"'),
        (_changed(lambda job: job["entries"][0]["body"].update(value="46 5/8")), "Entry 1 .* as it was written"),
        (_changed(lambda job: job["entries"][1].update(who="hanger")), "Entry 2 .* as it was written"),
        (_changed(lambda job: job["entries"].reverse()), "Entry 2 .* behind number 3"),
        (_changed(lambda job: job["entries"].append(job["entries"][0])), "Entry 4 .* behind number 3"),
        (_changed(lambda job: job["entries"][2].pop("kind")), "Entry 3 .* as it was written"),
        (_changed(lambda job: job["entries"][2].update(at="noon")), "Entry 3 .* as it was written"),
        (_changed(lambda job: job["entries"][2].update(seq=True)), "Entry 3 .* as it was written"),
        (_changed(lambda job: job["entries"].append(7)), "Entry 4 .* as it was written"),
    ],
)
def test_a_spoiled_export_is_refused_whole(
    exported: tuple[str, list[Entry]], tmp_path: Path, spoil: Callable[[str], str], words: str
) -> None:
    """The first entry that isn't as it was written is named, and nothing is taken in."""
    path = tmp_path / "other.job"
    with pytest.raises(BadInput, match=words):
        import_job(spoil(exported[0]), path, _opens)
    assert not path.exists()
