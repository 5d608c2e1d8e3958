"""`fieldvoice room`: its take-off on standard output, read back as another program would."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from pathlib import Path

from tests.cli.program import fieldvoice
from tests.layout.test_plans import DEN
from tests.takeoff.check import problems


def test_the_take_off_as_a_spreadsheet_reads_it() -> None:
    """The same quantities as the document has, in lines of as many cells as the heading."""
    table, document = (
        fieldvoice("room", "--csv", "-", stdin=DEN.encode()),
        fieldvoice("room", "--json", "-", stdin=DEN.encode()),
    )
    assert (table.status, document.status) == (0, 0)
    heading, *rows = list(csv.reader(io.StringIO(table.out)))
    assert all(len(row) == len(heading) for row in rows)
    printed = json.loads(document.out)
    assert [(row[0], row[2], row[3]) for row in rows] == [
        (one["name"], one["quantity"], one["unit"]) for one in printed["takeoff"]
    ]
    assert all(Fraction(row[1]) <= Fraction(row[2]) <= int(row[5]) for row in rows)
    assert problems(DEN, printed) == []


def test_one_form_at_a_time(tmp_path: Path) -> None:
    """A table and a document at once are refused, status 2."""
    assert fieldvoice("room", "--csv", "--json", "-", stdin=DEN.encode()).status == 2


def test_the_list_has_it_after_the_layout() -> None:
    """Take-off, fastening and the order of work."""
    out = fieldvoice("room", "-", stdin=DEN.encode()).out
    places = [out.index(head) for head in ("Rules kept", "Take-off", "Fastening", "Before covering", "After hanging")]
    assert places == sorted(places)
