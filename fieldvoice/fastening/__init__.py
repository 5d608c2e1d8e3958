"""How a board is fastened, marked and lifted: from one table with a source a row, in exact numbers."""

from fieldvoice.fastening.panels import Hole, Panel, panel_of, situation_of
from fieldvoice.fastening.plans import fasten, fasten_plan, handling
from fieldvoice.fastening.rows import Preference, Table
from fieldvoice.fastening.rules import bends, least_radius, pounds_per_square_foot, schedule, thickest
from fieldvoice.fastening.table import built_in, in_force, own_faults, own_file, read_own
from fieldvoice.fastening.weight import one_person, weigh

__all__ = [
    "Hole",
    "Panel",
    "Preference",
    "Table",
    "bends",
    "built_in",
    "fasten",
    "fasten_plan",
    "handling",
    "in_force",
    "least_radius",
    "one_person",
    "own_faults",
    "own_file",
    "panel_of",
    "pounds_per_square_foot",
    "read_own",
    "schedule",
    "situation_of",
    "thickest",
    "weigh",
]
