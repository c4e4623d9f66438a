"""A text as the things it says about pain and sets, in order."""

from collections.abc import Sequence
from dataclasses import dataclass

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
