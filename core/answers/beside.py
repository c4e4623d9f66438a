"""What is told beside pain and sets: the weight used today, and a morning worse than before the sets."""

from collections.abc import Iterator, Sequence

from core.answers.lexicon import Lexicon
from core.answers.phrases import Phrasebook
from core.answers.tokens import BREAKS, Token

_MOST_GRAMS = 20_000  # nobody lowers more with one wrist; above it is something else
_NEAR = 5  # tokens between "with" and the weight
_DENIES = 3  # tokens between "not" and "worse on waking"


def find_weight(tokens: Sequence[Token], lexicon: Lexicon) -> int | None:
    """The weight told as used today, in grams; None when none, several or nonsense is told."""
    told = {grams for at, grams in _weights(tokens, lexicon) if _used(tokens, at, lexicon)}
    return told.pop() if len(told) == 1 and max(told) <= _MOST_GRAMS else None


def is_told(tokens: Sequence[Token], said: Phrasebook[None], lexicon: Lexicon) -> bool:
    """Is it told, as of a morning that was worse or a weight too heavy? "No worse on waking", "if it is" are not."""
    denies = lexicon.scope.not_ | lexicon.scope.no | lexicon.conditions
    for match in said.find(tokens):
        around = {token.text for token in tokens[max(match.start - _DENIES, 0) : match.end]}
        if around.isdisjoint(denies):  # "it was not too heavy" denies within the phrase
            return True
    return False


def _weights(tokens: Sequence[Token], lexicon: Lexicon) -> Iterator[tuple[int, int]]:
    """Each number or half with a unit of weight behind it: where it stands, and the grams."""
    for at, token in enumerate(tokens):
        number = token.value if token.value is not None else lexicon.weights.halves.get(token.text)
        unit = next((after.text for after in tokens[at + 1 : at + 3] if after.text not in lexicon.weights.between), "")
        grams = round((number or 0) * lexicon.weights.grams.get(unit, 0))
        if grams > 0:
            yield at, grams


def _used(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """Is it said to have been used, in a clause that speaks of nothing else, no other day and no wish?"""
    start = next((place + 1 for place in range(at - 1, -1, -1) if tokens[place].text in BREAKS), 0)
    end = next((place for place in range(at + 1, len(tokens)) if tokens[place].text in BREAKS), len(tokens))
    words = {token.text for token in tokens[start:end]}
    if not words.isdisjoint(lexicon.weights.other):
        return False
    near = {token.text for token in tokens[max(at - _NEAR, start) : at]}
    alone = all(token.value is not None or token.text in lexicon.weights.fillers for token in tokens[start:end])
    return alone or not near.isdisjoint(lexicon.weights.using) or not words.isdisjoint(lexicon.weights.done)
