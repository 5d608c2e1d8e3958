"""What is said to the question whether two readings are the other way around: their own figures answer it. Another one
may be of either, or of what was called last: which is asked. A no leaves neither.
"""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import is_bare
from fieldvoice.dialogue.proposals import which_of
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Odd, key_of
from fieldvoice.records.ledger import Call, Doubt
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Answer, Correction, Status


def swapped_with(turn: Turn, doubt: Doubt | None) -> tuple[Call, ...]:
    """The reading that another one is asked about with, as being the other way around."""
    odd, asked = (None, None) if doubt is None else (doubt.odd, turn.state.call_of(doubt))
    if odd is None or odd.odd is not Odd.SWAPPED or asked is None or not isinstance(asked.fact, Reading):
        return ()
    key: Key = key_of(replace(asked.fact, at=odd.other_at))
    other = turn.state.known(asked.board, doubtful=True).get(key)
    return () if other is None else (other,)


def of_which_of_them(turn: Turn) -> Turn | None:
    """A figure alone, said instead of an answer: which of the readings it is of is asked. None for anything else."""
    asked = turn.asked_about
    other = swapped_with(turn, turn.asked)
    said = turn.judged.utterance
    rest = [one for one in said.meanings if not (isinstance(one, Answer) and not one.yes)]
    fact = rest[0] if len(rest) == 1 else None
    fact = fact.new if isinstance(fact, Correction) else fact
    if not other or asked is None or said.status is not Status.UNDERSTOOD or not isinstance(fact, Reading):
        return None
    if not is_bare(fact) or not isinstance(asked.fact, Reading) or fact.value == asked.fact.value:
        return None
    last = (one for one in turn.state.called_last if one.board == asked.board and one.by == turn.who)
    there = dict.fromkeys(one.fact for one in (asked, *other, *last) if isinstance(one.fact, Reading))
    ways = tuple((replace(one, value=fact.value),) for one in there if one.value != fact.value)
    return which_of(turn, ways) if len(ways) > 1 else None
