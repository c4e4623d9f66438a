"""A small notation for phrases, and finding them in a run of tokens.

    can not feel my? <limb>     words in a row; `my?` may be missing; `<limb>` is any word of that class
    numb|pins_and_needles ~ in  `|` separates alternatives, `_` joins the words of one; `~` skips up to two words,
                                `~~` up to five
    # of #                      `#` is a number; the numbers of a match are handed on
    did not $|yet               `$` wants the end of the text or clause, a number, or a word of class `$`
    no point !                  `!` wants the same with the fewer words of class `!`
    ^ all                       `^` wants the beginning, a number, or a word of class `^`

A gap never skips a clause break (nor, where asked, a number), so a phrase stays within one clause.
Language-free: the words come from a lexicon.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache, partial
from itertools import product
from typing import Generic, TypeVar

from core.answers.tokens import BREAKS, Token

_GAPS = {"~": 2, "~~": 5}
_STRETCH = 64  # tokens
_END = "!"
_ANY = ""  # no word: of phrases that have none to be looked for

Kind = TypeVar("Kind")
Classes = Mapping[str, frozenset[str]]
Phrases = tuple[str, ...]
Choices = Callable[[str], "list[tuple[_Element, ...]]"]


@dataclass(frozen=True, slots=True)
class _Element:
    """One place of a phrase: some words, a number, or a gap of at most `gap` words."""

    words: frozenset[str] = frozenset()
    number: bool = False
    gap: int = 0
    ending: bool = False
    opening: bool = False

    def fits(self, token: Token) -> bool:
        return token.text in self.words or (self.number and token.value is not None)


@dataclass(frozen=True, slots=True)
class Match(Generic[Kind]):
    """Where a phrase was found: tokens start to end (exclusive), and the numbers inside."""

    kind: Kind
    start: int
    end: int
    numbers: tuple[float, ...]


def words_of(groups: Iterable[Phrases], classes: Classes) -> frozenset[str]:
    """Every literal word the phrases of these groups can match."""
    parts = {part for group in groups for phrase in group for part in phrase.split()}
    elements = (element for part in parts for choice in _choices(part, classes) for element in choice)
    words = (element.words for element in elements if not (element.ending or element.opening))
    return frozenset[str]().union(*words)


def _variants(phrase: str, choices: Choices) -> Iterator[tuple[_Element, ...]]:
    """The phrase with each optional place once present and once missing, each run of joined words by itself."""
    for chosen in product(*map(choices, phrase.split())):
        yield tuple(element for group in chosen for element in group)


def _choices(part: str, classes: Classes) -> list[tuple[_Element, ...]]:
    """What may stand in one place of a phrase: one element, or several for joined words; nothing when optional."""
    optional = len(part) > 1 and part.endswith("?")
    part = part.removesuffix("?") if optional else part
    choices: list[tuple[_Element, ...]] = []
    if part in _GAPS:
        choices.append((_Element(gap=_GAPS[part]),))
    elif part == "^":
        choices.append((_Element(classes["^"], number=True, opening=True),))
    else:
        named = [_named(choice, classes) for choice in part.split("|")]
        words = frozenset[str]().union(*named)
        if "$" in words:
            choices.append((_Element(classes["$"], number=True, ending=True),))
        if _END in words:
            choices.append((_Element(classes[_END], number=True, ending=True),))
        words -= {"$", _END}
        single = frozenset(word for word in words if "_" not in word)
        choices += [tuple(_Element(frozenset({word})) for word in run.split("_")) for run in sorted(words - single)]
        if single:
            choices.append((_Element(single - {"#"}, number="#" in single),))
    return [*choices, ()] if optional else choices


def _named(choice: str, classes: Classes) -> frozenset[str]:
    named = len(choice) > 2 and choice.startswith("<") and choice.endswith(">")
    return classes[choice[1:-1]] if named else frozenset({choice})


@dataclass(frozen=True, slots=True)
class _Entry(Generic[Kind]):
    """One phrase under its first word, by its `place` in the lexicon. Of each of `needed` the text must have a word.

    `second`: what stands in its second place, where that is neither a gap nor the end of the text.
    """

    place: int
    kind: Kind
    opening: _Element | None
    elements: tuple[_Element, ...]
    second: _Element | None
    needed: tuple[frozenset[str], ...]


# Phrases that begin alike, each under every word of its rarest place: a text has few of those words.
_Shelf = dict[str, dict[int, _Entry[Kind]]]


@dataclass(frozen=True, slots=True)
class _Gaps:
    """What a gap never skips: the words of `closed`, and numbers unless `over_numbers`."""

    closed: frozenset[str]
    over_numbers: bool

    def end_at(self, token: Token) -> bool:
        return token.text in self.closed or (not self.over_numbers and token.value is not None)


class Phrasebook(Generic[Kind]):
    """Phrases by kind, indexed by their first word. Built once for a lexicon; finding changes nothing."""

    def __init__(
        self,
        phrases: Iterable[tuple[Kind, Iterable[str]]],
        classes: Classes,
        *,
        over_numbers: bool = True,
        not_over: frozenset[str] = frozenset(),
    ) -> None:
        """`not_over`: words that no gap skips."""
        self._gaps = _Gaps(BREAKS | not_over, over_numbers)
        self._by_word: dict[str, _Shelf[Kind]] = {}
        self._by_number: _Shelf[Kind] = {}
        choices = cache(partial(_choices, classes=classes))  # the same words stand in thousands of phrases
        variants = [
            (kind, phrase, elements)
            for kind, group in phrases
            for phrase in group
            for elements in _variants(phrase, choices)
        ]
        frequency = Counter(word for _, _, elements in variants for element in elements for word in element.words)
        self._most = max((sum(each.gap or 1 for each in elements) for _, _, elements in variants), default=0)
        for place, (kind, phrase, elements) in enumerate(variants):
            self._add(place, kind, elements, phrase, frequency)

    def _add(
        self, place: int, kind: Kind, elements: tuple[_Element, ...], phrase: str, frequency: Mapping[str, int]
    ) -> None:
        opening, elements = (elements[0], elements[1:]) if elements[0].opening else (None, elements)
        if not elements or elements[0].gap:
            raise ValueError(f"phrase {phrase!r}: must be able to start with a word or number only")
        last = next((at for at, element in enumerate(elements) if element.ending), len(elements))
        elements = elements[: last + 1]  # an ending is the end: "at the end !|of it"
        rarest, *needed = _needed(elements[1:], frequency) or (frozenset[str](),)
        second = next((element for element in elements[1:2] if not (element.gap or element.ending)), None)
        entry = _Entry(place, kind, opening, elements, second, tuple(needed))
        shelves = [self._by_word.setdefault(word, {}) for word in elements[0].words]
        for shelf in [*shelves, self._by_number] if elements[0].number else shelves:
            for word in rarest or (_ANY,):
                shelf.setdefault(word, {})[place] = entry

    def longest(self, tokens: Sequence[Token]) -> Callable[[int], Match[Kind] | None]:
        """For a place the longest phrase that begins there; of equals the first in the lexicon."""
        beginning = self._beginning(tokens)

        def at(start: int) -> Match[Kind] | None:
            tried = beginning(tokens[start])
            return max(self._at(tokens, start, tried), key=lambda match: match.end, default=None) if tried else None

        return at

    def find(self, tokens: Sequence[Token]) -> Iterator[Match[Kind]]:
        """Every phrase that begins anywhere; matches may overlap.

        A long text is looked through in stretches, since of few words few phrases can be made.
        """
        for first in range(0, len(tokens), _STRETCH):
            beginning = None
            for start, token in enumerate(tokens[first : first + _STRETCH], first):
                if token.text in self._by_word or (self._by_number and token.value is not None):
                    beginning = beginning or self._beginning(tokens[first : first + _STRETCH + self._most])
                    if tried := beginning(token):
                        yield from self._at(tokens, start, tried)

    def _beginning(self, tokens: Sequence[Token]) -> Callable[[Token], Sequence[_Entry[Kind]]]:
        """For a token of a text the phrases that begin with it and may be found in this text, as in the lexicon."""
        words = {_ANY, *(token.text for token in tokens)}
        looked_up: dict[tuple[str, bool], Sequence[_Entry[Kind]]] = {}

        def beginning(token: Token) -> Sequence[_Entry[Kind]]:
            key = (token.text, token.value is None)
            if key not in looked_up:
                looked_up[key] = self._in_text(token, words)
            return looked_up[key]

        return beginning

    def _at(self, tokens: Sequence[Token], start: int, tried: Sequence[_Entry[Kind]]) -> Iterator[Match[Kind]]:
        """Those phrases that begin at `start`."""
        following = tokens[start + 1] if start + 1 < len(tokens) else None
        for entry in tried:
            if entry.second and not (following and entry.second.fits(following)):
                continue  # known without a call: most phrases end here
            if entry.opening and not _opens(tokens, start, entry.opening):
                continue
            end = _end(tokens, start + 1, entry.elements, 1, self._gaps)
            if end is not None:
                numbers = _numbers(tokens, start, end, entry.elements)
                yield Match(entry.kind, start, end, numbers)

    def _in_text(self, token: Token, words: AbstractSet[str]) -> Sequence[_Entry[Kind]]:
        shelves = [self._by_word[token.text]] if token.text in self._by_word else []
        if token.value is not None:
            shelves.append(self._by_number)
        near: dict[int, _Entry[Kind]] = {}
        for shelf in shelves:
            for word in shelf.keys() & words:
                near.update(shelf[word])
        if not near:
            return ()
        found = map(near.__getitem__, sorted(near))
        return [entry for entry in found if not any(map(words.isdisjoint, entry.needed))]


def _needed(elements: Sequence[_Element], frequency: Mapping[str, int]) -> tuple[frozenset[str], ...]:
    """The words of each place, first those that the fewest other phrases speak of."""
    places = [element.words for element in elements if element.words and not (element.number or element.ending)]
    return tuple(sorted(places, key=lambda words: sum(frequency[word] for word in words)))


def _opens(tokens: Sequence[Token], start: int, opening: _Element) -> bool:
    return start == 0 or tokens[start - 1].text in BREAKS or opening.fits(tokens[start - 1])


def _end(tokens: Sequence[Token], at: int, elements: Sequence[_Element], place: int, gaps: _Gaps) -> int | None:
    """Where `elements` from `place` on end when they begin at token `at`; None when they do not."""
    for next_place in range(place, len(elements)):
        element = elements[next_place]
        if element.gap:
            return _end_after_gap(tokens, at, elements, next_place, gaps)
        if element.ending:
            return at if at >= len(tokens) or tokens[at].text in BREAKS or element.fits(tokens[at]) else None
        if at >= len(tokens) or not element.fits(tokens[at]):
            return None
        at += 1
    return at


def _end_after_gap(
    tokens: Sequence[Token], at: int, elements: Sequence[_Element], place: int, gaps: _Gaps
) -> int | None:
    following = elements[place + 1] if place + 1 < len(elements) else None
    plain = following is not None and not (following.gap or following.ending)
    for skipped in range(at, at + elements[place].gap + 1):
        if plain and skipped < len(tokens) and following is not None and not following.fits(tokens[skipped]):
            end = None  # known without a further call: gaps are where the time goes
        else:
            end = _end(tokens, skipped, elements, place + 1, gaps)
        if end is not None:
            return end
        if skipped >= len(tokens) or gaps.end_at(tokens[skipped]):
            return None
    return None


def _numbers(
    tokens: Sequence[Token], start: int, end: int, elements: tuple[_Element, ...]
) -> tuple[float, ...]:
    if not any(element.number and not element.ending for element in elements):
        return ()
    return tuple(value for token in tokens[start:end] if (value := token.value) is not None)
