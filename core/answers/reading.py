"""From a text to its words: whether they are of a language that can be read, short forms and slips mended, number words
as numbers ("twenty five", "four and a half"). Voice typing's "for" counts where it can be nothing else."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence

from core.answers.lexicon import Lexicon
from core.answers.tokens import BREAKS, WORD, Token, normalise, tokenise

END = Token(".")
_WITH_DIGITS = re.compile(r"(?<![^\W_])[^\W_]*\d[^\W_]*")


def read(text: str, lexicon: Lexicon) -> list[Token]:
    """The text as canonical tokens, closed by a full stop; numbers, however written, carry a value."""
    plain = _WITH_DIGITS.sub(lambda found: lexicon.words.written_short.get(found[0], found[0]), normalise(text))
    for short, meaning in lexicon.words.with_signs.items():
        plain = plain.replace(short, meaning)
    words = list(_words(tokenise(plain, lexicon.words.glued_units), lexicon))
    return [*spoken_numbers(words, lexicon), END]


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
        if spelled in lexicon.words.expansions:
            yield from lexicon.words.expansions[spelled].split()
            continue
        yield from _expanded(spelled, lexicon)


def _expanded(word: str, lexicon: Lexicon) -> Iterator[str]:
    """ "everything's" as everything, is."""
    if "'" not in word:
        yield word
        return
    for ending, meaning in lexicon.words.contraction_endings.items():
        if word.endswith(ending) and len(word) > len(ending):
            stem = word.removesuffix(ending)
            yield from lexicon.speller.correct(stem)
            yield meaning
            return
    yield word


def spoken_numbers(tokens: Sequence[Token], lexicon: Lexicon) -> list[Token]:
    """`tokens` with number words as numbers. A word such as "one" in "the last one" stays a word."""
    found: list[Token] = []
    for at, token in enumerate(tokens):
        if not token.is_word:
            found.append(token)
            continue
        value = _value(tokens, at, found, lexicon)
        found.append(token if value is None else Token(token.text, float(value), token.glued, token.typed))
    return _joined(found, lexicon)


def _value(tokens: Sequence[Token], at: int, before: Sequence[Token], lexicon: Lexicon) -> int | None:
    word = tokens[at].text
    if word in lexicon.words.numbers:
        pronoun = word in lexicon.words.pronoun_numbers and _is_pronoun(tokens, at, lexicon)
        return None if pronoun else lexicon.words.numbers[word]
    if word in lexicon.words.sound_alikes and _sounds_like_number(tokens, at, before, lexicon):
        return lexicon.words.sound_alikes[word]
    return None


def _is_pronoun(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    previous = tokens[at - 1].text if at else ""
    following = tokens[at + 1].text if at + 1 < len(tokens) else ""
    if previous in lexicon.words.determiners and following in lexicon.words.set_nouns:
        return False
    return previous in lexicon.words.before_pronoun or following in lexicon.words.after_pronoun


def _sounds_like_number(
    tokens: Sequence[Token], at: int, before: Sequence[Token], lexicon: Lexicon
) -> bool:
    """True between a word that wants a number ("pain", "did") and the end, a break, or a word that follows one."""
    if _before_total(tokens, at, lexicon):
        return True
    previous = before[-1] if before else None
    following = tokens[at + 1].text if at + 1 < len(tokens) else "."
    if previous is None:
        return following in lexicon.words.after_sound_alike and at + 2 < len(tokens)
    if previous.text in lexicon.words.before_sound_alike:
        return tokens[at].text in lexicon.words.sure_sound_alikes or _may_follow(following, lexicon)
    if previous.text == lexicon.words.of and len(before) > 1 and before[-2].value is not None:
        return _may_follow(following, lexicon)
    wanted = len(before) > 1 and before[-2].text in lexicon.words.before_sound_alike
    return wanted and previous.value is not None and following in lexicon.words.set_nouns


def _before_total(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> bool:
    """ "a for out of ten"."""
    if " ".join(token.text for token in tokens[at + 1 : at + 3]) != lexicon.words.out_of or at + 3 >= len(tokens):
        return False
    return tokens[at + 3].value is not None or tokens[at + 3].text in lexicon.words.numbers


def _may_follow(word: str, lexicon: Lexicon) -> bool:
    return word in BREAKS or word in lexicon.words.after_sound_alike


def _joined(tokens: list[Token], lexicon: Lexicon) -> list[Token]:
    """Tens with units, and halves: 20 5 becomes 25; 4 and a half, 4 point 5 become 4.5."""
    joined: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        size, value = _compound(tokens, at, lexicon)
        if size > 1:
            typed = " ".join(part.as_typed for part in tokens[at : at + size])
            token = Token(token.text, value, token.glued, typed)
        joined.append(token)
        at += size
    return joined


def _compound(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> tuple[int, float]:
    value = tokens[at].value
    if value is None:
        return 1, 0.0
    following = tokens[at + 1].text if at + 1 < len(tokens) else ""
    if following not in lexicon.after_whole and tokens[at].text not in lexicon.words.tens:
        return 1, value
    texts = tuple(token.text for token in tokens[at : at + 5])
    for words in lexicon.words.and_a_half:
        if texts[1 : 1 + len(words)] == words:
            return 1 + len(words), value + 0.5
    if len(texts) > 2 and texts[1] == lexicon.words.point and (part := tokens[at + 2].value) is not None:
        return 3, value + part / 10
    if texts[0] in lexicon.words.tens:
        units = texts[2:3] if texts[1:2] == ("-",) else texts[1:2]
        more = lexicon.words.numbers.get(units[0], 0) if units else 0
        if 0 < more < 10:
            return (3 if texts[1] == "-" else 2), value + more
    return 1, value


_LOOKED_AT = 1_000  # characters: the language of a text shows early
_MANY = 4  # words from which a text of unknown words is another language
_KNOWN = 0.25  # of them that a text in a language that can be read has at least
_SURE = 3  # known words in a row of which a sentence amid another language is read
_PLAIN = str.maketrans("łøıđ", "loid")  # letters that keep their stroke or lose their dot when accents are left out
_SENTENCE = re.compile(r"[;!?]|\.(?!\d)|(?<!\d)\.")
_CLAUSE = re.compile(r",(?!\d)|(?<!\d),")  # "4,5" is a decimal where points are commas
_BARE = re.compile(r"\d{1,2}(?: ?/ ?\d{1,2})?")


def readable(text: str, lexicon: Lexicon) -> bool:
    """False for another script or language than the lexicon's; digits and pictures alone are readable."""
    words = _words_in(normalise(text[:_LOOKED_AT]))
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


def _words_in(plain: str) -> list[str]:
    return WORD.findall(plain.translate(_PLAIN))


def _other_script(words: Sequence[str]) -> bool:
    letters = "".join(words)
    if letters.isascii():
        return False
    latin = sum(char.isascii() or unicodedata.name(char, "").startswith("LATIN") for char in letters)
    return 2 * latin < len(letters)


def _surely(sentence: str, lexicon: Lexicon) -> bool:
    words = _words_in(sentence)
    return len(words) >= _SURE and _known(words, lexicon) == len(words) >= 2 * _elsewhere(words, lexicon)


def _known(words: Sequence[str], lexicon: Lexicon) -> int:
    return sum(_is_known(word, lexicon) for word in words)


def _is_known(word: str, lexicon: Lexicon) -> bool:
    """A word of the lexicon, a short form of one ("can't"), or a slip from one that no other language has."""
    stem, mark, _ = word.partition("'")
    if mark:
        short = word.endswith(tuple(lexicon.words.contraction_endings))
        return word in lexicon.known or (short and stem.removesuffix("n") in lexicon.known)
    return word in lexicon.known or lexicon.speller.correct(word) != (word,)


def _elsewhere(words: Sequence[str], lexicon: Lexicon) -> int:
    """The most of the words that are of one other language; a part will do: "aujourd'hui"."""
    found: Counter[str] = Counter()
    for word in words:
        parts = (word, *word.split("'")) if "'" in word else (word,)
        found.update({language for part in parts for language in lexicon.languages_of.get(part, ())})
    return max(found.values(), default=0)
