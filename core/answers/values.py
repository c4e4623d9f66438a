"""What each thing said is worth (a number for pain, for sets, for either, or why it is none), and which word is its."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from core.answers.items import Item
from core.answers.wordlists import Says
from core.understanding import Question, Unclear

_PAIN_SCALE = 10


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
    worth = (_worth(place, item, question, prescribed) for place, item in enumerate(items))
    return [value for value in worth if value is not None]


def _worth(place: int, item: Item, question: Question, prescribed: int) -> Value | None:
    if item.says is Says.OUT_OF:
        return _out_of(place, item.numbers[0], item.numbers[-1], question, prescribed)
    if item.says is Says.NONE:
        return Value(place, 0, is_none=True)
    if item.says in _SETS:
        return _given(place, _SETS[item.says](item.numbers, prescribed), Question.SETS)
    if item.says is Says.NO_PAIN:
        return _given(place, 0, Question.PAIN)
    if item.says is Says.NUMBER:
        return _given(place, _whole(item.numbers))
    return _given(place, _UNCLEAR[item.says]) if item.says in _UNCLEAR else None


def _given(place: int, found: int | Unclear, to: Question | None = None) -> Value:
    return Value(place, why=found, to=to) if isinstance(found, Unclear) else Value(place, found, to=to)


def _whole(numbers: Sequence[float]) -> int | Unclear:
    return int(numbers[0]) if numbers[0] == int(numbers[0]) else Unclear.DECIMAL


def _out_of(place: int, part: float, whole: float, question: Question, prescribed: int) -> Value:
    """ "4/10" is pain, "2 of 4" is sets of 4; when 10 were prescribed, only the open question can tell."""
    if part != int(part):
        return _given(place, Unclear.DECIMAL)
    if whole == prescribed == _PAIN_SCALE:
        open_to = None if question is Question.BOTH else question
        return Value(place, int(part), to=open_to, either=open_to is None)
    if whole == _PAIN_SCALE:
        return _given(place, int(part), Question.PAIN)
    return _given(place, int(part) if part <= whole == prescribed else Unclear.TOTAL_DIFFERS, Question.SETS)


def _all_but(numbers: Sequence[float], prescribed: int) -> int | Unclear:
    left = prescribed - (numbers[0] if numbers else 1)
    return int(left) if left >= 0 and left == int(left) else Unclear.TOTAL_DIFFERS


def _times(numbers: Sequence[float], prescribed: int) -> int | Unclear:
    """Sets and their size in either order; the one that can be a number of sets is."""
    possible = {size for size in (numbers[0], numbers[-1]) if size <= prescribed and size == int(size)}
    if len(possible) == 1:
        return int(possible.pop())
    return Unclear.CONTRADICTION if possible else Unclear.TOO_MANY_SETS


_SETS: Mapping[Says, Callable[[Sequence[float], int], int | Unclear]] = {
    Says.NO_SETS: lambda numbers, prescribed: 0,
    Says.ALL: lambda numbers, prescribed: prescribed,
    Says.BOTH: lambda numbers, prescribed: prescribed if prescribed == 2 else Unclear.TOTAL_DIFFERS,
    Says.MORE_THAN_ALL: lambda numbers, prescribed: Unclear.TOO_MANY_SETS,
    Says.ALL_OF: lambda numbers, prescribed: prescribed if numbers[0] == prescribed else Unclear.TOTAL_DIFFERS,
    Says.ALL_BUT: _all_but,
    Says.HALF: lambda numbers, prescribed: Unclear.VAGUE if prescribed % 2 else prescribed // 2,
    Says.SHARE: lambda numbers, prescribed: _whole(numbers),
    Says.SETS_OF: lambda numbers, prescribed: _whole(numbers),
    Says.TIMES: _times,
}
_UNCLEAR = {Says.RANGE: Unclear.RANGE, Says.BOUND: Unclear.RANGE, Says.PERCENT: Unclear.PERCENT}


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


_MOST_VALUES = 6  # more numbers than this are no answer, and would make the search long
_ALONE = 12  # what it costs to leave a number without a word; nearer words are preferred
_WORD_ALONE = 1  # the same for "all", "skipped": they need no word


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a word reaches to its number, in tokens; None: not on that side. A break costs, or forbids."""

    after: int | None  # number after the word
    before: int | None  # number before the word
    over_break: int | None = None
    before_cost: float = 0.5  # "pain 4" is likelier than "4 pain"


LABELS: Mapping[Says, Reach] = {
    Says.PAIN: Reach(after=10, before=2, over_break=3, before_cost=1.5),
    Says.SETS: Reach(after=4, before=2, before_cost=-0.5),
    Says.DID: Reach(after=4, before=None),
    Says.DONE: Reach(after=0, before=None),
    Says.ELSEWHERE: Reach(after=3, before=0),
    Says.PAIN_WRONG: Reach(after=6, before=None, over_break=2),
    Says.SETS_WRONG: Reach(after=6, before=None, over_break=2),
}
SETTINGS: Mapping[Says, Reach] = {
    Says.OTHER_DAY: Reach(after=4, before=1),
    Says.TODAY: Reach(after=4, before=2),
    Says.PART: Reach(after=3, before=3),
    Says.SIDE: Reach(after=3, before=3),
    Says.AVERAGE: Reach(after=3, before=2),
    Says.WORST: Reach(after=3, before=2),
    Says.EARLIER: Reach(after=3, before=None),
}


def bind(items: Sequence[Item], values: Sequence[int], reaches: Mapping[Says, Reach]) -> dict[int, Says]:
    """For each of `values` (places in `items`) the kind of word that belongs to it, where one does.

    Every word serves one number, every number takes one word, only neighbours meet, and the sum of distances is least.
    """
    if len(values) > _MOST_VALUES:
        return {}
    choices = [_choices(items, place, set(values), reaches) for place in values]
    best: tuple[tuple[float, int | None], ...] = ()
    for chosen in product(*choices):
        words = [word for _, word in chosen if word is not None]
        if len(set(words)) == len(words) and (not best or _total(chosen) < _total(best)):
            best = chosen
    pairs = zip(values, best, strict=True)
    return {place: items[word].says for place, (_, word) in pairs if word is not None}


def _total(chosen: Sequence[tuple[float, int | None]]) -> float:
    return sum(cost for cost, _ in chosen)


def _choices(
    items: Sequence[Item], place: int, values: set[int], reaches: Mapping[Says, Reach]
) -> list[tuple[float, int | None]]:
    alone = _ALONE if items[place].numbers or items[place].says is Says.NONE else _WORD_ALONE
    found: list[tuple[float, int | None]] = [(alone, None)]
    for step in (-1, 1):
        for word in _neighbour(items, place, values, reaches, step):
            cost = _cost(items, place, word, reaches[items[word].says])
            if cost is not None:
                found.append((cost, word))
    return found


def _neighbour(
    items: Sequence[Item], place: int, values: set[int], reaches: Mapping[Says, Reach], step: int
) -> Iterator[int]:
    """The nearest word of interest on one side, unless another value stands between."""
    at = place + step
    while 0 <= at < len(items) and at not in values:
        if items[at].says in reaches:
            yield at
            return
        at += step


def _cost(items: Sequence[Item], place: int, word: int, reach: Reach) -> float | None:
    first, last = min(place, word), max(place, word)
    broken = any(item.says is Says.BREAK for item in items[first:last])
    distance = items[last].start - items[first].end
    furthest = reach.after if word < place else reach.before
    if furthest is None or distance > furthest or (broken and reach.over_break is None):
        return None
    return distance + (0 if word < place else reach.before_cost) + (reach.over_break or 0 if broken else 0)
