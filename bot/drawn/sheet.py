"""What the sheet for a newcomer shows: the way in, the routine, a paper diary; knows nothing of how it is laid out."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Diary:
    """An empty table for the wall: `days` rows a week under `head`."""

    title: str
    how: str
    head: tuple[str, ...]
    days: tuple[str, ...]  # short names, Monday first
    week: str  # with the gap {week}
    weeks: int


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """`scan` is what the square of dots holds, "" for none; `parts` are (heading, paragraphs)."""

    title: str
    clinic: str
    foot: str
    page: str  # with the gaps {page} and {pages}
    language: str
    made: str  # aware ISO time
    scan: str
    way_in: tuple[str, ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    diary: Diary


def sheet_of(kept: Mapping[str, Any]) -> SheetFacts:
    """The facts from the JSON values of their fields."""
    diary = Diary(**kept["diary"] | {"head": tuple(kept["diary"]["head"]), "days": tuple(kept["diary"]["days"])})
    parts = tuple((heading, tuple(lines)) for heading, lines in kept["parts"])
    return SheetFacts(**dict(kept) | {"diary": diary, "parts": parts, "way_in": tuple(kept["way_in"])})
