"""An own check of a plan, which shares nothing with the planner: the house's TOML and the printed JSON, nothing else.

Everything is counted anew in Fractions from the text of both; no module of the program is imported.
"""

from __future__ import annotations

import tomllib
from fractions import Fraction
from itertools import combinations, pairwise
from typing import Any, NamedTuple

from tests.layout.check_sheets import FIGURES, Figures, Rect, number, sheet_problems

FIVE_SPACES = Fraction(96, 5)
"""In eight feet: no tape shows these centers, so they are at the nearest sixteenth."""


class Area(NamedTuple):
    """A surface as its file has it."""

    wall: bool
    width: Fraction
    line: list[tuple[Fraction, Fraction]]
    holes: list[Rect]
    across: list[Fraction]
    up: list[Fraction]
    layers: int

    @property
    def level(self) -> bool:
        """Whether it is as high everywhere."""
        return len({high for _, high in self.line}) == 1

    @property
    def highest(self) -> Fraction:
        """Its highest place."""
        return max(high for _, high in self.line)

    def top(self, x: Fraction) -> Fraction:
        """How high it is there."""
        return _on_line(self.line, x)


def _on_line(line: list[tuple[Fraction, Fraction]], x: Fraction) -> Fraction:
    """How high a line of places is there."""
    (x0, y0), (x1, y1) = next((pair for pair in pairwise(line) if x <= pair[1][0]), (line[-2], line[-1]))
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


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
    return found + sheet_problems(document, sheets, figures)


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
        center = step * count
        centers.append(Fraction(round(center * 16), 16) if step == FIVE_SPACES else center)
        count += 1
    back = "from right" in said or "from top" in said
    return [extent - center for center in centers] if back else centers


def _wall(table: dict[str, Any]) -> Area:
    width, height = number(table["width"]), number(table["height"])
    right = number(table.get("top_right_height", table["height"]))
    between = [(number(across), number(high)) for across, high in table.get("top_breaks", [])]
    if "peak_height" in table:
        across = number(table["peak_from_left"]) if "peak_from_left" in table else width / 2
        between = [(across, number(table["peak_height"]))]
    line = [(Fraction(0), height), *between, (width, right)]
    studs = _centers(table["studs"], width)
    return Area(True, width, line, _holes(table), studs, [], table.get("layers", 1))


def _ceiling(table: dict[str, Any]) -> Area:
    width, length = number(table["width"]), number(table["length"])
    along = isinstance(table["joists"], str) and "along length" in table["joists"]
    joists = _centers(table["joists"], length if along else width)
    across, up = ([], joists) if along else (joists, [])
    return Area(
        False, width, [(Fraction(0), length), (width, length)], _holes(table), across, up, table.get("layers", 1)
    )


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
    return found + _tops(area, planned["pieces"], figures)


def _tops(area: Area, pieces: list[dict[str, Any]], figures: Figures) -> list[str]:
    """The printed line of each board's top is that of its surface, as far as the board reaches; where it runs out to a
    point it is told as far as the piece goes, never farther or higher than a floor's gap may be, and
    never below the surface.
    """
    found = []
    for piece in pieces:
        x, y, width, height = (number(piece[key]) for key in ("x", "y", "width", "height"))
        line = [(number(one["x"]), number(one["y"])) for one in piece["top"]]
        ends = (number(piece["left_height"]), number(piece["right_height"]))
        if [line[0], line[-1]] != [(Fraction(0), ends[0]), (width, ends[1])]:
            found.append(f"board {piece['name']} has other sides than its top has ends")
            continue
        beside = figures.gap[1] if 0 in ends else Fraction(0)
        for part in range(65):
            across = width * part / 64
            first, last = max(x + across - beside, Fraction(0)), min(x + across + beside, area.width)
            near = [x + across, first, last, *(place for place, _ in area.line if first < place < last)]
            tops = [min(height, max(Fraction(0), area.top(place) - y)) for place in near]
            if not tops[0] <= _on_line(line, across) <= max(tops) + beside:
                found.append(f"the top of board {piece['name']} isn't the wall's at {float(across):.2f}")
                break
    return found


def _covered(area: Area, boxes: list[Rect], figures: Figures) -> list[str]:
    """Every place is covered once; openings and the gap at the floor need not be."""
    high = area.highest
    xs = sorted({*(x for x, _ in area.line), *(x for box in boxes + area.holes for x in (box[0], box[2]))})
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
            beyond = y0 >= max(area.top(x0), area.top(x1)) if not area.level else False
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
    return max(area.top(x0), area.top(x1)) - y0 > Fraction(1, 2) or area.level


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
    if area.level and area.across:
        framing = {Fraction(0), area.width, *jambs, *area.across}
        found += [f"board {board.name} ends at {float(end):.3f}, on nothing" for end in (x0, x1) if end not in framing]
    if x0 < 0 or y0 < 0 or x1 > area.width or y1 > area.highest:
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
    sides += [("upper", max(there[-1][1] for there in left) < y1 and area.level)]
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
            wider = [long for wide, long in sheets if wide >= rise and not between]
            longest = max([long for wide, long in sheets if wide == rise] + wider, default=length - 1)
            if length <= longest and area.level:
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
