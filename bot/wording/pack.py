"""The programme's own words, which come with the facts of a message: the texts of a key in every language it has."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import INSTEAD, Text, WordingError, gaps, text_in
from core.facts import Words
from core.programme import Programme

Facts = Mapping[str, Any]


class Pack:
    """The programme's words in the language of `text`, else in one that it has."""

    def __init__(self, text: Text, words: Words) -> None:
        self._texts = words.get(text.language) or next(iter(words.values()), {})

    def __call__(self, key: str, /, **gaps: object) -> str:
        """The text of `key` with its gaps filled; the key itself where a programme brought no words at all.

        Raises WordingError where it brought others: then the facts of the message lack this one.
        """
        if self._texts and key not in self._texts:
            raise WordingError(f"the words in the facts of this message have no text for {key!r}; hand it on, too")
        found = self._texts.get(key, key)
        return found.format(**gaps) if gaps else found

    def has(self, key: str) -> bool:
        return key in self._texts


def misplaced(programme: Programme) -> list[str]:
    """Words that stand in for a text which is not there, or ask for what that one is not given."""
    found = []
    for language, texts in programme.words.items():
        ours = text_in(language)
        for key, words in texts.items():
            name = key.removeprefix(INSTEAD)
            if name == key:
                continue
            if not ours.has(name):
                found.append(f"words.{language}.po: {key}: there is no text {name} to stand in for")
            elif more := gaps(words) - gaps(ours(name)):
                found.append(f"words.{language}.po: {key}: {', '.join(sorted(more))} cannot be filled in there")
    return found
