"""`fieldvoice` alone in a terminal: what can be begun from here, chosen by a digit."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from fieldvoice.commands.output import show

BY_VOICE, BY_KEYBOARD = "listen", "type"


@dataclass(frozen=True, slots=True)
class Beginning:
    """One thing to begin: what it says, and the command line that does it; `asks_how` where it is led by voice or by
    keyboard, and `asks_name` where a job wants a name first.
    """

    says: str
    arguments: tuple[str, ...] = ()
    asks_how: bool = False
    asks_name: bool = False


def choices(last: Path | None, written: datetime | None, now: datetime) -> tuple[Beginning, ...]:
    """What can be begun; going on with the last job comes first where there is one."""
    on: tuple[Beginning, ...] = ()
    if last is not None and written is not None:
        on = (
            Beginning(f"Go on with {last.stem}, last used {_ago(now - written)}", ("--job", str(last)), asks_how=True),
        )
    return (
        *on,
        Beginning("Begin a new job", asks_how=True, asks_name=True),
        Beginning("See the demo: a board by voice, from recordings", ("demo",)),
        Beginning("Is everything ready on this machine?", ("ready",)),
    )


def _ago(passed: timedelta) -> str:
    minutes = int(passed.total_seconds() // 60)
    if minutes < 60:
        return "just now" if minutes < 2 else f"{minutes} minutes ago"
    hours = minutes // 60
    if hours < 48:
        return "an hour ago" if hours == 1 else f"{hours} hours ago"
    return f"{hours // 24} days ago"


def start(run: Callable[[list[str]], int], ask: Callable[[str], str | None] | None = None) -> int:
    """Shows the choices, asks until one is made, and runs it. Returns its exit status; 0 where nothing is begun."""
    from fieldvoice.jobs import job_files, jobs_folder

    ask = ask or _asked
    folder = jobs_folder()
    last = next(iter(job_files(folder)), None)
    written = datetime.fromtimestamp(last.stat().st_mtime).astimezone() if last is not None else None
    offered = choices(last, written, datetime.now().astimezone())
    show("fieldvoice: tape readings in, cut marks out.\n")
    for number, choice in enumerate(offered, 1):
        show(f"  {number}  {choice.says}")
    show("  q  Leave\n")
    chosen = _one_of(ask, offered)
    if chosen is None:
        return 0
    arguments = list(chosen.arguments)
    if chosen.asks_name:
        name = _name(ask, folder)
        if name is None:
            return 0
        arguments = ["--job", str(name)]
    if chosen.asks_how:
        how = _how(ask)
        if how is None:
            return 0
        arguments = [how, *arguments]
    return run(arguments)


Ask = Callable[[str], str | None]


def _asked(prompt: str) -> str | None:
    """One line from the terminal; None at its end."""
    show(prompt, end="")
    sys.stdout.flush()
    line = sys.stdin.readline()
    return line.strip() if line else None


def _one_of(ask: Ask, offered: tuple[Beginning, ...]) -> Beginning | None:
    while True:
        answer = ask("Number, or Enter for 1: ")
        if answer is None or answer.lower() in {"q", "quit", "exit"}:
            return None
        if answer.isascii() and (not answer or answer.isdigit()) and 1 <= int(answer or "1") <= len(offered):
            return offered[int(answer or "1") - 1]
        show(f"I don't know “{answer}”. Type a number from 1 to {len(offered)}, or q.")


def _how(ask: Ask) -> str | None:
    while True:
        answer = ask("By voice or by keyboard? v or k, Enter for voice: ")
        if answer is None:
            return None
        if answer.lower() in {"", "v", "voice"}:
            return BY_VOICE
        if answer.lower() in {"k", "keyboard", "t", "type"}:
            return BY_KEYBOARD
        show(f"I don't know “{answer}”. Type v or k.")


def _name(ask: Ask, folder: Path) -> Path | None:
    """The new job's file: the name as it was given without what no file may hold, else today's date, else one more."""
    from fieldvoice.jobs import SUFFIX

    answer = ask("Name of the job, Enter for today's date: ")
    if answer is None:
        return None
    wanted = re.sub(r"[^\w .-]+", " ", answer).strip(" .")[:60].strip() or f"{datetime.now().astimezone():%Y-%m-%d}"
    there = {path.stem.casefold() for path in folder.glob(f"*{SUFFIX}")}
    name, number = wanted, 2
    while name.casefold() in there:
        name, number = f"{wanted} {number}", number + 1
    if name != wanted:
        show(f"There is a job {wanted} already, so this one is {name}.")
    return folder / f"{name}{SUFFIX}"
