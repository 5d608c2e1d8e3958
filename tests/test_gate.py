"""No tool goes into a box that nobody tested now: every surface, and every way in which the word of it falls."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldvoice.commands.talk import Talk
from fieldvoice.dialogue.session import as_now
from fieldvoice.dialogue.view import View
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.checklist import checklist
from fieldvoice.output.documents import plan_document
from fieldvoice.output.screen import compose
from fieldvoice.output.table import write_table
from fieldvoice.page.document import text as page_text
from fieldvoice.records.plan import Method
from tests.cli.program import fieldvoice
from tests.dialogue.talk import Wall

S = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
BOX = "box 1 single gang center 30 from left 48 down"
D = (*S, BOX, "yes", "box 1 dead and tested", "yes", "done")


def _waits(wall: Wall) -> None:
    wall.wait(4.1)


WAYS: dict[str, Callable[[Wall], object]] = {
    **{
        line: lambda wall, line=line: wall.types(line)  # type: ignore[misc]
        for line in (
            "box 1 is live",
            "box one is hot",
            "live",
            "careful that one is LIVE",
            "live!",
            "all boxes are live",
            "box 1 unknown",
            "power is on",
            "not dead",
            "it's not dead",
            "not tested",
            "box one isn't dead",
            "energized",
            "breaker is back on",
            "wrong breaker",
            "the tester lit up",
            "no",
            "wrong",
            "undo",
            "scratch box 1",
            "change box 1 to single gang center 20 from left 48 down",
            "P:box 1 is live",
        )
    },
    "spoken": lambda wall: wall.speaks("box one is live"),
    "spoken, second": lambda wall: wall.speaks("what's missing", "box one is live"),
    "while holding": lambda wall: wall.types("hold", "box 1 is live"),
    "from the next board": lambda wall: wall.types("next board", "box one is live"),
    "from the next board, all": lambda wall: wall.types("next board", "all boxes are live"),
    "no from the next board": lambda wall: wall.types("next board", "undo"),
    "after four hours": _waits,
    "a new session": lambda wall: wall.restart(),
}
"""Everything after which the word counts no more."""


def _screen(view: View) -> str:
    return "\n".join(line.plain for line in compose(view, 100, 60))


def _table(view: View) -> str:
    out = io.StringIO()
    write_table([view], out)
    return out.getvalue()


def _paper(view: View) -> str:
    return "" if view.plan is None else checklist(view.plan, view.cautions, room=view.room)


SURFACES: dict[str, Callable[[View], str]] = {
    "screen": _screen,
    "paper": _paper,
    "page": page_text,
    "JSON": lambda view: str(plan_document([view], view.unit)),
    "table": _table,
}


@pytest.mark.parametrize("way", WAYS)
def test_after_it_no_surface_puts_a_tool_into_the_box(way: str) -> None:
    """Each surface shows the board as it is at that moment."""
    wall = Wall()
    wall.types(*D)
    assert "rout" in _paper(wall.session.view("1")).lower()
    WAYS[way](wall) if not way.startswith("P:") else wall.types(way[2:], who="partner")
    view = wall.session.view("1")
    if view.plan is not None:
        assert all(opening.method is not Method.ROUT for opening in view.plan.openings)
    for name, shown in SURFACES.items():
        assert "rout" not in shown(view).lower().replace("grout", ""), name


@pytest.mark.parametrize("spoil", ["box 2 is live", "say again", "what's missing", "top 46 7/8"])
def test_what_is_no_danger_to_it_leaves_it(spoil: str) -> None:
    """It is no gate that shuts for anything: people would stop to listen."""
    wall = Wall()
    wall.types(*D, "next board", "box 2 single gang center 12 from left 48 down", "yes", spoil)
    plan = wall.session.view("1").plan
    assert plan is not None
    assert [opening.method for opening in plan.openings] == [Method.ROUT]


def test_a_file_tests_nothing(tmp_path: Path) -> None:
    """`cut` and `replay`, however often the file says yes."""
    file = tmp_path / "room.txt"
    file.write_text("\n".join((*S, BOX, "yes", "box 1 dead and tested", "yes", "done")))
    for command in ("cut", "replay"):
        ran = fieldvoice(command, str(file))
        assert "rout" not in ran.out.lower().replace("grout", ""), command


def test_a_demonstration_says_that_it_is_one() -> None:
    """It may show the other way, and every surface says so."""
    wall = Wall(demonstration=True)
    wall.types(*D)
    view = wall.view
    assert view.demonstration is not None
    assert view.cautions[0] == view.demonstration
    assert "DEMONSTRATION" in _paper(view)


def test_the_yes_for_one_box_is_no_yes_for_another() -> None:
    """Box two isn't box one."""
    wall = Wall()
    wall.types(*S, BOX, "box 2 single gang center 12 from left 48 down", "yes", "box 1 dead and tested")
    wall.types("yes box two is dead and tested")
    assert dict(wall.session.state.circuits("1")) == {}


def test_a_window_beside_an_untested_box_is_not_cut_on_the_wall() -> None:
    """Its side runs through the box."""
    wall = Wall()
    wall.types(*S, BOX, "window 20 by 20 center 30 from left 48 down", "yes", "yes", "done")
    plan = wall.view.plan
    if plan is not None:
        assert all(opening.method is not Method.IN_PLACE for opening in plan.openings)


def test_a_reader_of_a_closed_job_finds_nothing_tested() -> None:
    """And beside an open session it finds what that session shows."""
    journal = MemoryJournal()
    wall = Wall(journal)
    wall.types(*D)
    assert as_now(journal, wall.now, in_session=True).circuits("1")
    assert not as_now(journal, wall.now, in_session=False).circuits("1")
    assert Talk(wall.session).look().circuits
