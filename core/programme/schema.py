"""What only the file has: steps and exercises whose numbers are still stated, before they become doses."""

from typing import Annotated, Literal

from pydantic import Field

from core.programme import Equipment, Gate, Guiding, Picture, Rule
from core.programme.stated import (
    Count,
    Days,
    Grams,
    Key,
    Pain,
    Part,
    Rating,
    Repetitions,
    Rests,
    Rhythm,
    Seconds,
    Stated,
    Words,
)  # fmt: skip


class SourcePart(Part):
    kind: Literal["published", "common practice", "judgement"]
    citation: str = ""
    known: str = ""
    note: str = ""


class ExercisePart(Part):
    key: Key
    kind: Literal["mobilising", "isometric", "eccentric", "isotonic"]
    sets: Stated[Count] | None = None
    reps: Stated[Repetitions] | None = None
    hold_s: Stated[Seconds] | None = None
    lift_s: Stated[Seconds] | None = None
    lower_s: Stated[Seconds] | None = None
    rest_s: Stated[Rests] | None = None
    last_s: Stated[Rests] | None = None
    pain_at_most: Stated[Pain] | None = None
    effort: Stated[Literal["light", "medium", "hard"]] | None = None
    spread: Stated[bool] | None = None
    both_arms: Stated[bool] | None = None
    other_hand_lifts: Stated[bool] | None = None


class LoadPart(Part):
    entry: Literal["start", "carry"] = "start"
    start_g: Stated[Grams] | None = None
    entry_rise_g: Stated[Grams] | None = None
    cap_g: Stated[Grams] | None = None
    rises: bool = False


class StepPart(Part):
    key: Key
    maintenance: bool = False
    least_days: Days
    training_days: Days | None = None
    rhythm: Stated[Rhythm] | None = None
    back_above: Rating | None = None
    exercise: Annotated[list[ExercisePart], Field(min_length=1, max_length=3)]
    load: LoadPart
    gate: list[Gate] = Field(default_factory=list)


class TopicPart(Part):
    """Words by their key, with where they are from; a judgement says why."""

    key: Key
    rows: Annotated[list[str], Field(alias="from", min_length=1)]
    why: str = ""
    derived: str = ""


class SuggestionPart(TopicPart):
    """What a therapist may do; the key is the reason to look, as `core.digest.attention` calls it."""

    key: Literal[
        "stopped", "severe-twice", "question", "unanswered", "unsure", "injection", "circumstance", "unreachable",
        "silent", "left", "third-setback", "plateau-6-weeks", "plateau-12-weeks", "plateau-26-weeks",
    ]  # fmt: skip


class ProgrammePart(Part):
    """The whole file. `every_day` begins each dose and is all that a rest day asks."""

    name: Key
    body: Words
    sides: Annotated[list[Literal["left", "right"]], Field(max_length=2)]
    sources: dict[str, SourcePart]
    every_day: list[ExercisePart] = Field(default_factory=list)
    equipment: list[Equipment] = Field(default_factory=list)
    picture: list[Picture] = Field(default_factory=list)
    screen: list[TopicPart] = Field(default_factory=list)
    education: list[TopicPart] = Field(default_factory=list)
    question: list[TopicPart] = Field(default_factory=list)
    suggest: list[SuggestionPart] = Field(default_factory=list)
    step: Annotated[list[StepPart], Field(min_length=2, max_length=40)]
    guiding: Guiding | None = None
    rule: Rule
