"""What a person wants of the conversation: stop, pause, help, or a change to an earlier answer."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.answers.lexicon import Lexicon
from core.answers.tokens import BREAKS, Token
from core.model import Wish

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
    found = [match for match in lexicon.wanted.find(tokens) if not _denied(tokens, match.start, lexicon)]
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


def _denied(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "do not stop the messages"."""
    return at > 0 and tokens[at - 1].text in lexicon.scope.not_ | lexicon.scope.no
