"""Every event goes into the journal and comes out as it was; what can't be read breaks nothing, and a value from
outside is of the type that its field says, or it is refused.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.dialogue import events as happened
from fieldvoice.dialogue.codec import _EVENTS, _RECORDS, TURN, body_of, check_fields, conforms, turn_of
from fieldvoice.dialogue.events import Answered, Event, Heard, Tick
from fieldvoice.dialogue.reducer import apply
from fieldvoice.dialogue.state import UNDO_DEPTH, State
from fieldvoice.journal.format import Json
from fieldvoice.records.board import Lies, Offcut, Sheet
from fieldvoice.records.facts import Key, Odd, Oddity, Of
from fieldvoice.records.hearing import Source
from fieldvoice.records.laying import CutPiece, HangThem, Hung, Laying, OnlyLengths, StartFrom
from fieldvoice.records.ledger import Call, Concern, Doubt, Notice, OpenItem, OpenKind, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Course,
    Danger,
    DeadAndTested,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Qualifier,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.plan import Failure, Flaw, Missing, Need, No, NoPlan
from fieldvoice.records.room import Ceiling, House, Members, RoughOpening, RoughOpeningKind, SurfaceName
from fieldvoice.records.room import Wall as RoomWall
from fieldvoice.records.room_plan import PieceName
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.records.utterance import SameHeight
from fieldvoice.wording.aloud import says_of
from tests.dialogue.talk import MORNING, Wall, wall_after
from tests.wording.samples import TOLD

lengths = st.fractions(min_value=0, max_value=200, max_denominator=32).map(Length)
coordinates = st.builds(Coordinate, st.sampled_from(Point), lengths, st.sampled_from(Edge))
words = st.text(max_size=12)
facts = st.one_of(
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
    st.builds(Context, st.just(Topic.NEIGHBOR), st.sampled_from(list(Neighbor)), st.sampled_from(Edge)),
    st.builds(Context, st.just(Topic.STUDS), st.lists(lengths, max_size=4).map(tuple)),
    st.builds(Context, st.just(Topic.LAYERS), st.integers(1, 3)),
)
incomplete = st.builds(
    Incomplete,
    st.none() | st.sampled_from(BoxKind),
    st.lists(st.builds(Distance, lengths, st.none() | st.sampled_from(Point)), max_size=2).map(tuple),
    name=st.just("box 1"),
)
numbers = st.integers(1, 9)
calls = st.builds(
    Call,
    numbers,
    st.sampled_from("12"),
    st.sampled_from(["hanger", "partner"]),
    st.none() | facts | incomplete,
    words,
    st.sampled_from(Standing),
    st.integers(1, 3),
    st.none() | numbers,
    st.booleans(),
    st.booleans(),
)
odd = st.builds(Oddity, st.sampled_from(Odd), st.sampled_from(Dimension), st.sampled_from(Slot))
doubts = st.builds(
    Doubt,
    st.sampled_from(Concern),
    st.none() | numbers,
    st.lists(st.lists(facts, min_size=1, max_size=2).map(tuple), min_size=1, max_size=2).map(tuple),
    st.none() | lengths,
    st.none() | lengths,
    st.none() | odd,
    st.lists(words, max_size=2).map(tuple),
    st.none() | st.sampled_from(Lack),
    st.lists(words, max_size=2).map(tuple),
    st.lists(numbers, max_size=2).map(tuple),
) | st.builds(Doubt, st.sampled_from([each for each in Concern if not each.kind.of_ways]), numbers)
keys = st.builds(Key, st.sampled_from(Of), st.none() | st.sampled_from(Slot), st.none() | st.sampled_from(Edge), words)
items = st.builds(
    OpenItem,
    st.sampled_from(OpenKind),
    st.none() | words,
    st.none() | calls,
    st.none() | doubts,
    st.none() | st.builds(Missing, st.sampled_from(Need)),
    st.none() | keys,
)
notices = st.builds(
    Notice, st.sampled_from(Tell), st.lists(calls | doubts | keys | items | words, max_size=2).map(tuple)
)
several = st.lists(calls, max_size=3).map(tuple)
some = st.lists(numbers, max_size=3).map(tuple)
board = st.sampled_from("12")
people = st.sampled_from(["hanger", "partner"])
pieces = st.builds(PieceName, st.builds(SurfaceName, words, words), numbers)
roughs = st.builds(RoughOpening, st.sampled_from(RoughOpeningKind), lengths, lengths, lengths, lengths)
members = st.builds(Members, lengths, st.sampled_from(Edge)) | st.builds(
    Members, st.none(), st.just(Edge.LEFT), st.lists(lengths, max_size=3).map(tuple)
)
offcuts = st.builds(Offcut, words, lengths, lengths, st.sampled_from([frozenset(Edge), frozenset({Edge.TOP})]))
sheets = st.builds(Sheet, lengths, lengths)
hung = st.builds(
    Hung,
    st.integers(1, 4),
    lengths,
    lengths,
    lengths,
    lengths,
    st.sampled_from(Lies),
    st.sampled_from(Course) | st.integers(1, 5),
    sheets,
    lengths,
    lengths,
    st.none() | lengths,
)
cuts = st.builds(
    CutPiece,
    board,
    pieces,
    st.none() | words,
    st.lists(offcuts, max_size=2).map(tuple),
    st.booleans(),
    st.none() | hung,
)
surfaces = st.builds(
    RoomWall, words, words, lengths, lengths, members, st.lists(roughs, max_size=2).map(tuple), st.none() | lengths
) | st.builds(Ceiling, words, words, lengths, lengths, members)
houses = st.builds(
    House,
    st.none() | words,
    st.sampled_from(Unit),
    st.lists(sheets, max_size=2).map(tuple),
    st.lists(surfaces, max_size=2).map(tuple),
)
layings = st.builds(
    Laying,
    st.sampled_from(Unit),
    st.lists(sheets, max_size=2).map(tuple),
    st.lists(surfaces, max_size=2).map(tuple),
    st.lists(
        st.builds(StartFrom, st.sampled_from(Edge), st.none() | st.builds(SurfaceName, words, words))
        | st.builds(HangThem, st.sampled_from(Lies))
        | st.builds(OnlyLengths, st.tuples(lengths)),
        max_size=2,
    ).map(tuple),
    st.lists(cuts, max_size=2).map(tuple),
)
events: st.SearchStrategy[Event] = st.one_of(
    st.builds(Heard, words, words, st.sampled_from(Source), st.lists(words, max_size=3).map(tuple)),
    st.just(happened.Opened()),
    st.builds(happened.Ordered, words),
    st.just(happened.OrderDenied()),
    st.just(happened.OrderStands()),
    st.builds(happened.Called, board, several, st.lists(doubts, max_size=2).map(tuple), some),
    st.builds(happened.Asked, board, doubts),
    st.builds(happened.Questioned, people, some, st.lists(doubts, max_size=2).map(tuple)),
    st.builds(happened.Confirmed, people),
    st.builds(happened.Closed, people),
    st.builds(happened.Accepted, people),
    st.builds(happened.TakenBack, some),
    st.builds(happened.Restored, people, some),
    st.builds(happened.NotTaken, several),
    st.builds(happened.SaidAgain, some),
    st.builds(happened.Struck, board, some),
    st.just(happened.Undone()),
    st.builds(happened.Awaited, st.none() | st.sampled_from(Dimension), st.sampled_from(Slot) | lengths),
    st.builds(happened.Endangered, st.lists(st.tuples(board, words), max_size=2).map(tuple), st.booleans()),
    st.builds(happened.DeadSaid, board, st.lists(words, max_size=2).map(tuple)),
    st.builds(happened.BoardOpened, board, several),
    st.builds(happened.SurfaceOpened, words, several),
    st.builds(happened.HouseTaken, words, houses),
    st.builds(happened.LaidOut, layings),
    st.builds(happened.PieceOpened, board, pieces),
    st.builds(happened.PieceRenewed, board, several),
    st.builds(happened.PieceCut, board, st.none() | cuts),
    st.builds(happened.Assumed, board, st.lists(st.sampled_from(Edge), max_size=2).map(tuple)),
    st.builds(happened.Checked, some),
    st.builds(happened.CautionsRead, board),
    st.builds(happened.Spoken, st.integers(-2, 3), st.integers(-2, 3)),
    st.builds(happened.Prompting, st.booleans()),
    st.builds(
        happened.Ticked,
        board,
        st.builds(Tick, words, numbers, words, st.lists(st.tuples(keys, facts), max_size=2).map(tuple)),
    ),
    st.builds(happened.Unticked, board, st.lists(words, max_size=2).map(tuple)),
    st.just(happened.EntriesLost(("3 to 5", "9"))),
    st.just(happened.Held()),
    st.just(happened.LetGo()),
    st.just(happened.Resumed()),
    st.builds(happened.Answered, st.lists(notices, max_size=3).map(tuple), st.booleans(), st.booleans()),
)


@given(st.lists(events, max_size=3).map(tuple))
def test_every_turn_reads_back_as_it_was(turn: tuple[Event, ...]) -> None:
    """Through JSON text, as the journal keeps it."""
    assert turn_of(json.loads(json.dumps(body_of(turn)))) == turn


def test_every_kind_of_event_is_drawn_here() -> None:
    """So that none is left out above."""
    names = {each.__name__ for each in get_args(Event)}
    assert len(names) == len(get_args(Event)) == 39


def test_the_form_that_is_kept() -> None:
    """A length is exact text in inches; nothing that is as by default is written."""
    fact = Reading(Length("46 7/8"), Dimension.WIDTH, Slot.TOP)
    call = Call(1, "1", "hanger", fact, "t 46 7/8", Standing.READ_BACK)
    assert body_of((happened.Called("1", (call,)),)) == {
        "events": [
            {
                "Called": {
                    "board": "1",
                    "calls": [
                        {
                            "Call": {
                                "number": 1,
                                "board": "1",
                                "by": "hanger",
                                "fact": {
                                    "Reading": {
                                        "value": {"Length": "46 7/8"},
                                        "dimension": {"Dimension": "width"},
                                        "at": {"Slot": "top"},
                                    }
                                },
                                "words": "t 46 7/8",
                                "standing": {"Standing": "read back"},
                            }
                        }
                    ],
                }
            }
        ]
    }


def test_an_entry_of_another_kind_is_passed_over() -> None:
    """Other rooms may keep entries of their own."""
    wall = wall_after("top 46", "yes")
    wall.journal.append("sound", "ear", {"file": "a.flac"}, MORNING)
    wall.restart()
    assert wall.standing("width, top") == "accepted"


@pytest.mark.parametrize(
    "event",
    [
        {"Nonsense": {}},
        {"Accepted": {"nonsense": 1}},
        {"Accepted": {"whose": {"Gone": {}}}},
        {"Accepted": {"whose": {"Length": "x"}}},
        {"Accepted": {"whose": 3}},
        {"Awaited": {"dimension": None, "at": {"Slot": "up"}}},
        {},
    ],
)
def test_an_entry_that_can_not_be_read_puts_everything_in_question(event: Json) -> None:
    """The rest of the job is there all the same."""
    wall = wall_after("top 46", "yes")
    wall.journal.append(TURN, "hanger", {"events": [event]}, MORNING)
    wall.restart()
    assert wall.value("width, top") == "46"
    assert wall.standing("width, top") == "doubtful"


@given(st.lists(st.tuples(events, people), max_size=12))
def test_any_events_in_any_order_reduce(row: list[tuple[Event, str]]) -> None:
    """An event whose ground was lost changes nothing and breaks nothing."""
    state = State()
    for event, who in row:
        state = apply(state, event, who, MORNING)
    assert len(state.past) <= UNDO_DEPTH


def test_undo_reaches_back_so_far_and_no_further() -> None:
    """A day's talk stays bounded in memory."""
    wall = Wall()
    for number in range(UNDO_DEPTH + 5):
        wall.types(f"change top to {number + 20}", "yes", "yes")
    assert len(wall.session.state.past) <= UNDO_DEPTH


def kept_names() -> list[tuple[str, set[str]]]:
    """The records that a job's file may hold, with their fields, or their values where they are named ones."""
    found: list[tuple[str, set[str]]] = []
    for line in (Path(__file__).parent / "kept_names.txt").read_text(encoding="utf-8").splitlines():
        if line.endswith(":"):
            found.append((line[:-1], set()))
        elif not line.startswith("#"):
            found[-1][1].add(line.strip())
    return found


@pytest.mark.parametrize(("name", "names"), kept_names())
def test_no_name_that_a_job_may_hold_is_gone(name: str, names: set[str]) -> None:
    """A record that is renamed would leave a job of yesterday in question; new names are added to the file."""
    kind = {**_EVENTS, **_RECORDS}[name]
    has = {field.name for field in fields(kind)} if is_dataclass(kind) else {str(each.value) for each in kind}
    assert names == has


def test_every_name_that_an_event_can_hold_is_listed() -> None:
    """What a job may hold is found by the annotations of its events: nothing of it is left to be named by hand."""
    assert {name for name, _ in kept_names()} == {*_EVENTS, *_RECORDS}


REFUSALS = (
    *(Hindrance(what, tuple(TOLD[what].items())) for what in Hinders),
    NoPlan(No.NEEDS, missing=(Missing(Need.MIDDLE, at=Slot.MIDDLE),), unit=Unit.MM),
    NoPlan(No.PROOF, failures=(Failure(Flaw.GAP, Edge.LEFT, at=Length(32), value=Length("1/8")),)),
    NoPlan(No.TOO_WIDE, values=(Length(96), Length(96), Length(48)), lies=Lies.STANDING),
)
"""Why there is no plan, no layout or no rule: all that a notice tells of it."""


@pytest.mark.parametrize("why", REFUSALS, ids=lambda why: str(why.what if isinstance(why, Hindrance) else why.no))
def test_why_there_is_no_plan_is_kept_as_it_was_told(why: Hindrance | NoPlan) -> None:
    """As JSON and back, whatever its sentence tells."""
    for tell in (Tell.NO_PLAN, Tell.NO_LAYOUT, Tell.NO_RULE, Tell.NOT_CUT_FROM):
        turn = (Answered((Notice(tell, (why,)),)),)
        kept = json.dumps(body_of(turn))
        assert turn_of(json.loads(kept)) == turn
        before = kept.replace('"Hindrance"', '"Trouble"').replace('"Hinders"', '"Wrong"')
        assert turn_of(json.loads(before)) == turn
        for said in says_of(turn[0].notices, Unit.INCH):
            assert not any(sign.isdecimal() for sign in said.spoken)


LEFT = (
    Offcut("1A", Length("56 1/8"), Length(48), frozenset({Edge.TOP, Edge.LEFT})),
    Offcut("1B", Length(20), Length(48), frozenset()),
)


def _told_apart(offcut: Offcut) -> list[object]:
    size = ({"Length": each.text()} for each in (offcut.length, offcut.width))
    return [offcut.name, *size, " ".join(sorted(offcut.factory))]


def test_a_box_that_a_job_of_before_has_by_its_number_has_its_whole_name() -> None:
    """However it was said: none is kept under two names."""
    at = Coordinate(Point.CENTER, Length(20), Edge.LEFT), Coordinate(Point.CENTER, Length(48), Edge.TOP)
    of_name: tuple[Box | Opening | Incomplete, ...] = (
        Box(BoxKind.ROUND, *at, "box 1"),
        Opening(OpeningKind.LIGHT, at[:1], at[1:], diameter=Length(6), name="box 1"),
        Incomplete(BoxKind.ROUND, name="box 1"),
        Incomplete(None, name="box 1"),
    )
    calls = tuple(Call(1, "board", "hanger", fact, "", Standing.NOT_TAKEN) for fact in of_name)
    turn: tuple[Event, ...] = (happened.NotTaken(calls),)
    kept = json.dumps(body_of(turn))
    assert turn_of(json.loads(kept.replace('"box 1"', '"1"'))) == turn
    others = Danger("1"), DeadAndTested("1"), SameHeight("1", "2")
    assert others == (Danger("box 1"), DeadAndTested("box 1"), SameHeight("box 1", "box 2"))


def test_offcuts_that_a_job_of_before_tells_apart_are_read_as_what_they_are() -> None:
    """Name, length, width and edges of each stood in a row: what is said of them is the same."""
    told = Notice(Tell.FROM_OFFCUT, LEFT[:1]), Notice(Tell.LEAVES, ("1", *LEFT))
    before = [_told_apart(LEFT[0]), ["1", *_told_apart(LEFT[0]), *_told_apart(LEFT[1])]]
    kept = body_of((Answered(told),))
    assert turn_of(json.loads(json.dumps(kept))) == (Answered(told),)
    for notice, values in zip(kept["events"][0]["Answered"]["notices"], before, strict=True):
        notice["Notice"]["values"] = values
    assert turn_of(json.loads(json.dumps(kept))) == (Answered(told),)


def test_a_wall_that_has_no_layout_is_refused_and_the_job_goes_on() -> None:
    """Also once it is opened again."""
    wall = Wall()
    assert "so no board goes on it" in wall.types(
        "north wall 144 by 1/4", "yes", "studs sixteen on center from the left", "done"
    )
    wall.restart()
    assert "so no board goes on it" in wall.types("say again")


@pytest.mark.parametrize(
    ("value", "hint"),
    [
        ("46", str),
        (None, str | None),
        (7, int | str),
        (("a", "b"), tuple[str, ...]),
        ((), tuple[str, ...]),
        (("a", 1), tuple[str, int]),
        ((("a", Unit.MM),), tuple[tuple[str, Unit], ...]),
        ("top", Literal["top", "bottom"]),
        (Length("46 7/8"), Length | str | None),
    ],
)
def test_what_fits(value: object, hint: object) -> None:
    """Classes, unions, tuples of any and of a fixed length."""
    assert conforms(value, hint)


@pytest.mark.parametrize(
    ("value", "hint"),
    [
        (46, str),
        (None, str),
        (True, int),
        (1.0, int),
        (["a"], tuple[str, ...]),
        (("a", 1), tuple[str, ...]),
        (("a",), tuple[str, int]),
        ("furlong", Unit),
        ("46 7/8", Length),
        ("left", Literal["top", "bottom"]),
        (1, Literal[True]),
    ],
)
def test_what_does_not(value: object, hint: object) -> None:
    """A unit by a name that isn't one, a length that is text, a yes that is a number."""
    assert not conforms(value, hint)


@dataclass(frozen=True)
class _Called:
    where: str
    value: Length | None = None


def test_the_field_is_named() -> None:
    """So that a refusal can say what it is about."""
    check_fields(_Called("top"))
    check_fields(_Called("top", Length("46")))
    with pytest.raises(TypeError, match=r"_Called\.value can't be str"):
        check_fields(_Called("top", "46"))  # type: ignore[arg-type]
