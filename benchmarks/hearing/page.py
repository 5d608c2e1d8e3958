"""The tables of docs/HEARING_TABLES.md, from the figures in benchmarks/results."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from benchmarks.hearing.corpus import LEVELS
from benchmarks.hearing.figures import GOALS
from benchmarks.hearing.people_sounds import LEVELS as PEOPLE

Figures = Mapping[str, Any]
_RESULTS = ("right", "asked", "wrong")


def filled(text: str, tables: Mapping[str, str]) -> str:
    """The page with each table between its marks made anew. Raises KeyError for marks of no table."""

    def made(mark: re.Match[str]) -> str:
        return f"<!-- {mark[1]} -->\n{tables[mark[1]]}\n<!-- end -->"

    return re.sub(r"<!-- ([^>]+) -->\n(?:(?!<!--).)*?<!-- end -->", made, text, flags=re.DOTALL)


def tables(
    tune: Figures, test: Figures, gates: Figures, cost: Sequence[Figures], recordings: Figures
) -> dict[str, str]:
    """Every table by the name of its marks."""
    default = next(iter(test["policies"].values()))
    return {
        "goals": _table(("SNR", "texts", "right, %", "asked, %", "silently wrong, %", "goal"), _goals(default)),
        "test calls": _policies(test, "calls"),
        "test forms": _policies(test, "forms"),
        "tune calls": _policies(tune, "calls"),
        "taken": _taken(test),
        "errors": _table(("SNR", "said", "taken as"), default["wrong"]),
        "confusions": _table(("said", "became", "times"), _confused(test)),
        "gates": _gates(gates),
        "texts": _table(("split", "texts", "voices"), [_texts(one) for one in (tune, test)]),
        "settled": _table(
            ("sounds", "of", "settled"), [[name, *row.values()] for name, row in test["settled"].items()]
        ),
        "cost": _table(tuple(_COST), [[_cell(one, name) for name in _COST] for one in cost]),
        "recordings": _recordings(recordings),
    }


def _table(head: Sequence[str], rows: Sequence[Sequence[Any]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(map(str, line))} |" for line in lines)


def _goals(figures: Figures) -> list[list[str]]:
    rows = []
    for level in figures["calls"]:
        goal = f"{GOALS[level][0]} right, at most {GOALS[level][1]} wrong" if level in GOALS else "none is set"
        for texts in ("calls", "forms"):
            row = figures[texts][level]
            rows.append([level, f"{row['of']} {texts}", *(_share(row, result) for result in _RESULTS), goal])
    return rows


def _share(row: Figures, result: str) -> str:
    count, low, high = row[result]
    return f"{100 * count / max(1, row['of']):.1f} ({low:.1f} to {high:.1f})" if row["of"] else "–"


def _policies(figures: Figures, texts: str) -> str:
    levels = list(next(iter(figures["policies"].values()))[texts])
    rows = []
    for name, policy in figures["policies"].items():
        of = policy[texts]["clean"]["of"]
        rows.append([name, of, *(_counts(policy[texts][level]) for level in levels)])
    return _table(("policy", "texts a level", *levels), rows)


def _counts(row: Figures) -> str:
    if not row["of"]:
        return "–"
    return " / ".join(f"{100 * row[result][0] / row['of']:.1f}" for result in _RESULTS)


def _taken(figures: Figures) -> str:
    rows = []
    for name, policy in figures["policies"].items():
        taken = (policy["taken"][kind] for kind in ("talk", "noise", "spoilt"))
        rows.append([name, *(f"{one['wrongly']} of {one['of']} (up to {one['up to %']:.1f} %)" for one in taken)])
    return _table(("policy", "talk", "noise", "spoilt phrases"), rows)


def _confused(figures: Figures, most: int = 25) -> list[list[Any]]:
    found: list[list[Any]] = next(p["confusions"] for name, p in figures["policies"].items() if "no verdict" in name)
    return found[:most]


def _gates(document: Figures) -> str:
    def rows() -> Iterator[list[str]]:
        for ears, kinds in document["gates"].items():
            for kind, gates in kinds.items():
                for gate in gates or [None]:
                    bounds = ", ".join(f"{name} {least:g}" for name, least in gate.items()) if gate else "always asked"
                    yield [ears, kind, bounds]

    return _table(("recognizers", "kind", "at least"), list(rows()))


def margins(document: Figures) -> str:
    """What each margin came to on voices left out: of calls and forms of a level how many right and how many silently
    wrong, of other sounds how many silently wrong.
    """
    levels = [name for name in (*LEVELS, *PEOPLE) if name in next(iter(document["margins"].values()))]
    rows = []
    for margin, found in document["margins"].items():
        chosen = ", chosen" if float(margin) == document["margin"] else ""
        others = [f"{row['wrong']} of {row['of']}" for name, row in found.items() if name not in levels]
        rows.append([f"{float(margin):g}{chosen}", *(_right_and_wrong(found[level]) for level in levels), *others])
    kinds = [name for name in next(iter(document["margins"].values())) if name not in levels]
    return _table(("margin", *levels, *kinds), rows)


def _right_and_wrong(row: Mapping[str, int]) -> str:
    return f"{100 * row['right'] / row['of']:.1f} % / {row['wrong']} of {row['of']}"


def _texts(figures: Figures) -> list[str]:
    run = figures["run"]
    texts = ", ".join(f"{count} {kind}" for kind, count in run["texts"].items())
    return [run["split"], texts, ", ".join(f"{name} ({count})" for name, count in run["voices"].items())]


_COST: Mapping[str, Callable[[Figures], Any]] = {
    "cores": lambda one: one["cores"],
    "calls": lambda one: one["clips"],
    "seconds, median": lambda one: one["seconds"]["median"],
    "seconds, p95": lambda one: one["seconds"]["p95"],
    "of the processor's, median": lambda one: one["processor's seconds"]["median"],
    "of the processor's, p95": lambda one: one["processor's seconds"]["p95"],
    "with both always, median": lambda one: one["seconds of both"]["median"],
    "with both always, p95": lambda one: one["seconds of both"]["p95"],
    "settled by the head": lambda one: one["settled by the first"],
    "real-time factor": lambda one: one["real-time factor"],
    "peak MB": lambda one: one["peak MB"],
    "of it the test's own sounds": lambda one: one["sounds MB"],
    "processes that wanted those cores": lambda one: one["load"],
}


def _cell(one: Figures, name: str) -> Any:
    return _COST[name](one)


_WHAT = {
    "samples": "the recordings that come with fieldvoice",
    "readings": "a person's words joined to readings",
    "announcements": "the person's announcements",
}


def _recordings(document: Figures) -> str:
    rows = []
    for name, what in _WHAT.items():
        for level, row in document.get(name, {}).items():
            rows.append([what, level, row["of"], *(row[result] for result in _RESULTS)])
    return _table(("what", "SNR", "of", *_RESULTS), rows)
