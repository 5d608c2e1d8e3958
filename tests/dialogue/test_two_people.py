"""Two people talking of one circuit at random, restarts in between, against a model that is simple to believe."""

from __future__ import annotations

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Method
from tests.dialogue.talk import A_BOX, Wall

PEOPLE = st.sampled_from(["hanger", "partner"])


class Circuits(RuleBasedStateMachine):
    """One box, two people, and everything that can be said of its circuit."""

    def __init__(self) -> None:
        super().__init__()
        self.wall = Wall()
        self.wall.types("top 46", "bottom 46", "height 95", A_BOX, "yes")
        self.asked: str | None = None
        self.dead_at: object = None

    @rule(who=PEOPLE)
    def dead(self, who: str) -> None:
        """Said: a question to the one who said it."""
        self.wall.types("box 1 dead and tested", who=who)
        self.asked = who if self.asked is None else "both" if self.asked != who else who

    @rule(who=PEOPLE)
    def yes(self, who: str) -> None:
        """Only from the one who was asked."""
        self.wall.types("yes", who=who)
        if self.asked in {who, "both"}:
            self.dead_at = self.wall.now
            self.asked = None if self.asked == who else ("partner" if who == "hanger" else "hanger")

    @rule(who=PEOPLE, line=st.sampled_from(["box 1 is live", "all boxes are live", "live", "box 1 unknown"]))
    def live(self, who: str, line: str) -> None:
        """Revokes at once, questions too."""
        self.wall.types(line, who=who)
        self.dead_at = self.asked = None

    @rule(who=PEOPLE)
    def undo(self, who: str) -> None:
        """Never makes it dead; may make it unknown."""
        before = self._dead()
        self.wall.types("undo", who=who)
        assert before or not self._dead()
        if not self._dead():
            self.dead_at = None
        if self.asked in {who, "both"}:
            self.asked = None if self.asked == who else ("partner" if who == "hanger" else "hanger")

    @rule()
    def wait(self) -> None:
        """Three hours go by: two of them and it has expired."""
        self.wall.wait(3)

    @rule()
    def restart(self) -> None:
        """A new session knows of no dead circuit and of no question."""
        self.wall.restart()
        self.dead_at = self.asked = None

    def _dead(self) -> bool:
        word = self.wall.session.state.circuits("1").get("box 1")
        return word is not None and word.state is Circuit.DEAD

    @precondition(lambda self: self.wall.session.state.boxes("1"))
    @invariant()
    def a_tool_goes_in_only_on_a_fresh_word(self) -> None:
        """The plan routs the box exactly while a yes to "dead and tested" stands and is fresh."""
        plan = self.wall.view.plan
        if plan is None:
            return
        fresh = self.dead_at is not None and (self.wall.now - self.dead_at).total_seconds() <= 4 * 3600  # type: ignore[operator]
        assert (plan.openings[0].method is Method.ROUT) == fresh


TestCircuits = Circuits.TestCase
TestCircuits.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)


@pytest.mark.slow
class TestCircuitsForLonger(Circuits.TestCase):  # type: ignore[valid-type,misc]
    """The same for as long as a morning."""

    settings = settings(max_examples=300, stateful_step_count=40, deadline=None)
