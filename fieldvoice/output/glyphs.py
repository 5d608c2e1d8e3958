"""Figures and capitals drawn large, to be read from across a room: seven rows of cells, five cells a character."""

from __future__ import annotations

from itertools import zip_longest

ROWS = 7
"""Rows of cells in every figure: the least that ISO 9241 gives for numerals (5 by 7 dots)."""

_GLYPHS = {
    "0": ".###. #...# #...# #...# #...# #...# .###.",
    "1": "..#.. .##.. ..#.. ..#.. ..#.. ..#.. .###.",
    "2": ".###. #...# ....# ..##. .#... #.... #####",
    "3": "####. ....# ....# .###. ....# ....# ####.",
    "4": "#..#. #..#. #..#. ##### ...#. ...#. ...#.",
    "5": "##### #.... ####. ....# ....# #...# .###.",
    "6": ".###. #.... #.... ####. #...# #...# .###.",
    "7": "##### ....# ...#. ..#.. ..#.. .#... .#...",
    "8": ".###. #...# #...# .###. #...# #...# .###.",
    "9": ".###. #...# #...# .#### ....# ....# .###.",
    "A": ".###. #...# #...# ##### #...# #...# #...#",
    "B": "####. #...# #...# ####. #...# #...# ####.",
    "C": ".###. #...# #.... #.... #.... #...# .###.",
    "D": "####. #...# #...# #...# #...# #...# ####.",
    "E": "##### #.... #.... ####. #.... #.... #####",
    "F": "##### #.... #.... ####. #.... #.... #....",
    "G": ".###. #...# #.... #.### #...# #...# .####",
    "H": "#...# #...# #...# ##### #...# #...# #...#",
    "I": ".###. ..#.. ..#.. ..#.. ..#.. ..#.. .###.",
    "J": "..### ...#. ...#. ...#. ...#. #..#. .##..",
    "K": "#...# #..#. #.#.. ##... #.#.. #..#. #...#",
    "L": "#.... #.... #.... #.... #.... #.... #####",
    "M": "#...# ##.## #.#.# #.#.# #...# #...# #...#",
    "N": "#...# ##..# ##..# #.#.# #..## #..## #...#",
    "O": ".###. #...# #...# #...# #...# #...# .###.",
    "P": "####. #...# #...# ####. #.... #.... #....",
    "Q": ".###. #...# #...# #...# #.#.# #..#. .##.#",
    "R": "####. #...# #...# ####. #.#.. #..#. #...#",
    "S": ".#### #.... #.... .###. ....# ....# ####.",
    "T": "##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..",
    "U": "#...# #...# #...# #...# #...# #...# .###.",
    "V": "#...# #...# #...# #...# .#.#. .#.#. ..#..",
    "W": "#...# #...# #...# #.#.# #.#.# ##.## #...#",
    "X": "#...# #...# .#.#. ..#.. .#.#. #...# #...#",
    "Y": "#...# #...# .#.#. ..#.. ..#.. ..#.. ..#..",
    "Z": "##### ....# ...#. ..#.. .#... #.... #####",
    "/": "....# ....# ...#. ..#.. .#... #.... #....",
    "-": "..... ..... ..... ##### ..... ..... .....",
    ".": ".. .. .. .. .. ## ##",
    " ": "... ... ... ... ... ... ...",
}


def large(text: str, *, full: str = "█") -> tuple[str, ...]:
    """`46 3/4` as seven lines of equal width; `full` is the cell that is drawn (`#` where only ASCII can be shown).

    Raises `KeyError` for what is no figure, capital, blank, slash, dash or point.
    """
    figures = [_GLYPHS[character].split() for character in text]
    rows = [" ".join(row) for row in zip(*figures, strict=True)]
    return tuple(row.replace(".", " ").replace("#", full) for row in rows)


def side_by_side(blocks: tuple[tuple[str, ...], ...], gap: int) -> tuple[str, ...]:
    """Blocks of lines next to each other, `gap` blanks apart, each padded to its own width."""
    widths = [max((len(line) for line in block), default=0) for block in blocks]
    rows = zip_longest(*blocks, fillvalue="")
    joint = " " * gap
    return tuple(joint.join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip() for row in rows)
