"""What to do at the sheets, in the order in which it works."""

from __future__ import annotations

from fieldvoice.cutting.frame import Frame
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Edge, Place, Slot
from fieldvoice.records.plan import CutLine, Method, OpeningPlan, Shape, Step

_LEVEL = {Edge.TOP, Edge.BOTTOM}
_LIVE = (
    "Treat the circuit at {name} as live: no tool goes into the box or near it, power stays off until a "
    "qualified person "
    "has tested it, and what can't be switched off is the licensed electrician's."
)

_DEVICE = "A device sits in {name}: no bit goes in there. Test again before anything touches it."


class Words:
    """How lengths and places are written for one board."""

    __slots__ = ("unit",)

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def length(self, length: Length) -> str:
        """`46 7/8 in`."""
        return f"{length.text(self.unit)} {self.unit.value}"

    def place(self, at: Place) -> str:
        """`at the top`, `at 32 in`."""
        return f"at the {at.value}" if isinstance(at, Slot) else f"at {self.length(at)}"


def steps_for(frame: Frame, openings: tuple[OpeningPlan, ...], words: Words) -> tuple[Step, ...]:
    """Every step, from choosing the sheet to the openings that are cut in place."""
    before = [opening for opening in openings if opening.method in {Method.BEFOREHAND, Method.SAW}]
    after = [opening for opening in openings if opening.method in {Method.ROUT, Method.IN_PLACE}]
    return (
        _choose(frame, words),
        *(step for number, cut in enumerate(frame.cuts) for step in _cut(cut, number, frame, words)),
        *_rasp(frame),
        *(_mark(opening, words) for opening in openings),
        *(_beforehand(opening) for opening in before),
        _hang(frame, after),
        *(_in_place(opening) for opening in after),
    )


def _choose(frame: Frame, words: Words) -> Step:
    sheet = frame.sheet
    size = f"{words.length(sheet.width)} x {words.length(sheet.length)}, {words.length(sheet.thickness)}"
    return Step(
        f"Lean a sheet {size}, {sheet.kind}, face out.",
        "On the face left stays left. Look at the corners: if one is broken, put it into the offcut.",
    )


def _cut(cut: CutLine, number: int, frame: Frame, words: Words) -> tuple[Step, Step]:
    made = {one.edge for one in frame.cuts[:number]}
    origin = f"the {cut.origin.value} {'cut' if cut.origin in made else 'factory'} edge"
    return _mark_cut(cut, origin, frame, words), _make_cut(cut)


def _mark_cut(cut: CutLine, origin: str, frame: Frame, words: Words) -> Step:
    first = cut.marks[0].distance
    if all(mark.distance == first for mark in cut.marks):
        where = f"{words.length(first)} at both ends"
    else:
        where = ", ".join(f"{words.length(mark.distance)} {words.place(mark.at)}" for mark in cut.marks)
    why = None
    if cut is not frame.cuts[0] and cut.edge not in _LEVEL:
        why = "The ends are cut to length first, so that the marks go on the finished corners."
    elif cut.edge not in _LEVEL and any(one.edge in _LEVEL for one in frame.cuts):
        high = words.length(Length(frame.down.size))
        why = f"The sheet is still long: the board's top lies {high} up from its bottom edge; put the top mark there."
    return Step(f"{cut.edge.value.capitalize()} edge: from {origin} mark {where}.", why, cut=cut.edge)


def _make_cut(cut: CutLine) -> Step:
    name = f"the {cut.edge.value} edge"
    if cut.shape is Shape.STRAIGHT:
        return Step(
            f"Snap a line through the marks, score {name} along a straightedge, snap away from the score, "
            f"cut the back paper.",
            "Blue chalk: red and black stain through paint.",
            cut=cut.edge,
        )
    if cut.shape is Shape.BROKEN:
        return Step(
            f"Join the marks of {name} with straight lines. Saw the shorter piece to where they meet, then "
            f"score and snap "
            "the other.",
            "A score can't be snapped round a corner: the saw goes first.",
            cut=cut.edge,
        )
    return Step(
        f"Join the marks of {name} with a bent strip and saw along the line, outside it; rasp to the line.",
        "The edge follows the bow: there is nothing straight to snap.",
        cut=cut.edge,
    )


def _rasp(frame: Frame) -> tuple[Step, ...]:
    if not frame.cuts:
        return ()
    edges = " and ".join(cut.edge.value for cut in frame.cuts)
    return (Step(f"Rasp the cut edges ({edges}) until the paper lies flat.", "A ragged edge holds the board off."),)


def _mark(opening: OpeningPlan, words: Words) -> Step:
    x, y = words.length(opening.center.x), words.length(opening.center.y)
    sides = f"sides {opening.left.text(words.unit)} and {words.length(opening.right)} from the left"
    ends = f"{opening.top.text(words.unit)} and {words.length(opening.bottom)} from the top"
    hook = f"Hook the tape on the {opening.x_from} and the {opening.y_from}."
    return Step(
        f"Mark {opening.name} ({opening.kind}): centre {x} from the {opening.x_from}, {y} from the {opening.y_from}; "
        f"{sides}, {ends}.",
        hook,
        opening=opening.name,
    )


def _beforehand(opening: OpeningPlan) -> Step:
    if opening.state is None:
        return Step(
            f"Saw {opening.name} ({opening.kind}) out now: at an edge the short sides first, then score and "
            f"snap the long one.",
            "A score runs past an inside corner; a saw cut stops it.",
            opening=opening.name,
        )
    return Step(
        f"Cut {opening.name} by hand before hanging, on the inside of the lines, and dress it to the lines.",
        "Rather small than large: a plate forgives nothing.",
        (_DEVICE if opening.state is Circuit.DEAD else _LIVE).format(name=opening.name),
        opening.name,
    )


def _hang(frame: Frame, after: list[OpeningPlan]) -> Step:
    kept = [edge.value for edge in (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM) if edge not in frame.cut_edges()]
    against = (
        f" with the {' and '.join(kept)} factory edge{'s' if len(kept) > 1 else ''} to its neighbour" if kept else ""
    )
    if not after:
        return Step(f"Hang the board{against} and fasten it.")
    return Step(
        f"Hang the board{against}. Only a few screws, well away from the openings.",
        "A board pressed onto a box breaks out at it; the rest of the screws go in once the openings are cut.",
    )


def _in_place(opening: OpeningPlan) -> Step:
    if opening.method is Method.IN_PLACE:
        return Step(f"Cut {opening.name} ({opening.kind}) out along its framing.", opening=opening.name)
    return Step(
        f"Rout {opening.name}: bit in at the centre, out to the box's edge, over it, then counter-clockwise round the "
        "outside; depth just past the board.",
        caution=f"Only while the circuit at {opening.name} is off.",
        opening=opening.name,
    )
