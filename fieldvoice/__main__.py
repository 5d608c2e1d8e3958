"""The `fieldvoice` program, also as `python -m fieldvoice`: what Ctrl-C does from its first line to its last, and how
seldom garbage is searched for.
"""

import gc
import signal
import sys
from types import FrameType

SEARCHED_AFTER = 100_000
"""Objects made between two searches for garbage, where Python's own 700 would go through the grammar's hundreds of
thousands again and again while they are made: half the time of a short command.
"""


def main() -> None:
    """Before somebody can be told what Ctrl-C means it just ends the program, as the system does; then it is told once,
    and what is put in order for that isn't broken off by another one. Where whoever started fieldvoice had switched
    Ctrl-C off, it stays so.
    """
    gc.set_threshold(SEARCHED_AFTER)
    heeded = signal.getsignal(signal.SIGINT) is not signal.SIG_IGN
    if heeded:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from fieldvoice.cli import INTERRUPTED, run

    try:
        try:
            if heeded:
                signal.signal(signal.SIGINT, _once)
            status = run(sys.argv[1:])
        finally:
            signal.signal(signal.SIGINT, signal.SIG_IGN)
    except KeyboardInterrupt:  # behind the last line of the run
        status = INTERRUPTED
    gc.freeze()  # nor at the end, when all of it goes anyway
    sys.exit(status)


def _once(_number: int, _frame: FrameType | None) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise KeyboardInterrupt


if __name__ == "__main__":
    main()
