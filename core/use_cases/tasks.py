"""What a therapist puts down to do about a patient: by when, in their words, and that it is done."""

import datetime as dt
from dataclasses import replace

from core.digest.patient_week import DueTask
from core.errors import RefusalError
from core.ports import UnitOfWork
from core.records import Person, Staff, Task
from core.timetable import local_date
from core.use_cases.rights import check, require, trimmed
from core.use_cases.work import Work

LONGEST = 100  # characters: it has to fit a line of the week
MOST_DAYS = 90  # ahead; judgement: later is another appointment
MOST_OPEN = 5  # of one patient


def add_task(work: Work, staff: Staff, person: Person, due: dt.date, text: str) -> Task:
    """Put a task down; the patient is not told. RefusalError for a day that is over or far, and for a sixth task."""
    require(work, staff, person, "task")
    today = local_date(work.now, staff.zone)
    if not today <= due <= today + dt.timedelta(days=MOST_DAYS):
        raise RefusalError(f"{due} is no day from {today} on within {MOST_DAYS} days", "task_day", most=MOST_DAYS)
    if len(work.uow.people.tasks(person.id)) >= MOST_OPEN:
        raise RefusalError(f"person {person.id} has {MOST_OPEN} open tasks", "task_many", most=MOST_OPEN)
    one_line = " ".join(trimmed(text, LONGEST).split())
    task = Task(work.new_id(), person.clinic_id, person.id, staff.id, work.now, due, one_line)
    work.uow.people.save_task(task)
    return task


def finish_task(work: Work, staff: Staff, person: Person, ending: str) -> Task:
    """The open task whose id ends so is done. RefusalError when it is not open any more."""
    check(work, staff, person, "task_done")
    task = next((each for each in work.uow.people.tasks(person.id) if ending and each.id.endswith(ending)), None)
    if task is None:
        raise RefusalError(f"person {person.id} has no open task {ending!r}", "task_gone")
    require(work, staff, person, "task_done")
    work.uow.people.save_task(replace(task, done_at=work.now))
    return task


def due_tasks(uow: UnitOfWork, person: Person, until: dt.date) -> tuple[DueTask, ...]:
    """What is open and due by `until`, the earliest first."""
    return tuple(DueTask(each.id, each.due, each.text) for each in uow.people.tasks(person.id) if each.due <= until)
