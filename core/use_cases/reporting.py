"""What is told beside an evening's numbers: an injection, a circumstance, that there are no signs."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import DANGER, STOPPING, Circumstance, Decision, Flag, NoticeKind
from core.records import CheckIn, Course, Person, Status
from core.timetable import evening_of, local_date
from core.use_cases.answering import Said, open_evening, record
from core.use_cases.clearing import effective
from core.use_cases.deciding import decide_from
from core.use_cases.enrolling import screen_out
from core.use_cases.entries import Entry
from core.use_cases.leaving import count_gaps
from core.use_cases.noticing import tell_therapist
from core.use_cases.sign_questions import open_sign, settle
from core.use_cases.work import Work


def injection_told(work: Work, person: Person, at: dt.datetime, text: str = "") -> Decision | None:
    """No load for as long as the programme says; the therapist is told, each time it is mentioned.

    `at` is when it was said. Of two courses both are unloaded: which arm it was need not be known. None when there is
    no course to unload, or when an injection waits for the therapist's look already: a second mention is not taken for
    a second needle.
    """
    tell_therapist(work, person, NoticeKind.INJECTION, work.new_id(), text=text)
    if person.away_since and not all(each.episode.awaits_look for each in work.uow.diary.courses_of(person.id)):
        count_break(work, person)
    decision = None
    for course in work.uow.diary.courses_of(person.id):
        if not course.episode.awaits_look:
            date = max(effective(work, person, course), evening_of(at, person.zone) - dt.timedelta(days=1))
            now = work.uow.people.get(person.id) or person
            decision = decide_from(work, now, course, Entry(date, "injection"))
    return decision


def circumstance_told(work: Work, person: Person, circumstance: Circumstance, text: str) -> None:
    """One that the therapist must weigh and that stops nothing."""
    tell_therapist(work, person, NoticeKind.CIRCUMSTANCE, work.new_id(), {"flag": circumstance.value}, text)


def signs_denied(work: Work, person: Person, course: Course) -> Decision:
    """None of the signs asked about after a very bad day: the sets may go on, from the next dose not given out yet."""
    return decide_from(work, person, course, Entry(effective(work, person, course), "no_signs"))


def count_break(work: Work, person: Person) -> None:
    """The days away so far count as a gap now: what is recorded next would hide them."""
    count_gaps(work, person)
    work.uow.people.save(replace(person, away_since=local_date(work.now, person.zone)))


def danger_told(
    work: Work, person: Person, said: Said, at: dt.datetime, check_in: CheckIn | None = None
) -> None:
    """Record danger for the evening on which it was told, `at`; before a course has begun it screens the person out.

    A later, milder sign never hides an earlier, more serious one, and a clearance of today never hides a sign told
    after it. A circumstance that stops the programme is told in the same way. Of two courses both stop.
    """
    if said.flag is None or (said.flag not in DANGER and said.circumstance not in STOPPING):
        raise ValueError(f"flag {said.flag}: not a sign of danger")
    courses = work.uow.diary.courses_of(person.id)
    if person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        _tell(work, person, (), said)  # there is nothing to stop, and nothing that a look at it could let go on
        return
    if not courses:
        screen_out(work, person, said.circumstance or said.flag, said.text, said.urgency)
        return
    _tell(work, person, courses, said)
    for asked in filter(None, (open_sign(work, each) for each in courses)):
        settled = settle(work, asked)
        check_in = settled if check_in and check_in.id == settled.id else check_in
    if person.away_since:
        count_break(work, person)
    for course in work.uow.diary.courses_of(person.id):
        own = check_in if check_in and check_in.course_id == course.id else None
        told = said if own or check_in is None else replace(said, pain=None, sets_done=None)
        now = work.uow.people.get(person.id) or person
        evening = own or open_evening(work, now, course, evening_of(at, person.zone))
        record(work, work.uow.people.get(person.id) or now, course, evening, told)
        _stop_for_certain(work, person, evening, said.flag)


def red_flags_left_open(work: Work, person: Person, course: Course) -> str | None:
    """The check-in whose red-flag questions are still open when the next evening comes; the therapist is told once.

    No answer is no all-clear: the questions are put again beside each evening's own. None when none are open.
    """
    asked = course.episode.signs_asked
    check_in = work.uow.diary.check_in_on(course.id, asked) if asked else None
    if check_in is None:
        return None
    side = {"side": course.side} if len(work.uow.diary.courses_of(person.id)) > 1 else {}
    tell_therapist(work, person, NoticeKind.UNANSWERED, f"red_flags:{check_in.id}", side)
    return check_in.id


def _stop_for_certain(work: Work, person: Person, evening: CheckIn, flag: Flag) -> None:
    """An evening that was cleared since does not stop a second time by itself; what was told just now must."""
    course = work.uow.diary.course(evening.course_id)
    latest = work.uow.decisions.latest(course.id) if course else None
    if course and not course.episode.paused_for:
        date = max(evening.date, latest.date) if latest else evening.date
        decide_from(work, work.uow.people.get(person.id) or person, course, Entry(date, "danger", flag=flag))


def _tell(work: Work, person: Person, courses: Sequence[Course], said: Said) -> None:
    kind, flag = (NoticeKind.CIRCUMSTANCE, said.circumstance) if said.circumstance else (NoticeKind.DANGER, said.flag)
    facts: dict[str, object] = {"flag": flag or "", "urgency": said.urgency or ""}
    if len(courses) == 1:
        facts["step"] = courses[0].episode.step
    if said.sign:
        facts["sign"] = said.sign
    key = work.new_id()  # its own key: each telling is a matter of its own
    tell_therapist(work, person, kind, key, facts, said.text)
