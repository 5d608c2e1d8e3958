"""The tables of docs/HEARING.md, which is for those who call, and of the newest measurement in docs/HEARING_TABLES.md:
from what became of each sound of the test split (`outcomes`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

Outcomes = Mapping[str, Any]
"""What `benchmarks.hearing.outcomes.rows` makes, with `judged by` beside it."""
Counts = Mapping[str, int]

_WHERE = {
    "clean": "quiet room, some with echo",
    "20 dB": "a saw at the other end (20 dB)",
    "10 dB": "a saw in the room (10 dB)",
    "5 dB": "a saw beside you (5 dB)",
    "0 dB": "a saw louder than the voice (0 dB)",
}
_PEOPLE = {
    "commands": "lone words and digits, 18 people",
    "digits": "lone digits over a telephone band, 6 people",
    "an4": "numbers, yes, no, help, 10 people",
}
_HOW = ("clean", "20 dB", "10 dB", "5 dB", "cut close")
_NO_CALL = {
    "test talk": "talk in computer voices, many of it one word",
    "test spoilt": "calls with a word lost or put in",
    "an4 talk": "people's talk: dates, letters, telephone numbers",
    "commands talk": "people's lone words that are no call (“cat”, “house”)",
    "digits talk": "people's “zero”",
    "test noise": "made noise",
    " noise": "recorded sounds: saws, rain, dogs",
}


def tables(outcomes: Outcomes, now: Mapping[str, Any]) -> dict[str, str]:
    """Every table by the name of its marks; `now` tells what sounds are judged by today."""
    return {
        "measured": _measured(outcomes["judged by"], now),
        "calls heard": _calls(outcomes),
        "calls in short": _in_short(outcomes),
        "taken wrongly": _wrong(outcomes),
        "danger counts": _danger(outcomes),
        "people heard": _people(outcomes),
        "no call": _no_call(outcomes),
        "outcomes": _all(outcomes),
    }


def _measured(then: Mapping[str, Any], now: Mapping[str, Any]) -> str:
    other = [name for name in now if then.get(name) != now[name]]
    if not other:
        return "These figures are of the ear, and of the bounds for taking what it heard, that are in this version."
    return f"**These figures are of an earlier version: since then there are new {' and '.join(other)}.**"


def _table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    return "\n".join(f"| {' | '.join(map(str, line))} |" for line in [head, ["---"] * len(head), *rows])


def _sum(outcomes: Outcomes, names: Iterable[str]) -> dict[str, int]:
    """The rows of these names together."""
    found: dict[str, int] = {}
    for name in names:
        for key, count in outcomes["rows"].get(name, {}).items():
            found[key] = found.get(key, 0) + count
    return found


def _unsure(row: Counts) -> int:
    return row["asked"] + row["refused"]


_CALLS = ("test call", "test_danger call", "test_close call")


def _calls(outcomes: Outcomes) -> str:
    rows = []
    for level, where in _WHERE.items():
        row = _sum(outcomes, (f"{name}, {level}" for name in _CALLS))
        rows.append([where, row["of"], row["right"], _unsure(row), row["wrong"]])
    return _table(("where", "calls", "taken right", "asked or said again", "taken wrong"), rows)


def _in_short(outcomes: Outcomes) -> str:
    """The same in a sentence, without the loudest noise."""
    levels = list(_WHERE)[:-1]
    row = _sum(outcomes, (f"{name}, {level}" for name in _CALLS for level in levels))
    were = "was" if row["wrong"] == 1 else "were"
    counted = f"{row['right']:,} were right, {_unsure(row):,} were asked about, and {row['wrong']:,} {were} wrong."
    return f"Of {row['of']:,} calls in voices of no training, from clean sound to {levels[-1]} of noise, {counted}"


def _wrong(outcomes: Outcomes) -> str:
    """Each call that was taken for another, of all levels."""
    named = [(row.split(", ")[-1], said, taken) for row, said, taken, _ in outcomes["wrong"] if row.startswith(_CALLS)]
    ordered = sorted(dict.fromkeys(named), key=lambda one: list(_WHERE).index(one[0]))
    return "\n".join(f"- {level}: “{said}” as “{taken}”" for level, said, taken in ordered)


def _danger(outcomes: Outcomes) -> str:
    rows = []
    for level, where in _WHERE.items():
        row = _sum(outcomes, [f"test_danger call, {level}"])
        every = _sum(outcomes, (f"{name}, {level}" for name in (*_CALLS, "test form", "test spoilt", "test talk")))
        said = every["danger counts"] + every["danger missed"]
        rows.append(
            [where, f"{row['danger counts']} of {row['of']}", f"{every['danger falsely']} of {every['of'] - said}"]
        )
    return _table(("where", "it counts when it was said", "it counts when it was not"), rows)


def _people(outcomes: Outcomes) -> str:
    rows = []
    for who, what in _PEOPLE.items():
        of = [_sum(outcomes, [f"{who} call, people, {how}"]) for how in _HOW]
        rows.append([what, of[0]["of"], *(f"{row['right']}, {row['wrong']}" for row in of)])
    return _table(("right, wrong", "clips each", "quiet", *_HOW[1:4], "cut close by the talk key"), rows)


def _no_call(outcomes: Outcomes) -> str:
    rows = []
    for name, what in _NO_CALL.items():
        row = _sum(outcomes, (one for one in outcomes["rows"] if one.startswith(f"{name},")))
        rows.append([what, row["of"], row["wrong"], row["danger falsely"]])
    return _table(("what", "of", "taken for a call", "falsely for word of danger"), rows)


def _all(outcomes: Outcomes) -> str:
    counted = ("of", "likeliest", "right", "asked", "refused", "wrong", "danger counts", "danger missed")
    rows = [
        [name.strip(), *(row[one] for one in (*counted, "danger falsely"))] for name, row in outcomes["rows"].items()
    ]
    whole = _sum(outcomes, outcomes["rows"])
    rows.append(["all together", *(whole[one] for one in (*counted, "danger falsely"))])
    return _table(("sounds", "of", "likeliest right", *counted[2:], "danger falsely"), rows)


def late_keys(quiet: Mapping[str, Any], saw: Mapping[str, Any]) -> str:
    """What became of calls whose talk key came late or went early."""
    rows = []
    for one, other in zip(quiet["keys"], saw["keys"], strict=True):
        when = f"let go {one['early']:g} s early" if one["early"] else f"{one['late']:g} s late"
        rows.append([when, *(f"{row['right']}, {row['unsure']}, {len(row['wrong'])}" for row in (one, other))])
    beside = f"beside a saw ({saw['noise below the words, dB']:g} dB)"
    return _table((f"the key, of {quiet['calls']} calls: right, asked, wrong", "quiet", beside), rows)


def boards(document: Mapping[str, Any]) -> str:
    """Whole boards called by sound, with how sure so few make it: the 95 % interval of a share by Wilson's score."""
    rows = []
    for level, one in document["levels"].items():
        of = one["boards"]
        counts = (one["right plan"], one["right with nothing typed"], one["right without a repeat or question"])
        shares = [f"{count} ({_between(count, of)})" for count in (*counts, one["wrong plan"])]
        per_board = (one["repeats a board"], one["questions a board"], one["calls typed a board"])
        rows.append([level, of, *shares, *per_board, one["seconds a board beside the speech"]])
    head = ("level", "boards", "right plan (of 100)", "with nothing typed", "with no repeat or question", "wrong plan")
    return _table((*head, "repeats a board", "questions", "calls typed", "seconds beside the speech"), rows)


def _between(count: int, of: int) -> str:
    z, share = 1.96, count / of
    middle, half = share + z * z / (2 * of), z * (share * (1 - share) / of + z * z / (4 * of * of)) ** 0.5
    low, high = ((middle + side * half) / (1 + z * z / of) for side in (-1, 1))
    return f"{100 * low:.0f} to {100 * high:.0f}"


def compared(ears: Mapping[str, Any]) -> str:
    """Ears on the same sounds, a row a sort of sound and split, all levels together."""
    rows = []
    for split, by_ear in ears["splits"].items():
        for sort in dict.fromkeys(name.rsplit(", ", 1)[0] for one in by_ear.values() for name in one):
            sums = [
                _sum({"rows": one}, (name for name in one if name.rsplit(", ", 1)[0] == sort))
                for one in by_ear.values()
            ]
            rows.append([f"{split}: {sort.strip()}", sums[0]["of"], *(_pair(one) for one in sums)])
        sums = [_sum({"rows": one}, one) for one in by_ear.values()]
        rows.append([f"**{split}: all**", sums[0]["of"], *(_pair(one) for one in sums)])
    names = list(dict.fromkeys(name for by_ear in ears["splits"].values() for name in by_ear))
    width = len(names)
    return _table(("sounds", "of", *names), [[*row, *["–"] * (2 + width - len(row))] for row in rows])


def _pair(row: Counts) -> str:
    danger = row["danger counts"] + row["danger missed"]
    said = f"; danger {row['danger counts']} of {danger}" if danger else ""
    falsely = f", falsely {row['danger falsely']}" if row["danger falsely"] else ""
    return f"{row['likeliest']}, {row['right']}, {row['wrong']}{said}{falsely}"
