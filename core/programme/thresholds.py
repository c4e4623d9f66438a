"""Every threshold the rule measures against, section by section: what the file may say, and what the rule reads.

A number is stated as a value with the rows it is from, and read as a Figure that knows its place. Beside the
thresholds are the times of a guided set that no exercise says, and what a change of the pain is worth. Weights are in
grams, shares between 0 and 1.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Any, Generic, Literal, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, GetCoreSchemaHandler, StringConstraints
from pydantic.dataclasses import dataclass
from pydantic_core import CoreSchema, core_schema

from core.model import Figure, Provenance

T = TypeVar("T")
CLOSED = ConfigDict(extra="forbid")
STRONGEST_FIRST = (Provenance.PUBLISHED, Provenance.COMMON_PRACTICE, Provenance.JUDGEMENT)
_PLACE = "\u0000place"  # no key that anybody can write into a file
_ORIGIN = "\u0000provenance"


class Part(BaseModel):
    """A table of the file: unknown keys are refused, and text is never taken for a number."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Stated(Part, Generic[T]):
    """A value with the rows it is from; a judgement says why, a derived one how. `name` is its path in the file."""

    value: T
    rows: Annotated[list[str], Field(alias="from", min_length=1)]
    why: str = ""
    derived: str = ""
    name: Annotated[str, Field(alias=_PLACE)] = ""
    provenance: Annotated[Provenance, Field(alias=_ORIGIN)] = Provenance.JUDGEMENT

    def figure(self, value: float | None = None, part: str = "") -> Figure:
        """The number, or another one that its words hold, such as the least of a range."""
        number = self.value if value is None else value
        name = f"{self.name}.{part}" if part else self.name
        return Figure(name, float(number), self.provenance, tuple(self.rows))  # type: ignore[arg-type]


class Within:
    """In a declaration: a Figure whose value in the file is of that kind."""

    def __init__(self, kind: Any) -> None:
        self._kind = kind

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        shape: Any = Stated
        stated = handler.generate_schema(shape[self._kind])
        read = core_schema.no_info_after_validator_function(Stated.figure, stated)
        return core_schema.no_info_wrap_validator_function(_unless_figure, read)


def _unless_figure(value: Any, read: Any) -> Any:
    """A figure put in the place of another is taken as it is."""
    return value if isinstance(value, Figure) else read(value)


def _share(value: object) -> object:
    """`"5/7"` as a number, since 0.714 would not equal five of seven."""
    if not isinstance(value, str):
        return value
    try:
        return float(Fraction(value))
    except (ValueError, ZeroDivisionError):
        raise ValueError('a share above 0 and at most 1, such as 0.75 or "3/4"') from None


# what is written
Key = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=500)]
Count = Annotated[int, Field(ge=1, le=20)]
WINDOW_DAYS = 42  # so far back the rule reads at most: no figure can have it read further

Repetitions = Annotated[list[Annotated[int, Field(ge=1, le=100)]], Field(min_length=2, max_length=2)]
Seconds = Annotated[int, Field(ge=1, le=600)]
Rests = Annotated[list[Annotated[int, Field(ge=0, le=3600)]], Field(min_length=2, max_length=2)]
Passed = Annotated[list[Annotated[int, Field(ge=1, le=3660)]], Field(min_length=2, max_length=2)]
Grams = Annotated[int, Field(ge=0, le=20_000)]
Pain = Annotated[float, Field(ge=0, le=10)]
Rhythm = Annotated[str, StringConstraints(pattern=r"^[x-]{1,28}$")]

# what is read: figures
Rating = Annotated[Figure, Within(Pain)]
Points = Annotated[Figure, Within(Annotated[float, Field(gt=0, le=10)])]
Limit = Annotated[Figure, Within(Annotated[float, Field(gt=0, le=100)])]
Days = Annotated[Figure, Within(Annotated[int, Field(ge=1, le=3660)])]
Weight = Annotated[Figure, Within(Grams)]
Duration = Annotated[Figure, Within(Seconds)]
Evenings = Annotated[Figure, Within(Annotated[int, Field(ge=1, le=7)])]
Share = Annotated[Figure, Within(Annotated[float, BeforeValidator(_share), Field(gt=0, le=1)])]
Window = Annotated[Figure, Within(Annotated[int, Field(ge=1, le=WINDOW_DAYS)])]
LongWindow = Annotated[Figure, Within(Annotated[int, Field(ge=8, le=WINDOW_DAYS)])]
Level = Annotated[Figure, Within(Annotated[int, Field(ge=7, le=WINDOW_DAYS)])]
HalfLife = Annotated[Figure, Within(Annotated[float, Field(ge=1, le=1000)])]
FewTimes = Annotated[Figure, Within(Annotated[int, Field(ge=2, le=7)])]
FewDays = Annotated[Figure, Within(Annotated[int, Field(ge=2, le=WINDOW_DAYS)])]
Times = Annotated[Figure, Within(Annotated[int, Field(ge=2, le=20)])]


def placed(data: Any, kinds: Mapping[str, Provenance], path: str = "") -> Any:
    """The data of a file, each stated value of it told its place and what it rests on."""
    if isinstance(data, dict):
        inside = {key: placed(each, kinds, f"{path}.{key}" if path else str(key)) for key, each in data.items()}
        if isinstance(data.get("from"), list) and "value" in data:
            inside |= {_PLACE: path, _ORIGIN: origin(data["from"], kinds, derived=bool(data.get("derived")))}
        return inside
    if isinstance(data, list):
        return [placed(each, kinds, f"{path}[{n}]") for n, each in enumerate(data, start=1)]
    return data


def origin(rows: list[Any], kinds: Mapping[str, Provenance], *, derived: bool) -> Provenance:
    """What a value of those rows rests on: derived where it says so, else the strongest of them."""
    found = {kinds.get(row) for row in rows if isinstance(row, str)}
    strongest = next((kind for kind in STRONGEST_FIRST if kind in found), Provenance.JUDGEMENT)
    return Provenance.DERIVED if derived else strongest


@dataclass(frozen=True, slots=True, config=CLOSED)
class Begin:
    """Where a course starts: a start rating above `gentle_above` takes the gentler step. Both by their keys."""

    gentle_above: Rating
    gentle_step: Key
    usual_step: Key


@dataclass(frozen=True, slots=True, config=CLOSED)
class Severe:
    """`limit` or more is severe: a rest day once, back to holds at `times` within `days`."""

    limit: Rating
    times: FewTimes
    days: FewDays


@dataclass(frozen=True, slots=True, config=CLOSED)
class Ceiling:
    """Above `day` once: half the sets, as holds. Weekly mean above `week` after the holds: back to holds."""

    day: Rating
    week: Rating


@dataclass(frozen=True, slots=True, config=CLOSED)
class Flare:
    """The running excess above level + allowance, at most `daily_cap` a day, and what follows at `limit`.

    The level is the mean of `level_days`, each rating moved on by a decline of that half-life.
    """

    allowance: Points
    limit: Limit
    daily_cap: Points
    stay_days: Days  # of holds, at least
    lasts_days: Days  # so long it is the same flare; a limit reached later is a second one
    load_share: Share  # of the own weight, for the holds
    level_days: Level
    half_life_weeks: HalfLife


@dataclass(frozen=True, slots=True, config=CLOSED)
class Weeks:
    """This week's mean against the last one's, each from at least `ratings` ratings."""

    ratings: Evenings
    up: Points
    settle_days: Days  # after a call to step back, before a flare calls again; and before a move up, as on any step
    ease_g: Weight
    ease_days: Days  # a raise of the load this recent is taken for the cause


@dataclass(frozen=True, slots=True, config=CLOSED)
class Advance:
    """What moving on needs beside a step's own days and gate: ratings of the week, and the mean of `gate_days`, too.

    A gate is looked at once in `every_days`.
    """

    ratings: Evenings
    idle_days: Days  # so many in a row with sets asked and none known bar it
    gate_days: Level
    every_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Load:
    """The person's own weight: what "easy", "right", "too much" and silence make of it, while trying and later."""

    try_g: Weight
    try_days: Days
    easy_g: Weight
    right_g: Weight
    silent_g: Weight
    too_much_g: Weight
    least_g: Weight
    every_days: Days
    trained_days: Evenings  # of a week, to be asked how the weight was


@dataclass(frozen=True, slots=True, config=CLOSED)
class Gap:
    """What so many days in a row without a set bring."""

    ease_days: Days
    ease_g: Weight
    back_days: Days
    back_two_days: Days
    restart_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Attention:
    """When the therapist is told although nothing is dangerous."""

    silent_days: Days
    setbacks: Times
    setback_days: Days
    sets_share: Share  # below it the sets of a fortnight are few


@dataclass(frozen=True, slots=True, config=CLOSED)
class Injection:
    """An injection into the place that hurts, before or during the course: so many days without load."""

    rest_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Plateau:
    """Falls of the mean, as shares of the first week's, that are too small for their day."""

    mean_days: Level  # the latest, that the mean is of: a week alone is too noisy for a verdict
    low_start: Rating  # a first week below: shares say nothing, only points count
    quiet_mean: Rating  # at or below: never called a plateau
    early_days: Days
    early_share: Share
    middle_days: Days
    middle_share: Share
    points: Points
    late_days: Days
    late_share: Share


@dataclass(frozen=True, slots=True, config=CLOSED)
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


@dataclass(frozen=True, slots=True, config=CLOSED)
class Guiding:
    """A set that is counted through: which arm begins, and the seconds that no exercise says."""

    first: Literal["sore", "other"]
    ready_s: Duration
    change_s: Duration  # from one arm to the other
    back_s: Duration  # while the load is brought back up after a lowering


@dataclass(frozen=True, slots=True, config=CLOSED)
class Progress:
    """Of a change of the weekly mean since the first week: how much can be told from noise, and how much matters."""

    apart: Points
    matters: Points
