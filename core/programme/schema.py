"""The shape of a programme file: which keys there are, what values they take, what each number must carry."""

from fractions import Fraction
from typing import Annotated, Generic, Literal, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

T = TypeVar("T")


def _share(value: object) -> object:
    """`"5/7"` as a number, since 0.714 would not equal five of seven."""
    if not isinstance(value, str):
        return value
    try:
        return float(Fraction(value))
    except (ValueError, ZeroDivisionError):
        raise ValueError('a share above 0 and at most 1, such as 0.75 or "3/4"') from None


Key = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=500)]
Rating = Annotated[float, Field(ge=0, le=10)]
Points = Annotated[float, Field(gt=0, le=10)]
Limit = Annotated[float, Field(gt=0, le=100)]
Days = Annotated[int, Field(ge=1, le=3660)]
Count = Annotated[int, Field(ge=1, le=20)]
WeekCount = Annotated[int, Field(ge=1, le=7)]
Repetitions = Annotated[list[Annotated[int, Field(ge=1, le=100)]], Field(min_length=2, max_length=2)]
Seconds = Annotated[int, Field(ge=1, le=600)]
Rests = Annotated[list[Annotated[int, Field(ge=0, le=3600)]], Field(min_length=2, max_length=2)]
Grams = Annotated[int, Field(ge=0, le=20_000)]
Share = Annotated[float, BeforeValidator(_share), Field(gt=0, le=1)]
Rhythm = Annotated[str, StringConstraints(pattern=r"^[x-]{1,28}$")]


class Part(BaseModel):
    """A table of the file: unknown keys are refused, and text is never taken for a number."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Stated(Part, Generic[T]):
    """A value with the rows it is from; a judgement says why, a derived one how."""

    value: T
    rows: Annotated[list[str], Field(alias="from", min_length=1)]
    why: str = ""
    derived: str = ""


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
    pain_at_most: Stated[Rating] | None = None
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


class GatePart(Part):
    mean: Stated[Rating]
    mean_days: Stated[Annotated[int, Field(ge=8, le=42)]] | None = None
    hold_days: Stated[Days] | None = None
    calm_limit: Stated[Rating] | None = None
    calm_days: Stated[Annotated[int, Field(ge=1, le=42)]] | None = None


class StepPart(Part):
    key: Key
    maintenance: bool = False
    least_days: Stated[Days]
    training_days: Stated[Days] | None = None
    sets_share: Stated[Share] | None = None
    rhythm: Stated[Rhythm] | None = None
    back_above: Stated[Rating] | None = None
    exercise: Annotated[list[ExercisePart], Field(min_length=1, max_length=3)]
    load: LoadPart
    gate: list[GatePart] = []


class BeginPart(Part):
    gentle_above: Stated[Rating]
    gentle_step: Key
    usual_step: Key


class SeverePart(Part):
    limit: Stated[Rating]
    times: Stated[Annotated[int, Field(ge=2, le=7)]]
    days: Stated[Annotated[int, Field(ge=2, le=42)]]


class CeilingPart(Part):
    day: Stated[Rating]
    week: Stated[Rating]


class FlarePart(Part):
    allowance: Stated[Points]
    limit: Stated[Limit]
    daily_cap: Stated[Points]
    stay_days: Stated[Days]
    level_days: Stated[Annotated[int, Field(ge=7, le=42)]]
    half_life_weeks: Stated[Annotated[float, Field(ge=1, le=1000)]]


class WeeksPart(Part):
    ratings: Stated[WeekCount]
    up: Stated[Points]
    settle_days: Stated[Days]
    ease_g: Stated[Grams]
    ease_days: Stated[Days]


class AdvancePart(Part):
    ratings: Stated[WeekCount]
    sets_share: Stated[Share]


class RisePart(Part):
    rise_g: Stated[Grams]
    every_days: Stated[Days]


class GapPart(Part):
    ease_days: Stated[Days]
    ease_g: Stated[Grams]
    back_days: Stated[Days]
    back_two_days: Stated[Days]
    restart_days: Stated[Days]


class AttentionPart(Part):
    silent_days: Stated[Days]
    step_backs: Stated[Annotated[int, Field(ge=2, le=20)]]
    step_back_days: Stated[Days]


class PlateauPart(Part):
    low_start: Stated[Rating]
    quiet_mean: Stated[Rating]
    early_days: Stated[Days]
    early_share: Stated[Share]
    middle_days: Stated[Days]
    middle_share: Stated[Share]
    points: Stated[Points]
    late_days: Stated[Days]
    late_share: Stated[Share]


class InjectionPart(Part):
    rest_days: Stated[Days]


class RulePart(Part):
    begin: BeginPart
    severe: SeverePart
    ceiling: CeilingPart
    flare: FlarePart
    weeks: WeeksPart
    advance: AdvancePart
    load: RisePart
    gap: GapPart
    attention: AttentionPart
    plateau: PlateauPart
    injection: InjectionPart


class EquipmentPart(Part):
    key: Key
    most_g: Stated[Grams] | None = None


class TopicPart(Part):
    """Words by their key, with where they are from; a judgement says why."""

    key: Key
    rows: Annotated[list[str], Field(alias="from", min_length=1)]
    why: str = ""
    derived: str = ""


class ProgrammePart(Part):
    """The whole file. `every_day` begins each dose and is all that a rest day asks."""

    name: Key
    body: Words
    sides: Annotated[list[Literal["left", "right"]], Field(max_length=2)]
    sources: dict[str, SourcePart]
    every_day: list[ExercisePart] = []
    equipment: list[EquipmentPart] = []
    screen: list[TopicPart] = []
    education: list[TopicPart] = []
    question: list[TopicPart] = []
    step: Annotated[list[StepPart], Field(min_length=2, max_length=40)]
    rule: RulePart
