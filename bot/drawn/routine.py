"""What is shown of the routine: a drawing, the sounds of a set, the sheet; knows nothing of how."""

from dataclasses import dataclass
from typing import NamedTuple


@dataclass(frozen=True, slots=True)
class ClipFacts:
    """`acts` are (what is done, whole seconds), in order: ready, hold, lift, lower, back, change."""

    acts: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Labels:
    """Words beside the panels: what is seen from above, how it begins, what is done, and what not to do.

    `helper` names the other hand, `water` what is in it.
    """

    title: str
    above: str
    start: str
    end: str
    wrong: str
    helper: str = ""
    water: str = ""


@dataclass(frozen=True, slots=True)
class MovementFacts:
    """`rests` and `turns` name outlines; angles are in degrees above level. The person's `side` is left or right.

    `faces`: what its inner side looks at, up or down. `helper`: the other hand "presses" on it, "brings" it up, or "".
    `wrong`: "rises" what should rest leaves the table, "sinks" what is kept up hangs, "lifts" it lifts by itself.
    `held` is what to hold: "" nothing, "round" or "hung"; `load` what is written on it; `full` how full it is.
    """

    rests: str
    turns: str
    faces: str
    side: str
    start: float
    end: float
    helper: str
    wrong: str
    labels: Labels
    circles: bool = False
    held: str = ""
    load: str = ""
    full: float = 0.0
    size: float = 1.0  # of what is held, as a share of the usual one
    moving: bool = False  # a moving picture rather than a still one


@dataclass(frozen=True, slots=True)
class Diary:
    """An empty table for the wall: `days` rows a week under `head`."""

    title: str
    how: str
    head: tuple[str, ...]
    days: tuple[str, ...]  # short names, Monday first
    week: str  # with the gap {week}
    weeks: int


class Part(NamedTuple):
    """What stands under one heading, "" for none; pictures follow the first paragraph."""

    heading: str
    lines: tuple[str, ...]
    pictures: tuple[MovementFacts, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """A paper to print, named `file`. `scan` is what the square of dots holds, "" for none."""

    title: str
    clinic: str
    foot: str
    page: str  # with the gaps {page} and {pages}
    language: str
    made: str  # aware ISO time
    file: str
    way_in: tuple[str, ...]
    parts: tuple[Part, ...]
    scan: str = ""
    diary: Diary | None = None
