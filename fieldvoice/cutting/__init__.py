"""Exact geometry of the board: from readings to a proved cut. Imports records and the standard library only."""
