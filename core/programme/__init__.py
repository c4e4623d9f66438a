"""A programme as frozen values: the steps of the ladder and every threshold the rule measures against.

Each number is a Figure, so that a decision can say where its thresholds come from. Weights are in grams,
times in seconds, shares between 0 and 1. `core.programme.file` makes these values from a file and checks that
they fit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from core.errors import ProgrammeError
from core.model import Dose, Figure, Provenance


class Entry(StrEnum):
    """The load a step begins with: its own start load, or the one carried over from the step before."""

    START = "start"
    CARRY = "carry"


@dataclass(frozen=True, slots=True)
class Source:
    """One row that numbers rest on; a published one has a citation and how it is known."""

    key: str
    kind: Provenance
    citation: str = ""
    known: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    """One way into a step. All that it names must hold; None asks nothing."""

    mean: Figure  # at most, weekly mean
    mean_days: Figure | None = None  # at most `mean` over this longer stretch too
    hold_days: Figure | None = None  # at least, days served on isometric steps
    calm_limit: Figure | None = None  # no day above this ...
    calm_days: Figure | None = None  # ... within so many days


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
    sets_share: Figure  # sets done over sets asked in a week, to move on
    entry: Entry
    entry_rise_g: int
    floor_g: int  # easing the load never goes below
    cap_g: int
    rises: bool  # whether the load grows week by week
    back_above: Figure | None  # weekly mean above which this isometric step is left for the one before
    maintenance: bool
    holds: int  # number of the isometric step that a day of holds only, and a return to holds, take

    @property
    def rest(self) -> Dose:
        """What a day without sets asks."""
        return self.dose.rest()


@dataclass(frozen=True, slots=True)
class Equipment:
    """Something to hold; `most_g` is the heaviest weight it is good for, None no limit."""

    key: str
    most_g: Figure | None


@dataclass(frozen=True, slots=True)
class Topic:
    """Something that is explained: its words are found by `key`; where they are from stands beside it."""

    key: str
    provenance: Provenance
    rows: tuple[str, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Begin:
    """Where a course starts: a start rating above `gentle_above` takes the gentler step."""

    gentle_above: Figure
    gentle_step: int
    usual_step: int


@dataclass(frozen=True, slots=True)
class Severe:
    """`limit` or more is severe: a rest day once, back to holds at `times` within `days`."""

    limit: Figure
    times: Figure
    days: Figure


@dataclass(frozen=True, slots=True)
class Ceiling:
    """Above `day` once: half the sets, as holds. Weekly mean above `week` after the holds: back to holds."""

    day: Figure
    week: Figure


@dataclass(frozen=True, slots=True)
class Flare:
    """The running excess above level + allowance, at most `daily_cap` a day, and what follows at `limit`.

    The level is the mean of `level_days`, each rating moved on by a decline of that half-life.
    """

    allowance: Figure
    limit: Figure
    daily_cap: Figure
    stay_days: Figure
    level_days: Figure
    half_life_weeks: Figure


@dataclass(frozen=True, slots=True)
class Weeks:
    """This week's mean against the last one's, each from at least `ratings` ratings."""

    ratings: Figure
    up: Figure
    settle_days: Figure  # after any step back, before a rise of the mean may cause another
    ease_g: Figure
    ease_days: Figure  # a raise of the load this recent is taken for the cause


@dataclass(frozen=True, slots=True)
class Advance:
    """What moving on needs beside a step's own least days and gate; a step may have a share of its own."""

    ratings: Figure
    sets_share: Figure


@dataclass(frozen=True, slots=True)
class Load:
    rise_g: Figure
    every_days: Figure


@dataclass(frozen=True, slots=True)
class Gap:
    """What so many days in a row without a set bring."""

    ease_days: Figure
    ease_g: Figure
    back_days: Figure
    back_two_days: Figure
    restart_days: Figure


@dataclass(frozen=True, slots=True)
class Attention:
    """When the therapist is told although nothing is dangerous."""

    silent_days: Figure
    step_backs: Figure
    step_back_days: Figure


@dataclass(frozen=True, slots=True)
class Injection:
    """An injection into the place that hurts, before or during the course: so many days without load."""

    rest_days: Figure


@dataclass(frozen=True, slots=True)
class Plateau:
    """Falls of the weekly mean, as shares of the first week's, that are too small for their day."""

    low_start: Figure  # a first week below: shares say nothing, only points count
    quiet_mean: Figure  # at or below: never called a plateau
    early_days: Figure
    early_share: Figure
    middle_days: Figure
    middle_share: Figure
    points: Figure
    late_days: Figure
    late_share: Figure


@dataclass(frozen=True, slots=True)
class Rule:
    """Every threshold of the rule, section by section as in the file."""

    begin: Begin
    severe: Severe
    ceiling: Ceiling
    flare: Flare
    weeks: Weeks
    advance: Advance
    load: Load
    gap: Gap
    attention: Attention
    plateau: Plateau
    injection: Injection


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
    sources: tuple[Source, ...]
    equipment: tuple[Equipment, ...]
    screens: tuple[Topic, ...]  # asked before the first dose; a yes needs a person to look
    education: tuple[Topic, ...]  # told at the start and whenever asked, in this order
    questions: tuple[Topic, ...]  # ordinary ones, answered at once
    figures: tuple[Figure, ...]  # every number of the file; `name` is its path, as `step[3].exercise[1].sets`
    text: str
    words: Mapping[str, Mapping[str, str]]

    def said(self, *names: str) -> dict[str, dict[str, str]]:
        """The texts of those keys, and of the keys inside them, in every language."""
        inside = tuple(f"{name}." for name in names)
        return {
            language: {key: text for key, text in texts.items() if key in names or key.startswith(inside)}
            for language, texts in self.words.items()
        }

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
