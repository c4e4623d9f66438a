"""Turns a checked file into the plain frozen values that the rule reads."""

from dataclasses import fields
from typing import Any, TypeVar

from core.model import Dose, Effort, Exercise, Figure, Kind, Provenance
from core.programme import (
    Advance,
    Attention,
    Begin,
    Ceiling,
    Entry,
    Equipment,
    Flare,
    Gap,
    Gate,
    Injection,
    Load,
    Plateau,
    Programme,
    Rule,
    Severe,
    Source,
    Step,
    Topic,
    Weeks,
)
from core.programme.schema import ExercisePart, GatePart, ProgrammePart, Stated, StepPart, TopicPart
from core.programme.words import Words

_STRONGEST_FIRST = (Provenance.PUBLISHED, Provenance.COMMON_PRACTICE, Provenance.JUDGEMENT)
_S = TypeVar("_S")


class _Figures:
    """Makes figures and remembers them all, in the order of the file."""

    def __init__(self, sources: tuple[Source, ...]) -> None:
        self._kinds = {source.key: source.kind for source in sources}
        self.all: list[Figure] = []

    def make(self, name: str, stated: Stated[Any], value: float | None = None) -> Figure:
        number = float(stated.value) if value is None else float(value)
        figure = Figure(name, number, self.provenance(stated), tuple(stated.rows))
        self.all.append(figure)
        return figure

    def provenance(self, stated: Stated[Any] | TopicPart) -> Provenance:
        """Derived where it says so, else that of the strongest row."""
        kinds = {self._kinds[row] for row in stated.rows}
        return Provenance.DERIVED if stated.derived else next(kind for kind in _STRONGEST_FIRST if kind in kinds)

    def of(self, name: str, stated: Stated[Any] | None) -> Figure | None:
        return None if stated is None else self.make(name, stated)

    def note(self, name: str, stated: Stated[Any]) -> None:
        """Remembers a number that only the dose needs; of a range both ends, of a word that it is there."""
        value = stated.value
        if value in tuple(Effort):
            self.make(f"{name}.{value}", stated, 1)
        elif isinstance(value, list):
            self.make(f"{name}.least", stated, value[0])
            self.make(f"{name}.most", stated, value[1])
        elif isinstance(value, str):
            self.make(f"{name}.training_days", stated, value.count("x"))
            self.make(f"{name}.days", stated, len(value))
        else:
            self.make(name, stated)

    def section(self, kind: type[_S], name: str, part: Any) -> _S:
        """A section of thresholds: the file and the value have the same names."""
        made = {
            one.name: self.of(f"{name}.{one.name}", getattr(part, one.name))
            for one in fields(kind)  # type: ignore[arg-type]  # every section is a dataclass
        }
        return kind(**made)


def build(file: ProgrammePart, version: str, text: str, words: Words) -> Programme:
    """The programme of a file that passed every check."""
    sources = tuple(
        Source(key, Provenance(one.kind), one.citation, one.known, one.note)
        for key, one in file.sources.items()
    )
    of_ladder, of_rule = _Figures(sources), _Figures(sources)
    rule = _rule(file, of_rule)
    steps: list[Step] = []
    daily = tuple(_exercise(one, f"every_day[{n}]", of_ladder) for n, one in enumerate(file.every_day, start=1))
    for part in file.step:
        steps.append(_step(part, steps, daily, rule.advance.sets_share, of_ladder))
    equipment = tuple(
        Equipment(one.key, of_ladder.of(f"equipment[{n}].most_g", one.most_g))
        for n, one in enumerate(file.equipment, start=1)
    )
    return Programme(
        name=file.name,
        version=version,
        body=file.body,
        sides=tuple(file.sides),
        steps=tuple(steps),
        rule=rule,
        sources=sources,
        equipment=equipment,
        screens=_topics(file.screen, of_ladder),
        education=_topics(file.education, of_ladder),
        questions=_topics(file.question, of_ladder),
        figures=(*of_ladder.all, *of_rule.all),
        text=text,
        words=words,
    )


def _topics(parts: list[TopicPart], figures: _Figures) -> tuple[Topic, ...]:
    return tuple(Topic(one.key, figures.provenance(one), tuple(one.rows), one.why or one.derived) for one in parts)


def _step(
    part: StepPart, before: list[Step], daily: tuple[Exercise, ...], share: Figure, figures: _Figures
) -> Step:
    number = len(before) + 1
    name = f"step[{number}]"
    own = tuple(_exercise(one, f"{name}.exercise[{n}]", figures) for n, one in enumerate(part.exercise, start=1))
    if part.rhythm:
        figures.note(f"{name}.rhythm", part.rhythm)
    for field in ("start_g", "entry_rise_g", "cap_g"):
        if (stated := getattr(part.load, field)) is not None:
            figures.note(f"{name}.load.{field}", stated)
    floor = part.load.start_g.value if part.load.start_g else before[-1].floor_g
    dose = Dose(number, (*daily, *own), floor)
    return Step(
        number=number,
        key=part.key,
        dose=dose,
        training_days=figures.of(f"{name}.training_days", part.training_days),
        rhythm=tuple(day == "x" for day in part.rhythm.value) if part.rhythm else (True,),
        least_days=figures.make(f"{name}.least_days", part.least_days),
        gates=tuple(_gate(gate, f"{name}.gate[{n}]", figures) for n, gate in enumerate(part.gate, start=1)),
        sets_share=figures.of(f"{name}.sets_share", part.sets_share) or share,
        entry=Entry(part.load.entry),
        entry_rise_g=part.load.entry_rise_g.value if part.load.entry_rise_g else 0,
        floor_g=floor,
        cap_g=part.load.cap_g.value if part.load.cap_g else floor,
        rises=part.load.rises,
        back_above=figures.of(f"{name}.back_above", part.back_above),
        maintenance=part.maintenance,
        holds=number if dose.kind is Kind.ISOMETRIC else before[-1].holds,
    )


def _exercise(part: ExercisePart, name: str, figures: _Figures) -> Exercise:
    given: dict[str, Any] = {}
    for field in type(part).model_fields:
        stated = getattr(part, field)
        if isinstance(stated, Stated):
            figures.note(f"{name}.{field}", stated)
            given[field] = tuple(stated.value) if isinstance(stated.value, list) else stated.value
    effort = Effort(given.pop("effort")) if "effort" in given else None
    return Exercise(key=part.key, kind=Kind(part.kind), effort=effort, **given)


def _gate(part: GatePart, name: str, figures: _Figures) -> Gate:
    return Gate(
        mean=figures.make(f"{name}.mean", part.mean),
        mean_days=figures.of(f"{name}.mean_days", part.mean_days),
        hold_days=figures.of(f"{name}.hold_days", part.hold_days),
        calm_limit=figures.of(f"{name}.calm_limit", part.calm_limit),
        calm_days=figures.of(f"{name}.calm_days", part.calm_days),
    )


def _rule(file: ProgrammePart, figures: _Figures) -> Rule:
    part = file.rule
    numbers = {step.key: number for number, step in enumerate(file.step, start=1)}
    return Rule(
        begin=Begin(
            figures.make("rule.begin.gentle_above", part.begin.gentle_above),
            numbers[part.begin.gentle_step],
            numbers[part.begin.usual_step],
        ),
        severe=figures.section(Severe, "rule.severe", part.severe),
        ceiling=figures.section(Ceiling, "rule.ceiling", part.ceiling),
        flare=figures.section(Flare, "rule.flare", part.flare),
        weeks=figures.section(Weeks, "rule.weeks", part.weeks),
        advance=figures.section(Advance, "rule.advance", part.advance),
        load=figures.section(Load, "rule.load", part.load),
        gap=figures.section(Gap, "rule.gap", part.gap),
        attention=figures.section(Attention, "rule.attention", part.attention),
        plateau=figures.section(Plateau, "rule.plateau", part.plateau),
        injection=figures.section(Injection, "rule.injection", part.injection),
    )
