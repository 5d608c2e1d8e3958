"""The partner's hands on the page: what a tap or a typed line does to the job, under the partner's name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress

from fieldvoice.dialogue.view import Job
from fieldvoice.output.drawing.board import board_picture
from fieldvoice.output.drawing.hole import hole_picture
from fieldvoice.output.drawing.media import svg
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.page.document import care, hand, text
from fieldvoice.page.feed import Feed
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.said import Say

WHO = "partner"
"""Who a viewer is to the journal."""
WALL = (120.0, 75.0)
"""Millimeters of a wall's drawing, which has most of the page to itself."""
DRAWING = (64.0, 60.0)
"""Millimeters of the drawing beside the marks: what it holds is read at the phone, not at five meters."""


class Hands:
    """Does to the job what the page asks, publishes the job as it then is, and tells `done` what is to be said."""

    def __init__(self, job: Job, feed: Feed, done: Callable[[Sequence[Say]], None]) -> None:
        self._job, self._feed, self._done = job, feed, done

    def show(self) -> None:
        """The job as it is now, to everybody who watches."""
        self._feed.publish(text(self._job.view()))

    def line(self, text: str) -> None:
        """A typed call or order."""
        self._did(self._job.take(Hearing.typed(text), WHO))

    def tick(self, step: str) -> bool:
        """The step that the page showed under that name is done; False where another is in hand by now, so that two
        thumbs never tick two steps.
        """
        view = self._job.view()
        says = self._job.tick(view, WHO) if hand(view) == step else None
        if says is not None:
            self._did(says)
        return says is not None

    def untick(self) -> None:
        """The last tick was none."""
        self._did(self._job.untick(WHO))

    def acknowledge(self, cautions: str) -> bool:
        """The cautions that the page showed under that name were read; False where there are others by now."""
        view = self._job.view()
        if care(view) != cautions:
            return False
        self._did(self._job.acknowledge(view, WHO))
        return True

    def drawing(self) -> str:
        """The board that may be cut, the wall at hand, or the hole as measured so far: no draft is drawn as a plan."""
        view = self._job.view()
        for larger in (1, 2, 4):
            with suppress(ValueError):  # too much for paper of that size: its letters get smaller beside the marks
                paper = DRAWING if view.surface is None else WALL
                wide, high = paper[0] * larger, paper[1] * larger
                if view.plan is not None and not view.so_far:
                    return svg(board_picture(view.plan, wide, high, room=view.room))
                if view.surface is not None and view.surface.plan is not None:
                    return svg(wall_picture(view.surface.plan, view.unit, wide, high, layer=view.surface.layer))
                if view.hole is not None:
                    return svg(hole_picture(view.hole, wide, high, room=view.room))
        return '<svg xmlns="http://www.w3.org/2000/svg"/>'

    def _did(self, says: Sequence[Say]) -> None:
        self.show()
        self._done(says)
