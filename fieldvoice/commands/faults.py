"""What to tell when fieldvoice itself is at fault: one sentence, and the details in a file."""

from __future__ import annotations

import sys
import tempfile
import traceback
from datetime import UTC, datetime
from pathlib import Path

from fieldvoice import __version__


def report(fault: Exception) -> str:
    """Write the fault to a log file and say, in one sentence, what it means and where the file is."""
    details = "".join(traceback.format_exception(fault))
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    text = f"fieldvoice {__version__}, Python {sys.version}\n{stamp}\n\n{details}"
    return (
        f"Something in fieldvoice itself went wrong ({type(fault).__name__}: {fault}), so don't cut from this run; "
        f"what was said before is kept in the job. Details for a report are in {_written(text, stamp)}"
    )


def _written(text: str, stamp: str) -> str:
    from platformdirs import user_log_path

    for folder in (user_log_path("fieldvoice", appauthor=False), Path(tempfile.gettempdir())):
        file = folder / f"fieldvoice-fault-{stamp}.log"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        except OSError:
            continue
        return str(file)
    return "no file, since none could be written."
