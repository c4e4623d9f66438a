"""Flesch-Kincaid grade of English text, and which words drive it.

Formula: Kincaid, Fishburne, Rogers, Chissom (1975), Derivation of new readability formulas for Navy
enlisted personnel, Research Branch Report 8-75: 0.39 words/sentence + 11.8 syllables/word - 15.59.
"""

import re
from collections import Counter
from dataclasses import dataclass

WORD = re.compile(r"[A-Za-z]+(?:['\u2019-][A-Za-z]+)*|\d+(?:[.,:/-]\d+)*")
SENTENCE_END = re.compile(r"[.!?]+(?=\s|$)|\n+")  # a line of a list is read as a sentence of its own
PLACEHOLDER = re.compile(r"\{[^{}]*\}|%\([^()]*\)[sd]")

# Where spelling misleads the rules below; counts as in the CMU Pronouncing Dictionary.
SPELLED_OTHERWISE = {
    1: (
        "clothes eye near vague"
    ),
    2: (
        "acne aspirin average business camera chocolate client courses crooked cruel different evening every "
        "favorite fire fluid hour household interest lifetime likewise maybe metres naive naked nineteen "
        "ninety ok our poem react rely rugged ruin safety science someday somewhat technique therefore tired "
        "unique wednesday wicked wretched"
    ),
    3: (
        "anyone area averages caveat created dialogue everyday everything everywhere expires idea reaction "
        "recipe whoever"
    ),
    4: (
        "anxiety apostrophe catastrophe cooperate coordinate everybody reliable society variable variety"
    ),
    5: (
        "deactivated"
    ),
}
EXCEPTIONS = {word: count for count, words in SPELLED_OTHERWISE.items() for word in words.split()}

NUMBERS = {
    **dict.fromkeys((0, 7, 13, 14, 15, 16, 18, 19, 20, 30, 40, 50, 60, 80, 90), 2),
    **dict.fromkeys((11, 17, 70), 3),
    **dict.fromkeys((1, 2, 3, 4, 5, 6, 8, 9, 10, 12), 1),
}


@dataclass(frozen=True)
class Reading:
    words: int
    sentences: int
    syllables: int

    @property
    def grade(self) -> float:
        return 0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59

    def __add__(self, other: "Reading") -> "Reading":
        return Reading(
            self.words + other.words, self.sentences + other.sentences, self.syllables + other.syllables
        )


def read(text: str) -> Reading:
    """Counts; a placeholder counts as one short word, a number as it is said aloud."""
    plain = PLACEHOLDER.sub(" one ", text)
    sentences = [part for part in SENTENCE_END.split(plain) if WORD.search(part)]
    words = WORD.findall(plain)
    return Reading(len(words), len(sentences), sum(syllables(word) for word in words))


def hard_words(text: str) -> list[tuple[str, int]]:
    """(word, syllables) of three syllables and more, the longest first: what to replace."""
    words = Counter(word.lower() for word in WORD.findall(PLACEHOLDER.sub(" ", text)))
    hard = [(word, syllables(word)) for word in words if syllables(word) >= 3]
    return sorted(hard, key=lambda pair: (-pair[1], pair[0]))


def syllables(word: str) -> int:
    """Syllables of one English word, compound with hyphens, or number."""
    if word[0].isdigit():
        return sum(_number(int(part)) for part in re.findall(r"\d+", word))
    return sum(_syllables(part) for part in word.lower().replace("\u2019", "'").split("-"))


def _number(value: int) -> int:
    if value in NUMBERS:
        return NUMBERS[value]
    if value < 100:
        return NUMBERS[value // 10 * 10] + NUMBERS[value % 10]
    if value < 1000:
        return NUMBERS[value // 100] + 2 + (_number(value % 100) if value % 100 else 0)
    return _number(value // 1000) + 2 + (_number(value % 1000) if value % 1000 else 0)


def _syllables(word: str) -> int:
    if word.endswith("n't"):
        return _syllables(word[:-3]) + (1 if re.search(r"[ds]n't$", word) else 0) if word != "won't" else 1
    word = re.sub(r"'(s|d|m|re|ll|ve)?", lambda found: "s" if found[1] == "s" else "", word)
    if word in EXCEPTIONS:
        return EXCEPTIONS[word]
    if word.endswith("s") and word[:-1] in EXCEPTIONS:
        return EXCEPTIONS[word[:-1]]
    return max(1, len(re.findall(r"[aeiouy]+", word)) - _silent(word) + _hidden(word))


SILENT = (  # vowels that are written and not spoken
    r"[^aeiouyl]e$|[aeiouy]le$",  # make, fire, hole; not table
    r"(?<=[^aeiouytd])(?<![^aeiouylr][lr])ed$",  # tapped, pulled; not rested, handled
    r"(?<=[^aeiouylscxzgh])es$|[aeiouy]les$|(?<=[^sctx])hes$",  # takes, holes; not rises, ages, handles
    r"[^aeiouy]e(?:ly|less|lessness|ness|ful|fully|some|thing|times|where|body|one|line|lines|work|table)$",
    r"[^aeiouyl]ements?$",  # movement; not supplement, settlement
)
HIDDEN = (  # two spoken vowels that are written side by side
    r"i(?:a(?!l?ly$|lize|l$|ge|n$|ns$|r$|b)|um|us$|o(?!n|u))",
    r"(?:[^tcsgl]|st)i(?:al|an|ans|ally|ar)$",
    r"[^stcgxnh]ion",
    r"[^tcxgs]iou",
    r"eat(?:e|es|or|ive)$|ea(?:n|r)$(?<=(?:pean|near))",
    r"eo(?!n$|p|r|u)",
    r"[^gq]u(?:al|ally|ary|ate|ation|ous|ent|it(?:y|ies)$|ity)",
    r"[^gt]eous",
    r"[aeiouy]ing",
    r"^re(?:a(?=ss|pp|dj|ff|rm|lign|w)|i(?=n[stv])|o)",
    r"[aeou]y(?!ing)[aeiou]",
    r"i(?:er|est|et)s?$",
    r"(?:ism|thm)s?$",
)


def _silent(word: str) -> int:
    return sum(bool(re.search(pattern, word)) for pattern in SILENT)


def _hidden(word: str) -> int:
    return sum(bool(re.search(pattern, word)) for pattern in HIDDEN)
