"""What is told of calls that were practiced, and of fitting the reading ear to them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from statistics import median

from fieldvoice.records.practice import FitOutcome, Objection, Tried

RARE = "Ten calls don't show rare mistakes: with none in ten there may be one in four. Keep watching the read-back."
"""With one call in 3.9 mistaken ten in a row come out right once in twenty times: 1 - 0.05 ** (1 / 10) is 0.26."""


def summary(results: Sequence[Tried]) -> str:
    """The figures in words, each call that wasn't right, and what to make of ten of them."""
    counts = Counter(each.taken for each in results)
    lines = [
        (
            f"{counts['right']} of {len(results)} right, {counts['asked']} asked again, {counts['wrong']} taken for "
            f"something else; {median(each.seconds for each in results):.2f} s from the end of a call to its verdict."
        ),
        *_noise(results),
        *(f"  {each.taken}: “{each.call}”, heard as “{each.heard}”" for each in results if each.taken != "right"),
        RARE,
    ]
    return "\n".join(lines)


def _noise(results: Sequence[Tried]) -> tuple[str, ...]:
    levels = [each.noise_db for each in results if each.noise_db is not None]
    return (f"Noise between the words: {median(levels):.0f} dB of full scale.",) if levels else ()


def outcome(made: FitOutcome) -> str:
    """What came of fitting."""
    if made.objection is not None:
        return f"The reading ear stays as it was: {why(made)}. The recordings are kept anyway."
    before, after = made.before["right"], made.after["right"]
    right = f"{after} came out right {f'instead of {before}' if after > before else 'as before'}"
    return (
        f"The reading ear is fitted to your voice: of {made.after.total()} calls it had not been fitted to {right}, "
        f"{made.likelier} were heard better, and nothing became wrong. Ten calls are few: keep watching the read-back. "
        "`fieldvoice practice --forget` goes back."
    )


def why(made: FitOutcome) -> str:
    """Why it is kept or isn't."""
    if made.objection is None:
        return "nearly all calls that it had not been fitted to were heard better, and nothing was newly wrong"
    return _OBJECTIONS[made.objection].format(made=made, tried=made.before.total())


_OBJECTIONS: Mapping[Objection, str] = {
    Objection.TOO_FEW: "only {made.calls} of the calls could be made out, and at least {made.least} are needed",
    Objection.NEWLY_WRONG: "a call that it had not been fitted to was then taken for something else",
    Objection.OTHERS_NEWLY_WRONG: "a recording of another voice was then taken for something else",
    Objection.OTHERS_WORSE: "recordings of other voices were then heard less well",
    Objection.WORSE: "fewer of the calls that it had not been fitted to were then right",
    Objection.BY_CHANCE: "{made.likelier} of {tried} calls it had not been fitted to were heard better: no better than "
    "chance",
}
