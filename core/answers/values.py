"""What each thing said is worth: a number for pain, for sets, for either, or the reason why it is not one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from core.answers.items import Item
from core.answers.lexicon import Says
from core.model import Question, Unclear

_PAIN_SCALE = 10
_BOTH = 2


@dataclass(frozen=True, slots=True)
class Value:
    """`number` or `why` not; `to` the question it answers, None when any. `place` is its item's place."""

    place: int
    number: int | None = None
    why: Unclear | None = None
    to: Question | None = None
    earlier: bool = False  # said to have been the answer before
    part: bool = False  # said of a part of today: a time, an activity, a side
    side: bool = False  # the part is one arm
    either: bool = False  # "4/10" when 10 sets were prescribed
    is_none: bool = False  # "none", that is 0 of either
    own: Says | None = None  # the word beside it that says what it is of


def values_of(items: Sequence[Item], question: Question, prescribed: int) -> list[Value]:
    """The values in order, before words are bound to numbers."""
    found = []
    for place, item in enumerate(items):
        if item.says in _READ:
            found.append(_READ[item.says](place, item, question, prescribed))
    return found


def _number(place: int, item: Item, question: Question, prescribed: int) -> Value:
    value = item.numbers[0]
    if value != int(value):
        return Value(place, why=Unclear.DECIMAL)
    return Value(place, int(value))


def _no_pain(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return Value(place, 0, to=Question.PAIN)


def _none(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return Value(place, 0, is_none=True)


def _no_sets(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return Value(place, 0, to=Question.SETS)


def _all(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return Value(place, prescribed, to=Question.SETS)


def _both(place: int, item: Item, question: Question, prescribed: int) -> Value:
    if prescribed == _BOTH:
        return Value(place, prescribed, to=Question.SETS)
    return Value(place, why=Unclear.TOTAL_DIFFERS, to=Question.SETS)


def _more_than_all(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return Value(place, why=Unclear.TOO_MANY_SETS, to=Question.SETS)


def _all_of(place: int, item: Item, question: Question, prescribed: int) -> Value:
    if item.numbers[0] == prescribed:
        return Value(place, prescribed, to=Question.SETS)
    return Value(place, why=Unclear.TOTAL_DIFFERS, to=Question.SETS)


def _all_but(place: int, item: Item, question: Question, prescribed: int) -> Value:
    left = prescribed - (item.numbers[0] if item.numbers else 1)
    if left < 0 or left != int(left):
        return Value(place, why=Unclear.TOTAL_DIFFERS, to=Question.SETS)
    return Value(place, int(left), to=Question.SETS)


def _half(place: int, item: Item, question: Question, prescribed: int) -> Value:
    if prescribed % 2:
        return Value(place, why=Unclear.VAGUE, to=Question.SETS)
    return Value(place, prescribed // 2, to=Question.SETS)


def _out_of(place: int, item: Item, question: Question, prescribed: int) -> Value:
    """ "4/10" is pain, "2 of 4" is sets of 4; when 10 were prescribed, only the open question can tell."""
    part, whole = item.numbers[0], item.numbers[-1]
    if part != int(part):
        return Value(place, why=Unclear.DECIMAL)
    if whole == prescribed == _PAIN_SCALE:
        open_to = None if question is Question.BOTH else question
        return Value(place, int(part), to=open_to, either=open_to is None)
    if whole == _PAIN_SCALE:
        return Value(place, int(part), to=Question.PAIN)
    if whole == prescribed and part <= whole:
        return Value(place, int(part), to=Question.SETS)
    return Value(place, why=Unclear.TOTAL_DIFFERS, to=Question.SETS)


def _times(place: int, item: Item, question: Question, prescribed: int) -> Value:
    """Sets and their size in either order; the one that can be a number of sets is."""
    one, other = item.numbers[0], item.numbers[-1]
    possible = {size for size in (one, other) if size <= prescribed and size == int(size)}
    if len(possible) == 1:
        return Value(place, int(possible.pop()), to=Question.SETS)
    why = Unclear.CONTRADICTION if possible else Unclear.TOO_MANY_SETS
    return Value(place, why=why, to=Question.SETS)


def _sets_of(place: int, item: Item, question: Question, prescribed: int) -> Value:
    return replace(_number(place, item, question, prescribed), to=Question.SETS)


def _unclear(why: Unclear) -> Callable[[int, Item, Question, int], Value]:
    return lambda place, item, question, prescribed: Value(place, why=why)


_READ: dict[Says, Callable[[int, Item, Question, int], Value]] = {
    Says.NUMBER: _number,
    Says.NO_PAIN: _no_pain,
    Says.NONE: _none,
    Says.NO_SETS: _no_sets,
    Says.ALL: _all,
    Says.BOTH: _both,
    Says.MORE_THAN_ALL: _more_than_all,
    Says.ALL_OF: _all_of,
    Says.ALL_BUT: _all_but,
    Says.HALF: _half,
    Says.OUT_OF: _out_of,
    Says.SHARE: _sets_of,
    Says.SETS_OF: _sets_of,
    Says.TIMES: _times,
    Says.RANGE: _unclear(Unclear.RANGE),
    Says.BOUND: _unclear(Unclear.RANGE),
    Says.PERCENT: _unclear(Unclear.PERCENT),
}


def with_shares(values: list[Value], items: Sequence[Item], prescribed: int) -> list[Value]:
    """ "The first two ... the other two" are all of four; one share alone counts only when it is said to be done."""
    shares = [value for value in values if items[value.place].says is Says.SHARE]
    told = [value for value in values if items[value.place].says is not Says.SHARE]
    done = [share for share in shares if share.place and items[share.place - 1].says is Says.DID]
    beside = any(value.place and items[value.place - 1].says is Says.DID for value in told)
    if len(shares) > 1:
        number = sum(share.number or 0 for share in shares)
        why = None if number == prescribed else Unclear.SEVERAL
        done = [replace(shares[-1], number=None if why else number, why=why)]
    elif shares and not done and beside:  # "did two, then the other two"
        done = [replace(shares[0], number=None, why=Unclear.SEVERAL)]
    return sorted([*told, *done], key=lambda value: value.place)


def both_arms_alike(values: list[Value], question: Question) -> list[Value]:
    """ "4 left, 4 right, pain 3": the same of either arm, with the pain told or not asked, are the sets of both."""
    arms = [value for value in values if value.side and value.to is not Question.PAIN]
    told = {value.to for value in values if value not in arms}
    alike = len(arms) > 1 and len({value.number for value in arms}) == 1 and arms[0].number is not None
    of_sets = question is Question.SETS or Question.PAIN in told or any(value.to for value in arms)
    if not alike or Question.SETS in told or not of_sets:
        return values
    both = replace(arms[-1], to=Question.SETS, part=False)
    return [both if value is arms[-1] else value for value in values if value is arms[-1] or value not in arms]
