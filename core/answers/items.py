"""What a text says about pain and sets, in order; the weight it tells; and the words that nothing was read from."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match, Phrasebook
from core.answers.tokens import BREAKS, Token
from core.answers.wordlists import Says, Weights


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
    return greater and tokens[match.start + 1].text == "/" and tokens[match.end - 1].text in lexicon.words.set_nouns


def _counts_something(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "5 sandwiches", "one eye": a number before a word that says nothing here and looks like what is counted."""
    if at + 1 >= len(tokens) or not tokens[at + 1].is_word or tokens[at + 1].glued:
        return False
    word = tokens[at + 1].text
    if word in lexicon.answer_words or word in lexicon.words.joins:
        return False
    return word.endswith(lexicon.words.plural_endings) or tokens[at].text in lexicon.words.pronoun_numbers


_MOST_GRAMS = 20_000  # nobody lowers more with one wrist; above it is something else
_NEAR = 5  # tokens between "with" and the weight
_DENIES = 3  # tokens between "not" and "worse on waking"


def find_weight(tokens: Sequence[Token], lexicon: Lexicon) -> int | None:
    """The weight told as used today, in grams; None when none, several or nonsense is told."""
    words = lexicon.beside.weights
    told = {grams for at, grams in _weights(tokens, words) if _was_used(tokens, at, words)}
    return told.pop() if len(told) == 1 and max(told) <= _MOST_GRAMS else None


def is_told(tokens: Sequence[Token], said: Phrasebook[None], lexicon: Lexicon) -> bool:
    """Is it told, as of a morning that was worse or a weight too heavy? "No worse on waking", "if it is" are not."""
    denies = lexicon.scope.not_ | lexicon.scope.no | lexicon.beside.conditions
    for match in said.find(tokens):
        around = {token.text for token in tokens[max(match.start - _DENIES, 0) : match.end]}
        if around.isdisjoint(denies):  # "it was not too heavy" denies within the phrase
            return True
    return False


def _weights(tokens: Sequence[Token], words: Weights) -> Iterator[tuple[int, int]]:
    """Each number or half with a unit of weight behind it: where it stands, and the grams."""
    for at, token in enumerate(tokens):
        number = token.value if token.value is not None else words.halves.get(token.text)
        unit = next((after.text for after in tokens[at + 1 : at + 3] if after.text not in words.between), "")
        grams = round((number or 0) * words.grams.get(unit, 0))
        if grams > 0:
            yield at, grams


def _was_used(tokens: Sequence[Token], at: int, words: Weights) -> bool:
    """Is it said to have been used, in a clause that speaks of nothing else, no other day and no wish?"""
    start = next((place + 1 for place in range(at - 1, -1, -1) if tokens[place].text in BREAKS), 0)
    end = next((place for place in range(at + 1, len(tokens)) if tokens[place].text in BREAKS), len(tokens))
    said = {token.text for token in tokens[start:end]}
    if not said.isdisjoint(words.other):
        return False
    near = {token.text for token in tokens[max(at - _NEAR, start) : at]}
    alone = all(token.value is not None or token.text in words.fillers for token in tokens[start:end])
    return alone or not near.isdisjoint(words.using) or not said.isdisjoint(words.done)


_MANY = 3  # words in a row that are kept, however known each is
_NO_ANSWER = frozenset({Says.UNIT, Says.ELSEWHERE, Says.OTHER_DAY})
_KEPT = _NO_ANSWER | {Says.SETS_OF, Says.TIMES}  # more is said than the number of sets: "3 sets of 15"
BETWEEN = " … "


def unread(
    tokens: Sequence[Token], items: Sequence[Item], taken: AbstractSet[int | None], heard: AbstractSet[int],
    lexicon: Lexicon,
) -> str:  # fmt: skip
    """The runs of words that no item used nor a place of `heard`, in order; '' when they carry nothing.

    `taken`: the numbers taken as answers. A run is kept with a number in it, with a word that is neither known nor a
    filler, or with three words.
    """
    used = {at for item in _used(items, taken) for at in range(item.start, item.end)}
    runs = (run for run in _runs(tokens, used | heard) if _carries(run, lexicon))
    return BETWEEN.join(map(_typed, runs))


def _used(items: Sequence[Item], taken: AbstractSet[int | None]) -> Iterator[Item]:
    """All but what is no answer, and the number beside it in its clause: "knee 7", "yesterday 6"."""
    clause: list[Item] = []
    for item in (*items, Item(Says.BREAK, 0, 0)):
        if item.says is not Says.BREAK:
            clause.append(item)
            continue
        beside = any(said.says in _NO_ANSWER for said in clause)
        for said in clause:
            loose = beside and said.says is Says.NUMBER and taken.isdisjoint(said.numbers)
            if said.says not in _KEPT and not loose:
                yield said
        clause = []


def _runs(tokens: Sequence[Token], read: AbstractSet[int]) -> Iterator[list[Token]]:
    run: list[Token] = []
    for at, token in enumerate(tokens):
        if at in read or token.text in BREAKS:
            yield run
            run = []
        else:
            run.append(token)
    yield run


def _carries(run: Sequence[Token], lexicon: Lexicon) -> bool:
    words = [token for token in run if token.is_word]
    if any(token.value is not None or (token.is_word and token.text not in lexicon.plain) for token in run):
        return True
    return len(words) >= _MANY and not all(token.text in lexicon.words.fillers for token in words)


def _typed(run: Sequence[Token]) -> str:
    words = "".join(token.as_typed if token.glued else f" {token.as_typed}" for token in run if token.as_typed)
    return words.strip(" -/()&*+")
