"""A figure alone that puts something right and says no place: where it may be of several things, which is asked. It may
be of either of two readings that are asked about as being the other way around, of what its speaker said no to while
another question waits, of what somebody else had read back last or of the speaker's own before that.
"""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import is_bare
from fieldvoice.dialogue.answers import was_put
from fieldvoice.dialogue.correcting import told_by_another
from fieldvoice.dialogue.placing import answers_denied, denied
from fieldvoice.dialogue.plausibility import FELLOWS
from fieldvoice.dialogue.proposals import propose, swapped_with, which_of
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Call
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Answer, Correction, Status


def of_which(turn: Turn) -> Turn | None:
    """What is asked of such a figure, or where it goes; None of one that is of one thing alone, and of all else."""
    said = turn.judged.utterance
    rest = [one for one in said.meanings if not (isinstance(one, Answer) and not one.yes and one.was is None)]
    fact = rest[0] if len(rest) == 1 else None
    corrects = isinstance(fact, Correction) or len(rest) < len(said.meanings)
    fact = fact.new if isinstance(fact, Correction) and fact.was is None else fact
    if said.status is not Status.UNDERSTOOD or said.danger or not isinstance(fact, Reading) or not is_bare(fact):
        return None
    if (found := _of_the_swapped(turn, fact) or _of_what_was_denied(turn, fact)) is not None:
        return found
    return _of_either(turn, fact) if corrects or fact.of_it or denied(turn) else None


def _of_the_swapped(turn: Turn, fact: Reading) -> Turn | None:
    """Said to the question whether two readings are the other way around. Their own figures answer it."""
    asked, other = turn.asked_about, swapped_with(turn, turn.asked)
    if not other or asked is None or not isinstance(asked.fact, Reading) or fact.value == asked.fact.value:
        return None
    last = (one for one in turn.state.called_last if one.board == asked.board and one.by == turn.who)
    return _which(turn, fact, (asked, *other, *last))


def _of_what_was_denied(turn: Turn, fact: Reading) -> Turn | None:
    """Said to what its speaker was just asked for instead of that, and to no question that waits behind it."""
    if turn.asked is None or was_put(turn, turn.asked) or not answers_denied(turn, (fact,)):
        return None
    return propose(turn, (fact,), corrects=True)


def _of_either(turn: Turn, fact: Reading) -> Turn | None:
    """Said right behind what another one called, or to what of theirs its speaker said no to, where it is as near to
    the speaker's own before that.
    """
    others, own = told_by_another(turn), turn.state.waiting(turn.who)
    if not others:  # the no has settled the speaker's own
        others = tuple(one for one in denied(turn) if one.by != turn.who)
        last = last_change(turn.state, turn.who)
        own = () if last is None else tuple(one for one in turn.state.those(last.calls) if one.in_force)
    both = (*others, *own)
    near = [isinstance(one.fact, Reading) and abs(one.fact.value - fact.value) < FELLOWS for one in both]
    return _which(turn, fact, both, again=True) if others and len(both) == 2 and all(near) else None


def _which(turn: Turn, fact: Reading, calls: tuple[Call, ...], *, again: bool = False) -> Turn | None:
    """Which of the readings the figure is of, `again` also that which has it already."""
    there = dict.fromkeys(one.fact for one in calls if isinstance(one.fact, Reading))
    ways = tuple((replace(one, value=fact.value),) for one in there if again or one.value != fact.value)
    return which_of(turn, ways) if len(ways) > 1 else None
