"""Somebody told us of danger: the programme stops, the therapist is told at once, every time."""

import datetime as dt

from core.model import DANGER, NoticeKind
from core.records import CheckIn, Course, Notice, Person
from core.timetable import evening_of
from core.use_cases.answering import Said, open_evening, record
from core.use_cases.enrolling import screen_out
from core.use_cases.work import Work


def danger_told(
    work: Work, person: Person, said: Said, at: dt.datetime, check_in: CheckIn | None = None
) -> None:
    """Record danger for the evening on which it was told, `at`; before a course has begun it screens the person out.

    A later, milder sign never hides an earlier, more serious one.
    """
    if said.flag not in DANGER:
        raise ValueError(f"flag {said.flag}: not a sign of danger")
    course = work.uow.course_of(person.id)
    if course is None:
        screen_out(work, person, said.flag.value, said.text)
        return
    _tell_therapist(work, person, course, said)
    evening = check_in or open_evening(work, person, course, evening_of(at, person.zone))
    record(work, work.uow.person(person.id) or person, course, evening, said)


def _tell_therapist(work: Work, person: Person, course: Course, said: Said) -> None:
    kind = NoticeKind.DANGER
    key = f"{person.id}:{work.now.isoformat()}:{kind.value}"
    facts = {"flag": said.flag.value if said.flag else "", "step": course.episode.step}
    work.uow.add_notice(Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, facts, said.text))
