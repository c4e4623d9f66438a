"""Values as they are put into texts: names and people's own words made safe, dates, lists."""

import unicodedata
from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import INSTEAD, Text, WordingError, gaps, text_in
from core.facts import Words
from core.programme import Programme
from core.records import Button, Worded

LONGEST = 40
JOINERS = "\u200c\u200d"  # belong to the spelling of some languages, and to emoji
RIGHT_TO_LEFT = ("R", "AL", "AN")


def shown(name: str, nobody: str, longest: int = LONGEST) -> str:
    """The name on one line, at most `longest` characters with a sign of what was cut; `nobody` where it is blank."""
    cleaned = "".join(
        character if character in JOINERS or unicodedata.category(character)[0] != "C" else " " for character in name
    )
    line = " ".join(cleaned.split()).strip(JOINERS)
    if not line:
        return nobody
    return line if len(line) <= longest else f"{line[: longest - 1].rstrip(' ' + JOINERS)}…"


def isolated(name: str) -> str:
    """The name so that one written from right to left does not turn the line around it."""
    if any(unicodedata.bidirectional(character) in RIGHT_TO_LEFT for character in name):
        return f"\u2068{name}\u2069"
    return name


def lines_of(words: str, most: int) -> str:
    """The words with their line ends kept and every other control character gone, cut at `most` characters."""
    lines = [shown(line, "", most) for line in words.splitlines()]
    whole = "\n".join(lines).strip()
    return whole if len(whole) <= most else f"{whole[: most - 1].rstrip()}…"


Facts = Mapping[str, Any]


def plain(text: Text, facts: Facts) -> dict[str, Any]:
    """Facts as they are written in the middle of a sentence."""
    shown = dict(facts)
    for name in ("date", "until", "first"):
        if name in shown:
            shown[name] = text.day(shown[name])
    if "evening" in shown:
        shown["evening"] = text.time(shown["evening"])
    if "emergency" in shown:
        shown["emergency"] = shown["emergency"] or text("emergency")
    # never more than is known: it is on its way, or there is nobody whom it could reach
    told = facts.get("told")
    shown["passed"] = text(f"passed.{told if told in ('clinic_being', 'nobody') else 'being'}")
    if "zone" in shown:
        shown["zone"] = town(shown["zone"])
    return shown


def town(zone: str) -> str:
    """A zone's town as people write it: "New York"."""
    return zone.rpartition("/")[2].replace("_", " ")


def said(text: Text, kind: str, facts: Facts, buttons: tuple[tuple[Button, ...], ...] = ()) -> Worded:
    """The text of that kind, after a word that the last answer was not understood where `again` says so."""
    words = text(kind, **plain(text, facts))
    return Worded(f"{text('again')}\n\n{words}" if facts.get("again") else words, buttons)


def asks(text: Text, facts: Facts) -> tuple[str, ...]:
    """When the next question comes: tonight, or on a later date; nothing where none is planned."""
    planned = facts.get("next")
    if planned is None:
        return ()
    day = text.day(planned)
    return (text("asks.tonight") if planned == facts["today"] else text("asks.on", date=day),)


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
