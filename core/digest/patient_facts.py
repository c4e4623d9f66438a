"""Reads one patient's week off the diary and the decisions of a course."""

import datetime as dt
from collections.abc import Iterable, Sequence

from core.digest.attention import FELL_SHARE, RISING_POINTS, Attention, reasons_to_look
from core.digest.patient_week import Cited, Made, Moved, PatientWeek, Standing, WeekRow, flares_of
from core.digest.weekly_trend import Direction, weekly_trend
from core.model import Episode, Evening, Figure
from core.programme import Programme
from core.scores import change_in
from core.timetable import ONE_WEEK
from core.weeks import WEEK_DAYS, Adherence, fortnight, mean_change, weeks

WEEKS_SHOWN = 4  # this one and three before it


def patient_week(
    programme: Programme,
    who: Standing,
    start: Episode,
    diary: Sequence[Evening],
    made: Sequence[Made],
    monday: dt.date,
) -> PatientWeek:
    """The facts of the week that begins on `monday`; whatever is dated later is not read.

    `start` is the episode the course began with, `made` its live decisions in order, `diary` by date. What the week
    left behind is read off the decisions, so that a week long past comes out as it was. Raises ValueError when
    `monday` is none.
    """
    if monday.weekday() != 0:
        raise ValueError(f"{monday} is no Monday; give the first day of the week")
    sunday = monday + dt.timedelta(days=WEEK_DAYS - 1)
    past = [each for each in made if each.decision.date <= sunday]
    states = _states(start, past)
    week = [each for each in past if each.decision.date >= monday]
    rows, now = _rows(diary, states, start.started, sunday), states[-1][1]
    moves, flares = _moves(past, states, monday), flares_of(each.decision for each in week)
    change = _week_change(programme, rows)
    calls = week_calls(
        programme, now, diary, sunday, back=any(not each.up for each in moves), flared=bool(flares), change=change
    )
    quiet = {Attention.SILENT} if who.away or who.left else set()
    step = programme.step(now.step)
    return PatientWeek(
        who=who, monday=monday, started=start.started,
        step=now.step, steps=programme.rungs, step_key=step.key,
        words=programme.said("side", f"step.{step.key}", "suggest"),
        evenings=tuple(each for each in diary if monday <= each.date <= sunday),
        weeks=rows, week_change=change, change=change_in(programme, now.first_week_mean, rows[-1].week),
        fortnight=fortnight(diary, sunday), trend=weekly_trend(diary, sunday),
        moves=moves, flares=flares, told=tuple(week), numbers=_numbers(programme, week),
        load_g=now.load_g, silent_days=now.silent_days, stopped_for=now.paused_for, halted=now.stopped,
        completed=now.completed,
        attention=reasons_to_look(calls - quiet | who.codes, who.notices, who.settled, unseen=who.unseen),
    )  # fmt: skip


def week_calls(
    programme: Programme, now: Episode, diary: Sequence[Evening], until: dt.date, *, back: bool, flared: bool,
    change: float | None,
) -> frozenset[Attention]:  # fmt: skip
    """What of a course calls for a look as it stood after the week up to `until`, whoever the patient is.

    `back`: a step was taken back in it; `change` is its mean minus the last one's.
    """
    attention = programme.rule.attention
    given = {
        Attention.STOPPED: now.paused_for is not None,
        Attention.SILENT: now.silent_days >= attention.silent_days.value,
        Attention.FLARE: flared,
        Attention.STEPPED_BACK: back,
        Attention.RISING: change is not None and change >= RISING_POINTS,
        Attention.WORSENING: _worsens(diary, until) and not _worsens(diary, until - ONE_WEEK),
        Attention.FEWER_SETS: _fell(diary, until, attention.sets_share)
        and not _fell(diary, until - ONE_WEEK, attention.sets_share),
        Attention.FEW_SETS: _few(fortnight(diary, until), attention.sets_share),
        Attention.HALTED: now.stopped is not None,
    }
    return frozenset(code for code, holds in given.items() if holds)


def _states(start: Episode, made: Iterable[Made]) -> list[tuple[dt.date, Episode]]:
    """The episode from each date on; the first is the start's."""
    return [(dt.date.min, start), *((each.decision.date, each.decision.after) for each in made)]


def _at(states: Sequence[tuple[dt.date, Episode]], date: dt.date) -> Episode:
    return next(episode for since, episode in reversed(states) if since <= date)


def _rows(
    diary: Sequence[Evening], states: Sequence[tuple[dt.date, Episode]], started: dt.date, sunday: dt.date
) -> tuple[WeekRow, ...]:
    """This week and up to three before it, none that was over before the course began."""
    begin = max(started, sunday - dt.timedelta(days=WEEKS_SHOWN * WEEK_DAYS - 1))
    found = []
    for week in weeks(diary, min(begin, sunday), sunday):
        state = _at(states, week.first + dt.timedelta(days=WEEK_DAYS - 1))
        found.append(WeekRow(week, state.step, state.load_g))
    return tuple(found)


def _few(sets: Adherence, needed: Figure) -> bool:
    """Fewer sets than moving up takes."""
    return sets.share is not None and sets.done < needed.value * sets.asked


def _worsens(diary: Sequence[Evening], sunday: dt.date) -> bool:
    """Whether the trend of the weeks surely rises."""
    return weekly_trend(diary, sunday).direction is Direction.RISING


def _fell(diary: Sequence[Evening], sunday: dt.date, needed: Figure) -> bool:
    """Enough sets in the fortnight before, and far too few in this one."""
    now, before = fortnight(diary, sunday), fortnight(diary, sunday - 2 * ONE_WEEK)
    if now.share is None or before.share is None or _few(before, needed):
        return False
    return before.share - now.share >= FELL_SHARE


def _moves(past: Sequence[Made], states: Sequence[tuple[dt.date, Episode]], monday: dt.date) -> tuple[Moved, ...]:
    """Every change of step in the week, by the rule, by the therapist or after a gap."""
    found = []
    for (_, before), each in zip(states, past, strict=False):
        decision = each.decision
        if decision.date >= monday and decision.after.step != before.step:
            found.append(Moved(decision.date, decision.after.step > before.step, decision.after.step))
    return tuple(found)


def _week_change(programme: Programme, rows: Sequence[WeekRow]) -> float | None:
    if len(rows) < 2:
        return None
    this, last = rows[-1].week, rows[-2].week
    return mean_change((this.total, this.rated), (last.total, last.rated), programme.rule.weeks.ratings.value)


def _numbers(programme: Programme, week: Iterable[Made]) -> tuple[Cited, ...]:
    """Each figure once, in the order in which the week's decisions used them."""
    figures = dict.fromkeys(
        figure for each in week for reason in each.decision.reasons for figure in reason.figures
    )
    return tuple(Cited(figure, programme.cited(figure)) for figure in figures)
