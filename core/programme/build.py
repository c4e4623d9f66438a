"""Turns a checked file into the values that the rule reads: doses, the ladder, and the list of every figure."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any

from core.model import Dose, Effort, Exercise, Figure, Kind, Provenance
from core.programme import Entry, Programme, Source, Step, Topic
from core.programme.schema import ExercisePart, ProgrammePart, StepPart, TopicPart
from core.programme.stated import Part, Stated, origin
from core.programme.words import Words


def build(file: ProgrammePart, version: str, text: str, words: Words) -> Programme:
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
        entry=Entry(load.entry),
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
