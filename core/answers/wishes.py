"""What a person wants of the conversation: stop, pause, help, or a change to an earlier answer."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match
from core.answers.tokens import BREAKS, Token
from core.model import Wish

_NEAR = 3  # words between somebody and what they do
_TOLD = 3  # words of "had to"
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
    found = [match for match in lexicon.wanted.find(tokens) if _is_wish(tokens, match, lexicon)]
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


def _is_wish(tokens: Sequence[Token], match: Match[Wish], lexicon: Lexicon) -> bool:
    """Not "do not stop the messages", "if i go away", "had to pause", "was away" or "my son is away".

    "If you do not stop messaging me" is one after all.
    """
    if match.kind not in (Wish.STOP, Wish.PAUSE):
        return not _denied(tokens, match.start, frozenset(), lexicon)
    start = next((at + 1 for at in range(match.start - 1, -1, -1) if tokens[at].text in BREAKS), 0)
    clause = tokens[start : match.end]
    conditional = any(found.start < match.start - start for found in lexicon.conditional.find(clause))
    told = lexicon.told_wish.find(tokens[max(start, match.start - _TOLD) : match.start])
    if any(found.end == min(_TOLD, match.start - start) for found in told) or _anothers(tokens, match, start, lexicon):
        return False
    return _denied(tokens, match.start, lexicon.through_wish, lexicon) == conditional


def _denied(tokens: Sequence[Token], at: int, through: AbstractSet[str], lexicon: Lexicon) -> bool:
    """ "do not ever stop": a denial before it, with nothing between but words of `through`."""
    before = next((place for place in range(at - 1, -1, -1) if tokens[place].text not in through), -1)
    return before >= 0 and tokens[before].text in lexicon.scope.not_ | lexicon.scope.no


def _anothers(tokens: Sequence[Token], match: Match[Wish], start: int, lexicon: Lexicon) -> bool:
    """ "my son is on holiday until monday"."""
    before = {token.text for token in tokens[max(start, match.start - _NEAR) : match.start]}
    theirs = match.kind is Wish.PAUSE and not before.isdisjoint(lexicon.scope.others)
    return theirs and before.isdisjoint(lexicon.scope.us)
