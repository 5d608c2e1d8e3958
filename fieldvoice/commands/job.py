"""`fieldvoice job`: what is kept, whether it is whole, and the way in and out."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from io import StringIO
from itertools import starmap
from pathlib import Path
from typing import IO

import click

from fieldvoice.commands import options
from fieldvoice.commands.options import write_new
from fieldvoice.commands.output import pour_text, show, tell
from fieldvoice.errors import BadInput, NotHere
from fieldvoice.jobs import JobSummary, contents_of_any, export_job, import_job, job_file, jobs_folder, list_jobs, view
from fieldvoice.journal.format import Contents, Damage, Entry, Json, Lost
from fieldvoice.journal.journal import MOST_BYTES, MemoryJournal
from fieldvoice.records.hearing import Hearing


@click.group("job")
def jobs() -> None:
    """Look at the jobs, check them, take them to another device."""


@jobs.command("list")
@click.option("--folder", type=click.Path(file_okay=False, path_type=Path), help="Where to look for jobs.")
@options.as_json
def list_command(folder: Path | None, *, as_json: bool) -> None:
    """List the jobs, the one written last first."""
    place = folder or jobs_folder()
    summaries = tuple(list_jobs(place))
    for summary in summaries:
        show(json.dumps(_summary_document(summary)) if as_json else _summary_line(summary))
    if not summaries:
        tell(f"No job is kept in {place}. Start one with `fieldvoice listen` or `fieldvoice type`.")


@jobs.command("show")
@options.job
@options.as_json
def show_command(job: Path | None, *, as_json: bool) -> None:
    """Show each entry of a job, in order, without changing it."""
    with view(_there(job)) as journal:
        if journal.trouble:
            tell(str(journal.trouble))
        for entry in journal.entries():
            show(json.dumps(_entry_document(entry)) if as_json else _entry_line(entry))


@jobs.command("check")
@options.job
@options.as_json
@click.pass_context
def check_command(context: click.Context, job: Path | None, *, as_json: bool) -> None:
    """Check whether a job's file is whole.

    Its head, every checksum, gaps, doubled entries, sound files. Ends with status 65 where something is wrong.
    """
    from fieldvoice.ears.wav import audio_folder

    path = _there(job)
    found = contents_of_any(path)
    faults = [*starmap(_fault_text, found.faults), *_silent(found, audio_folder(path))]
    show(json.dumps(_check_document(path, found, faults)) if as_json else _check_text(path, found, faults))
    context.exit(BadInput.exit_status if faults else 0)


@jobs.command("export")
@options.job
@click.option(
    "--output", type=options.File(stdout=True), help="The file to write; without it, or as -, standard output."
)
@click.option("--csv", "as_table", is_flag=True, help="Readings and cuts as a table instead; it can't be imported.")
def export_command(job: Path | None, output: Path | None, *, as_table: bool) -> None:
    """Write a job as JSON, to be imported elsewhere.

    docs/JOB_FORMAT.md describes the form.
    """
    output = options.to_file(output)
    export = _export_table if as_table else export_job
    with view(_there(job)) as journal:
        if journal.trouble:
            tell(str(journal.trouble))
        text = StringIO(newline="")
        export(journal, text)
        if output is None:
            pour_text(text.getvalue())
        else:
            write_new(output, text.getvalue().encode())


@jobs.command("import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--job", "target", type=options.File(), help="The new job's file; without it, one of the same name among the jobs."
)
@options.as_json
def import_command(file: Path, target: Path | None, *, as_json: bool) -> None:
    """Make a job of an exported FILE. Takes in all of it or nothing, and never replaces a job that is there."""
    try:
        with file.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
        text = data.decode("utf-8-sig")
    except OSError as error:
        raise BadInput(
            f"{file} can't be read ({error.strerror}). Nothing was taken in; export the job again."
        ) from error
    except UnicodeDecodeError:
        raise BadInput(f"{file} isn't an exported job: it isn't text in UTF-8. Nothing was taken in.") from None
    if len(data) > MOST_BYTES:
        raise BadInput(f"{file} isn't an exported job: no job is that large. Nothing was taken in.")
    path = target or jobs_folder() / f"{file.stem}.job"
    count = import_job(text, path, _opens)
    show(json.dumps({"path": str(path), "entries": count}) if as_json else f"{_entries(count)} taken into {path}")


def _export_table(journal: MemoryJournal, out: IO[str]) -> int:
    """Every board's readings and its plan as they are now; what is a draft has no plan in it."""
    from fieldvoice.dialogue.looking import look
    from fieldvoice.dialogue.rooms import rooms
    from fieldvoice.dialogue.session import as_now
    from fieldvoice.output.documents.boards import write_table

    now, others = datetime.now(UTC), rooms()
    state = as_now(journal, now, in_session=False)
    return write_table((look(state, now, others, board=board) for board in state.boards), out)


def _opens(journal: MemoryJournal) -> None:
    """Goes through a copy of a job as a session does that goes on with it. `ValueError` where it holds what the
    dialogue can't read.
    """
    from fieldvoice.dialogue.session import Session, reopened

    _, lost = reopened(journal, datetime.now(UTC))
    unknown = [number for number in (lost.numbers if lost else ()) if number not in map(str, journal.lost)]
    if unknown:
        raise ValueError(f"entries {', '.join(unknown)} hold what this fieldvoice doesn't know")
    session = Session(journal)
    session.view()
    for line in ("what's missing", "undo", "yes", "done"):
        session.take(Hearing.typed(line), "hanger")
        session.view()


def _there(chosen: Path | None) -> Path:
    path = job_file(chosen)
    if chosen is None and not path.exists():
        raise NotHere(
            "There is no job yet. Start one with `fieldvoice listen` or `fieldvoice type`, or name a file with --job."
        )
    return path


def _entry_document(entry: Entry) -> dict[str, object]:
    return {"seq": entry.seq, "at": entry.at.isoformat(), "who": entry.who, "kind": entry.kind, "body": entry.body}


def _entry_line(entry: Entry) -> str:
    body = json.dumps(entry.body, ensure_ascii=False)
    return f"{entry.seq:>6}  {entry.at.astimezone():%Y-%m-%d %H:%M:%S}  {entry.who}  {entry.kind}  {body}"


def _runs(lost: Sequence[Lost]) -> list[dict[str, int | None]]:
    return [asdict(run) for run in lost]


def _summary_document(summary: JobSummary) -> dict[str, object]:
    return {
        "path": str(summary.path),
        "entries": summary.entries,
        "first": summary.first and summary.first.isoformat(),
        "last": summary.last and summary.last.isoformat(),
        "people": summary.people,
        "lost": _runs(summary.lost),
        "trouble": summary.trouble and str(summary.trouble),
    }


def _entries(count: int) -> str:
    from fieldvoice.wording.forms import counted

    return counted(count, "entry", "entries")


def _summary_line(summary: JobSummary) -> str:
    if summary.last is None:
        return f"{summary.path}: {summary.trouble or 'nothing in it yet'}"
    last = f"{summary.last.astimezone():%Y-%m-%d %H:%M}"
    said = f"{summary.path}: {_entries(summary.entries)} by {', '.join(summary.people)}, last {last}"
    lost = f"; lost: {', '.join(map(str, summary.lost))}" if summary.lost else ""
    return said + lost + (f"; {summary.trouble}" if summary.trouble else "")


_FAULTS = {
    Damage.HEAD: "the head of the file was changed",
    Damage.CHANGED: "line {} of the entries was changed",
    Damage.OUT_OF_PLACE: "entry {} is where it doesn't belong, or there twice",
    Damage.MISSING: "entries are missing: {}",
}


def _fault_text(fault: Damage, where: str) -> str:
    return _FAULTS[fault].format(where)


def _silent(found: Contents, folder: Path) -> Iterator[str]:
    """The sounds that entries name and that aren't in the folder beside the job."""
    for entry in found.entries:
        for name in _sounds(dict(entry.body)):
            if not (folder / Path(name).name).is_file():
                yield f"the sound of entry {entry.seq}, {name}, isn't in {folder}"


def _sounds(value: Json) -> Iterator[str]:
    if isinstance(value, dict):
        name = value.get("sound")
        if isinstance(name, str):
            yield name
        yield from _sounds(list(value.values()))
    elif isinstance(value, list):
        for each in value:
            yield from _sounds(each)


def _check_document(path: Path, found: Contents, faults: Sequence[str]) -> dict[str, object]:
    return {
        "path": str(path),
        "sound": not faults,
        "entries": len(found.entries),
        "faults": faults,
        "lost": _runs(found.lost),
        "lost_earlier": _runs([run for run in found.lost if (Damage.MISSING, str(run)) not in found.faults]),
    }


def _check_text(path: Path, found: Contents, faults: Sequence[str]) -> str:
    lines = [f"{path}: {_entries(len(found.entries))}, all as they were written."]
    lines += [f"Wrong: {fault}." for fault in faults]
    if found.lost:
        lines.append(f"Entries lost: {', '.join(map(str, found.lost))}.")
    if found.faults:
        lines.append("Opening the job saves what is whole; check every reading against the wall before cutting.")
    return "\n".join(lines)
