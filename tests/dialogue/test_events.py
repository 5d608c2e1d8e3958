"""What is recorded reads back as it was, and what can't be read changes nothing."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.dialogue import events as happened
from fieldvoice.dialogue.events import Event, body_of, event_of, kind_of
from fieldvoice.dialogue.fold import fold
from fieldvoice.dialogue.naming import key_of
from fieldvoice.dialogue.session import reopened
from fieldvoice.dialogue.state import UNDO_DEPTH, BoxState, Doubt, Fact, State, Value
from fieldvoice.dialogue.view import Say, Standing
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Circuit,
    Context,
    Coordinate,
    Diagonal,
    Dimension,
    Edge,
    Neighbour,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Qualifier,
    Reading,
    Slot,
    Topic,
)
from tests.dialogue.talk import MORNING, Wall

lengths = st.fractions(min_value=0, max_value=200, max_denominator=32).map(Length)
coordinates = st.builds(Coordinate, st.sampled_from(Point), lengths, st.sampled_from(Edge))
facts: st.SearchStrategy[Fact] = st.one_of(
    st.builds(
        Reading,
        lengths,
        st.sampled_from(Dimension),
        st.sampled_from(Slot) | lengths,
        st.none() | st.sampled_from(Qualifier),
    ),
    st.builds(Diagonal, lengths, st.none() | st.booleans()),
    st.builds(Plumb, st.sampled_from(Edge), lengths),
    st.builds(Box, st.sampled_from(BoxKind), coordinates, coordinates, st.just("box 1"), st.booleans()),
    st.builds(BoxState, st.sampled_from(Circuit), st.just("box 1")),
    st.builds(
        Opening,
        st.sampled_from(OpeningKind),
        st.tuples(coordinates),
        st.tuples(coordinates, coordinates),
        lengths,
        lengths,
        st.none(),
        st.just("duct 1"),
    ),
    st.builds(
        Context, st.just(Topic.NEIGHBOUR), st.sampled_from([each.value for each in Neighbour]), st.sampled_from(Edge)
    ),
    st.builds(Context, st.just(Topic.STUDS), st.lists(lengths, max_size=4).map(tuple)),
    st.builds(Context, st.just(Topic.LAYERS), st.integers(1, 3)),
)
words = st.text(max_size=20)
values = st.builds(lambda fact, by, how: Value(key_of(fact), fact, by, how), facts, words, st.sampled_from(Standing))
says = st.builds(Say, words, words, st.booleans())
events: st.SearchStrategy[Event] = st.one_of(
    st.builds(happened.Heard, words, words, st.sampled_from(Source), st.lists(words, max_size=3).map(tuple)),
    st.builds(
        happened.Proposed,
        st.sampled_from("12"),
        st.lists(values, min_size=1, max_size=3).map(tuple),
        st.lists(st.builds(Doubt, words, words, words), max_size=2).map(tuple),
    ),
    st.builds(happened.Accepted, words),
    st.builds(happened.Confirmed, words, words),
    st.builds(happened.Dropped, words),
    st.builds(happened.Struck, st.sampled_from("12"), st.lists(words, max_size=2).map(tuple)),
    st.just(happened.Undone()),
    st.builds(happened.Asked, st.none() | st.sampled_from(Dimension), st.sampled_from(Slot) | lengths),
    st.builds(
        happened.Doubted, st.sampled_from("12"), st.lists(words, max_size=2).map(tuple), st.sampled_from(Circuit)
    ),
    st.builds(happened.BoardOpened, st.sampled_from("123")),
    st.builds(
        happened.Ticked,
        words,
        words,
        st.none() | st.sampled_from(Edge),
        st.none() | words,
        st.lists(st.tuples(words, words), max_size=3).map(tuple),
    ),
    st.just(happened.EntriesLost(("3 to 5", "9"))),
    st.just(happened.Held()),
    st.just(happened.Resumed()),
    st.builds(happened.Answered, st.lists(says, max_size=3).map(tuple), st.booleans(), st.booleans()),
)


@given(events)
def test_every_event_reads_back_as_it_was(event: Event) -> None:
    """Through JSON text, as the journal keeps it."""
    body = json.loads(json.dumps(body_of(event)))
    assert event_of(kind_of(event), body) == event


def test_the_list_is_closed() -> None:
    """Every kind of event has a name, and no name stands for two."""
    kinds = [kind_of(event) for event in _one_of_each()]
    assert len(set(kinds)) == len(kinds) == len(happened.Event.__args__)


def _one_of_each() -> list[Event]:
    return [
        happened.Heard("", ""),
        happened.Proposed("1", ()),
        happened.Accepted(""),
        happened.Confirmed("", ""),
        happened.Dropped(""),
        happened.Struck("1", ()),
        happened.Undone(),
        happened.Asked(None, Slot.TOP),
        happened.Doubted("1", (), Circuit.LIVE),
        happened.BoardOpened("1"),
        happened.Ticked("1", "", None, None, ()),
        happened.EntriesLost(("3 to 5", "9")),
        happened.Held(),
        happened.Resumed(),
        happened.Answered(()),
    ]


def test_the_form_that_is_kept() -> None:
    """A length is exact text in inches; nothing that is None is written."""
    value = Value("width top", Reading(Length("46 7/8"), Dimension.WIDTH, Slot.TOP), "hanger")
    assert body_of(happened.Proposed("1", (value,))) == {
        "board": "1",
        "values": [
            {
                "Value": {
                    "key": "width top",
                    "fact": {
                        "Reading": {
                            "value": {"Length": "46 7/8"},
                            "dimension": {"Dimension": "width"},
                            "at": {"Slot": "top"},
                        }
                    },
                    "by": "hanger",
                    "standing": {"Standing": "accepted"},
                }
            }
        ],
        "doubts": [],
    }


def test_an_entry_of_another_kind_is_passed_over() -> None:
    """Other rooms may keep entries of their own."""
    assert event_of("sound", {"file": "a.flac"}) is None


@pytest.mark.parametrize(
    "body",
    [{"nonsense": 1}, {"whose": {"Gone": {}}}, {"whose": {"Length": "x"}}, {"whose": {"Slot": "up"}}, {"whose": {}}],
)
def test_an_entry_that_can_not_be_read_changes_nothing(body: dict[str, object]) -> None:
    """The rest of the job is there all the same."""
    wall = Wall()
    wall.types("top 46", "yes")
    wall.journal.append("accepted", "hanger", body, MORNING)  # type: ignore[arg-type]
    wall.types("bottom 45 3/4", "yes")
    wall.restart()
    assert (wall.value("width, top"), wall.value("width, bottom")) == ("46", "45 3/4")


@given(st.lists(st.tuples(events, st.sampled_from(["hanger", "partner"])), max_size=12))
def test_any_events_in_any_order_fold(row: list[tuple[Event, str]]) -> None:
    """An event whose ground was lost changes nothing and breaks nothing."""
    state = fold((event, who, MORNING) for event, who in row)
    assert isinstance(state, State)
    assert len(state.past) <= UNDO_DEPTH


@given(st.lists(st.tuples(events, st.sampled_from(["hanger", "partner"])), max_size=12))
def test_resuming_is_the_fold(row: list[tuple[Event, str]]) -> None:
    """Reading only the last of what was heard and answered leaves the same job behind, talk apart."""
    journal = MemoryJournal()
    for number, (event, who) in enumerate(row):
        journal.append(kind_of(event), who, body_of(event), MORNING + timedelta(seconds=number))
    whole = fold((event, who, MORNING + timedelta(seconds=number)) for number, (event, who) in enumerate(row))
    short, _ = reopened(journal, MORNING)
    assert short.boards == whole.boards
    assert short.pending == whole.pending
    assert short.said == whole.said


def test_undo_reaches_back_so_far_and_no_further() -> None:
    """A day's talk stays bounded in memory."""
    wall = Wall()
    for number in range(UNDO_DEPTH + 5):
        wall.types(f"change top to {number + 1}", "yes", "yes")
    assert len(wall.session.state.past) <= UNDO_DEPTH
