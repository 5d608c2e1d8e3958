"""Everything that the dialogue tells, each notice once for the eye and once for the ear."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from fieldvoice.records.facts import Fact, Key, key_of
from fieldvoice.records.ledger import AGAIN, AnsweredBy, Call, Doubt, Notice, OpenItem, Standing, Tell, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Incomplete, Reading, Slot, WholeThing
from fieldvoice.records.plan import Missing, NoPlan
from fieldvoice.records.said import Say
from fieldvoice.records.trouble import Hindrance, Trouble, Wrong
from fieldvoice.records.utterance import Ask, Question, Refusal
from fieldvoice.wording import needs, questions, warnings
from fieldvoice.wording.boards import OF_BOARDS, item_text
from fieldvoice.wording.cautions import OF_CIRCUITS
from fieldvoice.wording.doubts import question
from fieldvoice.wording.fastening import told_fasteners, told_weight
from fieldvoice.wording.forms import Both, Form, InWords, Worded, each, first_large, first_small, fitting, joined, says
from fieldvoice.wording.last_check import together
from fieldvoice.wording.surfaces import OF_SURFACES, at_work
from fieldvoice.wording.troubles import sentence
from fieldvoice.wording.values import calls_in, figures, label, lead, note, spoken_value, strings_in, title

HELP = (
    "Call a reading with its place: top forty six and seven eighths. A box: box one, single gang, center thirty from "
    "left, forty eight down. To fix the last one, say no and the right value; undo takes it back. Ask what's missing. "
    "Say done at the end, next board to go on."
)

_PLAIN: Mapping[Tell, str] = {
    Tell.TAKEN: "Taken.",
    Tell.ANSWER_UNCLEAR: "I didn't get a clear answer, so nothing changed.",
    Tell.NOTHING_OPEN: "Nothing is waiting for an answer. Say undo, or change and the place.",
    Tell.ORDER_OFF: "Then nothing was done. Say it another way.",
    Tell.NOTHING_TO_UNDO: "You have nothing to undo.",
    Tell.NOTHING_CAME: "Nothing came of that, so nothing is undone. Say undo once more for what was called before it.",
    Tell.DANGER_STAYS: "Word of danger stays until somebody tests. Undo again takes back the call before it.",
    Tell.WHICH_DIAGONAL: "Does that diagonal rise or fall to the right? Say it with the number, as in diagonal rising "
    "one hundred and seven.",
    Tell.SAME_AS_WHAT: "The same as what? Say the value with its place.",
    Tell.WHICH_VALUE: "Which one should change? Say its place and the number.",
    Tell.NO_PLACE_LEFT: "Every place has a reading already. Which one should change? Say its place and the number.",
    Tell.WHICH_EDGE: "Which edge gets that clearance? Say it with the edge.",
    Tell.ANSWER_ALONE: "Answer first, by itself. Then say that again.",
    Tell.SAY_WHOLE: "Not taken: part of it is missing. Say the whole thing again.",
    Tell.NO_LEVEL: "I can't work out that height: there is no such box, or it was measured to the edge of a different "
    "size of box. Say the distance.",
    Tell.DEAD_ALONE: "Dead alone isn't enough. Say dead and tested once a tester has shown it, or live.",
    Tell.TEST_ON_BOARD: "Not taken for a wall or a ceiling. Say dead and tested on the board, once it is called there.",
    Tell.DEAD_TOGETHER: "What you said about the circuit isn't taken: say it by itself, once the box is read back.",
    Tell.WHICH_BOTH: "This board has a different number of boxes, so none was taken as dead. Which ones did you test? "
    "Say box one and two are dead and tested, or all boxes.",
    Tell.NO_BOX_HERE: "There is no box on this board, so nothing was taken.",
    Tell.HOLDING: "Holding: nothing is taken. Say resume to go on.",
    Tell.STILL_HOLDING: "Still holding.",
    Tell.ALL_STEPS_DONE: "Every step of this board is ticked.",
    Tell.READ_CAUTIONS: "Read the cautions once before the first cut, then say understood.",
    Tell.CAUTIONS_READ: "Cautions read.",
    Tell.AS_LOUD: "This loud now.",
    Tell.AS_SLOW: "This fast now.",
    Tell.LISTENING: "Listening.",
    Tell.ONE_BY_ONE: "One by one: just call the number for each place as I ask. Say stop one by one to end it.",
    Tell.NO_ONE_BY_ONE: "No longer one by one. Call each reading with its place.",
    Tell.HELP: HELP,
    Tell.BY_BOARD: "Fasteners and weights are a board's. Say next board, then ask; a wall's paper has them all.",
    Tell.NOTHING_SAID: "Nothing has been said yet.",
    Tell.NOT_SETTLED: "This plan isn't settled yet, so no step was ticked. Say done to hear what is still open.",
}

_IN_FEWER_WORDS: Mapping[Tell, str] = {
    Tell.HELP: "Help is on the screen.",
    Tell.DEAD_ALONE: "Dead alone isn't enough.",
    Tell.DEAD_TOGETHER: "What you said of the circuit isn't taken.",
    Tell.WHICH_BOTH: "None was taken as dead. Which ones did you test?",
}
"""The same aloud, where there is no time for more."""

NOT_KEPT = "Not being kept: see the screen."
"""What the voice says of a journal that fails."""


def say(notice: Notice, unit: Unit) -> Say:
    """One notice, worded."""
    return worded(notice, InWords(unit))


def worded(notice: Notice, ear: InWords) -> Say:
    """One notice, as briefly as `ear` has to be."""
    return Say(*_both(notice, ear), notice.safety)


def text(notice: Notice, unit: Unit) -> str:
    """One notice for the eye."""
    return _both(notice, InWords(unit))[0]


def answer(notices: Iterable[Notice], unit: Unit) -> str:
    """All of an answer for the eye."""
    return " ".join(text(notice, unit) for notice in notices)


def _both(notice: Notice, ear: InWords) -> Both:
    same = _PLAIN.get(notice.tell)
    if same is not None:
        return same, _IN_FEWER_WORDS.get(notice.tell, same) if ear.brief else same
    shown, spoken = _WORDED[notice.tell](notice.values, ear)
    return first_large(shown), spoken


def read_back(values: Sequence[Value], ear: InWords) -> Both:
    """One value read back, the place first, and what it takes the place of; the same called twice may have been meant
    for another place, so that is said.
    """
    call, *others = calls_in(values)
    rest = [one for one in others if one.number not in call.displaces]
    front, spoken = lead(call, ear)
    extra = note(call.fact, ear.unit)
    front += f" ({extra})" if extra else ""
    off = [lead(one, ear) for one in others if one not in rest]
    gone, gone_aloud = ([first_small(each[way]) for each in off] for way in (0, 1))
    if rest and rest[0].fact == call.fact:
        front, spoken = f"{front}, the same again", f"{spoken}, the same again"
    elif rest and rest[0].fact is not None:
        whose = f"{rest[0].by}'s " if rest[0].by != call.by else ""
        gone.insert(0, f"{whose}{figures(rest[0].fact, ear.eye)}")
        gone_aloud.insert(0, f"{whose}{_was(rest[0].fact, ear)}")
    if not gone:
        return f"{front}.", f"{spoken}."
    changed = f"{spoken}, changed." if ear.brief < 5 else f"{spoken}."
    aloud = changed if ear.brief else fitting(f"{spoken}, instead of {' and '.join(gone_aloud)}.", changed)
    return f"{front}, instead of {' and '.join(gone)}.", aloud


def _was(fact: Fact | Incomplete, ear: InWords) -> str:
    return spoken_value(fact, ear) if isinstance(fact, Reading) else figures(fact, ear)


def _question(values: Sequence[Value], ear: InWords) -> Both:
    doubt, *rest = values
    assert isinstance(doubt, Doubt)
    text, spoken = question(doubt, rest, ear)
    calls = calls_in(rest)
    first = next((call for call in calls if call.number == doubt.call), None)
    old = next((call for call in calls if first is not None and call.number == first.replaces), None)
    if first is None or old is None or old.fact is None or old.fact == first.fact:
        return text, spoken
    if isinstance(old.fact, Incomplete):
        return text, spoken  # the same call, a part shorter
    ways = doubt.ways or ((first.fact,),)
    if any(isinstance(fact, Reading) and key_of(fact) != key_of(old.fact) for way in ways for fact in way):
        return text, spoken  # it may be meant for another place, where that never stood
    whose = f"{old.by}'s " if old.by != first.by else ""
    more = f" It was {whose}{_was(old.fact, ear)}."
    return f"{text} It was {whose}{figures(old.fact, ear.eye)}.", fitting(spoken + more, spoken)


def _led(front: str, short: str) -> Worded:
    def worded(values: Sequence[Value], ear: InWords) -> Both:
        asked, spoken = _question(values, ear)
        return f"{front} {asked}", f"{(front, f'{short}:', '')[min(ear.brief, 2)]} {spoken}".strip()

    return worded


def _answer_first(values: Sequence[Value], ear: InWords) -> Both:
    """With what may be said, unless the question names it; to the ear in full once, and then by what it is about."""
    (doubt,) = (value for value in values if isinstance(value, Doubt))
    asked, spoken = _question([value for value in values if value != AGAIN], ear)
    how = " Say yes, no, or the right value." if doubt.answered_by is AnsweredBy.YES_OR_NO else ""
    if AGAIN in values and doubt.call is not None and (about := calls_in(values)):
        one = about[0]
        spoken = title(one, ear) if one.fact is None or isinstance(one.fact, Incomplete) else lead(one, ear)[1]
        return f"Not taken yet, answer first: {asked}{how}", f"Answer first: {spoken}?"
    whole, short = f"Answer first: {spoken}{how}", f"Answer first: {spoken}"
    return f"Not taken yet, answer first: {asked}{how}", fitting(whole, short) if ear.brief < 2 else spoken


def _what_is_it(values: Sequence[Value], ear: InWords) -> Both:
    calls = calls_in(values)
    before = [call for call in calls if call.standing is Standing.REPLACED]
    stand = [call for call in calls if call.in_force or call.standing is Standing.READ_BACK]
    rest = [call for call in calls if call not in stand and call not in before]
    out = [call for call in rest if not call.waits] or rest
    asked = [call for call in rest if call not in out]
    text, spoken = (f"Not taken: {', '.join(title(call, form) for call in out)}" for form in (ear.eye, ear))
    if ear.brief > 1:
        spoken = "Not taken"
    for there, end in ((before, "is out too"), (asked, "is in question again"), (stand, "stands")):
        for call in there:
            front, aloud = lead(call, ear)
            text, spoken = f"{text}. {front} {end}", f"{spoken}. {aloud} {end}" if ear.brief < 3 else spoken
    return f"{text}. What is it?", f"{spoken}. What is it?"


def _asked_another(values: Sequence[Value], ear: InWords) -> Both:
    who, *rest = values
    asked, spoken = _question(rest, ear)
    whom = f"{ear.words(who)} is asked, not you"
    return f"{who} is asked, not you: {asked}", f"{whom}: {spoken}" if ear.brief < 3 else f"{whom}."


def _taken_back(values: Sequence[Value], ear: InWords) -> Both:
    """What is out, and what stands instead; aloud the figures of what stands alone."""
    board, *rest = values
    eye = ear.eye
    parts: list[Both] = []
    calls = calls_in(rest)
    back = [call for call in calls if call.in_force or call.standing is Standing.READ_BACK]
    asked = [call for call in calls if call.standing is Standing.DOUBTFUL]
    parts += [_and_also(lead(call, ear), " is in question again") for call in asked]
    for call in calls:
        if call in back or call in asked:
            continue
        now = next((each for each in back if each.key == call.key), None)
        if now is not None and now.fact is not None:
            parts.append(_stands_again(call, now.fact, ear))
        elif call.fact is not None:
            parts.append((f"{title(call, eye)}, {figures(call.fact, eye)}, is out", f"{title(call, ear)} is out"))
        else:
            parts.append((f"{title(call, eye)} is out", f"{title(call, ear)} is out"))
    keys = {call.key for call in calls if call not in back and call not in asked}
    parts += [_stands_again(call, call.fact, ear) for call in back if call.key not in keys and call.fact is not None]
    texts, words = ([part[at] for part in parts] + _off(rest, form) for at, form in ((0, eye), (1, ear)))
    if ear.brief > 1 and len(words) > ear.brief - 1:  # one or two of them, and how many more
        words = [*words[: 4 - ear.brief], f"{ear.number(len(words) - max(4 - ear.brief, 0))} more"]
    if not texts:  # what is told beside it says all
        return f"Undone on {at_work(board)}.", "Undone."
    return f"Undone on {at_work(board)}: {'; '.join(texts)}.", f"Undone: {'; '.join(words)}."


def _headed(values: Sequence[Value], form: Form) -> str:
    return first_large(form.words(at_work(values[0])))


def _off(values: Sequence[Value], form: Form) -> list[str]:
    told = [f"{form.words(box)}: nobody has said that it is dead and tested" for box in strings_in(values)]
    return told + [f"the tick of step {form.number(step)} is off" for step in values if isinstance(step, int)]


def _and_also(both: Both, end: str) -> Both:
    return both[0] + end, both[1] + end


def _stands_again(call: Call, now: Fact | Incomplete, ear: InWords) -> Both:
    name = "" if isinstance(now, WholeThing) else f"{title(call, ear)} is "
    text = f"{title(call, ear.eye)} is {figures(now, ear.eye)} again"
    return text, f"{name}{spoken_value(now, ear)} again"


def _ticks_off(values: Sequence[Value], form: Form) -> str:
    numbers = [form.number(step) for step in values if isinstance(step, int)]
    steps = f"steps {joined(numbers)} are" if len(numbers) > 1 else f"step {numbers[0]} is"
    return f"The plan has changed: {steps} no longer ticked. Look at what is cut."


def _let_go(values: Sequence[Value], form: Form) -> str:
    (count,) = (each for each in values if isinstance(each, int))
    return f"{form.counted(count, 'call was', 'calls were')} let go while holding. Say what is still to be taken."


def _step_done(values: Sequence[Value], form: Form) -> str:
    number, *before = (form.number(each) for each in values if isinstance(each, int))
    still = f" Not ticked before it: {joined(before)}." if before else ""
    return f"Step {number} done.{still}"


def _changed_since(values: Sequence[Value], form: Form) -> str:
    (call,) = calls_in(values)
    return f"{title(call, form)} has been changed by {form.words(values[0])} since. Say change and its place."


def _called_since(values: Sequence[Value], ear: InWords) -> Both:
    (waited, waited_aloud), (now, now_aloud) = (lead(call, ear) for call in calls_in(values))
    way = "Not taken: {}, since {} was called behind it."
    return way.format(waited, now), way.format(waited_aloud, now_aloud)


def _told_by_another(values: Sequence[Value], form: Form) -> str:
    one, now = calls_in(values)
    return f"{title(one, form)} took its figure from {label(now.key, form)}, which has changed."


def _stays_at_wall(values: Sequence[Value], form: Form) -> str:
    return f"{title(calls_in(values)[0], form)} isn't measured from this board: it waits for the one that it is."


def _elsewhere(values: Sequence[Value], form: Form) -> str:
    return f"{title(calls_in(values)[0], form)} isn't on this board: it waits for the one that it is on."


def _from_this_board(values: Sequence[Value], form: Form) -> str:
    name = title(calls_in(values)[0], form)
    return f"{name} is on this board, but not measured from its edges: call it again from those."


def _taken_out(values: Sequence[Value], form: Form) -> str:
    return f"Taken out: {title(calls_in(values)[0], form)}."


def _dismissed(values: Sequence[Value], ear: InWords) -> Both:
    calls, form = calls_in(values), ear.eye
    fact = calls[0].fact
    shown, said = (" and ".join(title(call, each) for call in calls) for each in (form, ear))
    shown = shown if fact is None else f"{shown}, {figures(fact, form)}"
    return f"Left out: {shown}.", f"Left out: {said}."


def _utterance_asked(values: Sequence[Value], form: Form) -> str:
    about, *rest = values
    return questions.sentence(Question(Ask(str(about)), tuple(_told(each) for each in rest)), form)


def _told(value: Value) -> str | int | Length | Edge:
    assert isinstance(value, str | int | Length)
    return value


def _refused(values: Sequence[Value], form: Form) -> str:
    (why,) = values
    assert isinstance(why, Refusal)
    return questions.refusal(why, form)


def _two_values(values: Sequence[Value], form: Form) -> str:
    key, first, second = values
    assert isinstance(key, Key)
    both = " and ".join(figures(each, form) for each in (first, second) if _is_fact(each))  # type: ignore[arg-type]
    return f"Two values for {label(key, form)}, {both}, so neither was taken. Say the right one with its place."


def _is_fact(value: Value) -> bool:
    return not isinstance(value, str | int | Key | Call)


def _which_place(values: Sequence[Value], form: Form) -> str:
    (at,) = values
    where = f"the reading at {form.length(at)}" if isinstance(at, Length) else f"the {at} one"
    return f"Is {where} a width or a height? Say width or height with the number."


def _next_place(values: Sequence[Value], _: Form) -> str:
    dimension, at = map(str, values)
    return f"Middle {dimension}?" if at == Slot.MIDDLE else f"{at.capitalize()}?"


def _rip(values: Sequence[Value], ear: InWords) -> Both:
    (value,) = values
    assert isinstance(value, Length)
    said = "isn't taken: is that the opening or the board? I need the opening. Call it at the top and bottom."
    return f"A rip of {ear.eye.length(value)} {said}", f"A rip {said}"


def _draft(values: Sequence[Value], ear: InWords) -> Both:
    items = [value for value in values if isinstance(value, OpenItem)]
    shown = [item_text(item, ear) for item in items]
    text = f"Still open: {'; '.join(each[0] for each in shown)}."
    first = max(2 - ear.brief, 0)
    many = f"{ear.number(len(shown) - first)}{' more' if first else ''}" if len(shown) > first else ""
    return text, f"Still open: {', and '.join(filter(None, ('; '.join(each[1] for each in shown[:first]), many)))}."


def _needs(lead_in: str) -> Worded:
    def worded(values: Sequence[Value], ear: InWords) -> Both:
        wanted = [value for value in values if isinstance(value, Missing)]
        text = f"{lead_in}: {'; '.join(needs.said(each, ear.eye) for each in wanted)}."
        return text, f"{lead_in}: {'; '.join(needs.what(each, ear) for each in wanted[: max(3 - ear.brief, 1)])}."

    return worded


def _waiting(values: Sequence[Value], ear: InWords) -> Both:
    by, *rest = values
    asked, spoken = _question(rest, ear)
    return f"{by} still has to answer: {asked}", f"Still to answer: {spoken}" if ear.brief < 2 else spoken


def _already_cut(values: Sequence[Value], form: Form) -> str:
    key, used, by, number = values
    assert isinstance(key, Key)
    assert isinstance(number, int)
    front = f"Already cut with {label(key, form)} at {figures(used, form)}"  # type: ignore[arg-type]
    return f"{front}: {form.words(by)} ticked step {form.number(number)}."


def _put_off(values: Sequence[Value], ear: InWords) -> Both:
    (call,) = calls_in(values)
    return f"{title(call, ear.eye)} waits for its missing part.", f"{title(call, ear)} waits."


def _boxes_there(values: Sequence[Value], form: Form) -> str:
    boxes = [form.words(name) for name in strings_in(values)]
    there = f"{joined(boxes)} {'is' if len(boxes) == 1 else 'are'} on this board"
    return f"Not taken: {there}. To take one out, say scratch and its name."


def _widths_there(values: Sequence[Value], ear: InWords) -> Both:
    told = [lead(one, ear) for one in calls_in(values)]
    text, spoken = (", ".join(each[way] for each in told) for way in (0, 1))
    more = "To take one out, say scratch and its place."
    return f"A full sheet isn't taken: {first_small(text)} is called. {more}", fitting(
        f"A full sheet isn't taken: {first_small(spoken)} is called. {more}", "A full sheet isn't taken."
    )


def _why(values: Sequence[Value], form: Form) -> str:
    (why,) = values
    assert isinstance(why, Hindrance | NoPlan)
    return sentence(why, form)


def _entries_lost(values: Sequence[Value], _: InWords) -> Both:
    return sentence(Trouble(Wrong.LOST_UNCONFIRMED, numbers=strings_in(values))), ENTRIES_LOST


ENTRIES_LOST = "Part of this job is lost. Don't cut yet."
"""The same for the voice."""


_WORDED: Mapping[Tell, Worded] = {
    Tell.READ_BACK: read_back,
    Tell.TOGETHER: together,
    Tell.QUESTION: _question,
    Tell.CONFIRMED: read_back,
    Tell.NOT_TAKEN_WHAT_IS_IT: _what_is_it,
    Tell.ANSWER_FIRST: _answer_first,
    Tell.NAMES_ANOTHER: _led("That names something else, so it isn't a yes:", "Not a yes"),
    Tell.PICK_ONE: _led("That doesn't say which:", "Which"),
    Tell.SAY_THE_PART: _led("Only one part is missing:", "One part"),
    Tell.ASKED_ANOTHER: _asked_another,
    Tell.TAKEN_BACK: _taken_back,
    Tell.DISMISSED: _dismissed,
    Tell.CHANGED_SINCE: each(_changed_since),
    Tell.CALLED_SINCE: _called_since,
    Tell.TAKEN_OUT: each(_taken_out),
    Tell.TOLD_BY_ANOTHER: each(_told_by_another),
    Tell.NOT_THERE: says("“{0}” isn't on this board, so nothing was taken out. Say its place, and width or height."),
    Tell.MORE_THAN_ONE: says(
        "“{0}” is more than one thing, so nothing was taken out. Say its place, and width or height."
    ),
    Tell.UTTERANCE_ASKED: each(_utterance_asked),
    Tell.REFUSED: each(_refused),
    Tell.NO_USE: says("I understood “{0}”, but can't use it here. Not taken."),
    Tell.ORDER_BACK: says("“{}” is taken back."),
    Tell.BOXES_THERE: each(_boxes_there),
    Tell.WIDTHS_THERE: _widths_there,
    Tell.KEPT_NOT_TAKEN: says("Not taken: “{0}”. Say it again."),
    Tell.ELSEWHERE: each(_elsewhere),
    Tell.FROM_THIS_BOARD: each(_from_this_board),
    Tell.STAYS_AT_WALL: each(_stays_at_wall),
    Tell.PUT_OFF: _put_off,
    Tell.WHICH_PLACE: each(_which_place),
    Tell.NEXT_PLACE: each(_next_place),
    Tell.RIP: _rip,
    Tell.TWO_VALUES: each(_two_values),
    Tell.NO_BOX: says("There is no {0} on this board, so nothing was changed."),
    Tell.ORDER_UNSURE: says("Was that “{0}”? Say it again."),
    Tell.ORDER_RIGHT: says("Was that “{0}”?"),
    Tell.NOT_NEXT_YET: says("Not at the next board yet: say next board again after this."),
    Tell.DRAFT: _draft,
    Tell.UNCALLED: warnings.uncalled,
    Tell.STEPS: says("The plan has {0} steps."),
    Tell.NO_PLAN: each(_why),
    Tell.NEEDS: _needs("Still needed"),
    Tell.BETTER: _needs("Better to know too"),
    Tell.WAITING: _waiting,
    Tell.NOTHING_MISSING: says("Nothing is missing on board {0}."),
    Tell.FASTENERS: each(told_fasteners),
    Tell.WEIGHT: told_weight,
    Tell.NOT_PLANNED_YET: says("Board {0} has no plan yet. Ask what's missing."),
    Tell.NO_RULE: each(_why),
    Tell.READ_ALL: each(lambda values, form: f"{_headed(values, form)}."),
    Tell.NOTHING_YET: each(lambda values, form: f"{_headed(values, form)} has nothing yet."),
    Tell.NO_STEP: says("There is no step {0}; this plan has {1}."),
    Tell.TICKS_OFF: each(_ticks_off),
    Tell.STEP_BEFORE: says("Step {0} is already ticked."),
    Tell.STEP_DONE: each(_step_done),
    Tell.ALREADY_CUT: each(_already_cut),
    Tell.NOT_CUT_FROM: each(lambda values, form: f"There is no plan yet, so no step to tick. {_why(values, form)}"),
    Tell.NO_LAYOUT: each(lambda values, form: f"{_why(values, form)} Or undo what was called last."),
    Tell.LET_GO: each(_let_go),
    Tell.ENTRIES_LOST: _entries_lost,
    **OF_CIRCUITS,
    **OF_BOARDS,
    **OF_SURFACES,
}
