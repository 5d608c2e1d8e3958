"""What is told of circuits, who said what and what it does to the tools; what to heed at a plan and at each of its
steps, in sentences; and the line of danger that stays before the partner's eyes for as long as the board has a box.
Nothing here says that a circuit is dead: it repeats who said so and when, and defers to local code and the licensed
electrician.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from fieldvoice.records.ledger import Doubt, Tell, Value
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Step
from fieldvoice.records.said import BoxWord, Care, Caution
from fieldvoice.wording.fastening import handling_text
from fieldvoice.wording.forms import Both, Form, InWords, Worded, clock, each, first_large, joined
from fieldvoice.wording.steps import heed


def _not_dead(values: Sequence[Value], ear: InWords) -> Both:
    who, count, *rest = values
    assert isinstance(count, int)
    end = f" “Dead and tested” for {_of_boards(rest[count:], ear.eye)} is canceled." if rest[count:] else ""
    text = f"{_all(rest[:count], ear.eye) or 'this job'}: not dead, says {who}.{end} No tool goes into a box there."
    few = (_all(rest[:count], ear) or "this job") if count < 3 else "All boxes"
    if ear.brief:
        return text, f"Not dead{f': {few}' if ear.brief < 3 else ''}. No tool goes into a box."
    return text, f"{few}: not dead, says {ear.words(who)}. No tool goes into a box."


def _all(boxes: Iterable[Value], form: Form) -> str:
    return joined(map(form.words, boxes))


def _of_boards(values: Sequence[Value], form: Form) -> str:
    """Boxes, each behind its board: "box 1 of board 2"."""
    pairs = zip(values[::2], values[1::2], strict=True)
    return joined(f"{form.words(box)} of board {form.words(board)}" for board, box in pairs)


def _maybe_live(values: Sequence[Value], ear: InWords) -> Both:
    boxes = _of_boards(values, ear.eye)
    text = f"That may be about a circuit. “Dead and tested” for {boxes} is canceled. No tool goes in."
    return text, f"That may be about a circuit. {_NO_TOOL[bool(ear.brief)]}"


def _after_dead(values: Sequence[Value], ear: InWords) -> Both:
    boxes = _of_boards(values, ear.eye)
    text = f"Not understood, right behind “dead and tested”: that is canceled for {boxes}. No tool goes in."
    return text, f"Not understood. {_NO_TOOL[bool(ear.brief)]}"


_NO_TOOL = ("No tool goes into a box until it's called dead and tested again.", "No tool goes into a box.")


def _test_over(values: Sequence[Value], ear: InWords) -> Both:
    box, who, at, *until = values
    assert isinstance(at, datetime)
    over = [f"ran out at {ear.eye.time(end)}" for end in until if isinstance(end, datetime)]
    that = "".join(over) or "no longer counts, since fieldvoice was started again"
    text = f"{_all([box], ear.eye)}: dead and tested, said {who} at {ear.eye.time(at)}. That {that}: no tool goes in."
    return text, f"{_all([box], ear)}: that test ran out. No tool goes in."


def _untested(since: str) -> Worded:
    def worded(values: Sequence[Value], ear: InWords) -> Both:
        boxes = _of_boards(values, ear.eye)
        text = f"“Dead and tested” for {boxes} is canceled, since {since}. No tool goes in."
        return text, f"{_all(values[1::2], ear)}: {'untested' if ear.brief else 'not dead and tested any more'}."

    return worded


def _dead(values: Sequence[Value], ear: InWords) -> Both:
    who, at, *boxes = values
    assert isinstance(at, datetime)
    text = f"{_all(boxes, ear.eye)}: dead and tested, says {who} at {ear.eye.time(at)}."
    return text, f"{_all(boxes, ear)}: dead and tested, says {ear.words(who)}."


def _dead_recorded(values: Sequence[Value], form: Form) -> str:
    it = "them" if len(values) > 1 else "it"
    told = "what a file or a program says about a circuit doesn't count, so no tool goes into"
    return f"{_all(values, form)}: {told} {it}."


def _heed(boxes: Sequence[Value], ear: InWords) -> Both:
    they = "they are" if len(boxes) > 1 else "it is"
    text = f"{_all(boxes, ear.eye)}: nobody has said that {they} dead and tested, so no tool goes in."
    short = _all(boxes, ear) if len(boxes) < 3 else ear.counted(len(boxes), "box", "boxes")
    return text, f"{short}: {'untested' if ear.brief else 'not dead and tested'}. No tool goes in."


def _box_waits(values: Sequence[Value], form: Form) -> str:
    who, *boxes = values
    first = f"{form.words(who)} has to go on, or say what is missing, first"
    return f"{_all(boxes, form)} isn't settled: {first}. Then say it again."


def tested(doubt: Doubt, _: Sequence[Value], ear: InWords) -> Both:
    """The question whether the speaker tested boxes dead."""
    names, called = (_all(doubt.boxes, form) for form in (ear.eye, ear))
    each = "them" if len(doubt.boxes) > 1 else "it"
    spoken = f"{called}: tested dead by you, tester proved before and after?"
    text = (
        f"{names}: did you test {each} dead yourself, with a tester proved on a live source before and after? Only a "
        "yes counts."
    )
    return text, spoken


def _only_tester(boxes: Sequence[Value], form: Form) -> str:
    return f"Only the person who tested can say yes to that, so {_all(boxes, form)} stays as it was."


OF_CIRCUITS: Mapping[Tell, Worded] = {
    Tell.NOT_DEAD: _not_dead,
    Tell.MAYBE_LIVE: _maybe_live,
    Tell.AFTER_DEAD: _after_dead,
    Tell.TEST_OVER: _test_over,
    Tell.MOVED_SINCE: _untested("it is elsewhere or in question now"),
    Tell.MEASURED_SINCE: _untested(
        "the board was measured anew, or its wall was called anew, and may be another one: say so, or test again"
    ),
    Tell.BOX_WAITS: each(_box_waits),
    Tell.DEAD: _dead,
    Tell.DEAD_RECORDED: each(_dead_recorded),
    Tell.ONLY_TESTER: each(_only_tester),
    Tell.HEED: _heed,
}
"""What is told of circuits, by its code."""


DECIDE = "At boxes, local code and the licensed electrician decide."
SHUT_OFF = (
    "Have the circuit shut off, locked or tagged, and tested by someone qualified, with a tester proved on a known "
    f"live source before and after. {DECIDE}"
)
# Find out by asking, looking or testing whether an exposed or a concealed circuit is in reach before the work: OSHA 29
# CFR 1926.416(a)(3); work near one only once it is de-energized or guarded: 1926.416(a)(1); tag what is switched off:
# 1926.417(a). Prove the tester on a known source before and after: NFPA 70E, 120.5.

BEHIND = (
    "Before the blade or a screw goes through, know what is behind: wires, pipes and ducts. Look and ask first; local "
    "code and the licensed trades decide."
)
# Concealed circuits: OSHA 29 CFR 1926.416(a)(3).

KNIFE = (
    "Knife: cut away from yourself, keep the other hand out of its path, retract the blade to carry it; wear eye "
    "protection."
)
# From memory: eye protection is OSHA 29 CFR 1926.102; the rest is common practice, no source.

DUST = "Gypsum dust: keep it low, cut outdoors or with a vacuum at the tool, and wear a mask that fits."
# Dust of board and compound passes the limits in sanding: NIOSH 99-113. That a router's dust is like it: common
# practice, no source.

HIGH = (
    "Overhead: hold the sheet with a lift or two people; ladders and stilts on a clear, level floor, never near an "
    "open edge. Local rules decide whether stilts may be used."
)
# Federal OSHA neither regulates nor bans stilts in general, and asks for guardrails raised by their height near edges:
# interpretation letter of 1995-03-13; clear, level floor: WAC 296-874-20042. Ladders: 29 CFR 1926.1053, from memory.

OLD_WALL = (
    "Where an old wall is opened: paint from before 1978 may hold lead, and old compound or texture asbestos. Have it "
    "tested before it is cut or sanded; local rules decide who may do that."
)
# EPA's renovation rule covers housing from before 1978 and more than 6 sq ft a room; asbestos in patching compound was
# banned in 1977 and 1978 (16 CFR 1304, from memory).

DEMONSTRATION = (
    "DEMONSTRATION: nobody tested these circuits. Its steps show what a plan looks like after a real test; don't cut "
    "by them."
)


def said(caution: Caution) -> str:
    """The whole caution."""
    if caution.care is Care.AT_BOX:
        return first_large(_at_box(caution))
    if caution.care is Care.HEAVY:
        carrying, hanging = caution.handling
        return handling_text(carrying, hanging, caution.unit) or ""
    return _SAYS[caution.care]


def at_step(step: Step) -> str | None:
    """All that is to be heeded at a step: at its box, and what the cutting room asks right there."""
    return heed(step) if step.caution is None else _with_steps(step.caution, (step,))


def every(cautions: Iterable[Caution], steps: Sequence[Step]) -> tuple[str, ...]:
    """The cautions of a board, then those that stand at its steps alone, each once with all that its steps ask."""
    every_one = dict.fromkeys((*cautions, *(step.caution for step in steps if step.caution is not None)))
    return tuple(_with_steps(caution, [step for step in steps if step.caution == caution]) for caution in every_one)


def _with_steps(caution: Caution, steps: Iterable[Step]) -> str:
    if caution.until is None:
        return said(caution)  # says all that the cutting room asks at such a box, and a small screen shows it once
    return " ".join((said(caution), *dict.fromkeys(asked for step in steps if (asked := heed(step)))))


def _at_box(caution: Caution) -> str:
    name, word = caution.box, caution.word
    if word is None or word.state is Circuit.UNKNOWN:
        return f"{name}: nobody has said that it is dead and tested, so no tool goes into it."
    if word.state is Circuit.LIVE or caution.until is None:
        return f"{name}: live, said {word.by} at {clock(word.at)}, so no tool goes into it."
    told = f"{name}: “dead and tested” are the words of {word.by} at {clock(word.at)}"
    return f"{told}, and count until {clock(caution.until)}; test again before a tool goes into it."


_SAYS: Mapping[Care, str] = {
    Care.DEMONSTRATION: DEMONSTRATION,
    Care.SHUT_OFF: SHUT_OFF,
    Care.DECIDE: DECIDE,
    Care.BEHIND: BEHIND,
    Care.KNIFE: KNIFE,
    Care.DUST: DUST,
    Care.HIGH: HIGH,
    Care.OLD_WALL: OLD_WALL,
}


def danger_line(boxes: Sequence[str], said: Sequence[BoxWord], *, demonstration: bool) -> str:
    """The whole line: that a demonstration is one, then what the boxes ask."""
    return " ".join(part for part in (DEMONSTRATION if demonstration else "", danger_at_boxes(boxes, said)) if part)


def danger_at_boxes(boxes: Sequence[str], said: Sequence[BoxWord]) -> str:
    """Signal word and boxes, or nothing where there is no box. WARNING, after ANSI Z535.4, since a tool in a live box
    could kill; that somebody said “dead and tested” makes a CAUTION of it and no more.
    """
    if not boxes:
        return ""
    words = {word.box: word for word in said}
    live = [box for box in boxes if box in words and words[box].state is Circuit.LIVE]
    dead = [box for box in boxes if box in words and words[box].state is Circuit.DEAD]
    unknown = [box for box in boxes if box not in live and box not in dead]
    if live:
        others = f", {joined(unknown)} not said dead and tested" if unknown else ""
        return f"WARNING {joined(live)} said LIVE{others}: no tool in {_it([*live, *unknown])}"
    if unknown:
        return f"WARNING {joined(unknown)} not said dead and tested: no tool in {_it(unknown)}"
    said_so: dict[str, list[str]] = {}
    for box in dead:
        said_so.setdefault(f"dead and tested, said {words[box].by} {clock(words[box].at)}", []).append(box)
    return f"CAUTION {'; '.join(f'{joined(named)}: {what}' for what, named in said_so.items())}. Test again first."


def _it(boxes: Sequence[str]) -> str:
    return "it" if len(boxes) == 1 else "them"
