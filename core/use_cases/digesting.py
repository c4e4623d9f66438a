"""The weekly digest: who is due one, and the facts of any week when it is worded. Once a week, by a unique key."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import islice

from core.answers import mattering
from core.digest import Digest, digest, files, pictures
from core.digest.attention import Attention
from core.digest.patient_facts import patient_week
from core.digest.patient_week import CourseLine, Made, PatientWeek, Score, Standing, course_line
from core.errors import UnreadableError
from core.model import Decision, Episode, Evening
from core.ports import UnitOfWork
from core.records import Course, Outgoing, Person, Priority, Staff, Status, Worded
from core.scores.prtee import due_in_week
from core.timetable import ONE_DAY, ONE_WEEK, end_of_day, instant, local_date
from core.use_cases.clinic import tell_service
from core.use_cases.entries import days_counted
from core.use_cases.gathering import outcomes_of
from core.use_cases.patient_file import due_tasks, goal_facts
from core.use_cases.person_page import told_on
from core.use_cases.rights import open_matters, unseen
from core.use_cases.work import Programmes, Recipient, Work, queue
from core.weeks import monday_of

TEXT, PICTURE, FILE = "therapist.digest", "therapist.digest_picture", "therapist.digest_pdf"
MOST_MISSED = 4 * ONE_WEEK  # judgement: after a longer downtime the last weeks follow, not all of them
ON_PAPER = 6  # of a patient's words and of notes, the latest: half a page at most. Judgement
NEVER_BEGAN = (Status.UNCONFIRMED, Status.ENROLLING, Status.SCREENED_OUT)


def plan_digest(staff: Staff, now: dt.datetime) -> Staff:
    """The staff member with their next digest planned: their own weekday and wall time, later than now."""
    today = local_date(now, staff.zone)
    date = today + dt.timedelta(days=(staff.digest_weekday - today.weekday()) % 7)
    while (due := instant(date, staff.digest_time, staff.zone)) is None or due <= now:
        date += ONE_WEEK
    return replace(staff, next_digest=due)


def send_digest(work: Work, staff_id: str) -> None:
    """Queue the digest of the week that ended for a therapist whose hour has come."""
    staff = work.uow.staff.get(staff_id)
    if staff is None:
        return
    asked_for = max(staff.next_digest or work.now, work.now - MOST_MISSED)
    if staff.left_at is not None or not staff.therapist or not staff.confirmed:
        work.uow.staff.save(replace(staff, next_digest=None))
        return
    if _begun(work.uow, staff):  # nobody is told each week that there was nothing
        queue_digest(work, staff, last_week(asked_for, staff.zone), key=f"digest:{staff.id}")
    if staff.lead:
        tell_service(work, staff, asked_for)
    work.uow.staff.save(plan_digest(staff, asked_for))  # from there on, so that a week missed by downtime follows


def queue_digest(work: Work, staff: Staff, monday: dt.date, *, key: str) -> bool:
    """Queue the digest of one week; False for a known key.

    No patient is read here: that takes seconds for a large caseload, and is done by whoever draws.
    """
    facts = {"staff": staff.id, "week": monday.isoformat()}
    return queue(
        work, Recipient.of(staff), TEXT, facts, key=f"{key}:{monday.isoformat()}", priority=Priority.DRAWN
    )


def digest_made(work: Work, message: Outgoing, staff: Staff, words: Worded, week: Digest) -> None:
    """Keep the words of a digest that is about to leave, and queue its pictures and files; safe to repeat.

    Those hold no facts of patients: they are gathered when they are made.
    """
    work.uow.outbox.word(message.key, words)
    papers = files(week) if week.patients else 0
    for kind, count in ((PICTURE, pictures(week)), (FILE, papers)):
        for part in range(count):
            facts = {"staff": staff.id, "week": week.monday.isoformat(), "digest": message.key, "part": part}
            key = f"{message.key}:{kind}:{part}"
            queue(work, Recipient.of(staff), kind, facts, key=key, priority=Priority.DRAWN)


def this_week(moment: dt.datetime, zone: str) -> dt.date:
    """The Monday of the week that `moment` is in."""
    return monday_of(local_date(moment, zone))


def last_week(moment: dt.datetime, zone: str) -> dt.date:
    """The Monday of the last week that is over at `moment`."""
    return this_week(moment, zone) - ONE_WEEK


def gather(uow: UnitOfWork, programmes: Programmes, staff: Staff, monday: dt.date) -> Digest:
    """The facts of one therapist's week, for all their patients who have begun; the names of those not readable."""
    weeks: list[PatientWeek] = []
    unreadable = []
    for person in _begun(uow, staff):
        try:
            weeks += weeks_of(uow, programmes, person, monday, staff.zone)
        except UnreadableError:
            unreadable.append(person.name)
    return digest(weeks, monday, unreadable)


def _begun(uow: UnitOfWork, staff: Staff) -> list[Person]:
    return [person for person in uow.people.of(staff.id) if person.status not in NEVER_BEGAN]


def weeks_of(
    uow: UnitOfWork, programmes: Programmes, person: Person, monday: dt.date, zone: str
) -> list[PatientWeek]:
    """One patient's week, cut at midnight in `zone`, the therapist's: one a side, but none not begun by then."""
    if not isinstance(person.status, Status):
        raise UnreadableError("people", person.id, "status")
    begun = [each for each in uow.diary.courses_of(person.id) if each.episode.started <= monday + 6 * ONE_DAY]
    return [_week_of(uow, programmes, person, each, monday, zone) for each in begun]


def _week_of(
    uow: UnitOfWork, programmes: Programmes, person: Person, course: Course, monday: dt.date, zone: str
) -> PatientWeek:
    start, diary, made = _history(uow, person, course, monday + 6 * ONE_DAY)
    programme = programmes.get(uow, course.programme_version)
    return patient_week(programme, _standing(uow, person, course, monday, zone, made), start, diary, made, monday)


def _history(
    uow: UnitOfWork, person: Person, course: Course, sunday: dt.date
) -> tuple[Episode, tuple[Evening, ...], list[Made]]:
    """What the course began with, its evenings up to `sunday`, and everything that was decided."""
    stored = uow.decisions.of(course.id)
    start = stored[0].before if stored else course.episode
    made = [Made(each.decision, each.by, each.note, told_on(each, person)) for each in stored]
    return start, uow.diary.evenings(course.id, start.started, sunday), made


def line_of(
    uow: UnitOfWork, person_id: str, sunday: dt.date, weeks: int | None = None, side: str = ""
) -> CourseLine:
    """A patient's course up to `sunday` as it is drawn: the last `weeks` weeks, or all of it."""
    person, course = uow.people.get(person_id), uow.diary.course_of(person_id, side)
    assert person is not None
    assert course is not None, "only somebody whose course has begun is in a digest"
    start, diary, made = _history(uow, person, course, sunday)
    return course_line(start, diary, made, sunday, weeks)


def _standing(
    uow: UnitOfWork, person: Person, course: Course, monday: dt.date, zone: str, made: Sequence[Made]
) -> Standing:
    """How the person stood on that Sunday, whatever became of them since."""
    sunday = monday + ONE_WEEK - ONE_DAY
    until = end_of_day(sunday, zone)
    matters = open_matters(uow, person, until)
    cleared = () if course.episode.paused_for else (Attention.STOPPED,)
    gone = person.away_since is None or person.away_since <= sunday
    away = (person.status == Status.AWAY and gone) or any(_away_on(each.decision, sunday) for each in made)
    outcomes = outcomes_of(uow, course)
    left = person.status in (Status.LEFT, Status.DISCHARGED) and gone
    due = due_in_week(course.episode.started, [each.week for each in outcomes], monday + ONE_WEEK)
    return Standing(
        id=person.id,
        name=person.name,
        side=course.side,
        away=away,
        away_until=person.away_until if away and person.status == Status.AWAY and gone else None,
        unreachable=person.status == Status.UNREACHABLE and gone,
        left=left,
        unseen=unseen(person, matters, course.episode.started, until),
        score_due=due is not None and not (left or away),
        notices=matters.kinds(course.side),
        tasks=due_tasks(uow, person, monday + ONE_WEEK + 6 * ONE_DAY),
        settled=(*matters.settled, *cleared),
        scores=tuple(Score(each.week, each.total) for each in outcomes if each.at < until),
        goals=goal_facts([each for each in uow.people.goals(course.id) if each.at < until]).goals,
        own_words=_dated(
            ((each.at, each.text) for each in uow.notices.about(person.id) if each.text and each.at < until), zone
        ),
        one_of_two=len(uow.diary.courses_of(person.id)) > 1,
        notes=_dated(((each.at, each.text) for each in uow.people.notes(person.id) if each.at < until), zone),
        unread=tuple(
            (date, said)
            for date, words in uow.diary.unread(course.id, monday, sunday).items()
            if (said := mattering(words, person.language))
        ),
    )


def _dated(said: Iterable[tuple[dt.datetime, str]], zone: str) -> tuple[tuple[dt.date, str], ...]:
    """The latest few, by the date they had where the therapist is."""
    return tuple((local_date(at, zone), words) for at, words in islice(said, ON_PAPER))


def _away_on(decision: Decision, date: dt.date) -> bool:
    """Whether a return that came later counted that day as one away; it is dated on the last of them."""
    return decision.date - days_counted(decision) * ONE_DAY < date <= decision.date
