"""Reads one patient's week off the diary and the decisions of a course."""

import datetime as dt
from collections.abc import Iterable, Sequence

from core.digest.attention import FELL_SHARE, reasons_to_look
from core.digest.patient_week import Cited, Made, Moved, PatientWeek, Standing, Told, WeekRow
from core.digest.weekly_trend import Direction, weekly_trend
from core.model import Episode, Evening, Figure, Move
from core.programme import Programme
from core.rule.override import act_of
from core.scores import change_in
from core.weeks import WEEK_DAYS, Adherence, fortnight, mean_change, weeks

WEEK = dt.timedelta(days=WEEK_DAYS)
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
    rows = _rows(diary, states, start.started, sunday)
    now = states[-1][1]
    moves = _moves(past, states, monday)
    flares = tuple(dict.fromkeys(d.date for d in (each.decision for each in week) if d.after.flared == d.date))
    sets, needed = fortnight(diary, sunday), programme.rule.attention.sets_share
    silent = now.silent_days >= programme.rule.attention.silent_days.value
    week_change = _week_change(programme, rows)
    step = programme.step(now.step)
    return PatientWeek(
        who=who,
        monday=monday,
        started=start.started,
        step=now.step,
        steps=sum(not each.maintenance for each in programme.steps),
        step_key=step.key,
        words=programme.said("side", f"step.{step.key}", "suggest"),
        load_g=now.load_g,
        evenings=tuple(each for each in diary if monday <= each.date <= sunday),
        weeks=rows,
        fortnight=sets,
        change=change_in(programme, now.first_week_mean, rows[-1].week),
        week_change=week_change,
        trend=weekly_trend(diary, sunday),
        moves=moves,
        flares=flares,
        silent_days=now.silent_days,
        silent=silent,
        stopped_for=now.paused_for,
        halted=now.stopped,
        completed=now.completed,
        told=tuple(map(_told, week)),
        numbers=_numbers(programme, week),
        attention=reasons_to_look(
            who.notices,
            [Move.ADVANCE if each.up else Move.REGRESS for each in moves],
            stopped_for=now.paused_for,
            silent=silent and not (who.away or who.left),
            unreachable=who.unreachable,
            left=who.left,
            flared=bool(flares),
            change=week_change,
            few_sets=_few(sets, needed),
            away=who.away,
            halted=now.stopped is not None,
            worsening=newly_worsening(diary, sunday),
            fewer_sets=newly_fewer_sets(diary, sunday, needed),
            task=bool(who.tasks),
            score_due=who.score_due,
            unseen=who.unseen,
            settled=who.settled,
        ),
    )


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


def newly_worsening(diary: Sequence[Evening], until: dt.date) -> bool:
    """Whether the trend of the weeks up to `until` surely rises, and did not a week before."""
    return _worsens(diary, until) and not _worsens(diary, until - WEEK)


def newly_fewer_sets(diary: Sequence[Evening], until: dt.date, needed: Figure) -> bool:
    """Whether the share of sets fell far in the fortnight up to `until`, and had not a week before."""
    return _fell(diary, until, needed) and not _fell(diary, until - WEEK, needed)


def _worsens(diary: Sequence[Evening], sunday: dt.date) -> bool:
    return weekly_trend(diary, sunday).direction is Direction.RISING


def _fell(diary: Sequence[Evening], sunday: dt.date, needed: Figure) -> bool:
    """Enough sets in the fortnight before, and far too few in this one."""
    now, before = fortnight(diary, sunday), fortnight(diary, sunday - 2 * WEEK)
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
    this, last = rows[-1].week, rows[-2].week if len(rows) > 1 else None
    return mean_change(this, last, programme.rule.weeks.ratings.value) if last else None


def _told(made: Made) -> Told:
    decision = made.decision
    return Told(
        date=made.on or decision.date,
        move=decision.move,
        step=decision.step,
        load_g=decision.after.load_g,
        reasons=decision.reasons,
        notices=decision.notices,
        flag=decision.flag,
        act=act_of(decision),
        by=made.by,
        note=made.note,
    )


def _numbers(programme: Programme, week: Iterable[Made]) -> tuple[Cited, ...]:
    """Each figure once, in the order in which the week's decisions used them."""
    figures = dict.fromkeys(
        figure for each in week for reason in each.decision.reasons for figure in reason.figures
    )
    return tuple(
        Cited(figure, tuple(source.citation for source in map(programme.source, figure.rows) if source.citation))
        for figure in figures
    )
