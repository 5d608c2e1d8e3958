"""Pieces onto sheets, and the rack of what is left."""
