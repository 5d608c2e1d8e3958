"""Which courses can cover a surface: how wide each is, so that factory edges meet and what is ripped lies outside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import islice, pairwise, product

from fieldvoice.layout.frame import Frame, Steps
from fieldvoice.records.board import Lies

MOST_WAYS = 48
"""No more ways than this are weighed for one surface; past it they differ in the order of columns alone."""

MOST_SHIFTED = 2
"""Ways of one layer that are weighed for one way of another."""


@dataclass(frozen=True, slots=True)
class CourseBand:
    """One course (or one column of standing sheets) across v, and how many of its long edges meet other boards in
    factory edges. `cut_joints` is how many of its long edges are cut and meet another board. `at_jamb`: no board is
    before it, since an opening from end to end is, or since it is that opening.
    """

    near: int
    far: int
    tapered: int
    cut_joints: int = 0
    at_jamb: bool = False


Way = tuple[CourseBand, ...]
"""One way to divide a surface into courses, from v = 0 on."""


def ways(frame: Frame, widths: Sequence[int], steps: Steps) -> tuple[Way, ...]:
    """Every way that the rules allow, the ones with the fewest courses first; `widths` are the sheets' widths."""
    wide = tuple(sorted(widths, reverse=True))
    if frame.courses_slope:
        found: Iterator[Way] = (way for width in wide for way in _under_slope(frame, width, steps))
    elif frame.across:
        found = _across(frame, wide, steps)
    else:
        found = iter(_columns(frame, wide, steps))
    return tuple(sorted(dict.fromkeys(found), key=lambda way: (in_two(frame, way, steps), *_order(way))))[:MOST_WAYS]


def layered(frame: Frame, widths: Sequence[int], steps: Steps) -> Iterator[tuple[Way, ...]]:
    """Ways for every layer from the framing out: the outermost as one layer would be, those under it shifted in turn.
    Where no such layer has another that is shifted, standing sheets are ripped as little as both together allow.
    """
    count, found = frame.surface.layers, False
    for face in ways(frame, widths, steps):
        for under in shifted(frame, widths, steps, face) if count > 1 else (face,):
            found = True
            yield _in_turn(face, under, count)
    if not found and not frame.across:
        pair = _two_apart(frame, tuple(sorted(widths, reverse=True)), steps)
        if pair is not None:
            yield _in_turn(*pair, count)


def below_hung(frame: Frame, widths: Sequence[int], steps: Steps, hung: Sequence[tuple[int, int]]) -> Iterator[Way]:
    """Ways for courses of which the first ones hang already, from where to where: full ones below these, and the last
    ripped to what is left, a strip or not. For a wall that is higher or lower than it was when these were cut.
    """
    heights, at = [], 0
    for near, far in sorted(set(hung)):
        if near != at:
            return
        heights.append(far - near)
        at = far
    wide = tuple(sorted(widths, reverse=True))
    least, most = (steps.gap_least, steps.gap_most) if frame.wall else (0, 0)
    if at >= frame.depth - most:
        yield _stacked(heights)
        return
    for full in _enough(wide, frame.depth - at - most):
        whole = frame.depth - at - most <= sum(full) <= frame.depth - at - least
        left = frame.depth - (steps.gap if frame.wall else 0) - at - sum(full[:-1])
        yield _stacked((*heights, *(full if whole else (*full[:-1], left))))


def _in_turn(face: Way, under: Way, count: int) -> tuple[Way, ...]:
    return tuple(face if (count - layer) % 2 == 0 else under for layer in range(1, count + 1))


def shifted(frame: Frame, widths: Sequence[int], steps: Steps, face: Way) -> tuple[Way, ...]:
    """Ways for a layer under or over another whose long joints have to stay away from that one's."""
    wide = tuple(sorted(widths, reverse=True))
    joints = _joints(face)
    if not joints:
        return (face,)
    if frame.courses_slope:
        found = [way for width in wide for way in _shifted_under_slope(frame, width, steps)]
    elif frame.across:
        found = [way for first in _firsts(wide) for way in _from_first(frame, wide, steps, first)]
    else:
        found = list(_columns(frame, wide, steps, joints))
    apart = [way for way in dict.fromkeys(found) if _apart(way, joints, steps.layer_shift)]
    return tuple(
        sorted(apart, key=lambda way: (in_two(frame, way, steps), not four_sided(frame, way, steps), *_order(way)))
    )[:MOST_SHIFTED]


def _order(way: Way) -> tuple[int, int, tuple[int, ...]]:
    return sum(band.cut_joints for band in way), len(way), tuple(band.near for band in way)


def _joints(way: Way) -> list[int]:
    """Where boards of it meet along their long edges."""
    return [band.near for band in way[1:] if not band.at_jamb]


def _apart(way: Way, joints: Sequence[int], least: int) -> bool:
    return all(abs(place - joint) >= least for place in _joints(way) for joint in joints)


def _firsts(widths: Sequence[int]) -> list[int]:
    return [part for width in widths for part in (width // 2, width // 3, 2 * width // 3)]


def _across(frame: Frame, widths: tuple[int, ...], steps: Steps) -> Iterator[Way]:
    """Courses across the framing: full ones, and what is ripped at the far side, or at both where it is narrow."""
    least, most = (steps.gap_least, steps.gap_most) if frame.wall else (0, 0)
    for full in _enough(widths, frame.depth - most):
        total = sum(full)
        if frame.depth - most <= total <= frame.depth - least:
            yield _stacked(full)
        else:
            yield _ripped(full, frame.depth - (steps.gap if frame.wall else 0), steps)


def _enough(widths: tuple[int, ...], depth: int) -> Iterator[tuple[int, ...]]:
    """Sets of courses, widest first, that reach `depth` with none to spare."""

    def grow(taken: tuple[int, ...], allowed: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if sum(taken) >= depth:
            if sum(taken) - min(taken) < depth:
                yield taken
            return
        for index, width in enumerate(allowed):
            yield from grow((*taken, width), allowed[index:])

    yield from grow((), widths)


def _ripped(full: tuple[int, ...], depth: int, steps: Steps) -> Way:
    """The last course ripped to what is left; where that is too narrow to hang, the first is ripped as well."""
    *rest, last = full
    left = depth - sum(rest)
    if rest and left < steps.least_strip:
        rest[0] -= steps.least_strip - left
        left = steps.least_strip
    return _stacked((*rest, min(left, last)))


def _stacked(heights: Sequence[int]) -> Way:
    bands, at = [], 0
    for index, height in enumerate(heights):
        tapered = (index > 0) + (index < len(heights) - 1)
        bands.append(CourseBand(at, at + height, tapered))
        at += height
    return tuple(bands)


def _from_first(frame: Frame, widths: tuple[int, ...], steps: Steps, first: int) -> Iterator[Way]:
    """A first course ripped to `first`, full ones after it, and the last ripped to what is left."""
    depth = frame.depth - (steps.gap if frame.wall else 0)
    width = widths[0]
    heights = [first]
    while sum(heights) + width < depth:
        heights.append(width)
    left = depth - sum(heights)
    if left >= steps.least_strip:
        yield _stacked((*heights, left))


def four_sided(frame: Frame, way: Way, steps: Steps) -> bool:
    """Whether each piece of it has four sides under a slope, since the slope comes down to no joint and not to the
    floor's gap. How the pieces of a column of standing sheets are joined is for its row to see to.
    """
    if not frame.sloped:
        return True
    if frame.courses_slope:
        return max(frame.depth - band.far for band in way) < frame.lowest
    return steps.gap_most < frame.lowest


def in_two(frame: Frame, way: Way, steps: Steps) -> bool:
    """Whether an opening from end to end of a row, inside it, leaves two strips that no board holds together."""
    end = frame.length - (steps.gap_most if frame.wall and frame.lies is Lies.STANDING else 0)
    through = [hole for hole in frame.holes if hole.u0 <= 0 and hole.u1 >= end]
    return any(band.near < hole.v0 and hole.v1 < band.far for band in way for hole in through)


def _stretches(frame: Frame, steps: Steps) -> list[tuple[int, int]]:
    """From where to where across the rows there may be board, between openings from end to end of them: a column of
    standing sheets ends at both jambs of such a one.
    """
    end = frame.length - (steps.gap_most if frame.wall else 0)
    through = sorted((hole.v0, hole.v1) for hole in frame.holes if hole.u0 <= 0 and hole.u1 >= end)
    found, at = [], 0
    for near, far in (*through, (frame.depth, frame.depth)):
        if at < near:
            found.append((at, near))
        at = max(at, far)
    return found


def parted_at_breaks(frame: Frame, way: Way) -> bool:
    """Whether columns of standing sheets meet wherever the slope of the top changes; of courses their rows tell."""
    return frame.lies is Lies.LYING or {band.near for band in way[1:]}.issuperset(frame.breaks)


def _under_slope(frame: Frame, width: int, steps: Steps) -> Iterator[Way]:
    """With the highest joint as high and as low as leaves it under the slope, the lowest course ripped at the floor;
    and with full courses from the floor up, whatever the slope comes down to.
    """
    joints = _joints_below(frame, width, steps)
    for joint in joints[:1] + joints[-1:]:
        yield _with_joint_at(frame, width, steps, joint)
    yield _from_floor(frame, width, steps)


def _shifted_under_slope(frame: Frame, width: int, steps: Steps) -> Iterator[Way]:
    """The same with joints in other places."""
    for joint in _joints_below(frame, width, steps):
        yield _with_joint_at(frame, width, steps, joint)
    for first in _firsts((width,)):
        yield _from_floor(frame, width, steps, lift=first)


def _joints_below(frame: Frame, width: int, steps: Steps) -> list[int]:
    """How high up the highest joint may be, with no more courses than have to be: so high that one course is left over
    it, and so low that this one is no strip at the low end. The lowest place, the highest, and some in between.
    """
    low, high = frame.depth - width, int(frame.lowest) - steps.least_strip
    if frame.depth - steps.gap_most <= width or low > high:
        return []
    if 0 < (low - steps.gap) % width <= steps.gap_most - steps.gap:
        return [low]  # whole courses, on a gap that is as good
    courses = -(-(low - steps.gap) // width) if low > steps.gap else 1
    low = max(low, steps.gap + steps.least_strip + (courses - 1) * width)
    high = min(high, steps.gap + courses * width)
    if high - low < steps.slope_step:
        return [low] if low <= high else []
    return [*range(low, high, steps.layer_shift), high]


def _with_joint_at(frame: Frame, width: int, steps: Steps, joint: int) -> Way:
    """Full courses from a joint so high up down to the floor, where the lowest is ripped, and one over it."""
    floors = [joint]
    while floors[-1] - width > steps.gap_most:
        floors.append(floors[-1] - width)
    left = floors[-1] - width
    floors.append(left if left >= steps.gap_least else steps.gap)
    tops = [frame.depth, *floors]
    return tuple(CourseBand(frame.depth - top, frame.depth - floor, 2) for top, floor in pairwise(tops))


def _from_floor(frame: Frame, width: int, steps: Steps, lift: int = 0) -> Way:
    """Full courses from the floor up, the last one cut by the slope. Where that one would be too narrow at its highest
    the lowest is ripped at the floor. v runs down, so the highest comes first.
    """
    bands: list[CourseBand] = []
    far = frame.depth - steps.gap
    over = far % width
    narrow = far > width and 0 < over < steps.least_strip
    height = lift or (width - (steps.least_strip - over) if narrow else width)
    while far > 0:
        bands.append(CourseBand(max(0, far - height), far, 2))
        far -= height
        height = width
    return tuple(reversed(bands))


def _columns(frame: Frame, widths: tuple[int, ...], steps: Steps, joints: Sequence[int] = ()) -> tuple[Way, ...]:
    """Sheets along the framing: their long edges land on it, clear of openings and of another layer's `joints`. Full
    sheets but at the two sides; where the framing doesn't allow that, sheets are ripped in between, and a cut edge
    meets a factory edge. Between openings from end to end each stretch is divided by itself.
    """
    allowed = [
        member
        for member in frame.members
        if _clear(frame, member, steps) and all(abs(member - joint) >= steps.layer_shift for joint in joints)
    ]
    stretches = _stretches(frame, steps)
    found = [_of_stretch(frame, widths, steps, allowed, each) for each in stretches]
    most = MOST_WAYS if len(found) <= 1 else max(2, round(MOST_WAYS ** (1 / len(found))))
    apart = [_beside(frame.depth, each) for each in islice(product(*(one[:most] for one in found)), MOST_WAYS)]
    if stretches == [(0, frame.depth)]:
        return tuple(apart)
    return (*apart, *_of_stretch(frame, widths, steps, allowed, (0, frame.depth)))


def _beside(depth: int, ways_of: Sequence[Way]) -> Way:
    """The ways of several stretches as one, with a row of no board at each opening between them."""
    bands: list[CourseBand] = []
    for way in ways_of:
        at = bands[-1].far if bands else 0
        bands += [CourseBand(at, way[0].near, 0, at_jamb=True)] if at < way[0].near else []
        bands += [replace(way[0], at_jamb=way[0].near > 0), *way[1:]]
    at = bands[-1].far if bands else 0
    return (*bands, *((CourseBand(at, depth, 0, at_jamb=True),) if at < depth else ()))


def _of_stretch(
    frame: Frame, widths: tuple[int, ...], steps: Steps, allowed: Sequence[int], stretch: tuple[int, int]
) -> tuple[Way, ...]:
    """The ways to divide one stretch."""
    start, depth = stretch[0], stretch[1] - stretch[0]
    places = [place - start for place in allowed if start < place < stretch[1]]
    breaks = [place - start for place in frame.breaks if start < place < stretch[1]]
    full = _full_columns(depth, widths, places, breaks)
    full = [path for path in full if not _narrow(path, depth, steps)] or full
    if not full:
        path = _fewest_columns(depth, widths, places, steps.least_strip)
        full = [path] if path else []
    return tuple(_moved(_way(path, depth, widths), start) for path in full)


def _moved(way: Way, by: int) -> Way:
    return tuple(replace(band, near=band.near + by, far=band.far + by) for band in way)


def _narrow(joints: tuple[int, ...], depth: int, steps: Steps) -> bool:
    """Whether the first or the last column is a strip."""
    return bool(joints) and min(joints[0], depth - joints[-1]) < steps.least_strip


def _clear(frame: Frame, member: int, steps: Steps) -> bool:
    return all(abs(member - side) >= steps.past_opening for hole in frame.holes for side in (hole.v0, hole.v1))


def _full_columns(
    depth: int, widths: tuple[int, ...], allowed: Sequence[int], breaks: Sequence[int]
) -> list[tuple[int, ...]]:
    """Every row of joints with full sheets between them; first those with a joint at each of the `breaks` of a slope
    that has framing under it.
    """
    places = frozenset(allowed)
    found: list[tuple[int, ...]] = []

    def grow(joints: tuple[int, ...]) -> None:
        if len(found) >= MOST_WAYS:
            return
        if depth - joints[-1] <= widths[0]:
            found.append(joints)
        for width in widths:
            if joints[-1] + width in places:
                grow((*joints, joints[-1] + width))

    if depth <= widths[0] and not places.intersection(breaks):
        return [()]
    for first in sorted(allowed, key=lambda place: (not _comes_to(breaks, place, widths), -place)):
        if first <= widths[0]:
            grow((first,))
    return [joints for joints in found if not _needless(joints, depth, widths, breaks)]


def _comes_to(breaks: Sequence[int], first: int, widths: tuple[int, ...]) -> bool:
    """Whether full sheets from a joint on may end at a break of the slope."""
    return any(place >= first and (place - first) % width == 0 for place in breaks for width in widths)


def _needless(joints: tuple[int, ...], depth: int, widths: tuple[int, ...], breaks: Sequence[int]) -> bool:
    """Whether the last joint could be left out."""
    before = joints[-2] if len(joints) > 1 else 0
    return depth - before <= widths[0] and not {*joints}.intersection(breaks)


def _fewest_columns(depth: int, widths: tuple[int, ...], allowed: Sequence[int], strip: int) -> tuple[int, ...] | None:
    """Joints with the fewest columns that are strips, then the fewest cut edges in them, then the fewest columns."""
    places = sorted({*allowed, depth})
    middle = frozenset(widths)

    @cache
    def rest(at: int) -> tuple[int, int, int, tuple[int, ...]] | None:
        if at == depth:
            return (0, 0, 0, ())
        best: tuple[int, int, int, tuple[int, ...]] | None = None
        for place in places:
            if not at < place <= at + widths[0]:
                continue
            after = rest(place)
            if after is None:
                continue
            cut = int(at > 0 and place < depth and place - at not in middle)
            joints = (place, *after[3]) if place < depth else ()
            found = (after[0] + int(place - at < strip), after[1] + cut, after[2] + 1, joints)
            best = found if best is None else min(best, found)
        return best

    found = rest(0)
    return None if found is None else found[3]


def _two_apart(frame: Frame, widths: tuple[int, ...], steps: Steps) -> tuple[Way, Way] | None:
    """Two layers of standing sheets, no joint of one near one of the other: in each stretch between openings the fewest
    columns that are strips, then the fewest cut edges in joints, then the fewest columns. None where the framing has no
    two such.
    """
    allowed = [member for member in frame.members if _clear(frame, member, steps)]
    pairs = []
    for start, end in _stretches(frame, steps):
        places = [place - start for place in allowed if start < place < end]
        joints = _joints_apart(end - start, widths, places, steps)
        if joints is None:
            return None
        pairs.append([_moved(_way(each, end - start, widths), start) for each in joints])
    one, other = ([pair[layer] for pair in pairs] for layer in (0, 1))
    return _beside(frame.depth, one), _beside(frame.depth, other)


def _joints_apart(
    depth: int, widths: tuple[int, ...], places: Sequence[int], steps: Steps
) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """The joints of both layers of one stretch."""
    middle = frozenset(widths)

    @cache
    def rest(at: int, behind: int) -> tuple[int, int, int, tuple[int, ...], tuple[int, ...]] | None:
        """From where one layer has come, the other being behind it and going on: as above, and the joints of either."""
        if at == behind == depth:
            return (0, 0, 0, (), ())
        best: tuple[int, int, int, tuple[int, ...], tuple[int, ...]] | None = None
        for place in (*places, depth):
            near = place < depth and 0 < at < depth and abs(place - at) < steps.layer_shift
            if not behind < place <= behind + widths[0] or near:
                continue
            after = rest(max(place, at), min(place, at))
            if after is None:
                continue
            ahead, other = (after[3], after[4]) if place <= at else (after[4], after[3])
            cut = int(behind > 0 and place < depth and place - behind not in middle)
            joints = (place, *other) if place < depth else ()
            strip = int(place - behind < steps.least_strip)
            found = (after[0] + strip, after[1] + cut, after[2] + 1, ahead, joints)
            best = found if best is None else min(best, found)
        return best

    found = rest(0, 0)
    return None if found is None else (found[3], found[4])


def _way(joints: tuple[int, ...], depth: int, widths: tuple[int, ...]) -> Way:
    """Columns between their joints: those in between keep both factory edges where they are whole sheets."""
    ends = (0, *joints, depth)
    bands = []
    for index, (near, far) in enumerate(pairwise(ends)):
        outer = (index == 0) + (index == len(ends) - 2)
        cut = outer == 0 and far - near not in widths
        bands.append(CourseBand(near, far, 2 - outer - cut, int(cut)))
    return tuple(bands)
