"""What holds for all tests."""

from __future__ import annotations

import signal
import threading

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")  # how long anything takes is measured in benchmarks, on a machine that is quiet

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN and threading.current_thread() is threading.main_thread():
    # a run in the background has Ctrl-C off, and hands that on: tests press it
    signal.signal(signal.SIGINT, signal.default_int_handler)
