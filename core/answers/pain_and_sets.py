"""Pain and sets out of what was said: words bound to numbers, changes of mind followed, the rest left to be asked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.answers.items import Item
from core.answers.values import LABELS, SETTINGS, Value, bind, both_arms_alike, values_of, with_shares
from core.answers.wordlists import Says
from core.understanding import Question, Unclear

_MOST_PAIN = 10
_MOST_SETS = 20  # more than that in a day are something else; judgement
_CUES = {Says.CHANGE, Says.REPAIR, Says.NO, Says.PAIN_WRONG, Says.SETS_WRONG}
_REPAIRS = {Says.REPAIR, Says.PAIN_WRONG, Says.SETS_WRONG}
_QUESTION_OF = {Says.PAIN: Question.PAIN, Says.SETS: Question.SETS, Says.PAIN_WRONG: Question.PAIN,
                Says.SETS_WRONG: Question.SETS, Says.DID: Question.SETS, Says.DONE: Question.SETS}  # fmt: skip
_MOST_VALUES = 30  # of one text; more are no answer
_NEAR = 3  # tokens between "meant" and the number meant

Settled = tuple[int | None, Unclear | None]  # a number, or why there is none; both None: nothing was said


@dataclass(frozen=True, slots=True)
class Answers:
    """What was said of each question. `repairs`: an answer given earlier is to be changed.

    `instead`: what was given in place of an answer: another day's number, a number of something else, or nothing.
    """

    pain: Settled
    sets: Settled
    repairs: bool = False
    instead: Unclear = Unclear.NOTHING


def find_answers(items: Sequence[Item], question: Question, prescribed: int) -> Answers:
    """Pain and sets as clearly given by one text, for the open question and the prescribed number of sets."""
    values = with_shares(values_of(items, question, prescribed), items, prescribed)
    if len(values) > _MOST_VALUES:
        return Answers((None, Unclear.SEVERAL), (None, Unclear.SEVERAL))
    values = _with_words(items, values, prescribed)
    repairs = _repairs(items, values)
    loose_to = _open(question, prescribed, repairs)
    values = _placed(_after_changes(items, values, loose_to), loose_to)
    pain = _pain([value for value in values if value.to is not Question.SETS], items)
    sets = _sets([value for value in values if value.to is not Question.PAIN], items, prescribed)
    sets = _with_yes_or_no(items, values, pain, sets, question, prescribed)
    instead = {Says.OTHER_DAY: Unclear.OTHER_DAY, Says.UNIT: Unclear.OTHER_UNIT}
    return Answers(pain, sets, repairs, _attempt(items, instead) or Unclear.NOTHING)


def _open(question: Question, prescribed: int, repairs: bool) -> Question:
    """The question that a number without any word answers."""
    if repairs and question is Question.SETS:
        return Question.PAIN  # what can be changed by now is the pain
    return Question.PAIN if not prescribed and question is Question.BOTH else question


def _with_words(items: Sequence[Item], values: list[Value], prescribed: int) -> list[Value]:
    """Values with their question where a word tells it; those of other days and other parts of the body left out."""
    labels = bind(items, [value.place for value in values], LABELS)
    settings = bind(items, [value.place for value in values], SETTINGS)
    has_average = Says.AVERAGE in settings.values()
    kept = []
    for value in values:
        setting = settings.get(value.place)
        if setting is Says.OTHER_DAY or labels.get(value.place) is Says.ELSEWHERE:
            continue
        if setting in (Says.EARLIER, Says.SIDE):
            value = replace(value, earlier=setting is Says.EARLIER, side=setting is Says.SIDE)
        part = setting in (Says.PART, Says.SIDE)
        if setting is Says.WORST or (has_average and part):
            if has_average:
                continue
            value = replace(value, number=None, why=Unclear.SEVERAL, to=value.to or Question.PAIN)
        kept.append(_labelled(value, labels.get(value.place), part, prescribed))
    return kept


def _labelled(value: Value, label: Says | None, part: bool, prescribed: int) -> Value:
    to = _QUESTION_OF.get(label) if label else None
    if label is Says.DONE and (value.number is None or value.number > prescribed):
        to = None  # "done 7" when 4 were prescribed: done, and a 7
    if value.to is Question.SETS and to is Question.PAIN and value.why is Unclear.TOTAL_DIFFERS:
        return replace(value, to=Question.PAIN, why=Unclear.RANGE, part=part)  # "pain 3/5"
    to = value.to or to
    return replace(value, to=to, part=part, own=label)


def _repairs(items: Sequence[Item], values: Sequence[Value]) -> bool:
    """True when "meant 6", "i said 4 but it was 6" or "6 not 4" stand with nothing in this text to change."""
    if not values:
        return False
    first, last = values[0], values[-1]
    if any(value.earlier for value in values[:-1]):
        return True
    for place, item in enumerate(items):
        near = items[first.place].start - item.end <= _NEAR
        if item.says in _REPAIRS and place < first.place and (near or item.says is not Says.REPAIR):
            return True
        if item.says is Says.NOT and first is last and first.to is not Question.SETS:
            return first.number is not None
    return False


def _after_changes(items: Sequence[Item], values: Sequence[Value], loose_to: Question) -> list[Value]:
    """A value after "no", "sorry", "i mean" takes the place of the one before, or of the last to the same question."""
    kept: list[Value] = []
    for value in values:
        if kept and _gives_way(items, kept[-1], value):
            value = value if value.to else replace(value, to=kept[-1].to)
        same = [old for old in kept if _same(old, value, loose_to) and _gives_way(items, old, value)]
        if same:
            kept.remove(same[-1])
        kept.append(value)
    return kept


def _same(old: Value, new: Value, loose_to: Question) -> bool:
    """Do both answer one question? A value without a word answers the open one."""
    return old.to is new.to or (old.to is None and new.to is loose_to)


def _gives_way(items: Sequence[Item], old: Value, new: Value) -> bool:
    between = {item.says for item in items[old.place + 1 : new.place]}
    return old.earlier or bool(between & _CUES) or (old.why is Unclear.RANGE and Says.DECIDES in between)


def _placed(values: list[Value], question: Question) -> list[Value]:
    """Values without a word of their own given to a question: a lone number is pain, two are pain, then sets."""
    values = both_arms_alike(_without_strays(values, question), question)
    loose = [value for value in values if value.to is None and not value.either]
    if not loose:
        return values
    to = _places(loose, values, question)
    changed = dict(zip((value.place for value in loose), to, strict=True))
    return [
        replace(value, to=changed[value.place], why=value.why) if value.place in changed else value for value in values
    ]


def _without_strays(values: list[Value], question: Question) -> list[Value]:
    """ "3, all done, im 56 today": beside a plain answer a number beyond any scale is something else."""
    loose = [value for value in values if value.to is None]
    strays = [value for value in loose if value.number is not None and value.number > _MOST_PAIN]
    settled = any(value.to is Question.SETS for value in values)
    if question is Question.BOTH and settled and _told(values, Question.PAIN):
        return [value for value in values if value not in loose or value.why or value.part or value.is_none]
    if question is Question.BOTH and settled and len(loose) == len(strays) + 1:
        return [value for value in values if value not in strays]
    return values


def _told(values: Sequence[Value], question: Question) -> bool:
    """Is there one number whose own word gives it to this question? "No pain" beside a number is no such word."""
    own = [value for value in values if value.to is question]
    return len(own) == 1 and bool(own[0].number)


def _places(loose: list[Value], values: list[Value], question: Question) -> list[Question | None]:
    """A question for each loose value; None stands for both: it cannot be told which it answers."""
    taken = {value.to for value in values if value.to is not None}
    if any(value.part for value in loose) and (len(loose) > 1 or Question.PAIN in taken):
        return [Question.PAIN] * len(loose)
    if len(loose) == 1:
        return [_lone(loose[0], values, question)]
    pair = len(loose) == 2 and not taken and question is Question.BOTH
    if pair and not loose[0].is_none and loose[1].why is not Unclear.RANGE:
        return [Question.PAIN, Question.SETS]
    if question is Question.BOTH and len(taken) != 1:
        return [None] * len(loose)
    if question is Question.BOTH:
        return [Question.SETS if taken == {Question.PAIN} else Question.PAIN] * len(loose)
    return [question] * len(loose)


def _lone(value: Value, values: list[Value], question: Question) -> Question:
    pain = [other.place for other in values if other.to is Question.PAIN]
    sets = any(other.to is Question.SETS for other in values)
    if question is not Question.BOTH:
        return question
    if pain and (not sets or pain[0] < value.place):
        return Question.SETS
    return Question.SETS if value.is_none and not sets else Question.PAIN


def _pain(values: Sequence[Value], items: Sequence[Item]) -> Settled:
    number, why = _one(values, same_is_fine=True)
    if number is not None and not 0 <= number <= _MOST_PAIN:
        return None, Unclear.OUT_OF_RANGE
    if number is None and why is None:
        return None, _attempt(items, {Says.COMPARED: Unclear.COMPARISON, Says.VAGUE_PAIN: Unclear.VAGUE})
    return number, why


def _sets(values: Sequence[Value], items: Sequence[Item], prescribed: int) -> Settled:
    number, why = _one(values, same_is_fine=False)
    if number is not None and not (0 <= number <= prescribed or _more(values, number, prescribed)):
        return None, Unclear.TOO_MANY_SETS
    if number is None and why is None:
        if vague := _attempt(items, {Says.VAGUE_SETS: Unclear.VAGUE}):
            return None, vague
        if any(item.says is Says.DONE for item in items):
            return prescribed, None
    return number, why


def _more(values: Sequence[Value], number: int, prescribed: int) -> bool:
    """More sets than were asked, said as such: "8 sets" of 5; "did 8" of 5, too, while it can be no repetitions."""
    own = {value.own for value in values}
    most = _MOST_SETS if Says.SETS in own else 2 * prescribed if Says.DID in own else prescribed
    return number <= most


def _attempt(items: Sequence[Item], reasons: dict[Says, Unclear]) -> Unclear | None:
    return next((reasons[item.says] for item in items if item.says in reasons), None)


def _one(values: Sequence[Value], *, same_is_fine: bool) -> Settled:
    """The one number that all values agree on, else why not. Values that may answer either question settle neither."""
    if any(value.to is None for value in values):
        return None, Unclear.SEVERAL
    for value in values:
        if value.why is not None:
            return None, value.why
    numbers = {value.number for value in values}
    parts = sum(value.part for value in values)
    if len(numbers) > 1 or (parts > 1 and not same_is_fine):
        return None, Unclear.SEVERAL if parts else Unclear.CONTRADICTION
    return (numbers.pop() if numbers else None), None


def _with_yes_or_no(
    items: Sequence[Item], values: Sequence[Value], pain: Settled, sets: Settled, question: Question, prescribed: int
) -> Settled:
    """Yes after a pain number, or to the open question of sets, is all of them; no is none."""
    if sets != (None, None):
        return sets
    last = max((value.place for value in values), default=-1)
    for place, item in enumerate(items):
        answers = question is Question.SETS or (pain[0] is not None and place > last)
        did = item.says is Says.DID and question is Question.SETS and _ends(items, place)  # "i did"
        if answers and (did or item.says is Says.YES):
            return prescribed, None
        if answers and item.says is Says.NO and _ends(items, place):
            return 0, None
    return sets


def _ends(items: Sequence[Item], place: int) -> bool:
    """ "no" by itself, not "no" before something else."""
    following = items[place + 1]
    return following.says is Says.BREAK and following.start == items[place].end
