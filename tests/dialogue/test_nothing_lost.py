"""What a crew tried at the wall, and what must come of it: nothing called is lost, guessed or stale."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from benchmarks.dialogue.boards import board
from benchmarks.dialogue.simulate import Hanger
from fieldvoice.language.speaking import number_words
from fieldvoice.records.ledger import Standing
from fieldvoice.records.meaning import Box, Circuit
from fieldvoice.records.plan import Method
from fieldvoice.wording.forms import MOST_SECONDS, seconds
from tests.dialogue.talk import Wall, wall_after

S = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
"""A square board."""
D = (*S, "box 1 single gang center 30 from left 48 down", "yes", "box 1 dead and tested", "yes")
"""The same with a box that its hanger tested."""


def kinds(wall: Wall) -> list[tuple[str, str | None]]:
    """What is open on the board at hand, and for whom."""
    return [(item.kind.value, item.by) for item in wall.view.open]


class TestNothingIsGone:
    """A called thing is in force, waits, or stands as not taken."""

    def test_an_outlet_without_its_point_waits_for_it(self) -> None:
        """Yes doesn't say which of two, and "done" names it: no plan without the box."""
        wall = wall_after(*S)
        assert wall.types("outlet 30 1/4 from left 15 up") == "30 1/4: center or edge?"
        assert wall.types("yes") == "Only one part is missing: 30 1/4: center or edge?"
        assert "answer first" in wall.types("done")
        assert wall.view.draft
        assert wall.types("center") == "Box 1: single gang, center 30 1/4 from left, center 15 from bottom."

    def test_no_to_another_place_leaves_the_box_in_question(self) -> None:
        """The top is put right, the box is asked about."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 48 down")
        answer = wall.types("no top 46 3/4")
        assert answer.startswith("Width, top: 46 3/4, instead of 46 7/8. Box 1: ")
        assert answer.endswith("hanger said no. Is it right?")
        wall.types("yes")
        assert wall.value("box 1") is not None
        assert wall.value("width, top") == "46 3/4"

    def test_a_second_box_of_that_name_is_asked_about(self) -> None:
        """A misheard "two" takes nobody's place in silence."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 48 down", "yes")
        answer = wall.types("box 1 single gang center 12 from left 48 down")
        assert "There is already one by that name" in answer
        assert "If not, call it box 2." in answer
        assert "12 from left" not in str(wall.view.plan and wall.view.plan.openings)
        wall.types("no")
        assert wall.value("box 1") == "single gang, center 30 from left, center 48 from top"

    def test_undo_takes_back_one_call(self) -> None:
        """The reading before it stands again, and that is said."""
        wall = wall_after("t 46 7/8", "r 95 1/2", "r 93 1/2")
        assert wall.types("undo") == "Undone on board 1: height, right is 95 1/2 again."
        assert wall.value("height, right") == "95 1/2"

    def test_what_was_refused_is_named_at_the_end(self) -> None:
        """It is kept until it is said again, or left out."""
        wall = wall_after(*S, "height 95 1/2 banana right")
        assert wall.refuses
        answer = wall.types("done")
        assert "not taken, for hanger: “height 95 1/2 banana right”" in answer
        assert answer.endswith("Say yes to leave it out, or say it again.")
        assert wall.view.draft
        assert "The plan has" in wall.types("yes", "done")

    def test_said_again_it_is_not_open_any_more(self) -> None:
        """With success, in nearly the same words."""
        wall = wall_after(
            *S, "~height right ninety five banana and a half", "~height right ninety five and a half", "~yes"
        )
        assert wall.session.state.not_taken("1") == ()

    def test_a_second_stud_stands_beside_the_first(self) -> None:
        """Both are framing."""
        wall = wall_after("stud at 16", "stud at 32", "yes")
        assert wall.settings == {"studs": "16, 32 in"}

    def test_what_is_called_under_a_question_is_read_back_after_it(self) -> None:
        """Kept meanwhile, and nothing has to be said twice."""
        wall = wall_after("~top thirteen")
        assert "answer first" in wall.says("bottom 13 1/4")
        assert [call.standing for call in wall.session.state.calls.values()][-1] is Standing.NOT_TAKEN
        assert wall.says("~yes").endswith("Width, bottom: 13 1/4.")

    @pytest.mark.parametrize(
        ("call", "named"),
        [
            ("box 2 single gang center 30 from left 16 up", "Box 2: single gang"),
            ("pipe center 30 from left", "Pipe: pipe"),
            ("single gang center 30 from left 16 up", "Box: single gang"),
            ("46", "Reading: 46"),
            ("middle 46", "Reading, middle: 46"),
        ],
    )
    def test_what_was_called_under_a_question_has_a_name_at_the_end(self, call: str, named: str) -> None:
        """Before its name or its place is settled."""
        wall = wall_after(*S, "outlet 30 1/4 from left 15 up" if call == "46" else "top 13 7/8", call)
        assert f"not taken, for hanger: {named}" in wall.says("P:done")

    def test_a_box_said_no_to_is_left_out_by_its_name(self) -> None:
        """No other way to say which one is meant."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 16 up", "no")
        assert wall.types("forget box 1").startswith("Left out: box 1, single gang")
        assert not wall.session.state.not_taken("1")

    def test_of_two_boxes_said_no_to_the_one_named_is_left_out(self) -> None:
        """The other one waits on."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 16 up", "no")
        wall.says("box 2 single gang center 12 from left 16 up")
        wall.says("no")
        wall.types("forget box 2")
        assert [one.key.name for one in wall.session.state.not_taken("1")] == ["box 1"]

    @pytest.mark.parametrize("words", ["dead and tested box one", "tested and dead box one", "box 1 dead and tested"])
    def test_a_circuit_is_told_of_in_either_order(self, words: str) -> None:
        """The box first, or what was done to it."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 16 up", words)
        assert wall.asks
        assert wall.types("yes").startswith("Box 1: dead and tested")


class TestNoWrongValueStands:
    """What is doubtful is asked, and answered only by an answer to it."""

    def test_the_fraction_answers(self) -> None:
        """Seven eighths is the missing part, not a width of 7/8."""
        wall = wall_after("top 46 and seven", "seven eighths", "yes")
        assert wall.value("width, top") == "46 7/8"

    def test_yes_is_no_answer_to_this_or_that(self) -> None:
        """Neither is taken; the old value doesn't stand as if confirmed."""
        wall = wall_after("t 46 1/4", "yes", "top 46 and seven")
        assert wall.types("yes").startswith("That doesn't say which: Width, top: 46 7/8, or 46 7/16?")
        assert wall.view.draft

    def test_an_unclear_no_is_heard(self) -> None:
        """What was read back last is in question, and what follows waits for it."""
        wall = wall_after("t 46 7/8", "no forty seven eighths")
        assert wall.standing("width, top") == "doubtful"
        wall.types("m 46 7/8")
        assert wall.standing("width, top") == "doubtful"

    def test_a_no_while_holding_is_heard(self) -> None:
        """Nobody else would say it."""
        wall = wall_after("t 46 7/8", "hold")
        assert "Is it right?" in wall.types("no")
        assert wall.standing("width, top") == "doubtful"

    def test_the_hole_that_was_cut_wrong(self) -> None:
        """One pipe, at its right place."""
        wall = wall_after(
            *S,
            "~three inch pipe center forty and a half from the left nine and a quarter up",
            "~no three inch pipe center forty seven eighths from the left nine and a quarter up",
        )
        assert wall.asks
        wall.says("~three inch pipe center forty and seven eighths from the left nine and a quarter up")
        wall.says("~yes")
        pipes = [line for line in wall.readings if "pipe" in line.label]
        assert [line.value for line in pipes] == ["pipe, 3 across, center 40 7/8 from left, center 9 1/4 from bottom"]

    def test_no_and_the_same_again_is_asked(self) -> None:
        """A contradiction confirms nothing."""
        wall = wall_after("t 46 7/8", "m 49 3/4")
        assert wall.types("no 49 3/4") == "Width, middle: 49 3/4: you said no, then the same again. Is it right?"
        assert wall.standing("width, middle") == "doubtful"

    def test_the_partners_value_is_not_overwritten_in_silence(self) -> None:
        """It says whose it was."""
        wall = wall_after("P:top 46", "P:yes")
        assert wall.types("top 46 1/4") == "Width, top: 46 1/4, instead of partner's 46."

    @pytest.mark.parametrize(
        ("lines", "asked"),
        [
            (("l 95 5/8", "r 99 5/8"), "Height, right: 99 5/8, not 95 5/8, 4 in more than 95 5/8: is that right?"),
            (("unit millimeters", "t 119"), "Width, top: 119, not 1190: yes?"),
            (("t 7/8",), "No board is 7/8 in wide. Say the inches and the fraction."),
            (("top seven eighths",), "No board is 7/8 in wide. Say the inches and the fraction."),
        ],
    )
    def test_odd_numbers_are_asked_with_the_reason(self, lines: tuple[str, ...], asked: str) -> None:
        """Five and nine, a lost figure, a fraction that lost its inches."""
        assert wall_after(*lines[:-1]).types(lines[-1]) == asked

    def test_undo_brings_no_value_back_unweighed(self) -> None:
        """It is asked about as if it had just been called."""
        wall = wall_after("t 46 7/8", "m 46 7/8", "b 40", "yes", "b 46 7/8", "yes", "undo")
        assert wall.asks or wall.standing("width, bottom") == "confirmed"

    @pytest.mark.parametrize("words", ["never mind", "undo", "scratch that"])
    def test_what_takes_back_after_a_no_takes_back_no_call(self, words: str) -> None:
        """The no is in question, not what was called before it."""
        wall = wall_after("t 46 7/8", "yes", "no")
        assert wall.types(words) == "Width, top: 46 7/8: hanger said no. Is it right?"
        wall.types("yes")
        assert wall.value("width, top") == "46 7/8"

    @pytest.mark.parametrize(
        ("first", "right", "gone"),
        [("t 46 7/8", "no bottom 46 7/8", "width, top"), ("l 95 1/2", "no right 95 1/2", "height, left")],
    )
    def test_no_and_the_same_figure_elsewhere_takes_it_from_where_it_was(
        self, first: str, right: str, gone: str
    ) -> None:
        """And says so: nothing leaves without a word."""
        wall = wall_after(first)
        answer = wall.types(right)
        assert answer.startswith(f"Undone on board 1: {gone}, {first.split(maxsplit=1)[1]}, is out. ")
        assert wall.value(gone) is None

    @pytest.mark.parametrize(
        ("place", "other", "figure"),
        [
            ("top", "the width at the bottom", "forty six and seven eighths"),
            ("bottom", "the width at the top", "forty six and seven eighths"),
            ("left", "the height at the right", "ninety five and a half"),
            ("height right", "the height at the left", "ninety five and a half"),
        ],
    )
    @pytest.mark.parametrize("between", [(), ("~middle forty six and seven eighths",)])
    def test_the_same_called_twice_may_be_the_other_end(
        self, place: str, other: str, figure: str, between: tuple[str, ...]
    ) -> None:
        """It is read back as the same again, and the end across is missed where nobody called it."""
        rest = [
            f"~{at} {value}"
            for at, value in {
                "top": "forty six and seven eighths",
                "bottom": "forty six and seven eighths",
                "height left": "ninety five and a half",
                "height right": "ninety five and a half",
            }.items()
            if at.split()[-1] not in {place.split()[-1], other.split()[-1]}
        ]
        wall = wall_after(*rest, f"~{place} {figure}", *between)
        wall.says(f"~{place} {figure}")
        assert ", the same again." in wall.said[0].text
        assert other in wall.says("~done")
        assert wall.view.draft

    def test_the_same_twice_leaves_nothing_open_where_the_other_end_was_called(self) -> None:
        """Who repeats what was read back is asked for nothing."""
        wall = wall_after(
            *(f"~{one}" for one in ("top forty six", "bottom forty six", "left ninety five", "right ninety five"))
        )
        wall.says("~right ninety five")
        assert not any(item.key for item in wall.view.open)

    @pytest.mark.parametrize(
        ("up", "rather"),
        [("sixty up", "16 from bottom"), ("seventy five down", "79 from top"), ("eighty up", "80 from top")],
    )
    def test_a_box_unlike_its_fellows_is_asked_where_it_may_be_misheard(self, up: str, rather: str) -> None:
        """Sixty for sixteen, five for nine, up for down."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 16 up", "yes")
        assert f"center {rather}: yes?" in wall.says(f"~box two single gang center twelve from left {up}")

    @pytest.mark.parametrize("up", ["sixteen up", "seventy nine and a half down", "forty eight up", "thirty two up"])
    def test_a_box_set_as_boxes_are_asks_nothing(self, up: str) -> None:
        """At its fellows' height, at a switch's, or where nothing that sounds like it is any better."""
        wall = wall_after(*S, "box 1 single gang center 30 from left 16 up", "yes")
        wall.says(f"~box two single gang center twelve from left {up}")
        assert not wall.asks

    def test_undo_weighs_what_was_accepted_beside_what_is_gone(self) -> None:
        """A middle that only its neighbor spoke for, called by the partner."""
        wall = wall_after("l 95", "r 97", "yes", "P:middle height 97")
        answer = wall.types("undo")
        assert (
            answer
            == "Undone on board 1: height, right, 97, is out. Height, middle: 97, 2 in more than 95: is that right?"
        )

    def test_undo_takes_the_question_along_that_its_call_brought_up(self) -> None:
        """And no call that stood before it: each undo takes back one call of its speaker."""
        wall = wall_after(*S, "t 40", "yes", "b 40")
        assert wall.asks
        answer = wall.types("undo")
        assert answer == "Undone on board 1: width, bottom is 46 7/8 again; width, middle is 46 7/8 again."
        assert wall.types("undo") == "Undone on board 1: width, top is 46 7/8 again."
        assert {wall.value(f"width, {at}") for at in ("top", "middle", "bottom")} == {"46 7/8"}

    @pytest.mark.parametrize("danger", ["box 1 is live", "the breaker is back on", "the breaker looks funny"])
    def test_undo_after_danger_takes_back_no_box(self, danger: str) -> None:
        """No word takes danger back, and what was called before it isn't meant; said once more it is."""
        wall = wall_after(*D, danger)
        assert wall.types("undo").startswith("Word of danger stays")
        assert wall.value("box 1") is not None
        assert [word.state for word in wall.session.state.circuits("1").values()] != [Circuit.DEAD]

    @pytest.mark.parametrize(
        "window", ["window 12 from left 20 down 20 by 30", "window 20 by 30 center 22 from left 35 down"]
    )
    @pytest.mark.parametrize("box_first", [True, False])
    @pytest.mark.parametrize(("across", "asked"), [("30", True), ("11", True), ("40", False), ("6", False)])
    def test_a_box_in_a_window_is_asked_about(self, window: str, across: str, *, box_first: bool, asked: bool) -> None:
        """One of the two is elsewhere, in whichever order they are called."""
        box = f"box 1 single gang center {across} from left 40 down"
        wall = wall_after(*S, *((box, window) if box_first else (window, box)))
        newer, older = ("window 1", "box 1") if box_first else ("box 1", "window 1")
        assert (f"Is {newer} right, though it would overlap {older}?" in wall.said[-1].text) is asked

    @pytest.mark.parametrize(
        ("diagonal", "asked"),
        [("107", False), ("106", True), ("108", True), ("120", True), ("109", True), ("97", True)],
    )
    @pytest.mark.parametrize("first", [True, False])
    def test_one_diagonal_is_weighed_against_the_sides(self, diagonal: str, *, first: bool, asked: bool) -> None:
        """What it has out of square is asked about, beyond what a tape tells; a yes answers it, and once."""
        call = f"diagonal rising {diagonal}"
        wall = wall_after(*((call, *S) if first else (*S, call)))
        assert ("By the rising diagonal alone" in wall.said[-1].text) is asked
        if asked:
            wall.types("yes")
            assert wall.value("diagonal, rising") == diagonal
            assert "diagonal" not in wall.types("box 1 single gang center 30 from left 40 down")

    def test_the_partners_no_moves_no_figure(self) -> None:
        """The hanger's next bare figure is the place in question's."""
        wall = wall_after("t 46 7/8", "P:no")
        assert wall.types("46 3/4") == "Width, top: 46 3/4, instead of 46 7/8."

    def test_bare_heights_go_to_both_ends(self) -> None:
        """Left, then right."""
        wall = wall_after("left 95")
        assert wall.types("95 1/8").startswith("Height, right: 95 1/8.")

    def test_a_middle_goes_with_its_like(self) -> None:
        """After the heights, forty six is a width all the same."""
        wall = wall_after("t 46 7/8", "b 46 1/4", "left 95 1/2")
        assert wall.types("middle 46 1/2").startswith("Width, middle: 46 1/2.")

    def test_what_means_too_much_is_asked_and_kept(self) -> None:
        """Of no one place, so that it can't wait for an answer."""
        wall = wall_after("middle forty seven eighths")
        assert wall.asks
        assert wall.view.draft

    def test_a_box_on_which_ears_differ_by_its_name_is_asked(self) -> None:
        """Box one or box two."""
        wall = wall_after(*S)
        spot = "single gang center twelve from left forty eight down"
        assert "box 2" in wall.speaks(f"box one {spot}", f"box two {spot}")
        assert wall.asks


OBJECTIONS = ("no", "wait", "that's wrong", "not that", "hold on that's")
UNCLEAR = (
    "forty nine and sixteenths",
    "banana",
    "top forty six and seven",
    "the breaker banana",
    "top banana forty six",
    "ouch",
    "forty nine and sixteenths it's hot",
    "banana box one is live",
    "the top is live banana",
)
"""What is no call, some of it maybe or surely about a circuit."""


@pytest.mark.parametrize("objection", OBJECTIONS)
@pytest.mark.parametrize("rest", UNCLEAR)
@pytest.mark.parametrize("tested", [True, False], ids=["tested", "untested"])
def test_an_objection_counts_beside_whatever_is_said_of_a_circuit(objection: str, rest: str, *, tested: bool) -> None:
    """What was read back last is in question and asked about, by voice and typed, whether it waits or is in force, and
    while holding; and no box counts as dead after word of danger.
    """
    for spoken, settled, holding in product((True, False), repeat=3):
        wall = wall_after(*(D if tested else S), "next board", "t 46 7/8", *(("yes",) if settled else ()))
        wall.types(*(("hold",) if holding else ()))
        answer = (wall.speaks if spoken else wall.types)(f"{objection} {rest}")
        case = (spoken, settled, holding, answer)
        assert wall.standing("width, top") == "doubtful", case
        assert "46 7/8" in answer, case
        assert wall.asks, case
        if "live" in rest or "hot" in rest:
            assert not any(
                word.state is Circuit.DEAD for said in wall.session.state.words.values() for word in said.values()
            )


@pytest.mark.parametrize("words", ["not dead", "it's not dead", "that's not dead", "wrong breaker", "it's not tested"])
def test_a_not_of_a_circuit_objects_to_no_reading(words: str) -> None:
    """It is said of the circuit."""
    wall = wall_after(*D, "next board", "t 46 7/8", "yes")
    wall.speaks(words)
    assert wall.standing("width, top") == "accepted"


class TestOnlyTheBoardsOwnPlan:
    """A view is made at the moment when it is shown."""

    def test_undo_on_the_board_before_changes_its_plan(self) -> None:
        """And the width that was taken back is in no print of it."""
        wall = wall_after(*S, "change top to 44 7/8", "yes", "m 45 7/8", "yes", "done", "next board")
        wall.types("undo", "undo", "undo")  # the first of them goes back to it
        plan = wall.session.view("1").plan
        assert plan is not None
        assert {str(reading.value) for reading in plan.board.widths} == {"46 7/8"}

    def test_what_is_no_longer_dead_is_not_shown_as_dead(self) -> None:
        """After undo, after danger, after four hours."""
        for end in (("undo",), ("box 1 is live",), ()):
            wall = wall_after(*D, "done", "next board", *end)
            wall.wait(0 if end else 4.1)
            plan = wall.session.view("1").plan
            assert plan is not None
            assert [hole.method for hole in plan.openings] == [Method.BEFOREHAND]

    def test_a_width_that_was_never_taken_keeps_it_a_draft(self) -> None:
        """No bottom width: what is open says so."""
        wall = wall_after("t 46 7/8", "m 46 3/4", "l 96", "r 96", "done")
        assert wall.view.draft
        assert "bottom" in str(wall.view.open)

    def test_what_stands_at_an_edge_is_said_aloud(self) -> None:
        """Nobody spoke of the neighbors: by default, and that is told once."""
        wall = Wall()
        told = [wall.types(line) for line in S]
        assert sum("By default: left board, right wall, top ceiling, bottom floor." in each for each in told) == 1

    def test_the_next_board_says_what_goes_along(self) -> None:
        """Sheet, thickness, how it lies and the lower edge; not what stands left and right."""
        wall = wall_after("sheet lying", "five eighths board", "bottom edge is a board", "right edge is a board", "yes")
        answer = wall.types("next board")
        for said in ("hangs lying", "thickness 5/8 in", "bottom edge board"):
            assert said in answer
        assert "right edge" not in answer


class TestTwoPeople:
    """Each answers for what they called."""

    def test_done_names_what_waits_and_for_whom(self) -> None:
        """The partner's value waits, whatever the hanger says."""
        wall = wall_after(*S[:-1], "P:right 95 1/8")
        assert wall.types("done") == "Still open: for partner to say yes to: Height, right: 95 1/8."
        wall.types("yes")
        assert kinds(wall) == [("waiting", "partner")]
        wall.says("P:yes")
        assert "The plan has" in wall.types("done")


class TestTheLastReadBack:
    """What was heard once is read back together, in another form, and waits for one yes."""

    SPOKEN = (
        "~top forty six and seven eighths",
        "~middle forty six and three quarters",
        "~bottom forty six and a quarter",
        "~height ninety five and a half",
        "~box one single gang center thirty and a quarter from left forty eight down",
    )

    def test_a_box_is_read_from_both_sides(self) -> None:
        """Aloud what wasn't said often enough, in parts of six seconds with a yes each; the screen has all of it."""
        wall = wall_after(*self.SPOKEN)
        box = "box 1 30 1/4 from left, 16 1/2 from right, 48 from top"
        assert wall.says("~done") == f"Last check: width middle 46 3/4; {box}. All right?"
        spoken = wall.said[-1].spoken
        assert spoken == "Check: middle three quarters, box one thirty and a quarter left forty eight down?"
        assert wall.says("~yes") == "Last check: width top 46 7/8; bottom 46 1/4; height left 95 1/2. All right?"
        assert wall.said[-1].spoken == "Check screen and bottom a quarter, left ninety five and a half?"
        assert wall.says("~yes") == f"Last check: height left 95 1/2; {box}. All right?"
        assert wall.said[-1].spoken == "Check: left ninety five and a half, box one thirty and a quarter left?"
        assert wall.view.draft
        assert "The plan has" in wall.says("~yes")
        assert not wall.view.draft

    def test_what_was_called_is_said_once_more_as_there_is_time(self) -> None:
        """Behind a read-back alone, least said first, by its fraction where none can be an inch off, and twice."""
        wall = wall_after(*self.SPOKEN[:3])
        assert wall.said[-1].spoken == "top seven eighths middle three quarters."
        wall.says("~height left ninety five and a half")
        assert wall.said[-1].spoken == "bottom a quarter."  # behind the edges by default
        answer = wall.says("~height right ninety five and a half")
        assert answer == "Height, right: 95 1/2. So far: width middle 46 3/4; bottom 46 1/4; height left 95 1/2."
        assert wall.said[-1].spoken == "middle three quarters bottom a quarter, left a half."
        wall.says(self.SPOKEN[-1])
        assert wall.said[-1].spoken == "right a half."

    def test_boxes_are_said_once_more_a_part_at_a_time(self) -> None:
        """Six seconds of them, and its yes brings the next ones; a plan comes with the last yes."""
        wall = wall_after(*S, "~box one single gang center thirty and a quarter from left sixteen and an eighth up")
        wall.says("~box two single gang center five and three eighths from left forty eight down")
        wall.says("~done")
        for here, whole in (
            ("two", True),
            ("one", True),
            ("two", False),
        ):  # the last one three times, not twice running
            assert f"box {here} " in wall.said[-1].spoken
            assert ("box one " in wall.said[-1].spoken) + ("box two " in wall.said[-1].spoken) == (1 if whole else 2)
            assert wall.view.draft
            wall.says("~yes")
        assert not wall.view.draft

    @pytest.mark.parametrize("number", range(0, 24, 2))
    def test_the_box_that_was_called_last_is_said_three_times(self, number: int) -> None:
        """By voice, whatever else is on the board, before there is a plan; unless it is all that was said aloud."""
        hanger = Hanger(board(Random(number)), Random(number), 0.0)
        boxes = [fact.name for fact in hanger.truth.facts if isinstance(fact, Box)]
        told: list[str] = []
        plain = hanger.say

        def listening(line: str) -> None:
            plain(line)
            told.append(hanger.spoken)

        hanger.say = listening  # type: ignore[method-assign]
        assert hanger.hang()
        for name in boxes[-1:]:
            words = f"box {number_words(int(name.split()[-1]))} "
            assert sum(words in each.lower() and "not dead" not in each for each in told) >= 3, told

    def test_a_no_to_one_part_leaves_the_yes_to_the_others(self) -> None:
        """Neither what was said to be right is asked again, nor what was put right with a yes."""
        wall = wall_after(*S, "~box one single gang center thirty and a quarter from left sixteen and an eighth up")
        wall.says("~box two single gang center five and three eighths from left forty eight down")
        wall.says("~done")
        wall.says("~yes")
        assert wall.asks
        wall.says("~no box two single gang center five and an eighth from left forty eight down")
        wall.says("~yes")
        wall.says("~done")
        assert "box one" in wall.said[-1].spoken
        assert "box two" not in wall.said[-1].spoken
        assert "The plan has" in wall.says("~yes")

    @pytest.mark.parametrize("number", range(12))
    def test_every_answer_to_a_box_and_part_of_a_last_read_back_has_its_limit(self, number: int) -> None:
        """Whatever is said with it: six seconds as spoken."""
        hanger = Hanger(board(Random(number)), Random(number), 0.0)
        hanger.hang()
        assert hanger.last_seconds
        assert max((*hanger.box_seconds, *hanger.last_seconds)) <= 6

    @pytest.mark.parametrize(
        ("widths", "spoken"),
        [
            (("forty six", "forty six", "forty six"), "middle forty six bottom forty six, left ninety five."),
            (
                ("forty six", "forty six and an eighth", "forty six and a half"),
                "bottom a half, left ninety five.",
            ),
            (
                ("forty six", "forty six and a half", "forty seven"),
                "bottom forty seven, left ninety five.",
            ),
        ],
    )
    def test_the_inches_are_left_out_only_where_none_can_be_off(self, widths: tuple[str, ...], spoken: str) -> None:
        """A reading that is an inch off lies farther away than its fellows do."""
        called = (f"~{at} {value}" for at, value in zip(("top", "middle", "bottom"), widths, strict=True))
        wall = wall_after(*called, "~height left ninety five", "~height right ninety five")
        assert wall.said[-1].spoken == spoken

    @pytest.mark.parametrize(
        ("one", "two", "said"),
        [
            ("sixteen and an eighth", "sixteen and a half", "an eighth up"),
            ("sixteen and an eighth", "sixteen and an eighth", "an eighth up"),
            ("sixteen", "sixteen and a quarter", "sixteen up"),
            ("sixteen and an eighth", "forty eight and an eighth", "sixteen and an eighth up"),
        ],
    )
    def test_the_height_of_a_box_near_another_is_said_by_its_fraction(self, one: str, two: str, said: str) -> None:
        """An inch off it would be another height; that both are the same may be since one was misheard."""
        box = "~box {} single gang center {} from left {} up"
        wall = wall_after(*S, box.format("one", "thirty", one), box.format("two", "twelve", two))
        spoken = [wall.said[-1].spoken]
        while wall.asks or len(spoken) == 1:
            wall.says("~yes" if wall.asks else "~done")
            spoken += [each.spoken for each in wall.said]
        own = [each.split("box one thirty left ")[1] for each in spoken if "box one thirty left " in each]
        assert any(f" {each}".split(", box")[0].rstrip("?.").endswith(f" {said}") for each in own), spoken

    @pytest.mark.parametrize("part", range(3, 16, 2))
    def test_a_box_heard_at_the_height_of_another_is_told_with_its_own(self, part: int) -> None:
        """Its fraction is said once more, be it the one that the other box has."""
        box = "~box {} single gang center {} from left sixteen and {} sixteenths up"
        wall = wall_after(
            *S, box.format("one", "thirty", number_words(part)), box.format("two", "twelve", number_words(part))
        )
        spoken = []
        wall.says("~done")
        while wall.asks:
            spoken += [each.spoken for each in wall.said]
            wall.says("~yes")
        for name in ("one", "two"):
            own = [each.split(f"box {name}")[1] for each in spoken if f"box {name}" in each]
            assert any("sixteenth" in each.split(" up")[0] for each in own), spoken

    def test_what_was_said_least_comes_once_more_beside_the_last_part(self) -> None:
        """A box that was called last was said twice by then; a third time is free."""
        wall = wall_after(
            "~top forty six", "~middle forty six", "~bottom forty six", "~left ninety five", "~right ninety five"
        )
        wall.says("~box one single gang center thirty from left sixteen up")
        wall.says("~box two single gang center twelve from left forty eight up")
        spoken = [each.spoken for line in ("~done", "~yes", "~yes") for each in (wall.says(line), wall.said)[1]]
        assert sum("box two" in each and each.startswith("Check") for each in spoken) == 2, spoken

    def test_what_was_typed_or_is_asked_is_not_said_together(self) -> None:
        """It was on the screen under the fingers; and a question stands alone."""
        assert "So far" not in wall_after(*S[:3], "l 95").types("r 95")
        wall = wall_after(*self.SPOKEN[:3], "~height left ninety five and a half")
        assert "So far" not in wall.says("~height right fifty five and a half")

    def test_what_was_said_together_is_put_right_by_its_place(self) -> None:
        """Nothing else is in question then, and it is said aloud at the end."""
        wall = wall_after(
            *self.SPOKEN[:3], "~height left ninety five and a half", "~height right ninety five and a half"
        )
        assert wall.types("no middle 46 3/8") == "Width, middle: 46 3/8, instead of 46 3/4."
        assert [wall.standing(f"height, {side}") for side in ("left", "right")] == ["accepted", "read back"]

    def test_no_with_the_same_figure_there_is_asked(self) -> None:
        """It may be the value of the one place or of the other: neither goes without a word."""
        wall = wall_after(
            *self.SPOKEN[:3], "~height left ninety five and a half", "~height right forty six and a half", "yes"
        )
        wall.says("~no top forty six and a half")
        assert wall.asks

    def test_a_no_alone_is_about_what_was_read_back(self) -> None:
        """What was said together can be put right by its place next."""
        wall = wall_after(
            *self.SPOKEN[:3], "~height left ninety five and a half", "~height right ninety five and a half"
        )
        assert wall.says("~no") == "Not taken: height, right. What is it?"

    @pytest.mark.parametrize("number", range(12))
    def test_it_is_said_in_the_time_of_an_answer(self, number: int) -> None:
        """Synthesized, on boards at random; and the estimate is the voice's own to a second."""
        hanger = Hanger(board(Random(number)), Random(number), 0.0)
        assert hanger.hang()
        assert hanger.last_seconds
        assert all(took <= MOST_SECONDS * 1.1 for took in hanger.last_seconds)
        assert not hanger.session.view().draft

    def test_millimeters_from_the_other_side_are_whole(self) -> None:
        """As a tape shows them."""
        wall = wall_after("metric", "~top eleven ninety", "~bottom eleven ninety", "~height twenty four hundred")
        wall.says("~box one single gang center four hundred from left four hundred up")
        assert "400 from left, 790 from right" in wall.says("~done") + wall.says("~yes")

    def test_what_was_confirmed_is_not_asked_again(self) -> None:
        """Nor what was typed."""
        wall = wall_after("~top thirteen", "~yes", "bottom 13", "left 95", "right 95", "yes")
        assert "Last check" not in wall.types("done")

    def test_the_wrong_one_is_put_right_and_read_back_once_more(self) -> None:
        """Only what was heard once since."""
        wall = wall_after(*self.SPOKEN, "~done", "~no bottom forty six and three eighths", "~yes", "~done")
        assert wall.value("width, bottom") == "46 3/8"
        assert wall.asks
        wall.says("~yes")
        assert wall.view.draft  # the box comes next
        while wall.asks:
            wall.says("~yes")
        assert not wall.view.draft


def test_a_box_that_takes_longer_than_an_answer_is_read_back_in_halves() -> None:
    """Across, and with the yes to that up and down: only then it was said to be right."""
    wall = wall_after(
        "top 47",
        "bottom 47",
        "height 95",
        "yes",
        "~box twelve double gang near edge thirty seven and eleven "
        "sixteenths from left, near edge fifty seven and thirteen sixteenths down",
        "~done",
    )
    assert wall.said[-1].spoken == "Check: box twelve near side thirty seven eleven sixteenths left?"
    assert not any(call.checked for call in wall.session.state.calls.values())
    wall.says("~yes")
    assert wall.said[-1].spoken == "Check: box twelve near side fifty seven thirteen sixteenths down?"
    assert wall.view.draft
    assert "The plan has" in wall.says("~yes")


def test_what_is_said_aloud_is_short() -> None:
    """Two circuits and a plan: six seconds at most, and the rest is on the screen."""
    wall = wall_after(*S, "single gang center 30 from left 48 down", "single gang center 12 from left 48 down", "yes")
    wall.types("all boxes dead and tested", "yes", "all boxes are live")
    for line in ("done", "what's missing", "read it all back"):
        wall.types(line)
        assert sum(seconds(each.spoken) for each in wall.said) <= MOST_SECONDS, line


@pytest.mark.parametrize(
    "words",
    ["the breaker looks funny", "the tester sings at the switch leg", "volts on this thing", "the wires buzz some"],
)
def test_what_nobody_understood_of_a_circuit_takes_the_tool_out_of_every_box(words: str) -> None:
    """On every board; the words are kept as not taken, and the plan waits for them."""
    wall = wall_after(*D, "next board", "t 40", words)
    assert "“Dead and tested” for box 1 of board 1 is canceled" in " ".join(one.text for one in wall.said)
    wall.says("go back to board 1")
    view = wall.view
    assert view.plan is not None
    assert [hole.method for hole in view.plan.openings] == [Method.BEFOREHAND]
    assert words in {call.words for call in wall.session.state.not_taken("2")}


def test_what_nobody_understood_of_a_circuit_is_kept_where_no_box_counts() -> None:
    """There is nothing to cancel then, and it is told as anything else that wasn't understood."""
    wall = wall_after(*S, "the breaker looks funny")
    assert "canceled" not in " ".join(one.text for one in wall.said)
    assert ("not taken", "hanger") in kinds(wall)


ENDS = ("ceiling", "floor", "board")
FITS = {
    "upper": {"above": "ceiling", "below": "board"},
    "middle": {"above": "board", "below": "board"},
    "lower": {"above": "board", "below": "floor"},
}


@pytest.mark.parametrize("there", ENDS)
@pytest.mark.parametrize("where", ["above", "below"])
@pytest.mark.parametrize("course", FITS)
def test_a_course_and_what_is_above_or_below_it_have_to_agree(course: str, where: str, there: str) -> None:
    """In whichever order they are called; what can't be is asked about."""
    odd = FITS[course][where] != there
    for lines in ((f"{course} course", f"{there} {where}"), (f"{there} {where}", f"{course} course")):
        asked = "is that right?" in wall_after(lines[0]).says(lines[1])
        assert asked is odd, lines


def test_a_default_that_another_word_changed_is_said_again() -> None:
    """Also when that word is taken back: nobody heard of the floor's going or coming otherwise."""
    wall = wall_after(*S)
    assert "bottom board" in wall.says("upper course")
    assert "bottom floor" in wall.says("undo")


@pytest.mark.parametrize(
    "words",
    [
        "outlet center 30 from left 15 up",
        "window 12 from left 20 down 10 by 12",
        "three inch pipe center 20 from left 9 up",
    ],
)
@pytest.mark.parametrize("before", [(), ("yes",), ("m 46 3/4",)])
def test_the_same_thing_called_again_is_the_same_thing(words: str, before: tuple[str, ...]) -> None:
    """No two are at one place: it is read back again under its name."""
    wall = wall_after(*S, words, *before)
    wall.says(words)
    assert not wall.asks
    hole = wall.view.hole
    assert hole is not None
    assert len(hole.boxes) + len(hole.openings) == 1


@pytest.mark.parametrize(
    "words", ["dead and tested", "all boxes are dead and tested", "both boxes are dead and tested"]
)
def test_no_box_is_dead_where_there_is_none(words: str) -> None:
    """A window has no circuit."""
    assert "There is no box on this board" in wall_after(*S, "window 12 from left 20 down 10 by 12").says(words)


@pytest.mark.parametrize("words", ["it stung him bad", "tester still beeps", "box one is live"])
def test_a_yes_after_word_of_a_circuit_answers_nothing_asked_before_it(words: str) -> None:
    """Whether the box is dead and tested has to be said anew."""
    wall = wall_after(*S, "box 1 single gang center 30 from left 48 down", "yes", "box 1 dead and tested")
    assert "did you test it" in " ".join(one.text for one in wall.said)
    wall.says(words)
    wall.says("yes")
    view = wall.view
    assert view.plan is not None
    assert [hole.method for hole in view.plan.openings] == [Method.BEFOREHAND]


@pytest.mark.parametrize(
    ("called", "default"),
    [
        (("wall on the left",), "right board, top ceiling, bottom floor"),
        (("first board", "wall on the left"), "right board, top ceiling, bottom floor"),
        (("left edge open",), "right board, top ceiling, bottom floor"),
        (("first board",), "left wall, right board, top ceiling, bottom floor"),
        (("last board",), "left board, right wall, top ceiling, bottom floor"),
        (("wall on the right",), "left board, top ceiling, bottom floor"),
        (("left board",), "right wall, top ceiling, bottom floor"),
        (("wall to wall",), "top ceiling, bottom floor"),
    ],
)
def test_beside_a_wall_that_was_called_the_row_goes_on(called: tuple[str, ...], default: str) -> None:
    """Two walls are assumed nowhere: a board between two is seldom, and would be fitted with two clearances."""
    wall = wall_after(*called, "top 46 7/8", "bottom 46 7/8")
    assert f"By default: {default}." in wall.types("height left 95 1/2, right 95 1/2")


WIDTHS, HEIGHTS = ("top", "bottom"), ("left", "right")


@pytest.mark.parametrize("here", WIDTHS + HEIGHTS)
@pytest.mark.parametrize("there", WIDTHS + HEIGHTS)
@pytest.mark.parametrize("said", ["{there} same", "{there} same as {here}", "same on the {there}"])
def test_the_same_is_the_same_of_its_kind(here: str, there: str, said: str) -> None:
    """A width is no height: what was called last is taken for the other kind nowhere, in one breath or in two."""
    if here == there:
        return
    for lines in ((f"{here} 47 1/2", said.format(here=here, there=there)), (f"{here} 47 1/2, {there} same",)):
        wall = wall_after(*lines)
        label = f"{'width' if there in WIDTHS else 'height'}, {there}"
        taken = wall.value(label)
        assert (taken == "47 1/2") is ((here in WIDTHS) is (there in WIDTHS)), (lines, wall.readings)


SPOKEN_BOARDS = (
    ("top forty six", "bottom forty five and a half", "height ninety five"),
    ("top forty six", "middle forty six", "bottom forty six", "left ninety five", "right ninety five and a quarter"),
    ("right wall", "top thirty three", "bottom thirty three and a quarter", "height ninety four and a half"),
)


@pytest.mark.parametrize("board", SPOKEN_BOARDS)
@pytest.mark.parametrize(
    "figure", ["ninety five and a half", "forty five and three quarters", "thirty three and a half"]
)
def test_no_to_the_last_read_back_waits_for_a_place_and_for_nothing_else(board: tuple[str, ...], figure: str) -> None:
    """No yes settles what was denied, and a figure alone goes to no place that nobody named."""
    wall = Wall()
    for words in (*board, "done"):
        wall.speaks(words)
    assert "Last check" in wall.said[0].text
    before = wall.readings
    wall.speaks("no")
    assert "Nothing is waiting" in wall.speaks("yes")
    assert wall.view.draft
    wall.speaks("done")
    assert "Which one should change?" in wall.speaks("no")
    told = wall.speaks(figure)
    assert "Which one should change?" in told or "in: where?" in told
    assert wall.readings == before
    assert wall.view.draft
    wall.speaks(f"{'left' if figure.startswith('ninety') else 'top'} {figure}")
    wall.speaks("yes")
    assert not wall.session.state.not_taken("1")


BEFORE = {
    "nothing": (),
    "a height asked about": ("l 96", "47 1/4"),
    "a value read back": ("top forty one",),
    "a box in force": ("box 1 single gang center 30 from left 48 down", "yes"),
}


@pytest.mark.parametrize("before", BEFORE)
@pytest.mark.parametrize("answer", ["yes", "no", "i mean", "wrong", ""])
@pytest.mark.parametrize(
    "call", ["bottom thirty nine and an eighth", "left wall leans out a quarter", "undo", "upper course"]
)
@pytest.mark.parametrize("order", [1, -1])
def test_what_is_called_beside_an_answer_and_a_circuit_is_kept(before: str, answer: str, call: str, order: int) -> None:
    """It is taken, asked about, or its words stand as not taken; and no box gets a tool by it."""
    wall = Wall()
    for line in BEFORE[before]:
        wall.types(line)
    known = set(wall.session.state.calls)
    line = ", ".join(filter(None, (answer, *("box one dead and tested", call)[::order])))
    said = wall.types(line)
    new = [call for number, call in wall.session.state.calls.items() if number not in known]
    whole = any(one.fact is None and one.words == line for one in new)
    taken = any(one.fact is not None for one in new)
    refused = any(each in said for each in ("I lost you", "broke off", "Nothing was taken"))
    undone = call == "undo" and ("Undone" in said or "nothing to undo" in said.lower() or not known)
    assert whole or taken or refused or undone, said
    assert wall.session.view("1").plan is None or wall.session.view("1").draft


@pytest.mark.parametrize(
    "call",
    [
        "change box 11 to 30 from left",
        "change box 7 to double gang",
        "make box 12 20 down",
        "change box 4 to 9 from right",
    ],
)
@pytest.mark.parametrize(
    "question", [("l 96", "47 1/4"), ("t 46 7/8", "top forty six and seven"), ("outlet 30 from left",)]
)
def test_what_was_called_under_a_question_and_came_to_nothing_then_is_not_taken(
    call: str, question: tuple[str, ...]
) -> None:
    """It is told, stands as not taken, and is named at the end until it is said again or left out."""
    wall = wall_after(*question)
    wall.types(call)
    for answer in ("yes", "seven eighths", "15 up", "center", "single gang"):
        if wall.asks:
            wall.types(answer)
    assert not wall.asks
    assert call in [one.words for one in wall.session.state.not_taken("1")]
    assert f"not taken, for hanger: Box {call.split()[2]}" in wall.types("done")


@pytest.mark.parametrize(
    ("width", "other"),
    [
        ("forty six and seven eighths", "about seventeen right"),
        ("forty six and three eighths", "about sixteen right"),
        ("forty seven", "seventeen right"),
    ],
)
def test_a_box_is_said_from_its_other_side_with_a_word_for_what_is_left_out(width: str, other: str) -> None:
    """No tape shows that distance rounded: "about" says so, and the screen has all of it."""
    wall = Wall()
    for line in (f"top {width}", f"middle {width}", f"bottom {width}", "left ninety six", "right ninety six"):
        wall.types(line)
    wall.speaks("box one single gang center thirty from left forty eight down")
    wall.speaks("done")
    spoken = [say.spoken for say in wall.said]
    while wall.asks:
        wall.speaks("yes")
        spoken += [say.spoken for say in wall.said]
    checks = [each for each in spoken if each.startswith("Check")]
    assert any(f"thirty left {other} forty eight down" in each for each in checks), checks
