"""Any script, any keyboard: one text becomes plain lower-case words, numbers and marks, typing slips mended."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

_PLAIN = str.maketrans(
    {
        "’": "'", "‘": "'", "ʼ": "'", "`": "'", "´": "'", "＇": "'",
        "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "‒": "-",
        "٫": ".", "،": ",", "٬": ",", "؛": ";", "؟": "?", "。": ".", "、": ",", "…": ". ", "।": ".",
        "٪": "%", "×": "x", "✕": "x", "✖": "x", "÷": "/", "⁄": "/", "∕": "/",
        "≈": "~", "≥": " >= ", "≤": " <= ",
        "\n": " . ", "\r": " ", "\t": " ", "🔟": " 10 ",
    }
)  # fmt: skip
_HALVES = {"½": ".5", "¼": ".25", "¾": ".75", "⅓": ".33", "⅔": ".67"}
_KEYCAP = re.compile("([0-9])\ufe0f?\u20e3")
_FRACTION = re.compile("(?<![0-9])([0-9]*) ?([½¼¾⅓⅔])")
_REPEATED = re.compile(",{2,}")
_INVISIBLE = {"Cf", "Mn", "Me", "Cc"}


@lru_cache(maxsize=4)  # a text is read three times over: for its language, its words, and by the second ear
def normalise(text: str) -> str:
    """`text` in lower case, digits of any script as ASCII, keycap emoji as numbers, pictures as breaks.

    "Ｐain ４", "pain ٤", "pain 4\ufe0f\u20e3" all become "pain 4". Never raises.
    """
    text = _KEYCAP.sub(r" \1 ", text)
    text = _FRACTION.sub(lambda found: f" {found[1] or '0'}{_HALVES[found[2]]} ", text)
    text = unicodedata.normalize("NFKC", text.translate(_PLAIN)).translate(_PLAIN)
    easy = text.isascii() and text.isprintable()
    plain = text if easy else "".join(map(_plain, unicodedata.normalize("NFKD", text)))
    return _REPEATED.sub(",", plain.casefold())


def _plain(char: str) -> str:
    if char.isascii():
        return char if char.isprintable() else " "
    category = unicodedata.category(char)
    if category in _INVISIBLE:
        return ""
    digit = unicodedata.digit(char, None)
    if digit is not None:
        return str(digit)
    if category[0] == "L":
        return char
    return " " if category[0] == "Z" else " , "


STOPS = frozenset(".;!?")  # end a sentence
BREAKS = STOPS | {","}  # end a clause
_MOST_DIGITS = 9  # longer runs are telephone numbers and cats on keyboards

_LETTERS = r"[^\W\d_]+(?:'[^\W\d_]+)*"
WORD = re.compile(_LETTERS)
_TOKEN = re.compile(
    r"(?P<ordinal>\d+(?:st|nd|rd|th)\b)"
    r"|(?P<number>(?:(?<!\S)-)?\d+(?:\.\d+)?)"
    rf"|(?P<word>{_LETTERS})"
    r"|(?P<mark><=|>=|[.,;!?():/%+<>=*&-])"
)


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or mark. `value` is set for numbers; `glued`: nothing stood between it and the one before.

    `typed`: what stood in the text where that is not `text`; '' for the further ones of several that one word became.
    """

    text: str
    value: float | None = None
    glued: bool = False
    typed: str | None = field(default=None, compare=False)

    @property
    def as_typed(self) -> str:
        return self.text if self.typed is None else self.typed

    @property
    def is_word(self) -> bool:
        return self.value is None and self.text[:1].isalpha()


def tokenise(text: str, glued_units: Mapping[str, str]) -> list[Token]:
    """Tokens of a normalised text. "4x30s" becomes 4, x, 30, seconds: a letter glued to a number is its unit."""
    tokens: list[Token] = []
    end = -1
    for found in _TOKEN.finditer(text):
        glued = found.start() == end
        end = found.end()
        tokens.append(_token(found, glued))
        if glued and len(tokens) > 1:
            tokens[-1] = _unit(tokens[-2], tokens[-1], text[end : end + 1], glued_units)
    return tokens


def _token(found: re.Match[str], glued: bool) -> Token:
    if found.lastgroup == "number":
        return Token(found[0], float(found[0][:_MOST_DIGITS]), glued)
    return _word(found[0], glued)


@lru_cache(maxsize=8192)
def _word(text: str, glued: bool) -> Token:
    return Token(text, None, glued)


def _unit(before: Token, token: Token, following: str, glued_units: Mapping[str, str]) -> Token:
    if before.value is None or token.text not in glued_units or following.isdigit():
        return token  # in "p4s3" the letter belongs to the number after it
    return Token(glued_units[token.text], None, True, token.text)


_LEAST_LETTERS = 4  # shorter words have too many neighbours
_MOST_LETTERS = 24  # longer runs are no words
_LONG = 8  # from here on, two slips are forgiven
_STRETCHED = re.compile(r"(.)\1{2,}")
_DOUBLED = re.compile(r"(.)\1+")


class Speller:
    """Knows a vocabulary, and real words beside it that must be left alone."""

    def __init__(
        self,
        vocabulary: Iterable[str],
        real_words: Iterable[str],
        run_together: Iterable[str],
        elsewhere: Iterable[str] = (),
    ) -> None:
        """`elsewhere`: words of other languages, left alone as real ones are, but that no slip is read as."""
        self._known = frozenset(vocabulary)
        self._real = frozenset(real_words) | self._known
        self._left_alone = self._real.union(elsewhere)
        self._parts = frozenset(run_together)
        self._near: dict[str, set[str]] = {}
        for word in self._known:
            if len(word) >= _LEAST_LETTERS and word.isalpha():
                for shorter in _deletions(word):
                    self._near.setdefault(shorter, set()).add(word)
        self.correct = lru_cache(maxsize=4096)(self._correct)

    def _correct(self, word: str) -> tuple[str, ...]:
        """The word or words meant by `word`; itself when it is known, real, or like nothing known."""
        if word in self._left_alone or len(word) > _MOST_LETTERS:
            return (word,)
        if squeezed := self._squeezed(word):
            return (squeezed,)
        if parts := self._split(word):
            return parts
        return (word if len(word) < _LEAST_LETTERS else self._nearest(word) or word,)

    def _squeezed(self, word: str) -> str | None:
        """ "allll" as all, "siix" as six."""
        stretched = (_STRETCHED.sub(run, word) for run in ("\\1", "\\1\\1"))
        known = next((short for short in stretched if short in self._real), None)
        single = _DOUBLED.sub("\\1", word)
        return known or (single if single in self._parts else None)

    def _nearest(self, word: str) -> str | None:
        near = {known for shorter in _deletions(word) for known in self._near.get(shorter, ())}
        ranked = sorted((distance(word, known), known[0] != word[0], known) for known in near)
        for slips, _, known in ranked:
            if slips == 1 or (slips == 2 and min(len(word), len(known)) >= _LONG):
                return known
        return None

    def _split(self, word: str) -> tuple[str, ...]:
        """ "didall" as did, all: only words of a short list, and only when nothing is left over."""
        if not word:
            return ()
        for size in range(len(word), 1, -1):
            if word[:size] in self._parts:
                if size == len(word):
                    return (word,)
                if rest := self._split(word[size:]):
                    return (word[:size], *rest)
        return ()


def _deletions(word: str) -> Iterator[str]:
    """`word`, and `word` with one or (long words) two letters left out: two words one slip apart share one."""
    yield word
    once = {word[:at] + word[at + 1 :] for at in range(len(word))}
    yield from once
    if len(word) >= _LONG:
        yield from {short[:at] + short[at + 1 :] for short in once for at in range(len(short))}


def distance(one: str, two: str) -> int:
    """Damerau-Levenshtein distance in its optimal string alignment form: a swap of neighbours counts one."""
    before: list[int] = []
    row = list(range(len(two) + 1))
    for i, letter in enumerate(one, 1):
        earlier, before, row = before, row, [i]
        for j, other in enumerate(two, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == two[j - 2] and one[i - 2] == other:
                cost = min(cost, earlier[j - 2] + 1)
            row.append(cost)
    return row[-1]
