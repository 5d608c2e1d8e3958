"""What is said of all that is told: in time, in fewer words where there is no time, the rest left to the screen."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from enum import IntEnum

from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Reading, Slot
from fieldvoice.records.said import Say
from fieldvoice.wording.forms import MOST_SECONDS, InWords, seconds
from fieldvoice.wording.notices import worded
from fieldvoice.wording.surfaces import OF_SURFACES
from fieldvoice.wording.values import calls_in, part_words, plain, share_inches, strings_in


class _Rank(IntEnum):
    """What goes before what, where there isn't time for all."""

    DANGER = 0  # said in any case, in fewer words if it has to be
    ASKS = 1  # so is the last question
    VALUE = 2  # what was taken, or no longer stands: in fewer words rather than not at all
    HEARD = 3  # was said a moment ago in the question that was answered
    REST = 4


ASKS = frozenset(
    {
        Tell.QUESTION,
        Tell.ANSWER_FIRST,
        Tell.NAMES_ANOTHER,
        Tell.PICK_ONE,
        Tell.SAY_THE_PART,
        Tell.ASKED_ANOTHER,
        Tell.NOT_TAKEN_WHAT_IS_IT,
        Tell.UTTERANCE_ASKED,
        Tell.WHICH_VALUE,
        Tell.ORDER_UNSURE,
        Tell.ORDER_RIGHT,
        Tell.NEXT_PLACE,
        Tell.WAITING,
    }
)
"""What waits for an answer."""
_VALUES = (OF_SURFACES.keys() - {Tell.LAYOUT, Tell.LAYOUT_OF_ALL}) | {
    Tell.READ_BACK,
    Tell.TOGETHER,
    Tell.TAKEN_BACK,
    Tell.DEFAULTS,
    Tell.FROM_FLOOR,
    Tell.STEPS,
}
"""What is left to the screen last: a value that nobody heard was taken in silence."""

MORE = "More on the screen."
DANGER_SHOWN = "No tool goes into a box: see the screen."
ASKED_ON_SCREEN = "The screen asks."


def says_of(notices: Sequence[Notice], unit: Unit, before: Sequence[Say] = ()) -> tuple[Say, ...]:
    """What to show and say within the time: danger and what is asked, every value that is read back in fewer words
    where they take too long, and of the rest as much as fits. `before` is shown before all of it, and the first of
    that said.
    """
    front = tuple(replace(one, spoken="") if at else one for at, one in enumerate(before))
    left = MOST_SECONDS - sum(seconds(one.spoken) for one in front)
    return (*front, *_within(left, notices, unit))


def all_in_time(notices: Sequence[Notice], unit: Unit) -> bool:
    """Whether there is time for all of them, in nearly as many words as there are."""
    return sum(seconds(each.spoken) for each in _in_few_words(MOST_SECONDS, notices, unit, 1)) <= MOST_SECONDS


def _ranks(notices: Sequence[Notice]) -> list[_Rank]:
    """The rank of each; the name of a board has that of what is told of it. Where nothing else is told the rest is what
    has to be heard.
    """
    whole = any(notice.tell is Tell.READ_ALL for notice in notices)
    asks = max((at for at, notice in enumerate(notices) if notice.tell in ASKS), default=None)
    ranks: list[_Rank] = []
    for at, notice in reversed(list(enumerate(notices))):
        rank = _Rank.REST
        if notice.safety:
            rank = _Rank.DANGER
        elif at == asks:
            rank = _Rank.ASKS
        elif notice.tell is Tell.OF_BOARD and ranks and ranks[0] is not _Rank.DANGER:
            rank = ranks[0]
        elif not whole and notice.tell is Tell.CONFIRMED:
            rank = _Rank.HEARD
        elif not whole and (notice.tell in _VALUES or notice.tell in ASKS):
            rank = _Rank.VALUE
        ranks.insert(0, rank)
    return [_Rank.VALUE] * len(ranks) if {*ranks} == {_Rank.REST} and not whole else ranks


BRIEFEST = 5
"""The last of the steps by which the same is said in fewer words: a box or an opening is its name and its distances,
then these in plain numbers, then the first of them.
"""


def _in_few_words(left: float, notices: Sequence[Notice], unit: Unit, most: int) -> list[Say]:
    """Each notice worded; where what has to be said takes too long in fewer words, by at most so many steps."""
    ranks = _ranks(notices)
    read = [_reading(notice) for notice in notices]
    if sum(notice.tell is Tell.READ_BACK for notice in notices) < 2 or {*ranks} == {_Rank.REST}:
        read = [None] * len(read)
    told = (notice for notice in notices if notice.tell is not Tell.TOGETHER)
    boxes = frozenset(call.key.name for notice in told for call in calls_in(notice.values))
    for brief in range(1 + most):
        ear = InWords(unit, brief)
        says = [
            _briefly(notice, ear, boxes, reading, before)
            for notice, reading, before in zip(notices, read, [None, *read], strict=False)
        ]
        needed = (seconds(one.spoken) for one, rank in zip(says, ranks, strict=True) if rank < _Rank.REST)
        if sum(needed) <= left:
            return says
    ear = InWords(unit, most)
    return [_briefly(notice, ear, frozenset(), reading) for notice, reading in zip(notices, read, strict=True)]


def _reading(notice: Notice) -> Reading | None:
    """The reading that is read back."""
    fact = next((call.fact for call in calls_in(notice.values)), None)
    return fact if notice.tell is Tell.READ_BACK and isinstance(fact, Reading) else None


def _briefly(
    notice: Notice, ear: InWords, named: frozenset[str], reading: Reading | None, before: Reading | None = None
) -> Say:
    """One notice beside others: a reading of several in plain numbers, and where there is no time without the inches
    that are those of the one before; a caution of boxes that are all read back right behind it without their names.
    """
    one = worded(notice, ear)
    if reading is not None and isinstance(reading.at, Slot):
        alone = ear.brief and before is not None and share_inches(before.value, reading.value, ear)
        value = part_words(reading.value.inches % 1) if alone else plain(reading.value, ear)
        return replace(one, spoken=f"{reading.at} {value}.")
    beside = ear.brief > 1 and notice.tell in _BESIDE and named and named.issuperset(_boxes_of(notice))
    return replace(one, spoken=_BESIDE[notice.tell]) if beside else one


_BESIDE = {
    Tell.MOVED_SINCE: "Untested:",
    Tell.MEASURED_SINCE: "Untested:",
    Tell.NOT_DEAD: "Not dead, no tool in:",
    Tell.HEED: "Untested, no tool in:",
    Tell.DEAD_TOGETHER: "Circuit not taken:",
}
"""Cautions of a box that is read back right behind them."""


def _boxes_of(notice: Notice) -> Sequence[str]:
    """The boxes that a caution is about."""
    told = notice.values
    if notice.tell in {Tell.MOVED_SINCE, Tell.MEASURED_SINCE}:
        told = told[1::2]
    elif notice.tell is Tell.NOT_DEAD:
        _, count, *rest = told
        assert isinstance(count, int)
        told = (*rest[:count], *rest[count + 1 :: 2])
    return strings_in(told)


def _within(left: float, notices: Sequence[Notice], unit: Unit) -> tuple[Say, ...]:
    """All of it where there is time; else by its rank and in order as much as fits, and in the place of what doesn't
    that there is more.
    """
    says, ranks = _in_few_words(left, notices, unit, BRIEFEST), _ranks(notices)
    if sum(seconds(one.spoken) for one in says) <= left:
        return tuple(says)
    kept = [""] * len(says)
    needed = (seconds(one.spoken) for one, rank in zip(says, ranks, strict=True) if rank < _Rank.REST)
    last = _Rank.REST if sum(needed) <= left else _Rank.VALUE
    for rank in _Rank:
        more = seconds(MORE) if rank >= last else 0
        if rank is _Rank.DANGER and last is _Rank.VALUE and _Rank.ASKS in ranks:
            more = seconds(ASKED_ON_SCREEN)
        for group in _groups(notices, ranks, rank):
            told = _as_fits(left - more, [notices[at] for at in group], [says[at].spoken for at in group], rank)
            left -= sum(map(seconds, told))
            for at, spoken in zip(group, told, strict=True):
                kept[at] = spoken
    first = next((at for at, one in enumerate(says) if one.spoken and not kept[at]), None)
    if first is not None and left >= seconds(MORE):
        kept[first] = MORE
    return tuple(replace(one, spoken=spoken) for one, spoken in zip(says, kept, strict=True))


def _groups(notices: Sequence[Notice], ranks: Sequence[_Rank], rank: _Rank) -> list[list[int]]:
    """The places of what has a rank, as it is said or left out together: all of danger; else each by itself, behind the
    name of its board.
    """
    places = [at for at, one in enumerate(ranks) if one is rank]
    if rank is _Rank.DANGER:
        return [places]
    groups: list[list[int]] = []
    for at in places:
        led = bool(groups) and groups[-1][-1] == at - 1 and notices[at - 1].tell is Tell.OF_BOARD
        groups = [*groups[:-1], [*groups[-1], at]] if led else [*groups, [at]]
    return groups


def _as_fits(left: float, notices: Sequence[Notice], spoken: Sequence[str], rank: _Rank) -> list[str]:
    """What is said of a group: the whole, else the least that its rank asks."""
    if sum(map(seconds, spoken)) <= left:
        return list(spoken)
    if rank is not _Rank.DANGER:
        begun = _sentences(spoken[-1], left - sum(map(seconds, spoken[:-1])))
        if begun and ("?" in begun) >= ("?" in spoken[-1]):
            return [*spoken[:-1], begun]
        return [*[""] * (len(spoken) - 1), ASKED_ON_SCREEN if rank is _Rank.ASKS else ""]
    asked = [one if notice.tell in ASKS else "" for notice, one in zip(notices, spoken, strict=True)]
    first = next((at for at, one in enumerate(asked) if not one), 0)
    none = [""] * len(asked)
    ways = (asked, [*none[1:], ASKED_ON_SCREEN if asked[-1] else ""], none)
    shown = [[DANGER_SHOWN if at == first else one for at, one in enumerate(way)] for way in ways]
    return next((way for way in shown if sum(map(seconds, way)) <= left), shown[-1])


def _sentences(spoken: str, left: float) -> str:
    """As many of its sentences as there is time for: what happened comes first in them, then what to say."""
    whole = re.split(r"(?<=[.?!]) (?=[A-Z])", spoken)
    ends = (" ".join(whole[:end]) for end in range(len(whole), 0, -1))
    return next((begun for begun in ends if seconds(begun) <= left), "")
