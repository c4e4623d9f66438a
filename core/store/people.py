"""Patients, and what is kept of them beside the diary."""

import datetime as dt
import functools
from typing import Any

from sqlalchemy import BindParameter, Select, Table, bindparam, select

from core.records import Facts, GoalReview, Note, OutcomeScore, Person, Status, Task
from core.store import personal
from core.store import tables as t
from core.store.transaction import Part, fields, mine, upsert, values

_ANYBODY = select(*fields(t.people, Person)).where(mine(t.people))
_BY_ID = _ANYBODY.where(t.people.c.id == bindparam("person"))
_BY_ADDRESS = _ANYBODY.where(t.people.c.channel == bindparam("channel"), t.people.c.address == bindparam("address"))
_AT_WORK = (
    select(t.staff.c.id)
    .where(mine(t.staff), t.staff.c.channel == bindparam("channel"), t.staff.c.address == bindparam("address"))
    .where(t.staff.c.left_at.is_(None))
    .exists()
)
_PATIENT = _BY_ADDRESS.where(~_AT_WORK)
_ALL = _ANYBODY.order_by(t.people.c.created_at, t.people.c.id)
_PATIENTS = (
    select(*fields(t.people, Person))
    .where(mine(t.people), t.people.c.therapist_id == bindparam("staff"))
    .order_by(t.people.c.created_at, t.people.c.id)
)
_NOTES = (
    select(*fields(t.notes, Note))
    .where(mine(t.notes), t.notes.c.person_id == bindparam("person"))
    .order_by(t.notes.c.at.desc(), t.notes.c.id.desc())
)
_TASKS = (
    select(*fields(t.tasks, Task))
    .where(mine(t.tasks), t.tasks.c.person_id == bindparam("person"), t.tasks.c.done_at.is_(None))
    .order_by(t.tasks.c.due, t.tasks.c.id)
)
_OUTCOMES = (
    select(*fields(t.outcomes, OutcomeScore))
    .where(mine(t.outcomes), t.outcomes.c.person_id == bindparam("person"))
    .order_by(t.outcomes.c.at, t.outcomes.c.id)
)
_GOALS = (
    select(*fields(t.goal_reviews, GoalReview))
    .where(mine(t.goal_reviews), t.goal_reviews.c.course_id == bindparam("course"))
    .order_by(t.goal_reviews.c.week)
)

CLOSED = (Status.LEFT, Status.DISCHARGED, Status.SCREENED_OUT, Status.UNREACHABLE)
_BEFORE: BindParameter[dt.datetime] = bindparam("before")
_CLOSED = (
    select(*fields(t.people, Person))
    .where(
        mine(t.people), t.people.c.status.in_(CLOSED), t.people.c.channel != "", t.people.c.created_at <= _BEFORE,
        *(
            ~select(table.c.clinic_id)
            .where(table.c.clinic_id == t.people.c.clinic_id, table.c.person_id == t.people.c.id, moment > _BEFORE)
            .exists()
            for table, moment in (
                (t.check_ins, t.check_ins.c.due_at), (t.notices, t.notices.c.at), (t.notes, t.notes.c.at),
                (t.courses, t.courses.c.ended_at), (t.outcomes, t.outcomes.c.at),
            )
        ),
    )
    .order_by(t.people.c.created_at, t.people.c.id)
    .limit(bindparam("most"))
)  # fmt: skip
_FADING = (
    select(*fields(t.people, Person))
    .where(mine(t.people), t.people.c.fades_at.is_not(None))
    .order_by(t.people.c.fades_at)
    .limit(bindparam("most"))
)


@functools.cache
def _whose(table: Table) -> Select[*tuple[Any, ...]]:
    if table is t.people:
        return _ANYBODY.where(t.people.c.id == bindparam("which"))
    owner = select(table.c.person_id) if "person_id" in table.c else select(t.courses.c.person_id).join(
        table, (table.c.clinic_id == t.courses.c.clinic_id) & (table.c.course_id == t.courses.c.id)
    )
    return _ANYBODY.where(t.people.c.id.in_(owner.where(mine(table), table.c.id == bindparam("which"))))


class People(Part):
    """Rows about patients. A lock is held until the unit ends and means nothing in a reading unit."""

    def get(self, person_id: str, *, lock: bool = False) -> Person | None:
        known = None if lock else self._tx.seen(t.people, Person, lambda each: each.id == person_id)
        return known or self._tx.once(t.people, _BY_ID, Person, lock=lock, person=person_id)

    def at(self, channel: str, address: str, *, lock: bool = False) -> Person | None:
        return self._tx.once(t.people, _BY_ADDRESS, Person, lock=lock, channel=channel, address=address)

    def patient_at(self, channel: str, address: str) -> Person | None:
        """Whose chat it is, locked, unless a member of staff at work has it."""
        return self._tx.once(t.people, _PATIENT, Person, lock=True, channel=channel, address=address)

    def save(self, person: Person) -> None:
        self._tx.insert(upsert(self._tx.dialect, t.people), values(person))

    def all(self, clinic_id: str) -> tuple[Person, ...]:
        return tuple(Person(*row) for row in self._tx.as_it_stands(_ALL, clinic=clinic_id))

    def of(self, staff_id: str) -> tuple[Person, ...]:
        """Of every status, the longest here first."""
        return tuple(Person(*row) for row in self._tx.as_it_stands(_PATIENTS, staff=staff_id))

    def whose(self, table: str, row: str, *, lock: bool = False) -> Person | None:
        """The patient whom a row is about, though it, or their own, cannot be read."""
        found = self._tx.as_it_stands(self._tx.locking(_whose(t.metadata.tables[table]), lock), which=row)
        return Person(*found[0]) if found else None

    def add_note(self, note: Note) -> None:
        """Raises StoreError for a person who is not here."""
        self._tx.insert(t.notes.insert(), values(note))

    def notes(self, person_id: str) -> tuple[Note, ...]:
        return tuple(Note(*row) for row in self._tx.all(_NOTES, person=person_id))

    def save_task(self, task: Task) -> None:
        """Insert or replace. Raises StoreError for a person who is not here."""
        self._tx.insert(upsert(self._tx.dialect, t.tasks), values(task))

    def tasks(self, person_id: str) -> tuple[Task, ...]:
        """Those that are not done, the earliest due first."""
        return tuple(Task(*row) for row in self._tx.all(_TASKS, person=person_id))

    def save_outcome(self, outcome: OutcomeScore) -> None:
        """Insert or replace. Raises StoreError for a course that is not here."""
        self._tx.insert(upsert(self._tx.dialect, t.outcomes), values(outcome))

    def outcomes(self, person_id: str) -> tuple[OutcomeScore, ...]:
        return tuple(OutcomeScore(*row) for row in self._tx.all(_OUTCOMES, person=person_id))

    def save_goals(self, review: GoalReview) -> None:
        """Insert or replace. Raises StoreError for a course that is not here."""
        self._tx.insert(upsert(self._tx.dialect, t.goal_reviews), values(review))

    def goals(self, course_id: str) -> tuple[GoalReview, ...]:
        return tuple(GoalReview(*row) for row in self._tx.all(_GOALS, course=course_id))

    def closed(self, before: dt.datetime, limit: int) -> tuple[Person, ...]:
        """Whose course is closed, with nothing asked, told, noted or scored after `before`; nobody made anonymous."""
        return tuple(Person(*row) for row in self._tx.all(_CLOSED, before=before, most=limit))

    def fading(self, limit: int) -> tuple[Person, ...]:
        """Of whom it was announced that they are made anonymous or erased."""
        return tuple(Person(*row) for row in self._tx.as_it_stands(_FADING, most=limit))

    def erase(self, person_id: str) -> None:
        """Delete whatever names the person, as core.store.personal says; nothing for an unknown one."""
        self._tx.must_write()
        if person := self.whose("people", person_id, lock=True):
            personal.erase(self._tx, person)

    def anonymise(self, person_id: str) -> None:
        """Keep the numbers of the diary and what was decided, and nothing that tells whose they are."""
        self._tx.must_write()
        if person := self.get(person_id, lock=True):
            personal.anonymise(self._tx, person)

    def export(self, person_id: str) -> Facts:
        """Everything kept about the person as JSON values; empty for an unknown one."""
        person = self.get(person_id)
        return personal.export(self._tx, person) if person else {}
