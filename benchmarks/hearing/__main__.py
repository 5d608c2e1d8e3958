"""`python -m benchmarks.hearing STEP`; see the package for what the steps do and in which order."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
from platformdirs import user_cache_path

from benchmarks.hearing.corpus import CALLS, Sounds, sounds
from training.splits import Split

ROOT = Path(__file__).parent.parent.parent
RESULTS, PAGE = ROOT / "benchmarks" / "results", ROOT / "docs" / "HEARING_TABLES.md"
FOR_CREWS, README = ROOT / "docs" / "HEARING.md", ROOT / "README.md"
_SPLIT = click.option(
    "--split", default=Split.TEST, type=click.Choice([Split.TUNE, Split.TEST], case_sensitive=False), show_default=True
)
_STORE = click.option(
    "--store",
    type=click.Path(path_type=Path),
    default=user_cache_path("fieldvoice") / "measured",
    help="Where sounds and hearings are kept: some 100 MB for both splits.",
)


@click.group(help=__doc__)
def main() -> None:
    """The steps."""


@main.command()
@_SPLIT
@_STORE
@click.option("--share", default=1.0, show_default=True, help="Of the split's texts; less than 1 to try things out.")
@click.option("--calls", type=click.Choice(list(CALLS)), help="Calls of this sort alone, into a folder of their own.")
@click.option("--seed", default=0, help="Of another draw, into a folder of its own.")
@click.option("--processes", default=1, show_default=True)
def make(split: Split, store: Path, share: float, calls: str | None, seed: int, processes: int) -> None:
    """Have a split's voices say its texts."""
    made = sounds(split, share, processes, calls, seed)
    folder = store / "_".join((split, *((calls,) if calls else ()), *((str(seed),) if seed else ())))
    made.save(folder)
    click.echo(f"{len(made.clips)} clips and {made.counts.noise} noises of the {split} split in {folder}")


_PEOPLE = click.option(
    "--people", type=click.Path(path_type=Path, exists=True), help="People's speech, as `training people` keeps it."
)


@main.command()
@_SPLIT
@_STORE
@_PEOPLE
@click.option("--also", help="A folder that `make` made with --calls or --seed: its name behind the split's.")
@click.option("--vosk", type=click.Path(path_type=Path, exists=True), help="A Vosk model's folder.")
@click.option("--with", "recognizers", multiple=True, default=("reading", "whisper"), show_default=True)
@click.option("--processes", default=1, show_default=True)
@click.option("--threads", default=1, show_default=True, help="Of each process.")
def hear(
    split: Split,
    store: Path,
    people: Path | None,
    also: str | None,
    vosk: Path | None,
    recognizers: tuple[str, ...],
    processes: int,
    threads: int,
) -> None:
    """Keep what recognizers make of a split's sounds, or of those of its people; goes on where it stopped."""
    from benchmarks.hearing.hearing import hear_all
    from benchmarks.hearing.people_sounds import PeopleSounds
    from benchmarks.hearing.store import Store

    folder = store / (f"people_{split}" if people else f"{split}_{also}" if also else split)
    folder.mkdir(parents=True, exist_ok=True)
    made = PeopleSounds.load(people, split) if people else Sounds.load(folder)
    heard = hear_all(made, Store(folder), recognizers, vosk, processes, threads)
    for number, key in enumerate(heard, start=1):
        if number % 100 == 0:
            click.echo(f"{number} heard, {key}")


@main.command()
@_STORE
@_PEOPLE
def fit(store: Path, people: Path | None) -> None:
    """Choose the verdict's gates by what was heard of the tuning split and of its people, write them into their table,
    and estimate what they come to on new voices.
    """
    from benchmarks.hearing.fitting import table
    from benchmarks.hearing.hearing import cases
    from benchmarks.hearing.page import margins
    from benchmarks.hearing.people_sounds import PeopleSounds
    from benchmarks.hearing.policies import VERDICTS
    from fieldvoice.language.verdict import TABLE

    made = Sounds.load(store / Split.TUNE)
    heard, run = cases(made, store / Split.TUNE), _run("fit", made)
    if people:
        spoken = PeopleSounds.load(people, Split.TUNE)
        heard += cases(spoken, store / f"people_{Split.TUNE}")
        run["people"] = spoken.facts()
    chosen, estimated = table(heard, list(VERDICTS.values()))
    document = {"run": run | {"margin": estimated["margin"]}, **chosen}
    TABLE.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")
    _write("hearing_left_out.json", {"run": run, **estimated})
    click.echo(margins(estimated))


@main.command()
@_STORE
@_PEOPLE
@click.option("--also", multiple=True, help="Folders of the store with more sounds of the tuning split.")
def weigh(store: Path, people: Path | None, also: tuple[str, ...]) -> None:
    """Fit the weights of all evidence by what was heard of the tuning split and of its people, and write them."""
    from benchmarks.hearing.hearing import cases
    from benchmarks.hearing.people_sounds import PeopleSounds
    from benchmarks.hearing.weighing import table
    from fieldvoice.language.surety import TABLE
    from fieldvoice.language.verdict import TABLE as GATES
    from fieldvoice.language.verdict import gates_of

    made = {name: Sounds.load(store / name) for name in (Split.TUNE, *also)}
    heard = [case for name, one in made.items() for case in cases(one, store / name)]
    run = _run("weigh", made[Split.TUNE]) | {name: made[name].facts() for name in also}
    if people:
        spoken = PeopleSounds.load(people, Split.TUNE)
        heard += cases(spoken, store / f"people_{Split.TUNE}")
        run["people"] = spoken.facts()
    weights, left_out = table(heard, gates_of(json.loads(GATES.read_text(encoding="utf-8"))))
    TABLE.write_text(json.dumps({"run": run, **weights}, indent=1) + "\n", encoding="utf-8")
    _write("hearing_weighed.json", {"run": run, "left out": left_out})


@main.command()
@_SPLIT
@_STORE
def judge(split: Split, store: Path) -> None:
    """The figures of every policy, into benchmarks/results."""
    from benchmarks.hearing.figures import figures, settled_by
    from benchmarks.hearing.hearing import cases
    from benchmarks.hearing.policies import policies
    from benchmarks.hearing.recognizers import READING, WHISPER

    made = Sounds.load(store / split)
    heard = cases(made, store / split)
    found = {"policies": figures(heard, policies()), "settled": settled_by(heard, READING, WHISPER)}
    _write(f"hearing_{split}.json", {"run": _run("judge", made), **found})


@main.command()
@_SPLIT
@_STORE
@_PEOPLE
@click.option("--also", multiple=True, help="Folders of the store with more sounds of the split.")
def outcomes(split: Split, store: Path, people: Path | None, also: tuple[str, ...]) -> None:
    """What becomes of each sound that both usual recognizers heard, by folder, kind and level; of what is no call the
    hearings are kept beside it, so that a test tells when words mean something else since.
    """
    from benchmarks.hearing.hearing import cases
    from benchmarks.hearing.outcomes import judged_by, keep, no_call, rows
    from benchmarks.hearing.people_sounds import PeopleSounds
    from fieldvoice.language.verdict import WEIGHED

    named = [
        (f"{folder} {case.item.kind}, {case.item.level}", case)
        for folder in (split, *also)
        for case in cases(Sounds.load(store / folder), store / folder)
    ]
    if people:
        heard = cases(PeopleSounds.load(people, split), store / f"people_{split}")
        named += [(f"{case.item.voice.split(' ')[0]} {case.item.kind}, {case.item.level}", case) for case in heard]
    named = [(name, one) for name, one in named if one.heard_by(WEIGHED)]
    found = rows(named)
    keep((both for both in named if no_call(both[1])), RESULTS / f"hearing_no_calls_{split}.jsonl.gz")
    _write(f"hearing_outcomes_{split}.json", {"judged by": judged_by(), **found})


@main.command()
@_STORE
@click.option("--clips", default=60, show_default=True)
@click.option("--cores", default=2, show_default=True)
def cost(store: Path, clips: int, cores: int) -> None:
    """Time and memory of the default recognizers on the test split's calls, on so many cores."""
    from benchmarks.hearing.cost import cost as measured

    found = measured(Sounds.load(store / Split.TEST), clips, cores)
    _write(f"hearing_cost_{cores}.json", found)


@main.command()
@click.option("--people", type=click.Path(path_type=Path, exists=True), help="A person's words: see `people`.")
@click.option("--count", default=60, show_default=True, help="Of the person's readings; twice as many announcements.")
def recordings(people: Path | None, count: int) -> None:
    """The recordings that come with fieldvoice, and a person's words, by the default recognizers."""
    import random

    from benchmarks.hearing import open_pair
    from benchmarks.hearing.people import announcements, heard, readings
    from benchmarks.hearing.recognizers import head_sha
    from benchmarks.hearing.samples import samples
    from fieldvoice.language.automaton import open_talk, vocabulary

    ears, found = open_pair(vocabulary(), open_talk), dict[str, Any](head=head_sha())
    found["samples"] = samples(ears)
    if people is not None:
        spoken = list(readings(people, count, random.Random(count)))  # noqa: S311 - a corpus, not a secret
        found["readings"] = heard(spoken, ears, count)
        found["announcements"] = heard(list(announcements(people))[: 2 * count], ears, count)
    _write("hearing_recordings.json", found)


@main.command()
def page() -> None:
    """The tables of docs/HEARING.md and docs/HEARING_TABLES.md, and the README's sentence, from benchmarks/results."""
    for file in (FOR_CREWS, PAGE, README):
        file.write_text(page_text(file), encoding="utf-8")


def page_text(file: Path) -> str:
    """One of the pages with its tables made anew."""
    from benchmarks.hearing import crew_page
    from benchmarks.hearing.outcomes import judged_by
    from benchmarks.hearing.page import filled, margins, tables
    from fieldvoice.language.verdict import TABLE

    tune, test, recordings, left_out, *costs = (
        json.loads((RESULTS / f"hearing_{name}.json").read_text(encoding="utf-8"))
        for name in ("tune", "test", "recordings", "left_out", "cost_1", "cost_2")
    )
    gates = json.loads(TABLE.read_text(encoding="utf-8"))
    names = ("hearing_outcomes_test", "hearing_ears", "late_keys", "late_keys_saw", "boards_by_sound")
    outcomes, ears, quiet, saw, boards = (
        json.loads((RESULTS / f"{name}.json").read_text(encoding="utf-8")) for name in names
    )
    made = tables(tune, test, gates, costs, recordings) | {"left out": margins(left_out)}
    made |= crew_page.tables(outcomes, judged_by()) | {"ears": crew_page.compared(ears)}
    made |= {"late keys": crew_page.late_keys(quiet, saw), "boards": crew_page.boards(boards)}
    return filled(file.read_text(encoding="utf-8"), made)


def _write(name: str, document: Mapping[str, Any]) -> None:
    (RESULTS / name).write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


def _run(step: str, made: Sounds) -> dict[str, Any]:
    """What a reader must know to do it again."""
    from benchmarks.hearing.recognizers import head_sha

    today = datetime.now(UTC).date().isoformat()
    return {"command": f"python -m benchmarks.hearing {step}", "date": today, "head": head_sha(), **made.facts()}


if __name__ == "__main__":
    main()
