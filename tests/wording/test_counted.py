"""One of a thing is told as one, in every sentence that counts."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from fieldvoice.records.board import Offcut
from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Slot
from fieldvoice.records.plan import Gap
from fieldvoice.wording.boards import partner_cut
from fieldvoice.wording.captions import count_of_sheets, gaps
from fieldvoice.wording.forms import counted, offcut_text
from fieldvoice.wording.notices import say
from fieldvoice.wording.room import list_text


def sentences(count: int) -> tuple[str, ...]:
    """What tells a count, each with that one."""
    house = say(Notice(Tell.HOUSE, ("den", count, "kitchen")), Unit.INCH)
    room = say(Notice(Tell.ROOM, ("den", 0, count)), Unit.INCH)
    laid = say(Notice(Tell.LAYOUT, (count, count, Length(48), Length(96))), Unit.INCH)
    return (
        *(text for one in (house, room, laid) for text in (one.text, one.spoken)),
        partner_cut("1", count),
        count_of_sheets(count, "48 x 96"),
        list_text(count, Fraction(8), Fraction(8), Unit.INCH),
    )


@pytest.mark.parametrize("count", [1, 2, 11, 21, 101])
def test_a_count_and_its_noun_agree(count: int) -> None:
    """For the eye and for the ear."""
    for sentence in sentences(count):
        one = re.search(r"\b(1|one) (sheets|pieces|steps|walls|boards|entries)\b", sentence)
        more = re.search(r"\b(?!1\b)\d+ (sheet|piece|step|wall|board|entry)\b", sentence)
        assert not (one if count == 1 else more), sentence


def test_what_takes_no_s() -> None:
    """Several of it have a word of their own."""
    assert [counted(each, "entry", "entries") for each in (0, 1, 2)] == ["0 entries", "1 entry", "2 entries"]


def test_an_offcut_is_told_as_its_sheet_lies_however_short_it_is() -> None:
    """Across and along, as a sheet is; what of it is tapered is so on a strip that is wider than long, too."""
    left = Offcut("5A", Length("6 1/8"), Length(48), frozenset({Edge.TOP, Edge.BOTTOM, Edge.LEFT}))
    assert offcut_text(left, Unit.INCH) == "48 x 6 1/8 in, factory edges: both tapered edges and one end"


def test_a_gap_that_is_none_is_told_as_none() -> None:
    """No page says that a gap of 0 stays open."""
    open_, tight = Gap(Edge.RIGHT, Slot.TOP, Length("3/16")), Gap(Edge.LEFT, Slot.TOP, Length(0))
    assert gaps([open_], Unit.INCH) == "Checked: once hung these gaps stay open (in): right at top 3/16."
    assert gaps([tight], Unit.INCH) == "Checked: once hung no gap stays open: left at top."
    assert gaps([open_, tight], Unit.INCH).endswith("right at top 3/16. No gap: left at top.")
