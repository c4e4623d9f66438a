"""A second course, for the other side: begun with the first or later, and ended by itself."""

import datetime as dt
from dataclasses import replace

from core.errors import RefusalError
from core.guided import OTHER_SIDE
from core.model import Dose
from core.records import Course, Dialogue, GuidedState, Person, Staff, Status
from core.rule import begin, dose_on
from core.rule.course import is_stopped
from core.timetable import local_date, plan_ahead
from core.use_cases.answering import still_to_ask
from core.use_cases.clearing import plan_next, tell
from core.use_cases.gathering import dose_facts, side_facts
from core.use_cases.leaving import replan
from core.use_cases.rights import audit, check, trimmed
from core.use_cases.work import Work


def begin_beside(
    work: Work, person: Person, side: str, rating: int, first: dt.date, *, gently: bool = False
) -> tuple[Course, Dose]:
    """Begin the course of the other side of somebody who has one, with its first dose on `first`.

    Consent and screening are the person's and were passed; `gently`: after an injection, as in `begin_course`.
    """
    programme = work.programmes.current
    episode = replace(begin(programme, first, rating, gently=gently), awaits_look=gently)
    course = Course(work.new_id(), person.clinic_id, person.id, side, programme.version, episode)
    work.uow.clinics.save_programme(programme.version, programme.text, work.now)
    work.uow.diary.save_course(course)
    return course, dose_on(programme, episode, first)


def add_side(work: Work, staff: Staff, person: Person, rating: int, reason: str) -> Course:
    """Begin the course of the other side too, from the next day that leaves time for its dose, or today; the person is
    told. `rating` is what they say of it now, 0-10. RefusalError where they are not asked now, or have both."""
    check(work, staff, person, "add_side")
    reason = trimmed(reason)
    side = side_to_add(work, person)
    first, _ = plan_ahead(work.now, person.evening, person.zone, None)
    course, dose = begin_beside(work, person, side, rating, first)
    audit(work, staff, "add_side", person, f"{side}: {reason}")
    replan(work, person)
    programme = work.programmes.get(work.uow, course.programme_version)
    facts: dict[str, object] = {"act": "add_side", "therapist": staff.name, "dose": dose_facts(programme, dose)}
    facts |= {"date": first, "today": local_date(work.now, person.zone)}
    tell(work, person, "override.told", facts | side_facts(work, course))
    return course


def side_to_add(work: Work, person: Person) -> str:
    """The side that has no course; RefusalError where none can be begun now."""
    courses = work.uow.diary.courses_of(person.id)
    if len(courses) != 1 or len(work.programmes.current.sides) < len(OTHER_SIDE):
        raise RefusalError(f"person {person.id} has {len(courses)} courses", "has_both" if courses else "no_course")
    if person.status is not Status.ACTIVE or is_stopped(courses[0].episode):
        raise RefusalError(f"person {person.id} is not asked now", "not_asked_now")
    return OTHER_SIDE[courses[0].side]


def end_side(work: Work, staff: Staff, person: Person, reason: str, side: str) -> None:
    """End one of two courses; its diary stays, the other goes on, and the person is told. RefusalError for the only
    one: that is a discharge."""
    check(work, staff, person, "end_side")
    reason = trimmed(reason)
    course = course_to_end(work, person, side)
    latest = work.uow.diary.latest_check_in(course.id)
    if latest and latest.remind_at:
        work.uow.diary.save_check_in(replace(latest, remind_at=still_to_ask(latest)))
    if (guided := work.uow.sets.open_of(person.id)) and guided.course_id == course.id:
        work.uow.sets.save(replace(guided, state=GuidedState.STOPPED, next_at=work.now))
    which = side_facts(work, course)
    work.uow.diary.save_course(replace(course, ended_at=work.now))
    if work.uow.dialogues.get(person.id).check_in_id == (latest.id if latest else ""):
        work.uow.dialogues.save(Dialogue(person.id, ""))
    audit(work, staff, "end_side", person, f"{side}: {reason}")
    plan_next(work, person)
    if person.status in (Status.ACTIVE, Status.AWAY):
        tell(work, person, "override.side_ended", {"therapist": staff.name, **which})


def course_to_end(work: Work, person: Person, side: str) -> Course:
    """One of two courses. RefusalError."""
    courses = work.uow.diary.courses_of(person.id)
    found = next((each for each in courses if each.side == side), None)
    if found is None or len(courses) < 2:
        raise RefusalError(f"person {person.id} has no two courses", "only_side" if courses else "no_course")
    return found
