"""The way in: consent and screening before anything, then the first dose; a course for the other side, and its end."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from core.errors import HoldlowerError, RefusalError
from core.guided import OTHER_SIDE
from core.model import Dose, NoticeKind
from core.records import Course, Dialogue, GuidedState, Person, Staff, Status
from core.rule import begin, dose_on
from core.rule.course import is_stopped
from core.timetable import ONE_DAY, due_after_start, local_date
from core.understanding import Urgency
from core.use_cases.answering import still_to_ask
from core.use_cases.gathering import dose_facts, side_facts
from core.use_cases.noticing import tell_person, tell_therapist
from core.use_cases.planning import plan_after_act, plan_after_change
from core.use_cases.rights import audit, check, trimmed
from core.use_cases.work import Work

VALID_DAYS = 7


@dataclass(frozen=True, slots=True)
class Begun:
    """A course that has begun: the first dose is for `first`, the first question comes that evening."""

    person: Person
    course: Course
    dose: Dose
    first: dt.date


def enrolment_of(dialogue: Dialogue) -> Dialogue | None:
    """Where the enrolment stands, also while a short question (a problem, erasing) has been put before it."""
    if dialogue.flow == "enrol":
        return dialogue
    kept = dialogue.facts.get("enrol")
    return Dialogue(dialogue.person_id, "enrol", kept["step"], facts=kept["facts"]) if kept else None


def put_before(dialogue: Dialogue, flow: str) -> Dialogue:
    """The dialogue with a short question put before an enrolment that is under way, which goes on afterwards."""
    place = enrolment_of(dialogue)
    kept = {"enrol": {"step": place.step, "facts": dict(place.facts)}} if place else {}
    return Dialogue(dialogue.person_id, flow, facts=kept)


def screen_out(work: Work, person: Person, why: str, text: str = "", urgency: Urgency | None = None) -> Person:
    """A screening answer needs a person first: no dose, and the therapist is told why, and how soon it must be seen."""
    waiting = replace(person, status=Status.SCREENED_OUT, next_due=None, next_date=None)
    work.uow.people.save(waiting)
    facts = {"flag": str(why), "urgency": urgency or ""}
    tell_therapist(work, waiting, NoticeKind.SCREENED_OUT, work.new_id(), facts, text)
    return waiting


def begin_course(work: Work, person: Person, answers: Mapping[str, object], wait_days: int = 0) -> Begun:
    """Begin after screening. `answers` holds side and rating.

    `wait_days` delays the first dose after an injection; such a course begins on the gentle step, the therapist is
    told, and nothing moves up until they have looked.
    """
    first, due = due_after_start(work.now, person.evening, person.zone, None)
    if wait_days:
        then = work.now + dt.timedelta(days=wait_days)
        before = local_date(work.now, person.zone) + dt.timedelta(days=wait_days) - ONE_DAY
        first, due = due_after_start(then, person.evening, person.zone, before)
    if wait_days:
        tell_therapist(work, person, NoticeKind.INJECTION, work.new_id(), {"flag": "before"})
    active = replace(person, status=Status.ACTIVE, next_date=first, next_due=due)
    work.uow.people.save(active)
    course, dose = begin_beside(work, active, str(answers["side"]), _rating(answers), first, gently=wait_days > 0)
    return Begun(active, course, dose, first)


def _rating(answers: Mapping[str, object]) -> int:
    rating = answers["rating"]
    if not isinstance(rating, int):
        raise HoldlowerError(f"start rating {rating!r}: expected a whole number from 0 to 10")
    return rating


def begin_beside(
    work: Work, person: Person, side: str, rating: int, first: dt.date, *, gently: bool = False
) -> tuple[Course, Dose]:
    """Begin a course, the first or that of the other side, with its first dose on `first`.

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
    first, _ = due_after_start(work.now, person.evening, person.zone, None)
    course, dose = begin_beside(work, person, side, rating, first)
    audit(work, staff, "add_side", person, f"{side}: {reason}")
    plan_after_change(work, person)
    programme = work.programme_of(course)
    facts: dict[str, object] = {"act": "add_side", "therapist": staff.name, "dose": dose_facts(programme, dose)}
    facts |= {"date": first, "today": local_date(work.now, person.zone)}
    tell_person(work, person, "override.told", facts | side_facts(work, course))
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
    plan_after_act(work, person)
    if person.status in (Status.ACTIVE, Status.AWAY):
        tell_person(work, person, "override.side_ended", {"therapist": staff.name, **which})


def course_to_end(work: Work, person: Person, side: str) -> Course:
    """One of two courses. RefusalError."""
    courses = work.uow.diary.courses_of(person.id)
    found = next((each for each in courses if each.side == side), None)
    if found is None or len(courses) < 2:
        raise RefusalError(f"person {person.id} has no two courses", "only_side" if courses else "no_course")
    return found
