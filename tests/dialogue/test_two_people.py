"""Two people talking of one circuit at random, restarts in between, against a model that is simple to believe."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Method
from tests.dialogue.talk import A_BOX, Wall, wall_after

PEOPLE = st.sampled_from(["hanger", "partner"])


class Circuits(RuleBasedStateMachine):
    """One box, two people, and everything that can be said of its circuit."""

    def __init__(self) -> None:
        super().__init__()
        self.wall = Wall()
        self.wall.types("top 46", "bottom 46", "height 95", A_BOX, "yes")
        self.asked: dict[str, datetime] = {}
        self.dead_at: object = None

    @rule(who=PEOPLE)
    def dead(self, who: str) -> None:
        """Said: a question to the one who said it."""
        self.wall.types("box 1 dead and tested", who=who)
        self.asked[who] = self.wall.now

    @rule(who=PEOPLE, line=st.sampled_from(["yes", "yes yes yes", "I did", "yes I did", "yes, I tested it"]))
    def yes(self, who: str, line: str) -> None:
        """Only from the one who was asked; one that comes hours behind the question is asked for once more."""
        self.wall.types(line, who=who)
        if self.asked.get(who) == self.wall.now:
            self.dead_at = self.wall.now
            del self.asked[who]
        elif who in self.asked:
            self.asked[who] = self.wall.now

    @rule(who=PEOPLE, line=st.sampled_from(["box 1 is live", "all boxes are live", "live", "box 1 unknown"]))
    def live(self, who: str, line: str) -> None:
        """Revokes at once, questions too."""
        self.wall.types(line, who=who)
        self.dead_at = None
        self.asked.clear()

    @rule(who=PEOPLE)
    def undo(self, who: str) -> None:
        """Never makes it dead; may make it unknown."""
        before = self._dead()
        self.wall.types("undo", who=who)
        assert before or not self._dead()
        if not self._dead():
            self.dead_at = None
        self.asked.pop(who, None)

    @rule()
    def wait(self) -> None:
        """Three hours go by: two of them and it has expired."""
        self.wall.wait(3)

    @rule()
    def restart(self) -> None:
        """A new session knows of no dead circuit and of no question."""
        self.wall.restart()
        self.dead_at = None
        self.asked.clear()

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


BOARD = ("left board", "right wall", "t 46 7/8", "b 46 7/8", "l 96", "r 96")
BOX = "box 1 single gang center 30 from left 48 down"


@pytest.mark.parametrize("claim", ["box 1 dead and tested", "all boxes dead and tested"])
def test_nobody_tests_a_box_that_another_has_yet_to_go_on_from(claim: str) -> None:
    """Where it is isn't settled: it is told, and no yes makes a test of it that counts for nothing later."""
    wall = wall_after(*BOARD)
    wall.types(BOX, who="partner")
    assert "isn't settled: partner" in wall.types(claim)
    wall.types("yes")
    wall.types("yes", who="partner")
    assert not wall.session.state.circuits("1")
    wall.types(claim, "yes")
    assert wall.session.state.circuits("1")["box 1"].state.value == "dead"


@pytest.mark.parametrize("mend", ["no box 1 is 20 from left", "change box 1 to 20 from left"])
def test_a_box_that_moves_while_its_test_is_asked_about_isnt_tested(mend: str) -> None:
    """Whoever moves it, and whoever is asked: the yes was about another place, and that is told."""
    for mover, tester in (("hanger", "partner"), ("partner", "hanger")):
        wall = wall_after(*BOARD, BOX, "yes")
        wall.types("box 1 dead and tested", who=tester)
        told = wall.types(mend, who=mover) + wall.types("yes", who=tester) + wall.types("yes", who=mover)
        assert not [one for one in wall.session.state.circuits("1").values() if one.state.value == "dead"]
        assert any(each in told for each in ("canceled", "isn't settled", "not dead"))


def test_two_people_say_a_part_each_of_one_box() -> None:
    """What the first said of it isn't asked again."""
    wall = wall_after("box 2 single gang")
    wall.types("box 2 is 20 from left", "40 down", "center", who="partner")
    assert wall.value("box 2") == "single gang, center 20 from left, center 40 from top"


@pytest.mark.parametrize("mine", ["top 46", "left board", "box 2 single gang center 10 from left 20 down"])
def test_a_no_that_names_anothers_box_leaves_ones_own_alone(mine: str) -> None:
    """It mends that box, and puts nothing else in question."""
    wall = wall_after(*BOARD[2:], "yes")
    wall.types(mine)
    wall.types(BOX, who="partner")
    wall.types("no box 1 is 20 from left")
    assert not wall.asks
    assert "20 from left" in str(wall.value("box 1"))


def test_a_test_that_is_taken_back_is_said_to_be_taken_back_and_nothing_else() -> None:
    """The box hasn't moved: only where it did was the word said of another place."""
    wall = wall_after(*BOARD, BOX, "yes", "box 1 dead and tested", "yes")
    assert wall.types("undo") == "Undone on board 1: box 1: nobody has said that it is dead and tested."
    wall.types("box 1 dead and tested", "yes")
    assert "is elsewhere or in question now" in wall.types("change box 1 to 20 from left")


@pytest.mark.parametrize("hours", [0, 2, 6])
@pytest.mark.parametrize(("first", "second"), [("hanger", "partner"), ("partner", "hanger")])
def test_an_undo_of_ones_own_test_leaves_the_others_question(first: str, second: str, hours: int) -> None:
    """The box is where it was, and what the other one tested is theirs to say."""
    wall = wall_after(*BOARD, BOX, "yes")
    for line in ("box 1 dead and tested", "yes"):
        wall.types(line, who=first)
    wall.wait(hours)
    wall.types("box 1 dead and tested", who=second)
    wall.types("undo", who=first)
    assert not [one for one in wall.session.state.circuits("1").values() if one.state.value == "dead"]
    assert "dead and tested, says" in wall.types("yes", who=second)
    assert wall.session.state.circuits("1")["box 1"].by == second


@pytest.mark.parametrize("figure", ["forty two", "fifty two"])
@pytest.mark.parametrize("spoken", [False, True])
def test_the_others_answer_is_no_reading_of_their_own(figure: str, *, spoken: bool) -> None:
    """One of the figures that somebody was just asked to choose from, said by the other one: nobody measured it
    elsewhere; with a place it is theirs.
    """
    wall = Wall()
    wall.speaks("top forty two", "top fifty two")
    wall.says(f"P:{'~' if spoken else ''}{figure}")
    assert [call.fact for call in wall.session.state.known("1").values()] == []
    assert "Hanger is asked" in " ".join(say.text for say in wall.said)
    wall.types("bottom 42", who="partner")
    assert wall.value("width, bottom") == "42"


@pytest.mark.parametrize("line", ["I did", "I tested it", "I didn't", "I did not"])
def test_who_did_something_answers_no_other_question(line: str) -> None:
    """Whether a value is right stays open for a yes, and what is asked of nobody isn't answered."""
    wall = wall_after("board left", "top 46", "top 64")
    assert wall.asks
    asked = wall.types(line)
    assert wall.asks
    assert "64" in asked
    assert wall.types("yes") == "Width, top: 64."
    quiet = wall_after("board left", "top 46")
    assert quiet.types(line).startswith("Nothing is waiting for an answer.")
    assert quiet.value("width, top") == wall_after("board left", "top 46").value("width, top")


@pytest.mark.parametrize("line", ["I didn't", "no I didn't", "I did not", "I haven't", "I did, no wait, it's hot"])
def test_who_did_not_test_says_no(line: str) -> None:
    """To the question whether the box was tested dead, in whatever words."""
    wall = wall_after("top 46", "bottom 46", "height 95", A_BOX, "box 1 dead and tested")
    wall.types(line)
    assert all(word.state is not Circuit.DEAD for word in wall.session.state.circuits("1").values())
    wall.types("yes")
    assert all(word.state is not Circuit.DEAD for word in wall.session.state.circuits("1").values())


@pytest.mark.parametrize("between", ["top 42 1/8", "notch 4 by 6 top right", "room kitchen", "right gap 1/4"])
@pytest.mark.parametrize("asked", ["lying", "top 44", "left 95", "box 1 single gang center 41 1/2 from left 14 up"])
def test_an_undo_of_one_leaves_the_questions_of_the_other_theirs(asked: str, between: str) -> None:
    """Whatever is odd still was asked of them, and is theirs to say yes to."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", asked)
    before = {doubt.call for doubt in wall.session.state.open["hanger"].doubts}
    assert before
    wall.types(between, "undo", who="partner")
    theirs = wall.session.state.open.get("partner")
    assert not theirs or not before & {doubt.call for doubt in theirs.doubts}, wall.said
    assert before <= {doubt.call for doubt in wall.session.state.open["hanger"].doubts}


BEGUN = {
    "box center 20 from left 40 down": ("single gang",),
    "single gang center 20 from left": ("40 down", "center"),
    "outlet 20 from left 40 down": ("center",),
    "light center 20 from left center 40 down": ("6",),
    "duct center 20 from left center 40 down": ("8 by 10",),
}
"""What the hanger begins, and what completes it."""
CALLED = {
    "box": (
        ("box one single gang center 10 from left 70 down",),
        ("box one center 10 from left 70 down", "single gang"),
    ),
    "light": (("light one 6 inches center 10 from left center 70 down",),),
    "duct": (("duct one center 10 from left center 70 down", "8 by 10"),),
}
"""What the partner calls under the name that the program gave it, elsewhere."""


@pytest.mark.parametrize("first", ["hanger", "partner"])
@pytest.mark.parametrize("later", [False, True])
@pytest.mark.parametrize(("begun", "rest"), BEGUN.items())
def test_a_name_taken_by_the_partner_loses_nothing(begun: str, rest: tuple[str, ...], later: bool, first: str) -> None:
    """What the hanger began has the next name and waits for its part, whether it is asked for or was put off."""
    kind = begun.split()[0] if begun.split()[0] in {"light", "duct"} else "box"
    for calls in CALLED[kind]:
        wall = wall_after(*BOARD, begun, *(["top 46 3/4"] if later else []))
        told = [wall.types(call, who="partner") for call in calls[:1]]
        assert f"{kind.capitalize()} 2 waits for its missing part" in told[0], told
        if first == "partner":
            wall.types(*calls[1:], "yes", who="partner")
        wall.types("done")
        for part in rest:
            wall.types(part)
        if first == "hanger":
            wall.types(*calls[1:], "yes", who="partner")
        things = {told.label: told.value for told in wall.readings if told.label.startswith(kind)}
        assert set(things) == {f"{kind} 1", f"{kind} 2"}, wall.said
        assert "center 10 from left, center 70 from top" in things[f"{kind} 1"]
        assert "center 20 from left, center 40 from top" in things[f"{kind} 2"]
