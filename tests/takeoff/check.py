"""A planned room's fasteners and quantities, checked from its file and its printed document alone."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from fractions import Fraction
from itertools import pairwise
from math import hypot
from typing import Any

from tests.layout.check import Area
from tests.layout.check import _ceiling as ceiling_area
from tests.layout.check import _wall as wall_area
from tests.layout.check_sheets import Rect, number

INCH = {"in": Fraction(1), "mm": Fraction(254, 10)}
Line = list[tuple[Fraction, Fraction]]
"""The corners of a board's top, from the left."""
Place = tuple[Fraction, Fraction, bool]
"""From the left and the bottom of the surface, and whether it is along an edge."""


def problems(toml: str, document: dict[str, Any]) -> list[str]:
    """Everything that is wrong with the fasteners; empty where nothing is."""
    house = tomllib.loads(toml)
    inch = INCH[document["unit"]]
    areas = {(w["room"], w["name"]): wall_area(w) for w in house.get("wall", [])}
    areas |= {(c["room"], c["name"]): ceiling_area(c) for c in house.get("ceiling", [])}
    fastened = {one["piece"]: one for one in document["fastening"]}
    found, count = [], 0
    for surface in document["surfaces"]:
        area = areas[surface["room"], surface["name"]]
        for piece in surface["pieces"]:
            name = f"{surface['room']} {surface['name']} {piece['name']}"
            record = fastened.pop(name)
            count += record["count"]
            found += [f"{name}: {what}" for what in _piece(area, piece, record, inch)]
    if fastened:
        found.append(f"pieces that aren't there: {list(fastened)}")
    if document["screws"]["count"] != count:
        found.append("the screws don't add up")
    return found


def _piece(area: Area, piece: dict[str, Any], record: dict[str, Any], inch: Fraction) -> list[str]:
    x, y = number(piece["x"]), number(piece["y"])
    box = (x, y, x + number(piece["width"]), y + number(piece["height"]))
    tops = [(x + number(one["x"]), y + number(one["y"])) for one in piece["top"]]
    places = [
        (x + number(one["from_left"]), box[3] - number(one["from_top"]), one["at_edge"]) for one in record["places"]
    ]
    found = [] if len(places) == record["count"] else ["the places aren't as many as the count"]
    if record["joints_off_framing"]:
        found.append(f"joints off framing: {record['joints_off_framing']}")
    for place in places:
        found += _place(area, box, tops, place, inch)
    members = [(0, center) for center in area.across] + [(1, center) for center in area.up]
    for axis, center in members:
        found += _member(area, box, tops, places, axis, center, record, inch)
    return found


def _over(line: Line, x: Fraction) -> tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]:
    """The part of a board's top that is over a place."""
    return next((pair for pair in pairwise(line) if x <= pair[1][0]), (line[-2], line[-1]))


def _place(area: Area, box: Rect, tops: Line, place: Place, inch: Fraction) -> list[str]:
    """In the board, 3/8 in from its edges and every opening, on a member, an edge or a jamb."""
    x, y, at_edge = place
    least = Fraction(3, 8) * inch
    (x0, y0), (x1, y1) = _over(tops, x)
    slope = (y1 - y0) / (x1 - x0)
    under = y0 + slope * (x - x0) - y
    corners = min((x - across) ** 2 + (y - high) ** 2 for across, high in tops)
    found = []
    if (
        min(x - box[0], box[2] - x, y - box[1]) < least
        or under < 0
        or corners < least**2
        or under**2 < least**2 * (1 + slope**2)
    ):
        found.append(f"{x}, {y} is too near to an edge")
    for left, bottom, right, top in area.holes:
        dx = max(left - x, x - right, Fraction(0))
        dy = max(bottom - y, y - top, Fraction(0))
        if dx * dx + dy * dy < least**2:
            found.append(f"{x}, {y} is in or too near to an opening")
    on_member = x in area.across or y in area.up
    axis = 1 if area.up else 0
    sides = [box[axis], box[axis + 2], *(hole[axis + end] for hole in area.holes for end in (0, 2))]
    near_side = any(abs(place[axis] - side) <= Fraction(5, 8) * inch for side in sides)
    if not (near_side if at_edge else on_member):
        found.append(f"{x}, {y} is on no framing")
    return found


def _member(
    area: Area,
    box: Rect,
    tops: Line,
    places: list[Place],
    axis: int,
    center: Fraction,
    record: dict[str, Any],
    inch: Fraction,
) -> list[str]:
    """A member well inside the board, clear of every opening, has fasteners from edge to edge, none too far apart."""
    clear = 2 * inch
    if not box[axis] + clear <= center <= box[axis + 2] - clear:
        return []
    if any(hole[axis] - clear < center < hole[axis + 2] + clear and _meets(hole, box) for hole in area.holes):
        return []
    along = sorted(place[1 - axis] for place in places if place[axis] == center)
    low, high = box[1 - axis], box[3 - axis]
    if axis == 0:
        (x0, y0), (x1, y1) = _over(tops, center)
        high = y0 + (y1 - y0) * (center - x0) / (x1 - x0)
    steep = 1 + max(abs((y1 - y0) / (x1 - x0)) for (x0, y0), (x1, y1) in pairwise(tops))
    if high - low < 4 * inch * (steep if axis == 0 else 1):
        return []  # the tip of a slope has no room for a fastener
    if not along or along[0] - low > inch or high - along[-1] > 2 * inch * (steep if axis == 0 else 1):
        return [f"the member at {center} isn't fastened from edge to edge"]
    most = number(record["field_spacing"]["value"])
    return [f"{a} and {b} on {center} are too far apart" for a, b in pairwise(along) if b - a > most]


def _meets(hole: Rect, box: Rect) -> bool:
    return hole[0] < box[2] and box[0] < hole[2] and hole[1] < box[3] and box[1] < hole[3]


def joint_feet(document: dict[str, Any]) -> Fraction:
    """Feet of joint on the face by the identity of perimeters, where no surface has an opening."""
    total = Fraction(0)
    for surface in document["surfaces"]:
        layers: dict[int, list[Rect]] = defaultdict(list)
        for piece in surface["pieces"]:
            x, y = number(piece["x"]), number(piece["y"])
            layers[piece["layer"]].append((x, y, x + number(piece["width"]), y + number(piece["height"])))
        boxes = layers[max(layers)]
        around = [
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        ]
        perimeters = sum((2 * (b[2] - b[0] + b[3] - b[1]) for b in boxes), Fraction(0))
        total += (perimeters - 2 * (around[2] - around[0] + around[3] - around[1])) / 2
    return total / INCH[document["unit"]] / 12


def tape(toml: str, document: dict[str, Any]) -> float:
    """Inches of tape, or millimeters, found from the boards' places and the file alone: half of what the boards of a
    face have of edge over what their surface has, and the inside corners.
    """
    house = tomllib.loads(toml)
    walls = {(one["room"], one["name"]): wall_area(one) for one in house.get("wall", [])}
    ceilings = {(one["room"], one["name"]): ceiling_area(one) for one in house.get("ceiling", [])}
    total, ends, covered = 0.0, defaultdict[str, list[float]](list), {room for room, _ in ceilings}
    for surface in document["surfaces"]:
        key = surface["room"], surface["name"]
        area = (walls | ceilings)[key]
        boards = _face(surface)
        total += sum(_beside(area, one, other) for one in boards for other in boards if one is not other)
        sides = [_at_end(area, boards, axis, far=far) for axis in (0, 1) for far in (False, True)]
        if key in ceilings:
            total += sum(sides)
            continue
        ends[key[0]] += sides[:2]
        total += 0 if key[0] in covered else _under_ceiling(area)
    for heights in ends.values():
        outer = [heights[0], heights[-1]]
        total += max(outer) if len(heights) >= 6 else sum(outer)
        total += sum(max(pair) for pair in zip(heights[1:-1:2], heights[2::2], strict=True))
    return total


def _face(surface: dict[str, Any]) -> list[tuple[Rect, Line]]:
    last = max(piece["layer"] for piece in surface["pieces"])
    boards = []
    for piece in surface["pieces"]:
        x, y = number(piece["x"]), number(piece["y"])
        line = [(x + number(one["x"]), y + number(one["y"])) for one in piece["top"]]
        if piece["layer"] == last:
            boards.append(((x, y, x + number(piece["width"]), y + number(piece["height"])), line))
    return boards


def _high(line: Line, x: Fraction) -> Fraction:
    (x0, y0), (x1, y1) = _over(line, x)
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def _beside(area: Area, one: tuple[Rect, Line], other: tuple[Rect, Line]) -> float:
    """How long the joint is with a board on the right, and with one above."""
    (box, line), (next_box, next_line) = one, other
    found = Fraction(0)
    if box[2] == next_box[0]:
        low, high = max(box[1], next_box[1]), min(_high(line, box[2]), _high(next_line, box[2]))
        found += _less(low, high, [(h[1], h[3]) for h in area.holes if h[0] < box[2] < h[2]])
    level = [(a[0], b[0]) for a, b in pairwise(line) if a[1] == b[1] == next_box[1]]
    for near, far in level:
        low, high = max(near, next_box[0]), min(far, next_box[2])
        found += _less(low, high, [(h[0], h[2]) for h in area.holes if h[1] < next_box[1] < h[3]])
    return float(found)


def _less(low: Fraction, high: Fraction, holes: list[tuple[Fraction, Fraction]]) -> Fraction:
    taken = sum((max(Fraction(0), min(high, far) - max(low, near)) for near, far in holes), Fraction(0))
    return max(Fraction(0), high - low) - taken


def _at_end(area: Area, boards: list[tuple[Rect, Line]], axis: int, *, far: bool) -> float:
    """How much board meets that end of its surface."""
    end = (area.width if axis == 0 else area.highest) if far else Fraction(0)
    side = axis + 2 if far else axis
    holes = [(hole[1 - axis], hole[3 - axis]) for hole in area.holes if hole[side] == end]
    found = Fraction(0)
    for box, line in boards:
        if box[side] == end:
            top = _high(line, end) if axis == 0 else box[2]
            found += _less(box[1 - axis], top, holes)
    return float(found)


def _under_ceiling(area: Area) -> float:
    """How long a wall's top is, openings that reach it left out."""
    found = 0.0
    for (x0, y0), (x1, y1) in pairwise(area.line):
        found += hypot(float(x1 - x0), float(y1 - y0))
        if y0 == y1:
            found -= float(sum(max(Fraction(0), min(h[2], x1) - max(h[0], x0)) for h in area.holes if h[3] == y0))
    return found
