"""A therapist's caseload as it stands now: who needs attention first, and why. Numbers and codes, no words.

The codes, their order and the week are the digest's: on a Monday before the evening both say the same.
"""

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import replace

from core.digest.attention import Attention, reasons_to_look
from core.digest.patient_facts import week_calls
from core.digest.patient_week import DueTask
from core.digest.weekly_trend import WEEKS
from core.errors import UnreadableError
from core.model import Evening, NoticeKind
from core.page import CaseloadRow
from core.programme import Programme
from core.records import Course, Person, Staff, Status, StoredDecision, Whose
from core.scores import change_in
from core.scores.prtee import due_in_week
from core.timetable import ONE_DAY, ONE_WEEK, evening_of
from core.use_cases.gathering import outcomes_of, past_evenings
from core.use_cases.patient_file import due_tasks
from core.use_cases.rights import OpenMatters, audit, open_matters, unseen
from core.use_cases.work import Work
from core.weeks import mean_change, monday_of, week_number, week_of_days, week_up_to

READ = (WEEKS + 2) * ONE_WEEK  # back: a trend, and the one of a week before
NOT_SHOWN = frozenset({Status.DISCHARGED})
BY_STATUS = {
    Status.UNREACHABLE: Attention.UNREACHABLE, Status.LEFT: Attention.LEFT, Status.AWAY: Attention.AWAY,
}  # fmt: skip
GONE = frozenset({*BY_STATUS, Status.COMPLETED})
OF_WHO_IS_HERE = frozenset({Attention.SILENT, Attention.FEW_SETS, Attention.FEWER_SETS})
FROM_STATUS = frozenset({NoticeKind.LEFT, NoticeKind.UNREACHABLE})  # they hold for as long as the status does


def caseload(
    work: Work, staff: Staff, therapist: Staff | None = None, *, discharged: bool = False
) -> tuple[CaseloadRow, ...]:
    """One row a patient, sorted by who needs attention; of a colleague's patients when the lead asks for them.

    The lead finds among their own whoever has no therapist yet, and everybody when they treat nobody themselves.
    """
    audit(work, staff, "caseload", detail=therapist.id if therapist else "")
    rows = (caseload_row(work, person) for person in patients_seen(work, staff, therapist, discharged=discharged))
    return tuple(sorted(rows, key=lambda row: row.order))


def patients_seen(
    work: Work, staff: Staff, therapist: Staff | None = None, *, discharged: bool = False
) -> Sequence[Person]:
    """Whose rows the caseload has, in no order."""
    if therapist is not None:
        found = work.uow.people.of(therapist.id) if staff.lead or therapist.id == staff.id else ()
    elif staff.lead:
        everybody = work.uow.people.all()
        found = tuple(each for each in everybody if not staff.therapist or each.therapist_id in (staff.id, None))
    else:
        found = work.uow.people.of(staff.id)
    return [each for each in found if discharged or each.status not in NOT_SHOWN]


def notices_seen(staff: Staff) -> Whose:
    """About whom somebody of the staff reads notices: whom `patients_seen` shows them."""
    if staff.lead and not staff.therapist:
        return Whose(everybody=True)
    return Whose(therapist_id=staff.id, nobodys=staff.lead)


def caseload_row(work: Work, person: Person) -> CaseloadRow:
    """How one patient stands now; one whose rows cannot be read is there by name."""
    try:
        if not isinstance(person.status, Status):
            raise UnreadableError("people", person.id, "status")
        courses = work.uow.diary.courses_of(person.id)
        if not courses:
            return course_row(work, person, None)
        first, *others = sorted((course_row(work, person, each) for each in courses), key=lambda row: row.order)
        return replace(first, others=tuple(others))
    except UnreadableError:
        return CaseloadRow(person.id, person.name, person.status, (), unreadable=True)


def course_row(work: Work, person: Person, course: Course | None) -> CaseloadRow:
    """How the patient stands in one course. Raises UnreadableError."""
    today = evening_of(work.now, person.zone)
    matters, tasks = open_matters(work.uow, person, work.now, work.now), due_tasks(work.uow, person, today)
    if course is None:
        attention = _look(person, (), "", matters, tasks)
        return CaseloadRow(person.id, person.name, person.status, attention, tasks=tasks, settled=matters.settled)
    programme = work.programme_of(course)
    diary = past_evenings(work, course, today - READ, today)
    until = week_up_to(diary, today)
    decided = work.uow.decisions.of(course.id, since=until - ONE_WEEK + ONE_DAY)
    calls = _calls(programme, person, course, diary, decided, until)
    if _score_due(work, person, course, today):
        calls |= {Attention.SCORE_DUE}
    this, number = week_of_days(diary, until), week_number(course.episode.started, today)
    return CaseloadRow(
        id=person.id,
        name=person.name,
        status=person.status,
        attention=_look(
            person, calls, course.side, matters, tasks,
            unseen=unseen(person, matters, course.episode.started, work.now),
        ),
        step=course.episode.step,
        steps=programme.rungs,
        week=number,
        mean=this.mean,
        change=change_in(programme, course.episode.first_week_mean, this) if number > 1 else None,
        last_answered=max((each.date for each in diary if each.pain is not None), default=None),
        stopped=course.episode.stopped is not None,
        silent_days=course.episode.silent_days,
        tasks=tasks,
        settled=matters.settled,
        side=course.side,
    )


def _score_due(work: Work, person: Person, course: Course, today: dt.date) -> bool:
    """Whether the clinic's questionnaire is due this week."""
    monday, started = monday_of(today), course.episode.started
    if person.status in (Status.AWAY, Status.LEFT) or due_in_week(started, (), monday) is None:
        return False
    scored = [each.week for each in outcomes_of(work.uow, course)]
    return due_in_week(started, scored, monday) is not None


def _calls(
    programme: Programme, person: Person, course: Course, diary: Sequence[Evening],
    decided: Sequence[StoredDecision], until: dt.date,
) -> frozenset[Attention]:  # fmt: skip
    """What of the course calls for a look; who is gone is not asked for sets, and a halt is the therapist's own."""
    made = [each for each in decided if until - ONE_WEEK < each.date <= until]
    this, last = week_of_days(diary, until), week_of_days(diary, until - ONE_WEEK)
    codes = week_calls(
        programme, course.episode, diary, until,
        back=any(each.decision.after.step < each.before.step for each in made),
        flared=any(each.decision.after.flared == each.date for each in made),
        change=mean_change((this.total, this.rated), (last.total, last.rated), programme.rule.weeks.ratings.value),
    )  # fmt: skip
    return codes - {Attention.HALTED} - (OF_WHO_IS_HERE if person.status in GONE else frozenset())


def _look(
    person: Person, codes: Collection[Attention], side: str, matters: OpenMatters, tasks: Sequence[DueTask], *,
    unseen: bool = False,
) -> tuple[Attention, ...]:  # fmt: skip
    own = {BY_STATUS[person.status]} if person.status in BY_STATUS else set()
    task = {Attention.TASK} if tasks else set()
    notices = set(matters.kinds(side)) - FROM_STATUS
    return reasons_to_look({*codes, *own, *task}, notices, matters.settled, unseen=unseen)
