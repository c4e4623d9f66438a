"""Finding the patient a button is about, and showing nothing of anybody else's."""

from contextlib import suppress
from typing import Any

from bot.conversation.talk import StaffTalk
from core.errors import RefusalError, RightsError, UnreadableError
from core.export.csv_rows import caseload_csv, caseload_json, diary_csv, diary_json
from core.page import CaseloadRow, NoticeLine
from core.records import Notice, Person, Staff
from core.timetable import local_date
from core.use_cases.caseload import caseload, caseload_row, notices_seen, patients_seen
from core.use_cases.exporting import rows_of, rows_of_all
from core.use_cases.gathering import sheet_facts, side_facts, why_no_sets
from core.use_cases.patient_file import finish_task
from core.use_cases.person_page import decisions_page, notice_line, person_page
from core.use_cases.rights import REFUSED, audit, may_see, open_notices, require

SIDE = "~"  # between a patient and a side, in the buttons that are about one of two
ON_A_PAGE = 10
NOTICES_ON_A_PAGE = 5
NOTICES_READ = 200
LONGEST_NAME = 80


def patient(talk: StaffTalk, subject: str, action: str) -> Person:
    """The patient, locked and the access noted, and the side turned to, if a button names one.

    RightsError, the same for all, when there is none or not theirs.
    """
    person_id, _, talk.side = subject.partition(SIDE)
    person = talk.work.uow.people.get(person_id, lock=True) if person_id else None
    if person is None or not may_see(talk.staff, person):
        if person is not None:
            audit(talk.work, talk.staff, REFUSED, person, action)
        raise RightsError(f"no patient {person_id!r} of staff {talk.staff.id}", "not_yours")
    require(talk.work, talk.staff, person, action)
    return person


def say_of(talk: StaffTalk, person: Person, kind: str, /, **facts: Any) -> None:
    """Answer with a message about one patient."""
    talk.say(kind, person.id, person=person.id, name=person.name, **facts)


def on_page(talk: StaffTalk, page: str = "0", therapist_id: str = "") -> None:
    """A page of one's own caseload, or of a colleague's for the lead."""
    therapist = talk.work.uow.staff.get(therapist_id) if therapist_id else None
    if not page.isdecimal() or (therapist_id and (therapist is None or not talk.staff.lead)):
        talk.say("therapist.old_button")
    else:
        say_rows(talk, caseload(talk.work, talk.staff, therapist), int(page[:4]), therapist)


def say_rows(
    talk: StaffTalk, rows: tuple[CaseloadRow, ...], page: int, therapist: Staff | None = None, found: str = ""
) -> None:
    """One page of rows; a page beyond the end is the last one."""
    pages = max(-(-len(rows) // ON_A_PAGE), 1)
    page = min(page, pages - 1)
    first = page * ON_A_PAGE
    talk.say(
        "therapist.caseload",
        rows=rows[first : first + ON_A_PAGE],
        first=first + 1,
        total=len(rows),
        page=page,
        pages=pages,
        therapist=therapist.id if therapist else "",
        therapist_name=therapist.name if therapist else "",
        found=found,
    )


def named(talk: StaffTalk) -> list[Person]:
    """Those of the patients whose name has the text in it; nobody where there is none."""
    wanted = " ".join(talk.came.text.casefold().split())
    people = patients_seen(talk.work, talk.staff, discharged=True) if 0 < len(wanted) <= LONGEST_NAME else ()
    return [each for each in people if wanted in " ".join(each.name.casefold().split())]


def find(talk: StaffTalk) -> None:
    """A text while nothing is asked: a patient's name, or part of it; the only one it fits is opened at once."""
    found = named(talk)
    if len(found) == 1:
        open_page(talk, patient(talk, found[0].id, "ask"))
    elif found:  # how they stand is read of these alone
        audit(talk.work, talk.staff, "caseload")
        rows = sorted((caseload_row(talk.work, each) for each in found), key=lambda row: row.order)
        say_rows(talk, tuple(rows), 0, found=talk.came.text)
    else:
        talk.say("therapist.not_found")


def on_notices_page(talk: StaffTalk, page: str = "0", _: str = "") -> None:
    """Notices a page at a time, the newest first; what is not dealt with yet is marked."""
    if not page.isdecimal():
        talk.say("therapist.old_button")
        return
    audit(talk.work, talk.staff, "notices")
    whose = notices_seen(talk.staff)
    count = min(talk.work.uow.notices.count(whose), NOTICES_READ)
    pages = max(-(-count // NOTICES_ON_A_PAGE), 1)
    number = min(int(page[:4]), pages - 1)
    some = talk.work.uow.notices.page(whose, NOTICES_ON_A_PAGE, number * NOTICES_ON_A_PAGE)
    talk.say("therapist.notices", notices=[_notice(talk, each) for each in some], page=number, pages=pages)


def _notice(talk: StaffTalk, notice: Notice) -> NoticeLine:
    person = talk.work.uow.people.whose("people", notice.person_id)
    seen = person if person is not None and may_see(talk.staff, person) else None
    still_open = True
    with suppress(UnreadableError):
        still_open = person is not None and notice.id in {each.id for each in open_notices(talk.work, person)}
    return notice_line(notice, seen, talk.staff.zone, still_open)


def open_page(talk: StaffTalk, person: Person, _: str = "") -> None:
    """Everything about one patient."""
    talk.nothing_open()
    talk.say("therapist.person", person.id, page=person_page(talk.work, talk.staff, person, talk.side))


def on_decisions(talk: StaffTalk, person: Person, page: str) -> None:
    """The last decisions, or an earlier page of them, with every reason, and where each number comes from."""
    number = int(page[:4]) if page.isdecimal() else 0
    found, page_shown, pages = decisions_page(talk.work, talk.staff, person, number, talk.side)
    course = talk.work.uow.diary.course_of(person.id, talk.side)
    which = side_facts(talk.work, course) if course else {}
    say_of(talk, person, "therapist.decisions", decisions=found, page=page_shown, pages=pages, **which)


def on_dealt_with(talk: StaffTalk, person: Person, _: str) -> None:
    """The notices about a patient are settled, without anything the program could see."""
    say_of(talk, person, "therapist.dealt_with")


def on_task_done(talk: StaffTalk, person: Person, ending: str) -> None:
    """A task is done; its button carries the end of its id."""
    say_of(talk, person, "therapist.task_done", words=finish_task(talk.work, talk.staff, person, ending).text)


def on_papers(talk: StaffTalk, person: Person, _: str) -> None:
    """What there is to print or to keep."""
    say_of(talk, person, "therapist.papers")


def on_sheet(talk: StaffTalk, person: Person, _: str) -> None:
    """The present step on paper, of each side that has sets to do."""
    courses, today = talk.work.uow.diary.courses_of(person.id), local_date(talk.work.now, person.zone)
    doing = [each for each in courses if not why_no_sets(each.episode, today)]
    if not doing:
        raise RefusalError(f"person {person.id} has no sets to do", "no_sets" if courses else "no_course")
    for each in doing:
        facts = sheet_facts(talk.work, person, each) | side_facts(talk.work, each)
        talk.say("therapist.sheet", person.id, **facts)


def on_export(talk: StaffTalk, person: Person, _: str) -> None:
    """One patient's diary as two files."""
    rows = rows_of(talk.work, person)
    if not rows:
        say_of(talk, person, "therapist.export.nothing")
        return
    for format_, written in (("csv", diary_csv(rows)), ("json", diary_json(rows))):
        say_of(talk, person, "therapist.export.one", format=format_, file=written)


def export_all(talk: StaffTalk) -> None:
    """The diaries of the whole caseload as two files."""
    people = sorted(patients_seen(talk.work, talk.staff), key=lambda person: (person.name.casefold(), person.id))
    found, unreadable = rows_of_all(talk.work, people)
    courses = [(alias, rows) for alias, rows in found if rows]
    for person in people:
        audit(talk.work, talk.staff, "export", person)
    if unreadable:
        talk.say("therapist.export.unreadable", names=unreadable)
    if not courses:
        talk.say("therapist.export.nobody")
        return
    about = [person.id for person in people]
    for format_, written in (("csv", caseload_csv(courses)), ("json", caseload_json(courses))):
        talk.say("therapist.export.all", format=format_, file=written, people=about, count=len(courses))
