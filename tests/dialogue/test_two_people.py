"""Two people talking at random, restarts in between, against a model that is simple enough to be believed.

The model keeps two dictionaries: what is settled and what was read back to whom.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Method
from tests.dialogue.talk import A_BOX, Wall

PEOPLE = st.sampled_from(["hanger", "partner"])
PLACES = st.sampled_from(["top", "middle", "bottom"])
WIDTHS = st.sampled_from(["46 7/8", "46 3/4", "46 5/8", "46 1/2", "46 3/8", "46 1/4"])


@dataclass(frozen=True)
class Change:
    """What one person settled at one place, and what stood there before."""

    who: str
    place: str
    old: str | None
    new: str


class TwoPeople(RuleBasedStateMachine):
    """Widths within the tolerance of a wall, so that geometry has nothing to ask."""

    def __init__(self) -> None:
        super().__init__()
        self.wall = Wall()
        self.settled: dict[str, str] = {}
        self.open: dict[str, tuple[str, str]] = {}
        self.changes: list[Change] = []
        self.boxed = False
        self.said_dead = False

    def _settle(self, whose: str) -> None:
        if whose in self.open:
            place, value = self.open.pop(whose)
            self.changes.append(Change(whose, place, self.settled.get(place), value))
            self.settled[place] = value

    @rule(who=PEOPLE, place=PLACES, value=WIDTHS)
    def call(self, who: str, place: str, value: str) -> None:
        """Call a width: a second value for the place just read back mends it, any other settles it."""
        if who in self.open and self.open[who][0] == place:
            del self.open[who]
        self._settle(who)
        self.wall.types(f"{place} width {value}", who=who)
        self.open[who] = (place, value)

    @rule(who=PEOPLE, place=PLACES, value=WIDTHS)
    def correct(self, who: str, place: str, value: str) -> None:
        """Change a place by name."""
        if who in self.open and self.open[who][0] == place:
            del self.open[who]
        self._settle(who)
        self.wall.types(f"change {place} width to {value}", who=who)
        self.open[who] = (place, value)

    @rule(who=PEOPLE, value=WIDTHS)
    def mend(self, who: str, value: str) -> None:
        """No, and the right value, to one's own read-back."""
        if who in self.open:
            self.wall.types(f"no, {value}", who=who)
            self.open[who] = (self.open[who][0], value)

    @rule(who=PEOPLE)
    def confirm(self, who: str) -> None:
        """Yes: to one's own read-back, else to the other's."""
        self.wall.types("yes", who=who)
        whose = who if who in self.open else next(iter(self.open), None)
        if whose is not None:
            self._settle(whose)

    @rule(who=PEOPLE)
    def undo(self, who: str) -> None:
        """Undo: one's own read-back, else one's own last change unless the other changed it since."""
        self.wall.types("undo", who=who)
        if who in self.open:
            del self.open[who]
            return
        last = next((change for change in reversed(self.changes) if change.who == who), None)
        later = self.changes[self.changes.index(last) + 1 :] if last else []
        if last is None or any(change.place == last.place for change in later):
            return
        self.changes.remove(last)
        self.settled.pop(last.place)
        if last.old is not None:
            self.settled[last.place] = last.old

    @rule()
    def restart(self) -> None:
        """The session ends and another one opens the journal."""
        self.wall.restart()
        self.said_dead = False

    @rule(who=PEOPLE)
    def say_again(self, who: str) -> None:
        """Changes nothing."""
        self.wall.types("say again", who=who)

    @rule(step=st.integers(1, 20), who=PEOPLE)
    def tick(self, step: int, who: str) -> None:
        """Refused here, since there is no height and hence no plan."""
        self.wall.session.tick(step, who)
        assert self.wall.view.ticked == frozenset()

    @invariant()
    def what_is_shown_is_what_the_model_knows(self) -> None:
        """Every place shows the value read back last, else the settled one."""
        shown = {line.label.removeprefix("width, "): line.value for line in self.wall.view.readings}
        settled = {
            key.removeprefix("width "): value.fact.value.text()  # type: ignore[union-attr]
            for key, value in self.wall.session.state.facts.values.items()
        }
        assert settled == self.settled
        assert shown == {**self.settled, **dict(self.open.values())} or len({p for p, _ in self.open.values()}) == 1
        assert set(self.wall.session.state.pending) == set(self.open)

    @invariant()
    def a_new_session_would_know_the_same(self) -> None:
        """State is the fold over the journal and nothing else."""
        other = Wall(self.wall.journal)
        assert other.session.state.boards == self.wall.session.state.boards
        assert other.session.state.pending == self.wall.session.state.pending


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
        word = self.wall.session.state.facts.circuits.get("box 1")
        return word is not None and word.state is Circuit.DEAD

    @precondition(lambda self: "box 1" in self.wall.session.state.facts.values)
    @invariant()
    def a_tool_goes_in_only_on_a_fresh_word(self) -> None:
        """The plan routs the box exactly while a yes to "dead and tested" stands and is fresh."""
        plan = self.wall.view.plan
        if plan is None:
            return
        fresh = self.dead_at is not None and (self.wall.now - self.dead_at).total_seconds() <= 4 * 3600  # type: ignore[operator]
        assert (plan.openings[0].method is Method.ROUT) == fresh


TestTwoPeople = TwoPeople.TestCase
TestTwoPeople.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
TestCircuits = Circuits.TestCase
TestCircuits.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)


@pytest.mark.slow
class TestTwoPeopleForLonger(TwoPeople.TestCase):
    """The same for as long as a morning."""

    settings = settings(max_examples=300, stateful_step_count=40, deadline=None)


@pytest.mark.slow
class TestCircuitsForLonger(Circuits.TestCase):
    """The same for as long as a morning."""

    settings = settings(max_examples=300, stateful_step_count=40, deadline=None)
