"""Coming back: the programme goes on after days away, a silence, or a stop that a therapist has looked at."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from core.errors import RefusalError
from core.model import Decision, Meanwhile, NoticeKind
from core.records import CheckIn, CheckInState, Course, Dialogue, Person, Priority, Status
from core.rule.course import is_stopped
from core.timetable import ONE_DAY, due_after_start, evening_of, local_date, next_nudge
from core.use_cases.deciding import decide_from, decide_without, dose_for, effective
from core.use_cases.enrolling import enrolment_of
from core.use_cases.entries import LOOK_BACK, Entry, days_away, days_counted
from core.use_cases.gathering import decision_facts, dose_facts, side_facts
from core.use_cases.noticing import tell_person, tell_therapist
from core.use_cases.planning import going_on, last_planned, plan_after_act
from core.use_cases.work import Recipient, Work, emergency, queue

# Judgement: fewer change nothing (a long weekend), and a question each time would be one too many.
LEAST_EVENINGS = 3
SILENCE_SEEN = dt.timedelta(days=180)
STILL_ASKED = dt.timedelta(days=7)  # how long after the return it can be answered


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
        next_date, next_due = due_after_start(work.now, person.evening, person.zone, last_planned(work, *going))
        active = replace(active, next_date=next_date, next_due=next_due)
    work.uow.people.save(active)
    if by_itself:
        for course in work.uow.diary.courses_of(person.id):
            _welcome_back(work, active, course, decided.get(course.id))
    return active, decided


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


def _welcome_back(work: Work, person: Person, course: Course, decision: Decision | None) -> None:
    to, key = Recipient.of(person), f"away.back:{course.id}:{work.now.isoformat()}"
    if stopped := course.episode.paused_for:
        key = f"away.back:{person.id}:{work.now.isoformat()}"  # of two courses, which danger stops both, once
        still = {"flag": stopped.value, "emergency": emergency(work)}
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
    programme = work.programme_of(course)
    today, started = local_date(work.now, person.zone), course.episode.started
    facts: dict[str, object] = {"dose": dose_facts(programme, dose_for(work, course, max(today, started)))}
    if started > today:  # still waiting, as after an injection
        facts["first"] = started
    if decision:
        facts["decided"] = decision_facts(programme, decision)
    return facts | {"evening": person.evening}


def silent_evenings(work: Work, course: Course, date: dt.date) -> int:
    """How many evenings in a row before `date` brought no word; those that were not asked stand aside."""
    last = work.uow.diary.check_in_on(course.id, date - ONE_DAY)
    if last is None or said_something(last):
        return 0
    lately = work.uow.diary.check_ins(course.id, date - SILENCE_SEEN, date - ONE_DAY)
    silent = list(takewhile(lambda each: not said_something(each), reversed(lately)))
    return sum(each.state == CheckInState.SILENT for each in silent)


def silence_before(work: Work, course: Course, date: dt.date) -> bool:
    """Whether enough evenings before `date` went by with no word of their sets, none of them told since."""
    before = work.uow.diary.check_in_on(course.id, date - ONE_DAY)
    if before and said_something(before):
        return False
    run = _silent_run(work.uow.diary.check_ins(course.id, date - LOOK_BACK, date - ONE_DAY))
    return sum(each.meanwhile is None for each in run) >= LEAST_EVENINGS


def long_break(decided: Decision | None) -> bool:
    """Whether enough days away were counted as a gap by that return."""
    return decided is not None and days_counted(decided) >= LEAST_EVENINGS


def tell_meanwhile(work: Work, person: Person, course: Course, told: Meanwhile) -> bool:
    """Note it for the silent evenings and the days away before the latest return; False when there are none.

    Decided again from the first of them on, so that a step back for a gap that was none is taken back. What is said a
    second time replaces the first.
    """
    today = evening_of(work.now, person.zone)
    evenings = _silent_run(_before_the_return(work, course, today))
    away = [each for each in work.uow.decisions.of(course.id, since=today - STILL_ASKED) if days_away(each)]
    if not evenings and not away:
        return False
    for check_in in evenings:
        work.uow.diary.save_check_in(replace(check_in, meanwhile=told))
    if told is not Meanwhile.NONE:
        for each in away:
            decide_without(work, person, work.uow.diary.course(course.id) or course, each)
    if evenings:
        now = work.uow.diary.course(course.id) or course
        decide_from(work, person, now, Entry(evenings[0].date))
    return True


def _before_the_return(work: Work, course: Course, today: dt.date) -> Sequence[CheckIn]:
    """The evenings without those of the last days that were answered, or are being asked."""
    lately = list(work.uow.diary.check_ins(course.id, today - LOOK_BACK, today))
    while lately and lately[-1].date > today - STILL_ASKED and not _is_silent(lately[-1]):
        lately.pop()
    return lately


def _silent_run(evenings: Sequence[CheckIn]) -> list[CheckIn]:
    """The last evenings in a row that asked for sets and heard nothing; oldest first."""
    run: list[CheckIn] = []
    for each in reversed(evenings):
        if said_something(each):
            break
        if _is_silent(each):
            run.append(each)
    return run[::-1]


def said_something(check_in: CheckIn) -> bool:
    """Whether anything was said for the evening."""
    known = check_in.pain is not None or check_in.sets_done is not None
    return known or check_in.state is CheckInState.ANSWERED


def _is_silent(check_in: CheckIn) -> bool:
    return check_in.state is CheckInState.SILENT and bool(check_in.sets_asked) and not said_something(check_in)


def clear(work: Work, person: Person, reason: str, by: str = "") -> Decision | None:
    """Lift a stop for danger, or let a screened-out person go on enrolling; RefusalError when nothing was stopped.

    `by` is the member of staff who looked at it; empty for the command line.
    """
    stopped = [each for each in work.uow.diary.courses_of(person.id) if each.episode.paused_for]
    if person.status == Status.SCREENED_OUT:
        tell_therapist(work, person, NoticeKind.CLEARED, work.new_id(), text=reason, by=by)
        _go_on_enrolling(work, person)
        return None
    if not stopped:
        raise RefusalError(f"person {person.id}: nothing is stopped, so there is nothing to clear", "not_stopped")
    tell_therapist(work, person, NoticeKind.CLEARED, work.new_id(), text=reason, by=by)
    decided = {}
    for each in stopped:
        entry = Entry(effective(work, person, each), "clear", by=by, note=reason)
        decided[each.id] = decide_from(work, person, each, entry)
    planned = plan_after_act(work, person)
    if planned.status in (Status.ACTIVE, Status.AWAY):
        for course in work.uow.diary.courses_of(person.id):
            if course.id in decided:
                _tell_cleared(work, planned, course, decided[course.id])
    return decided[stopped[0].id]


def _tell_cleared(work: Work, person: Person, course: Course, decision: Decision) -> None:
    facts = back_facts(work, person, course, decision) | {"away": person.status == Status.AWAY}
    kind = "override.still" if is_stopped(course.episode) else "danger.cleared"
    tell_person(work, person, kind, facts | side_facts(work, course))


def _go_on_enrolling(work: Work, person: Person) -> None:
    """At the question that comes next, so that no later one of the screening is left out."""
    place = enrolment_of(work.uow.dialogues.get(person.id)) or Dialogue(person.id, "enrol", "consent")
    work.uow.people.save(replace(person, status=Status.ENROLLING))
    work.uow.dialogues.save(place)
    facts: dict[str, object] = {"step": place.step, "zone": person.zone}
    facts["emergency"] = emergency(work)
    facts["told"] = list(place.facts.get("told", ()))
    facts["instead"] = work.programmes.current.said("instead")
    tell_person(work, person, "enrol.cleared", facts)
