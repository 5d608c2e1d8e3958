"""What the names of meanings in the grammar come to, by subject."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.language.meanings import (
    boxes,
    by_edges,
    circuits,
    context,
    numbers,
    parts,
    readings,
    surfaces,
    utterances,
)

if TYPE_CHECKING:
    from fieldvoice.language.descent import Action

SENSES = (numbers, readings, boxes, by_edges, circuits, parts, context, surfaces, utterances)
ACTIONS: dict[str, Action] = {name: action for sense in SENSES for name, action in sense.ACTIONS.items()}
"""By the name after its arrow in the grammar: no two may have one name."""
