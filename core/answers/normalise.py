"""Any script, any keyboard: one text becomes lower-case letters, ASCII digits and plain marks."""

import re
import unicodedata
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
