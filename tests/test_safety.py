"""No tool goes into a box that nobody has said is dead and tested, whatever anybody tries."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

import pytest

from fieldvoice import safety
from fieldvoice.cutting.solving import solve
from fieldvoice.dialogue.codec import TURN, body_of
from fieldvoice.dialogue.events import Asked, DeadSaid
from fieldvoice.dialogue.looking import with_cautions
from fieldvoice.errors import HeldBack
from fieldvoice.journal.journal import Journal
from fieldvoice.records.board import Board, CircuitWord, Surface
from fieldvoice.records.ledger import Concern, Doubt
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Circuit,
    Coordinate,
    Dimension,
    Edge,
    Point,
    Reading,
    Slot,
)
from fieldvoice.records.plan import CutPlan, Does, Method, Step, Tool, Where
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.wording import cautions
from fieldvoice.wording.forms import clock
from tests.dialogue.talk import A_BOARD, A_BOX, MORNING, Wall, wall_after

DEAD = CircuitWord(Circuit.DEAD, "hanger", MORNING)
LIVE = CircuitWord(Circuit.LIVE, "hanger", MORNING)


def board_with_a_box(state: Circuit) -> Board:
    """A board with one box whose own record says that of its circuit."""
    return Board(
        "1",
        widths=tuple(Reading(Length(46), Dimension.WIDTH, at) for at in (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)),
        heights=(Reading(Length(95), Dimension.HEIGHT, Slot.LEFT),),
        boxes=(
            Box(
                BoxKind.SINGLE,
                Coordinate(Point.CENTER, Length(30), Edge.LEFT),
                Coordinate(Point.CENTER, Length(48), Edge.TOP),
                "box 1",
            ),
        ),
        circuits={"box 1": state},
    )


def _told(plan: CutPlan, circuits: Mapping[str, CircuitWord]) -> tuple[str, ...]:
    """What a plan's cautions say."""
    return tuple(map(cautions.said, safety.cautions(plan, circuits, MORNING)))


def routed() -> CutPlan:
    """A plan that routs the box, as the cutting room makes it for a board whose record says dead."""
    plan = solve(board_with_a_box(Circuit.DEAD))
    assert plan.openings[0].method is Method.ROUT
    return plan


def wall_with_a_box() -> Wall:
    """A finished board with a box, its circuit unknown."""
    return wall_after(*A_BOARD, A_BOX, "yes")


def method(wall: Wall) -> Method:
    """How the plan on the screen makes the box's hole."""
    plan = wall.view.plan
    assert plan is not None
    return plan.openings[0].method


class TestGate:
    """The check by itself, on plans that are wrong."""

    def test_a_plan_that_routs_is_held_back(self) -> None:
        """With nobody's word, whatever the plan itself carries."""
        with pytest.raises(HeldBack) as held:
            safety.gate(routed(), {}, MORNING)
        assert str(held.value) == (
            "The plan is held back: it would put a tool into box 1, and nobody has said that box 1 is dead and tested. "
            "Don't cut there. Have the circuit shut off and tested, then say: box 1 dead and tested."
        )

    def test_the_word_lets_it_through(self) -> None:
        """Dead and tested, said now."""
        plan = routed()
        assert safety.gate(plan, {"box 1": DEAD}, MORNING) is plan

    @pytest.mark.parametrize("word", [LIVE, replace(LIVE, state=Circuit.UNKNOWN)])
    def test_another_word_does_not(self, word: CircuitWord) -> None:
        """Live and unknown hold it back."""
        with pytest.raises(HeldBack):
            safety.gate(routed(), {"box 1": word}, MORNING)

    def test_the_word_about_another_box_does_not(self) -> None:
        """Box 2 says nothing of box 1."""
        with pytest.raises(HeldBack):
            safety.gate(routed(), {"box 2": DEAD}, MORNING)

    def test_the_word_expires(self) -> None:
        """After the stated time, and where the clock was set back."""
        plan = routed()
        safety.gate(plan, {"box 1": DEAD}, MORNING + safety.DEAD_LASTS)
        for now in (MORNING + safety.DEAD_LASTS + timedelta(seconds=1), MORNING - timedelta(seconds=1)):
            with pytest.raises(HeldBack):
                safety.gate(plan, {"box 1": DEAD}, now)

    @pytest.mark.parametrize("way", [Method.ROUT, Method.SAW, Method.IN_PLACE])
    def test_only_by_hand_beforehand(self, way: Method) -> None:
        """Every other way puts something into the box."""
        plan = solve(board_with_a_box(Circuit.UNKNOWN))
        changed = replace(plan, openings=(replace(plan.openings[0], method=way),))
        with pytest.raises(HeldBack):
            safety.gate(changed, {}, MORNING)

    @pytest.mark.parametrize(
        "step",
        [
            Step(Does.MAKE_OPENING, opening="box 1", tool=Tool.ROUTER),
            Step(Does.MAKE_OPENING, opening="box 1", tool=Tool.KNIFE, where=Where.WALL),
            Step(Does.MAKE_OPENING, tool=Tool.ROUTER),
            Step(Does.MAKE_OPENING, opening="window 1", tool=Tool.SAW, where=Where.WALL, near=("box 1",)),
            Step(Does.CUT, Edge.RIGHT, tool=Tool.SAW, where=Where.WALL),
        ],
    )
    def test_a_step_that_slipped_in_is_found(self, step: Step) -> None:
        """The method says by hand, but a step puts a tool in, or comes near with one on the wall."""
        plan = solve(board_with_a_box(Circuit.UNKNOWN))
        safety.gate(plan, {}, MORNING)
        with pytest.raises(HeldBack):
            safety.gate(replace(plan, steps=(*plan.steps, step)), {}, MORNING)


class TestSaying:
    """How a circuit comes to count as dead and tested, and how it stops."""

    def test_unknown_at_first(self) -> None:
        """Nobody said anything: by hand, beforehand."""
        assert method(wall_with_a_box()) is Method.BEFOREHAND

    def test_read_back_as_a_question_that_needs_yes(self) -> None:
        """The words alone don't open the gate."""
        wall = wall_with_a_box()
        assert wall.types("box 1 dead and tested") == (
            "Box 1: did you test it dead yourself, with a tester proved on a live source before and after? Only a yes "
            "counts."
        )
        assert wall.asks
        assert method(wall) is Method.BEFOREHAND
        assert wall.types("yes") == f"Box 1: dead and tested, says hanger at {clock(MORNING)}."
        assert method(wall) is Method.ROUT

    @pytest.mark.parametrize("line", ["no", "box 1 dead and tested", "done", "top 46 7/8", "undo", "hold"])
    def test_nothing_but_yes_counts(self, line: str) -> None:
        """Silence, a repeat, or going on doesn't."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", line)
        assert method(wall) is Method.BEFOREHAND

    def test_dead_alone_is_not_enough(self) -> None:
        """Dead needs its second word."""
        wall = wall_with_a_box()
        wall.types("box 1 dead", "yes")
        assert method(wall) is Method.BEFOREHAND

    def test_nobody_says_yes_for_another(self) -> None:
        """The partner didn't test it."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", who="hanger")
        assert wall.types("yes", who="partner") == (
            "Only the person who tested can say yes to that, so box 1 stays as it was."
        )
        assert method(wall) is Method.BEFOREHAND

    def test_a_box_that_is_not_there(self) -> None:
        """No word is kept for a box to come."""
        wall = wall_with_a_box()
        assert "There is no box 7" in wall.types("box 7 dead and tested")
        wall.types("yes", "box 7 single gang center 12 from left, 48 down", "yes")
        assert wall.session.state.circuits("1") == {}

    def test_word_of_another_box_leaves_this_one(self) -> None:
        """It revokes for the boxes named."""
        wall = wall_with_a_box()
        wall.types("single gang center 12 from left, 48 down", "yes", "all boxes dead and tested", "yes")
        wall.speaks("box two is live")
        plan = wall.view.plan
        assert plan is not None
        assert [opening.method for opening in plan.openings] == [Method.ROUT, Method.BEFOREHAND]

    @pytest.mark.parametrize("word", ["box 1 and box 2 are live", "box 7 is live", "all boxes live", "live"])
    def test_live_of_no_box_that_is_known_revokes_all(self, word: str) -> None:
        """Typed or spoken, understood or not."""
        wall = wall_with_a_box()
        wall.types("single gang center 12 from left, 48 down", "yes", "all boxes dead and tested", "yes")
        assert method(wall) is Method.ROUT
        wall.speaks(word)
        assert not any(word.state is Circuit.DEAD for word in wall.session.state.circuits("1").values())
        assert method(wall) is Method.BEFOREHAND

    def test_live_counts_while_a_question_is_open_and_while_holding(self) -> None:
        """Danger waits for nothing."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes", "hold")
        wall.speaks("box one is live")
        assert method(wall) is Method.BEFOREHAND
        wall.types("resume", "box 1 dead and tested")
        wall.types("box 1 is live", who="partner")
        wall.types("yes")
        assert method(wall) is Method.BEFOREHAND

    def test_a_runner_up_that_says_live_revokes(self) -> None:
        """If it may have been "live", it is taken for live."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes")
        wall.speaks("what's missing", "box one is live")
        assert method(wall) is Method.BEFOREHAND

    def test_undo_never_makes_it_dead(self) -> None:
        """Taking back "live", or the box, leaves the circuit unknown."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes", "box 1 is live", "undo", "undo", "undo")
        wall.types(A_BOX, "yes")
        assert not any(word.state is Circuit.DEAD for word in wall.session.state.circuits("1").values())

    def test_a_scratched_box_comes_back_unknown(self) -> None:
        """And so does one that was moved: it may be another box."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes", "scratch box 1", "undo")
        assert method(wall) is Method.BEFOREHAND
        wall.types("box 1 dead and tested", "yes")
        assert method(wall) is Method.ROUT
        wall.types("change box 1 to single gang center 31 from left, 48 down", "yes")
        assert method(wall) is Method.BEFOREHAND

    def test_it_expires_with_time_and_with_the_session(self) -> None:
        """After four hours, and on resume, it is unknown again; what was measured stays."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes")
        wall.wait(4.1)
        assert method(wall) is Method.BEFOREHAND
        wall.types("box 1 dead and tested", "yes")
        assert method(wall) is Method.ROUT
        wall.restart()
        assert method(wall) is Method.BEFOREHAND
        assert wall.value("width, top") == "46 7/8"

    @pytest.mark.parametrize("between", [(), ("bottom 20",)])
    @pytest.mark.parametrize("who", ["hanger", "partner"])
    @pytest.mark.parametrize("minutes", [1, 4, 6, 300, 24 * 60])
    def test_a_yes_that_comes_late_is_asked_for_once_more(
        self, minutes: int, who: str, between: tuple[str, ...]
    ) -> None:
        """It counts from when it is said, and the test was before the question."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", who=who)
        wall.wait(minutes / 60)
        wall.types(*between, who=who)
        wall.types("yes", who=who)
        assert (method(wall) is Method.ROUT) == (0 < minutes < 5)
        wall.types("yes", who=who)
        assert method(wall) is Method.ROUT

    def test_a_question_left_open_does_not_outlive_the_session(self) -> None:
        """A yes after the restart is a yes to nothing."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested")
        wall.restart()
        wall.types("yes")
        assert method(wall) is Method.BEFOREHAND

    def test_a_new_board_starts_unknown(self) -> None:
        """The word is about one board's boxes."""
        wall = wall_with_a_box()
        wall.types("box 1 dead and tested", "yes", "next board", *A_BOARD, A_BOX, "yes")
        assert method(wall) is Method.BEFOREHAND


class TestTrying:
    """No file, journal or variable opens the gate."""

    def test_an_imported_journal_does_not(self) -> None:
        """Entries that say dead, of now and of the future, count for nothing in a new session."""
        for ahead in (0, 24):
            wall = wall_with_a_box()
            forged = body_of((DeadSaid("1", ("box 1",)),))
            wall.journal.append(TURN, "hanger", forged, MORNING + timedelta(hours=ahead))
            wall.restart()
            assert method(wall) is Method.BEFOREHAND
            wall.wait(ahead)
            assert method(wall) is Method.BEFOREHAND

    def test_a_question_struck_out_of_the_journal_is_not_answered_by_the_next_word(self) -> None:
        """A forged question is gone with the session that never put it."""
        wall = wall_with_a_box()
        forged = body_of((Asked("1", Doubt(Concern.TESTED, boxes=("box 1",))),))
        wall.journal.append(TURN, "hanger", forged, MORNING)
        wall.restart()
        wall.types("yes", "done")
        assert method(wall) is Method.BEFOREHAND

    def test_no_environment_variable_does(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """Nothing here reads the environment: every name that it might look for is set."""
        for name in list(os.environ) + [f"FIELDVOICE_{word}" for word in ("SAFETY", "FORCE", "GATE", "SKIP", "UNSAFE")]:
            monkeypatch.setenv(name, "off")
        assert method(wall_with_a_box()) is Method.BEFOREHAND

    def test_a_cutting_room_that_routs_anyway_is_held_back(self) -> None:
        """Even where the solver itself goes wrong, the screen gets no plan, and why."""
        wall = wall_with_a_box()
        wall.rooms = replace(wall.rooms, solve=lambda _: routed())
        wall.restart()
        assert wall.view.plan is None
        assert wall.view.plan_trouble == Hindrance(Hinders.HELD_BACK, box="box 1")

    def test_the_journal_on_disk_does_not(self, tmp_path: object) -> None:
        """The same through a file."""
        with Journal.open(f"{tmp_path}/job.fieldvoice") as journal:
            wall = Wall(journal)
            wall.types(*A_BOARD, A_BOX, "yes", "box 1 dead and tested", "yes")
            assert method(wall) is Method.ROUT
            wall.restart()
            assert method(wall) is Method.BEFOREHAND


class TestCautions:
    """Short, where the step is, spoken first."""

    def test_an_unknown_box_is_told_at_its_steps_and_first(self) -> None:
        """Shut off, locked or tagged, tested with a proved tester; the electrician decides."""
        wall = wall_with_a_box()
        view = wall.view
        assert view.plan is not None
        first, second = map(cautions.said, view.cautions[:2])
        assert first.startswith("Box 1: nobody has said that it is dead and tested, so no tool goes into it.")
        for word in ("shut off", "locked or tagged", "tested", "before and after", "Local code", "electrician"):
            assert word.lower() in second.lower()
        steps = [step for step in view.plan.steps if step.opening == "box 1"]
        assert steps
        assert all("no tool goes into it" in (cautions.at_step(step) or "") for step in steps)

    def test_a_dead_box_repeats_who_said_so_and_when(self) -> None:
        """The words are quoted, never stated."""
        assert cautions.said(safety.at_box("box 1", DEAD)) == (
            f"Box 1: “dead and tested” are the words of hanger at {clock(MORNING)}, and count until "
            f"{clock(MORNING + safety.DEAD_LASTS)}; test again before a tool goes into it."
        )

    def test_a_live_box_repeats_who_said_so(self) -> None:
        """Live, said by whom."""
        assert cautions.said(safety.at_box("box 1", LIVE)).startswith(
            f"Box 1: live, said hanger at {clock(MORNING)}, so no tool goes into it."
        )

    @pytest.mark.parametrize("word", [DEAD, LIVE, None])
    def test_no_sentence_is_said_twice(self, word: CircuitWord | None) -> None:
        """Two boxes: each is named once at the top, the rest once for both, and the steps add only their own."""
        board = board_with_a_box(Circuit.DEAD if word is DEAD else Circuit.UNKNOWN)
        other = replace(board.boxes[0], name="box 2", x=Coordinate(Point.CENTER, Length(12), Edge.LEFT))
        circuits = {} if word is None else {"box 1": word, "box 2": word}
        plan = with_cautions(solve(replace(board, boxes=(*board.boxes, other))), circuits, MORNING)
        shown = cautions.every(safety.cautions(plan, circuits, MORNING), plan.steps)
        sentences = [sentence for caution in shown for sentence in caution.rstrip(".").split(". ")]
        assert len(sentences) == len(set(sentences))
        assert sum("box 1" in caution.lower() for caution in shown) == 1
        assert all(
            plain.endswith("decide.") for plain in map(cautions.said, safety.at_boxes(plan, circuits, MORNING)[-1:])
        )

    def test_a_box_is_told_from_one_whose_name_begins_alike(self) -> None:
        """Box 10 may be routed while box 1 is closed, and not the other way round."""
        step = Step(Does.MAKE_OPENING, opening="box 10", tool=Tool.ROUTER)
        assert safety._held_box(step, {"box 1"}) is None
        assert safety._held_box(step, {"box 10"}) == "box 10"
        assert safety._held_box(replace(step, opening="hole"), {"box 10"}) is None
        assert safety._held_box(replace(step, opening="hole", near=("box 10",)), {"box 10"}) == "box 10"

    def test_safety_is_spoken_first(self) -> None:
        """Before anything else that the same turn says."""
        wall = wall_with_a_box()
        wall.types("done")
        said = wall.said
        assert said[0].safety
        assert [say.safety for say in said] == sorted((say.safety for say in said), reverse=True)

    def test_what_the_plan_asks_for(self) -> None:
        """Overhead on a ceiling; dust where a router runs; a lift where the sheet is heavy."""
        plan = routed()
        plain = _told(plan, {"box 1": DEAD})
        assert cautions.DUST in plain
        assert cautions.HIGH not in plain
        ceiling = replace(plan, board=replace(plan.board, surface=Surface.CEILING))
        assert cautions.HIGH in _told(ceiling, {"box 1": DEAD})
        by_hand = _told(solve(board_with_a_box(Circuit.UNKNOWN)), {})
        assert cautions.DUST not in by_hand
        assert {cautions.BEHIND, cautions.KNIFE, cautions.OLD_WALL} <= set(by_hand)

    def test_the_weight_of_a_sheet(self) -> None:
        """A half-inch 4 by 8 at up to 1.78 lb a square foot is 57 lb, more than the lifting equation gives to one."""
        plan = replace(routed(), sheet=replace(routed().sheet, width=Length(48), length=Length(96)))
        assert any("The sheet weighs up to 57 lb" in caution for caution in _told(plan, {}))

    def test_a_light_board_is_one_persons(self) -> None:
        """A quarter-inch 4 by 8 is 38.4 lb: nothing is said of it."""
        plan = routed()
        thin = replace(plan, board=replace(plan.board, thickness=Length("1/4")))
        assert not any("weighs" in caution for caution in _told(thin, {}))


def test_dead_was_not_said_of_a_box_that_is_only_read_back_otherwise() -> None:
    """Box one was tested where it was. From the moment that it is called elsewhere no tool goes in, settled or not."""
    wall = wall_with_a_box()
    wall.types("box 1 dead and tested", "yes")
    assert method(wall) is Method.ROUT
    wall.types("change box 1 to double gang center 20 from left 60 down")
    assert method(wall) is Method.BEFOREHAND
    wall.types("yes")
    assert method(wall) is Method.BEFOREHAND


def test_the_question_whether_it_is_dead_falls_with_the_box_it_was_about() -> None:
    """The partner calls box one elsewhere while the hanger is asked about it: a later yes is about no box."""
    wall = wall_with_a_box()
    wall.types("box 1 dead and tested")
    wall.types("change box 1 to double gang center 20 from left 60 down", "yes", who="partner")
    assert "Nothing is waiting" in wall.types("yes")
    assert method(wall) is Method.BEFOREHAND


def test_what_must_be_heeded_at_an_open_box_is_said_once() -> None:
    """On a small screen the same warning in two wordings pushed the steps out: the step has the box's own caution."""
    view = wall_with_a_box().view
    assert view.plan is not None
    told = {cautions.at_step(step) for step in view.plan.steps if step.opening == "box 1"}
    assert told == {cautions.said(view.cautions[0])}


def test_dead_and_tested_behind_a_yes_is_not_taken_and_that_is_said() -> None:
    """The yes is about what was read back; what was said of the circuit has to come by itself."""
    wall = wall_after(*A_BOARD, A_BOX)
    assert "isn't taken: say it by itself" in wall.types("yes and box 1 dead and tested")
    assert method(wall) is Method.BEFOREHAND
