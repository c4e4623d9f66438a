"""What is worded: values that the use cases hand to the wording, with the programme's own words for them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.model import Exercise, Provenance, ReasonCode
from core.programme import Picture

Words = Mapping[str, Mapping[str, str]]  # by language, then by key


@dataclass(frozen=True, slots=True)
class FigureFacts:
    """A number of the programme with where it is from; `cited` are its sources as they are quoted."""

    name: str
    value: float
    provenance: Provenance
    rows: tuple[str, ...] = ()
    cited: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReasonFacts:
    """Why a decision came out as it did, with each number it was measured against."""

    code: ReasonCode
    numbers: Mapping[str, float]
    figures: tuple[FigureFacts, ...] = ()


@dataclass(frozen=True, slots=True)
class SideFacts:
    """Which of somebody's two sides, "left" or "right", with the programme's words for it and for its limb."""

    side: str
    words: Words


@dataclass(frozen=True, slots=True)
class DoseFacts:
    """A dose; `steps` are those that people climb, a step beyond them keeps what was gained. Grams.

    `held` is what is drawn in the hand, with the sizes there are of it. `guided`: its sets can be counted through.
    `alone`: the side whose arm alone does it, since the other one has a course and a dose of its own.
    """

    step: int
    steps: int
    step_key: str
    load_g: int
    asked: int
    exercises: tuple[Exercise, ...]
    words: Words
    guided: bool = False
    equipment: tuple[str, ...] = ()
    held: tuple[str, tuple[int, ...]] = ("", ())
    pictures: Mapping[str, Picture] = field(default_factory=dict)
    alone: str = ""
