"""Paper that stays with the sheet: a page a board, then lists. Pictures in millimeters, and the PDF that holds them."""

from fieldvoice.output.paper.blocks import Made, Paper, numbered
from fieldvoice.output.paper.board_page import board_pages
from fieldvoice.output.paper.lists import list_pages, surface_pages
from fieldvoice.output.paper.pdf import pdf

__all__ = ["Made", "Paper", "board_pages", "list_pages", "numbered", "pdf", "surface_pages"]
