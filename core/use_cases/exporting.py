"""What is taken out of the clinic of a patient: the diary as rows, ratings as records, a course as a letter."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from core.errors import RefusalError, UnreadableError
from core.export.csv_rows import DiaryRow, diary_rows
from core.export.fhir import Rating, Scored, Subject
from core.facts import LetterFacts, Rung, Sign, StepBack
from core.model import Evening, NoticeKind
from core.programme import Programme
from core.records import Course, Person, Status, StoredDecision
from core.rule import begin
from core.rule.dose import training_dose
from core.scores import Change, change_in
from core.scores.prtee import PrteeScore
from core.timetable import ONE_DAY, evening_of, local_date
from core.use_cases.gathering import course_facts, dose_facts, past_evenings, why_no_sets
from core.use_cases.patient_file import goal_facts
from core.use_cases.person_page import told_on
from core.use_cases.work import Work
from core.weeks import WEEK_DAYS, Week, fortnight, week_number, week_of_days, week_up_to

Rows = tuple[DiaryRow, ...]
LETTER, SUMMARY = "letter", "summary"
TOLD_SIGNS = frozenset({NoticeKind.DANGER, NoticeKind.UNSURE})
FIRST_WEEK = (WEEK_DAYS - 1) * ONE_DAY  # from its first day to its last


def rows_of(work: Work, person: Person) -> Rows:
    """One row an evening, of every course there was."""
    return tuple(row for course in work.uow.diary.courses(person.id) for row in _rows(work, person, course))


def rows_of_all(work: Work, people: Iterable[Person]) -> tuple[list[tuple[str, Rows]], list[str]]:
    """Alias and rows of each, in the order given; and the aliases of those that cannot be read."""
    found, unreadable = [], []
    for person in people:
        try:
            found.append((person.name, rows_of(work, person)))
        except UnreadableError:
            unreadable.append(person.name)
    return found, unreadable


def _rows(work: Work, person: Person, course: Course) -> Rows:
    programme = work.programme_of(course)
    decided = work.uow.decisions.of(course.id)
    today = evening_of(work.now, person.zone)
    start = decided[0].before if decided else begin(programme, course.episode.started, course.episode.start_rating)
    diary = past_evenings(work, course, course.episode.started, today)
    unread = work.uow.diary.unread(course.id, min(course.episode.started, today), today)
    return diary_rows(start, diary, [(each.before, each.decision) for each in decided], unread, course.side)


def subjects_of(work: Work, person: Person) -> tuple[Subject, ...]:
    """One subject a course, known by the person's id, with every rating and score; ids only, no names."""
    return tuple(_subject(work, person, course) for course in work.uow.diary.courses(person.id))


def _subject(work: Work, person: Person, course: Course) -> Subject:
    scores = [each for each in work.uow.people.outcomes(person.id) if each.course_id == course.id]
    return Subject(
        id=course.id,
        alias=person.id,
        side=course.side,
        body=work.programme_of(course).body,
        ratings=tuple(_ratings(work, person, course)),
        scores=tuple(
            Scored(
                each.id, local_date(each.at, person.zone),
                PrteeScore(each.total, each.pain, each.function, each.answered),
            )
            for each in scores
        ),
    )  # fmt: skip


def _ratings(work: Work, person: Person, course: Course) -> Iterator[Rating]:
    told: defaultdict[str, set[int]] = defaultdict(set)
    for answer in work.uow.diary.answers(person.id):
        if answer.pain is not None:
            told[answer.check_in_id].add(answer.pain)
    today = evening_of(work.now, person.zone)
    for check_in in work.uow.diary.check_ins(course.id, min(course.episode.started, today), today):
        if check_in.pain is not None or check_in.unread:
            corrected = len(told[check_in.id]) > 1
            yield Rating(check_in.id, check_in.date, check_in.pain, corrected, check_in.unread)


def letter_facts(work: Work, person: Person, kind: str) -> tuple[LetterFacts, ...]:
    """The facts of each course that is open, else of those that ended last. RefusalError where there was none yet."""
    every = work.uow.diary.courses(person.id)
    courses = [each for each in every if each.ended_at == every[-1].ended_at]
    if not courses:
        raise RefusalError(f"person {person.id} has no course", "no_course")
    return tuple(_of_course(work, person, course, kind) for course in courses)


def _of_course(work: Work, person: Person, course: Course, kind: str) -> LetterFacts:
    programme = work.programme_of(course)
    episode, told, ended = course.episode, course_facts(work, person, course), _ended(person, course)
    today = min(evening_of(work.now, person.zone), ended or dt.date.max)
    diary = past_evenings(work, course, episode.started, today)
    until = week_up_to(diary, today)
    first, last = _weeks(diary, episode.started, until)
    stopped = why_no_sets(episode, today)
    decided, limit = work.uow.decisions.of(course.id), programme.rule.severe.limit.value
    scores = [each for each in work.uow.people.outcomes(person.id) if each.course_id == course.id]
    return LetterFacts(
        kind=kind, name=person.name, side=course.side, status=person.status.value,
        words=programme.said("title", "side", *(f"step.{each.key}" for each in programme.steps)),
        started=episode.started, week=week_number(episode.started, today),
        ended=ended, reason=_reason(work, person) if ended else "", stopped=stopped,
        step=episode.step, steps=told.steps, load_g=episode.load_g,
        dose=None if stopped else dose_facts(programme, training_dose(programme, episode)),
        daily=episode.eased_since is not None or all(programme.step(episode.step).rhythm),
        rungs=tuple(Rung(since, number, programme.step(number).key) for since, _, number in told.bands),
        first=first, last=last, change=_change(programme, first, last),
        sets=fortnight(diary, until),
        flares=told.flares, injections=told.injections,
        severe=tuple((each.date, each.pain) for each in diary if each.pain is not None and each.pain >= limit),
        severe_limit=limit,
        step_backs=_step_backs(person, decided), signs=_signs(work, person),
        denied=tuple(local_date(each.made_at, person.zone) for each in decided if each.kind == "no_signs"),
        goals=goal_facts(work.uow.people.goals(course.id)),
        scores=tuple((each.week, each.total) for each in scores),
    )  # fmt: skip


def _ended(person: Person, course: Course) -> dt.date | None:
    """When the therapist ended it, or the person did."""
    if course.ended_at:
        return local_date(course.ended_at, person.zone)
    return person.away_since if person.status == Status.LEFT else None


def _reason(work: Work, person: Person) -> str:
    """What the therapist wrote when they ended it."""
    trail = work.uow.audit.latest(person.id)
    return next((each.detail for each in trail if each.action == "discharge"), "")


def _weeks(diary: Sequence[Evening], started: dt.date, until: dt.date) -> tuple[Week | None, Week | None]:
    """The first seven days and the last seven; they never share a day."""
    first = week_of_days(diary, started + FIRST_WEEK) if until >= started + FIRST_WEEK else None
    return first, week_of_days(diary, until) if until > started + 2 * FIRST_WEEK else None


def _change(programme: Programme, first: Week | None, last: Week | None) -> Change | None:
    if not first or not last or first.rated < programme.rule.weeks.ratings.value:
        return None
    return change_in(programme, first.mean, last)


def _step_backs(person: Person, decisions: Sequence[StoredDecision]) -> tuple[StepBack, ...]:
    back = [each for each in decisions if each.decision.after.step < each.before.step]
    return tuple(
        StepBack(told_on(each, person), each.decision.after.step, tuple(why.code for why in each.decision.reasons))
        for each in back
    )


def _signs(work: Work, person: Person) -> tuple[Sign, ...]:
    """The oldest first."""
    return tuple(
        Sign(
            local_date(each.at, person.zone), each.kind.value, str(each.facts.get("flag", "")),
            str(each.facts.get("urgency", "")), each.text,
        )
        for each in reversed(work.uow.notices.about(person.id))
        if each.kind in TOLD_SIGNS
    )  # fmt: skip
