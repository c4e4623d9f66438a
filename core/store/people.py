"""The people of a clinic: who works there and what they did, who is treated there, the codes that let in."""

import datetime as dt
import functools

from sqlalchemy import BindParameter, Table, bindparam, delete, func, select, update

from core.records import (
    Audit,
    Clinic,
    Facts,
    GoalReview,
    Invitation,
    Note,
    OutcomeScore,
    Person,
    Role,
    Staff,
    Status,
    Task,
)
from core.store import personal
from core.store import tables as t
from core.store.transaction import Part, Rows, mine, rows

_CLINIC = rows(Clinic)
_PROGRAMME = select(t.programmes.c.text).where(mine(t.programmes), t.programmes.c.version == bindparam("version"))

_AT = rows(Person, "channel", "address")
_AT_WORK = (
    select(t.staff.c.id)
    .where(mine(t.staff), t.staff.c.channel == bindparam("channel"), t.staff.c.address == bindparam("address"))
    .where(t.staff.c.left_at.is_(None))
    .exists()
)
_PATIENT_AT = _AT.where(~_AT_WORK)
_FIRST_COME = (t.people.c.created_at, t.people.c.id)
_ALL = rows(Person).order_by(*_FIRST_COME)
_PATIENTS = rows(Person, "therapist_id").order_by(*_FIRST_COME)
_CLOSED_BY = (Status.LEFT, Status.DISCHARGED, Status.SCREENED_OUT, Status.UNREACHABLE)
_BEFORE: BindParameter[dt.datetime] = bindparam("before")
_CLOSED = (
    rows(Person)
    .where(
        t.people.c.status.in_(_CLOSED_BY), t.people.c.channel != "", t.people.c.created_at <= _BEFORE,
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
    .order_by(*_FIRST_COME)
    .limit(bindparam("most"))
)  # fmt: skip
_FADING = (
    rows(Person).where(t.people.c.fades_at.is_not(None)).order_by(t.people.c.fades_at).limit(bindparam("most"))
)
_NOTES = rows(Note, "person_id").order_by(t.notes.c.at.desc(), t.notes.c.id.desc())
_TASKS = rows(Task, "person_id").where(t.tasks.c.done_at.is_(None)).order_by(t.tasks.c.due, t.tasks.c.id)
_OUTCOMES = rows(OutcomeScore, "person_id").order_by(t.outcomes.c.at, t.outcomes.c.id)
_GOALS = rows(GoalReview, "course_id").order_by(t.goal_reviews.c.week)

_STAFF_AT = rows(Staff, "channel", "address")
_ALL_STAFF = rows(Staff).order_by(t.staff.c.created_at, t.staff.c.id)
_AUDITS = rows(Audit).order_by(t.audits.c.at.desc(), t.audits.c.id.desc()).limit(bindparam("most"))
_AUDITS_ABOUT = _AUDITS.where(t.audits.c.person_id == bindparam("person"))
_LAST_DONE = select(func.max(t.audits.c.at)).where(mine(t.audits), t.audits.c.action == bindparam("action"))

_INVITATION = rows(Invitation, "code_hash")
_USED_BY = rows(Invitation, "used_by").order_by(t.invitations.c.used_at.desc()).limit(1)
_OPEN = (t.invitations.c.used_at.is_(None), t.invitations.c.expires_at > bindparam("now"))
_UNUSED = rows(Invitation).where(*_OPEN).order_by(t.invitations.c.created_at)
_CHANGED = update(t.invitations).where(mine(t.invitations))
_OF_CODE = _CHANGED.where(t.invitations.c.code_hash == bindparam("code"))
_USE = _OF_CODE.where(*_OPEN).values(used_by=bindparam("person"), used_at=bindparam("now"))
_FORGET_USER = _OF_CODE.values(used_by=None, note="")
_VOID = _CHANGED.where(
    t.invitations.c.role == bindparam("what"), t.invitations.c.inviter_id.is_(None), *_OPEN
).values(expires_at=bindparam("now"))
_FORGET_UNUSED = delete(t.invitations).where(
    mine(t.invitations), t.invitations.c.used_at.is_(None), t.invitations.c.expires_at < bindparam("since")
)


@functools.cache
def _whose(table: Table) -> Rows:
    if table is t.people:
        return rows(Person).where(t.people.c.id == bindparam("which"))
    owner = select(table.c.person_id) if "person_id" in table.c else select(t.courses.c.person_id).join(
        table, (table.c.clinic_id == t.courses.c.clinic_id) & (table.c.course_id == t.courses.c.id)
    )
    return rows(Person).where(t.people.c.id.in_(owner.where(mine(table), table.c.id == bindparam("which"))))


class Clinics(Part):
    """The clinic and its programmes."""

    def get(self) -> Clinic | None:
        return self._tx.find(Clinic, _CLINIC)

    def save(self, clinic: Clinic) -> None:
        self._tx.save(clinic)

    def programme(self, version: str) -> str | None:
        row = self._tx.one(_PROGRAMME, version=version)
        return row.text if row else None

    def save_programme(self, version: str, text: str, at: dt.datetime) -> None:
        self._tx.add_row(t.programmes, version=version, text=text, at=at)


class People(Part):
    """Rows about patients."""

    def get(self, person_id: str, *, lock: bool = False) -> Person | None:
        return self._tx.get(Person, person_id, lock=lock)

    def at(self, channel: str, address: str, *, lock: bool = False) -> Person | None:
        return self._tx.find(Person, _AT, lock=lock, channel=channel, address=address)

    def patient_at(self, channel: str, address: str) -> Person | None:
        """Whose chat it is, locked, unless a member of staff at work has it."""
        return self._tx.find(Person, _PATIENT_AT, lock=True, channel=channel, address=address)

    def save(self, person: Person) -> None:
        self._tx.save(person)

    def all(self) -> tuple[Person, ...]:
        return self._tx.standing(Person, _ALL)

    def of(self, staff_id: str) -> tuple[Person, ...]:
        """Of every status, the longest here first."""
        return self._tx.standing(Person, _PATIENTS, therapist_id=staff_id)

    def whose(self, table: str, row: str, *, lock: bool = False) -> Person | None:
        """The patient whom a row is about, though it, or their own, cannot be read."""
        query = self._tx.locking(_whose(t.metadata.tables[table]), lock)
        return next(iter(self._tx.standing(Person, query, which=row)), None)

    def add_note(self, note: Note) -> None:
        """Raises StoreError for a person who is not here."""
        self._tx.add(note)

    def notes(self, person_id: str) -> tuple[Note, ...]:
        return self._tx.every(Note, _NOTES, person_id=person_id)

    def save_task(self, task: Task) -> None:
        """Insert or replace. Raises StoreError for a person who is not here."""
        self._tx.save(task)

    def tasks(self, person_id: str) -> tuple[Task, ...]:
        """Those that are not done, the earliest due first."""
        return self._tx.every(Task, _TASKS, person_id=person_id)

    def save_outcome(self, outcome: OutcomeScore) -> None:
        """Insert or replace. Raises StoreError for a course that is not here."""
        self._tx.save(outcome)

    def outcomes(self, person_id: str) -> tuple[OutcomeScore, ...]:
        return self._tx.every(OutcomeScore, _OUTCOMES, person_id=person_id)

    def save_goals(self, review: GoalReview) -> None:
        """Insert or replace. Raises StoreError for a course that is not here."""
        self._tx.save(review)

    def goals(self, course_id: str) -> tuple[GoalReview, ...]:
        return self._tx.every(GoalReview, _GOALS, course_id=course_id)

    def closed(self, before: dt.datetime, limit: int) -> tuple[Person, ...]:
        """Whose course is closed, with nothing asked, told, noted or scored after `before`; nobody made anonymous."""
        return self._tx.every(Person, _CLOSED, before=before, most=limit)

    def fading(self, limit: int) -> tuple[Person, ...]:
        """Of whom it was announced that they are made anonymous or erased."""
        return self._tx.standing(Person, _FADING, most=limit)

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


class StaffRoom(Part):
    """Rows about who works here. Who left stays, so that what was done keeps its names; a chat has one row for ever."""

    def get(self, staff_id: str, *, lock: bool = False) -> Staff | None:
        return self._tx.get(Staff, staff_id, lock=lock)

    def at(self, channel: str, address: str, *, lock: bool = False) -> Staff | None:
        """Whoever has this chat, also after leaving."""
        return self._tx.find(Staff, _STAFF_AT, lock=lock, channel=channel, address=address)

    def save(self, staff: Staff) -> None:
        """Insert or replace. Raises StoreError when another member of staff has that chat."""
        self._tx.save(staff)

    def all(self) -> tuple[Staff, ...]:
        """The longest here first, with those who left."""
        return self._tx.every(Staff, _ALL_STAFF)


class Audits(Part):
    """Rows about what staff looked at and did; only added to."""

    def add(self, audit: Audit) -> None:
        self._tx.add(audit)

    def find(
        self, person: str | None, staff: str | None, since: dt.datetime | None, until: dt.datetime | None
    ) -> tuple[Audit, ...]:
        """Oldest first, from `since` on and before `until`; None leaves a bound out."""
        bounds = (
            (t.audits.c.person_id.__eq__, person), (t.audits.c.staff_id.__eq__, staff),
            (t.audits.c.at.__ge__, since), (t.audits.c.at.__lt__, until),
        )  # fmt: skip
        found = rows(Audit).where(*(within(bound) for within, bound in bounds if bound is not None))
        return self._tx.every(Audit, found.order_by(t.audits.c.at, t.audits.c.id))

    def latest(self, person_id: str | None = None, limit: int = 100) -> tuple[Audit, ...]:
        """Newest first: about one person, or all."""
        if person_id is None:
            return self._tx.every(Audit, _AUDITS, most=limit)
        return self._tx.every(Audit, _AUDITS_ABOUT, person=person_id, most=limit)

    def last_done(self, action: str) -> dt.datetime | None:
        """When something was last done by whoever; None: never."""
        row = self._tx.one(_LAST_DONE, action=action)
        return row[0] if row else None


class Invitations(Part):
    """Rows about codes that let somebody in."""

    def add(self, invitation: Invitation) -> None:
        self._tx.add(invitation)

    def get(self, code_hash: str, *, lock: bool = False) -> Invitation | None:
        return self._tx.find(Invitation, _INVITATION, lock=lock, code_hash=code_hash)

    def use(self, code_hash: str, person_id: str, at: dt.datetime) -> bool:
        """Mark as used; False when it is unknown, was used before, or expired: only one of many can win."""
        return self._tx.change(_USE, code=code_hash, person=person_id, now=at) > 0

    def open(self, now: dt.datetime) -> tuple[Invitation, ...]:
        """Those that can still be used, the oldest first."""
        return self._tx.standing(Invitation, _UNUSED, now=now)

    def used_by(self, person_id: str) -> Invitation | None:
        """The one they used last."""
        return self._tx.find(Invitation, _USED_BY, used_by=person_id)

    def forget_user(self, code_hash: str) -> None:
        """Say no more who used it, nor whom it was for; used it stays."""
        self._tx.change(_FORGET_USER, code=code_hash)

    def void(self, role: Role, at: dt.datetime) -> int:
        """End those for `role` that the command line made and nobody has used; says how many."""
        return self._tx.change(_VOID, what=role, now=at)

    def forget(self, before: dt.datetime) -> int:
        """Delete those that ran out before and that nobody used: they name whom they were for."""
        return self._tx.change(_FORGET_UNUSED, since=before)
