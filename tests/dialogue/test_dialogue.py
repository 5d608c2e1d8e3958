"""Every move of the dialogue, as the two people at the wall make it."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.rooms import rooms
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Reading, Slot
from fieldvoice.records.plan import Code
from tests.cutting.rooms import notes
from tests.dialogue.talk import A_BOARD, A_BOX, Wall, unsure, wall_after, with_rival


class TestCalling:
    """Readings come in, go to their places, and are taken when nobody objects."""

    def test_a_reading_is_read_back_with_its_place_first(self) -> None:
        """Forty two and a sixteenth is answered with place and figures, and spoken digit by digit."""
        wall = Wall()
        wall.speaks("top forty two and a sixteenth")
        (say,) = wall.said
        assert say.text == "Width, top: 42 1/16."
        assert say.spoken == "top four two and one sixteenth."

    def test_a_reading_is_taken_when_the_next_utterance_does_not_object(self) -> None:
        """What was read back stands as read back until its speaker goes on."""
        wall = wall_after("top 46 7/8")
        assert wall.standing("width, top") == "read back"
        wall.types("middle 46 3/4")
        assert wall.standing("width, top") == "accepted"
        assert wall.standing("width, middle") == "read back"

    def test_bare_values_go_to_the_next_missing_place(self) -> None:
        """Three widths called in a row land at top, middle and bottom, then the heights begin."""
        wall = Wall()
        assert wall.types("46 7/8") == "Width, top: 46 7/8."
        assert wall.types("46 3/4") == "Width, middle: 46 3/4."
        assert wall.types("46 1/4") == "Width, bottom: 46 1/4."
        assert wall.types("95 1/2").startswith("Height, left: 95 1/2.")
        assert wall.types("95 3/8") == "Height, right: 95 3/8."

    def test_middle_is_of_what_was_last_spoken_of(self) -> None:
        """After a height, "middle" is the height's."""
        wall = wall_after("left 95 1/2")
        assert wall.types("middle 95 3/8") == "Height, middle: 95 3/8."
        wall.types("top 46")
        assert wall.types("middle 46").startswith("Width, middle: 46.")

    def test_middle_out_of_the_blue_is_asked_about(self) -> None:
        """With nothing spoken of, nobody knows which middle."""
        wall = Wall()
        assert wall.types("middle 46") == ("Width, middle 46, or height, middle 46? Say which.")
        assert wall.asks
        assert wall.view.readings == ()

    def test_a_bare_value_behind_the_ends_is_not_guessed_at(self) -> None:
        """When both ends have their readings, the place must be said; each place where it may be is offered."""
        wall = wall_after("46", "46 1/16", "46", "95", "95 1/16")
        assert "46 1/8 in: where? width, top, width, middle, or width, bottom?" in wall.types("46 1/8")
        assert (
            wall_after("46", "46 1/16", "46", "95", "95 1/16")
            .types("94 1/2")
            .startswith("94 1/2 in: where? height, left,")
        )

    def test_yes_takes_what_was_read_back(self) -> None:
        """Yes settles at once."""
        wall = wall_after("top 46 7/8")
        assert wall.types("yes") == "Taken."
        assert wall.standing("width, top") == "accepted"

    def test_yes_to_nothing_changes_nothing(self) -> None:
        """Nothing is open, and that is said."""
        wall = Wall()
        assert "Nothing is waiting" in wall.types("yes")

    def test_context_is_read_back_too(self) -> None:
        """A neighbor is a fact like any other."""
        wall = Wall()
        assert wall.types("left edge is a wall") == "Left edge: wall."
        assert wall.types("give it a quarter") == "Clearance, left: 1/4 in."
        wall.types("yes")
        assert wall.settings == {"left edge": "wall", "clearance, left": "1/4 in"}

    def test_the_plan_is_marked_so_far_until_the_last_value_is_settled(self) -> None:
        """The marks appear as a draft and become final with the last yes."""
        wall = wall_after(*A_BOARD)
        assert wall.view.plan is not None
        assert wall.view.draft
        wall.types("yes")
        assert not wall.view.draft

    def test_boxes_are_numbered(self) -> None:
        """The first box is box 1, the next box 2."""
        wall = wall_after("top 46", A_BOX, "single gang center 12 from left, 48 down", "yes")
        assert wall.value("box 2") == "single gang, center 12 from left, center 48 from top"


class TestMending:
    """Objecting works the way people do it, in one turn."""

    @pytest.mark.parametrize(
        "line", ["no, 43 1/2", "no 43 1/2", "top 43 1/2", "no, top 43 1/2", "change top to 43 1/2"]
    )
    def test_the_right_value_in_one_turn(self, line: str) -> None:
        """However it is said, the right value takes the place of the wrong one."""
        wall = wall_after("top 42 1/2", line, "yes")
        assert wall.value("width, top") == "43 1/2"

    @pytest.mark.parametrize("word", ["no", "wrong", "that's wrong", "nope"])
    def test_a_plain_no_then_the_value_alone(self, word: str) -> None:
        """After "no" the value is out, and the next bare value goes to the same place."""
        wall = wall_after("bottom 42 1/2")
        assert wall.types(word) == "Not taken: width, bottom. What is it?"
        assert wall.value("width, bottom") is None
        assert wall.types("43 1/2") == "Width, bottom: 43 1/2."

    def test_no_with_another_place(self) -> None:
        """Saying "no, bottom" moves the value from where it was put."""
        wall = wall_after("top 43 1/2", "no, bottom 43 1/2", "yes")
        assert wall.value("width, top") is None
        assert wall.value("width, bottom") == "43 1/2"

    def test_undo_before_and_after_taking(self) -> None:
        """Undo takes back what was just read back; then what was taken before."""
        wall = wall_after("top 46", "middle 46 1/8")
        assert wall.types("undo") == "Undone on board 1: width, middle, 46 1/8, is out."
        assert wall.types("undo") == "Undone on board 1: width, top, 46, is out."
        assert wall.types("undo") == "You have nothing to undo."

    def test_undo_puts_the_old_value_back(self) -> None:
        """What stood before a change stands again."""
        wall = wall_after("top 46", "yes", "change top to 47", "yes")
        assert wall.types("undo") == "Undone on board 1: width, top is 46 again."
        assert wall.value("width, top") == "46"

    def test_change_an_earlier_place(self) -> None:
        """The old value is named beside the new one."""
        wall = wall_after(*A_BOARD)
        assert wall.types("change the bottom to 46 3/8") == "Width, bottom: 46 3/8, instead of 46 1/4."

    def test_change_without_a_place_is_the_last_one(self) -> None:
        """Saying "change it to" means what was last spoken of."""
        wall = wall_after("top 46", "yes", "change it to 46 1/8", "yes")
        assert wall.value("width, top") == "46 1/8"

    def test_scratch(self) -> None:
        """A box or a place is taken out by name; what isn't there is refused."""
        wall = wall_after("top 46", A_BOX, "yes")
        assert wall.types("scratch box 1") == "Taken out: box 1."
        assert wall.value("box 1") is None
        assert "isn't on this board" in wall.types("scratch box 1")
        assert wall.refuses
        assert wall.types("scratch the top") == "Taken out: width, top."

    def test_a_box_is_mended_under_its_name(self) -> None:
        """A box said again after no stays the same box."""
        wall = wall_after("top 46", A_BOX, "no, single gang center 31 from left, 48 down", "yes")
        assert wall.value("box 1") == "single gang, center 31 from left, center 48 from top"
        assert wall.value("box 2") is None

    def test_a_box_that_is_not_there_can_not_be_changed(self) -> None:
        """No box is made up by changing it."""
        wall = Wall()
        answer = wall.types("change box 3 to single gang center 31 from left, 48 down")
        assert answer == "There is no box 3 on this board, so nothing was changed."


class TestDoubt:
    """Each reason to doubt has its own question, and silence is never a yes."""

    def test_a_teen_is_asked_about(self) -> None:
        """Thirteen or thirty: digit by digit, against its twin."""
        wall = Wall()
        wall.speaks("top thirteen")
        (say,) = wall.said
        assert say.text == "Width, top: 13, not 30: yes?"
        assert say.spoken == "top: one three, not three zero: yes?"
        assert wall.standing("width, top") == "doubtful"

    @pytest.mark.parametrize("next_line", ["middle 46", "done", "next board", "tick 1", "left edge is a wall"])
    def test_silence_is_never_a_yes(self, next_line: str) -> None:
        """Going on doesn't take a doubted value, and nothing goes past the question."""
        wall = Wall()
        wall.speaks("top thirteen")
        assert wall.types(next_line).startswith("Not taken yet, answer first: Width, top: 13, not 30: yes?")
        assert wall.standing("width, top") == "doubtful"
        assert wall.view.board == "1"

    def test_yes_confirms_and_the_mark_stays(self) -> None:
        """A value confirmed against doubt is marked as confirmed, also after a restart."""
        wall = Wall()
        wall.speaks("top thirteen")
        assert wall.speaks("yes") == "Width, top: 13."
        assert wall.standing("width, top") == "confirmed"
        wall.restart()
        assert wall.standing("width, top") == "confirmed"

    def test_the_same_again_confirms(self) -> None:
        """A repeat is as good as yes."""
        wall = Wall()
        wall.speaks("top thirteen")
        wall.speaks("thirteen")
        assert wall.standing("width, top") == "confirmed"

    def test_the_other_one_replaces(self) -> None:
        """The twin alone is the answer, and isn't asked about again."""
        wall = Wall()
        wall.speaks("top thirteen")
        assert wall.speaks("thirty") == "Width, top: 30, instead of 13."
        assert wall.value("width, top") == "30"

    def test_a_twin_after_a_sure_read_back_is_a_repair(self) -> None:
        """Typed 13 read back, "thirty" said: that isn't the next place's reading."""
        wall = wall_after("top 13")
        wall.speaks("thirty")
        assert wall.value("width, top") == "30"
        assert wall.value("width, middle") is None

    def test_fellow_readings_rule_a_twin_out(self) -> None:
        """Beside 49 1/2, fifty is no fifteen."""
        wall = wall_after("top 49 1/2")
        assert wall.speaks("middle fifty") == "Width, middle: 50."

    def test_typed_teens_are_what_was_meant(self) -> None:
        """Nobody mishears a keyboard."""
        wall = Wall()
        assert wall.types("top 13") == "Width, top: 13."

    def test_close_scores_are_asked_about(self) -> None:
        """Two meanings close in score: both are named, and the right one settles it."""
        wall = Wall(its_rooms=with_rival(Reading(Length("47 1/8"), Dimension.WIDTH, Slot.TOP))(rooms()))
        assert wall.speaks("top forty seven and a half") == "Width, top: 47 1/2, or 47 1/8? Say which."
        assert wall.asks

    def test_close_scores_of_one_ear_are_asked_about(self) -> None:
        """The runner-up has nearly as much: no vote is taken between them."""
        wall = Wall()
        answer = wall.speaks("top forty seven and a half", "top forty seven and an eighth")
        assert answer == "Width, top: 47 1/2, or 47 1/8? Say which."
        wall.speaks("top forty seven and an eighth")
        assert wall.value("width, top") == "47 1/8"

    def test_a_box_off_the_board_is_asked_about_and_spoken_in_words(self) -> None:
        """The voice says lengths digit by digit, and a box by its name."""
        wall = wall_after(*A_BOARD, "single gang center 64 from left, 48 down")
        (say,) = wall.said
        assert say.text == "Is box 1 on this board? I have 64 in from the left. That is beyond its edge."
        assert say.spoken == "Is box one on this board? I have six four inches from the left."

    def test_a_height_unlike_the_walls_other_boards_is_asked_about(self) -> None:
        """The first height of a board is held against the board before it; a yes is remembered, a room is not."""
        wall = wall_after("room kitchen", *A_BOARD, "next board")
        answer = wall.types("left 85 1/2")
        assert answer == "Height, left: 85 1/2, 10 in less than 95 1/2 on another board of this wall: is that right?"
        wall.types("yes", "next board")
        for line in ("left 85 3/8", "next board", "left 95", "next board", "room bedroom", "left 60"):
            wall.types(line)
            assert not wall.asks, line

    def test_a_height_taller_than_the_others_is_asked_about(self) -> None:
        """Eighty-five beside ninety-five is more likely misheard than meant."""
        wall = Wall()
        answer = wall.types("left 95 1/2", "middle height 95 1/4", "right 85 1/2")
        assert answer == "Height, right: 85 1/2, 9 3/4 in less than 95 1/4: is that right?"
        assert wall.asks
        assert wall.standing("height, right") == "doubtful"

    def test_an_ear_of_its_own_doubt(self) -> None:
        """A recognizer that isn't sure is asked after."""
        wall = Wall(its_rooms=unsure(rooms()))
        assert wall.speaks("top forty seven and a half") == "Width, top: 47 1/2: is that right?"

    def test_a_doubtful_yes_is_no_yes(self) -> None:
        """Short words are misheard most: an unsure yes confirms nothing."""
        wall = Wall(its_rooms=unsure(rooms()))
        wall.speaks("top forty seven")
        assert wall.speaks("yes").startswith("I didn't get a clear answer, so nothing changed.")
        assert wall.standing("width, top") == "doubtful"

    def test_a_doubtful_order_is_not_followed(self) -> None:
        """An unsure "undo" is asked about first."""
        wall = Wall(its_rooms=unsure(rooms()))
        wall.types("top 46")
        assert wall.speaks("next board") == "Was that “next board”?"
        assert wall.view.board == "1"

    @pytest.mark.parametrize(
        ("slip", "word"),
        [
            ("doen", "done"),
            ("dnoe", "done"),
            ("undp", "undo"),
            ("Unod", "undo"),
            ("hlep", "help"),
            ("nxet board", "next board"),
        ],
    )
    def test_an_order_with_a_slip_is_asked_about(self, slip: str, word: str) -> None:
        """A yes does what the order does, a no nothing, and neither leaves anything as not taken."""
        right, plain, denied = Wall(), Wall(), Wall()
        for wall in (right, plain, denied):
            wall.types("top 46 7/8", "bottom 46 1/4")
        standing = denied.standing("width, bottom")
        assert right.types(slip) == denied.types(slip) == f"Was that “{word}”?"
        assert right.types("yes") == plain.types(word)
        assert denied.types("no") == "Then nothing was done. Say it another way."
        assert denied.standing("width, bottom") == standing
        assert "not taken" not in denied.types("done")

    def test_geometry_asks(self) -> None:
        """A width far from its fellows is asked about, typed or not, and a confirmed one no more."""
        wall = wall_after("top 46 7/8", "middle 46 3/4")
        question = wall.types("bottom 64 1/4")
        assert "64 1/4" in question
        assert wall.asks
        wall.types("yes")
        assert wall.standing("width, bottom") == "confirmed"
        assert not wall.asks
        wall.types("left 95 1/2")
        assert not wall.asks

    def test_what_is_not_understood_leaves_the_read_back_open(self) -> None:
        """Unknown words may have been an objection: nothing is taken on them."""
        wall = wall_after("top 46")
        wall.speaks("gobbledygook")
        assert wall.refuses
        assert wall.standing("width, top") == "read back"

    def test_an_unclear_value_is_answered_with_the_bare_number(self) -> None:
        """After the question about the bottom, a bare number is the bottom's."""
        wall = Wall()
        wall.speaks("bottom forty seven eighths")
        assert wall.asks
        assert wall.types("47 7/8") == "Width, bottom: 47 7/8."


class TestTwoPeople:
    """The hanger talks while the partner types."""

    def test_one_goes_on_without_speaking_for_the_other(self) -> None:
        """The partner's entry doesn't take what was read back to the hanger."""
        wall = Wall()
        wall.types("top 46", who="hanger")
        wall.types("bottom 45", who="partner")
        assert wall.standing("width, top") == "read back"
        said = wall.types("no, 45 3/4", who="hanger")
        assert said == "Width, bottom 45 3/4, or width, top 45 3/4? Say which."
        assert wall.value("width, bottom") == "45"
        assert "Width, top: 45 3/4" in wall.types("the top", who="hanger")

    def test_a_yes_is_the_word_of_the_one_who_is_asked(self) -> None:
        """The partner's yes says nothing of what the hanger heard; the partner is told who is asked."""
        wall = Wall()
        wall.speaks("top thirteen", who="hanger")
        assert wall.types("yes", who="partner") == "Hanger is asked, not you: Width, top: 13, not 30: yes?"
        assert wall.standing("width, top") == "doubtful"
        wall.speaks("yes", who="hanger")
        assert wall.standing("width, top") == "confirmed"

    def test_undo_is_everyones_own(self) -> None:
        """The hanger's undo leaves the partner's entry alone."""
        wall = Wall()
        wall.types("top 46", "yes", who="hanger")
        wall.types("bottom 45", "yes", who="partner")
        assert wall.types("undo", who="hanger") == "Undone on board 1: width, top, 46, is out."
        assert wall.value("width, bottom") == "45"

    def test_undo_does_not_undo_what_another_changed_since(self) -> None:
        """Where the partner changed it since, undo says so."""
        wall = Wall()
        wall.types("top 46", "yes", who="hanger")
        wall.types("change top to 47", "yes", who="partner")
        assert wall.types("undo", who="hanger") == (
            "Width, top has been changed by partner since. Say change and its place."
        )
        assert wall.value("width, top") == "47"


class TestTicking:
    """A step that is done keeps the readings it used."""

    def _cut(self) -> tuple[Wall, int]:
        """A finished board with its side cut."""
        wall = wall_after(*A_BOARD, "yes")
        plan = wall.view.plan
        assert plan is not None
        number = next(n for n, step in enumerate(plan.steps, 1) if step.cut is not None and step.cut.value == "right")
        wall.types("understood", f"tick {number}", who="partner")
        return wall, number

    def test_a_tick_shows(self) -> None:
        """By the screen or by voice."""
        wall, number = self._cut()
        assert wall.view.ticked == {number}
        wall.types("tick 1")
        assert wall.view.ticked == {1, number}

    def test_no_tick_before_the_plan_is_settled(self) -> None:
        """Nobody cuts from a draft."""
        wall = wall_after(*A_BOARD)
        wall.types("tick 1", who="partner")
        assert wall.refuses
        assert wall.view.ticked == frozenset()

    def test_no_tick_of_a_step_that_is_not_there(self) -> None:
        """The plan has so many steps and no more."""
        wall, _ = self._cut()
        wall.types("tick 99", who="partner")
        assert wall.refuses

    def test_changing_a_used_reading_says_what_is_cut(self) -> None:
        """The change is asked about; once confirmed the tick is off and the plan warns."""
        wall, _ = self._cut()
        question = wall.types("change bottom to 46 1/2")
        assert question.startswith("Already cut with 46 1/4: partner ticked step ")
        assert wall.asks
        wall.types("yes")
        assert wall.value("width, bottom") == "46 1/2"
        plan = wall.view.plan
        assert plan is not None
        before = [each.before for each in plan.warnings if each.code is Code.CUT_SINCE]
        assert [each and (each.step, each.key.at, each.by) for each in before] == [(4, Slot.BOTTOM, "partner")]
        assert "Step 4 was done with width, bottom at 46 1/4 (ticked by partner); that has changed since." in notes(
            plan
        )

    def test_refusing_the_change_keeps_the_cut(self) -> None:
        """No leaves everything as it was cut."""
        wall, number = self._cut()
        wall.types("change bottom to 46 1/2", "no")
        assert wall.value("width, bottom") == "46 1/4"
        assert wall.view.ticked == {number}

    def test_scratching_a_used_reading_says_what_is_cut(self) -> None:
        """Taking it out is told against the cut, too."""
        wall, _ = self._cut()
        assert "Already cut with width, bottom at 46 1/4" in wall.types("scratch the bottom")

    def test_a_height_does_not_lock_the_side(self) -> None:
        """The right side wasn't cut from the height."""
        wall, _ = self._cut()
        wall.types("change the height to 95")
        assert not wall.asks

    def test_another_unit_is_no_other_value(self) -> None:
        """Switching to millimeters changes no reading, so nothing is said of the cut."""
        wall, _ = self._cut()
        wall.types("unit millimeters", "yes")
        plan = wall.view.plan
        assert plan is not None
        assert all(each.code is not Code.CUT_SINCE for each in plan.warnings)

    def test_a_tick_can_be_undone(self) -> None:
        """By the one who made it."""
        wall, _ = self._cut()
        assert wall.types("undo", who="partner") == "Undone on board 1: the tick of step 4 is off."
        assert wall.view.ticked == frozenset()


class TestOrders:
    """The commands."""

    def test_say_again_takes_nothing(self) -> None:
        """It repeats and leaves the value open."""
        wall = wall_after("top 46")
        assert wall.types("say again") == "Width, top: 46."
        assert wall.standing("width, top") == "read back"

    def test_what_is_missing(self) -> None:
        """What the plan still needs, and why; first what waits for an answer."""
        wall = Wall()
        wall.speaks("top thirteen")
        answer = wall.types("what's missing")
        assert answer.startswith("Hanger still has to answer: Width, top: 13, not 30: yes? Still needed: ")
        assert "a height (the board is cut to it)" in answer

    def test_nothing_is_missing(self) -> None:
        """A board with everything says so."""
        wall = wall_after(*A_BOARD, "right 95 1/2", "yes")
        assert wall.types("what's missing") == "Nothing is missing on board 1."

    def test_read_it_all_back(self) -> None:
        """Every value of the board, in order."""
        wall = wall_after("top 46", "bottom 45")
        assert wall.types("read it all back") == "Board 1. Width, top: 46. Width, bottom: 45."

    def test_done_tells_the_plan(self) -> None:
        """Done takes the last value and says that there is a plan."""
        wall = wall_after(*A_BOARD)
        assert "The plan has" in wall.types("done")
        assert not wall.view.draft

    def test_next_board_and_back(self) -> None:
        """The room and the sheet go along; readings and neighbors stay with their board."""
        wall = wall_after("room kitchen", "five eighths board", "top 46", "next board")
        assert wall.view.board == "2"
        assert wall.view.readings == ()
        assert wall.view.room == "kitchen"
        assert set(wall.settings) == {"room", "thickness"}
        wall.types("go back to board one")
        assert wall.value("width, top") == "46"

    def test_no_going_to_a_board_that_is_not_there(self) -> None:
        """A misheard number opens no board."""
        wall = Wall()
        assert wall.types("go to board nine").startswith("There is no board 9 yet")

    def test_hold_and_resume(self) -> None:
        """While holding, talk is nobody's business, and is told once to be none."""
        wall = wall_after("hold")
        assert wall.view.holding
        assert wall.speaks("top forty six") == "Still holding."
        assert wall.speaks("top forty six") == ""
        assert wall.view.readings == ()
        wall.speaks("resume")
        assert wall.speaks("top forty six") == "Width, top: 46."

    def test_help(self) -> None:
        """Help says how a reading is called."""
        assert "Call a reading with its place" in Wall().types("help")


def test_words_over_fieldvoice_are_not_taken() -> None:
    """Half duplex: the microphone hears fieldvoice itself. A keyboard doesn't."""
    wall = Wall()
    with wall.session.speaking():
        assert wall.speaks("top forty six") == ""
        assert wall.types("bottom 45") == "Width, bottom: 45."
    assert wall.value("width, top") is None
    assert wall.speaks("top forty six") == "Width, top: 46."


class TestNothingUnsaid:
    """No value gets onto the board that was neither read back nor asked about."""

    def test_the_sure_value_beside_a_doubtful_one_is_read_back(self) -> None:
        """Two values in one breath, one in question: both are said."""
        wall = Wall()
        answer = wall.speaks("top forty six and a quarter and bottom thirteen")
        assert answer == "Width, top: 46 1/4. Width, bottom: 13, not 30: yes?"

    def test_mending_one_value_leaves_the_question_about_the_other(self) -> None:
        """The top is put right; whether the bottom was 47 1/2 or 47 is still asked, and going on doesn't take it."""
        wall = Wall()
        first, second = "top forty six and bottom forty seven and a half", "top forty six and bottom forty seven"
        assert ", or 47?" in wall.speaks(first, second)
        assert wall.types("no top 46 1/4") == "Width, top: 46 1/4. Width, bottom: 47 1/2, or 47? Say which."
        assert "answer first" in wall.types("done")
        assert wall.types("47") == "Width, bottom: 47."
        assert wall.value("width, top") == "46 1/4"

    def test_each_question_about_a_value_has_its_own_yes(self) -> None:
        """Yes, it was thirteen, is no yes to changing what is already cut."""
        wall = wall_after(*A_BOARD, "yes")
        number = next(n for n, step in enumerate(wall.view.plan.steps, 1) if step.cut == "right")  # type: ignore[union-attr]
        wall.types("understood", f"tick {number}", who="partner")
        assert "not 30" in wall.speaks("top thirteen")
        assert "Already cut with 46 7/8" in wall.speaks("yes")
        assert wall.standing("width, top") == "doubtful"
        wall.types("yes")
        assert wall.value("width, top") == "13"

    def test_a_bare_value_against_the_others_read_back_goes_to_its_place(self) -> None:
        """The partner objects to the hanger's bottom: the value that comes with the no is the bottom's."""
        wall = wall_after("bottom 46")
        assert wall.types("no 47", who="partner") == "Width, bottom: 47, instead of hanger's 46."

    def test_undo_does_not_put_back_what_somebody_else_has_called_since(self) -> None:
        """The hanger takes the top out, the partner calls a new one: undo leaves the partner's."""
        wall = wall_after("top 46", "yes", "scratch the top")
        wall.types("top 47", "yes", who="partner")
        assert "has been changed by partner since" in wall.types("undo")
        assert wall.value("width, top") == "47"

    def test_two_values_for_one_place_in_one_breath_are_asked_about(self) -> None:
        """The first is not lost to the second."""
        wall = Wall()
        question = wall.types("top 46 and top 47")
        assert (
            question == "Two values for width, top, 46 and 47, so neither was taken. Say the right one with its place."
        )
        assert wall.value("width, top") is None

    @pytest.mark.parametrize(
        ("words", "asked"),
        [("diagonal 107 1/4", "rising 107 1/4, or"), ("diagonals 107 1/4, 107 1/2", "rise or fall")],
    )
    def test_a_diagonal_is_asked_for_its_way(self, words: str, asked: str) -> None:
        """Which way it runs shows which way the room leans: without it the number would count for nothing."""
        wall = Wall()
        assert asked in wall.types(words)
        assert wall.types("diagonal rising 107 1/4") == "Diagonal, rising: 107 1/4."


def test_a_ceiling_board_stands_between_walls_and_boards() -> None:
    """No floor and no other ceiling is at its edges; what was called there stays."""
    wall = Wall()
    said = wall.types("ceiling board", "top 46", "bottom 46", "left 90", "right 90")
    assert "By default: left board, right wall, top wall, bottom wall." in said
    other = Wall()
    other.types("ceiling board", "board at the bottom")
    assert "left board, right wall, top wall." in other.types("top 46", "bottom 46", "left 90", "right 90")


def test_a_box_is_dead_by_a_yes_that_both_ears_heard() -> None:
    """A yes that the second one clearly heard as something else leaves the question."""
    at = Wall()
    at.types(*A_BOARD, A_BOX, "box one dead and tested")

    def answered(second: str) -> str:
        heard = Hearing((Hypothesis("yes", 0.9999),), "ear", kind=EarKind.READING, above_noise_db=50.0)
        beside = Hearing((Hypothesis(second, 0.9),), "beside", kind=EarKind.WHISPER, log_probability=-0.3)
        return " ".join(say.text for say in at.session.take([heard, beside], "hanger"))

    assert "Only a yes counts" in answered("this")
    assert "dead and tested, says hanger" in answered("yes")
