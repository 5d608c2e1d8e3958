"""The question of each doubt, for the eye; the ear's form follows from it but for what is read out figure by figure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fieldvoice.records.facts import Fact, Key, key_of, unshared
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Coordinate,
    Diagonal,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    Plumb,
    Reading,
    WholeThing,
)
from fieldvoice.records.utterance import Ask, Question
from fieldvoice.wording import questions
from fieldvoice.wording.cautions import tested
from fieldvoice.wording.forms import Both, Form, InWords, as_planned, first_large, first_small, fitting, joined
from fieldvoice.wording.last_check import last_check
from fieldvoice.wording.values import (
    away,
    beside,
    digits,
    distance,
    figures,
    label,
    lead,
    named,
    short_label,
    short_value,
    spoken_value,
    title,
    way_from,
)


def question(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    """The question of a doubt about those calls."""
    text, spoken = _QUESTIONS[doubt.concern](doubt, values, ear)
    more = _at_others(doubt, values)
    return (f"{text} {more}", f"{spoken} {more}") if more else (text, spoken)


def _at_others(doubt: Doubt, values: Sequence[Value]) -> str:
    """Where else the figure was called that is asked about: an answer is about all of it. That it is of one place alone
    is said where no place was heard with it, since more than one may have been.
    """
    calls = [value for value in values if isinstance(value, Call) and value.number not in doubt.calls]
    first = next((call for call in calls if call.number == doubt.call), None)
    if first is not None and first.prompted and not (doubt.answered_by is AnsweredBy.ONE_OF and _places_of(doubt) > 1):
        return f"{str(first.key.at).capitalize()} alone."
    others = [call for call in calls if first is not None and call.number not in {first.number, first.replaces}]
    return f"At the {joined(str(call.key.at) for call in others)} too." if others else ""


def _places_of(doubt: Doubt) -> int:
    """At how many places it may be."""
    return len({key_of(fact) for way in doubt.ways for fact in way})


def _call(values: Sequence[Value]) -> Call:
    return next(value for value in values if isinstance(value, Call))


def _in_digits(call: Call, fact: Reading | Diagonal, ear: InWords) -> str:
    """A reading for the ear, short and figure by figure: "top: four six and seven eighths"."""
    return f"{short_label(call.key, ear)}: {digits(fact.value, ear)}"


def _sure(ear: InWords) -> str:
    """The end of a question that yes or no answers, as short as it has to be."""
    return (": is that right?", ": right?", "?")[min(ear.brief, 2)]


def _right(ear: InWords) -> str:
    """The same where it is short from the first."""
    return ": right?" if ear.brief < 2 else "?"


def _with(end: str, short: Callable[[InWords], str] = _sure) -> Callable[[Doubt, Sequence[Value], InWords], Both]:
    def worded(_: Doubt, values: Sequence[Value], ear: InWords) -> Both:
        text, spoken = lead(_call(values), ear)
        return f"{text}{end}", f"{spoken}{short(ear)}"

    return worded


def _not(values: Sequence[Value], ear: InWords, other: Both) -> Both:
    call = _call(values)
    text, spoken = lead(call, ear)
    if isinstance(call.fact, Reading) and call.fact.qualifier is None:
        spoken = _in_digits(call, call.fact, ear)
    return f"{text}, not {other[0]}: yes?", f"{spoken}, not {other[1]}: yes?"


def _length(length: Length | None, value: Length, ear: InWords) -> Both:
    """A length that may have been meant instead of `value`, which is said before it."""
    assert length is not None
    return ear.eye.length(length), beside(value, length, ear)


def _value(values: Sequence[Value]) -> Length:
    fact = _call(values).fact
    assert isinstance(fact, Reading | Diagonal)
    return fact.value


def _twin(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    return _not(values, ear, _length(doubt.value, _value(values), ear))


def _rival(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    call, other = _call(values), doubt.ways[0][0]
    text, spoken = _not(values, ear, _apart(other, call.key, ear))
    short = _contrast((call.fact, other), ear)
    if short is None:
        return text, spoken
    front = f"{short_label(call.key, ear)}: " if key_of(other) == call.key or not isinstance(other, Reading) else ""
    return text, f"{front}{', not '.join(short)}?"


def _contrast(facts: Sequence[Fact | Incomplete | None], ear: InWords) -> list[str] | None:
    """Of facts that differ by figures alone what is otherwise, for the ear; None where more is. What they have in
    common is on the screen, and is read back once it is settled.
    """
    first = facts[0]
    if isinstance(first, Reading):
        others = [one for one in facts if isinstance(one, Reading)]
        return _readings_apart(first, others[1:], ear) if len(others) == len(facts) else None
    if not isinstance(first, WholeThing):
        return None
    things = [one for one in facts if isinstance(one, WholeThing) and _unplaced(one) == _unplaced(first)]
    if len(things) < len(facts):
        return None
    places = list(zip(*(one.places for one in things), strict=True))
    apart = [each for each in places if len(set(each)) > 1]
    return [", ".join(_one_of(each, at, ear) for each in apart) for at in range(len(things))] if apart else None


def _readings_apart(first: Reading, others: Sequence[Reading], ear: InWords) -> list[str]:
    """The first whole, of the others what is otherwise: the place, the figures, or both."""
    placed = any((one.dimension, one.at) != (first.dimension, first.at) for one in others)
    told = [f"{short_label(key_of(first), ear)} {short_value(first, ear)}" if placed else short_value(first, ear)]
    for one in others:
        same = (one.value, one.qualifier) == (first.value, first.qualifier)
        lean = {first.qualifier, one.qualifier} != {None}
        value = "" if same else short_value(one, ear) if lean else beside(first.value, one.value, ear)
        told.append(f"{short_label(key_of(one), ear) if placed else ''} {value}".strip())
    return told


def _one_of(places: Sequence[Coordinate], at: int, ear: InWords) -> str:
    """One of several distances: the first whole, of the others what is otherwise."""
    first, other = places[0], places[at]
    if at and other.start is first.start:
        return beside(first.value, other.value, ear)
    if at and other.value == first.value:
        return way_from(other.start)
    return away(other, ear)


def _unplaced(thing: WholeThing) -> tuple[object, ...]:
    """What of a box or an opening isn't a distance: of two that are alike in it each has its distances in order."""
    points = tuple(each.point for each in thing.places)
    if isinstance(thing, Box):
        return thing.kind, thing.plugged_in, points
    return thing.kind, thing.width, thing.height, thing.diameter, len(thing.xs), points


def _apart(fact: Fact, key: Key | None, ear: InWords) -> Both:
    """A fact as it differs from what is at `key`: with its label where that is another one, or none is named."""
    form, other = ear.eye, key_of(fact)
    if other == key:
        return figures(fact, form), spoken_value(fact, ear)
    if isinstance(fact, WholeThing):
        return f"{other.name}, {figures(fact, form)}", spoken_value(fact, ear)
    named_by_itself = not isinstance(fact, Reading | Diagonal)
    said = spoken_value(fact, ear) if named_by_itself else f"{label(other, ear)}, {spoken_value(fact, ear)}"
    return f"{label(other, form)} {figures(fact, form)}", said


def _where(ways: Sequence[tuple[Fact, ...]], ear: InWords) -> Both | None:
    """One figure, of which the place alone is asked: None where the ways differ in anything else."""
    facts = [way[0] for way in ways if len(way) == 1 and isinstance(way[0], Reading)]
    values = {fact.value for fact in facts if isinstance(fact, Reading)}
    if len(values) != 1 or len(facts) != len(ways) or len(ways) < 3:
        return None
    (value,) = values
    places = [label(key_of(fact), ear.eye) for fact in facts]
    text = f"{ear.eye.with_unit(value)}: where? {', '.join(places[:-1])}, or {places[-1]}?"
    return text, f"{digits(value, ear)}: where?"


def _lean(ways: Sequence[tuple[Fact, ...]]) -> Both | None:
    """What is out of plumb or level by one figure, of which the way alone is asked; None where more is."""
    facts = [way[0] for way in ways if len(way) == 1 and isinstance(way[0], Plumb)]
    plumbs = [fact for fact in facts if isinstance(fact, Plumb)]
    if len(ways) < 2 or len(plumbs) < len(ways) or len({(one.edge, abs(one.value)) for one in plumbs}) > 1:
        return None
    about = Ask.WHICH_LEAN if plumbs[0].edge in {Edge.LEFT, Edge.RIGHT} else Ask.WHICH_SLOPE
    asked = questions.sentence(Question(about, (plumbs[0].edge,)), Form(Unit.INCH))
    return asked, asked


def _telling(ways: list[tuple[Fact, ...]]) -> list[tuple[Fact, ...]]:
    """Of wholes of several places what they don't share, where each has something of its own: that decides."""
    apart = unshared(ways)
    return apart if len(ways) > 1 and all(apart) else ways


def _way(way: tuple[Fact, ...], key: Key | None, ear: InWords, *, alone: bool) -> Both:
    """One of several, with its places; those that read the same stand before one figure. Shorter for the ear where not
    each is one thing alone.
    """
    alike: dict[object, list[Fact]] = {}
    for fact in way:
        alike.setdefault((fact.value, fact.qualifier) if isinstance(fact, Reading) else fact, []).append(fact)
    told = []
    for facts in alike.values():
        text, spoken = _apart(facts[-1], key, ear)
        if ear.brief > 2 and not alone:
            spoken = short_label(key_of(facts[-1]), ear)
        elif not alone and isinstance(facts[-1], Reading):
            spoken = f"{short_label(key_of(facts[-1]), ear)} {short_value(facts[-1], ear)}"
        before = [key_of(fact) for fact in facts[:-1]]
        text = " and ".join([*(label(each, ear.eye) for each in before), text])
        told.append((text, " and ".join([*(short_label(each, ear) for each in before), spoken])))
    return " and ".join(each[0] for each in told), " and ".join(each[1] for each in told)


def _which_of(doubt: Doubt, _: Sequence[Value], ear: InWords) -> Both:
    ways = _telling([way for way in doubt.ways if way])
    if (where := _where(ways, ear)) is not None:
        return where
    if (lean := _lean(ways)) is not None:
        return lean
    first = key_of(ways[0][0])
    same = len({key_of(fact) for way in ways for fact in way}) == 1
    texts, words = [], []
    for way in ways[:4]:
        text, word = _way(way, first if same else None, ear, alone=all(len(each) == 1 for each in ways))
        texts.append(text)
        words.append(word)
    name, said = (label(first, ear.eye), label(first, ear)) if same else ("", "")
    front = f"{name[0].upper()}{name[1:]}: " if name else ""
    texts = texts if name else [f"{texts[0][0].upper()}{texts[0][1:]}", *texts[1:]]
    end, which = ("? Say which.", "? Say which.") if len(ways) > 1 else (": is that right?", _sure(ear))
    which = "? Which?" if len(ways) > 1 and any(len(way) > 1 for way in ways) else which
    alone = [way[0] for way in ways[:4] if len(way) == 1] if len(ways) > 1 else []
    short = _contrast(alone, ear) if alone and len(alone) == len(ways[:4]) else None
    if short is not None:
        said, words, which = short_label(first, ear) if same else said, short, "? Which?"
    elif isinstance(ways[0][0], WholeThing):
        said = ""  # each tells its name
    return (
        f"{front}{', or '.join(texts)}{end}",
        f"{said + ': ' if said else ''}{', or '.join(words)}{which}",
    )


def _fellows(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    call = _call(values)
    text, _ = lead(call, ear)
    fact = call.fact
    assert doubt.value is not None
    assert isinstance(fact, Reading)
    off = fact.value - doubt.value
    more = "more" if off.inches > 0 else "less"
    where = " on another board of this wall" if doubt.concern is Concern.OTHER_BOARDS else ""
    by, by_spoken = abs(off).text_with_unit(ear.unit), digits(abs(off), ear)
    others = "others" if where else "the others"
    why = f", {by_spoken} {more} than {others}"
    rather = ""
    if doubt.other is not None:
        other = _length(doubt.other, fact.value, ear)
        rather, why = f", not {other[0]}", f", not {other[1]}"
    front = _in_digits(call, fact, ear)
    whole, short = f"{front}{why}{_right(ear)}", f"{front}, {more} than {others}{_right(ear)}"
    return (
        f"{text}{rather}, {by} {more} than {ear.eye.length(doubt.value)}{where}: is that right?",
        short if ear.brief and doubt.other is None else fitting(whole, short),
    )


def _instead(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    assert doubt.value is not None
    call = _call(values)
    off = (doubt.other or _value(values)) - doubt.value
    more = "more" if off.inches > 0 else "less"
    where = " at its highest" if doubt.told else ""
    text, front = lead(call, ear)
    if isinstance(call.fact, Reading | Diagonal):
        front = _in_digits(call, call.fact, ear)
    return (
        f"{text}, {abs(off).text_with_unit(ear.unit)} {more} than before{where}: is that right?",
        fitting(
            f"{front}, {digits(abs(off), ear)} {more} than before{where}{_right(ear)}",
            f"{front}, {more} than before{where}{_right(ear)}",
        ),
    )


def _far_from_layout(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    assert doubt.value is not None
    there = as_planned(doubt.value, ear.unit)
    planned = ear.eye.length(there), digits(there, ear)
    if doubt.told:
        side, start = doubt.told[0], "from the left" if doubt.told[0] in {"left", "right"} else "up"
        text = f"{text}, but the layout has its {side} side {planned[0]} {start}: is that right? {_AT_THE_WALL}"
        return text, f"{spoken}, but the layout has its {side} side {planned[1]} {start}{_sure(ear)}"
    return (
        f"{text}, but the layout has {planned[0]} here: is that right? {_AS_LAID_OUT}",
        f"{spoken}, but the layout has {planned[1]}{_sure(ear)}",
    )


def _off_another_board(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    board, *start = doubt.told
    there = f"that is beyond the {start[0]} edge here" if start else "another thing is there"
    if doubt.value is not None:
        at = as_planned(doubt.value, ear.unit)
        there, spoken = f"it is {ear.eye.length(at)} from the {start[0]} here", f"{spoken}, there {digits(at, ear)}"
    return f"{text}, but by board {board} {there}: is that right?", f"{spoken}{_sure(ear)}"


_AS_LAID_OUT = "If it is, the boards beside it stay as they are laid out: call the wall anew where it is another size."
_AT_THE_WALL = "If it is, call it at its wall or ceiling as well: the boards beside it know nothing of it."


def _not_in_layout(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    there, said = "none here", "none"
    if doubt.told:  # the edge that it is beside
        there = f"but the layout has it beside this board, at the {doubt.told[0]} edge. Is it another one?"
        return f"{text}, {there}", f"{spoken}, but the layout has it beside this board. Another one?"
    if doubt.ways:
        there, said = figures(doubt.ways[0][0], ear.eye), spoken_value(doubt.ways[0][0], ear)
    text = f"{text}, but the layout has {there}: is that right? {_AT_THE_WALL}"
    return text, f"{spoken}, but the layout has {said}{_sure(ear)}"


def _small(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    if doubt.other is not None:
        return _not(values, ear, _length(doubt.other, _value(values), ear))
    return _with(", that small: is that right?", lambda ear: f", that small{_sure(ear)}")(doubt, values, ear)


def _unlikely(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    assert doubt.value is not None
    said = f"{spoken}. Is {digits(doubt.value, ear)} right?" if ear.brief < 2 else f"{spoken}{_sure(ear)}"
    return f"{text}. Is {doubt.value.text_with_unit(ear.unit)} right?", said


def _off_what_stands(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    """A yes is to what stands there: nothing is cut from what doesn't."""
    (edge, off, *stands), call = doubt.told, _call(values)
    there = " and ".join(stands).replace(Neighbor.OPEN, "open end") or Neighbor.BOARD
    text, spoken = lead(call, ear)
    if isinstance(call.fact, WholeThing):
        way = "{}: measured from the " + f"{there} at the {edge}, and not from the {off}?"
    else:
        way = "{}. Something was measured from the " + f"{off} at the {edge}, where the {there} is then: is that right?"
    return way.format(text), way.format(spoken)


def _at_odds(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    if not doubt.told:
        calls = [one for one in values if isinstance(one, Call) and one.number in {doubt.call, *doubt.calls}]
        text, spoken = (", and ".join(lead(one, ear)[way] for one in calls) for way in (0, 1))
        return f"{text}: is that right?", f"{spoken}{_sure(ear)}"
    if doubt.told[0] in set(Edge):
        return _off_what_stands(doubt, values, ear)
    course, edge, there = doubt.told
    where = "above" if edge == "top" else "below"
    board = "a board" if there == "board" else f"the {there}"
    told = f"The {course} course, and {board} {where} it"
    return f"{told}: is that right?", f"{told}{_sure(ear)}"


def _odd(doubt: Doubt, _: Sequence[Value], ear: InWords) -> Both:
    assert doubt.odd is not None
    form = ear.eye
    asked, why = questions.ask_odd(doubt.odd, form), questions.why_odd(doubt.odd, form)
    text = f"{asked} {first_large(why)}." if doubt.odd.odd not in questions.ASKED_WITH_WHY else asked
    return text, questions.ask_odd_briefly(doubt.odd, ear) if ear.brief else questions.ask_odd(doubt.odd, ear)


def _already_cut(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    used = figures(doubt.ways[0][0], ear.eye)
    text, spoken = lead(_call(values), ear)
    by, step = doubt.told
    return (
        f"Already cut with {used}: {by} ticked step {step}. Change to {text} anyway?",
        f"That is already cut. Change to {spoken} anyway?",
    )


def _same_box(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    free = doubt.told[0]
    return (
        f"{text}. There is already one by that name: does this replace it? If not, call it {free}.",
        f"{spoken}{_REPLACES[min(ear.brief, 2)]}",
    )


def _heard(call: Call, ear: InWords) -> Both:
    """A value that was read back just before: where there is no time, the name of a box or an opening tells it."""
    text, spoken = lead(call, ear)
    if isinstance(call.fact, WholeThing) and ear.brief > 2:
        spoken = named(call.fact.name, ear)
    return text, spoken


def _contradiction(_: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = _heard(_call(values), ear)
    end = ": you said no. Right?" if ear.brief else _TWICE
    return f"{text}{_TWICE}", f"{spoken}{end}"


_TWICE = ": you said no, then the same again. Is it right?"
_REPLACES = (". There is already one by that name: does this replace it?", ": in place of the one there?", ": instead?")


def _objected(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    call = _call(values)
    text, spoken = _heard(call, ear)
    if isinstance(call.fact, Reading) and call.fact.qualifier is None:
        spoken = _in_digits(call, call.fact, ear)
    by = doubt.told[0] if doubt.told else "somebody"
    end = f": {ear.words(by)} said no. Right?" if ear.brief < 2 else ": right?"
    return f"{text}: {by} said no. Is it right?", f"{spoken}{end}"


def _lacks(doubt: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    """The part that is asked for, with the figure that it is of and, where there are more, the name of the thing."""
    call, lack = _call(values), doubt.lack
    thing, several = call.fact, any(isinstance(each, int) for each in values)
    assert lack is not None
    assert isinstance(thing, Incomplete)
    asked = questions.of_part(thing, lack)
    if lack is Lack.KIND and not several:
        return asked, asked
    open_ones = {
        Lack.KIND: thing.distances,
        Lack.START: [each for each in thing.distances if each.start is None],
        Lack.POINT: [each for each in thing.distances if each.point is None],
    }
    of_it = open_ones.get(lack, ())[:1]
    shown = [distance(each, ear.eye) if several else ear.eye.length(each.value) for each in of_it]
    spoken = [spoken_value(Reading(each.value), ear) for each in of_it]
    if several or not of_it:
        shown, spoken = [title(call, ear.eye), *shown], [title(call, ear), *spoken]
    return f"{first_large(', '.join(shown))}: {first_small(asked)}", f"{', '.join(spoken)}: {first_small(asked)}"


def _leave_out(_: Doubt, values: Sequence[Value], ear: InWords) -> Both:
    text, spoken = lead(_call(values), ear)
    end = "Say yes to leave it out, or say it again."
    return f"Not taken: {text}. {end}", f"Not taken: {spoken}. {'Leave it out?' if ear.brief else end}"


_QUESTIONS: Mapping[Concern, Callable[[Doubt, Sequence[Value], InWords], Both]] = {
    Concern.UNSURE: _with(": is that right?"),
    Concern.LOST: _with(": is that right?"),
    Concern.RIVAL: _rival,
    Concern.TWIN: _twin,
    Concern.FELLOWS: _fellows,
    Concern.OTHER_BOARDS: _fellows,
    Concern.INSTEAD: _instead,
    Concern.SMALL: _small,
    Concern.UNLIKELY: _unlikely,
    Concern.FAR_FROM_LAYOUT: _far_from_layout,
    Concern.NOT_IN_LAYOUT: _not_in_layout,
    Concern.OFF_ANOTHER_BOARD: _off_another_board,
    Concern.AT_ODDS: _at_odds,
    Concern.ODD: _odd,
    Concern.ALREADY_CUT: _already_cut,
    Concern.SAME_BOX: _same_box,
    Concern.OBJECTED: _objected,
    Concern.CONTRADICTION: _contradiction,
    Concern.WHICH_OF: _which_of,
    Concern.MISPLACED: _which_of,
    Concern.SWAPPED: _rival,
    Concern.LACKS: _lacks,
    Concern.TESTED: tested,
    Concern.LAST: lambda doubt, values, ear: last_check("".join(doubt.told), values, ear),
    Concern.LEAVE_OUT: _leave_out,
}
