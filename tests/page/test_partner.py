"""What a tap or a typed line on the page does to the job."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import pytest

from fieldvoice.dialogue.view import Exchange, View, in_hand
from fieldvoice.output.screen.compose import compose
from fieldvoice.page.partner import Feed, Hands, document, hand
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.plan import Does
from fieldvoice.records.said import Say
from tests.output.paper.views import BOARD, view
from tests.output.wall_scene import first_board, seen


@dataclass
class Job:
    """Notes what is done to it."""

    seen: View
    did: list[str] = field(default_factory=list)

    def take(self, hearing: Hearing, who: str) -> Sequence[Say]:
        """A typed line."""
        self.did.append(f"{who}: {hearing.words}")
        return (Say("Taken.", "taken"),)

    def tick(self, seen: View, who: str) -> Sequence[Say] | None:
        """A step done."""
        step = in_hand(seen)
        if step is None or step != in_hand(self.seen):
            return None
        self.did.append(f"{who} ticks {step.number}")
        self.seen = replace(self.seen, ticked=self.seen.ticked | {step.number})
        return ()

    def untick(self, who: str) -> Sequence[Say]:
        """The last one isn't."""
        self.did.append(f"{who} unticks")
        return ()

    def acknowledge(self, seen: View, who: str) -> Sequence[Say]:
        """Cautions read."""
        self.did.append(f"{who} acknowledges")
        return ()

    def view(self) -> View:
        """As it is."""
        return self.seen


def hands(job: Job) -> tuple[Hands, Feed, list[Say]]:
    """The page's hands on a job, its feed, and what was to be said."""
    feed = Feed()
    said: list[Say] = []
    return Hands(job, feed, said.extend), feed, said


def test_a_typed_line_is_the_partners_call() -> None:
    """It goes into the job under the partner's name, its answer is said, and everybody sees the job as it then is."""
    job = Job(view(*BOARD))
    partner, feed, said = hands(job)
    partner.line("top 46 7/8")
    assert job.did == ["partner: top 46 7/8"]
    assert [say.text for say in said] == ["Taken."]
    assert json.loads(feed.latest)["look"] == "cutting"


def test_the_page_says_how_a_board_is_fastened_and_who_lifts_it() -> None:
    """Beside the cautions from the start, and under the step once the board is hung; nothing of it in a draft."""
    seen = view(*BOARD)
    told: Mapping[str, Any] = document(seen)
    assert any(line.startswith("Up to ") and " lb" in line for line in told["fastening"])
    assert told["missing"] == []
    assert seen.plan is not None
    hung = next(number for number, step in enumerate(seen.plan.steps, 1) if step.does is Does.HANG)
    assert document(replace(seen, ticked=frozenset(range(1, hung))))["missing"] == told["fastening"]
    assert document(replace(seen, draft=True))["fastening"] == []


def test_two_thumbs_tick_one_step() -> None:
    """The second tap names the step that was in hand before: nothing happens."""
    job = Job(view(*BOARD))
    partner, _, _ = hands(job)
    step = hand(job.view())
    assert step is not None
    assert partner.tick(step)
    assert not partner.tick(step)
    assert job.did == ["partner ticks 1"]


def test_a_step_whose_marks_changed_is_another_one() -> None:
    """What the page showed isn't what would be cut: the tick is refused."""
    job = Job(view(*BOARD))
    partner, _, _ = hands(job)
    shown = hand(replace(job.view(), ticked=frozenset({1})))
    changed = [line.replace("95 1/2", "94 1/2") for line in BOARD]
    job.seen = replace(view(*changed), ticked=frozenset({1}))
    assert shown is not None
    assert not partner.tick(shown)


def test_a_draft_is_drawn_as_the_hole_and_has_no_step() -> None:
    """No mark of it is shown, and nothing can be ticked."""
    job = Job(view(*BOARD[:3]))
    partner, _, _ = hands(job)
    assert "No mark" in partner.drawing()
    assert document(job.view())["hand"] is None
    job.seen = replace(view(*BOARD), draft=True)
    assert "No mark" in partner.drawing()
    assert "FACE" not in partner.drawing()


def test_a_settled_board_is_drawn_with_its_cuts() -> None:
    """The board, its face up."""
    partner, _, _ = hands(Job(view(*BOARD)))
    assert "FACE" in partner.drawing()


def test_what_keeps_it_a_draft_is_on_the_page() -> None:
    """What waits for an answer and what was never measured, each once."""
    missing = document(view(*BOARD[:3]))["missing"]
    assert isinstance(missing, list)
    assert any("width" in str(item) for item in missing)
    assert any("height" in str(item) for item in missing)
    assert len(missing) == len(set(missing))


def test_a_wall_is_drawn_with_its_sheets_and_has_nothing_to_tick() -> None:
    """Its pieces with their sizes, which is next, and no mark that anybody could cut to."""
    job = Job(seen("kitchen west wall"))
    partner, _, _ = hands(job)
    shown = document(job.view())
    assert (shown["look"], shown["title"], shown["mode"]) == ("wall", "kitchen west wall", "178 by 96 1/2 in")
    assert str(shown["caption"]).startswith("Next is 1: ")
    assert shown["figures"] == []
    assert shown["hand"] is None
    drawn = partner.drawing()
    assert "door" in drawn
    assert " x 48" in drawn
    assert "FACE" not in drawn
    cut = document(seen("kitchen west wall", *first_board(), "kitchen west wall"))
    assert cut["drawing"] == shown["drawing"], "the same layout is fetched once"
    assert "board 1, cut" in str(cut["missing"])


@pytest.mark.parametrize("refused", [True, False])
@pytest.mark.parametrize("asks", [True, False])
@pytest.mark.parametrize("holding", [True, False])
def test_what_was_heard_is_told_as_on_the_screen(*, refused: bool, asks: bool, holding: bool) -> None:
    """Who said it, what it became, whether it was taken, and that nothing is taken while the crew holds."""
    last = Exchange("box nine", "reading", "hanger", (Notice(Tell.NO_BOX_HERE),), asks=asks, refused=refused)
    here = replace(view(*BOARD), last=last, holding=holding, draft=True)
    page = document(here)
    shown = "\n".join(line.plain for line in compose(here, 300, 60).lines)
    assert str(page["heard"]) in shown
    assert str(page["mode"]) in shown
    assert ("Not taken" in str(page["heard"])) is (refused and not asks)
    assert ("HOLDING" in shown) is holding
