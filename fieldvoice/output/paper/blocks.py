"""Blocks of text and figures, and columns of paper that they flow down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum

from fieldvoice.output.drawing.picture import Anchor, Label, Mark, Picture, Stroke, moved, text_lines
from fieldvoice.wording import captions as wording

MARGIN = 10.0
BODY, SMALL, HEAD = 2.5, 2.1, 5.0
"""Heights of letters: 2.5 mm is the least of the standard's series (ISO 3098); what nobody reads at the sheet is
smaller."""
LEADING = 1.72
"""From line to line, in letter heights."""


class Paper(Enum):
    """Sizes of paper in millimeters: ANSI A and ISO 216."""

    LETTER = (215.9, 279.4)
    A4 = (210.0, 297.0)

    @property
    def width(self) -> float:
        """Across, held upright."""
        return self.value[0]

    @property
    def height(self) -> float:
        """Down, held upright."""
        return self.value[1]


@dataclass(frozen=True, slots=True)
class Made:
    """When the paper was made, and of which job with which last entry."""

    at: datetime
    job: str | None = None
    last: datetime | None = None
    version: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """Something that isn't torn apart over two pages: marks from (0, 0) down, `height` with the room under it."""

    marks: tuple[Mark, ...]
    height: float


def paragraph(
    text: str,
    width: float,
    *,
    letter: float = BODY,
    bold: bool = False,
    indent: float = 0.0,
    lead: str = "",
    after: float = 0.8,
) -> Block:
    """A text in lines, `indent` from the left with `lead` before its first line; `after` is the room under it, in
    letter heights. A fraction in running text is written in full-size figures.
    """
    lines = text_lines(text, letter, width - indent, bold=bold)
    step = LEADING * letter
    marks: list[Mark] = [
        Label(indent, step * number + 1.1 * letter, line, letter, Anchor.START, bold=bold, fractions=False)
        for number, line in enumerate(lines)
    ]
    if lead:
        marks.insert(0, Label(0, 1.1 * letter, lead, letter, Anchor.START, bold=True, fractions=False))
    return Block(tuple(marks), step * max(len(lines), 1) + after * letter)


def heading(text: str, width: float) -> Block:
    """The head of a part, with a line under it."""
    line = Stroke(((0, 4.6), (width, 4.6)), 0.35)
    return Block((Label(0, 3.4, text, 2.8, Anchor.START, bold=True, fractions=False), line), 6.4)


def joined(blocks: Iterable[Block]) -> Block:
    """Blocks that stay together."""
    marks: list[Mark] = []
    down = 0.0
    for block in blocks:
        marks += [moved(mark, 0, down) for mark in block.marks]
        down += block.height
    return Block(tuple(marks), down)


def flowed(blocks: Sequence[Block], tops: Sequence[float], bottom: float, left: float) -> list[list[Mark]]:
    """The blocks down a column that begins at `tops[n]` on page n, the last of them repeated, and ends at `bottom`."""
    pages: list[list[Mark]] = [[]]
    down = tops[0]
    for block in blocks:
        page = len(pages) - 1
        if down + block.height > bottom and down > tops[min(page, len(tops) - 1)]:
            pages.append([])
            down = tops[min(page + 1, len(tops) - 1)]
        pages[-1] += [moved(mark, left, down) for mark in block.marks]
        down += block.height
    return pages


def page_frame(title: str, part: tuple[int, int], paper: Paper, made: Made, share: float = 1.0) -> Iterator[Mark]:
    """What every page has: its name above, with that share of the width, which of its parts it is where there are
    several, and below when and of what it was made. A long name is set in smaller letters, so that it is whole.
    """
    right, base = paper.width - MARGIN, paper.height - MARGIN
    name = wording.part_of(title, *part)
    head = Label(MARGIN, MARGIN + HEAD, name, HEAD, Anchor.START, bold=True, fractions=False)
    yield _narrowed(head, (right - MARGIN) * share)
    yield Stroke(((MARGIN, MARGIN + 7.6), (right, MARGIN + 7.6)), 0.5)
    printed = wording.printed(made.at, made.job, made.last, made.version)
    yield _narrowed(Label(MARGIN, base, printed, SMALL, Anchor.START, fractions=False), right - MARGIN - 24)


def numbered(pages: Sequence[Picture]) -> tuple[Picture, ...]:
    """The pages of one document, each with its number below, so that a missing one is missed."""
    return tuple(
        replace(page, marks=(*page.marks, _number(page, wording.page_of(number, len(pages)))))
        for number, page in enumerate(pages, 1)
    )


def _number(page: Picture, text: str) -> Label:
    return Label(page.width - MARGIN, page.height - MARGIN, text, SMALL, Anchor.END, fractions=False)


def _narrowed(label: Label, width: float) -> Label:
    return label if label.width <= width else replace(label, height=label.height * width / label.width)
