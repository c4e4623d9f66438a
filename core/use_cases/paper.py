"""A diary kept on paper, typed in by the therapist: an evening counts as if answered, and replaces no answer."""

import datetime as dt
import re
from dataclasses import dataclass

from core.errors import RefusalError
from core.records import CheckIn, Person, Staff
from core.timetable import ONE_DAY, local_date
from core.use_cases.answering import Said, open_evening, record
from core.use_cases.noticing import tell_person
from core.use_cases.overriding import what_now
from core.use_cases.rights import audit, check, course_for
from core.use_cases.staffing import is_written_to
from core.use_cases.work import Work

SOURCE = "paper"
MOST = 28  # evenings in one line: the sheet has four weeks
_NOTHING = frozenset({"-", "–", "—", "x"})
_EVENING = re.compile(r"(10|[0-9])(?:/([0-9]|[1-9][0-9]))?")
_WRONG = "diary_unreadable"


@dataclass(frozen=True, slots=True)
class PaperEvening:
    """One evening of the sheet; sets None where only the pain was written. `known`: what the person answered before."""

    date: dt.date
    pain: int
    sets: int | None
    known: CheckIn | None = None


def read_diary(words: str, yesterday: dt.date) -> tuple[PaperEvening, ...]:
    """ "4/4 3/4 - 5/2": pain and sets, an evening each, the last one yesterday's unless a date comes first.

    A hyphen is an evening without numbers. RefusalError for anything else, for none, and for more than MOST.
    """
    parts = words.replace(",", " ").split()
    first = None
    if parts and re.fullmatch(r"\d{4}-\d{2}-\d{2}:?", parts[0]):
        try:
            first = dt.date.fromisoformat(parts.pop(0).rstrip(":"))
        except ValueError as error:
            raise RefusalError(f"{words!r} begins with no date", _WRONG) from error
    first = first or yesterday - ONE_DAY * (len(parts) - 1)
    found = [_evening(part, first + ONE_DAY * place) for place, part in enumerate(parts)]
    evenings = tuple(each for each in found if each is not None)
    if not evenings or len(parts) > MOST or evenings[-1].date > yesterday:
        raise RefusalError(f"{len(parts)} evenings from {first}: none, too many, or not over yet", _WRONG)
    return evenings


def _evening(part: str, date: dt.date) -> PaperEvening | None:
    if part in _NOTHING:
        return None
    found = _EVENING.fullmatch(part)
    if found is None:
        raise RefusalError(f"{part!r} is no evening of a diary", _WRONG)
    return PaperEvening(date, int(found[1]), None if found[2] is None else int(found[2]))


def on_sheet(work: Work, person: Person, words: str, side: str = "") -> tuple[PaperEvening, ...]:
    """The evenings that were typed, each with what is known of it; RefusalError where one is before the course."""
    course = course_for(work, person, side)
    evenings = read_diary(words, local_date(work.now, person.zone) - ONE_DAY)
    if evenings[0].date < course.episode.started:
        raise RefusalError(f"{evenings[0].date} lies before the course", _WRONG)
    known = {each.date: each for each in work.uow.diary.check_ins(course.id, evenings[0].date, evenings[-1].date)}
    return tuple(PaperEvening(each.date, each.pain, each.sets, _answered(known.get(each.date))) for each in evenings)


def _answered(check_in: CheckIn | None) -> CheckIn | None:
    return check_in if check_in is not None and check_in.pain is not None else None


def type_in(work: Work, staff: Staff, person: Person, words: str, side: str = "") -> int:
    """Record what the person has not answered themselves, in order, and tell them; returns how many evenings it was."""
    check(work, staff, person, "diary")
    new = [each for each in on_sheet(work, person, words, side) if each.known is None]
    for each in new:
        course = course_for(work, person, side)
        check_in = open_evening(work, person, course, each.date)
        sets = None if each.sets is None else min(each.sets, check_in.sets_asked)
        record(work, person, course, check_in, Said(pain=each.pain, sets_done=sets, source=SOURCE))
        person = work.uow.people.get(person.id) or person
    audit(work, staff, "diary", person, f"{len(new)}")
    if new and is_written_to(person):
        now = what_now(work, person, course_for(work, person, side))
        tell_person(work, person, "override.told", now | {"act": "diary", "therapist": staff.name})
    return len(new)
