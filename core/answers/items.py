"""A text as the things it says about pain and sets, in order."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.answers.lexicon import Lexicon, Says
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
    at = 0
    while at < len(tokens):
        item = _item_at(tokens, at, lexicon)
        if item is None:
            at += 1
            continue
        at = item.end
        if item.says is Says.NONE and _goes_on(tokens, at, lexicon):
            continue
        if item.says is not Says.IDLE:
            items.append(item)
    return items


def _goes_on(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "nothing tingly": the word is not an answer by itself when a word that says nothing here follows."""
    return at < len(tokens) and tokens[at].is_word and tokens[at].text not in lexicon.joins and (
        lexicon.answers.longest_at(tokens, at) is None
    )


def _item_at(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> Item | None:
    match = lexicon.answers.longest_at(tokens, at)
    if match is not None:
        return Item(match.kind, match.start, match.end, match.numbers)
    token = tokens[at]
    if token.value is not None:
        return Item(Says.NUMBER, at, at + 1, (token.value,))
    return Item(Says.BREAK, at, at + 1) if token.text in BREAKS else None
