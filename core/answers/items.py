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
        if item.says is not Says.IDLE:
            items.append(item)
        at = item.end
    return items


def _item_at(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> Item | None:
    match = lexicon.answers.longest_at(tokens, at)
    if match is not None:
        return Item(match.kind, match.start, match.end, match.numbers)
    token = tokens[at]
    if token.value is not None:
        return Item(Says.NUMBER, at, at + 1, (token.value,))
    return Item(Says.BREAK, at, at + 1) if token.text in BREAKS else None
