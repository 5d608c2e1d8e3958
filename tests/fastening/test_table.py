"""A hanger's own table: it wins where it says something, and every slip in it is told at its place."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.errors import NoRule
from fieldvoice.fastening.plans import fasten
from fieldvoice.fastening.rules import pounds_per_square_foot, schedule
from fieldvoice.fastening.table import Preference, Table, built_in, read_own
from fieldvoice.records.fastening import Authority, Confidence, Fastener, FramingDoubt, Grip, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.wording.fastening import fastening_lines
from fieldvoice.wording.forms import Form, InWords
from fieldvoice.wording.room import file_fault_text
from tests.fastening.panels import hole, panel, rectangle

WALL = Situation(Location.WALL, Length("1/2"))


def own(text: str) -> Table:
    """A table that reads well."""
    read = read_own(text)
    assert isinstance(read, Table), read
    return read


def faults(text: str) -> list[str]:
    """What is wrong with one that doesn't, as it is told."""
    read = read_own(text)
    assert not isinstance(read, Table)
    assert all(isinstance(fault, FileFault) for fault in read)
    return [file_fault_text(fault) for fault in read]


def test_layers_that_add_up_are_no_thicker_board_against_fire() -> None:
    """Two layers of 1/2 in over a garage, where 5/8 in is asked: that they do is for the local code to judge."""
    over = Situation(Location.GARAGE_CEILING, Length("1/2"), kind="type x", layers=2)
    assert FramingDoubt.FIRE in {concern.doubt for concern in schedule(over, built_in()).concerns}
    assert not schedule(replace(over, thickness=Length("5/8")), built_in()).concerns


class TestItWins:
    """The local code over what is shipped."""

    def test_where_it_asks_for_more(self) -> None:
        """Eight inches at the edges of a wall."""
        table = own('[[spacing]]\nlocation = "wall"\nedge = 8\nsource = "county code 2508"')
        found = schedule(WALL, table).edge
        assert [(one.value, one.authority) for one in found.requirements] == [
            (Length(8), Authority.OWN),
            (Length(12), Authority.PRACTICE),
            (Length(16), Authority.CODE),
        ]
        assert found.requirements[0].source.text == "county code 2508"
        assert found.requirements[0].source.confidence is Confidence.OWN

    def test_where_it_asks_for_less(self) -> None:
        """It is in force all the same, and what it leaves behind is still shown."""
        found = schedule(WALL, own('[[spacing]]\nfield = "24"\nsource = "county"')).field
        assert found.value == Length(24)
        assert [one.value for one in found.requirements] == [Length(24), Length(16), Length(16)]

    def test_only_where_it_holds(self) -> None:
        """A row for ceilings says nothing of walls."""
        table = own('[[spacing]]\nlocation = "ceiling"\nfield = 6\nsource = "county"')
        assert schedule(WALL, table) == schedule(WALL, built_in())

    def test_the_row_with_more_conditions_is_meant(self) -> None:
        """General 10, but 7 for 5/8 in on wood, whichever stands first."""
        rows = [
            '[[spacing]]\nfield = 10\nsource = "general"',
            '[[spacing]]\nthickness = "5/8"\nframing = "wood"\nfield = "7"\nsource = "special"',
        ]
        for text in ("\n".join(rows), "\n".join(reversed(rows))):
            assert schedule(WALL, own(text)).field.value == Length(10)
            thick = Situation(Location.WALL, Length("5/8"))
            assert schedule(thick, own(text)).field.value == Length(7)

    def test_the_heavier_of_two_figures_is_lifted(self) -> None:
        """Two rows for one board: nobody is told the lighter."""
        rows = ['[[weight]]\npounds = "1.6"\nsource = "one"', '[[weight]]\npounds = "1.9"\nsource = "two"']
        for text in ("\n".join(rows), "\n".join(reversed(rows))):
            assert pounds_per_square_foot(WALL, own(text))[0] == Fraction("1.9")

    def test_a_length_goes_up_to_what_is_sold(self) -> None:
        """An inch into wood makes 1 1/2 through half inch board: 1 5/8 is sold."""
        found = schedule(WALL, own('[[penetration]]\nat_least = 1\nsource = "county"')).lengths[0]
        assert found.requirements[0].value == Length("1 5/8")
        assert found.requirements[0].authority is Authority.OWN

    def test_the_crews_choice(self) -> None:
        """What the crew works with stands under use."""
        table = own('[use]\nfastener = "nail"\ngrip = "smooth shank"\nadhesive = true')
        assert table.choice == Preference(Fastener.NAIL, Grip.SMOOTH, adhesive=True)

    def test_in_millimeters(self) -> None:
        """Lengths of a metric table, exactly."""
        table = own('unit = "mm"\n[[spacing]]\nfield = "230"\nsource = "local"')
        assert schedule(WALL, table).field.value == Length.of(230, Unit.MM)

    def test_pounds_of_ones_own_board(self) -> None:
        """A weight is pounds a square foot in either unit."""
        from fieldvoice.fastening.rules import pounds_per_square_foot

        table = own('unit = "mm"\n[[weight]]\npounds = "2.05"\nsource = "the maker of ours"')
        assert float(pounds_per_square_foot(WALL, table)[0]) == 2.05


class TestSlips:
    """Each is told with its table and its key, all of them at once."""

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("[[spacing]", "the file: This is not TOML"),
            ('[[spacings]]\nedge = 8\nsource = "x"', "the file, spacings: No such key is known here."),
            ('[[spacing]]\nedges = 8\nsource = "x"', "spacing 1, edge or field: It isn't there."),
            ("[[spacing]]\nedge = 8", "spacing 1, source: It isn't there."),
            ('[[spacing]]\nedge = 8.5\nsource = "x"', "spacing 1, edge: 8.5 is a decimal without quotes"),
            ('[[spacing]]\nedge = "wide"\nsource = "x"', "spacing 1, edge: “wide” is not a length."),
            ('[[spacing]]\nedge = 0\nsource = "x"', "spacing 1, edge: 0 is not a size."),
            ('[[spacing]]\nedge = "-8"\nsource = "x"', "spacing 1, edge: -8 is below zero."),
            ('[[spacing]]\nedge = true\nsource = "x"', "spacing 1, edge: “True” is not a length."),
            ('[[spacing]]\nedge = 8\nlocation = "roof"\nsource = "x"', "spacing 1, location: “roof” is not known."),
            ('[[spacing]]\nedge = 8\nadhesive = "yes"\nsource = "x"', "spacing 1, adhesive: “yes” is not known."),
            (
                '[[spacing]]\nedge = 8\nlayers = 9\nsource = "x"',
                "spacing 1, layers: 9 is not a whole number from 1 to 4",
            ),
            ('[[stock]]\nlengths = []\nsource = "x"', "stock 1, lengths: It is empty."),
            ('[[stock]]\nlengths = "1"\nsource = "x"', "stock 1, lengths: 1 is not a list."),
            ('[[weight]]\npounds = "-2"\nsource = "x"', "weight 1, pounds: “-2” is not pounds a square foot."),
            ('[[weight]]\npounds = 2.5\nsource = "x"', "weight 1, pounds: 2.5 is a decimal without quotes"),
            ('[[grip]]\nuse = "glue"\nsource = "x"', "grip 1, use: “glue” is not known."),
            ("spacing = 8", "the file, spacing: There can be several of it. Write [[spacing]], in two brackets,"),
            ("use = 8", "the file, use: There is one of it. Write [use] in a line of its own"),
            ('[use]\nfastener = "staple"', "use, fastener: “staple” is not known. Use one of: screw, nail."),
            ('unit = "ft"', "the file, unit: “ft” is not known. Use one of: in, mm."),
            (
                '[[spacing]]\nedge = 8\nauthority = "code"\nsource = "x"',
                "spacing 1, authority: No such key is known here.",
            ),
        ],
    )
    def test_it_is_told(self, text: str, told: str) -> None:
        """The table, the key, and what is wrong."""
        assert any(line.startswith(told) for line in faults(text)), faults(text)

    def test_all_at_once(self) -> None:
        """Nothing of a file with a slip is taken, and every slip is told."""
        found = faults('[[spacing]]\nedge = 8.5\nsource = "x"\n[[framing]]\nat_most = "x"\n[[bend]]\nsource = "y"')
        assert [line.partition(":")[0] for line in found] == [
            "spacing 1, edge",
            "framing 1, at_most",
            "framing 1, source",
            "bend 1, lengthwise or widthwise",
        ]

    def test_no_marks_of_a_terminal(self) -> None:
        """A source that would act on a terminal is refused."""
        assert faults('[[spacing]]\nedge = 8\nsource = "a\\u001b[2J"')[0].startswith("spacing 1, source:")

    def test_the_fault_is_typed(self) -> None:
        """Other rooms go by its record, not by its sentence."""
        read = read_own('[[spacing]]\nedge = 8.5\nsource = "x"')
        assert read == (FileFault("spacing 1", "edge", Fault.DECIMAL, "8.5"),)


CONDITIONS = {
    "location": ('"wall"', '"ceiling"', '"garage ceiling"'),
    "thickness": ('"1/2"', '"5/8"', "1"),
    "kind": ('"regular"', '"type x"'),
    "layers": ("1", "2"),
    "framing": ('"wood"', '"steel"'),
    "spacing_up_to": ("16",),
    "fastener": ('"screw"', '"nail"'),
    "adhesive": ("true", "false"),
    "double_nailing": ("true",),
}
FIGURES: dict[str, dict[str, tuple[str, ...]]] = {
    "spacing": {"edge": ("1", "48"), "field": ('"7 1/4"', "48")},
    "penetration": {"at_least": ('"1/8"', "4")},
    "length": {"at_least": ("1", "8")},
    "stock": {"lengths": ("[1]", "[3, 8]")},
    "grip": {"use": ('"smooth shank"', '"coarse thread"')},
    "edge_distance": {"at_least": ('"1/8"', "3"), "at_most": ('"1/8"', "6")},
    "pair": {"at_least": ("1", "4"), "at_most": ("1", "6")},
    "framing": {"at_most": ("4", "48")},
    "fire": {"at_least": ('"1/2"', "4"), "use": ('"type x"',)},
    "weight": {"pounds": ('"0.5"', "25")},
}


@pytest.mark.parametrize("seed", range(60))
def test_whatever_rows_it_has_a_board_is_fastened_or_no_rule_is_told(seed: int) -> None:
    """Any rows that are no slips, at the ends of what they may be: places in the board, words for the eye and the ear,
    or that no rule is known; never a fault of ours, never a board without a fastener in silence.
    """
    rolled = random.Random(seed)
    lines = ["[use]", f"fastener = {rolled.choice(CONDITIONS['fastener'])}", "double_nailing = true"]
    for name in rolled.choices(list(FIGURES), k=5):
        lines += [f"[[{name}]]", 'source = "the county"']
        lines += [f"{key} = {rolled.choice(CONDITIONS[key])}" for key in rolled.sample(list(CONDITIONS), 2)]
        lines += [f"{key} = {rolled.choice(values)}" for key, values in FIGURES[name].items()]
    table = read_own("\n".join(lines))
    assert isinstance(table, Table)
    for location, framing, layers in product(Location, ("wood", "steel"), (1, 2)):
        fastener = table.choice.fastener
        case = Situation(location, Length("1/2"), layers=layers, framing=framing, fastener=fastener)
        piece = panel(rectangle(96, 48), [16, 32, 48, 64, 80], hole(30, 40, 10, 20), case=case)
        try:
            plan = fasten(piece, table)
        except NoRule:
            continue
        assert plan.count > 0
        assert all(fastening_lines(plan, form(unit)) for unit in Unit for form in (Form, InWords))
