"""One typed text as tokens: scripts, short forms, slips of the thumb, contractions and number words settled."""

import re
from collections.abc import Iterator, Sequence

from core.answers.lexicon import Lexicon
from core.answers.normalise import normalise
from core.answers.numbers import spoken_numbers
from core.answers.tokens import Token, tokenise

_WITH_DIGITS = re.compile(r"(?<![^\W_])[^\W_]*\d[^\W_]*")


def read(text: str, lexicon: Lexicon) -> list[Token]:
    """The text as canonical tokens, closed by a full stop; numbers, however written, carry a value."""
    plain = _WITH_DIGITS.sub(lambda found: lexicon.written_short.get(found[0], found[0]), normalise(text))
    plain = plain.replace("a&e", lexicon.written_short.get("a&e", "a&e"))
    words = list(_words(tokenise(plain, lexicon.glued_units), lexicon))
    return [*spoken_numbers(words, lexicon), Token(".")]


def _words(tokens: Sequence[Token], lexicon: Lexicon) -> Iterator[Token]:
    known: dict[str, tuple[str, ...]] = {}
    for token in tokens:
        if not token.is_word:
            yield token
            continue
        if token.text not in known:
            known[token.text] = tuple(_canonical(token.text, lexicon))
        if known[token.text] == (token.text,):
            yield token
        else:
            typed = token.as_typed
            for word in known[token.text]:
                yield Token(word, None, token.glued, typed)
                typed = ""


def _canonical(word: str, lexicon: Lexicon) -> Iterator[str]:
    for spelled in (word,) if "'" in word else lexicon.speller.correct(word):
        if spelled in lexicon.expansions:
            yield from lexicon.expansions[spelled].split()
            continue
        yield from _expanded(spelled, lexicon)


def _expanded(word: str, lexicon: Lexicon) -> Iterator[str]:
    """ "everything's" as everything, is."""
    if "'" not in word:
        yield word
        return
    for ending, meaning in lexicon.contraction_endings.items():
        if word.endswith(ending) and len(word) > len(ending):
            stem = word.removesuffix(ending)
            yield from lexicon.speller.correct(stem)
            yield meaning
            return
    yield word
