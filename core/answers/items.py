"""A text as the things it says about pain and sets, in order."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from core.answers.lexicon import Lexicon, Says
from core.answers.phrases import Match
from core.answers.tokens import BREAKS, Token


@dataclass(frozen=True, slots=True)
class Item:
    """One thing said, from token `start` to `end` (exclusive), with the numbers in it."""

    says: Says
    start: int
    end: int
    numbers: tuple[float, ...] = ()


def items_of(tokens: Sequence[Token], lexicon: Lexicon) -> list[Item]:
    """The longest phrase at each place; words that belong to none are passed over."""
    items: list[Item] = []
    longest = lexicon.answers.longest(tokens)
    at = 0
    while at < len(tokens):
        item = _item_at(tokens, at, lexicon, longest(at))
        if item is None:
            at += 1
            continue
        at = item.end
        if item.says is not Says.IDLE:
            items.append(item)
    return items


def _item_at(tokens: Sequence[Token], at: int, lexicon: Lexicon, match: Match[Says] | None) -> Item | None:
    if match is not None and not _two_answers(match, tokens, lexicon):
        return Item(match.kind, match.start, match.end, match.numbers)
    token = tokens[at]
    if token.value is not None:
        if _counts_something(tokens, at, lexicon):
            return Item(Says.UNIT, at, at + 2, (token.value,))
        return Item(Says.NUMBER, at, at + 1, (token.value,))
    return Item(Says.BREAK, at, at + 1) if token.text in BREAKS else None


def _two_answers(match: Match[Says], tokens: Sequence[Token], lexicon: Lexicon) -> bool:
    """ "6 / 3 sets": no part is greater than its whole, so the stroke parts pain from sets."""
    greater = match.kind is Says.OUT_OF and match.numbers[0] > match.numbers[-1]
    return greater and tokens[match.start + 1].text == "/" and tokens[match.end - 1].text in lexicon.set_nouns


def _counts_something(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "5 sandwiches", "one eye": a number before a word that says nothing here and looks like what is counted."""
    if at + 1 >= len(tokens) or not tokens[at + 1].is_word or tokens[at + 1].glued:
        return False
    word = tokens[at + 1].text
    if word in lexicon.answer_words or word in lexicon.joins:
        return False
    return word.endswith(lexicon.plural_endings) or tokens[at].text in lexicon.pronoun_numbers


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
