"""Plain typing slips (Damerau 1964): one letter missing, added, wrong, or two neighbours swapped."""

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

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
