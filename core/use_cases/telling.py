"""What is told beside an evening's numbers: an injection, a circumstance, that there are no signs."""

import datetime as dt
from dataclasses import replace

from core.model import Circumstance, Decision, NoticeKind
from core.records import Course, Person
from core.timetable import evening_of, local_date
from core.use_cases.clearing import effective
from core.use_cases.deciding import decide_from
from core.use_cases.leaving import count_gap
from core.use_cases.noticing import tell_therapist
from core.use_cases.slots import Slot
from core.use_cases.work import Work


def injection_told(work: Work, person: Person, at: dt.datetime, text: str = "") -> Decision | None:
    """No load for as long as the programme says; the therapist is told, each time it is mentioned.

    `at` is when it was said. None when there is no course to unload, or when an injection waits for the therapist's
    look already: a second mention is not taken for a second needle.
    """
    tell_therapist(work, person, NoticeKind.INJECTION, work.new_id(), text=text)
    course = work.uow.diary.course_of(person.id)
    if course is None or course.episode.awaits_look:
        return None
    if person.away_since:
        course = count_break(work, person, course)
    date = max(effective(work, person, course), evening_of(at, person.zone) - dt.timedelta(days=1))
    return decide_from(work, work.uow.people.get(person.id) or person, course, Slot(date, "injection"))


def circumstance_told(work: Work, person: Person, circumstance: Circumstance, text: str) -> None:
    """One that the therapist must weigh and that stops nothing."""
    tell_therapist(work, person, NoticeKind.CIRCUMSTANCE, work.new_id(), {"flag": circumstance.value}, text)


def signs_denied(work: Work, person: Person, course: Course) -> Decision:
    """None of the signs asked about after a very bad day: the sets may go on, from the next dose not given out yet."""
    return decide_from(work, person, course, Slot(effective(work, person, course), "no_signs"))


def count_break(work: Work, person: Person, course: Course) -> Course:
    """The days away so far count as a gap now: what is recorded next would hide them."""
    count_gap(work, person, course)
    work.uow.people.save(replace(person, away_since=local_date(work.now, person.zone)))
    return work.uow.diary.course_of(person.id) or course

