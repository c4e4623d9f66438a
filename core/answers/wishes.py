"""What a person wants of the conversation: stop, pause, help, or a change to an earlier answer."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Self

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match
from core.answers.tokens import BREAKS, Token
from core.model import Wish

_NEAR = 3  # words between somebody and what they do
_REACH = 8  # words that a denial reaches at most
_ORDER = (Wish.STOP, Wish.PAUSE, Wish.CORRECT, Wish.HELP)


@dataclass(frozen=True, slots=True)
class Wished:
    """The wish a text states, and the places of the tokens that state it."""

    wish: Wish | None = None
    places: frozenset[int] = frozenset()


def find_wish(tokens: Sequence[Token], lexicon: Lexicon) -> Wished:
    """What is wanted of the messages, if anything. "stop until monday" is a pause."""
    words = " ".join(token.text for token in tokens if token.text not in lexicon.polite)
    if words in lexicon.bare_wishes:
        return Wished(lexicon.bare_wishes[words], frozenset(range(len(tokens))))
    last = " ".join(token.text for token in _last_clause(tokens) if token.text not in lexicon.polite)
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
    denied = _denied(around.tokens, match.start, lexicon.through_wish, lexicon)
    return denied == around.conditional(match.start)


def _denied(tokens: Sequence[Token], at: int, through: AbstractSet[str], lexicon: Lexicon) -> bool:
    """ "do not ever stop": a denial before it, with nothing between but words of `through`."""
    places = range(at - 1, max(at - 1 - _REACH, -1), -1)
    before = next((place for place in places if tokens[place].text not in through), -1)
    return before >= 0 and tokens[before].text in lexicon.scope.not_ | lexicon.scope.no


def _anothers(around: _Around, match: Match[Wish], lexicon: Lexicon) -> bool:
    """ "my son is on holiday until monday"."""
    near = max(around.clause(match.start), match.start - _NEAR)
    before = {token.text for token in around.tokens[near : match.start]}
    theirs = match.kind is Wish.PAUSE and not before.isdisjoint(lexicon.scope.others)
    return theirs and before.isdisjoint(lexicon.scope.us)
