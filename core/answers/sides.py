"""Which part of a typed line speaks of which side, for somebody who is asked about both: "right 3, left 5, did all"."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from core.answers.lexicon import lexicon_of
from core.answers.tokens import normalise
from core.answers.understand import understand
from core.answers.wordlists import Sides
from core.understanding import Question

_TOKEN = re.compile(r"\d+(?:\.\d+)?|[^\W\d_]+(?:'[^\W\d_]+)*|[^\w\s]")
_OF_TEN = re.compile(r"\s*(/|out of|of) ?10\b")
_NEAR = 3  # tokens between a side and its number


@dataclass(frozen=True, slots=True)
class BySide:
    """What a line says of each side that it names, and what it says once for all of them."""

    parts: Mapping[str, str] = field(default_factory=dict)
    shared: str = ""
    unclear: bool = False  # which of its numbers is of which side
    pair: tuple[str, ...] = ()  # two numbers that are all it says: "3 and 5"


def by_side(text: str, language: str) -> BySide:
    """The parts of a line by "left" and "right"; none where it names no side. Words that only look like a side, as in
    "right now" or "two sets left", name none. Pure."""
    words = lexicon_of(language).beside.sides
    tokens, sure = _without_nouns(_TOKEN.findall(_OF_TEN.sub("", normalise(text))), words)
    numbers = [at for at, token in enumerate(tokens) if _is_number(token, language)]
    marks = [at for at in range(len(tokens)) if at in sure or _names_a_side(tokens, at, numbers, words)]
    named = [words.names[tokens[at]] for at in marks]
    if len(set(named)) == 1:
        return BySide({named[0]: " ".join(token for at, token in enumerate(tokens) if at not in marks)})
    if marks:
        return _cut(tokens, marks, named, numbers, language)
    if any(token in words.both and _near(at, numbers) <= _NEAR for at, token in enumerate(tokens)):
        return BySide(dict.fromkeys(("right", "left"), " ".join(token for token in tokens if token not in words.both)))
    others = {token for at, token in enumerate(tokens) if at not in numbers}
    if len(numbers) == 2 and others <= words.between:
        return BySide(unclear=True, pair=tuple(tokens[at] for at in numbers))
    return BySide()


def _without_nouns(tokens: Sequence[str], words: Sides) -> tuple[list[str], set[int]]:
    """ "The left one" as "the left", and the places of those that are sides for sure."""
    kept: list[str] = []
    sure = set()
    for token in tokens:
        if kept and kept[-1] in words.names and token in words.nouns:
            sure.add(len(kept) - 1)
        else:
            kept.append(token)
    return kept, sure


def _is_number(token: str, language: str) -> bool:
    return token[0].isdecimal() or token in lexicon_of(language).words.numbers


def _near(at: int, numbers: Sequence[int]) -> int:
    return min((abs(number - at) for number in numbers), default=_NEAR + 1)


def _names_a_side(tokens: Sequence[str], at: int, numbers: Sequence[int], words: Sides) -> bool:
    if tokens[at] not in words.names or _near(at, numbers) > _NEAR:
        return False
    before, after = (tokens[near] if 0 <= near < len(tokens) else "" for near in (at - 1, at + 1))
    return (before, tokens[at]) not in words.not_a_side and (tokens[at], after) not in words.not_a_side


def _stands_ahead(tokens: Sequence[str], mark: int, numbers: Sequence[int], words: Sides) -> bool:
    """Does the side stand before its number ("right 3") and not behind it ("3 on the right")?"""
    after = next((number for number in numbers if number > mark), None)
    before = next((number for number in reversed(numbers) if number < mark), None)
    if before is None or after is None:
        return before is None
    parted = words.between.intersection
    return not parted(tokens[mark:after]) or bool(parted(tokens[before:mark]))


def _cut(
    tokens: Sequence[str], marks: Sequence[int], named: Sequence[str], numbers: Sequence[int], language: str
) -> BySide:
    words = lexicon_of(language).beside.sides
    ahead = _stands_ahead(tokens, marks[0], numbers, words)
    ends = [*marks[1:], len(tokens)] if ahead else marks
    starts = [mark + 1 for mark in (marks if ahead else [-1, *marks[:-1]])]
    parts: dict[str, list[str]] = {}
    for side, start, end in zip(named, starts, ends, strict=True):
        parts.setdefault(side, []).extend([*tokens[start:end], ","])
    if ahead:
        first = next((number for number in numbers if number > marks[-1]), len(tokens))
        head, tail = tokens[: marks[0]], tokens[first + 1 :]
    else:
        first = next((number for number in numbers if number < marks[0]), 0)
        head, tail = tokens[:first], tokens[marks[-1] + 1 :]
    shared = [token for token in (*head, ",", *tail) if token not in words.both]
    led = head[max((at + 1 for at, token in enumerate(head) if token in words.between), default=0) :]
    return BySide(
        {side: " ".join(said) for side, said in parts.items()},
        " ".join(shared),
        unclear=ahead and any(_tells_sets(led[:end], language) for end in range(max(len(led) - 2, 0), len(led) + 1)),
    )


def _tells_sets(words: Sequence[str], language: str) -> bool:
    """ "Did all", of "did all on the right": that side then stands behind what is said of it."""
    return understand(" ".join(words), language, Question.SETS).sets is not None
