"""A person's course in a few lines, and the words that go into its picture."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from bot.drawn.progress import Band, Day, ProgressFacts, Words
from bot.wording.catalogue import Text
from bot.wording.goals import goal_lines
from bot.wording.keyboard import rows
from core.records import Worded

Facts = Mapping[str, Any]


def progress(text: Text, facts: Facts) -> Worded:
    """The lines under the picture; they also stand alone where no picture can be had."""
    lines = [text("progress.week", week=facts["week"])]
    if facts["step"] <= facts["steps"]:
        lines[0] += " " + text("progress.step", step=facts["step"], steps=facts["steps"])
    if facts["mean"] is None:
        lines.append(text("progress.none"))
    else:
        lines.append(text("progress.mean", mean=text.number(facts["mean"])))
        if facts["first_mean"] is not None:
            lines.append(text("progress.first", first=text.number(facts["first_mean"])))
    if facts["sets_asked"]:
        lines.append(text("progress.sets", done=facts["sets_done"], asked=facts["sets_asked"]))
    if facts["untold"]:
        lines.append(text.many("progress.untold", facts["untold"]))
    if facts["asked"]:
        lines.append(text("progress.answered", answered=facts["answered"], asked=facts["asked"]))
    lines += goal_lines(text, facts)
    lines.append(text("progress.patience"))
    return Worded("\n".join(lines), rows(text, (("why", "today"),)), to_draw=to_draw(text, facts))


def to_draw(text: Text, facts: Facts) -> Facts:
    """What the picture shows, as JSON values; nothing where there is no day to show."""
    return asdict(picture_facts(text, facts)) if facts["days"] else {}


def picture_facts(text: Text, facts: Facts) -> ProgressFacts:
    """What the picture shows, words included."""
    return ProgressFacts(
        days=tuple(Day(date.isoformat(), pain, asked) for date, pain, asked in facts["days"]),
        bands=tuple(Band(start.isoformat(), end.isoformat(), step) for start, end, step in facts["bands"]),
        flares=tuple(date.isoformat() for date in facts["flares"]),
        injections=tuple(date.isoformat() for date in facts["injections"]),
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
        ),
    )
