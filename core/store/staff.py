"""Therapists and leads, whose patients are whose, and the trail of what staff looked at and did."""


import datetime as dt

from sqlalchemy import bindparam, func, select

from core.records import Audit, Person, Staff
from core.store import tables as t
from core.store.transaction import Transaction, fields, mine, upsert, values

_STAFF = select(*fields(t.staff, Staff)).where(mine(t.staff))
_BY_ID = _STAFF.where(t.staff.c.id == bindparam("staff"))
_BY_ADDRESS = _STAFF.where(t.staff.c.channel == bindparam("channel"), t.staff.c.address == bindparam("address"))
_ALL = _STAFF.order_by(t.staff.c.created_at, t.staff.c.id)
_PATIENTS = (
    select(*fields(t.people, Person))
    .where(mine(t.people), t.people.c.therapist_id == bindparam("staff"))
    .order_by(t.people.c.created_at, t.people.c.id)
)
_AUDITS = (
    select(*fields(t.audits, Audit))
    .where(mine(t.audits))
    .order_by(t.audits.c.at.desc(), t.audits.c.id.desc())
    .limit(bindparam("most"))
)
_AUDITS_ABOUT = _AUDITS.where(t.audits.c.person_id == bindparam("person"))
_LAST_DONE = select(func.max(t.audits.c.at)).where(mine(t.audits), t.audits.c.action == bindparam("action"))
_ADD_AUDIT = t.audits.insert().inline()  # nobody needs the number it gets


class StaffRows(Transaction):
    """Rows about who works here. Who left stays, so that the trail keeps its names; a chat has one row for ever."""

    def staff(self, staff_id: str, *, lock: bool = False) -> Staff | None:
        row = self._one(self._locking(_BY_ID, lock), staff=staff_id)
        return Staff(*row) if row else None

    def staff_at(self, channel: str, address: str, *, lock: bool = False) -> Staff | None:
        """Whoever has this chat, also after leaving."""
        row = self._one(self._locking(_BY_ADDRESS, lock), channel=channel, address=address)
        return Staff(*row) if row else None

    def save_staff(self, staff: Staff) -> None:
        """Insert or replace. Raises StoreError when another member of staff has that chat."""
        self._insert(upsert(self._dialect, t.staff), values(staff))

    def all_staff(self) -> tuple[Staff, ...]:
        """The longest here first, with those who left."""
        return tuple(Staff(*row) for row in self._all(_ALL))

    def patients_of(self, staff_id: str) -> tuple[Person, ...]:
        """Of every status, the longest here first."""
        return tuple(Person(*row) for row in self._all(_PATIENTS, staff=staff_id))

    def add_audit(self, audit: Audit) -> None:
        self._insert(_ADD_AUDIT, values(audit))

    def trail(
        self, person: str | None, staff: str | None, since: dt.datetime | None, until: dt.datetime | None
    ) -> tuple[Audit, ...]:
        """Oldest first, from `since` on and before `until`; None leaves a bound out."""
        found = select(*fields(t.audits, Audit)).where(mine(t.audits)).order_by(t.audits.c.at, t.audits.c.id)
        if person is not None:
            found = found.where(t.audits.c.person_id == person)
        if staff is not None:
            found = found.where(t.audits.c.staff_id == staff)
        if since is not None:
            found = found.where(t.audits.c.at >= since)
        if until is not None:
            found = found.where(t.audits.c.at < until)
        return tuple(Audit(*row) for row in self._all(found))

    def audits(self, person_id: str | None = None, limit: int = 100) -> tuple[Audit, ...]:
        """Newest first: about one person, or all."""
        if person_id is None:
            return tuple(Audit(*row) for row in self._all(_AUDITS, most=limit))
        return tuple(Audit(*row) for row in self._all(_AUDITS_ABOUT, person=person_id, most=limit))

    def last_done(self, action: str) -> dt.datetime | None:
        """When something was last done by whoever; None: never."""
        row = self._one(_LAST_DONE, action=action)
        return row[0] if row else None
