"""Putting the screen on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

import click
from rich.text import Text

from fieldvoice.commands.output import console, show_line
from fieldvoice.dialogue.view import View
from fieldvoice.output import words
from fieldvoice.output.screen import compose

PROMPT_ROWS = 1


def draw(view: View, told: Sequence[str] = ()) -> None:
    """Redraw the whole screen, what was told under the job, with a row left for the prompt."""
    terminal = console()
    columns = max(terminal.width, 20)
    notices = [Text(line, style="bold red") for each in told for line in words.lines(f"! {each}", columns, "  ")]
    click.clear()
    for line in (*compose(view, columns, max(terminal.height - PROMPT_ROWS - len(notices), 1)), *notices):
        show_line(line)
