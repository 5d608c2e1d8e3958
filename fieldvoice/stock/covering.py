"""Fewest sheets for pieces that are given, with a bound: what a layout does, without a layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fieldvoice.stock.buying import Bought, Effort, cost_of, fewest, proved, taken
from fieldvoice.stock.columns import Columns, Demand, whole_bound
from fieldvoice.stock.diving import dived
from fieldvoice.stock.first_fit import first_fit
from fieldvoice.stock.needs import Need, Stock


def cover(needs: Mapping[Need, int], stocks: Sequence[Stock], effort: Effort | None = None) -> Bought:
    """Sheets for all the pieces. Each piece has to fit a stock that there is any number of (`ValueError` else)."""
    work = effort or Effort()
    columns = Columns(stocks, Demand.of(needs))
    found = columns.generate(work.rounds)
    if found is None:
        raise ValueError("a piece fits no sheet")
    bound = whole_bound(found)
    fills = dived(columns, needs, first_fit(needs, stocks), bound)
    if cost_of(fills, stocks) == bound:
        return Bought((), fills, bound, bound)
    return proved(columns, fewest(columns, taken(columns, {}, fills, bound), work), work)
