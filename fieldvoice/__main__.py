"""The `fieldvoice` program, also as `python -m fieldvoice`, and what Ctrl-C does from its first line to its last."""

import signal
import sys
from types import FrameType


def main() -> None:
    """Before somebody can be told what Ctrl-C means it just ends the program, as the system does; then it is told once,
    and what is put in order for that isn't broken off by another one. Where whoever started fieldvoice had switched
    Ctrl-C off, it stays so.
    """
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
    sys.exit(status)


def _once(_number: int, _frame: FrameType | None) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise KeyboardInterrupt


if __name__ == "__main__":
    main()
