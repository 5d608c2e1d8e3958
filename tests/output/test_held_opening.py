"""An opening that waits to be measured again: no surface gives a mark to cut it by."""

from __future__ import annotations

import io
from dataclasses import replace

from ezdxf.filemanagement import read

from fieldvoice.output.checklist import checklist
from fieldvoice.output.documents.boards import write_table
from fieldvoice.output.drawing.board import board_picture
from fieldvoice.output.dxf import dxf
from fieldvoice.output.paper.blocks import Paper
from fieldvoice.output.paper.board_page import board_pages
from fieldvoice.records.plan import CutPlan, Does
from tests.output.drawing.test_board_drawing import texts
from tests.output.paper.views import BOARD, MADE, planned

VIEW, _SETTLED = planned(*BOARD)


def held() -> CutPlan:
    """The plan of a board whose box waits: no step marks or makes it."""
    steps = tuple(step for step in _SETTLED.steps if step.opening is None)
    return replace(_SETTLED, openings=(replace(_SETTLED.openings[0], held=True),), steps=steps)


def test_the_settled_box_has_its_marks() -> None:
    """What the others look for is there when nothing waits."""
    assert "29 1/8" in texts(board_picture(_SETTLED, 115, 125))


def test_the_drawing_shows_where_it_is_and_no_mark() -> None:
    """Its name says to measure again."""
    read = texts(board_picture(held(), 115, 125))
    assert "box 1: measure again" in read
    assert not {"29 1/8", "31 3/8", "49 7/8"} & set(read)


def test_paper_says_that_it_waits() -> None:
    """On the page and on the plain text."""
    (page,) = board_pages(replace(VIEW, plan=held()), held(), Paper.LETTER, MADE)
    text = " ".join(label.text for label in page.labels)
    assert "waits: measure it again" in text
    assert "31 3/8" not in text
    plain = " ".join(checklist(held(), ()).split())
    assert "waits: measure it again" in plain
    assert "31 3/8" not in plain


def test_no_table_and_no_cutting_table_gets_it() -> None:
    """CSV names it without a length; the DXF has no outline of it."""
    out = io.StringIO()
    write_table([replace(VIEW, plan=held())], out)
    assert "waits: measure it again" in out.getvalue()
    assert "31 3/8" not in out.getvalue()
    document = read(io.StringIO(dxf([held()]).decode()))
    assert not document.modelspace().query('*[layer=="OPENINGS"]')
    assert document.modelspace().query('*[layer=="BOARD"]')
    assert all(step.does is not Does.MAKE_OPENING for step in held().steps)
