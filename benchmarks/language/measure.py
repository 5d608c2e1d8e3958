"""How fast and how right the phrase table is understood. Prints JSON: shares, milliseconds, and seconds to start.

Run from the top of the source tree: `python benchmarks/language/measure.py`.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path.insert(0, str(TOP))


def main() -> None:
    """Time every phrase of the table five times after one pass to warm up."""
    start = time.perf_counter()
    from fieldvoice.language import understand
    from fieldvoice.records.hearing import Source
    from tests.language.test_phrases import PHRASES, result

    understand("undo", Source.SPOKEN)
    ready = time.perf_counter() - start
    right, times = 0, []
    for turn in range(6):
        for _, words, expected in PHRASES:
            source = Source.TYPED if words.startswith("T ") else Source.SPOKEN
            before = time.process_time()
            found = understand(words.removeprefix("T "), source)
            if turn:
                times.append((time.process_time() - before) * 1000)
            else:
                right += result(found) == expected
    times.sort()
    figures = {
        "phrases": len(PHRASES),
        "right": right,
        "median_ms": round(times[len(times) // 2], 3),
        "p99_ms": round(times[len(times) * 99 // 100], 3),
        "max_ms": round(times[-1], 3),
        "ready_s": round(ready, 3),
    }
    print(json.dumps(figures))


if __name__ == "__main__":
    main()
