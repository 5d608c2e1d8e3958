"""A wall or a ceiling with its sheets: each piece with its number and size, joints by kind, openings, framing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

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
    drawn,
    everywhere,
    extension,
    fitted,
    in_largest_letters,
    legend,
    roomy,
    spread,
)
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import RoomSurface, name_of
from fieldvoice.records.room_plan import JointKind, Piece, RoomPlan, SurfacePlan
from fieldvoice.wording import captions as wording
from fieldvoice.wording.forms import piece_size


def wall_picture(
    surface: SurfacePlan,
    unit: Unit,
    width: float,
    height: float,
    *,
    layer: int = 1,
    letters: Sequence[float] = HEIGHTS,
) -> Picture:
    """One layer of a surface on paper of that many millimeters, seen from the room. A piece's size stands in the piece,
    in smaller letters where it must; one that has no room there in the least letters that are read is left out, since
    on another piece it would be taken for that one's. Raises `ValueError` where the paper is too small for the rest.
    """
    title = wording.surface_title(str(name_of(surface.surface)), layer if surface.surface.layers > 1 else None)
    paper = PaperFrame(0, 0, width, height)

    def attempt(letter: float, *, every_size: bool) -> _WallDrawing:
        return _WallDrawing(surface, unit, paper, letter, title, layer, every_size=every_size)

    try:
        read = [letter for letter in letters if letter >= READ] or letters[:1]
        _, marks = in_largest_letters(read, lambda letter: attempt(letter, every_size=True), title)
    except ValueError:
        _, marks = in_largest_letters((*letters, *TINY), lambda letter: attempt(letter, every_size=False), title)
    return Picture(width, height, marks, title)


TINY = (0.7, 0.5, 0.35, 0.25, 0.17, 0.12, 0.08, 0.05)
"""Below what is read on paper, in millimeters: a strip of an inch beside an opening has room for its number in these
alone. Its size is listed under the drawing, and on a screen the drawing is made larger.
"""
READ = 2.1
"""The least letters that are made smaller so that every size has its place, in millimeters."""


def wall_pictures(plan: RoomPlan, width: float, height: float) -> list[Picture]:
    """Every surface, a layer after the other."""
    return [
        wall_picture(surface, plan.unit, width, height, layer=layer)
        for surface in plan.surfaces
        for layer in range(1, surface.surface.layers + 1)
    ]


class _WallDrawing:
    """One try, with letters of one height."""

    def __init__(
        self,
        surface: SurfacePlan,
        unit: Unit,
        paper: PaperFrame,
        letter: float,
        title: str,
        layer: int,
        *,
        every_size: bool,
    ) -> None:
        self._every_size = every_size
        self._surface: RoomSurface = surface.surface
        self._unit, self._letter = unit, letter
        self._pieces = tuple(piece for piece in surface.pieces if piece.layer == layer)
        self._joints = tuple(joint for joint in surface.joints if joint.layer == layer)
        self._names_of = wording.opening_names(self._surface.openings)
        self._told = tuple(wording.opening_figures(one, self._surface.kind, unit) for one in self._surface.openings)
        wide = self._surface.width
        self._top = self._surface.top_line
        begins = {piece.x for piece in self._pieces if piece.x > ZERO}
        self._across = (*sorted({*begins, *(point.across for point in self._top[1:-1])}), wide)
        left, right = (self._surface.top_at(x) for x in (ZERO, wide))
        up = {piece.y: ZERO for piece in self._pieces if piece.y > ZERO} | {left: ZERO}
        up |= {point.height: point.across for point in reversed(self._top[1:-1])}
        self._up = tuple(sorted(up.items()))
        self._right_end = right if right != left else None
        self._words, self._paper = f"{title}. {wording.wall_caption(unit)}", paper
        self._lay_out(range(len(self._told)))
        self._lay_out([at for at in range(len(self._told)) if not self._in_opening(at)])

    def _lay_out(self, below: Sequence[int]) -> None:
        """The scale that is left where the figures of these openings stand below the drawing."""
        letter, surface, paper = self._letter, self._surface, self._paper
        told = (wording.opening_line(self._names_of[at], self._told[at]) for at in below)
        self._caption = text_lines(" ".join((self._words, *told)), letter, paper.right)
        margins = {
            Edge.TOP: 0.6 * letter,
            Edge.RIGHT: letter * (0.6 if self._right_end is None else 1.3 + FAR),
            Edge.BOTTOM: letter * (1.3 + PITCH * len(self._across) + LEGEND_LINE * len(self._caption)),
            Edge.LEFT: letter * (1.3 + PITCH * len(self._up)),
        }
        extent = (Fraction(0), Fraction(0), surface.width.inches, surface.highest.inches)
        self._scale: Scale
        self._scale, across, down = fitted(extent, margins, paper)
        self.roomy = roomy(paper, across, down, letter)
        self._above = replace(paper, bottom=paper.bottom - LEGEND_LINE * letter * len(self._caption))
        self._room, self._below = PaperRoom(self._above), frozenset(below)

    def marks(self) -> Iterator[Mark]:
        """All of it, what lies under first. Raises `Crowded`."""
        if not self._scale.factor:
            raise Crowded
        yield from self._framing()
        for piece in self._pieces:
            yield Stroke(self._corners(piece), 0.5 * HEAVY * self._letter, closed=True)
        yield from self._openings()
        yield from self._jointed()
        yield from self._opening_names()
        yield Stroke(self._outline(), HEAVY * self._letter, closed=True)
        yield from self._figures()
        yield from self._names()
        yield from legend(self._caption, 0, self._above.bottom, self._letter)

    def _at(self, x: Length, y: Length) -> XY:
        """A place on the surface, y up from its lower edge."""
        return self._scale.at((x.inches, (self._surface.highest - y).inches))

    def _outline(self) -> tuple[XY, ...]:
        return (*self._over(), self._at(self._surface.width, ZERO), self._at(ZERO, ZERO))

    def _over(self) -> tuple[XY, ...]:
        """The line of its top."""
        return tuple(self._at(point.across, point.height) for point in self._top)

    def _corners(self, piece: Piece) -> tuple[XY, ...]:
        return (
            *(self._at(piece.x + corner.across, piece.y + corner.height) for corner in piece.top_corners),
            self._at(piece.right, piece.y),
            self._at(piece.x, piece.y),
        )

    def _framing(self) -> Iterator[Mark]:
        members, dash = self._surface.members, (1.2 * self._letter, 0.9 * self._letter)
        upright = members.along is Dimension.WIDTH
        for center in members.centers(self._surface.width if upright else self._surface.height):
            ends = (
                (self._at(center, ZERO), self._at(center, self._surface.top_at(center)))
                if upright
                else (self._at(ZERO, center), self._at(self._surface.width, center))
            )
            yield Stroke(ends, THIN * self._letter, dash)

    def _opening(self, at: int) -> tuple[XY, ...]:
        """The corners of an opening, from its upper left one on."""
        one = self._surface.openings[at]
        sides = (one.left, one.top), (one.right, one.top), (one.right, one.bottom), (one.left, one.bottom)
        return tuple(self._at(*corner) for corner in sides)

    def _in_opening(self, at: int) -> tuple[Label, ...]:
        """Its name and figures, a line each, in the middle of an opening, in letters that are read; none where they
        have no room there.
        """
        frame, lines = PaperFrame.around(self._opening(at)), (self._names_of[at], *self._told[at])
        x, y = (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2
        for letter in (share * self._letter for share in (1, 0.85, 0.7, 0.6)):
            if letter < READ and letter != self._letter:
                break
            first = y - LEGEND_LINE * letter * (len(lines) - 1) / 2 + letter / 2
            labels = tuple(
                Label(x, first + LEGEND_LINE * letter * number, line, letter, clear=True)
                for number, line in enumerate(lines)
            )
            if all(label.frame.grown(0.3 * letter).within(frame) for label in labels):
                return labels
        return ()

    def _openings(self) -> Iterator[Mark]:
        for at in range(len(self._told)):
            corners = self._opening(at)
            yield Area(corners)
            yield Stroke(corners, HEAVY * self._letter, closed=True)
            yield Stroke((corners[0], corners[2]), THIN * self._letter)
            yield Stroke((corners[1], corners[3]), THIN * self._letter)

    def _opening_names(self) -> Iterator[Mark]:
        """What each is called, and within it its figures; over the joints, which else would run through the letters."""
        for at in range(len(self._told)):
            frame = PaperFrame.around(self._opening(at))
            if at in self._below:
                middle = ((frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2)
                label = Label(0, 0, self._names_of[at], self._letter, clear=True)
                yield self._placed(label, middle, frame)
            else:
                yield from self._in_opening(at)
            self._room.take(frame)

    def _jointed(self) -> Iterator[Mark]:
        """Butt joints heavy, tapered ones as two fine lines. No label may lie on a heavy one: what it clears would make
        that a fine one.
        """
        for joint in self._joints:
            (ax, ay), (bx, by) = self._at(*joint.start), self._at(*joint.end)
            if joint.kind is JointKind.BUTT:
                yield Stroke(((ax, ay), (bx, by)), 2.2 * HEAVY * self._letter)
                half = 1.1 * HEAVY * self._letter
                self._room.take(
                    PaperFrame(min(ax, bx) - half, min(ay, by) - half, max(ax, bx) + half, max(ay, by) + half)
                )
                continue
            off = 0.25 * self._letter
            dx, dy = (off, 0.0) if abs(bx - ax) < abs(by - ay) else (0.0, off)
            for way in (-1, 1):
                ends = ((ax + way * dx, ay + way * dy), (bx + way * dx, by + way * dy))
                yield Stroke(ends, MEDIUM * self._letter, (0.5 * self._letter, 0.4 * self._letter))

    def _figures(self) -> Iterator[Mark]:
        """From the lower left corner: where each piece begins, and the whole; under a slope both ends, and where it
        changes.
        """
        corner = self._at(ZERO, ZERO)
        for number, x in enumerate(self._across):
            place = self._at(x, ZERO)
            at = corner[1] + self._letter * (FAR + PITCH * number)
            line = DimensionLine.level(corner[0], place[0], at, x.text(self._unit))
            yield from extension(line, corner, place, self._letter)
            yield from drawn(line, self._letter, self._room)
        for number, (y, x) in enumerate(self._up):
            place = self._at(x, y)
            at = corner[0] - self._letter * (NEAR + PITCH * number)
            line = DimensionLine.upright(corner[1], place[1], at, y.text(self._unit))
            yield from extension(line, corner, place, self._letter)
            yield from drawn(line, self._letter, self._room)

        if self._right_end is not None:
            foot, place = (self._at(self._surface.width, y) for y in (ZERO, self._right_end))
            at = foot[0] + self._letter * FAR
            line = DimensionLine.upright(foot[1], place[1], at, self._right_end.text(self._unit))
            yield from extension(line, foot, place, self._letter)
            yield from drawn(line, self._letter, self._room)

    def _names(self) -> Iterator[Mark]:
        """In each piece its number in a ring, and its size beside or under it."""
        radius = self._letter
        for piece in self._pieces:
            frame = PaperFrame.around(self._corners(piece))
            spots = (
                (x, y)
                for y in spread(frame.top + radius, frame.bottom - radius, 11)
                for x in spread(frame.left + radius, frame.right - radius, 11)
            )
            for x, y in spots:
                ring = PaperFrame(x - radius, y - radius, x + radius, y + radius)
                if self._under_top(ring) and self._room.free(ring):
                    break
            else:
                raise Crowded
            self._room.take(ring)
            yield Circle((x, y), radius, MEDIUM * self._letter)
            yield Label(x, y + 0.5 * self._letter, str(piece.name.number), self._letter, bold=True)
            size = piece_size(piece, self._unit)
            label = self._inside(Label(0, 0, size, self._letter, clear=True), (x, y + 2.4 * radius), frame)
            if label is not None:
                yield label
            elif self._every_size:
                raise Crowded

    def _placed(self, label: Label, near: XY, inside: PaperFrame) -> Label:
        """The label near a place, inside a frame where it fits there, else as near as it can be beside it, on it where
        nothing else is free. Raises `Crowded`.
        """
        placed = self._inside(label, near, inside)
        spot = PaperFrame(near[0], near[1], near[0], near[1])
        start = replace(label, anchor=Anchor.START)
        places = everywhere(self._above, spot, start, self._letter) if placed is None else ()
        beside = (place for place in places if not replace(start, x=place[0], y=place[1]).frame.meets(inside))
        placed = placed or self._room.put(start, (*beside, *places), 0.1 * self._letter)
        if placed is None:
            raise Crowded
        return placed

    def _inside(self, label: Label, near: XY, inside: PaperFrame) -> Label | None:
        """The label near a place inside a frame, level or turned; None where it doesn't fit."""
        for each in (label, replace(label, turned=True)):
            own = each.frame
            left, right = inside.left - own.left, inside.right - own.right
            top, bottom = inside.top - own.top, inside.bottom - own.bottom
            if left > right or top > bottom:
                continue
            places = [] if each.turned else [(min(max(near[0], left), right), min(max(near[1], top), bottom))]
            places += [(x, y) for y in spread(top, bottom, 13) for x in spread(left, right, 9)]
            under = [(x, y) for x, y in places if self._under_top(replace(each, x=x, y=y).frame)]
            placed = self._room.put(each, under, 0.1 * self._letter)
            if placed is not None:
                return placed
        return None

    def _under_top(self, frame: PaperFrame) -> bool:
        """Whether all of it lies under the top of the surface, which may slope."""
        line = self._over()
        corners = [place[1] for place in line if frame.left < place[0] < frame.right]
        for x in (frame.left, frame.right):
            beside = next(((left, right) for left, right in pairwise(line) if x <= right[0]), line[-2:])
            (x0, y0), (x1, y1) = beside
            corners.append(y0 + (y1 - y0) * (x - x0) / (x1 - x0) if x1 > x0 else max(y0, y1))
        return frame.top >= max(corners)
