"""The JSON that other programs were promised."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from fieldvoice.output.documents.boards import plan_document
from fieldvoice.output.documents.meanings import hearing_document, meaning_document, utterance_document
from fieldvoice.records.hearing import Hearing, Hypothesis
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    DeadAndTested,
    Diagonal,
    Dimension,
    Edge,
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
from fieldvoice.records.utterance import (
    Action,
    Answer,
    Ask,
    Command,
    Correction,
    Meaning,
    Question,
    Refusal,
    Status,
    Utterance,
    Why,
)
from tests.output.scene import DONE, GATHERING


def read(document: object) -> Any:
    """The document as another program reads it."""
    return json.loads(json.dumps(document))


TOP = Reading(Length("46 7/8"), Dimension.WIDTH, Slot.TOP)


def coordinate(value: str, start: Edge, point: Point = Point.CENTER) -> Coordinate:
    """A place along one way."""
    return Coordinate(point, Length(value), start)


def test_an_understood_utterance() -> None:
    """The contract's own example: "top forty six and seven eighths"."""
    document = read(utterance_document(Utterance(Status.UNDERSTOOD, "top forty six and seven eighths", (TOP,))))
    assert document["status"] == "understood"
    assert document["heard"] == "top forty six and seven eighths"
    (meaning,) = document["meanings"]
    assert {key: meaning[key] for key in ("kind", "dimension", "slot", "value", "unit")} == {
        "kind": "reading",
        "dimension": "width",
        "slot": "top",
        "value": "46 7/8",
        "unit": "in",
    }
    assert document["alternatives"] == []
    assert document["ask"] is None
    assert document["why"] is None


def test_an_unclear_utterance_lists_its_meanings() -> None:
    """Each meaning is one list, and the question stands beside them."""
    one, other = Reading(Length("5 7/8")), Reading(Length("47 1/8"))
    document = read(
        utterance_document(
            Utterance(Status.UNCLEAR, "forty seven eighths", (), ((one,), (other,)), ask=Question(Ask.WHICH_OF))
        )
    )
    assert [[each["value"] for each in several] for several in document["alternatives"]] == [["5 7/8"], ["47 1/8"]]
    assert str(document["ask"]).startswith("Is it ")


def test_a_refused_utterance_says_why() -> None:
    """Nothing is guessed."""
    refused_because = "A tape has no 9/8: it has halves to thirty-seconds. Read the tape again."
    document = read(utterance_document(Utterance(Status.REFUSED, "nine eighths", why=Refusal(Why.NOT_ON_TAPE, (9, 8)))))
    assert (document["status"], document["why"], document["meanings"]) == ("refused", refused_because, [])


@pytest.mark.parametrize(
    ("meaning", "expected"),
    [
        (Reading(Length("1/2")), {"kind": "reading", "dimension": None, "slot": None, "value": "1/2"}),
        (
            Reading(Length("46"), Dimension.WIDTH, Length("32"), Qualifier.STRONG),
            {"slot": "32", "qualifier": "strong", "unit": "in"},
        ),
        (Diagonal(Length("106 1/2"), rising=True), {"kind": "diagonal", "value": "106 1/2", "rising": True}),
        (Plumb(Edge.LEFT, Length("-3/8")), {"kind": "plumb", "edge": "left", "value": "-3/8"}),
        (
            Box(BoxKind.SINGLE, coordinate("30 1/4", Edge.LEFT), coordinate("48", Edge.TOP, Point.NEAR)),
            {
                "kind": "box",
                "name": None,
                "box": "single gang",
                "x": {"point": "center", "value": "30 1/4", "from": "left"},
                "y": {"point": "near", "value": "48", "from": "top"},
            },
        ),
        (DeadAndTested("box 1"), {"kind": "box_state", "name": "1", "state": "dead", "tested": True}),
        (
            Opening(OpeningKind.PIPE, (coordinate("8", Edge.LEFT),), (coordinate("60", Edge.TOP),), diameter=Length(2)),
            {"kind": "opening", "opening": "pipe", "diameter": "2", "width": None},
        ),
        (
            Context(Topic.NEIGHBOR, Neighbor.WALL, Edge.RIGHT),
            {"kind": "context", "topic": "neighbor", "value": "wall", "edge": "right"},
        ),
        (Context(Topic.THICKNESS, Length("5/8")), {"topic": "thickness", "value": "5/8", "unit": "in", "edge": None}),
        (Context(Topic.STUDS, (Length(16), Length(32))), {"value": ["16", "32"], "unit": "in"}),
        (Context(Topic.LAYERS, 2), {"value": 2}),
        (Command(Action.GO_TO_BOARD, "2"), {"kind": "command", "action": "go to board", "target": "2"}),
        (Answer(yes=True), {"kind": "command", "action": "yes"}),
        (Answer(yes=False), {"kind": "command", "action": "no"}),
        (Correction(TOP), {"kind": "correction", "of": "reading", "slot": "top", "value": "46 7/8"}),
    ],
)
def test_every_kind_of_meaning(meaning: Meaning, expected: dict[str, object]) -> None:
    """Each kind has its own keys; absent is null."""
    document = read(meaning_document(meaning))
    assert {key: document[key] for key in expected} == expected
    assert json.loads(json.dumps(document)) == document


def test_a_length_that_no_inch_tape_shows_is_told_in_millimeters() -> None:
    """1190 mm is 46 108/127 in: the document says 1190 mm."""
    reading = Reading(Length.of(1190, Unit.MM), Dimension.WIDTH, Slot.TOP)
    assert (read(meaning_document(reading))["value"], read(meaning_document(reading))["unit"]) == ("1190", "mm")


def test_the_jobs_unit_decides_otherwise() -> None:
    """10 in in a metric job is 254 mm."""
    assert read(meaning_document(Reading(Length(10)), Unit.MM))["value"] == "254"


def test_a_heard_file() -> None:
    """The recognizer is always named, and times are in seconds."""
    hearing = Hearing((Hypothesis("top forty six", 0.9),), "vosk", audio_seconds=2.3104, seconds=0.2149)
    document = read(hearing_document("a.wav", hearing, Utterance(Status.UNDERSTOOD, "top forty six", (TOP,))))
    assert (document["file"], document["recognizer"]) == ("a.wav", "vosk")
    assert (document["audio_seconds"], document["seconds"]) == (2.31, 0.215)


def test_a_plan_has_the_promised_keys() -> None:
    """Every key of the contract's example, with the hand-made board's values."""
    (board,) = read(plan_document([DONE], Unit.INCH))["boards"]
    assert board["name"] == "2"
    assert {key: board["sheet"][key] for key in ("width", "length", "thickness")} == {
        "width": "48",
        "length": "96",
        "thickness": "1/2",
    }
    assert board["lies"] == "standing"
    taper = board["cuts"][0]
    assert (taper["edge"], taper["from"], taper["shape"]) == ("right", "left", "straight")
    assert [(mark["at"], mark["mark"]) for mark in taper["marks"]] == [("top", "46 3/4"), ("bottom", "46 1/8")]
    box = board["openings"][0]
    assert box["center"] == {"from_left": "30 1/4", "from_top": "48"}
    assert box["edges"] == {"left": "29 1/4", "right": "31 1/4", "top": "46 1/4", "bottom": "49 3/4"}
    assert box["measured_from"] == {"x": "left factory edge", "y": "top factory edge"}
    assert (box["name"], box["kind"], box["state"]) == ("box 1", "single gang", "unknown")
    assert board["proof"]["ok"] is True
    assert board["proof"]["gaps"][0] == {"edge": "right", "at": "middle", "gap": "5/16"}
    assert board["proof"]["gaps"][1]["at"] == "32"
    assert len(board["steps"]) == 5
    assert len(board["cautions"]) == 2
    assert board["warnings"][0].startswith("The strip off")


def test_a_board_without_a_plan_is_left_out() -> None:
    """Only what may be cut is in the document."""
    assert read(plan_document([GATHERING, DONE], Unit.INCH))["boards"][0]["name"] == "2"
    assert len(read(plan_document([GATHERING], Unit.INCH))["boards"]) == 0


def test_a_metric_board() -> None:
    """Marks are told in the job's unit."""
    document = read(plan_document([replace(DONE, unit=Unit.MM)], Unit.MM))
    assert document["unit"] == "mm"
    assert document["boards"][0]["sheet"]["width"] == "1219.2"


def test_another_unit_than_the_jobs_is_worked_out_for_every_length() -> None:
    """A job in inches asked for in millimeters: 46 3/4 in is 1187.45 mm, and what says mm is in mm."""
    document = read(plan_document([DONE], Unit.MM))
    (board,) = document["boards"]
    assert document["unit"] == "mm"
    assert [mark["mark"] for mark in board["cuts"][0]["marks"]] == ["1187.45", "1171.575"]
    assert board["openings"][0]["center"]["from_left"] == "768.35"
    assert board["openings"][0]["alternates_unit"] == "in"
