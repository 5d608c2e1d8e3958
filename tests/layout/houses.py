"""Houses as text, drawn at random: what is built, and now and then what hardly anybody builds; and houses of a text."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Sequence
from functools import cache
from typing import Any
from unittest.mock import patch

from fieldvoice import data_folder
from fieldvoice.files.planning_files import read_house
from fieldvoice.layout.planning import plan
from fieldvoice.layout.solving import Solved
from fieldvoice.output.documents.rooms import room_document
from fieldvoice.output.room_work import room_work, room_work_document
from fieldvoice.records.laying import PlannersWish
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import Piece, RoomPlan
from fieldvoice.wording.room import file_fault_text


def plan_at_once(house: House, wishes: Sequence[PlannersWish] = (), done: Sequence[Piece] = ()) -> RoomPlan:
    """The first plan that keeps every rule, for tests that look at what is made of one: no better is looked for."""
    with patch(
        "fieldvoice.layout.planning.solve", lambda _, first, __: Solved(first.chosen, first.fills, first.cost, 0)
    ):
        return plan(house, wishes, done)


def house_of(text: str) -> House:
    """The house of a text, which must have no fault."""
    read = read_house(text)
    assert isinstance(read, House), [file_fault_text(fault) for fault in read]
    return read


def lake_house() -> House:
    """The house that comes along: kitchen, bath, bedroom under a slope, hall."""
    return house_of((data_folder("houses") / "lake_house.toml").read_text(encoding="utf-8"))


@cache
def lake_plan() -> RoomPlan:
    """That house, planned once for all who look at it."""
    return plan(lake_house())


def printed_with_its_work(made: RoomPlan) -> dict[str, Any]:
    """The document of a plan and of the work that it takes, as a program reads it."""
    document = {**room_document(made), **room_work_document(room_work(made), made.unit)}
    read: dict[str, Any] = json.loads(json.dumps(document))
    return read


def house_text(draw: random.Random, surfaces: int = 4) -> str:
    """A house of some walls and ceilings that share sheets."""
    metric = draw.random() < 0.15
    parts = ["[job]", f'unit = "{"mm" if metric else "in"}"', f"sheets = {_sheets(draw, metric=metric)}"]
    for number in range(draw.randint(1, surfaces)):
        parts += (_ceiling if draw.random() < 0.3 else _wall)(draw, number, metric=metric)
    return "\n".join(parts) + "\n"


def wide_open_text(draw: random.Random) -> str:
    """A wall with an opening that reaches from wall to wall, from floor to ceiling, or over nearly all of it; now and
    then with another right on top of it.
    """
    wide, high = draw.randrange(20, 330), draw.choice((84, 96, 97, 104, 108, 145))
    lines = ["[job]", 'unit = "in"', f"sheets = {_sheets(draw, metric=False)}", "[[wall]]", 'room = "room 1"']
    lines += ['name = "north"', f"width = {wide}", f'height = "{high} {draw.choice(("1/4", "1/2", "7/8"))}"']
    lines.append(f'studs = "{draw.choice((16, 24))} on center from {draw.choice(("left", "right"))}"')
    if draw.random() < 0.4:
        lines.append(draw.choice(('lies = "standing"', "layers = 2")))
    left = draw.choice((0, 0, draw.randrange(0, wide // 2)))
    width = draw.choice((wide - left, wide - left, draw.randrange(1, wide - left + 1)))
    bottom = draw.choice((0, 0, draw.randrange(0, high // 2)))
    height = draw.choice((high - bottom, high - bottom - 1, draw.randrange(1, high - bottom + 1)))
    kind = "door" if not bottom else "window"
    lines += ["[[wall.opening]]", f'kind = "{kind}"', f"left = {left}", f"bottom = {bottom}"]
    lines += [f"width = {width}", f"height = {height}"]
    over = high - bottom - height
    if over and draw.random() < 0.5:
        narrower = draw.choice((width, draw.randrange(1, width + 1)))
        lines += ["[[wall.opening]]", 'kind = "other"', f"left = {left + draw.choice((0, width - narrower))}"]
        lines += [f"bottom = {bottom + height}", f"width = {narrower}"]
        lines.append(f"height = {draw.choice((over, draw.randrange(1, over + 1)))}")
    return "\n".join(lines) + "\n"


def broken_top(draw: random.Random, wide: int, low: int) -> tuple[str, list[int]]:
    """How the top of a wall runs that rises and then falls: a peak, or up to four places; and where these are."""
    if draw.random() < 0.6:
        across = draw.choice((wide // 2, draw.randrange(wide // 6 + 1, wide - wide // 6)))
        right = draw.choice((low, draw.randrange(0, 90)))
        high = max(low, right) + draw.choice((draw.randrange(1, 30), draw.randrange(30, 100)))
        ends = "" if right == low else f'top_right_height = "{right}"\n'
        return f'{ends}peak_height = "{high}"\npeak_from_left = "{across}"', [across]
    places = sorted(draw.sample(range(4, wide - 3), draw.randint(2, 4)))
    rises = draw.randrange(1, len(places))
    heights, high = list[int](), low
    for number in range(len(places)):
        high += draw.choice((0, draw.randrange(1, 40))) if number <= rises else -draw.randrange(0, max(1, high - low))
        heights.append(max(high, low, 8))
    listed = ", ".join(f'["{place}", "{height}"]' for place, height in zip(places, heights, strict=True))
    return f"top_breaks = [{listed}]", places


def _sheets(draw: random.Random, *, metric: bool) -> str:
    if metric:
        return draw.choice(('["1200 x 2400", "1200 x 3000"]', '["1200 x 3600"]', '["1200 x 2400", "1200 x 2700"]'))
    lengths = draw.sample((96, 120, 144, 168, 192), draw.randint(1, 3))
    sizes = [f'"48 x {length}"' for length in sorted(lengths)]
    if draw.random() < 0.3:
        sizes.append(f'"54 x {draw.choice((96, 144))}"')
    return f"[{', '.join(sizes)}]"


def _size(draw: random.Random, low: int, high: int, *, metric: bool) -> str:
    if metric:
        return str(draw.randrange(low * 25, high * 25, draw.choice((5, 10, 50))))
    whole = draw.randrange(low, high)
    return draw.choice((str(whole), f"{whole} 1/2", f"{whole} 1/4", f"{whole} 5/8", f"{whole} 3/16"))


def _wall(draw: random.Random, number: int, *, metric: bool) -> list[str]:
    wide = draw.randrange(20, 330)
    high = draw.choice((30, 84, 96, 96, 97, 104, 108, 120, 145))
    studs = draw.choice((16, 16, 24, 12)) if not metric else draw.choice((400, 600))
    side = draw.choice(("left", "left", "right"))
    width = str(wide * 25) if metric else draw.choice((str(wide), f"{wide} 1/2", f"{wide} 3/8"))
    height = str(high * 25) if metric else draw.choice((str(high), f"{high} 1/2", f"{high} 1/4", f"{high} 7/8"))
    lines = ["[[wall]]", f'room = "room {number + 1}"', 'name = "north"', f'width = "{width}"', f'height = "{height}"']
    lines.append(f'studs = "{studs} on center from {side}"')
    if draw.random() < 0.12:
        lines += _sloping(draw, wide, high, metric=metric)
    elif draw.random() < 0.2:
        lines.append('lies = "standing"')
    if draw.random() < 0.15:
        lines.append("layers = 2")
    return lines + _openings(draw, wide, high, metric=metric)


def _sloping(draw: random.Random, wide: int, high: int, *, metric: bool) -> list[str]:
    """A top that slopes, or breaks; what is built in millimeters breaks as well, at whole ones."""
    if wide < 40 or draw.random() < 0.5:
        return [f'top_right_height = "{_size(draw, high, high + 60, metric=metric)}"']
    line, _ = broken_top(draw, wide, high + 1)
    return [re.sub(r"\d+", lambda figure: str(int(figure[0]) * 25), line) if metric else line]


def _openings(draw: random.Random, wide: int, high: int, *, metric: bool) -> list[str]:
    lines: list[str] = []
    at, unit = draw.randrange(0, 40), 25 if metric else 1
    for _ in range(draw.randrange(0, 4)):
        width = draw.choice((24, 30, 34, 36, 48, 72))
        if at + width > wide:
            break
        door = draw.random() < 0.4
        bottom = 0 if door else draw.choice((12, 24, 36, 48))
        top = min(high - draw.choice((0, 2, 10, 14)), draw.choice((80, 82, 84, 60, 200)))
        if top > bottom:
            lines += ["[[wall.opening]]", f'kind = "{"door" if door else "window"}"', f"left = {at * unit}"]
            lines += [f"bottom = {bottom * unit}", f"width = {width * unit}", f"height = {(top - bottom) * unit}"]
        at += width + draw.randrange(1, 90)
    return lines


def _ceiling(draw: random.Random, number: int, *, metric: bool) -> list[str]:
    joists = draw.choice((16, 16, 24)) if not metric else draw.choice((400, 600))
    along = draw.choice(("width", "length"))
    lines = ["[[ceiling]]", f'room = "room {number + 1}"', 'name = "ceiling"']
    lines.append(f'width = "{_size(draw, 30, 300, metric=metric)}"')
    lines.append(f'length = "{_size(draw, 30, 300, metric=metric)}"')
    lines.append(f'joists = "{joists} on center along {along}"')
    if draw.random() < 0.2:
        lines.append(f'lies = "{draw.choice(("lying", "standing"))}"')
    if draw.random() < 0.15:
        lines.append("layers = 2")
    if draw.random() < 0.2:
        unit = 25 if metric else 1
        size = 12 * unit
        lines += ["[[ceiling.opening]]", 'kind = "other"', f"left = {6 * unit}", f"bottom = {8 * unit}"]
        lines += [f"width = {size}", f"height = {size}"]
    return lines
