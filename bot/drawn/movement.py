"""What the picture of an exercise shows: what rests, what turns about a joint and how far, what is held, who helps."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


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


def read_back(kept: Mapping[str, Any]) -> MovementFacts:
    """The facts from the JSON values of their fields."""
    return MovementFacts(**{**kept, "labels": Labels(**kept["labels"])})
