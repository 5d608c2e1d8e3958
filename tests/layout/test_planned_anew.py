"""A plan changed by a word, and by what was cut: planned anew, every rule kept."""

from __future__ import annotations

import json
import random
from collections.abc import Collection
from dataclasses import dataclass

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document
from fieldvoice.records.board import Lies, Offcut, Sheet
from fieldvoice.records.laying import HangThem, Hung, OnlyLengths, PlannersWish, StartFrom
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import Pattern, Piece, PieceName, PlacedPiece, RoomPlan, RoomWarningCode
from fieldvoice.stock.rack import Rack, named
from tests.layout.check import problems
from tests.layout.houses import house_of, plan_at_once
from tests.layout.test_plans import DEN, JOB, wall


@dataclass(frozen=True, slots=True)
class HalfHung:
    """Pieces that hang, and the rack as it then is. Pieces that are cut and don't hang yet lie among the offcuts."""

    done: tuple[Piece, ...]
    rack: Rack


def half_hung(made: RoomPlan, hung: Collection[PieceName]) -> HalfHung:
    """Where a job stands once these pieces of a plan hang: sheets of which one hangs are cut up, the others whole."""
    rack = Rack()
    for pattern in made.patterns:
        if not any(piece.name in hung for piece in pattern.pieces):
            continue
        rack = cut_up(rack, pattern)
        rack = rack.with_offcuts(_loose(pattern, piece) for piece in pattern.pieces if piece.name not in hung)
    return HalfHung(tuple(piece for piece in made.pieces if piece.name in hung), rack)


def what_hangs_stays(text: str, seed: int) -> tuple[RoomPlan, RoomPlan]:
    """A house, and the rest of it planned once a part of it hangs, which is where it was."""
    draw = random.Random(seed)
    made = plan_at_once(house_of(text))
    hung = {piece.name for piece in made.pieces if draw.random() < 0.5}
    half = half_hung(made, hung)
    rest = plan(made.house, (), half.done, half.rack.offcuts)
    places = {(piece.name, piece.x, piece.y, piece.width, piece.height) for piece in made.pieces if piece.name in hung}
    assert places <= {(piece.name, piece.x, piece.y, piece.width, piece.height) for piece in rest.pieces}
    return made, rest


def cut_up(rack: Rack, pattern: Pattern) -> Rack:
    """The rack once a sheet, or an offcut of the rack, is cut up."""
    used = rack if pattern.offcut is None else rack.without({pattern.offcut.name})
    return used.with_offcuts(named(str(pattern.pieces[0].name), pattern.left_over))


def _loose(pattern: Pattern, piece: PlacedPiece) -> Offcut:
    """A piece that is cut and doesn't hang yet, as an offcut under its own name."""
    sheet = pattern.sheet
    return Offcut(str(piece.name), piece.length, piece.width, piece.factory, sheet.thickness, sheet.kind)


def sound(text: str, made: RoomPlan) -> RoomPlan:
    """A plan in which the check finds nothing."""
    assert problems(text, json.loads(json.dumps(room_document(made)))) == []
    return made


def wished(text: str, *wishes: PlannersWish) -> RoomPlan:
    """A plan with wishes, held to every rule."""
    return sound(text, plan(house_of(text), wishes))


def test_start_from_the_right() -> None:
    """The upper course begins with a whole sheet at the right end."""
    text = JOB + wall("east", "180").replace("from left", "from right")
    right = wished(text, StartFrom(Edge.RIGHT)).pieces[0]
    left = wished(text, StartFrom(Edge.LEFT)).pieces[0]
    assert (left.x, left.name.number) == (Length(0), 1)
    assert (right.right, right.name.number) == (Length(180), 1)
    assert right.width in {Length(96), Length(120), Length(144)}
    grudging = wished(JOB + wall("east", "180"), StartFrom(Edge.RIGHT)).pieces[0]
    assert grudging.width == Length(132), "no whole sheet ends on a stud: the longest piece that does"


def test_stand_them_up() -> None:
    """Every sheet of the wall that is named stands; the others lie as before."""
    made = wished(DEN, HangThem(Lies.STANDING, SurfaceName("den", "north")))
    stands = {piece.name.surface.name for piece in made.pieces if piece.lies is Lies.STANDING}
    assert stands == {"north"}


def test_twelve_footers_only() -> None:
    """No other length is bought; a length that isn't listed can't be planned with."""
    made = wished(DEN, OnlyLengths((Length(144),)))
    assert {str(one.sheet.length) for one in made.sheets} == {"144"}
    with pytest.raises(CannotCut, match="length"):
        plan(house_of(DEN), [OnlyLengths((Length(168),))])


def test_a_wish_that_cannot_be_kept_is_told() -> None:
    """No wall is begun at its floor."""
    made = wished(JOB + wall("north", "144"), StartFrom(Edge.BOTTOM))
    assert [warning.code for warning in made.warnings] == [RoomWarningCode.WISH_NOT_KEPT]


def test_what_hangs_stays_and_the_rest_is_planned_anew() -> None:
    """Two walls hang: their pieces stay where they are, and no more is bought than before."""
    made = sound(DEN, plan(house_of(DEN)))
    hung = {piece.name for piece in made.pieces if piece.name.surface.name in {"north", "east"}}
    half = half_hung(made, hung)
    rest = plan(made.house, (), half.done, half.rack.offcuts)
    kept = {(p.name, p.x, p.y, p.width, p.height) for p in rest.pieces if p.name in hung}
    assert kept == {(p.name, p.x, p.y, p.width, p.height) for p in made.pieces if p.name in hung}
    spent = sum(
        (p.sheet.length.inches / 12 for p in made.patterns if any(piece.name in hung for piece in p.pieces)),
        start=Length(0).inches,
    )
    assert spent + rest.feet <= made.feet
    assert not {piece.name for one in rest.patterns for piece in one.pieces} & hung


@pytest.mark.parametrize("seed", range(8))
def test_any_part_may_hang(seed: int) -> None:
    """Whatever hangs of a plan, the rest is never more than what was to be bought for it."""
    draw = random.Random(seed)
    made = plan(house_of(DEN))
    hung = {piece.name for piece in made.pieces if draw.random() < 0.5}
    half = half_hung(made, hung)
    rest = plan(made.house, (), half.done, half.rack.offcuts)
    bought = [p for p in made.patterns if any(piece.name in hung for piece in p.pieces)]
    spent = sum((one.sheet.length.inches / 12 for one in bought), start=Length(0).inches)
    assert rest.bound_feet <= rest.feet <= made.feet - spent
    assert {piece.name for piece in rest.pieces} >= hung


def test_upper_boards_stay_at_the_ceiling_of_a_wall_whose_height_is_mended() -> None:
    """Some of them cut, then the wall read higher or lower: the rest is laid out below them."""
    draw, ripped = random.Random(1), 0
    for _ in range(60):
        width, eighths = draw.randrange(40, 300), draw.randrange(84 * 8, 130 * 8)
        mended = eighths + draw.choice((-16, -8, -4, -1, 1, 4, 8, 16, 64, 100))
        was, now = (
            house_of(JOB + wall("north", str(width), f"{high // 8} {high % 8}/8")) for high in (eighths, mended)
        )
        laid = plan_at_once(was).pieces
        upper = [piece for piece in laid if piece.top == was.surfaces[0].highest]
        cut = [Hung.of(piece, was.surfaces[0]) for piece in upper[: draw.randint(1, len(upper))]]
        done = [one.on(now.surfaces[0]).piece(piece.name) for one, piece in zip(cut, upper, strict=False)]
        made = {piece.name: piece for piece in plan_at_once(now, done=done).pieces}
        for piece in done:
            assert made[piece.name].top == now.surfaces[0].highest
            assert (made[piece.name].x, made[piece.name].height) == (piece.x, piece.height)
        ripped += done[0].height < Length(48)
    assert ripped > 3


def test_an_offcut_on_the_rack_is_used_first() -> None:
    """A wall of 40 in: an offcut of 44 in by 48 in gives one course, and a second one the other."""
    text = JOB + wall("closet", "40")
    offcut = Offcut("7B", Length(44), Length(48), frozenset({Edge.TOP, Edge.BOTTOM}))
    without, with_it = plan(house_of(text)), plan(house_of(text), rack=[offcut])
    assert without.feet == with_it.feet == 8
    both = plan(house_of(text), rack=[offcut, Offcut("9A", Length(40), Length(48), frozenset({Edge.TOP}))])
    assert both.feet == 0
    assert both.proved
    assert {one.offcut.name for one in both.patterns if one.offcut} == {"7B", "9A"}


def test_every_cut_registers_what_it_leaves() -> None:
    """The rack holds every offcut of 6 in and more, each under a name of its own."""
    made = plan(house_of(DEN))
    rack = Rack()
    for pattern in made.patterns:
        rack = cut_up(rack, pattern)
    rack = rack.with_offcuts(named("1", [one for pattern in made.patterns for one in pattern.left_over]))
    assert len({one.name for one in rack.offcuts}) == len(rack.offcuts)
    assert all(min(one.length, one.width) >= Length(6) for one in rack.offcuts)


def test_a_name_is_never_given_twice() -> None:
    """An offcut that is gone keeps its name: it may be written on something still."""
    scrap = Offcut("3A", Length(20), Length(20), frozenset())
    rack = Rack().with_offcuts([scrap]).without({"3A"}).with_offcuts([scrap])
    assert [one.name for one in rack.offcuts] == ["3A2"]


def test_a_sheet_is_what_the_surface_asks_for() -> None:
    """Boards of another thickness are cut from sheets of their own."""
    text = JOB + wall("north", "60") + wall("south", "60", more='thickness = "5/8"')
    made = sound(text, plan(house_of(text)))
    assert {one.sheet for one in made.sheets} == {
        Sheet(Length(48), Length(120), Length(size), "regular") for size in ("1/2", "5/8")
    }
