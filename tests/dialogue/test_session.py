"""The edge of the dialogue: what is kept, in which order, and what happens where it can't be."""

from __future__ import annotations

import errno
import sys
import threading
from collections.abc import Callable, Mapping
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from fieldvoice.commands.cut import finish, take_line
from fieldvoice.errors import NotKept
from fieldvoice.journal.format import Entry, Json, Lost
from fieldvoice.journal.journal import Journal, MemoryJournal
from fieldvoice.records.hearing import Hearing, Hypothesis, Source
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording.troubles import sentence
from tests.cutting.rooms import notes
from tests.dialogue.talk import A_BOARD, A_BOX, Wall, wall_after

FULL = Trouble(Wrong.NOT_KEPT, path="wall.job", cause=errno.ENOSPC, waiting=1)


class FullDisk(MemoryJournal):
    """A journal whose disk is full while `full` is set: entries wait in memory."""

    full = False

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Has it, and tells where it isn't kept."""
        entry = super().append(kind, who, body, at)
        self.trouble = NotKept(FULL) if self.full else None
        if self.trouble:
            raise self.trouble
        return entry


def test_everything_is_kept_before_it_is_acknowledged() -> None:
    """By the time the answer is there, so are its entries, in order, each with who and when."""
    wall = wall_after("top 46")
    wall.types("bottom 45 3/4", who="partner")
    kinds = [(entry.kind, entry.who) for entry in wall.journal.entries()]
    assert kinds == [("turn", "fieldvoice"), ("turn", "hanger"), ("turn", "partner")]


def test_a_full_disk_is_told_and_nothing_is_lost() -> None:
    """The session goes on in memory, says so at each turn, and all is in order once there is room."""
    journal = FullDisk()
    wall = Wall(journal)
    wall.types("top 46")
    journal.full = True
    assert wall.types("middle 45 7/8") == f"{sentence(FULL)} Width, middle: 45 7/8."
    assert wall.types("no, 45 3/4").startswith(sentence(FULL))
    assert wall.types("no, 45 7/8").startswith(sentence(FULL))
    assert wall.value("width, middle") == "45 7/8"
    assert wall.view.journal_trouble == FULL
    journal.full = False
    assert wall.types("bottom 45 3/4") == "Width, bottom: 45 3/4."
    assert wall.view.journal_trouble is None
    wall.restart()
    assert [wall.value(f"width, {at}") for at in ("top", "middle", "bottom")] == ["46", "45 7/8", "45 3/4"]


def test_resume_is_at_the_last_board() -> None:
    """With what was read back still open."""
    wall = wall_after("top 46", "next board", "top 44")
    before = wall.view
    wall.restart()
    assert wall.view.board == "2"
    assert wall.view.readings == before.readings
    assert wall.view.last == before.last
    wall.types("yes")
    assert wall.standing("width, top") == "accepted"


def test_two_ears_that_differ_are_asked_about() -> None:
    """Each heard another value: neither is taken."""
    wall = Wall()
    hearings = [
        Hearing((Hypothesis(f"top forty seven and {part}", 0.9),), ear, Source.SPOKEN)
        for part, ear in (("a half", "first"), ("an eighth", "second"))
    ]
    wall.session.take(hearings, "hanger")
    assert wall.asks
    assert wall.standing("width, top") == "doubtful"
    assert wall.view.last is not None
    assert wall.view.last.recognizer == "first + second"


def test_two_threads_at_once_lose_nothing() -> None:
    """The partner's phone and the hanger's microphone are served at the same time."""
    wall = Wall()
    lines = {"hanger": [f"change top to {n}" for n in range(40, 60)], "partner": ["say again"] * 20}
    threads = [threading.Thread(target=wall.types, args=lines[who], kwargs={"who": who}) for who in lines]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(entry.who in lines for entry in wall.journal.entries()) == 40
    state = wall.session.state
    wall.restart()
    assert wall.session.state.calls == state.calls
    assert wall.session.state.open == state.open


def test_nothing_heard_is_refused() -> None:
    """Silence is no reading."""
    wall = Wall()
    wall.session.take(Hearing((), "ear"), "hanger")
    assert wall.refuses
    assert wall.view.readings == ()


def holed(wall: Wall, first: int, last: int) -> Wall:
    """The wall's journal opened again without those entries."""
    kept = [entry for entry in wall.journal.entries() if not first <= entry.seq <= last]
    return Wall(MemoryJournal(kept, (Lost(first, last),)))


def corrected() -> Wall:
    """A whole board whose top was called wrong and put right at last; the journal lost the putting right."""
    wall = wall_after(*A_BOARD, A_BOX, "yes")
    before = len(list(wall.journal.entries()))
    wall.types("change top to 47", "yes")
    after = len(list(wall.journal.entries()))
    wall.types("what's missing")
    return holed(wall, before + 1, after)


class TestLostEntries:
    """A lost entry may have been a correction: the older value that is back is never cut from unasked."""

    def test_there_is_no_plan_until_each_value_is_confirmed(self) -> None:
        """Every reading and box is in question, and the view says so."""
        wall = corrected()
        assert {line.call.standing.value for line in wall.view.readings} == {"doubtful"}
        assert wall.view.plan is None
        assert wall.view.draft
        assert wall.view.plan_trouble is not None
        assert "until these are said yes to or called again: width, top; " in sentence(wall.view.plan_trouble)
        assert isinstance(wall.view.journal_trouble, Trouble)
        assert wall.view.journal_trouble.what is Wrong.LOST_UNCONFIRMED

    def test_the_notice_is_said_first_and_once(self) -> None:
        """Before the first answer, as a safety matter."""
        wall = corrected()
        first = wall.session.take(Hearing.typed("say again"), "hanger")
        assert first[0].text.startswith("Entries of this job are lost: ")
        assert first[0].safety
        assert not any(character.isdigit() for character in first[0].spoken)
        assert not any(say.safety for say in wall.session.take(Hearing.typed("say again"), "hanger"))

    def test_each_is_asked_about_and_a_yes_is_about_one(self) -> None:
        """One by one; no puts the right value in its place; then the plan is there."""
        wall = corrected()
        assert wall.types("what's missing").endswith("Width, top: 46 7/8: is that right?")
        assert wall.types("no, 47") == "Width, top: 47, instead of 46 7/8."
        assert wall.types("yes").endswith("Width, middle: 46 3/4: is that right?")
        for _ in range(4):
            assert wall.view.plan is None
            wall.types("yes")
        assert wall.view.plan is not None
        assert wall.value("width, top") == "47"
        assert wall.view.journal_trouble is None

    def test_the_plan_says_that_a_box_may_be_left_out(self) -> None:
        """No yes tells of a box whose entry is lost; a board begun since isn't concerned."""
        wall = corrected()
        wall.types("what's missing", *["yes"] * 5)
        assert wall.view.plan is not None
        assert any("a box or an opening that isn't in this plan" in warning for warning in notes(wall.view.plan))
        wall.types("next board", *A_BOARD, "yes")
        assert wall.view.plan is not None
        assert not any("lost" in warning for warning in notes(wall.view.plan))

    def test_a_damaged_file_is_asked_about_and_the_asking_is_kept(self, tmp_path: Path) -> None:
        """A real file with an entry spoilt: what was said yes to stands when it is opened once more."""
        path = tmp_path / "kitchen.job"
        with Journal.open(path) as journal:
            Wall(journal).types(*A_BOARD, "change top to 47", "yes")
        data = path.read_bytes()
        spoilt = data.replace(b'"Length":"47"', b'"Length":"48"')
        assert spoilt != data
        path.write_bytes(spoilt)
        with closing(Journal.open(path)) as journal:
            assert journal.lost
            wall = Wall(journal)
            assert wall.view.plan is None
            assert wall.value("width, top") == "46 7/8"
            assert wall.standing("width, top") == "doubtful"
            wall.types("what's missing", *["yes"] * 4)
            assert wall.view.plan is not None
        with closing(Journal.open(path)) as journal:
            assert journal.lost
            assert Wall(journal).view.plan is not None

    def test_calling_again_settles_it_too(self) -> None:
        """All the values of the board, from the tape."""
        wall = corrected()
        wall.types(*A_BOARD, f"box 1 {A_BOX}", "yes", "yes")
        assert wall.view.plan is not None

    def test_no_leaves_it_in_question(self) -> None:
        """An objection without a value takes nothing, and nothing is forgotten."""
        wall = corrected()
        wall.types("what's missing", "no")
        assert wall.value("width, top") == "46 7/8"
        assert wall.standing("width, top") == "doubtful"
        wall.types("47", "yes")
        assert wall.value("width, top") == "47"
        assert wall.standing("width, top") in {"accepted", "confirmed"}

    def test_undo_brings_no_unasked_value_back(self) -> None:
        """What was said before the hole can't be reached by undo, and an undone yes is a question again."""
        wall = corrected()
        assert "You have nothing to undo" in wall.types("undo")
        wall.types("what's missing", "yes", "undo", "undo")
        assert wall.standing("width, top") == "doubtful"

    def test_what_was_only_read_back_is_in_question_too(self) -> None:
        """The entry that objected to it may be among the lost."""
        wall = wall_after("top 46", "middle 45", "say again")
        wall = holed(wall, 4, 4)
        wall.types("bottom 44")
        assert wall.standing("width, middle") == "doubtful"

    def test_answers_outlive_the_session_and_the_loss_is_asked_about_once(self) -> None:
        """Opened again, what was said yes to stands; a new loss asks anew."""
        wall = corrected()
        wall.types("what's missing", *["yes"] * 5)
        assert wall.view.plan is not None
        wall.restart()
        assert wall.view.plan is not None
        assert "lost" not in wall.types("say again")
        wall = holed(wall, 2, 2)
        assert wall.view.plan is None

    def test_every_board_is_asked_about(self) -> None:
        """A change of boards may be what is lost."""
        wall = wall_after(*A_BOARD, "next board", *A_BOARD, "yes")
        wall = holed(wall, 5, 5)
        for board in ("1", "2"):
            wall.types(f"board {board}")
            assert wall.view.plan is None

    def test_an_entry_that_cannot_be_read_counts_as_lost(self) -> None:
        """Whatever it said, it isn't known."""
        wall = wall_after(*A_BOARD, "yes")
        wall.journal.append(
            "turn", "hanger", {"events": [{"Struck": {"board": "1", "calls": {"Nothing": 1}}}]}, wall.now
        )
        wall.restart()
        assert wall.view.plan is None
        assert wall.standing("width, top") == "doubtful"


class TestScript:
    """A line with every read-back confirmed."""

    def test_a_whole_board(self) -> None:
        """Each line is taken, and what was read back last is settled too."""
        wall = Wall(present=False)
        for line in (*A_BOARD, A_BOX, "box 1 dead and tested"):
            assert take_line(wall.session, line) is None
        finish(wall.session)
        view = wall.view
        assert not view.draft
        assert view.plan is not None
        assert view.plan.openings[0].name == "box 1"

    @pytest.mark.parametrize("line", ["gobbledygook", "bottom 47 and 3"])
    def test_a_refused_or_unclear_line_says_why(self, line: str) -> None:
        """Yes settles no question between two values."""
        wall = Wall()
        assert take_line(wall.session, "top 46") is None
        why = take_line(wall.session, line)
        assert why is not None
        assert len(why) > 20
        assert wall.value("width, bottom") is None

    def test_a_doubt_is_asked_as_in_a_session(self) -> None:
        """Nobody says yes for the file; a yes in it does."""
        wall = Wall()
        for line in ("top 46 7/8", "middle 46 3/4"):
            assert take_line(wall.session, line) is None
        assert "really 64 1/4 in" in (take_line(wall.session, "bottom 64 1/4") or "")
        assert wall.standing("width, bottom") == "doubtful"
        assert take_line(wall.session, "yes") is None
        assert wall.standing("width, bottom") == "confirmed"


def _calls_made(work: Callable[[], object]) -> int:
    made = 0

    def count(_frame: object, event: str, _: object) -> None:
        nonlocal made
        made += event in {"call", "c_call"}

    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(None)
    return made


@pytest.mark.parametrize("width", [46, 26], ids=["scraps", "offcuts"])
def test_a_line_costs_what_its_own_board_holds(width: int) -> None:
    """However many boards were called before, a turn and a look at it are hardly more work: a day's job stays quick."""
    called = (
        f"bottom {width}",
        "height 95 1/2",
        "left edge board",
        "right edge wall",
        "double gang center 12 from left, 48 down",
    )

    def after(boards: int) -> int:
        wall = Wall()
        for line in (f"top {width}", *called, "no more boxes", "done", "yes", "next board") * boards:
            wall.types(line)
        wall.types(f"top {width}")
        return _calls_made(lambda: wall.types(*called)) + _calls_made(lambda: wall.view)

    after(1)  # what is made once is made here
    assert after(24) < 1.2 * after(4)
