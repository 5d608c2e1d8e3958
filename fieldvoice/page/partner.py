"""The partner's page of a job: the screen's two looks as plain text for a browser to place, and what a tap or a typed
line does, under the partner's name; and what the page shows, handed from the dialogue's thread to every viewer
without ever waiting for one.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import threading
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field

from fieldvoice.dialogue.view import Job, View, in_hand
from fieldvoice.output import marks
from fieldvoice.output.drawing.board import board_picture
from fieldvoice.output.drawing.hole import hole_picture
from fieldvoice.output.drawing.media import svg
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.fastening import plan_lines
from fieldvoice.output.figures import Figure
from fieldvoice.output.marks import fresh_reading, marks_ahead
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.plan import CutPlan, Does
from fieldvoice.records.room_plan import SurfaceAtHand
from fieldvoice.records.said import Say
from fieldvoice.wording import captions, needs, steps, surfaces
from fieldvoice.wording.boards import item_text
from fieldvoice.wording.cautions import danger_line, said
from fieldvoice.wording.forms import Form, InWords
from fieldvoice.wording.notices import answer
from fieldvoice.wording.troubles import sentence

Document = Mapping[str, object]


def document(view: View) -> Document:
    """Everything that the page shows, in the names that `static/page.js` reads. Text alone: the page never takes any
    of it for markup.
    """
    if view.surface is not None:
        return {"look": "wall", **_common(view), **_wall(view, view.surface)}
    if view.to_cut is None:
        return {"look": "measuring", **_common(view), **_measured(view)}
    return {"look": "cutting", **_common(view), **_cut(view, view.to_cut)}


def text(view: View) -> str:
    """The document as one line of JSON."""
    return json.dumps(document(view), ensure_ascii=False, sort_keys=True)


def hand(view: View) -> str | None:
    """A name for the step in hand that another step, or the same one with other marks, doesn't have."""
    found = in_hand(view)
    return None if found is None else _name(found)


def care(view: View) -> str:
    """A name for the cautions of now, which others don't have."""
    return _name((view.board, view.cautions))


def _name(what: object) -> str:
    return hashlib.sha256(repr(what).encode()).hexdigest()[:16]


def _common(view: View) -> dict[str, object]:
    last = view.last
    asks = last is not None and last.asks
    told = answer(last.answer, view.unit) if last is not None else ""
    return {
        "title": marks.where(view),
        "danger": danger_line(view.wired, view.circuits, demonstration=view.demonstration),
        "question": told if asks else "",
        "trouble": " ".join(sentence(each) for each in (view.journal_trouble, view.plan_trouble) if each),
        "heard": marks.heard(view),
        "cautions": list(map(said, view.cautions)),
        "fastening": [] if view.to_cut is None else plan_lines(view.to_cut),
        "acknowledged": view.acknowledged or not view.cautions,
        "care": care(view),
        "drawing": _drawing(view),
    }


def _drawing(view: View) -> str | None:
    """A name for the drawing of now, so that the browser fetches it when it changes and not before."""
    wall = (
        (view.surface.plan, view.surface.layer) if view.surface is not None and view.surface.plan is not None else None
    )
    what = view.to_cut or wall or view.hole
    return None if what is None else hashlib.sha256(repr((what, view.ticked)).encode()).hexdigest()[:16]


def _measured(view: View) -> dict[str, object]:
    line = fresh_reading(view)
    fresh = marks.told(line, view.unit) if line is not None else None
    return {
        "mode": captions.HOLDING if view.holding else captions.MEASURING,
        "caption": fresh.label if fresh is not None else "",
        "figures": [_figure(Figure(fresh.value))] if fresh is not None else [],
        "step": "",
        "next": "",
        "missing": _open(view),
        "hand": None,
    }


def _wall(view: View, surface: SurfaceAtHand) -> dict[str, object]:
    """A wall as a whole has no figure to cut to: its drawing, which piece is next, and what keeps it from being laid
    out.
    """
    pieces = () if surface.plan is None else surface.plan.pieces
    return {
        "mode": captions.HOLDING
        if view.holding
        else surfaces.sides(surface.sides, Form(view.unit))
        if surface.sides
        else "",
        "caption": surfaces.what_is_next(surface, view.unit),
        "figures": [],
        "step": "",
        "next": "",
        "missing": [
            *_open(view),
            *(f"{piece.name.number}: {surfaces.piece_line(piece, surface, view.unit)}" for piece in pieces),
        ],
        "hand": None,
    }


def _open(view: View) -> list[str]:
    """What keeps the plan a draft, in the order to settle it; then what would make it safer."""
    settling = [item_text(item, InWords(view.unit))[0] for item in view.open]
    return list(dict.fromkeys([*settling, *(needs.what(item, Form(view.unit)) for item in view.missing)]))


def _cut(view: View, plan: CutPlan) -> dict[str, object]:
    found = in_hand(view)
    count = len(plan.steps)
    if found is None:
        return {
            "mode": captions.step_of(None, count),
            "caption": "",
            "figures": [],
            "step": "",
            "next": "",
            "missing": [],
            "hand": None,
        }
    number, step = found.number, found.step
    marks = marks_ahead(plan, number)
    ahead = next((n for n in range(number + 1, count + 1) if n not in view.ticked), None)
    return {
        "mode": captions.step_of(number, count),
        "caption": marks.caption,
        "figures": [_figure(figure) for figure in marks.figures],
        "step": f"{number}. {steps.text(step, view.unit)}",
        "next": f"{ahead}. {steps.text(plan.steps[ahead - 1], view.unit)}" if ahead is not None else "",
        "missing": plan_lines(plan) if step.does in {Does.HANG, Does.FASTEN} else [],
        "hand": _name(found),
    }


def _figure(figure: Figure) -> dict[str, str]:
    """The whole inches and the fraction apart, since the page sets the fraction over its bar."""
    whole, _, fraction = figure.text.rpartition(" ") if "/" in figure.text else (figure.text, "", "")
    over, _, under = fraction.partition("/")
    return {"place": figure.caption, "whole": whole, "over": over, "under": under}


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
                if view.to_cut is not None:
                    return svg(board_picture(view.to_cut, wide, high, room=view.room))
                if view.surface is not None and view.surface.plan is not None:
                    return svg(wall_picture(view.surface.plan, view.unit, wide, high, layer=view.surface.layer))
                if view.hole is not None:
                    return svg(hole_picture(view.hole, wide, high, room=view.room))
        return '<svg xmlns="http://www.w3.org/2000/svg"/>'

    def _did(self, says: Sequence[Say]) -> None:
        self.show()
        self._done(says)


VIEWERS = 20
"""Browsers at once: a crew and its boss have fewer; each holds a connection."""
BEAT_SECONDS = 0.5
"""A beat comes so often. The page blanks its marks when three are missing (`static/page.js`), within two seconds."""
SLOW_SECONDS = 10.0
"""A viewer that took nothing for so long is dropped, and may come again."""


class Full(Exception):
    """As many viewers as there may be are here."""


@dataclass(eq=False, slots=True)
class Viewer:
    """The latest state that this viewer hasn't got, if any: older ones are of no use to anybody."""

    news: asyncio.Event = field(default_factory=asyncio.Event)
    latest: str | None = None
    over: bool = False


class Feed:
    """The latest state as text, and those who watch it. `publish` may be called from any thread and never waits."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._latest = ""
        self._viewers: set[Viewer] = set()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ended = False

    @property
    def latest(self) -> str:
        """What a viewer that comes now sees first."""
        with self._lock:
            return self._latest

    @property
    def viewers(self) -> int:
        """How many are watching."""
        return len(self._viewers)

    @property
    def full(self) -> bool:
        """Whether as many are watching as may: none any more, once nothing more comes."""
        return self._ended or len(self._viewers) >= VIEWERS

    def publish(self, state: str) -> None:
        """A new state for everybody: text without a line feed or carriage return, as JSON is."""
        with self._lock:
            if state == self._latest:
                return
            self._latest = state
            loop = self._loop
        if loop is not None and not loop.is_closed():
            try:
                loop.call_soon_threadsafe(self._spread, state)
            except RuntimeError:
                return  # the server has just ended: there is nobody left to tell

    def end(self) -> None:
        """Nothing more comes: everybody who watches is let go, and who comes again is shown nothing old."""
        with self._lock:
            loop, self._ended = self._loop, True
        if loop is not None and not loop.is_closed():
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(self._let_go)

    def _let_go(self) -> None:
        for viewer in self._viewers:
            viewer.over = True
            viewer.news.set()

    def _spread(self, state: str) -> None:
        for viewer in self._viewers:
            viewer.latest = state
            viewer.news.set()

    @asynccontextmanager
    async def watched(self) -> AsyncIterator[Viewer]:
        """One viewer for as long as it is connected. Raises `Full`."""
        with self._lock:
            self._loop = asyncio.get_running_loop()
            latest = self._latest
        if self.full:
            raise Full
        viewer = Viewer(latest=latest)
        viewer.news.set()
        self._viewers.add(viewer)
        try:
            yield viewer
        finally:
            self._viewers.discard(viewer)


async def events(viewer: Viewer) -> AsyncIterator[str]:
    """Server-sent events for one viewer: each new state, and a beat whenever nothing was new for `BEAT_SECONDS`."""
    while True:
        try:
            await asyncio.wait_for(viewer.news.wait(), BEAT_SECONDS)
        except TimeoutError:
            yield "event: beat\ndata: 1\n\n"
            continue
        if viewer.over:
            return
        viewer.news.clear()
        state, viewer.latest = viewer.latest, None
        if state is not None:
            yield f"event: state\ndata: {state}\n\n"
