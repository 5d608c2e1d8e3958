"""Drawings of a board and of the hole while it is measured: pure functions of a plan or a board, in millimeters of
paper. No dimension is computed here: what stands on a drawing is the text of a length of the plan. Places on the paper
are floats, since a place on paper is no dimension.
"""

from fieldvoice.output.drawing.board import SheetFace, board_picture
from fieldvoice.output.drawing.hole import hole_picture
from fieldvoice.output.drawing.picture import Picture, stacked
from fieldvoice.output.drawing.svg import svg
from fieldvoice.output.drawing.wall import wall_picture, wall_pictures

__all__ = ["Picture", "SheetFace", "board_picture", "hole_picture", "stacked", "svg", "wall_picture", "wall_pictures"]
