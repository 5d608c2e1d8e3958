"""Walls and ceilings into pieces: courses, joints on framing, openings, and the sheets that they take."""
