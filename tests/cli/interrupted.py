"""Runs fieldvoice with Ctrl-C pressed at its Nth file or module, and at the next: `interrupted.py N COMMAND...`.

At the end the last line on standard error is how many files there were.
"""

import atexit
import runpy
import signal
import sys

at = int(sys.argv.pop(1))
seen: list[str] = []
"""From the first import of the command line on: what comes before it is the interpreter's."""


def _hear(event: str, about: tuple[object, ...]) -> None:
    if event in {"import", "open"} and (seen or about[0] == "fieldvoice.cli"):
        seen.append(event)
        if at and len(seen) in {at, at + 1}:  # a second press, while what the first one broke off is put in order
            signal.raise_signal(signal.SIGINT)


if __name__ == "__main__":
    if not at:
        atexit.register(lambda: print(len(seen), file=sys.stderr))
    sys.addaudithook(_hear)
    runpy.run_module("fieldvoice", run_name="__main__", alter_sys=True)
