"""A person's course in a few lines, and the words that go into its picture."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from bot.drawn.progress import Band, Day, ProgressFacts, Words
from bot.wording.catalogue import Text
from bot.wording.dose import kilos, step_name
from bot.wording.goals import goal_lines
from bot.wording.keyboard import rows
from core.facts import Compared, CourseFacts, NextStep
from core.records import Worded
from core.scores.change import Told
from core.weeks import Adherence

Facts = Mapping[str, Any]


def progress(text: Text, facts: Facts) -> Worded:
    """The lines under the picture; they also stand alone where no picture can be had."""
    course: CourseFacts = facts["course"]
    parts = [_pain(text, course), [*_weight(text, course), *_sets(text, course.sets)], goal_lines(text, facts["goals"])]
    ahead = [_next(text, course.next_step)] if course.next_step else []
    parts.append([*ahead, text("progress.patience")])
    words = "\n\n".join("\n".join(lines) for lines in parts if lines)
    return Worded(words, rows(text, (("why", "today"),)), to_draw=to_draw(text, course))


def _pain(text: Text, course: CourseFacts) -> list[str]:
    lines = [text("progress.week", week=course.week)]
    if course.step <= course.steps:
        lines[0] += " " + text("progress.step", step=course.step, steps=course.steps)
    if course.mean is None:
        return [*lines, text("progress.none")]
    mean = [text("progress.mean", mean=text.number(course.mean))]
    if course.first_mean is not None:
        mean.append(text("progress.first", first=text.number(course.first_mean)))
    return [*lines, " ".join(mean), *(_compared(text, course.compared) if course.compared else [])]


def _sets(text: Text, sets: Adherence) -> list[str]:
    known = [text("progress.sets", done=sets.done, asked=sets.asked)] if sets.asked else []
    return [*known, *([text.many("progress.untold", sets.untold)] if sets.untold else [])]


def _compared(text: Text, compared: Compared) -> list[str]:
    """What the change is worth; of a fall also that nobody knows what did it, for most of this eases untreated."""
    by = compared.matters if compared.told is Told.MATTERS else compared.apart
    number, points = text.number(by.value), text.number(abs(compared.points))
    told = text(f"progress.told.{compared.told.value}", points=points, by=number)
    eases = [text("progress.eases")] if compared.told in (Told.MATTERS, Told.LESS) else []
    return [" ".join([told, *eases]), text("progress.from", by=number, cited="; ".join(by.cited))]


def _weight(text: Text, course: CourseFacts) -> list[str]:
    if not course.load_g:
        return []
    first = next((grams for _, grams in course.loads if grams), 0)
    began = [text("progress.load.first", kg=kilos(text, first))] if first not in (0, course.load_g) else []
    return [" ".join([text("progress.load", kg=kilos(text, course.load_g)), *began])]


def _next(text: Text, step: NextStep) -> str:
    """What usually comes next; how long it took is of made-up people, and said so."""
    key = "progress.next" if step.number <= step.steps else "progress.next.beyond"
    lines = [text(key, step=step.number, name=step_name(text, step.words, step.key))]
    if step.days:
        lines.append(text("progress.next.days", half=step.days[0], most=step.days[1]))
    return " ".join(lines)


def to_draw(text: Text, course: CourseFacts) -> Facts:
    """What the picture shows, as JSON values; nothing where there is no day to show."""
    return asdict(picture_facts(text, course)) if course.days else {}


def picture_facts(text: Text, course: CourseFacts) -> ProgressFacts:
    """What the picture shows, words included."""
    return ProgressFacts(
        days=tuple(Day(date.isoformat(), pain, asked) for date, pain, asked in course.days),
        bands=tuple(Band(start.isoformat(), end.isoformat(), step) for start, end, step in course.bands),
        flares=tuple(date.isoformat() for date in course.flares),
        injections=tuple(date.isoformat() for date in course.injections),
        first=course.first_mean if course.compared else None,
        apart=course.compared.apart.value if course.compared else 0.0,
        loads=tuple((date.isoformat(), grams) for date, grams in course.loads),
        words=Words(
            title=text("picture.title"),
            evening=text("picture.evening"),
            weekly_mean=text("picture.weekly_mean"),
            missed=text("picture.missed"),
            flare=text("picture.flare"),
            injection=text("picture.injection"),
            nothing=text("picture.nothing"),
            step=text("picture.step"),
            day_month=text("picture.day_month"),
            months=tuple(text.month(number) for number in range(1, 13)),
            decimal=text.number(0.5)[1],
            chance=text("picture.chance"),
            kilos=text("picture.kilos"),
        ),
    )
