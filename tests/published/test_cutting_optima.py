"""Published cutting problems against their optima. Where files and figures come from: data/README.md."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from fieldvoice.files.instance_file import SheetProblem, read_instance
from fieldvoice.stock.bounded import BestFill, best_fill
from fieldvoice.stock.covering import cover
from fieldvoice.stock.needs import Need, Stock
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

TRUE_BINS = {"u250_07": 103}
"""The file has 104; 103 is listed as the optimum since (FACTS of the trade: the file's figure isn't the optimum)."""


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


def bins(file: str) -> dict[str, tuple[int, int, list[int]]]:
    """Capacity, best-known bins and sizes by instance; tenths become whole numbers."""
    words = iter((DATA / file).read_text(encoding="ascii").split())
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


def packed(capacity: int, sizes: list[int]) -> tuple[int, int]:
    """Bins used and the bound; every size lies in one bin and none is too full."""
    needs = Counter(Need(size, 1) for size in sizes)
    bought = cover(needs, [Stock(capacity, 1, 1, tapered=0)])
    assert sum((fill.counts() for _, fill in bought.fills), Counter()) == needs
    assert all(sum(need.length for need in fill.needs()) <= capacity for _, fill in bought.fills)
    return bought.cost, bought.bound


@pytest.mark.parametrize("name", sorted(bins("binpack5.txt")))
def test_falkenauer_triplets(name: str) -> None:
    """E. Falkenauer 1994, 60 items: three fill a bin without waste, so that 20 bins are the optimum by construction."""
    capacity, best, sizes = bins("binpack5.txt")[name]
    assert packed(capacity, sizes) == (best, best) == (20, 20)


def test_falkenauer_uniform_120() -> None:
    """E. Falkenauer 1994, u120_00: 48 bins, where taking the longest first gives 49."""
    _, capacity, *sizes = map(int, (DATA / "u120_00.txt").read_text(encoding="ascii").split())
    assert packed(capacity, sizes) == (48, 48)


@pytest.mark.parametrize("name", ["u250_00", "u250_01", "u250_02", "u250_04", "u250_05", "u250_06", "u250_07"])
def test_falkenauer_uniform_250(name: str) -> None:
    """E. Falkenauer 1994, 250 items, and the best number of bins known to the file, or a better one since."""
    capacity, best, sizes = bins("binpack2.txt")[name]
    optimum = TRUE_BINS.get(name, best)
    assert packed(capacity, sizes) == (optimum, optimum)


def test_a_gap_is_told_where_it_stays() -> None:
    """u250_03 has an optimum of 100: we find 101 and say that 100 is not excluded."""
    capacity, best, sizes = bins("binpack2.txt")["u250_03"]
    cost, bound = packed(capacity, sizes)
    assert bound <= best == 100
    assert cost - bound <= 1
