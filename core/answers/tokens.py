"""Any script, any keyboard: one text becomes plain lower-case words, numbers and marks, in order."""

import re
import unicodedata
from collections.abc import Mapping
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

_TOKEN = re.compile(
    r"(?P<ordinal>\d+(?:st|nd|rd|th)\b)"
    r"|(?P<number>(?:(?<!\S)-)?\d+(?:\.\d+)?)"
    r"|(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)"
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
