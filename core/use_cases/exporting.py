"""The diary of a patient, or of a whole caseload, as rows to be written to a file."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from core.errors import UnreadableError
from core.export.csv_rows import DiaryRow, diary_rows
from core.export.fhir import Rating, Scored, Subject
from core.records import Course, Person
from core.rule import begin
from core.scores.prtee import PrteeScore
from core.timetable import evening_of, local_date
from core.use_cases.gathering import past_evenings
from core.use_cases.work import Work

Rows = tuple[DiaryRow, ...]


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
    programme = work.programmes.get(work.uow, course.programme_version)
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
        body=work.programmes.get(work.uow, course.programme_version).body,
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
