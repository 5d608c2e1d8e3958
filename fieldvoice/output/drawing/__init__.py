"""Drawings of a board and of the hole while it is measured: pure functions of a plan or a board, in millimeters of
paper. No dimension is computed here: what stands on a drawing is the text of a length of the plan. Places on the paper
are floats, since a place on paper is no dimension.
"""
