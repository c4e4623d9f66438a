"""Words of a text that nothing was read from: kept as typed, for the therapist."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet

from core.answers.items import Item
from core.answers.lexicon import Lexicon, Says
from core.answers.tokens import BREAKS, Token

_MANY = 3  # words in a row that are kept, however known each is
_NO_ANSWER = frozenset({Says.UNIT, Says.ELSEWHERE, Says.OTHER_DAY})
_KEPT = _NO_ANSWER | {Says.SETS_OF, Says.TIMES}  # more is said than the number of sets: "3 sets of 15"
BETWEEN = " … "


def unread(
    tokens: Sequence[Token], items: Sequence[Item], taken: AbstractSet[int | None], heard: AbstractSet[int],
    lexicon: Lexicon,
) -> str:  # fmt: skip
    """The runs of words that no item used nor a place of `heard`, in order; '' when they carry nothing.

    `taken`: the numbers taken as answers. A run is kept with a number in it, with a word that is neither known nor a
    filler, or with three words.
    """
    used = {at for item in _used(items, taken) for at in range(item.start, item.end)}
    runs = (run for run in _runs(tokens, used | heard) if _carries(run, lexicon))
    return BETWEEN.join(map(_typed, runs))


def _used(items: Sequence[Item], taken: AbstractSet[int | None]) -> Iterator[Item]:
    """All but what is no answer, and the number beside it in its clause: "knee 7", "yesterday 6"."""
    clause: list[Item] = []
    for item in (*items, Item(Says.BREAK, 0, 0)):
        if item.says is not Says.BREAK:
            clause.append(item)
            continue
        beside = any(said.says in _NO_ANSWER for said in clause)
        for said in clause:
            loose = beside and said.says is Says.NUMBER and taken.isdisjoint(said.numbers)
            if said.says not in _KEPT and not loose:
                yield said
        clause = []


def _runs(tokens: Sequence[Token], read: AbstractSet[int]) -> Iterator[list[Token]]:
    run: list[Token] = []
    for at, token in enumerate(tokens):
        if at in read or token.text in BREAKS:
            yield run
            run = []
        else:
            run.append(token)
    yield run


def _carries(run: Sequence[Token], lexicon: Lexicon) -> bool:
    words = [token for token in run if token.is_word]
    if any(token.value is not None or (token.is_word and token.text not in lexicon.plain) for token in run):
        return True
    return len(words) >= _MANY and not all(token.text in lexicon.fillers for token in words)


def _typed(run: Sequence[Token]) -> str:
    words = "".join(token.as_typed if token.glued else f" {token.as_typed}" for token in run if token.as_typed)
    return words.strip(" -/()&*+")
