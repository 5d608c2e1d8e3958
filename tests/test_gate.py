"""No tool goes into a box that nobody tested now: every surface, and every way in which the word of it falls."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from fieldvoice import safety
from fieldvoice.commands.paper import PrintForm
from fieldvoice.commands.paper import content as paper_content
from fieldvoice.dialogue.looking import look
from fieldvoice.dialogue.session import as_now
from fieldvoice.dialogue.view import View
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.checklist import checklist
from fieldvoice.output.documents.boards import plan_document
from fieldvoice.output.paper.blocks import Made
from fieldvoice.output.screen.compose import compose
from fieldvoice.page.partner import text as page_text
from fieldvoice.records.plan import CutPlan, Method
from fieldvoice.records.said import Care, Caution
from tests.cli.program import fieldvoice
from tests.dialogue.talk import MORNING, Wall, wall_after

S = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
BOX = "box 1 single gang center 30 from left 48 down"


LINES = (
    "{it} is live",
    "{said} is hot",
    "live",
    "careful that one is LIVE",
    "live!",
    "all boxes are live",
    "{it} unknown",
    "power is on",
    "not dead",
    "it's not dead",
    "not tested",
    "{said} isn't dead",
    "energized",
    "breaker is back on",
    "wrong breaker",
    "the tester lit up",
    "no",
    "wrong",
    "undo",
    "P:{it} is live",
    "~{said} is live",
    "hold / {it} is live",
    "next board / {said} is live",
    "next board / all boxes are live",
    "next board / undo",
    "scratch {it}",
    "change {it} to single gang center 20 from left 48 down",
)
"""What is typed, by the partner after P:, or spoken after ~."""


def _hears(wall: Wall) -> None:
    wall.speaks("what's missing", "box one is live")


def _waits(wall: Wall) -> None:
    wall.wait(4.1)


def _sets_back(wall: Wall) -> None:
    """The clock comes to the hour of the test for a second time."""
    wall.wait(-1)
    assert wall.view
    wall.wait(1.5)


OTHERS: dict[str, Callable[[Wall], None]] = {
    "a clock set back": _sets_back,
    "spoken, second": _hears,
    "after four hours": _waits,
    "a new session": Wall.restart,
}
WAYS = (*LINES, *OTHERS)
"""Everything after which the word counts no more."""
OF_A_BOX = LINES[-2:]
"""What is said of boxes alone."""


THINGS = {
    "box 1": (*S, BOX, "yes", "box 1 dead and tested", "yes", "done"),
    "light 1": (
        "on the ceiling",
        *S,
        "6 inch can light center 30 from left 48 down",
        "yes",
        "light 1 is dead and tested",
        "yes",
        "done",
    ),
}
"""What has a circuit behind it, tested by its hanger."""


def _at_each_step(view: View, plan: CutPlan) -> Iterator[View]:
    """The view with each step in hand."""
    for count in range(len(plan.steps)):
        yield replace(view, ticked=frozenset(range(1, count + 1)), acknowledged=True)


def _screen(view: View, plan: CutPlan) -> str:
    return "\n".join(line.plain for one in _at_each_step(view, plan) for line in compose(one, 100, 24).lines)


def _page(view: View, plan: CutPlan) -> str:
    return "\n".join(page_text(one) for one in _at_each_step(view, plan))


def _printed(form: PrintForm) -> Callable[[View, CutPlan], str]:
    """What `print` makes of a board in that form; of a PDF the words that another program reads in it."""

    def shown(view: View, plan: CutPlan) -> str:
        content = paper_content(form, [(view, plan)], None, Made(MORNING, "job", MORNING, "0"), "letter")
        if form is not PrintForm.PDF:
            return content.decode()
        return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)

    return shown


SURFACES: dict[str, Callable[[View, CutPlan], str]] = {
    "screen": _screen,
    "page": _page,
    "JSON": lambda view, _: str(plan_document([view], view.unit)),
    "checklist": lambda view, plan: checklist(plan, view.cautions, room=view.room),
    **{form.value: _printed(form) for form in PrintForm},
}
"""All that shows a board; what a drawing shows without a word is compared with the drawing of an untested one."""
DRAWN = (PrintForm.SVG.value, PrintForm.DXF.value)


def _wall(thing: str) -> Wall:
    """A wall whose thing was tested, its plan settled, and every surface showing the tool at it."""
    wall = wall_after(*THINGS[thing])
    view = wall.session.view("1")
    assert view.plan is not None
    assert not view.draft
    assert [opening.method for opening in view.plan.openings] == [TESTED[thing]]
    return wall


TESTED = {"box 1": Method.ROUT, "light 1": Method.COMPASS}


def _untested(plan: CutPlan, wall: Wall) -> CutPlan:
    """The plan of the same board if nobody had said a word of its circuits."""
    return safety.gate(wall.rooms.solve(replace(plan.board, circuits={})), {}, wall.now)


def _holds(view: View, wall: Wall) -> None:
    """No surface of that view puts the tool into anything."""
    plan = view.plan
    if plan is None:
        return
    assert all(opening.method not in TESTED.values() for opening in plan.openings)
    for name, shown in SURFACES.items():
        assert "rout" not in shown(view, plan).lower().replace("grout", ""), name
    for name in DRAWN:
        assert SURFACES[name](view, plan) == SURFACES[name](view, _untested(plan, wall)), name


def test_what_was_tested_is_on_the_surfaces() -> None:
    """So that its absence below says something: by a word where there are any, by another drawing elsewhere."""
    wall = _wall("box 1")
    view = wall.session.view("1")
    assert view.plan is not None
    for name, shown in SURFACES.items():
        if name in DRAWN:
            assert shown(view, view.plan) != shown(view, _untested(view.plan, wall)), name
        else:
            assert "rout" in shown(view, view.plan).lower(), name


@pytest.mark.parametrize(
    ("way", "thing"), [(way, thing) for way in WAYS for thing in THINGS if thing == "box 1" or way not in OF_A_BOX]
)
def test_after_it_no_surface_puts_a_tool_into_it(way: str, thing: str) -> None:
    """Each surface shows the board as it is at that moment: here, in a session beside this one, and aloud."""
    wall = _wall(thing)
    spoken = _go(way, wall, thing)
    here = wall.session.view("1")
    _holds(here, wall)
    assert look(as_now(wall.journal, wall.now, in_session=True), wall.now, wall.rooms, board="1") == here
    assert "rout" not in spoken
    if not here.draft and here.plan is not None and here.plan.openings:
        wall.types("resume", "board 1", "done")
        aloud = " ".join(each.spoken for each in wall.said)
        assert "No tool goes in" in aloud


def _go(way: str, wall: Wall, thing: str) -> str:
    """That way, with the name of the thing; what was said aloud to it."""
    if way in OTHERS:
        OTHERS[way](wall)
        return ""
    for line in way.format(it=thing, said=thing.replace("1", "one")).split(" / "):
        if line.startswith("~"):
            wall.speaks(line[1:])
        else:
            wall.types(line.removeprefix("P:"), who="partner" if line.startswith("P:") else "hanger")
    return " ".join(each.spoken for each in wall.said).lower()


@pytest.mark.parametrize("spoil", ["box 2 is live", "say again", "what's missing", "top 46 7/8"])
def test_what_is_no_danger_to_it_leaves_it(spoil: str) -> None:
    """It is no gate that shuts for anything: people would stop to listen."""
    wall = wall_after(*THINGS["box 1"], "next board", "box 2 single gang center 12 from left 48 down", "yes", spoil)
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
    """It may show the other way, and every surface with a line of words says so."""
    wall = Wall(demonstration=True)
    wall.types(*THINGS["box 1"])
    view = wall.view
    assert view.demonstration
    assert view.cautions[0] == Caution(Care.DEMONSTRATION)
    assert view.plan is not None
    for name in ("screen", "page", "checklist", "pdf", "text"):
        assert "demonstration" in SURFACES[name](view, view.plan).lower(), name


def test_the_yes_for_one_box_is_no_yes_for_another() -> None:
    """Box two isn't box one."""
    wall = wall_after(*S, BOX, "box 2 single gang center 12 from left 48 down", "yes", "box 1 dead and tested")
    wall.types("yes box two is dead and tested")
    assert dict(wall.session.state.circuits("1")) == {}


@pytest.mark.parametrize("tested", [True, False])
def test_a_window_is_cut_on_the_wall_only_beside_a_tested_box(tested: bool) -> None:
    """Its side runs through the box."""
    wall = wall_after(*S, BOX, "yes", "window 20 by 20 center 30 from left 48 down", "yes", "cut it in place", "yes")
    wall.types(*(("box 1 dead and tested", "yes") if tested else ()), "done")
    plan = wall.view.plan
    assert plan is not None
    assert not wall.view.draft
    assert (Method.IN_PLACE in [opening.method for opening in plan.openings]) is tested


def test_a_reader_of_a_closed_job_finds_nothing_tested() -> None:
    """And beside an open session it finds what that session shows."""
    journal = MemoryJournal()
    wall = Wall(journal)
    wall.types(*THINGS["box 1"])
    assert as_now(journal, wall.now, in_session=True).circuits("1")
    assert not as_now(journal, wall.now, in_session=False).circuits("1")
    assert wall.session.view().circuits
