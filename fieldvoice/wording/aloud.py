"""What is said of all that is told: in time, in fewer words where there is no time, the rest left to the screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Reading, Slot
from fieldvoice.records.said import Say
from fieldvoice.wording.forms import MOST_SECONDS, InWords, seconds
from fieldvoice.wording.last_check import plain
from fieldvoice.wording.notices import worded
from fieldvoice.wording.surfaces import OF_SURFACES
from fieldvoice.wording.values import calls_in, strings_in

ON_SCREEN = "The rest is on the screen."

_VITAL = OF_SURFACES.keys() | {
    Tell.READ_BACK,
    Tell.TOGETHER,
    Tell.QUESTION,
    Tell.NOT_TAKEN_WHAT_IS_IT,
    Tell.NEXT_PLACE,
    Tell.CONFIRMED,
    Tell.TAKEN_BACK,
    Tell.DEFAULTS,
    Tell.FROM_FLOOR,
    Tell.NOT_DEAD,
    Tell.MAYBE_LIVE,
    Tell.AFTER_DEAD,
}
"""What is never left to the screen alone: a value that nobody heard was taken in silence."""


def says_of(notices: Sequence[Notice], unit: Unit) -> tuple[Say, ...]:
    """What to show and say: every value that is read back and every question, in fewer words where they take too long,
    and of the rest as much as fits.
    """
    return in_time(_in_few_words(notices, unit, BRIEFEST), _vital(notices))


def aloud_seconds(notices: Sequence[Notice], unit: Unit) -> float:
    """How long all of them take aloud where nothing of them is left out."""
    return sum(seconds(each.spoken) for each in _in_few_words(notices, unit, 1))


def _vital(notices: Sequence[Notice]) -> list[bool]:
    whole = any(notice.tell is Tell.READ_ALL for notice in notices)
    return [notice.tell in _VITAL and not whole for notice in notices]


BRIEFEST = 3
"""The last of the steps by which the same is said in fewer words: a box or an opening is its name and its distances."""


def _in_few_words(notices: Sequence[Notice], unit: Unit, most: int) -> list[Say]:
    """Each notice worded; where what has to be said takes too long in fewer words, by at most so many steps."""
    vital = _vital(notices)
    several = sum(notice.tell is Tell.READ_BACK for notice in notices) > 1 and any(vital)
    told = (notice for notice in notices if notice.tell is not Tell.TOGETHER)
    boxes = frozenset(call.key.name for notice in told for call in calls_in(notice.values))
    for brief in range(1 + most):
        says = [_briefly(notice, InWords(unit, brief), boxes, several=several) for notice in notices]
        if (
            sum(seconds(one.spoken) for one, kept in zip(says, vital, strict=True) if kept or one.safety)
            <= MOST_SECONDS
        ):
            break
    return says


def _briefly(notice: Notice, ear: InWords, named: frozenset[str], *, several: bool) -> Say:
    """One notice beside others: a reading of several in plain numbers; a caution of boxes that are all read back right
    behind it, where there is no time, without their names.
    """
    one = worded(notice, ear)
    call = next(iter(calls_in(notice.values)), None)
    if several and notice.tell is Tell.READ_BACK and call is not None and isinstance(call.fact, Reading):
        at = call.fact.at
        return replace(one, spoken=f"{at} {plain(call.fact.value, ear)}.") if isinstance(at, Slot) else one
    beside = ear.brief > 1 and notice.tell in _BESIDE and named and named.issuperset(_boxes_of(notice))
    return replace(one, spoken=_BESIDE[notice.tell]) if beside else one


_BESIDE = {
    Tell.MOVED_SINCE: "Untested:",
    Tell.NOT_DEAD: "Not dead, no tool in:",
    Tell.HEED: "Untested, no tool in:",
    Tell.DEAD_TOGETHER: "Circuit not taken:",
}
"""Cautions of a box that is read back right behind them."""


def _boxes_of(notice: Notice) -> Sequence[str]:
    """The boxes that a caution is about."""
    told = notice.values
    if notice.tell is Tell.MOVED_SINCE:
        told = told[1::2]
    elif notice.tell is Tell.NOT_DEAD:
        _, count, *rest = told
        assert isinstance(count, int)
        told = (*rest[:count], *rest[count + 1 :: 2])
    return strings_in(told)


def in_time(says: Sequence[Say], vital: Sequence[bool]) -> tuple[Say, ...]:
    """All that is `vital` or about safety, and of the rest, in order, as much as fits into the time."""
    left = MOST_SECONDS - sum(seconds(one.spoken) for one, must in zip(says, vital, strict=True) if must or one.safety)
    kept: list[Say] = []
    cut = False
    for one, must in zip(says, vital, strict=True):
        need = seconds(one.spoken)
        if must or one.safety or need <= left or (not kept and len(says) == 1):
            left -= 0 if must or one.safety else need
            kept.append(one)
        else:
            cut = cut or bool(one.spoken)
            kept.append(replace(one, spoken=""))
    if cut and left >= seconds(ON_SCREEN) and any(one.spoken for one in kept):
        last = max(index for index, one in enumerate(kept) if one.spoken)
        kept[last] = replace(kept[last], spoken=f"{kept[last].spoken} {ON_SCREEN}")
    return tuple(kept)
