"""An own check of a plan, which shares nothing with the planner: the house's TOML and the printed JSON, nothing else.

Everything is counted anew in Fractions from the text of both; no module of the program is imported.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from fractions import Fraction
from itertools import combinations, pairwise
from typing import Any, NamedTuple

Rect = tuple[Fraction, Fraction, Fraction, Fraction]
"""x0, y0, x1, y1."""


def number(text: str | int) -> Fraction:
    """A length as people write it."""
    return sum((Fraction(part) for part in str(text).split()), Fraction(0))


class Figures(NamedTuple):
    """The figures of the rules."""

    stagger: Fraction
    past: Fraction
    least: Fraction
    gap: tuple[Fraction, Fraction]
    foot: Fraction
    counted: Fraction


FIGURES = {
    "in": Figures(Fraction(24), Fraction(6), Fraction(24), (Fraction(1, 4), Fraction(1)), Fraction(12), Fraction(48)),
    "mm": Figures(
        Fraction(600), Fraction(150), Fraction(600), (Fraction(6), Fraction(25)), Fraction("304.8"), Fraction(1200)
    ),
}


class Area(NamedTuple):
    """A surface as its file has it."""

    wall: bool
    width: Fraction
    left: Fraction
    right: Fraction
    holes: list[Rect]
    across: list[Fraction]
    up: list[Fraction]
    layers: int

    def top(self, x: Fraction) -> Fraction:
        """How high it is there."""
        return self.left + (self.right - self.left) * x / self.width


def problems(toml: str, document: dict[str, Any]) -> list[str]:
    """Everything that is wrong with the plan; empty where nothing is."""
    house = tomllib.loads(toml)
    figures = FIGURES[document["unit"]]
    sheets = [tuple(number(side) for side in size.split(" x ")) for size in house["job"]["sheets"]]
    found: list[str] = []
    areas = {(w["room"], w["name"]): _wall(w) for w in house.get("wall", [])}
    areas |= {(c["room"], c["name"]): _ceiling(c) for c in house.get("ceiling", [])}
    planned = {(s["room"], s["name"]): s for s in document["surfaces"]}
    if planned.keys() != areas.keys():
        return ["not the surfaces of the house"]
    for key, area in areas.items():
        found += [f"{' '.join(key)}: {what}" for what in _surface(area, planned[key], sheets, figures)]
    return found + _sheets(document, sheets, figures)


def _holes(table: dict[str, Any]) -> list[Rect]:
    holes = []
    for hole in table.get("opening", []):
        x, y = number(hole["left"]), number(hole.get("bottom", 0))
        holes.append((x, y, x + number(hole["width"]), y + number(hole["height"])))
    return holes


def _centers(said: str | list[Any], extent: Fraction) -> list[Fraction]:
    if isinstance(said, list):
        return [number(place) for place in said]
    words = said.split(" on center")
    step, count = number(words[0]), 1
    centers = []
    while step * count < extent:
        centers.append(step * count)
        count += 1
    back = "from right" in said or "from top" in said
    return [extent - center for center in centers] if back else centers


def _wall(table: dict[str, Any]) -> Area:
    width, height = number(table["width"]), number(table["height"])
    right = number(table.get("top_right_height", table["height"]))
    studs = _centers(table["studs"], width)
    return Area(True, width, height, right, _holes(table), studs, [], table.get("layers", 1))


def _ceiling(table: dict[str, Any]) -> Area:
    width, length = number(table["width"]), number(table["length"])
    along = isinstance(table["joists"], str) and "along length" in table["joists"]
    joists = _centers(table["joists"], length if along else width)
    across, up = ([], joists) if along else (joists, [])
    return Area(False, width, length, length, _holes(table), across, up, table.get("layers", 1))


class Board(NamedTuple):
    """A piece as printed."""

    name: str
    box: Rect
    lies: str
    layer: int
    sheet: tuple[Fraction, Fraction]

    @property
    def rise(self) -> Fraction:
        """Across the sheet."""
        x0, y0, x1, y1 = self.box
        return y1 - y0 if self.lies == "lying" else x1 - x0


def _boards(planned: dict[str, Any]) -> list[Board]:
    boards = []
    for piece in planned["pieces"]:
        x, y = number(piece["x"]), number(piece["y"])
        box = (x, y, x + number(piece["width"]), y + number(piece["height"]))
        wide, long = (number(side) for side in piece["sheet"].split(" x "))
        boards.append(Board(piece["name"], box, piece["lies"], piece["layer"], (wide, long)))
    return boards


def _surface(area: Area, planned: dict[str, Any], sheets: list[Any], figures: Figures) -> list[str]:
    boards = _boards(planned)
    found = []
    for layer in range(1, area.layers + 1):
        here = [board for board in boards if board.layer == layer]
        found += _covered(area, [board.box for board in here], figures)
        found += _joints(area, here, figures)
        found += _needless(area, here, sheets)
        found += [what for board in here for what in _no_board_in_it(area, board)]
    if not {board.layer for board in boards} <= set(range(1, area.layers + 1)):
        found.append("more layers than called")
    found += _between_layers(boards)
    return found


def _covered(area: Area, boxes: list[Rect], figures: Figures) -> list[str]:
    """Every place is covered once; openings and the gap at the floor need not be."""
    high = max(area.left, area.right)
    xs = sorted({Fraction(0), area.width, *(x for box in boxes + area.holes for x in (box[0], box[2]))})
    ys = sorted({Fraction(0), high, *(y for box in boxes + area.holes for y in (box[1], box[3]))})
    found = []
    for x0, x1 in pairwise(xs):
        x = (x0 + x1) / 2
        floor = _floor(area, boxes, x, figures)
        if floor is None:
            found.append(f"no gap as it should be at the floor at {float(x):.2f}")
        for y0, y1 in pairwise(ys):
            y = (y0 + y1) / 2
            over = sum(b[0] < x < b[2] and b[1] < y < b[3] for b in boxes)
            if over > 1:
                found.append(f"two boards at {float(x):.2f}, {float(y):.2f}")
            inside = any(h[0] < x < h[2] and h[1] < y < h[3] for h in area.holes)
            beyond = y0 >= max(area.top(x0), area.top(x1)) if area.left != area.right else False
            gap = floor is not None and y1 <= floor
            if over == 0 and not inside and not beyond and not gap and _is_surface(area, x0, x1, y0):
                found.append(f"nothing at {float(x):.2f}, {float(y):.2f}")
    return found


def _floor(area: Area, boxes: list[Rect], x: Fraction, figures: Figures) -> Fraction | None:
    """How far up nothing has to hang there: to a board that leaves the gap, else to an opening that begins no higher
    than a gap may be. None where a wall has neither; a ceiling has no gap.
    """
    if not area.wall:
        return Fraction(0)
    low, most = figures.gap
    lowest = min((box[1] for box in boxes if box[0] < x < box[2]), default=None)
    if lowest is not None and low <= lowest <= most:
        return lowest
    opens = min((hole[1] for hole in area.holes if hole[0] < x < hole[2]), default=None)
    if opens is not None and opens <= most and (lowest is None or lowest >= opens):
        return opens
    return None if area.top(x) > most else Fraction(0)


def _is_surface(area: Area, x0: Fraction, x1: Fraction, y0: Fraction) -> bool:
    """Whether the cell holds surface that a printed rectangle can be held to: more than a sliver under a slope."""
    return max(area.top(x0), area.top(x1)) - y0 > Fraction(1, 2) or area.left == area.right


def _joints(area: Area, boards: list[Board], figures: Figures) -> list[str]:
    found = []
    ends: list[tuple[str, Fraction, Fraction, Fraction]] = []
    for one, other in combinations(boards, 2):
        for a, b in ((one, other), (other, one)):
            plumb = a.box[2] == b.box[0] and a.box[1] < b.box[3] and b.box[1] < a.box[3]
            level = a.box[3] == b.box[1] and a.box[0] < b.box[2] and b.box[0] < a.box[2]
            if plumb:
                low, high = max(a.box[1], b.box[1]), min(a.box[3], b.box[3])
                found += _on_framing(area, a, "x", a.box[2], low, high, figures)
                if a.lies == "lying":
                    ends.append(("x", a.box[2], low, high))
            if level:
                low, high = max(a.box[0], b.box[0]), min(a.box[2], b.box[2])
                found += _on_framing(area, a, "y", a.box[3], low, high, figures)
                if a.lies == "standing":
                    ends.append(("y", a.box[3], low, high))
    for one_end, other_end in combinations(ends, 2):
        beside = one_end[3] == other_end[2] or other_end[3] == one_end[2]
        if beside and abs(one_end[1] - other_end[1]) < figures.stagger:
            found.append(f"butt joints at {one_end[1]} and {other_end[1]} of neighboring courses")
    for board in boards:
        found += _piece(area, board, boards, figures)
    return found


def _on_framing(
    area: Area, board: Board, axis: str, at: Fraction, low: Fraction, high: Fraction, figures: Figures
) -> list[str]:
    """A joint that runs with the framing lies on a member; no end, and no edge along studs, is near a corner."""
    members = area.across if axis == "x" else area.up
    found = []
    if members and at not in members:
        found.append(f"a joint at {axis} = {float(at):.3f} is on no framing")
    is_end = (axis == "x") == (board.lies == "lying")
    if is_end or members:
        first, second = (0, 2) if axis == "x" else (1, 3)
        for hole in area.holes:
            low_hole, high_hole = (hole[1], hole[3]) if axis == "x" else (hole[0], hole[2])
            if low_hole <= high and high_hole >= low and is_end:
                near = min(abs(at - hole[first]), abs(at - hole[second]))
                if near < figures.past:
                    found.append(f"a butt joint at {float(at):.3f} is {float(near):.3f} from an opening's corner")
            elif low_hole < high and high_hole > low and at in (hole[first], hole[second]):
                found.append(f"a joint at {float(at):.3f} is in line with a jamb")
    return found


def _piece(area: Area, board: Board, boards: list[Board], figures: Figures) -> list[str]:
    """Ends lie at the surface's ends, at jambs or on framing; no short piece in a long run."""
    x0, y0, x1, y1 = board.box
    found = []
    jambs = {side for hole in area.holes for side in (hole[0], hole[2])}
    if area.left == area.right and area.across:
        framing = {Fraction(0), area.width, *jambs, *area.across}
        found += [f"board {board.name} ends at {float(end):.3f}, on nothing" for end in (x0, x1) if end not in framing]
    if x0 < 0 or y0 < 0 or x1 > area.width or y1 > max(area.left, area.right):
        found.append(f"board {board.name} lies outside")
    first, second = (0, 2) if board.lies == "lying" else (1, 3)
    joined = [
        other
        for other in boards
        if other is not board
        and (other.box[first] == board.box[second] or other.box[second] == board.box[first])
        and _same_course(board, other)
    ]
    if joined and board.box[second] - board.box[first] < figures.least:
        found.append(f"board {board.name} is short")
    return found


def _no_board_in_it(area: Area, board: Board) -> list[str]:
    """What of a board's rectangle could be left off it, since an opening takes the whole of that side, and an opening
    that leaves two of it.
    """
    x0, y0, x1, y1 = board.box
    inside = [hole for hole in area.holes if hole[0] < x1 and x0 < hole[2] and hole[1] < y1 and y0 < hole[3]]
    places = sorted({x0, x1, *(side for hole in inside for side in (hole[0], hole[2]) if x0 < side < x1)})
    left = []
    for near, far in pairwise(places):
        holes = sorted((hole[1], hole[3]) for hole in inside if hole[0] <= near and hole[2] >= far)
        at, board_there = y0, []
        for low, high in [*holes, (y1, y1)]:
            board_there += [(at, low)] if low > at else []
            at = max(at, high)
        left.append(board_there)
    if not all(left):
        return [f"an opening takes all of a part of board {board.name}"]
    sides = [("lower", min(there[0][0] for there in left) > y0)]
    sides += [("upper", max(there[-1][1] for there in left) < y1 and area.left == area.right)]
    return [f"an opening takes the whole {side} edge of board {board.name}" for side, taken in sides if taken]


def _same_course(one: Board, other: Board) -> bool:
    """Whether both have a part of it: an opening may leave one of them less."""
    first = 1 if one.lies == "lying" else 0
    beside = one.box[first] < other.box[first + 2] and other.box[first] < one.box[first + 2]
    return beside and one.lies == other.lies


def _along(one: Board, other: Board, side: int) -> bool:
    """Whether the other board lies along one of the two long edges."""
    low, high, first, second = (1, 3, 0, 2) if one.lies == "lying" else (0, 2, 1, 3)
    meets = one.box[high] == other.box[low] if side > 0 else one.box[low] == other.box[high]
    return meets and one.box[first] < other.box[second] and other.box[first] < one.box[second]


def _needless(area: Area, boards: list[Board], sheets: list[Any]) -> list[str]:
    """Where pieces join end to end, no sheet on the list reaches from end to end. A course between two others keeps
    both factory edges, so that a wider sheet can't give it.
    """
    found = []
    left = list(boards)
    while left:
        run = [left.pop()]
        grown = True
        while grown:
            grown = False
            for other in left:
                if any(_end_to_end(one, other) for one in run):
                    run.append(other)
                    left.remove(other)
                    grown = True
                    break
        if len(run) > 1:
            first, second = (0, 2) if run[0].lies == "lying" else (1, 3)
            length = max(b.box[second] for b in run) - min(b.box[first] for b in run)
            rise = max(b.rise for b in run)
            between = all(any(_along(one, other, side) for one in run for other in boards) for side in (1, -1))
            longest = max(long for wide, long in sheets if wide == rise or (wide > rise and not between))
            if length <= longest and area.left == area.right:
                found.append(f"a run of {float(length):.3f} is joined and a sheet of {longest} reaches")
    return found


def _end_to_end(one: Board, other: Board) -> bool:
    first, second = (0, 2) if one.lies == "lying" else (1, 3)
    return _same_course(one, other) and (one.box[first] == other.box[second] or one.box[second] == other.box[first])


def _between_layers(boards: list[Board]) -> list[str]:
    """Joints of one layer don't lie over those of the next."""
    found = []
    for one, other in combinations(boards, 2):
        if abs(one.layer - other.layer) != 1:
            continue
        for axis in (0, 1):
            same = {one.box[axis], one.box[axis + 2]} & {other.box[axis], other.box[axis + 2]}
            found += [
                f"joints of two layers at {float(at):.3f}"
                for at in same
                for low, high in _joints_at(boards, one, axis, at)
                for start, end in _joints_at(boards, other, axis, at)
                if low < end and start < high
            ]
    return found


def _joints_at(boards: list[Board], board: Board, axis: int, at: Fraction) -> list[tuple[Fraction, Fraction]]:
    """From where to where other boards of its layer meet it there."""
    found = []
    cross = 1 - axis
    for other in boards:
        if other is board or other.layer != board.layer or at not in (other.box[axis], other.box[axis + 2]):
            continue
        low = max(board.box[cross], other.box[cross])
        high = min(board.box[cross + 2], other.box[cross + 2])
        if low < high:
            found.append((low, high))
    return found


def _sheets(document: dict[str, Any], sheets: list[Any], figures: Figures) -> list[str]:
    found = []
    sizes = {}
    for surface in document["surfaces"]:
        for piece in surface["pieces"]:
            lying = piece["lies"] == "lying"
            size = (piece["width"], piece["height"]) if lying else (piece["height"], piece["width"])
            name = f"{surface['room']} {surface['name']} {piece['name']}"
            if name in sizes:
                found.append(f"two pieces are called {name}")
            sizes[name] = (*(number(side) for side in size), piece["sheet"])
    cut = Counter(name for pattern in document["patterns"] for name in pattern["pieces"])
    if cut != Counter(dict.fromkeys(sizes, 1)):
        return [*found, "not every piece is cut once"]
    feet = Fraction(0)
    for pattern in document["patterns"]:
        wide, long = (number(side) for side in pattern["sheet"].split(" x "))
        if pattern["from_offcut"] is None:
            feet += long / figures.foot * wide / figures.counted
            if (wide, long) not in sheets:
                found.append(f"a sheet of {pattern['sheet']} isn't on the list")
        found += _pattern(pattern, wide, long, sizes)
    return found + _counts(document, feet) + _factory_edges(document)


ACROSS_FROM = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
TURNED = {
    "lying": ({edge: edge for edge in ACROSS_FROM}, ACROSS_FROM),
    "standing": (
        {"top": "left", "right": "top", "bottom": "right", "left": "bottom"},
        {"top": "right", "right": "bottom", "bottom": "left", "left": "top"},
    ),
}
"""Both ways to hang what lies on a sheet, face out."""


def _factory_edges(document: dict[str, Any]) -> list[str]:
    """A piece has the factory edges that its place on the sheet gives it, turned one way or the other, and where a
    joint is a tapered one both boards have theirs there.
    """
    found = []
    owns = {}
    for pattern in document["patterns"]:
        wide, long = (number(side) for side in pattern["sheet"].split(" x "))
        own = set(ACROSS_FROM) if pattern["from_offcut"] is None else set(pattern["offcut_factory"])
        if "top" not in own and "bottom" in own:
            own = {ACROSS_FROM[edge] for edge in own}
        for place in pattern["places"]:
            x, y = number(place["x"]), number(place["y"])
            ends = {"left": x == 0, "right": x + number(place["width"]) == long}
            ends |= {"top": y == 0, "bottom": y + number(place["height"]) == wide}
            owns[place["piece"]] = {edge for edge in own if ends[edge]}
    for surface in document["surfaces"]:
        pieces = {piece["name"]: piece for piece in surface["pieces"]}
        for piece in pieces.values():
            name = f"{surface['room']} {surface['name']} {piece['name']}"
            told = {edge for edge, stands in piece["edges"].items() if stands["factory"]}
            if told not in [{turn[edge] for edge in owns[name]} for turn in TURNED[piece["lies"]]]:
                found.append(f"{name} has other factory edges than its place on the sheet")
        for joint in surface["joints"]:
            if joint["kind"] == "tapered":
                one, other = (pieces[name] for name in joint["pieces"])
                edge = "right" if joint["from"][0] == joint["to"][0] else "top"
                sides = (one["edges"][edge], other["edges"][ACROSS_FROM[edge]])
                if not all(side["factory"] for side in sides):
                    found.append(f"a tapered joint of {joint['pieces']} has a cut edge in it")
    return found


def _counts(document: dict[str, Any], feet: Fraction) -> list[str]:
    """What is to be bought, what it comes to, and how far that is from the bound."""
    found = []
    bought = Counter(pattern["sheet"] for pattern in document["patterns"] if pattern["from_offcut"] is None)
    listed: Counter[str] = Counter()
    for sheet in document["sheets"]:
        listed[sheet["size"]] += sheet["count"]
    if bought != listed:
        found.append("the sheets to buy aren't those that are cut")
    bound, told = number(document["bound_feet"]), number(document["board_feet"])
    if told != feet:
        found.append(f"{told} ft are told and {feet} are cut")
    gap = (told - bound) / told if told else told
    if not bound <= told or not gap <= Fraction(str(document["gap"])) < gap + Fraction(1, 10_000):
        found.append("the gap isn't what the bound leaves")
    pieces = sum(len(surface["pieces"]) for surface in document["surfaces"])
    if number(document["bound_butt_joint_feet"]) > number(document["butt_joint_feet"]):
        found.append("less butt joint than can be")
    if document["bound_piece_count"] is not None and document["bound_piece_count"] > pieces:
        found.append("fewer pieces than can be")
    if document["proved"] != (document["gap"] == 0):
        found.append("proved and the gap disagree")
    return found


def _pattern(pattern: dict[str, Any], wide: Fraction, long: Fraction, sizes: dict[str, Any]) -> list[str]:
    found = []
    boxes: list[Rect] = []
    for place in pattern["places"]:
        x, y = number(place["x"]), number(place["y"])
        box = (x, y, x + number(place["width"]), y + number(place["height"]))
        run, rise, sheet = sizes[place["piece"]]
        if box[2] - box[0] < run or box[3] - box[1] < rise or sheet != pattern["sheet"]:
            found.append(f"{place['piece']} isn't what is cut for it")
        if x < 0 or y < 0 or box[2] > long or box[3] > wide:
            found.append(f"{place['piece']} isn't on its sheet")
        boxes.append(box)
    if sorted(place["piece"] for place in pattern["places"]) != sorted(pattern["pieces"]):
        found.append("places and pieces of a sheet disagree")
    if any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a, b in combinations(boxes, 2)):
        found.append("pieces overlap on a sheet")
    area: Fraction | int = sum((b[2] - b[0]) * (b[3] - b[1]) for b in boxes)
    area += sum(number(left["width"]) * number(left["height"]) for left in pattern["left_over"])
    if area != wide * long:
        found.append("pieces and what is left over don't make a sheet")
    if not _snaps(boxes, (Fraction(0), Fraction(0), long, wide)):
        found.append("a sheet can't be cut from edge to edge")
    return found


def _snaps(boxes: list[Rect], sheet: Rect) -> bool:
    """Whether cuts from edge to edge free every piece."""
    if len(boxes) <= 1:
        return True
    for axis in (0, 1):
        for at in sorted({box[axis + 2] for box in boxes} | {box[axis] for box in boxes}):
            near = [box for box in boxes if box[axis + 2] <= at]
            far = [box for box in boxes if box[axis] >= at]
            if near and far and len(near) + len(far) == len(boxes):
                return _snaps(near, sheet) and _snaps(far, sheet)
    return False
