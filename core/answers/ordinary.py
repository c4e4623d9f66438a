"""Ordinary questions: which of those that a programme answers itself a text asks."""

from collections.abc import Mapping
from functools import lru_cache

from core.answers.lexicon import phrases
from core.answers.phrases import Phrasebook
from core.answers.reading import read
from core.answers.understand import lexicon_of

MOST = 2  # who asks more at once is better answered by a person
Asked = tuple[tuple[str, str], ...]


def ordinary(text: str, language: str, asked: Mapping[str, str], for_a_person: str) -> tuple[str, ...]:
    """The keys of the questions that a text asks, in the order of `asked`, which has the phrases of each.

    None where it asks none of them, too many at once, or says anything that is `for_a_person`.
    """
    tokens = read(text, lexicon_of(language))
    if next(phrasebook(language, (("", for_a_person),)).find(tokens), None):
        return ()
    found = {match.kind for match in phrasebook(language, tuple(asked.items())).find(tokens)}
    return tuple(key for key in asked if key in found) if len(found) <= MOST else ()


@lru_cache(maxsize=16)
def phrasebook(language: str, asked: Asked) -> Phrasebook[str]:
    """The phrases of each question. Raises ValueError or KeyError for one that cannot be read."""
    return Phrasebook([(key, phrases(text)) for key, text in asked], lexicon_of(language).classes)
