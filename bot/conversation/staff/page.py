"""One patient's page, their decisions with sources, and files of one or of all."""

from collections.abc import Iterable

from bot.conversation.staff.patients import patient, shown
from bot.conversation.talk import StaffTalk
from core.export.csv_rows import caseload_csv, caseload_json, diary_csv, diary_json
from core.records import Person
from core.use_cases.caseload import patients_seen
from core.use_cases.exporting import rows_of, rows_of_all
from core.use_cases.open_matters import DEALT_WITH
from core.use_cases.person_page import decisions_page, person_page
from core.use_cases.rights import audit
from core.use_cases.tasks import finish_task


def on_open(talk: StaffTalk, person_id: str, _: str) -> None:
    """Everything about one patient."""
    person = patient(talk, person_id, "ask")
    talk.nothing_open()
    talk.say("therapist.person", person.id, **person_page(talk.work, talk.staff, person))


def on_decisions(talk: StaffTalk, person_id: str, page: str) -> None:
    """The last decisions, or an earlier page of them, with every reason, and where each number comes from."""
    person = patient(talk, person_id, "ask")
    number = int(page[:4]) if page.isdecimal() else 0
    talk.say("therapist.decisions", person.id, **shown(person), **decisions_page(talk.work, talk.staff, person, number))


def on_dealt_with(talk: StaffTalk, person_id: str, _: str) -> None:
    """The notices about a patient are settled, without anything the program could see."""
    person = patient(talk, person_id, DEALT_WITH)
    talk.say("therapist.dealt_with", person.id, **shown(person))


def on_task_done(talk: StaffTalk, person_id: str, ending: str) -> None:
    """A task is done; its button carries the end of its id."""
    person = patient(talk, person_id, "ask")
    task = finish_task(talk.work, talk.staff, person, ending)
    talk.say("therapist.task_done", person.id, **shown(person), text=task.text)


def on_export(talk: StaffTalk, person_id: str, _: str) -> None:
    """One patient's diary as two files."""
    person = patient(talk, person_id, "export")
    rows = rows_of(talk.work, person)
    if not rows:
        talk.say("therapist.export.nothing", person.id, **shown(person))
        return
    for format_, written in (("csv", diary_csv(rows)), ("json", diary_json(rows))):
        talk.say("therapist.export.one", person.id, **shown(person), format=format_, file=written)


def export_all(talk: StaffTalk) -> None:
    """The diaries of the whole caseload as two files."""
    people = sorted(patients_seen(talk.work, talk.staff), key=lambda person: (person.name.casefold(), person.id))
    courses = [(alias, rows) for alias, rows in rows_of_all(talk.work, people) if rows]
    _note_export(talk, people)
    if not courses:
        talk.say("therapist.export.nobody")
        return
    about = [person.id for person in people]
    for format_, written in (("csv", caseload_csv(courses)), ("json", caseload_json(courses))):
        talk.say("therapist.export.all", format=format_, file=written, people=about, count=len(courses))


def _note_export(talk: StaffTalk, people: Iterable[Person]) -> None:
    for person in people:
        audit(talk.work, talk.staff, "export", person)
