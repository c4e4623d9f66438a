"""The catalogues of text: gettext files read as they are, every text found by a key."""

import datetime as dt
import io
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from string import Formatter

from babel.dates import format_date, format_time
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.numbers import format_decimal
from babel.support import Translations

from core.errors import HoldlowerError

FALLBACK = "en"
INSTEAD = "instead."  # before the key of one of these texts: a programme's own words for it


class WordingError(HoldlowerError):
    """A text is missing from the catalogue."""


class Text:
    """The texts of one language: `text("key", name=value)`, and dates and numbers as that language writes them."""

    def __init__(self, language: str, instead: Mapping[str, str] | None = None) -> None:
        self.language = language if language in languages() else FALLBACK
        self._known = _read(self.language)
        self._instead = instead or {}

    def __call__(self, key: str, /, **facts: object) -> str:
        """The text of `key` with its gaps filled; raises WordingError when the catalogue has none."""
        found = self._one(key)
        if found is None:
            raise WordingError(f"catalogue {self.language}: no text for {key!r}; add it to holdlower.po")
        return found.format(**facts) if facts else found

    def with_words(self, words: Mapping[str, Mapping[str, str]]) -> "Text":
        """The same texts, but for those that a programme has its own words for."""
        return Text(self.language, words.get(self.language)) if words else self

    def has(self, key: str) -> bool:
        return self._one(key) is not None

    def _one(self, key: str) -> str | None:
        """The text of `key`, of one with several forms the one for 1 (which older Pythons do not find by the key)."""
        if (other := self._instead.get(f"{INSTEAD}{key}")) is not None:
            return other
        found = str(self._known.ugettext(key))
        if found == key:
            found = str(self._known.ungettext(key, f"{key}.many", 1))
        return None if found in (key, f"{key}.many") else found

    def many(self, key: str, n: int, /, **facts: object) -> str:
        """The text of `key` in the form that goes with the number `n`."""
        found = self._known.ungettext(key, f"{key}.many", int(n))
        if found in (key, f"{key}.many"):
            raise WordingError(f"catalogue {self.language}: no plural text for {key!r}; add it to holdlower.po")
        return found.format(n=self.number(n), **facts)

    def fitting(self, key: str, n: float, /, **facts: object) -> str:
        """The text of `key` in the form that goes with `n`, where it has several; else the one it has."""
        forms = self._known.ungettext(key, f"{key}.many", int(n))
        return self(key, **facts) if forms in (key, f"{key}.many") else str(forms.format(n=self.number(n), **facts))

    def words(self, key: str) -> frozenset[str]:
        """What a person may type for something: the catalogue lists them with commas between."""
        return frozenset(word.strip().casefold() for word in self(key).split(","))

    def number(self, value: float, digits: int = 1) -> str:
        """A number with at most `digits` decimals."""
        if value >= 0 and value == int(value):
            return str(int(value))  # alike in every language here, and most numbers are: formatting takes 0.2 ms
        return str(format_decimal(round(value, digits), format="0.###", locale=self.language))

    def tenths(self, value: float) -> str:
        """A number with exactly one decimal, for columns and scales."""
        return str(format_decimal(round(value, 1), format="0.0", locale=self.language))

    def hundredths(self, value: float) -> str:
        """A number with exactly two decimals."""
        return str(format_decimal(round(value, 2), format="0.00", locale=self.language))

    def day(self, date: dt.date) -> str:
        return str(format_date(date, self("date.day"), locale=self.language))

    def date(self, date: dt.date) -> str:
        """With its year."""
        return str(format_date(date, self("date.full"), locale=self.language))

    def time(self, time: dt.time) -> str:
        return str(format_time(time, self("date.time"), locale=self.language))

    def weekday(self, number: int) -> str:
        """Short, 0 is Monday."""
        return str(format_date(dt.date(2001, 1, 1 + number), "EEE", locale=self.language))  # 1 January 2001: a Monday

    def month(self, number: int) -> str:
        return str(format_date(dt.date(2000, number, 1), "MMM", locale=self.language))


def gaps(text: str) -> set[str]:
    """The names in braces that a text is filled in with."""
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@cache
def text_in(language: str) -> Text:
    """The texts of a language, read once; an unknown language gets the fallback's."""
    return Text(language.partition("-")[0].lower())


@cache
def languages() -> frozenset[str]:
    """The languages that have a catalogue."""
    return frozenset(entry.name for entry in (files("bot") / "locale").iterdir() if entry.is_dir())


@cache
def _read(language: str) -> Translations:
    """The compiled catalogue; it takes 150 ms, so once a process and not once a programme's words."""
    source = (files("bot") / "locale" / language / "LC_MESSAGES" / "holdlower.po").read_bytes()
    compiled = io.BytesIO()
    write_mo(compiled, read_po(io.BytesIO(source), locale=language))
    compiled.seek(0)
    return Translations(fp=compiled)
