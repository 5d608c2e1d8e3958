"""What measures hearing needs the extra that trains: its tests run where that is installed."""

from __future__ import annotations

from importlib.util import find_spec

collect_ignore_glob = [] if find_spec("scipy") else ["test_hearing.py", "test_one_voice.py"]
