"""Paper that stays with the sheet: a page a board, then lists. Pictures in millimeters, and the PDF that holds them."""
