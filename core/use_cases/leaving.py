"""Pausing, coming back, moving house or hour, leaving: all about when we write, with the gap counted on return."""

import datetime as dt
from dataclasses import replace

from core.model import Decision, NoticeKind
from core.records import Course, Dialogue, Person, Priority, Status
from core.rule.course import is_stopped
from core.timetable import MORNING_CALL, ONE_DAY, instant, local_date, next_nudge, plan, plan_ahead
from core.use_cases.answering import QUESTIONS
from core.use_cases.deciding import decide_from, dose_for
from core.use_cases.entries import Entry
from core.use_cases.gathering import decision_facts, dose_facts, side_facts
from core.use_cases.meanwhile import long_break
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Recipient, Work, emergency, queue

BULK_KINDS = (*QUESTIONS, "evening.remind", "evening.gap", "evening.dose", "nudge")


def go_away(work: Work, person: Person, until: dt.date | None) -> Person:
    """Stop asking. With a date we come back by ourselves on that morning; without one the person says when."""
    back = instant(until, MORNING_CALL, person.zone) if until else None
    away = replace(
        person,
        status=Status.AWAY,
        away_since=_away_since(work, person),
        away_until=until,
        next_due=back,
        next_date=until if back else None,
    )
    work.uow.people.save(away)
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    return away


def come_back(work: Work, person: Person, *, by_itself: bool = False) -> tuple[Person, dict[str, Decision]]:
    """Ask again from now on. Whole days away count as a gap in loading, by the programme's table: the decision on it
    of each course, by its id.

    Who has no course yet goes on enrolling; a stop for danger stays a stop, and its own days are counted once it ends.
    """
    active = replace(person, status=Status.ACTIVE, away_since=None, away_until=None, next_due=None, next_date=None)
    active = replace(active, next_nudge=next_nudge(work.now, person.nudges, person.zone))
    if not work.uow.diary.courses_of(person.id):
        active = replace(active, status=Status.ENROLLING)
        work.uow.people.save(active)
        return active, {}
    decided = count_gaps(work, person)
    if going := going_on(work, person):
        next_date, next_due = plan_ahead(work.now, person.evening, person.zone, last_planned(work, *going))
        active = replace(active, next_date=next_date, next_due=next_due)
    work.uow.people.save(active)
    if by_itself:
        for course in work.uow.diary.courses_of(person.id):
            _welcome_back(work, active, course, decided.get(course.id))
    return active, decided


def going_on(work: Work, person: Person) -> tuple[Course, ...]:
    """The person's courses that are not stopped."""
    return tuple(each for each in work.uow.diary.courses_of(person.id) if not is_stopped(each.episode))


def leave(work: Work, person: Person) -> None:
    """Stop for good: nothing is sent any more, the diary stays until it is erased."""
    # who was screened out must not come back in by leaving
    status = Status.SCREENED_OUT if person.status == Status.SCREENED_OUT else Status.LEFT
    since = _away_since(work, person)
    work.uow.people.save(replace(person, status=status, away_since=since, next_due=None, next_date=None))
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    tell_therapist(work, person, NoticeKind.LEFT, work.new_id())


def cannot_reach(work: Work, person: Person) -> None:
    """The messaging service refuses: stop sending, tell the therapist."""
    if person.status in (Status.ACTIVE, Status.AWAY, Status.ENROLLING):
        since = _away_since(work, person)
        gone = replace(person, status=Status.UNREACHABLE, next_due=None, next_date=None, away_since=since)
        work.uow.people.save(gone)
        work.uow.outbox.cancel(person.id, BULK_KINDS)
        tell_therapist(work, gone, NoticeKind.UNREACHABLE, work.new_id())


def change_evening(work: Work, person: Person, evening: dt.time) -> Person:
    """Ask at another hour from the next question on."""
    return _replan(work, replace(person, evening=evening))


def change_zone(work: Work, person: Person, zone: str) -> Person:
    """Follow the person to another time zone; a local date already asked about is not asked again."""
    return _replan(work, replace(person, zone=zone, next_nudge=next_nudge(work.now, person.nudges, zone)))


def _replan(work: Work, person: Person) -> Person:
    if person.next_due:
        return replan(work, person)
    work.uow.people.save(person)
    return person


def replan(work: Work, person: Person) -> Person:
    """Save when the person is asked next: today where that was not done yet, at once where its hour is past."""
    going = going_on(work, person)
    if person.status == Status.ACTIVE and going:
        next_date, next_due = plan(work.now, person.evening, person.zone, last_planned(work, *going))
        person = replace(person, next_date=next_date, next_due=next_due)
    work.uow.people.save(person)
    return person


def count_gaps(work: Work, person: Person) -> dict[str, Decision]:
    """Of each course what the days away so far call for, by its id; nothing for those of which nothing is decided."""
    courses = work.uow.diary.courses_of(person.id)
    return {each.id: decided for each in courses if (decided := count_gap(work, person, each))}


def count_gap(work: Work, person: Person, course: Course) -> Decision | None:
    """Decide what the whole days away so far call for; None when there are none, or another reckoning has them."""
    if is_stopped(course.episode) or course.episode.completed:
        return None
    today = local_date(work.now, person.zone)
    decided = work.uow.decisions.latest(course.id)
    last = max(
        last_planned(work, course),
        (person.away_since or dt.date.min + ONE_DAY) - ONE_DAY,
        decided.date if decided else dt.date.min,
    )
    days = (today - last).days - 1
    # dated on the last day away, so that the step it leads to begins today
    return decide_from(work, person, course, Entry(today - ONE_DAY, "resume", days)) if days > 0 else None


def last_planned(work: Work, *courses: Course) -> dt.date:
    """The last date that is not to be asked about any more: it has a check-in, or lies before the course begins.

    Of two courses the earlier one: the other is passed over on a date that it has.
    """
    return min(_last_planned(work, each) for each in courses)


def _last_planned(work: Work, course: Course) -> dt.date:
    latest = work.uow.diary.latest_check_in(course.id)
    before = course.episode.started - ONE_DAY  # a start that lies ahead (after an injection) stays where it is
    return max(latest.date, before) if latest else before


def _away_since(work: Work, person: Person) -> dt.date:
    """Since when the person has been away, however often they have told us since."""
    gone = person.status in (Status.AWAY, Status.LEFT, Status.UNREACHABLE)
    return person.away_since if gone and person.away_since else local_date(work.now, person.zone)


def _welcome_back(work: Work, person: Person, course: Course, decision: Decision | None) -> None:
    to, key = Recipient.of(person), f"away.back:{course.id}:{work.now.isoformat()}"
    if stopped := course.episode.paused_for:
        key = f"away.back:{person.id}:{work.now.isoformat()}"  # of two courses, which danger stops both, once
        still = {"flag": stopped.value, "emergency": emergency(work, person.clinic_id)}
        queue(work, to, "danger.still", still, key=key, priority=Priority.BULK)
    elif course.episode.stopped:
        queue(work, to, "override.still", side_facts(work, course), key=key, priority=Priority.BULK)
    else:
        facts = back_facts(work, person, course, decision) | side_facts(work, course)
        queue(work, to, "away.back", facts, key=key, priority=Priority.BULK)
        if long_break(decision):
            question = {"course": course.id}
            key = f"meanwhile:{person.id}:{work.now.isoformat()}"  # the answer is for both of two courses
            queue(work, to, "meanwhile.ask", question, key=key, priority=Priority.BULK)
            work.uow.dialogues.save(Dialogue(person.id, "meanwhile"))


def back_facts(work: Work, person: Person, course: Course, decision: Decision | None) -> dict[str, object]:
    """What a person reads on coming back: the dose of today or of a first day to come, and the step down, if any."""
    programme = work.programmes.get(work.uow, course.programme_version)
    today, started = local_date(work.now, person.zone), course.episode.started
    facts: dict[str, object] = {"dose": dose_facts(programme, dose_for(work, course, max(today, started)))}
    if started > today:  # still waiting, as after an injection
        facts["first"] = started
    if decision:
        facts |= decision_facts(programme, decision) | {"dose": facts["dose"]}
    return facts | {"evening": person.evening}
