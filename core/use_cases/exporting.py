"""The diary of a patient, or of a whole caseload, as rows to be written to a file."""

from collections.abc import Iterable

from core.export_csv import DiaryRow, diary_rows
from core.records import Course, Person
from core.rule import begin
from core.timetable import evening_of
from core.use_cases.course_facts import past_evenings
from core.use_cases.work import Work

Rows = tuple[DiaryRow, ...]


def rows_of(work: Work, person: Person) -> Rows:
    """One row an evening, of every course there was."""
    return tuple(row for course in work.uow.courses(person.id) for row in _rows(work, person, course))


def rows_of_all(work: Work, people: Iterable[Person]) -> list[tuple[str, Rows]]:
    """Alias and rows of each, in the order given."""
    return [(person.name, rows_of(work, person)) for person in people]


def _rows(work: Work, person: Person, course: Course) -> Rows:
    programme = work.shelf.get(work.uow, course.programme_version)
    decided = work.uow.decisions(course.id)
    today = evening_of(work.now, person.zone)
    start = decided[0].before if decided else begin(programme, course.episode.started, course.episode.start_rating)
    diary = past_evenings(work, course, course.episode.started, today)
    return diary_rows(start, diary, [(each.before, each.decision) for each in decided])
