"""What a lead looks at: the clinic as it is, how the service did in a week, and the results of a quarter.

Nothing in the results compares treatments: those who stay differ from those who leave, and most pain falls by itself.
"""

import datetime as dt
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from core.digest.patient_week import flares_of
from core.model import NoticeKind
from core.ports import UnitOfWork
from core.records import Clinic, Course, Invitation, Person, Queues, ServiceWeek, Staff, Status
from core.timetable import ONE_DAY, ONE_WEEK
from core.use_cases.noticing import tell_staff
from core.use_cases.rights import answers_of
from core.use_cases.work import Work
from core.weeks import LEAST_RATINGS, WEEK_DAYS, week_of_days

MOST_ACTS = 10_000  # lines of the trail about one person
NEEDS_NOTHING = frozenset({NoticeKind.CLEARED})
MARKS = (6, 12, 26)  # weeks: as the rule looks for a plateau
SMALL = 5  # people; fewer are hidden from a researcher: common practice, no source
NATURAL_ROW = "G1"  # the programme's source on the untreated course, where it has one
HALVES_WEEKS = (13.0, 17.4)  # untreated pain halves in 3 to 4 months: Ikonen 2022
_Z = 1.959964  # of a normal distribution, 95 % within


@dataclass(frozen=True, slots=True)
class ClinicState:
    clinic: Clinic
    staff: tuple[Staff, ...]  # not those who left
    invitations: tuple[Invitation, ...]  # that can still be used
    copied: dt.datetime | None  # when `holdlower backup` last ran
    queues: Queues


def clinic_state(work: Work, clinic: Clinic) -> ClinicState:
    """The clinic at this moment."""
    staff = tuple(each for each in work.uow.staff.all() if each.left_at is None)
    backup, queues = work.uow.audit.last_done("backup"), work.uow.figures.queues(work.now)
    return ClinicState(clinic, staff, work.uow.invitations.open(work.now), backup, queues)


@dataclass(frozen=True, slots=True)
class Dealt:
    """Notices of a week: how many, how many somebody did something about, and after how many hours on the median."""

    notices: int
    dealt: int
    median_hours: float | None


def dealt_with(work: Work, since: dt.datetime, until: dt.datetime) -> Dealt:
    """Looking at a page is not doing something; the first act after a notice answers it."""
    notices = [each for each in work.uow.notices.within(since, until) if each.kind not in NEEDS_NOTHING]
    acts = {
        person: sorted(answers_of(work.uow.audit.latest(person, MOST_ACTS)))
        for person in {each.person_id for each in notices}
    }
    waits = [
        (first - each.at).total_seconds() / 3600
        for each in notices
        if (first := next((at for at in acts[each.person_id] if at >= each.at), None))
    ]
    return Dealt(len(notices), len(waits), statistics.median(waits) if waits else None)


def tell_service(work: Work, lead: Staff, monday: dt.datetime) -> None:
    """Queue the week's line on the service for a lead; nothing for a week in which nobody was to be asked."""
    since = monday - ONE_WEEK
    week: ServiceWeek = work.uow.figures.service_week(since, monday)
    if not week.planned:
        return
    dealt = dealt_with(work, since, monday)
    facts = {
        "asked": week.asked, "late": week.late, "failed": week.failed, "answered": week.answered,
        "notices": dealt.notices, "dealt": dealt.dealt, "hours": dealt.median_hours,
    }  # fmt: skip
    key = f"service:{lead.id}:{monday.isoformat()}"
    tell_staff(work, lead, "therapist.service", facts, key=key)


@dataclass(frozen=True, slots=True)
class AtWeek:
    """Everybody whose mark of so many weeks fell into the quarter. Changes are points of 10, down is better."""

    week: int
    people: int
    following: int  # of them, not left by then
    measured: int  # of those, with ratings enough in the first week and in this one
    change: float | None
    low: float | None  # 95 % interval of the mean
    high: float | None
    untreated: tuple[float, float] | None  # what the published untreated course gives from the same beginnings


@dataclass(frozen=True, slots=True)
class _Followed:
    course: Course
    end: dt.date | None  # None while it goes on


@dataclass(frozen=True, slots=True)
class Results:
    since: dt.date
    until: dt.date  # the day after the last one
    began: int
    finished: int
    left: int
    evenings: int  # decided
    flares: int
    marks: tuple[AtWeek, ...]
    dealt: Dealt
    source: str  # the untreated course's, "" where the programme has none


def quarter(year: int, number: int) -> tuple[dt.date, dt.date]:
    """The first day of a quarter from 1 to 4, and the day after its last."""
    first = dt.date(year, 3 * number - 2, 1)
    return first, dt.date(year + (number == 4), 3 * number % 12 + 1, 1)


def results(work: Work, since: dt.date, until: dt.date) -> Results:
    """Everything of the days from `since` to before `until`, for the whole clinic."""
    found = [
        _Followed(course, _ended(person, course))
        for person in work.uow.people.all()
        for course in work.uow.diary.courses(person.id)
    ]
    over = [each.course.episode for each in found if each.end and since <= each.end < until]
    decided = [
        [decision for decision in work.uow.decisions.of(each.course.id) if since <= decision.date < until]
        for each in found
    ]
    source = next((each for each in work.programmes.current.sources if each.key == NATURAL_ROW), None)
    midnight = dt.time(tzinfo=dt.UTC)
    return Results(
        since=since,
        until=until,
        began=sum(since <= each.course.episode.started < until for each in found),
        finished=sum(episode.completed for episode in over),
        left=sum(not episode.completed for episode in over),
        evenings=sum(each.kind == "evening" for one in decided for each in one),
        flares=sum(len(flares_of(each.decision for each in one)) for one in decided),
        marks=tuple(_mark(work.uow, found, week, since, until, natural=bool(source)) for week in MARKS),
        dealt=dealt_with(work, dt.datetime.combine(since, midnight), dt.datetime.combine(until, midnight)),
        source=source.citation if source else "",
    )


def interval(values: Sequence[float]) -> tuple[float, float] | None:
    """The 95 % interval of their mean by Student's t; None for fewer than two."""
    if len(values) < 2:
        return None
    half = student(len(values) - 1) * stdev(values) / len(values) ** 0.5
    return fmean(values) - half, fmean(values) + half


def student(freedom: int) -> float:
    """The two-sided 95 % quantile of Student's t, by its expansion around the normal one (within 1 % from four on)."""
    if freedom < len(_EXACT) + 1:
        return _EXACT[freedom - 1]
    z, n = _Z, freedom
    return (
        z + (z**3 + z) / (4 * n) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * n**2)
        + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / (384 * n**3)
    )  # fmt: skip


_EXACT = (12.706, 4.303, 3.182)  # for one to three degrees of freedom, from any table of t


def result_rows(found: Results, *, masked: bool = False) -> Iterator[tuple[str, str]]:
    """(name, value) of each number; `masked` hides cells of one to four people, and what would give them away."""
    yield "since", found.since.isoformat()
    yield "until", found.until.isoformat()
    counts = {"began": found.began, "finished": found.finished, "left": found.left, "flares": found.flares}
    for name, count in counts.items():
        yield name, _cell(count, masked=masked)
    yield "evenings", str(found.evenings)
    yield "notices", _cell(found.dealt.notices, masked=masked)
    yield "notices_dealt_with", _cell(found.dealt.dealt, masked=masked, whole=found.dealt.notices)
    hours = found.dealt.median_hours
    yield "hours_to_deal_median", "" if hours is None or (masked and found.dealt.dealt < SMALL) else f"{hours:.1f}"
    for mark in found.marks:
        yield from _mark_rows(mark, masked=masked)


def _mark_rows(mark: AtWeek, *, masked: bool) -> Iterator[tuple[str, str]]:
    at = f"week_{mark.week}_"
    yield f"{at}people", _cell(mark.people, masked=masked)
    yield f"{at}following", _cell(mark.following, masked=masked, whole=mark.people)
    yield f"{at}measured", _cell(mark.measured, masked=masked, whole=mark.following)
    hidden = masked and mark.measured < SMALL
    numbers = {"change": mark.change, "low": mark.low, "high": mark.high}
    if mark.untreated:
        numbers |= {"untreated_least": mark.untreated[1], "untreated_most": mark.untreated[0]}
    for name, value in numbers.items():
        yield at + name, "" if value is None or hidden else f"{value:.2f}"


def _cell(count: int, *, masked: bool, whole: int | None = None) -> str:
    """A count; hidden when it is small, or when what it leaves of the whole is."""
    rest = 0 if whole is None else whole - count
    small = any(0 < each < SMALL for each in (count, rest))
    if not (masked and small):
        return str(count)
    return f"<{SMALL}" if 0 < count < SMALL else ""


def _ended(person: Person, course: Course) -> dt.date | None:
    """When somebody left or the course was over; None while it goes on."""
    if course.ended_at:
        return course.ended_at.date()
    gone = person.status in (Status.LEFT, Status.DISCHARGED, Status.UNREACHABLE)
    if gone and person.away_since:
        return person.away_since
    return course.episode.since if course.episode.completed else None


def _mark(
    uow: UnitOfWork, found: Sequence[_Followed], week: int, since: dt.date, until: dt.date, *, natural: bool
) -> AtWeek:
    people = following = 0
    pairs: list[tuple[float, float]] = []
    for each in found:
        course, end = each.course, each.end
        last = course.episode.started + dt.timedelta(days=week * WEEK_DAYS) - ONE_DAY
        if not since <= last < until:
            continue
        people += 1
        if end is not None and end <= last:
            continue
        following += 1
        mean = week_of_days(uow.diary.evenings(course.id, last - 6 * ONE_DAY, last), last)
        first = course.episode.first_week_mean
        if first is not None and mean.mean is not None and mean.rated >= LEAST_RATINGS:
            pairs.append((first, mean.mean))
    changes = [now - first for first, now in pairs]
    low, high = interval(changes) or (None, None)
    untreated = None
    if natural and pairs:
        start = fmean(first for first, _ in pairs)
        most, least = (start * (0.5 ** (week / half) - 1) for half in HALVES_WEEKS)
        untreated = (most, least)
    return AtWeek(week, people, following, len(pairs), fmean(changes) if changes else None, low, high, untreated)
