"""What holds for all tests."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")  # how long anything takes is measured in benchmarks, on a machine that is quiet
