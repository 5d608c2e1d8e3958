"""A board on its sheet: cuts in their order, marks from the edges that the tape hooks on, openings, waste, tapers; and
the finished board to scale with every fastener in its place, on lines where its framing is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from fieldvoice.output.drawing.marks import (
    UPRIGHT,
    MarkedDimension,
    by_center,
    cut_path,
    dimensions,
    is_round,
    polygon,
    sheet,
    waste,
)
from fieldvoice.output.drawing.picture import (
    XY,
    Anchor,
    Area,
    Circle,
    Label,
    Mark,
    PaperFrame,
    Picture,
    Stroke,
    hatched,
    text_lines,
)
from fieldvoice.output.drawing.placing import (
    FAR,
    HEAVY,
    HEIGHTS,
    LEGEND_LINE,
    MEDIUM,
    NEAR,
    PITCH,
    THIN,
    Crowded,
    DimensionLine,
    PaperRoom,
    Scale,
    around,
    drawn,
    everywhere,
    extension,
    fitted,
    in_largest_letters,
    legend,
    roomy,
    spread,
)
from fieldvoice.records.board import Lies
from fieldvoice.records.fastening import FasteningPlan, Stage
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutPlan, OpeningPlan
from fieldvoice.wording import captions as wording
from fieldvoice.wording.fastening import fasteners_title

Rows = dict[Edge, list[MarkedDimension]]
"""The dimensions outside each edge of the sheet, the nearest first."""


def board_picture(
    plan: CutPlan,
    width: float,
    height: float,
    *,
    room: str | None = None,
    letters: Sequence[float] = HEIGHTS,
) -> Picture:
    """The board on paper of that many millimeters, in the largest letters that leave the sheet its share. Raises
    `ValueError` where the paper is too small for all of its marks.
    """
    return drawn_board(plan, width, height, room=room, letters=letters)[0]


def drawn_board(
    plan: CutPlan,
    width: float,
    height: float,
    *,
    room: str | None = None,
    letters: Sequence[float] = HEIGHTS,
) -> tuple[Picture, Scale]:
    """As `board_picture`, with the scale that it is drawn to."""
    title = wording.board_title(plan.board.name, room)
    drawing, marks = in_largest_letters(
        letters,
        lambda letter: _Drawing(plan, PaperFrame(0, 0, width, height), letter, title),
        title,
    )
    return Picture(width, height, marks, title), drawing.scale


class _Drawing:
    """One try at a drawing, with letters of one height."""

    def __init__(self, plan: CutPlan, paper: PaperFrame, letter: float, title: str) -> None:
        self._plan, self._letter, self._title = plan, letter, title
        self._unit = plan.board.unit
        words = f"{title}. {wording.caption(self._unit, cuts=len(plan.cuts))}"
        self._caption = text_lines(words, letter, paper.right - paper.left)
        self._extent = sheet(plan)
        self._rows, self._inside = _sorted_out(plan)
        margins = {edge: self._margin(edge) for edge in Edge}
        margins[Edge.BOTTOM] += LEGEND_LINE * letter * len(self._caption)
        extent = self._extent
        self.scale, wide, high = fitted((extent.left, extent.top, extent.right, extent.bottom), margins, paper)
        self.roomy = roomy(paper, wide, high, letter)
        self._above_caption = replace(paper, bottom=paper.bottom - LEGEND_LINE * letter * len(self._caption))
        self._room = PaperRoom(self._above_caption)
        self._paper = paper

    def _margin(self, edge: Edge) -> float:
        return self._letter * (1.3 + PITCH * len(self._rows[edge]))

    def marks(self) -> Iterator[Mark]:
        """All of it, what lies under first. Raises `Crowded`."""
        if not self.scale.factor:
            raise Crowded
        labels = list(self._figures())
        yield from self._waste()
        yield Stroke(self.scale.path(polygon(self._plan)), HEAVY * self._letter, closed=True)
        yield from self._openings()
        yield from (mark for mark in labels if not isinstance(mark, Label))
        yield from self._cut_lines()
        yield from (mark for mark in labels if isinstance(mark, Label))
        yield from self._rings()
        self._keep_clear()
        yield from self._names()
        yield from self._middle()
        yield from self._tapers()
        yield from legend(self._caption, self._paper.left, self._above_caption.bottom, self._letter)

    def _waste(self) -> Iterator[Mark]:
        for piece in waste(self._plan):
            path = self.scale.path(piece)
            yield from hatched(path, 0.9 * self._letter, THIN * self._letter)
            yield Stroke(path, MEDIUM * self._letter, closed=True)

    def _openings(self) -> Iterator[Mark]:
        for opening in self._plan.openings:
            corners = self._corners(opening)
            frame = PaperFrame.around(corners)
            yield Area(corners, 1.0)
            if is_round(opening):
                middle = ((frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2)
                yield Circle(middle, (frame.right - frame.left) / 2, HEAVY * self._letter)
            else:
                yield Stroke(corners, HEAVY * self._letter, closed=True)
            if by_center(opening):
                yield from self._cross(frame)
            elif not opening.held:
                yield from hatched(corners, 0.45 * self._letter, THIN * self._letter)

    def _cross(self, frame: PaperFrame) -> Iterator[Mark]:
        x, y = (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2
        arm = max(frame.right - frame.left, frame.bottom - frame.top) / 2 + 0.4 * self._letter
        yield Stroke(((x - arm, y), (x + arm, y)), THIN * self._letter)
        yield Stroke(((x, y - arm), (x, y + arm)), THIN * self._letter)

    def _corners(self, opening: OpeningPlan) -> tuple[XY, ...]:
        return self.scale.path(tuple((p.x.inches, p.y.inches) for p in opening.corners))

    def _figures(self) -> Iterator[Mark]:
        """Dimension lines outside the sheet, each in a row of its own, then those that cross the board."""
        for opening in self._plan.openings:
            self._room.take(PaperFrame.around(self._corners(opening)))
        corner = self.scale.at((self._extent.left, self._extent.top))
        far = self.scale.at((self._extent.right, self._extent.bottom))
        for edge, rows in self._rows.items():
            near = edge in {Edge.LEFT, Edge.TOP}
            base = (corner if near else far)[0 if edge in UPRIGHT else 1]
            for number, dimension in enumerate(rows):
                off = self._letter * ((NEAR if near else FAR) + PITCH * number)
                line = self._line(dimension, base + (-off if near else off))
                hook, mark = self.scale.at(dimension.hook), self.scale.at(dimension.mark)
                yield from extension(line, hook, mark, self._letter)
                yield from drawn(line, self._letter, self._room)
        for dimension in self._inside:
            at = self.scale.at(dimension.hook)[1 if dimension.across else 0]
            yield from drawn(self._line(dimension, at), self._letter, self._room, inside=True)

    def _line(self, dimension: MarkedDimension, at: float) -> DimensionLine:
        along = 0 if dimension.across else 1
        start, end = self.scale.at(dimension.hook)[along], self.scale.at(dimension.mark)[along]
        made = DimensionLine.level if dimension.across else DimensionLine.upright
        return made(start, end, at, dimension.value.text(self._unit))

    def _cut_lines(self) -> Iterator[Mark]:
        letter = self._letter
        for cut in self._plan.cuts:
            path = self.scale.path(cut_path(self._plan, cut.edge))
            if path:
                yield Stroke(path, 1.6 * HEAVY * letter, (1.6 * letter, 0.4 * letter, 0.3 * letter, 0.4 * letter))

    def _rings(self) -> Iterator[Mark]:
        radius = 0.95 * self._letter
        for number, cut in enumerate(self._plan.cuts, 1):
            path = self.scale.path(cut_path(self._plan, cut.edge))
            if len(path) < 2:
                continue
            middle = PaperFrame.around(self.scale.path(polygon(self._plan)))
            for x, y in _beside_path(path, cut.edge, middle, self._letter):
                frame = PaperFrame(x - radius, y - radius, x + radius, y + radius)
                if self._room.free(frame.grown(0.15 * self._letter)):
                    break
            else:
                raise Crowded
            self._room.take(frame)
            yield Circle((x, y), radius, MEDIUM * self._letter)
            yield Label(x, y + 0.5 * self._letter, str(number), self._letter, bold=True)

    def _keep_clear(self) -> None:
        """Nothing is written over an edge of the board or of a piece of waste."""
        half = 0.2 * self._letter
        for corners in (polygon(self._plan), *waste(self._plan)):
            path = self.scale.path(corners)
            for (ax, ay), (bx, by) in zip(path, path[1:] + path[:1], strict=True):
                steps = max(1, int(max(abs(bx - ax), abs(by - ay)) / self._letter))
                for step in range(steps):
                    x0, x1 = sorted((ax + (bx - ax) * step / steps, ax + (bx - ax) * (step + 1) / steps))
                    y0, y1 = sorted((ay + (by - ay) * step / steps, ay + (by - ay) * (step + 1) / steps))
                    self._room.take(PaperFrame(x0 - half, y0 - half, x1 + half, y1 + half))

    def _names(self) -> Iterator[Mark]:
        for opening in self._plan.openings:
            frame = PaperFrame.around(self._corners(opening))
            name = wording.opening_name(opening.name, held=opening.held)
            label = Label(0, 0, name, self._letter, Anchor.START, clear=True, fractions=False)
            placed = self._room.put(label, around(frame, label, 0.5 * self._letter), 0.1 * self._letter)
            placed = placed or self._anywhere(label, frame)
            if not placed.frame.meets(frame.grown(1.5 * self._letter)):
                yield Stroke((_nearest(placed.frame, frame), _nearest(frame, placed.frame)), THIN * self._letter)
            yield placed

    def _middle(self) -> Iterator[Mark]:
        """That it is the face, in the middle of the board, and under it which board it is where that has room."""
        frame = PaperFrame.around(self.scale.path(polygon(self._plan)))
        label = Label(0, 0, wording.FACE, self._letter, bold=True, clear=True)
        face = self._in_middle(frame, label) or self._anywhere(replace(label, anchor=Anchor.START), frame)
        yield face
        text = wording.board_title(self._plan.board.name, None)
        label = Label(0, 0, text, self._letter, clear=True, fractions=False)
        under = ((face.x, face.y + 1.9 * self._letter),) if not face.turned else ()
        name = self._room.put(label, under, 0.2 * self._letter) or self._in_middle(frame, label)
        if name is not None:
            yield name

    def _in_middle(self, frame: PaperFrame, text: Label) -> Label | None:
        """The text level in the board, as near its middle as it can be, else turned."""
        for label in (text, replace(text, turned=True)):
            wide, high = (label.height, label.width) if label.turned else (label.width, label.height)
            if wide > frame.right - frame.left or high > frame.bottom - frame.top:
                continue
            places = (
                (x, y)
                for y in spread(frame.top + high / 2, frame.bottom - high / 2, 15)
                for x in spread(frame.left + wide / 2, frame.right - wide / 2, 5)
            )
            if (placed := self._room.put(label, places, 0.3 * self._letter)) is not None:
                return placed
        return None

    def _anywhere(self, label: Label, near: PaperFrame) -> Label:
        """The label as near as it can be. Raises `Crowded`."""
        placed = self._room.put(
            label, everywhere(self._above_caption, near, label, 0.7 * self._letter), 0.2 * self._letter
        )
        if placed is None:
            raise Crowded
        return placed

    def _tapers(self) -> Iterator[Mark]:
        """The long edges of the sheet that are still the board's: they are tapered."""
        cut = {one.edge for one in self._plan.cuts}
        long = (Edge.LEFT, Edge.RIGHT) if self._plan.lies is Lies.STANDING else (Edge.TOP, Edge.BOTTOM)
        frame = PaperFrame.around(self.scale.path(polygon(self._plan)))
        inset, letter = 0.5 * self._letter, self._letter
        for edge in (one for one in long if one not in cut):
            line, label, places = _taper(edge, frame, inset, letter)
            yield line
            placed = self._room.put(label, places, 0.1 * letter)
            if placed is not None:
                yield placed


def _sorted_out(plan: CutPlan) -> tuple[Rows, tuple[MarkedDimension, ...]]:
    """Each dimension outside an edge of the sheet, or inside where it is taken between the ends of a cut."""
    rows: Rows = {edge: [] for edge in (Edge.TOP, Edge.LEFT, Edge.BOTTOM, Edge.RIGHT)}
    inside = []
    ys, xs = [y for _, y in polygon(plan)], [x for x, _ in polygon(plan)]
    for one in dimensions(plan):
        near, far = (Edge.TOP, Edge.BOTTOM) if one.across else (Edge.LEFT, Edge.RIGHT)
        place, reach = (one.hook[1], ys) if one.across else (one.hook[0], xs)
        if one.opening is not None or (one.where is not None and place <= min(reach)):
            rows[near].append(one)
        elif one.where is None or place >= max(reach):
            rows[far].append(one)
        else:
            inside.append(one)
    for each in rows.values():
        each.sort(key=lambda one: (one.opening is None, one.value))
    return rows, tuple(inside)


def _taper(
    edge: Edge, frame: PaperFrame, inset: float, letter: float
) -> tuple[Stroke, Label, Iterator[tuple[float, float]]]:
    """The line along a tapered edge, and its word with the places for it."""
    label = Label(0, 0, wording.TAPERED, letter, turned=edge in UPRIGHT, clear=True)
    reach = label.width / 2 + letter
    if edge in UPRIGHT:
        x = frame.left + inset if edge is Edge.LEFT else frame.right - inset
        base = x + 1.3 * letter if edge is Edge.LEFT else x - 0.6 * letter
        line = Stroke(((x, frame.top), (x, frame.bottom)), MEDIUM * letter, (0.4 * letter, 0.4 * letter))
        return line, label, ((base, y) for y in spread(frame.top + reach, frame.bottom - reach, 9))
    y = frame.top + inset if edge is Edge.TOP else frame.bottom - inset
    base = y + 1.4 * letter if edge is Edge.TOP else y - 0.6 * letter
    line = Stroke(((frame.left, y), (frame.right, y)), MEDIUM * letter, (0.4 * letter, 0.4 * letter))
    return line, label, ((x, base) for x in spread(frame.left + reach, frame.right - reach, 9))


def _along_path(path: Sequence[XY]) -> Iterator[XY]:
    """Places on a cut: its first third, then the rest of it."""
    (ax, ay), (bx, by) = path[0], path[-1]
    corners = len(path) > 2
    for part in (0.35, 0.65, 0.25, 0.75, 0.45, 0.55, 0.15, 0.85, 0.1, 0.9, 0.05, 0.95):
        if corners:
            number = min(int(part * (len(path) - 1)), len(path) - 2)
            (px, py), (qx, qy) = path[number], path[number + 1]
            yield (px + qx) / 2, (py + qy) / 2
        else:
            yield ax + part * (bx - ax), ay + part * (by - ay)


def _beside_path(path: Sequence[XY], edge: Edge, board: PaperFrame, letter: float) -> Iterator[XY]:
    """Places on a cut, then beside it within the board, since a strip of waste may be thinner than a ring."""
    places = list(_along_path(path))
    yield from places
    upright = edge in {Edge.LEFT, Edge.RIGHT}
    inward = 1 if edge in {Edge.LEFT, Edge.TOP} else -1
    reach = min(board.right - board.left, board.bottom - board.top) / 2
    for step in (1.4, 2.4, 3.4, 5, 7):
        for x, y in places if step * letter < reach else ():
            off = inward * step * letter
            yield (x + off, y) if upright else (x, y + off)


def _nearest(of: PaperFrame, to: PaperFrame) -> XY:
    """The place on the rim of one rectangle that is nearest to the middle of another."""
    x, y = (to.left + to.right) / 2, (to.top + to.bottom) / 2
    return (min(max(x, of.left), of.right), min(max(y, of.top), of.bottom))


EDGE = 0.4
"""Room round the board, in millimeters, for half its outline."""
SPOT, FIRST_SPOT = 0.55, 0.85
"""Radii in millimeters: those that go in first are larger and filled."""


def fastening_picture(plan: CutPlan, fastening: FasteningPlan, width: float, height: float) -> Picture:
    """The finished board on paper of at most that many millimeters: outline, openings, a thin line a member that is
    fastened between edges, a ring a fastener and a dot one that goes in first.
    """
    corners = [(point.x.inches, point.y.inches) for point in plan.outline]
    xs, ys = zip(*corners, strict=True)
    wide, high = float(max(xs) - min(xs)), float(max(ys) - min(ys))
    scale = min((width - 2 * EDGE) / wide, (height - 2 * EDGE) / high)

    def at(x: Fraction, y: Fraction) -> XY:
        return EDGE + float(x - min(xs)) * scale, EDGE + float(y - min(ys)) * scale

    def marks() -> Iterator[Mark]:
        yield Stroke(tuple(at(x, y) for x, y in corners), 0.3, closed=True)
        for opening in plan.openings:
            around = tuple(at(point.x.inches, point.y.inches) for point in opening.corners)
            yield Stroke(around, 0.2, closed=True)
        for x, places in member_rows(fastening):
            yield Stroke((at(x, min(places)), at(x, max(places))), 0.1, (1.0, 0.6))
        for spot in fastening.spots:
            center = at(spot.x.inches, spot.y.inches)
            if spot.stage is Stage.FIRST:
                yield _dot(center)
            else:
                yield Circle(center, SPOT, 0.15)

    title = fasteners_title(plan.board.name)
    return Picture(2 * EDGE + wide * scale, 2 * EDGE + high * scale, tuple(marks()), title)


def member_rows(fastening: FasteningPlan) -> list[tuple[Fraction, list[Fraction]]]:
    """The members that are fastened between the board's edges: how far right, and how far down each fastener is."""
    rows: dict[Fraction, list[Fraction]] = defaultdict(list)
    for spot in fastening.spots:
        if not spot.along_edge:
            rows[spot.x.inches].append(spot.y.inches)
    return sorted(rows.items())


def _dot(center: XY) -> Area:
    """A filled square on its corner, which a printer keeps apart from a ring."""
    x, y, r = *center, FIRST_SPOT
    return Area(((x, y - r), (x + r, y), (x, y + r), (x - r, y)), 0.0)
