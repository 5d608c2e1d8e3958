"""Sheets for given pieces at once: the longest piece first, each where it leaves least. Usable, not the best."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fieldvoice.stock.filling import fillers
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength, Stock, fits


@dataclass(slots=True)
class _Strip:
    """A width of sheet in use, with what is cut from it."""

    width: int
    left: int
    needs: list[PieceSize] = field(default_factory=list)

    def put(self, need: PieceSize) -> None:
        self.needs.append(need)
        self.left -= need.length


def first_fit(needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> list[tuple[int, Fill]]:
    """A stock and a fill for every sheet; what is on the rack is used before a sheet is."""
    left = Counter(needs)
    fills = _from_rack(left, stocks)
    longest: Counter[int] = Counter()
    for stock in stocks:
        if stock.available is None:
            longest[stock.width] = max(longest[stock.width], stock.length)
    whole = Counter({need: count for need, count in left.items() if need.length <= longest[need.width]})
    fills += _whole(whole, stocks)
    return fills + _ripped(left - whole, stocks)


def _from_rack(left: Counter[PieceSize], stocks: Sequence[Stock]) -> list[tuple[int, Fill]]:
    """Each offcut filled as well as it can be; takes what it gives off `left`."""
    fills = []
    for index, stock in enumerate(stocks):
        for _ in range(stock.available or 0):
            wanted = {need: count for need, count in left.items() if count > 0}
            values = {need: need.area for need in wanted}
            value, fill = fillers([stock], values, wanted)[stock.width, stock.tapered].best(stock.length)
            taken = fill.counts
            if not value or any(count > left[need] for need, count in taken.items()):
                break
            left.subtract(taken)
            fills.append((index, fill))
    for need in [need for need, count in left.items() if count <= 0]:
        del left[need]
    return fills


def _largest_first(needs: Mapping[PieceSize, int]) -> list[PieceSize]:
    return sorted(Counter(needs).elements(), key=lambda need: (-need.width, -need.length, need))


def _whole(needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> list[tuple[int, Fill]]:
    rows: list[_Strip] = []
    for need in _largest_first(needs):
        longest = max(stock.length for stock in stocks if stock.available is None and stock.width == need.width)
        roomy = [row for row in rows if row.width == need.width and row.left >= need.length]
        row = min(roomy, key=lambda row: row.left) if roomy else _Strip(need.width, longest)
        if not roomy:
            rows.append(row)
        row.put(need)
    return [(_cheapest(tuple(row.needs), row.width, stocks), Fill(tuple(row.needs))) for row in rows]


def _cheapest(needs: Sequence[PieceSize], width: int, stocks: Sequence[Stock]) -> int:
    """The cheapest stock of that width that is long enough for all of them."""
    length = sum(need.length for need in needs)
    enough = [
        index
        for index, stock in enumerate(stocks)
        if stock.available is None and stock.width == width and stock.length >= length
    ]
    return min(enough, key=lambda index: stocks[index].cost)


def _ripped(needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> list[tuple[int, Fill]]:
    """Two bands a sheet, one from each long edge."""
    sheets: list[tuple[int, list[_Strip]]] = []
    for need in _largest_first(needs):
        bands = [band for _, rows in sheets for band in rows if need.width <= band.width and need.length <= band.left]
        if bands:
            min(bands, key=lambda band: band.left).put(need)
            continue
        _new_band(need, sheets, stocks).put(need)
    return [(index, _two_bands(stocks[index], rows)) for index, rows in sheets]


def _new_band(need: PieceSize, sheets: list[tuple[int, list[_Strip]]], stocks: Sequence[Stock]) -> _Strip:
    for index, rows in sheets:
        stock = stocks[index]
        if len(rows) < stock.tapered and sum(r.width for r in rows) + need.width <= stock.width:
            if need.length > stock.length:
                continue
            rows.append(_Strip(need.width, stock.length))
            return rows[-1]
    usable = [index for index, stock in enumerate(stocks) if stock.available is None and fits(need, stock)]
    index = min(usable, key=lambda index: stocks[index].cost)
    sheets.append((index, [_Strip(need.width, stocks[index].length)]))
    return sheets[-1][1][0]


def _two_bands(stock: Stock, rows: Sequence[_Strip]) -> Fill:
    bands = tuple(Band(row.width, stock.tapered > number, tuple(row.needs)) for number, row in enumerate(rows))
    return Fill((), (RippedLength(stock.length, bands, to_bottom=len(bands) > 1),))
