"""Published cutting problems against their optima. Where files and figures come from: data/README.md."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

from fieldvoice.files.planning_files import SheetProblem, read_instance
from fieldvoice.stock.buying import cover
from fieldvoice.stock.guillotine import BestFill, best_fill
from fieldvoice.stock.needs import PieceSize, Stock
from fieldvoice.stock.packing import first_fit
from tests.stock.rectangles import faults

DATA = Path(__file__).parent / "data"

GCUT = {
    "gcut1": (56460, 58136),
    "gcut2": (60536, 60611),
    "gcut3": (61036, 61626),
    "gcut4": (61698, 62265),
    "gcut5": (246000, 246000),
    "gcut6": (238998, 240951),
    "gcut7": (242567, 245866),
    "gcut8": (246633, 247787),
    "gcut9": (971100, 971100),
    "gcut10": (982025, 982025),
    "gcut11": (980096, 980096),
    "gcut12": (979986, 988694),
}
"""Without and with quarter turns: table at ime.usp.br/~glauber/gcut."""

CGCUT = {"cgcut1": 244, "cgcut2": 2892, "cgcut3": 1860}
"""cgcut1: enumeration, and the literature from memory; the others: PackLib, page fhz-ealst-98, CHW1 and CHW2."""


def problem(name: str) -> SheetProblem:
    """A published problem."""
    read = read_instance((DATA / f"{name}.txt").read_text(encoding="ascii"))
    assert isinstance(read, SheetProblem)
    return read


def solved(name: str, *, turn: bool) -> BestFill:
    """Its best fill, which must lie on the sheet and come apart by cuts from edge to edge."""
    one = problem(name)
    fill = best_fill(one.pieces, one.width, one.height, turn=turn)
    assert faults(one, fill, turn=turn) == []
    assert fill.bound == fill.value
    return fill


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("name", GCUT)
def test_beasley_unlimited(name: str, turn: bool) -> None:
    """J. E. Beasley 1985: any number of each piece."""
    assert solved(name, turn=turn).value == GCUT[name][turn]


@pytest.mark.parametrize("name", CGCUT)
def test_christofides_whitlock_limited(name: str) -> None:
    """N. Christofides and C. Whitlock 1977: so many of each piece at most."""
    assert solved(name, turn=False).value == CGCUT[name]


TRIPLETS = {"t60": "binpack5", "t120": "binpack6", "t249": "binpack7", "t501": "binpack8"}

U120 = (48, 49, 46, 49, 50, 48, 48, 49, 50, 46, 52, 49, 48, 49, 50, 48, 52, 52, 49, 49)
U250 = (99, 100, 102, 100, 101, 101, 102, 103, 105, 101, 105, 101, 105, 103, 100, 105, 97, 100, 100, 102)
"""Bins of the uniform instances: those known when they were published, but for u120_08, u120_19, u250_07 and u250_12,
of which the file's notes say that it is not the least. Those have one less here; all are proved by our own bound. The
notes name u250_13 as well, where our bound proves the number known before."""


@cache
def bins(file: str) -> dict[str, tuple[int, int, list[int]]]:
    """Capacity, best-known bins and sizes by instance; tenths become whole numbers."""
    words = iter((DATA / f"{file}.txt").read_text(encoding="ascii").split())
    found = {}
    for _ in range(int(next(words))):
        name, capacity, count, best = (next(words) for _ in range(4))
        sizes = [next(words) for _ in range(int(count))]
        scale = 10 if "." in capacity else 1
        found[name] = (_whole(capacity, scale), int(best), [_whole(size, scale) for size in sizes])
    return found


def _whole(text: str, scale: int) -> int:
    units, _, tenths = text.partition(".")
    return int(units) * scale + (int(tenths or 0) if scale > 1 else 0)


def uniform_120(number: int) -> tuple[int, list[int]]:
    """Capacity and sizes. The uniform instances are one stream of sizes, divided anew for each number of items, so that
    the 250s hold the 120s.
    """
    stream = [size for _, _, sizes in bins("binpack2").values() for size in sizes]
    return 150, stream[120 * number : 120 * (number + 1)]


def packed(capacity: int, sizes: list[int]) -> tuple[int, int]:
    """Bins used and the bound; every size lies in one bin and none is too full."""
    needs = Counter(PieceSize(size, 1) for size in sizes)
    bought = cover(needs, [Stock(capacity, 1, 1, tapered=0)])
    assert sum((fill.counts for _, fill in bought.fills), Counter()) == needs
    assert all(sum(need.length for need in fill.needs()) <= capacity for _, fill in bought.fills)
    return bought.cost, bought.bound


def _slow(values: Iterable[object], quick: int) -> list[object]:
    """The first few at once, the rest under `-m slow`."""
    every = list(values)
    return [*every[:quick], *(pytest.param(*_tuple(one), marks=pytest.mark.slow) for one in every[quick:])]


def _tuple(one: object) -> tuple[object, ...]:
    return one if isinstance(one, tuple) else (one,)


@pytest.mark.parametrize("name", _slow(sorted(bins("binpack5")), 4))
def test_falkenauer_triplets_60(name: str) -> None:
    """E. Falkenauer 1994, 60 items: three fill a bin without waste, so that 20 bins are the optimum by construction."""
    _triplets("t60", name)


LARGER = [(kind, one) for kind in ("t120", "t249", "t501") for one in sorted(bins(TRIPLETS[kind]))]


@pytest.mark.parametrize(("kind", "name"), _slow(LARGER, 2))
def test_falkenauer_triplets(kind: str, name: str) -> None:
    """The same with 120, 249 and 501 items."""
    _triplets(kind, name)


def _triplets(kind: str, name: str) -> None:
    capacity, best, sizes = bins(TRIPLETS[kind])[name]
    assert packed(capacity, sizes) == (best, best) == (len(sizes) // 3, len(sizes) // 3)


@pytest.mark.parametrize(("number", "best"), _slow(enumerate(U120), 6))
def test_falkenauer_uniform_120(number: int, best: int) -> None:
    """E. Falkenauer 1994, 120 items. Taking the longest first gives a bin too many in u120_00."""
    assert packed(*uniform_120(number)) == (best, best)


@pytest.mark.parametrize(("number", "best"), _slow(enumerate(U250), 4))
def test_falkenauer_uniform_250(number: int, best: int) -> None:
    """E. Falkenauer 1994, 250 items: no more bins than were known, and not one that could be saved."""
    capacity, known, sizes = bins("binpack2")[f"u250_{number:02}"]
    assert packed(capacity, sizes) == (best, best)
    assert 0 <= known - best <= 1


def test_the_longest_first_gives_a_bin_too_many() -> None:
    """u120_00: 48 bins do, and the bound says so."""
    capacity, sizes = uniform_120(0)
    needs = Counter(PieceSize(size, 1) for size in sizes)
    assert len(first_fit(needs, [Stock(capacity, 1, 1, tapered=0)])) == 49
