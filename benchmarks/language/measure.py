"""How fast and how right the phrase table is understood, what comes of the calls of a working day and of several sites,
what the worst inputs take, and what other parsers make of it or take for it.

Run from the top of the source tree: `python benchmarks/language/measure.py`. Writes `benchmarks/results/language.json`.
Times are of this process's own work, the best of several for each input, so that a busy machine shows least in them. It
takes less than a minute of it.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path.insert(0, str(TOP))
RESULTS = TOP / "benchmarks" / "results" / "language.json"
CALLS = Path(__file__).with_name("crew_phrases_workday.tsv")
SITES = Path(__file__).with_name("crew_phrases_sites.tsv")
WORST_WORDS = 40
WORST_TRIES = 10000
PASSES = 3
SLOWEST = 60
"""So many of the worst inputs, the slowest of one pass, are timed again."""


def spread(times: list[float]) -> dict[str, float]:
    """Median, 99th percentile and most, in milliseconds."""
    times = sorted(times)
    at = {"median_ms": len(times) // 2, "p99_ms": len(times) * 99 // 100, "max_ms": len(times) - 1}
    return {name: round(times[index], 3) for name, index in at.items()}


def best(work: Callable[[], object], times: int = PASSES) -> float:
    """The milliseconds that some work takes, the best of several times."""
    taken = []
    for _ in range(times):
        before = time.process_time()
        work()
        taken.append((time.process_time() - before) * 1000)
    return min(taken)


def table() -> dict[str, float]:
    """Every phrase of the table, the best of some times after one pass to warm up."""
    start = time.perf_counter()
    from fieldvoice.language.understanding import understand
    from fieldvoice.records.hearing import Source
    from tests.language.test_phrases import PHRASES, result, split

    understand("undo", Source.SPOKEN)
    ready = time.perf_counter() - start
    calls = [(split(words), expected) for _, words, expected in PHRASES]
    right = sum(result(understand(*call), call[2]) == expected for call, expected in calls)
    times = [best(partial(understand, *call)) for call, _ in calls]
    return {"phrases": len(PHRASES), "right": right, **spread(times), "ready_s": round(ready, 3)}


def crew(calls: Path) -> dict[str, int]:
    """What comes of the calls of a table, typed and, where they hold no figure, spoken: the worse of the two."""
    from fieldvoice.language.understanding import understand
    from tests.language.crew import result, rows, verdict

    order = ("right", "asked", "refused", "wrong")
    found = dict.fromkeys(order, 0)
    for row in rows(str(calls)):
        ways = (verdict(row, result(understand(row.phrase, way, row.unit), row.unit)) for way in row.ways)
        found[max(ways, key=order.index)] += 1
    return found


def worst() -> dict[str, object]:
    """Forty words made of one to five words again and again, which multiplies doubtful values as nothing else does."""
    from fieldvoice.language.automaton import vocabulary
    from fieldvoice.language.rules import START
    from fieldvoice.language.understanding import language, read_spoken
    from fieldvoice.records.length import Unit

    rng = random.Random(1)  # noqa: S311  (the same inputs every time)
    often = ("to", "two", "eighth", "forty", "top", "left", "width", "and", "or", "half", "studs", "one", "at", "wide")
    times: list[tuple[float, str]] = []
    hardest, parser = (0, ""), language(Unit.INCH).parser
    for turn in range(WORST_TRIES):
        some = [rng.choice(often if turn % 2 else vocabulary()) for _ in range(rng.randint(1, 5))]
        words = " ".join((["top"] * (turn % 3 == 0) + some * WORST_WORDS)[:WORST_WORDS])
        heard = read_spoken(words)
        before = time.process_time()
        steps = parser.parse(heard, START).steps
        times.append(((time.process_time() - before) * 1000, words))
        hardest = max(hardest, (steps, words))
    times.sort()
    again = [best(partial(_parsed, words)) for _, words in times[-SLOWEST:]]
    return {
        "words": WORST_WORDS,
        "inputs": WORST_TRIES,
        **spread([took for took, _ in times[:-SLOWEST]] + again),
        "most_steps": hardest[0],
        "hardest": hardest[1],
    }


def _parsed(words: str) -> object:
    from fieldvoice.language.rules import START
    from fieldvoice.language.understanding import language, read_spoken

    return language().parser.parse(read_spoken(words), START)


def main() -> None:
    """Measure, print and keep."""
    table_figures = table()
    from benchmarks.language.beside import beside
    from benchmarks.language.earley import earley

    figures = {
        "phrase_table": table_figures,
        "calls_of_a_working_day": crew(CALLS),
        "calls_of_several_sites": crew(SITES),
        "worst_inputs": worst(),
        "length_phrases": beside(),
        "lark_earley_on_the_same_grammar": earley(),
    }
    text = json.dumps(figures, indent=2)
    RESULTS.write_text(text + "\n", encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
