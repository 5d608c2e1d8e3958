"""Pictures of each look at six sizes: `python -m tests.output.golden_screens` draws them anew; look at them then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from fieldvoice.dialogue.view import Exchange, View
from fieldvoice.output.screen.compose import Look, compose
from fieldvoice.output.screen.parts import PLAIN, RICH
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, BoxKind, Coordinate, Edge, Point
from tests.output.scene import ASKED, DONE, GATHERING
from tests.output.wall_scene import wall_views

FOLDER = Path(__file__).parent / "golden_screens"
SIZES = ((40, 15), (60, 20), (80, 24), (120, 40), (200, 60), (480, 135))

_BOX = Box(
    BoxKind.SINGLE,
    Coordinate(Point.CENTER, Length("30 1/4"), Edge.LEFT),
    Coordinate(Point.CENTER, Length(48), Edge.TOP),
    "box 1",
)


def _with_box(view: View) -> View:
    assert view.hole is not None
    return replace(view, hole=replace(view.hole, boxes=(_BOX,)))


_ASKED = Exchange("outlet thirty and a quarter", "reading", "hanger", (ASKED,), asks=True)
LOOKS = {
    "cutting": (_with_box(DONE), Look.NOW),
    "measuring": (GATHERING, Look.NOW),
    "asking": (replace(_with_box(GATHERING), last=_ASKED), Look.NOW),
    "cautions": (_with_box(DONE), Look.CAUTIONS),
    "steps": (DONE, Look.STEPS),
    "keys": (DONE, Look.KEYS),
}
PLAIN_SIZES = ((60, 20), (80, 24), (120, 40))


def pictures() -> Iterator[tuple[Path, str]]:
    """Each file and what the screen shows now."""
    for name, (view, look) in LOOKS.items():
        for columns, rows in SIZES:
            lines = (line.plain.rstrip() for line in compose(view, columns, rows - 1, look).lines)
            yield FOLDER / f"{name}_{columns}x{rows}.txt", "\n".join(lines) + "\n"
    for name, view in wall_views().items():
        for medium, kind, sizes in ((RICH, "", SIZES), (PLAIN, "_plain", PLAIN_SIZES)):
            for columns, rows in sizes:
                lines = (line.plain.rstrip() for line in compose(view, columns, rows - 1, medium=medium).lines)
                yield FOLDER / f"{name}{kind}_{columns}x{rows}.txt", "\n".join(lines) + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for file, text in pictures():
        file.write_text(text, encoding="utf-8")
