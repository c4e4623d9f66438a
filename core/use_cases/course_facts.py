"""The facts of one person's course for the picture and the lines under it."""

import datetime as dt
from typing import Any

from core.model import Evening, ReasonCode
from core.records import Course, Person, StoredDecision
from core.timetable import evening_of
from core.use_cases.work import Work
from core.weeks import fortnight, week_of_days, week_up_to


def course_facts(work: Work, person: Person, course: Course) -> dict[str, Any]:
    """Days, step bands, flares, and the few numbers told in words."""
    today = evening_of(work.now, person.zone)
    diary = past_evenings(work, course, course.episode.started, today)
    until = week_up_to(diary, today)
    decisions = work.uow.decisions.of(course.id)
    programme = work.shelf.get(work.uow, course.programme_version)
    return {
        "days": _days(diary, until),
        "bands": _bands(course, decisions, today),
        "flares": [each.date for each in decisions if _is_flare(each)],
        "injections": [each.date for each in decisions if each.kind == "injection"],
        "step": course.episode.step,
        "steps": sum(not step.maintenance for step in programme.steps),
        "week": max((today - course.episode.started).days, 0) // 7 + 1,
        "mean": week_of_days(diary, until).mean,
        "first_mean": course.episode.first_week_mean,
        **_sets(diary, until),
    }


def past_evenings(work: Work, course: Course, since: dt.date, today: dt.date) -> tuple[Evening, ...]:
    """The diary from `since` on, without tonight's question while it is still open."""
    diary = work.uow.diary.evenings(course.id, since, today)
    if diary and diary[-1].date == today and diary[-1].pain is None and diary[-1].sets_done is None:
        return diary[:-1]
    return diary


def _bands(course: Course, decisions: tuple[StoredDecision, ...], today: dt.date) -> list[tuple[dt.date, dt.date, int]]:
    if not decisions:
        return [(course.episode.since, today, course.episode.step)]
    starts = [(decisions[0].before.since, decisions[0].before.step)]
    for each in decisions:
        after = each.decision.after
        if after.step != starts[-1][1]:
            starts.append((after.since, after.step))
    ends = [start - dt.timedelta(days=1) for start, _ in starts[1:]] + [max(today, starts[-1][0])]
    return [(start, end, step) for (start, step), end in zip(starts, ends, strict=True) if end >= start]


def _is_flare(stored: StoredDecision) -> bool:
    return any(reason.code == ReasonCode.FLARE for reason in stored.decision.reasons)


def _days(diary: tuple[Evening, ...], until: dt.date) -> list[tuple[dt.date, int | None, bool]]:
    """The evenings; the last one that is over ends them in any case, since weeks are counted back from it."""
    days = [(each.date, each.pain, each.asked) for each in diary]
    return days if not diary or diary[-1].date >= until else [*days, (until, None, False)]


def _sets(diary: tuple[Evening, ...], until: dt.date) -> dict[str, int]:
    sets = fortnight(diary, until)
    return {
        "sets_asked": sets.asked,
        "sets_done": sets.done,
        "untold": sets.untold,
        "answered": sum(each.pain is not None for each in diary),
        "asked": sum(each.asked for each in diary),
    }
