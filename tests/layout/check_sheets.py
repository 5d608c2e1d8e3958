"""The part of the own check that is about sheets: what is cut from each, what is left, what is bought. It shares
nothing with the planner either.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations
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


def sheet_problems(document: dict[str, Any], sheets: list[Any], figures: Figures) -> list[str]:
    """Everything that is wrong with the sheets of a plan."""
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
    if len(boxes) == 1 and len(pattern["left_over"]) != (boxes[0][2] - boxes[0][0] < long) + (
        boxes[0][3] - boxes[0][1] < wide
    ):
        found.append("what is left over of one piece's sheet is in more parts than its cuts make")
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
