"""A programme as frozen values: the steps of the ladder and every threshold the rule measures against.

Each number is a Figure, so that a decision can say where its thresholds come from. Weights are in grams,
times in seconds, shares between 0 and 1. `core.programme.file` makes these values from a file and checks that
they fit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

import pydantic.dataclasses
from pydantic import Field

from core.errors import ProgrammeError
from core.model import Dose, Figure, Provenance
from core.programme.thresholds import (
    CLOSED,
    Days,
    Guiding,
    Key,
    LongWindow,
    Progress,
    Rating,
    Rule,
    Weight,
    Window,
)


@dataclass(frozen=True, slots=True)
class Source:
    """One row that numbers rest on; a published one has a citation and how it is known."""

    key: str
    kind: Provenance
    citation: str = ""
    known: str = ""
    note: str = ""


@pydantic.dataclasses.dataclass(frozen=True, slots=True, config=CLOSED)
class Gate:
    """One way into a step. All that it names must hold; None asks nothing.

    `after_days` makes it a short cut: so many days of the step that is left will do, and training days in proportion.
    """

    mean: Rating  # at most, weekly mean
    mean_days: LongWindow | None = None  # at most `mean` over this longer stretch too
    hold_days: Days | None = None  # at least, days served on isometric steps
    after_days: Days | None = None  # instead of the least days of the step that is left
    calm_limit: Rating | None = None  # no day above this ...
    calm_days: Window | None = None  # ... within so many days


@dataclass(frozen=True, slots=True)
class Step:
    """One rung. `number` counts from 1; `key` finds the words."""

    number: int
    key: str
    dose: Dose  # of a training day, at the lowest load of the step
    training_days: Figure | None  # at least, on this step, to move on
    rhythm: tuple[bool, ...]  # training days, repeated from the first day of the step
    least_days: Figure
    gates: tuple[Gate, ...]  # one of them must be open; none at all lets everybody in
    entry_rise_g: int
    floor_g: int  # easing the load never goes below
    cap_g: int
    rises: bool  # whether the load grows week by week
    back_above: Figure | None  # weekly mean above which this isometric step is left for the one before
    maintenance: bool
    passed_days: tuple[int, int] | None  # by simulation: until half, and three in four, were on the next one
    holds: int  # number of the isometric step that a day of holds only, and a return to holds, take

    @property
    def rest(self) -> Dose:
        """What a day without sets asks."""
        return self.dose.rest()


@pydantic.dataclasses.dataclass(frozen=True, slots=True, config=CLOSED)
class Equipment:
    """Something to hold; `most_g` is the heaviest weight it is good for, None no limit."""

    key: Key
    most_g: Weight | None = None
    drawn: Literal["", "round", "hung"] = ""  # in a hand, as seen from its end: round and filled, or hung from it
    sizes_g: tuple[int, ...] = ()  # what one holds when full, the smallest first


@pydantic.dataclasses.dataclass(frozen=True, slots=True, config=CLOSED)
class Picture:
    """How an exercise is drawn: what `rests` on a table's edge, and what `turns` beyond it, from one angle to another.

    Angles are in degrees above level. `faces`: what its inner side looks at. The other hand `presses` on it, or
    `brings` it up, with or without a weight. `wrong` is what not to do: it rises, sinks, or lifts by itself.
    """

    key: Key  # of the exercise
    rests: Key
    turns: Key
    faces: Literal["up", "down"]
    start: Annotated[int, Field(ge=-90, le=90)]
    end: Annotated[int, Field(ge=-90, le=90)]
    wrong: Literal["rises", "sinks", "lifts"]
    helper: Literal["", "presses", "brings"] = ""
    helper_with_weight: Literal["", "presses", "brings"] = ""
    circles: bool = False


@dataclass(frozen=True, slots=True)
class Topic:
    """Something that is explained: its words are found by `key`; where they are from stands beside it."""

    key: str
    provenance: Provenance
    rows: tuple[str, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Programme:
    """A whole folder, checked: `text` holds its files, to be stored beside the courses that follow it.

    `version` changes with any number, key or source, never with layout, comments or words: a word that is mended
    reaches everybody who follows these numbers. `words` has the texts of each language by key.
    """

    name: str
    version: str
    body: str  # the part of the body, as an exported record names it
    sides: tuple[str, ...]
    steps: tuple[Step, ...]
    rule: Rule
    guiding: Guiding | None  # None: no set is counted through
    progress: Progress | None  # None: a change of the pain is told without what it is worth
    sources: tuple[Source, ...]
    equipment: tuple[Equipment, ...]
    pictures: tuple[Picture, ...]
    screens: tuple[Topic, ...]  # asked before the first dose; a yes needs a person to look
    education: tuple[Topic, ...]  # told at the start and whenever asked, in this order
    questions: tuple[Topic, ...]  # ordinary ones, answered at once
    suggestions: tuple[Topic, ...]  # to the therapist, by the reason to look
    figures: tuple[Figure, ...]  # every number of the file; `name` is its path, as `step[3].exercise[1].sets`
    text: str
    words: Mapping[str, Mapping[str, str]]

    @property
    def rungs(self) -> int:
        """How many steps there are to climb: all but the one that only keeps what was gained."""
        return sum(not step.maintenance for step in self.steps)

    def said(self, *names: str) -> dict[str, dict[str, str]]:
        """The texts of those keys, and of the keys inside them, in every language."""
        inside = tuple(f"{name}." for name in names)
        return {
            language: {key: text for key, text in texts.items() if key in names or key.startswith(inside)}
            for language, texts in self.words.items()
        }

    def numbered(self, key: str) -> int:
        """The number of the step of that key."""
        return next(step.number for step in self.steps if step.key == key)

    def step(self, number: int) -> Step:
        """The step of that number. Raises ProgrammeError when the ladder has no such rung."""
        if 1 <= number <= len(self.steps):
            return self.steps[number - 1]
        raise ProgrammeError(
            f"programme {self.version} has steps 1 to {len(self.steps)}, "
            f"but an episode stands on step {number}; "
            "move the person to a step it has, or decide with the programme the episode was made for"
        )

    def source(self, key: str) -> Source:
        """The row of that key. Raises ProgrammeError when no source is called so."""
        for one in self.sources:
            if one.key == key:
                return one
        raise ProgrammeError(f"programme {self.version} has no source {key!r}")

    def cited(self, figure: Figure) -> tuple[str, ...]:
        """The sources of a figure's published rows, as they are quoted."""
        return tuple(source.citation for source in map(self.source, figure.rows) if source.citation)
