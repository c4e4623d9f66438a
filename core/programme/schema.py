"""The shape of a programme's file, and the values that one which passed every check is built into."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Annotated, Any, Literal

from pydantic import Field

from core.model import Dose, Effort, Exercise, Figure, Kind, Provenance
from core.programme import Equipment, Gate, Picture, Programme, Source, Step, Topic
from core.programme.thresholds import (
    Count,
    Days,
    Grams,
    Guiding,
    Key,
    Pain,
    Part,
    Passed,
    Progress,
    Rating,
    Repetitions,
    Rests,
    Rhythm,
    Rule,
    Seconds,
    Stated,
    Words,
    origin,
)  # fmt: skip

Place = tuple[str | int, ...]


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
    passed_days: Stated[Passed] | None = None
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
    progress: Progress | None = None
    rule: Rule


def build(file: ProgrammePart, version: str, text: str, words: Mapping[str, Mapping[str, str]]) -> Programme:
    """The programme of a file that passed every check."""
    kinds = {key: Provenance(one.kind) for key, one in file.sources.items()}
    sources = (
        Source(key, kinds[key], one.citation, one.known, one.note) for key, one in file.sources.items()
    )
    daily = tuple(map(_exercise, file.every_day))
    steps: list[Step] = []
    for part in file.step:
        steps.append(_step(part, steps, daily))
    return Programme(
        name=file.name,
        version=version,
        body=file.body,
        sides=tuple(file.sides),
        steps=tuple(steps),
        rule=file.rule,
        guiding=file.guiding,
        progress=file.progress,
        sources=tuple(sources),
        equipment=tuple(file.equipment),
        pictures=tuple(file.picture),
        screens=_topics(file.screen, kinds),
        education=_topics(file.education, kinds),
        questions=_topics(file.question, kinds),
        suggestions=_topics(file.suggest, kinds),
        figures=tuple(_figures(file)),
        text=text,
        words=words,
    )


def _topics(parts: Sequence[TopicPart], kinds: Mapping[str, Provenance]) -> tuple[Topic, ...]:
    return tuple(
        Topic(one.key, origin(one.rows, kinds, derived=bool(one.derived)), tuple(one.rows), one.why or one.derived)
        for one in parts
    )


def _step(part: StepPart, before: list[Step], daily: tuple[Exercise, ...]) -> Step:
    number, load = len(before) + 1, part.load
    floor = load.start_g.value if load.start_g else before[-1].floor_g
    dose = Dose(number, (*daily, *map(_exercise, part.exercise)), floor)
    return Step(
        number=number,
        key=part.key,
        dose=dose,
        training_days=part.training_days,
        rhythm=tuple(day == "x" for day in part.rhythm.value) if part.rhythm else (True,),
        least_days=part.least_days,
        gates=tuple(part.gate),
        entry_rise_g=load.entry_rise_g.value if load.entry_rise_g else 0,
        floor_g=floor,
        cap_g=load.cap_g.value if load.cap_g else floor,
        rises=load.rises,
        back_above=part.back_above,
        maintenance=part.maintenance,
        passed_days=(part.passed_days.value[0], part.passed_days.value[1]) if part.passed_days else None,
        holds=number if dose.kind is Kind.ISOMETRIC else before[-1].holds,
    )


def _exercise(part: ExercisePart) -> Exercise:
    given: dict[str, Any] = {}
    for field in type(part).model_fields:
        stated = getattr(part, field)
        if isinstance(stated, Stated):
            given[field] = tuple(stated.value) if isinstance(stated.value, list) else stated.value
    effort = Effort(given.pop("effort")) if "effort" in given else None
    return Exercise(key=part.key, kind=Kind(part.kind), effort=effort, **given)


def _figures(part: Any) -> Iterator[Figure]:
    """Every number below, in the order of the declarations; of a range both ends, of a word that it is there."""
    if isinstance(part, Figure):
        yield part
    elif isinstance(part, Stated):
        yield from _of_stated(part)
    elif isinstance(part, list):
        for each in part:
            yield from _figures(each)
    elif isinstance(part, Part):
        for name in type(part).model_fields:
            yield from _figures(getattr(part, name))
    elif hasattr(part, "__dataclass_fields__"):
        for field in fields(part):
            yield from _figures(getattr(part, field.name))


def _of_stated(stated: Stated[Any]) -> Iterator[Figure]:
    value = stated.value
    if value in tuple(Effort):
        yield stated.figure(1, value)
    elif isinstance(value, list):
        yield stated.figure(value[0], "least")
        yield stated.figure(value[1], "most")
    elif isinstance(value, str):
        yield stated.figure(value.count("x"), "training_days")
        yield stated.figure(len(value), "days")
    else:
        yield stated.figure()
