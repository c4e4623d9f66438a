"""What is told beside pain and sets: the weight used today, and a morning worse than before the sets."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Self

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match, Phrasebook
from core.answers.tokens import BREAKS, Token
from core.answers.wordlists import Weights
from core.model import Wish

_MOST_GRAMS = 20_000  # nobody lowers more with one wrist; above it is something else
_NEAR = 5  # tokens between "with" and the weight
_DENIES = 3  # tokens between "not" and "worse on waking"


def find_weight(tokens: Sequence[Token], lexicon: Lexicon) -> int | None:
    """The weight told as used today, in grams; None when none, several or nonsense is told."""
    words = lexicon.beside.weights
    told = {grams for at, grams in _weights(tokens, words) if _used(tokens, at, words)}
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


def _used(tokens: Sequence[Token], at: int, words: Weights) -> bool:
    """Is it said to have been used, in a clause that speaks of nothing else, no other day and no wish?"""
    start = next((place + 1 for place in range(at - 1, -1, -1) if tokens[place].text in BREAKS), 0)
    end = next((place for place in range(at + 1, len(tokens)) if tokens[place].text in BREAKS), len(tokens))
    said = {token.text for token in tokens[start:end]}
    if not said.isdisjoint(words.other):
        return False
    near = {token.text for token in tokens[max(at - _NEAR, start) : at]}
    alone = all(token.value is not None or token.text in words.fillers for token in tokens[start:end])
    return alone or not near.isdisjoint(words.using) or not said.isdisjoint(words.done)


_NEAR_A_WISH = 3  # words between somebody and what they do
_REACH = 8  # words that a denial reaches at most
_ORDER = (Wish.STOP, Wish.PAUSE, Wish.CORRECT, Wish.HELP)


@dataclass(frozen=True, slots=True)
class Wished:
    """The wish a text states, and the places of the tokens that state it."""

    wish: Wish | None = None
    places: frozenset[int] = frozenset()


def find_wish(tokens: Sequence[Token], lexicon: Lexicon) -> Wished:
    """What is wanted of the messages, if anything. "stop until monday" is a pause."""
    words = " ".join(token.text for token in tokens if token.text not in lexicon.beside.polite)
    if words in lexicon.bare_wishes:
        return Wished(lexicon.bare_wishes[words], frozenset(range(len(tokens))))
    last = " ".join(token.text for token in _last_clause(tokens) if token.text not in lexicon.beside.polite)
    if lexicon.bare_wishes.get(last) in (Wish.STOP, Wish.PAUSE):
        return Wished(lexicon.bare_wishes[last])
    wanted = list(lexicon.wanted.find(tokens))
    around = _Around.of(tokens, lexicon) if wanted else None
    found = [match for match in wanted if around and _is_wish(around, match, lexicon)]
    wished = {match.kind for match in found}
    if {Wish.STOP, Wish.PAUSE} <= wished:
        wished.remove(Wish.STOP)
    wish = next((wish for wish in _ORDER if wish in wished), None)
    return Wished(wish, frozenset(at for match in found for at in range(match.start, match.end)))


def _last_clause(tokens: Sequence[Token]) -> Sequence[Token]:
    """ "..., please stop": what stands after the last break that something follows."""
    end = len(tokens)
    while end and tokens[end - 1].text in BREAKS:
        end -= 1
    start = next((at + 1 for at in range(end - 1, -1, -1) if tokens[at].text in BREAKS), 0)
    return tokens[start:end]


@dataclass(frozen=True, slots=True)
class _Around:
    """What stands around wishes: where clauses begin, where conditions begin, where "had to" ends."""

    tokens: Sequence[Token]
    clauses: Sequence[int]
    conditions: Sequence[int]
    told: frozenset[int]

    @classmethod
    def of(cls, tokens: Sequence[Token], lexicon: Lexicon) -> Self:
        clauses = [0, *(at + 1 for at, token in enumerate(tokens) if token.text in BREAKS)]
        conditions = [match.start for match in lexicon.conditional.find(tokens)]
        return cls(tokens, clauses, conditions, frozenset(match.end for match in lexicon.told_wish.find(tokens)))

    def clause(self, at: int) -> int:
        """Where the clause of this place begins."""
        return self.clauses[bisect_right(self.clauses, at) - 1]

    def conditional(self, at: int) -> bool:
        """Does a condition stand before this place in its clause?"""
        return bisect_left(self.conditions, self.clause(at)) < bisect_left(self.conditions, at)


def _is_wish(around: _Around, match: Match[Wish], lexicon: Lexicon) -> bool:
    """Not "do not stop the messages", "if i go away", "had to pause", "was away" or "my son is away".

    "If you do not stop messaging me" is one after all.
    """
    if match.kind not in (Wish.STOP, Wish.PAUSE):
        return not _denied(around.tokens, match.start, frozenset(), lexicon)
    if match.start in around.told or _anothers(around, match, lexicon):
        return False
    denied = _denied(around.tokens, match.start, lexicon.beside.through_wish, lexicon)
    return denied == around.conditional(match.start)


def _denied(tokens: Sequence[Token], at: int, through: AbstractSet[str], lexicon: Lexicon) -> bool:
    """ "do not ever stop": a denial before it, with nothing between but words of `through`."""
    places = range(at - 1, max(at - 1 - _REACH, -1), -1)
    before = next((place for place in places if tokens[place].text not in through), -1)
    return before >= 0 and tokens[before].text in lexicon.scope.not_ | lexicon.scope.no


def _anothers(around: _Around, match: Match[Wish], lexicon: Lexicon) -> bool:
    """ "my son is on holiday until monday"."""
    near = max(around.clause(match.start), match.start - _NEAR_A_WISH)
    before = {token.text for token in around.tokens[near : match.start]}
    theirs = match.kind is Wish.PAUSE and not before.isdisjoint(lexicon.scope.others)
    return theirs and before.isdisjoint(lexicon.scope.us)
