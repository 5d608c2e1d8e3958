"""What must hold whatever is said, checked after every turn of talks drawn at random; and mutants that it catches."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from fieldvoice.dialogue import (
    amending,
    answers,
    circuits,
    correcting,
    dialogue,
    finishing,
    keeping,
    proposals,
    session,
    turn,
)
from fieldvoice.dialogue.codec import body_of
from fieldvoice.dialogue.state import State
from fieldvoice.records.ledger import ENOUGH, AnsweredBy, Call, Doubt, Tell
from tests.dialogue.promises import Talk


@pytest.mark.parametrize("seed", range(10))
def test_every_promise_is_kept(seed: int) -> None:
    """A short talk."""
    Talk(seed).lead(25)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1400))
def test_every_promise_is_kept_for_longer(seed: int) -> None:
    """A long one."""
    Talk(seed).lead(80)


Patch = Callable[[pytest.MonkeyPatch], None]


def _drops_a_call(patch: pytest.MonkeyPatch) -> None:
    """A box that is called is forgotten."""
    old = proposals.propose

    def mutant(turn: Any, facts: Any, **how: Any) -> Any:
        return old(turn, facts[:-1] if any(type(each).__name__ == "Box" for each in facts) else facts, **how)

    patch.setattr(proposals, "propose", mutant)


def _forgets_what_is_called_under_a_question(patch: pytest.MonkeyPatch) -> None:
    """What is called while a question is open is gone."""
    patch.setattr(proposals, "queue", lambda turn, _: turn.put(turn.asked) if turn.asked else turn)


def _shows_an_old_view(patch: pytest.MonkeyPatch) -> None:
    """The view of a board is kept."""
    kept: dict[tuple[int, str], Any] = {}
    old = session.Session.view

    def mutant(self: Any, board: str | None = None) -> Any:
        name = board or self.state.board
        return kept.setdefault((id(self), name), old(self, board))

    patch.setattr(session.Session, "view", mutant)


def _lets_yes_answer_which(patch: pytest.MonkeyPatch) -> None:
    """Yes takes the first of two."""
    patch.setattr(Doubt, "answered_by", property(lambda _: AnsweredBy.YES_OR_NO))


def _lets_anybody_say_yes(patch: pytest.MonkeyPatch) -> None:
    """The yes of one settles what waits for another."""
    old = answers.yes

    def mutant(turn: Any, facts: Any) -> Any:
        other = next(iter(turn.state.open), None)
        if turn.mine is None and other is not None and not facts:
            return replace(old(replace(turn, who=other), facts), who=turn.who)
        return old(turn, facts)

    patch.setattr(answers, "yes", mutant)
    patch.setattr(dialogue, "yes", mutant)


def _skips_a_board_in_revoking(patch: pytest.MonkeyPatch) -> None:
    """Danger counts for the board at hand alone."""
    old = circuits.boxes_of

    def mutant(state: State, said: Any) -> Any:
        return tuple(each for each in old(state, said) if each[0] == state.board)

    patch.setattr(circuits, "boxes_of", mutant)


def _deaf_to_danger(patch: pytest.MonkeyPatch) -> None:
    """Word of danger counts for nothing before the rest is looked at."""
    patch.setattr(dialogue, "endanger", lambda turn: turn)


def _deaf_to_no(patch: pytest.MonkeyPatch) -> None:
    """An objection in an unclear utterance is passed over."""
    patch.setattr(correcting, "object_to_last", lambda turn, **_: turn)


def _deaf_to_no_beside_a_circuit(patch: pytest.MonkeyPatch) -> None:
    """Word of a circuit is read back before an objection is looked at, which then is about nothing."""
    of_a_no, endanger = correcting.objecting, circuits.endanger
    patch.setattr(dialogue, "objecting", endanger)
    patch.setattr(dialogue, "endanger", of_a_no)


def _final_too_soon(patch: pytest.MonkeyPatch) -> None:
    """What was not taken keeps no plan a draft."""
    patch.setattr(finishing, "not_taken", lambda *_: ())


def _no_last_read_back(patch: pytest.MonkeyPatch) -> None:
    """A value that was heard once is final."""
    patch.setattr(finishing, "unread", lambda *_: ())


def _silent_defaults(patch: pytest.MonkeyPatch) -> None:
    """What stands at an edge is taken by default, and nobody is told."""
    patch.setattr(finishing, "missing", lambda *_: ())


def _replaces_without_trace(patch: pytest.MonkeyPatch) -> None:
    """A new value overwrites the call that it takes the place of."""
    old = keeping.calls_of

    def mutant(turn: Any, facts: Any, standing: Any) -> Any:
        made = old(turn, facts, standing)
        waiting = turn.state.waiting(turn.who)
        return tuple(replace(one, number=waiting[0].number) for one in made[:1]) + made[1:] if waiting else made

    patch.setattr(proposals, "calls_of", mutant)


def _forgets_to_keep_a_turn(patch: pytest.MonkeyPatch) -> None:
    """An event is left out of the journal."""
    old = body_of
    patch.setattr(
        session, "body_of", lambda events: old([each for each in events if type(each).__name__ != "Accepted"])
    )


def _takes_over_in_silence(patch: pytest.MonkeyPatch) -> None:
    """What a new board takes over isn't said."""
    from fieldvoice.dialogue import new_boards, orders

    old = new_boards.open_board

    def mutant(turn: Any, name: str) -> Any:
        made = old(turn, name)
        return replace(made, notices=tuple(each for each in made.notices if each.tell.value != "carried"))

    patch.setattr(orders, "open_board", mutant)


def _tested_for_ever(patch: pytest.MonkeyPatch) -> None:
    """A dead circuit stays dead over a restart."""
    from fieldvoice.dialogue import reducer

    patch.setattr(reducer, "_not_dead", dict)


def _drops_the_same_again(patch: pytest.MonkeyPatch) -> None:
    """A place called once more with the same value leaves no call."""
    old = proposals.mend

    def mutant(turn: Any, call: Any, new: Any, **how: Any) -> Any:
        if amending.in_place_of(call.fact, new) == call.fact:
            return turn.tell(Tell.READ_BACK, call)
        return old(turn, call, new, **how)

    patch.setattr(proposals, "mend", mutant)


def _takes_all_for_said_again(patch: pytest.MonkeyPatch) -> None:
    """The voice leaves out of the last read-back what it never said once more."""
    old = turn.read_last

    def mutant(state: State, calls: Any) -> Any:
        return tuple(replace(each, again=ENOUGH) if isinstance(each, Call) else each for each in old(state, calls))

    patch.setattr(finishing, "read_last", mutant)


MUTANTS: tuple[Patch, ...] = (
    _drops_a_call,
    _forgets_what_is_called_under_a_question,
    _shows_an_old_view,
    _lets_yes_answer_which,
    _lets_anybody_say_yes,
    _skips_a_board_in_revoking,
    _deaf_to_danger,
    _deaf_to_no,
    _deaf_to_no_beside_a_circuit,
    _final_too_soon,
    _no_last_read_back,
    _silent_defaults,
    _replaces_without_trace,
    _forgets_to_keep_a_turn,
    _takes_over_in_silence,
    _tested_for_ever,
    _drops_the_same_again,
    _takes_all_for_said_again,
)
"""Each is a way in which a value could be lost, guessed or stale."""


@pytest.mark.slow
@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: each.__name__.strip("_"))
def test_a_mutant_is_caught(mutant: Patch, monkeypatch: pytest.MonkeyPatch) -> None:
    """Within so many talks a promise is seen to be broken."""
    mutant(monkeypatch)
    for seed in range(2000, 2100):
        try:
            Talk(seed).lead(60)
        except (AssertionError, AttributeError):
            return
    pytest.fail("no talk caught it")
