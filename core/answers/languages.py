"""Can a text be read at all? Known by its script, and by small words of other languages against known ones."""

import re
import unicodedata
from collections import Counter
from collections.abc import Sequence

from core.answers.lexicon import Lexicon
from core.answers.normalise import normalise

_LOOKED_AT = 1_000  # characters: the language of a text shows early
_MANY = 4  # words from which a text of unknown words is another language
_KNOWN = 0.25  # of them that a text in a language that can be read has at least
_SURE = 3  # known words in a row of which a sentence amid another language is read
_PLAIN = str.maketrans("łøıđ", "loid")  # letters that keep their stroke or lose their dot when accents are left out
_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_SENTENCE = re.compile(r"[;!?]|\.(?!\d)|(?<!\d)\.")
_CLAUSE = re.compile(r",(?!\d)|(?<!\d),")  # "4,5" is a decimal where points are commas
_BARE = re.compile(r"\d{1,2}(?: ?/ ?\d{1,2})?")


def readable(text: str, lexicon: Lexicon) -> bool:
    """False for another script or language than the lexicon's; digits and pictures alone are readable."""
    words = _words(normalise(text[:_LOOKED_AT]))
    if not words:
        return True
    if _other_script(words):
        return False
    known = _known(words, lexicon)
    if known == len(words):
        return True
    return known >= _elsewhere(words, lexicon) and (len(words) < _MANY or known >= _KNOWN * len(words))


def readable_part(text: str, lexicon: Lexicon) -> str:
    """Of a text in another language the numbers that are a clause by themselves, and sentences surely in this one.

    The 4 and the 3 of "4. 3, tres bien", not of "4 kilos".
    """
    kept: list[str] = []
    for sentence in _SENTENCE.split(normalise(text)):
        if _surely(sentence, lexicon):
            kept.append(sentence)
        else:
            kept += [clause for part in _CLAUSE.split(sentence) if _BARE.fullmatch(clause := part.strip())]
    return ". ".join(kept)


def _words(plain: str) -> list[str]:
    return _WORD.findall(plain.translate(_PLAIN))


def _other_script(words: Sequence[str]) -> bool:
    letters = "".join(words)
    if letters.isascii():
        return False
    latin = sum(char.isascii() or unicodedata.name(char, "").startswith("LATIN") for char in letters)
    return 2 * latin < len(letters)


def _surely(sentence: str, lexicon: Lexicon) -> bool:
    words = _words(sentence)
    return len(words) >= _SURE and _known(words, lexicon) == len(words) >= 2 * _elsewhere(words, lexicon)


def _known(words: Sequence[str], lexicon: Lexicon) -> int:
    return sum(_is_known(word, lexicon) for word in words)


def _is_known(word: str, lexicon: Lexicon) -> bool:
    """A word of the lexicon, a short form of one ("can't"), or a slip from one that no other language has."""
    stem, mark, _ = word.partition("'")
    if mark:
        short = word.endswith(tuple(lexicon.contraction_endings))
        return word in lexicon.known or (short and stem.removesuffix("n") in lexicon.known)
    return word in lexicon.known or lexicon.speller.correct(word) != (word,)


def _elsewhere(words: Sequence[str], lexicon: Lexicon) -> int:
    """The most of the words that are of one other language; a part will do: "aujourd'hui"."""
    found: Counter[str] = Counter()
    for word in words:
        parts = (word, *word.split("'")) if "'" in word else (word,)
        found.update({language for part in parts for language in lexicon.languages_of.get(part, ())})
    return max(found.values(), default=0)
