"""The programme's own words, which come with the facts of a message: the texts of a key in every language it has."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text

Facts = Mapping[str, Any]


class Pack:
    """The programme's words in the language of `text`, else in one that it has."""

    def __init__(self, text: Text, facts: Facts) -> None:
        every: Mapping[str, Mapping[str, str]] = facts.get("words") or {}
        self._texts = every.get(text.language) or next(iter(every.values()), {})

    def __call__(self, key: str, /, **gaps: object) -> str:
        """The text of `key` with its gaps filled; the key itself where a programme brought no words at all."""
        found = self._texts.get(key, key)
        return found.format(**gaps) if gaps else found

    def has(self, key: str) -> bool:
        return key in self._texts
