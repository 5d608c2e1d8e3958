"""Putting the screen on the terminal."""

from __future__ import annotations

import click

from fieldvoice.commands.output import console
from fieldvoice.job.view import View
from fieldvoice.show.screen import compose

PROMPT_ROWS = 1


def draw(view: View) -> None:
    """Redraw the whole screen, with a row left for the prompt."""
    terminal = console()
    click.clear()
    for line in compose(view, max(terminal.width, 20), max(terminal.height - PROMPT_ROWS, 1)):
        terminal.print(line, no_wrap=True, overflow="ignore", crop=False)
