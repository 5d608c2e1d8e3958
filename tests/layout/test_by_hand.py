"""A wall worked out by hand, every piece, joint and sheet of it.

A wall of 18 ft, 96 1/2 in high, studs at 16, 32 … from the left, a door from 30 to 64 in and 82 in high, a window from
120 to 156 in across and from 36 to 84 in up. Sheets of 10 and of 12 ft.

Two full courses leave 1/2 in at the floor: nothing is ripped. The upper course is 216 in long and no sheet reaches, so
it has one joint, at a: on a stud, both pieces no longer than 144, so from 72 to 144, and not within 6 in of a jamb:
80, 96, 112, 128 or 144. The door takes the lower course from 30 to 64 in: a piece of 30, and 152 in with one joint, at
b: on a stud, 24 in or more from both ends, 6 in from a jamb (160 isn't): 96, 112, 128, 144, 176 or 192.

Sheets: 216 + 30 + 152 is 398 in. Sheets come in steps of 24 in, so that 408 is the least, and 408 is one of 120 and two
of 144. That is 34 ft, with 10 in to lose.

    a = 80:  80, 136        136 (8 lost). 80 and 40, 30 and 112 (2): b = 176. 80 and 64, 30 and 88 (2): b = 128
    a = 96:  96, 120        the 120 alone or with 24; what is left loses more than 10, or b is within 24 in
    a = 112: 112, 104       30 and 112 (2), 104 and 40, 112 (8): b = 176
    a = 128: 128, 88        the 128 loses 16
    a = 144: 144, 72        144. 120, and 72, 30 and 32 (10): b = 96. 72 and 48, 30 and 104 (10): b = 112.
                            72 and 40 (8), 30 and 112 (2): b = 176

So six layouts need 34 ft, and no layout needs less. The one to take is that with the least butt joint. A butt joint is
as long as its course is high, 48 in, but where it runs out into the window: of the upper course at 144, 12 1/2 in; of
the lower one at 128, 35 1/2 in. So 144 it is for the upper one, with 60 1/2 in of butt joint in all, and five pieces
whichever b it is. The tapered joint runs from wall to wall less the door and the window: 216 - 34 - 36 is 146 in.
"""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.layout.planning import plan
from fieldvoice.records.length import Length
from fieldvoice.records.room_plan import JointKind
from tests.layout.check import problems
from tests.layout.houses import house_of
from tests.layout.test_plans import document, wall

TEXT = '[job]\nunit = "in"\nsheets = ["48 x 120", "48 x 144"]\n' + wall(
    "long", "216", "96 1/2", "door 30 0 34 82", "window 120 36 36 48"
)


def test_sheets_and_feet() -> None:
    """One of ten feet and two of twelve, and nothing can need less."""
    printed = document(TEXT)
    assert {one["size"]: one["count"] for one in printed["sheets"]} == {"48 x 120": 1, "48 x 144": 2}
    assert (printed["board_feet"], printed["bound_feet"], printed["proved"]) == ("34", "34", True)
    assert (printed["butt_joint_feet"], printed["bound_butt_joint_feet"]) == ("5 1/24", "5 1/24")
    assert (printed["piece_count"], printed["bound_piece_count"]) == (5, 5)
    assert problems(TEXT, printed) == []


SIX = {(80, 176), (80, 128), (112, 176), (144, 96), (144, 112), (144, 176)}
"""Where the joint of the upper course and that of the lower one are."""


def _joints() -> tuple[Fraction, Fraction]:
    (surface,) = plan(house_of(TEXT)).surfaces
    ends: dict[Length, list[Fraction]] = {one.y: [] for one in surface.pieces}
    for one in surface.pieces:
        ends[one.y].append(one.right.inches)
    upper, lower = sorted(ends[Length("48 1/2")]), sorted(ends[Length("1/2")])
    return upper[0], lower[1]


def test_pieces() -> None:
    """Five: the upper course divided once, the lower at the door and once more."""
    (surface,) = plan(house_of(TEXT)).surfaces
    a, b = _joints()
    assert (int(a), int(b)) in SIX
    low, high = Fraction(1, 2), Fraction(97, 2)
    placed = sorted((one.y.inches, one.x.inches, one.right.inches) for one in surface.pieces)
    assert placed == [(low, 0, 30), (low, 64, b), (low, b, 216), (high, 0, a), (high, a, 216)]
    assert {one.height for one in surface.pieces} == {Length(48)}


def test_joints() -> None:
    """Each as long as it is outside the openings."""
    (surface,) = plan(house_of(TEXT)).surfaces
    a, b = _joints()
    assert (int(a), int(b)) in {(144, 96), (144, 112), (144, 176)}, "the others have 83 1/2 in or more of butt joint"
    butt = Fraction(25, 2) + 48
    lengths = {kind: sum(joint.length.inches for joint in surface.joints if joint.kind is kind) for kind in JointKind}
    assert lengths == {JointKind.BUTT: butt, JointKind.TAPERED: 146}
