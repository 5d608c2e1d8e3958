"""Given pieces out of given sheets, in whole numbers: at once, the longest piece first, each where it leaves least,
which is usable and not the best; and whether they come out at all, where every way is tried, for few pieces.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice

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
    return fills + _in_bands(left - whole, stocks)


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


def _in_bands(needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> list[tuple[int, Fill]]:
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


STEP, LAID = 8, 1
"""The work of trying a piece on a sheet, and of laying one in a band of it."""


MOST_SETS = 60
"""Sets of sheets of one cost that are looked at."""


MOST_PIECES = 60
"""With more pieces no search comes to its end."""


class GivenUp(Exception):
    """No error: the work that was allowed is done, and what was asked for isn't known."""


@dataclass(slots=True)
class Work:
    """How much may still be done: counted and not timed, so that two runs are the same."""

    left: int

    def spend(self, amount: int) -> None:
        """Raises `GivenUp` where no more is allowed."""
        self.left -= amount
        if self.left < 0:
            raise GivenUp


@dataclass(slots=True)
class _LengthInMaking:
    """A length of sheet in the making: its bands, each with its pieces, the widest first."""

    bands: list[list[PieceSize]] = field(default_factory=list)

    @property
    def length(self) -> int:
        return max((sum(need.length for need in band) for band in self.bands), default=0)

    @property
    def width(self) -> int:
        return sum(band[0].width for band in self.bands)


@dataclass(slots=True)
class Packing:
    """Finds sheets' fills, and remembers what goes onto a sheet and what doesn't."""

    known: dict[tuple[Stock, tuple[PieceSize, ...]], Fill | None] = field(default_factory=dict)

    def packed(self, needs: Mapping[PieceSize, int], sheets: Sequence[Stock], work: Work) -> tuple[Fill, ...] | None:
        """A fill for each of the sheets, in their order, so that every need is in one; None where there is no way.
        Raises `GivenUp` where that isn't known.
        """
        pieces = sorted(Counter(needs).elements(), key=lambda need: (-need.area, need))
        if sum(need.area for need in pieces) > sum(sheet.length * sheet.width for sheet in sheets):
            return None
        held: list[tuple[PieceSize, ...]] = [()] * len(sheets)
        seen: set[tuple[int, tuple[tuple[Stock, tuple[PieceSize, ...]], ...]]] = set()

        def put(number: int) -> bool:
            if number == len(pieces):
                return True
            state = (number, tuple(sorted(zip(sheets, held, strict=True), key=_order)))
            if state in seen:
                return False
            seen.add(state)
            tried: set[tuple[Stock, tuple[PieceSize, ...]]] = set()
            for index, sheet in enumerate(sheets):
                before = held[index]
                if (sheet, before) in tried:
                    continue
                tried.add((sheet, before))
                work.spend(STEP)
                held[index] = tuple(sorted((*before, pieces[number])))
                if self.fill(sheet, held[index], work) is not None and put(number + 1):
                    return True
                held[index] = before
            return False

        if not put(0):
            return None
        return tuple(self.fill(sheet, mine, work) or Fill(()) for sheet, mine in zip(sheets, held, strict=True))

    def for_cost(
        self, needs: Mapping[PieceSize, int], stocks: Sequence[Stock], cost: int, work: Work
    ) -> tuple[tuple[int, Fill], ...] | None:
        """The pieces on some set of sheets of just that cost, None where there is none. Raises `GivenUp`."""
        sets = list(islice(sets_of(cost, stocks), MOST_SETS + 1))
        if len(sets) > MOST_SETS or sum(needs.values()) > MOST_PIECES:
            raise GivenUp
        for counts in sets:
            indices = [index for index, count in enumerate(counts) for _ in range(count)]
            packed = self.packed(needs, [stocks[index] for index in indices], work)
            if packed is not None:
                return tuple((index, fill) for index, fill in zip(indices, packed, strict=True) if fill.counts)
        return None

    def fill(self, sheet: Stock, pieces: tuple[PieceSize, ...], work: Work) -> Fill | None:
        """The pieces, in order, out of one sheet: crosscut, ripped, crosscut again; None where there is no way."""
        key = (sheet, pieces)
        if key not in self.known:
            self.known[key] = _fill(sheet, pieces, work)
        return self.known[key]


def sets_of(cost: int, stocks: Sequence[Stock], index: int = 0) -> Iterator[tuple[int, ...]]:
    """How many of each stock, every way to spend just so much; of offcuts all there are."""
    if index == len(stocks):
        if not cost:
            yield ()
        return
    stock = stocks[index]
    counts = [stock.available] if stock.available is not None else range(cost // stock.cost, -1, -1)
    for count in counts:
        paid = 0 if stock.available is not None else count * stock.cost
        for rest in sets_of(cost - paid, stocks, index + 1):
            yield (count, *rest)


def _order(one: tuple[Stock, tuple[PieceSize, ...]]) -> tuple[int, int, int, tuple[PieceSize, ...]]:
    return one[0].length, one[0].width, one[0].tapered, one[1]


def _fill(sheet: Stock, pieces: Sequence[PieceSize], work: Work) -> Fill | None:
    whole = tuple(need for need in pieces if need.width == sheet.width)
    narrow = [need for need in pieces if need.width != sheet.width]
    room = sheet.length - sum(need.length for need in whole)
    if room < 0 or any(need.tapered > sheet.tapered for need in whole):
        return None
    if any(need.width > sheet.width or need.length > room or need.tapered > min(sheet.tapered, 1) for need in narrow):
        return None
    if sum(need.area for need in narrow) > room * sheet.width:
        return None
    narrow.sort(key=lambda need: (-need.width, -need.length, need))
    parts: list[_LengthInMaking] = []
    for _ in _laid(narrow, parts, room, sheet, work):
        return Fill(whole, tuple(_ripped(part, sheet) for part in parts))
    return None


def _laid(
    pieces: Sequence[PieceSize], parts: list[_LengthInMaking], room: int, sheet: Stock, work: Work
) -> Iterator[None]:
    """Every way to lay the pieces into the parts; the widest come first, so that a band's first piece says how wide it
    is.
    """
    work.spend(LAID)
    if sum(part.length for part in parts) > room:
        return
    if not pieces:
        yield
        return
    need, rest = pieces[0], pieces[1:]
    for part in parts:
        for band in part.bands:
            band.append(need)
            if _edged(part) <= sheet.tapered:
                yield from _laid(rest, parts, room, sheet, work)
            band.pop()
        if part.width + need.width <= sheet.width:
            part.bands.append([need])
            if _edged(part) <= sheet.tapered:
                yield from _laid(rest, parts, room, sheet, work)
            part.bands.pop()
    parts.append(_LengthInMaking([[need]]))
    yield from _laid(rest, parts, room, sheet, work)
    parts.pop()


def _edged(part: _LengthInMaking) -> int:
    """How many of its bands have to lie at a long edge of the sheet."""
    return sum(any(need.tapered for need in band) for band in part.bands)


def _ripped(part: _LengthInMaking, sheet: Stock) -> RippedLength:
    """Bands with a factory edge at the sheet's long edges, the others between them."""
    edged = [band for band in part.bands if any(need.tapered for need in band)]
    free = [band for band in part.bands if band not in edged]
    if not edged and sheet.tapered:
        edged, free = free[:1], free[1:]
    bands = [Band(band[0].width, tapered=True, needs=tuple(band)) for band in edged[:1]]
    bands += [Band(band[0].width, tapered=False, needs=tuple(band)) for band in free]
    bands += [Band(band[0].width, tapered=True, needs=tuple(band)) for band in edged[1:]]
    return RippedLength(part.length, tuple(bands), to_bottom=len(edged) > 1)
