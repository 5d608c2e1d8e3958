"""Calls as a crew makes them while a job is measured, in the shares in which they come.

The shares, here in parts of 100, and how often which fraction is read are common practice, no source: most calls are
readings with their place, and most readings of boards lie between 12 and 145 inches. `forms` of the grammar beside
them is `training.phrases`, where every rule comes up, said at a wall or not.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from fractions import Fraction

from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.utterance import Status

Dice = random.Random
Maker = Callable[[Dice], str]

_SIXTEENTHS = [
    (0, 22),
    (8, 14),
    (4, 10),
    (12, 10),
    (2, 6),
    (6, 7),
    (10, 7),
    (14, 6),
    *((odd, 2.25) for odd in range(1, 16, 2)),
]
_WIDTHS, _HEIGHTS = ("top", "middle", "bottom"), ("left", "middle", "right")


def inches(dice: Dice, least: int = 12, most: int = 145) -> str:
    """A tape reading: half of them no longer than a sheet is wide, a fifth without a fraction."""
    whole = dice.randint(least, min(most, 54)) if dice.random() < 0.5 else dice.randint(least, most)
    sixteenths = dice.choices([count for count, _ in _SIXTEENTHS], [share for _, share in _SIXTEENTHS])[0]
    if not sixteenths:
        return number(whole, dice)
    part = fraction_words(Fraction(sixteenths, 16))
    if dice.random() < 0.75:
        part = part.replace("one ", "an " if "eighth" in part else "a ", 1)
    return f"{number(whole, dice)} {dice.choices(['and ', ''], [9, 1])[0]}{part}"


def number(whole: int, dice: Dice) -> str:
    """A whole number to 199 in one of the ways that people say it."""
    if whole < 100:
        return number_words(whole)
    rest = whole - 100
    hundred = dice.choice(["a hundred", "one hundred"])
    if not rest:
        return hundred
    short = f"one {'oh ' if rest < 10 else ''}{number_words(rest)}"
    return dice.choice([f"{hundred} {number_words(rest)}", f"{hundred} and {number_words(rest)}", short])


def _placed(dice: Dice) -> str:
    return f"{dice.choice((*_WIDTHS, *_HEIGHTS, 'width', 'height'))} {inches(dice)}"


def _row(dice: Dice) -> str:
    kind = dice.choice(["widths", "heights"])
    return f"{kind} {' then '.join(inches(dice) for _ in range(3))}"


def _feet(dice: Dice) -> str:
    feet = f"{number_words(dice.randint(2, 12))} {dice.choice(['feet', 'foot'])}"
    return f"{dice.choice(['', 'top ', 'left ', 'height '])}{feet}{dice.choice(['', f' {inches(dice, 1, 11)}'])}"


def _leaning(dice: Dice) -> str:
    return f"{_placed(dice)} {dice.choice(['strong', 'light', 'shy', 'heavy'])}"


def _corrected(dice: Dice) -> str:
    place, old, new = dice.choice(_WIDTHS + _HEIGHTS), inches(dice), inches(dice)
    return dice.choice(
        [
            f"{place} {old} no {new}",
            f"{place} {old} no make that {new}",
            f"{place} {old} sorry {new}",
            f"change {place} to {new}",
            f"{place} should be {new}",
            f"no {new}",
        ]
    )


def _box(dice: Dice) -> str:
    name = dice.choice(["", f"box {number_words(dice.randint(1, 6))} "])
    kind = dice.choice(["single gang", "single gang", "double gang", "outlet", "switch", "round box", "octagon box"])
    across = f"{inches(dice, 3, 90)} from the {dice.choice(['left', 'right'])}"
    down = f"{inches(dice, 3, 50)} {dice.choice(['down', 'down from the top', 'up', 'up from the floor'])}"
    return f"{name}{kind} center {across} {down}"


YES = ("yes", "yes", "yes", "yeah", "yep", "correct", "that's right")
NO = ("no", "no", "no", "nope", "wrong", "that's wrong")
ORDERS = (
    "done", "next board", "undo", "scratch that", "say again", "repeat that", "what's missing", "read it all back",
    "hold", "resume", "help",
)  # fmt: skip
EDGES = (
    "left edge last board", "right edge wall", "top edge ceiling", "bottom edge floor", "right edge outside corner",
    "left edge wall", "top edge is the ceiling", "right edge next board", "left edge door jamb", "right edge open",
)  # fmt: skip
PLACES = (
    "this is the bathroom", "this is the kitchen", "this is the bedroom", "in the hall", "this is board two",
    "board three", "ceiling board", "wall board", "standing", "lying", "four by eight sheet", "two layers",
)  # fmt: skip
STATES = tuple(
    f"{which} {state}"
    for which in (*(f"box {number_words(number)}" for number in range(1, 7)), "all boxes")
    for state in ("dead and tested", "is dead and tested", "live", "is live")
)
DANGER = (
    "it's live", "that's live", "box two is live", "that one is hot", "it's hot", "power's on", "the power is on",
    "power is back on", "it's back on", "the breaker is on", "still live", "that's still hot", "careful it's live",
    "box one is hot", "not dead", "it's not dead", "box three is not tested", "not tested", "wrong breaker",
    "i got shocked", "they're all live", "live", "hot", "it's energized", "the tester lit up",
)  # fmt: skip
ANSWERS = (
    "center", "edge", "the edge", "to the center", "the left", "the right", "single gang", "double gang", "round",
    "upper", "lower", "from the left", "from the right", "from the ceiling", "from the floor", "down", "up",
)  # fmt: skip
SET_PHRASES = frozenset((*YES, *NO, *ORDERS, *EDGES, *PLACES, *STATES, *DANGER, *ANSWERS))
"""A few dozen phrases that are said as they are: every split must say them, so that only its voices are its own."""


def _asked_for(dice: Dice) -> str:
    """A figure alone, as it is said where one was asked for: often no more than a digit."""
    return number(dice.randint(1, 12) if dice.random() < 0.7 else dice.randint(13, 99), dice)


def alone(dice: Dice) -> str:
    """A call of one word, or a figure that was asked for: what a bit of talk is most easily taken for."""
    if dice.random() < 0.5:
        return _asked_for(dice)
    said = dice.choice((YES, NO, ORDERS, ANSWERS, DANGER))
    return dice.choice([words for words in said if " " not in words])


def _filled(dice: Dice) -> str:
    """A call behind a word that means nothing."""
    return f"{dice.choice(('okay', 'um', 'so', 'uh', 'well'))} {_placed(dice)}"


def _one_of(said: Sequence[str]) -> Maker:
    return lambda dice: dice.choice(said)


def _leans(dice: Dice) -> str:
    part = fraction_words(Fraction(dice.randint(1, 7), 8))
    return f"{dice.choice(['left', 'right'])} wall {dice.choice(['leans in', 'leans out', 'is out'])} {part} at the top"


def _hole(dice: Dice) -> str:
    size = dice.choice(["two inch", "three inch", "four inch", "one and a half inch"])
    return f"{size} pipe center {inches(dice, 3, 90)} from the left {inches(dice, 3, 50)} down"


SHARES: tuple[tuple[float, Maker], ...] = (
    (36, _placed),
    (14, inches),
    (6, _row),
    (4, _feet),
    (3, _leaning),
    (6, _corrected),
    (8, _box),
    (5, _one_of(STATES)),
    (4, _one_of(YES)),
    (3, _one_of(NO)),
    (5, _one_of(ORDERS)),
    (2, _one_of(EDGES)),
    (2, _one_of(PLACES)),
    (6, _asked_for),
    (2, _filled),
    (4, _one_of(DANGER)),
    (2, _one_of(ANSWERS)),
    (1, _leans),
    (1, _hole),
)


_TEENS_AND_TENS = (*range(13, 20), *range(30, 100, 10))


def close(dice: Dice) -> str:
    """A call of what is most easily taken for another: a teen or a ten, alone and before more, and feet."""
    while True:
        words = dice.choice((_teen_or_ten, _teen_or_ten, _feet))(dice)
        if understand(words, Source.SPOKEN).status is Status.UNDERSTOOD:
            return words


def _teen_or_ten(dice: Dice) -> str:
    whole = dice.choice(_TEENS_AND_TENS) + (100 if dice.random() < 0.15 else 0)
    place = dice.choice((*_WIDTHS, *_HEIGHTS, "", "", "box"))
    if place == "box":
        return f"box {number_words(whole % 100)} {dice.choice(('live', 'dead and tested'))}"
    sixteenths = dice.randrange(1, 16)
    part = fraction_words(Fraction(sixteenths, 16))
    part = part.replace("one ", "an " if "eighth" in part else "a ", 1)
    return f"{place} {number(whole, dice)}{dice.choice(('', f' and {part}'))}".strip()


def of_danger(form: Maker) -> Maker:
    """Word of danger, half of it as it is mostly said and half as `form` draws it, now and then behind a word of
    warning.
    """

    def drawn(dice: Dice) -> str:
        words = dice.choice(DANGER) if dice.random() < 0.5 else form(dice)
        return dice.choice(("", "", "", "", "", "careful ", "hey ", "wait ")) + words

    return drawn


def call(dice: Dice) -> str:
    """A call with one meaning.

    Some 3 in 100 have several meanings ("thirty one half") and are drawn again: these are asked about whoever hears.
    """
    while True:
        maker = dice.choices([maker for _, maker in SHARES], [share for share, _ in SHARES])[0]
        words = maker(dice)
        if understand(words, Source.SPOKEN).status is Status.UNDERSTOOD or words in DANGER:
            return words
