"""What a person wants of the conversation: stop, pause, help, or a change to an earlier answer."""

from collections.abc import Sequence

from core.answers.lexicon import Lexicon
from core.answers.tokens import Token
from core.model import Wish

_ORDER = (Wish.STOP, Wish.PAUSE, Wish.CORRECT, Wish.HELP)


def find_wish(tokens: Sequence[Token], lexicon: Lexicon) -> Wish | None:
    """The wish a text states, else None. "stop until monday" is a pause."""
    words = " ".join(token.text for token in tokens if token.text not in lexicon.polite)
    if words in lexicon.bare_wishes:
        return lexicon.bare_wishes[words]
    wished = {match.kind for match in lexicon.wanted.find(tokens) if not _denied(tokens, match.start, lexicon)}
    if {Wish.STOP, Wish.PAUSE} <= wished:
        return Wish.PAUSE
    return next((wish for wish in _ORDER if wish in wished), None)


def _denied(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "do not stop the messages"."""
    return at > 0 and tokens[at - 1].text in lexicon.scope.not_
