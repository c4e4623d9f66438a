"""The clinic: its programmes, who works there and what they did, the codes that let in."""

import datetime as dt

from sqlalchemy import bindparam, delete, func, select, update

from core.records import Audit, Clinic, Invitation, Role, Staff
from core.store import tables as t
from core.store.transaction import Part, fields, insert_new, mine, upsert, values

_CLINIC = select(*fields(t.clinics, Clinic)).where(t.clinics.c.id == bindparam("clinic"))
_PROGRAMME = select(t.programmes.c.text).where(mine(t.programmes), t.programmes.c.version == bindparam("version"))
_INVITATION = select(*fields(t.invitations, Invitation)).where(
    mine(t.invitations), t.invitations.c.code_hash == bindparam("code")
)
_USE = (
    update(t.invitations)
    .where(mine(t.invitations), t.invitations.c.code_hash == bindparam("code"))
    .where(t.invitations.c.used_at.is_(None), t.invitations.c.expires_at > bindparam("now"))
)
_USED_BY = (
    select(*fields(t.invitations, Invitation))
    .where(mine(t.invitations), t.invitations.c.used_by == bindparam("person"))
    .order_by(t.invitations.c.used_at.desc())
    .limit(1)
)
_UNUSED = (
    select(*fields(t.invitations, Invitation))
    .where(mine(t.invitations), t.invitations.c.used_at.is_(None), t.invitations.c.expires_at > bindparam("now"))
    .order_by(t.invitations.c.created_at)
)
_FORGET_USER = (
    update(t.invitations)
    .where(mine(t.invitations), t.invitations.c.code_hash == bindparam("code"))
    .values(used_by=None, note="")
)
_VOID = (
    update(t.invitations)
    .where(mine(t.invitations), t.invitations.c.role == bindparam("what"), t.invitations.c.inviter_id.is_(None))
    .where(t.invitations.c.used_at.is_(None), t.invitations.c.expires_at > bindparam("now"))
)
_FORGET_UNUSED = delete(t.invitations).where(
    mine(t.invitations), t.invitations.c.used_at.is_(None), t.invitations.c.expires_at < bindparam("since")
)
_STAFF = select(*fields(t.staff, Staff)).where(mine(t.staff))
_STAFF_BY_ID = _STAFF.where(t.staff.c.id == bindparam("staff"))
_STAFF_AT = _STAFF.where(t.staff.c.channel == bindparam("channel"), t.staff.c.address == bindparam("address"))
_ALL_STAFF = _STAFF.order_by(t.staff.c.created_at, t.staff.c.id)
_AUDITS = (
    select(*fields(t.audits, Audit))
    .where(mine(t.audits))
    .order_by(t.audits.c.at.desc(), t.audits.c.id.desc())
    .limit(bindparam("most"))
)
_AUDITS_ABOUT = _AUDITS.where(t.audits.c.person_id == bindparam("person"))
_LAST_DONE = select(func.max(t.audits.c.at)).where(mine(t.audits), t.audits.c.action == bindparam("action"))
_ADD_AUDIT = t.audits.insert().inline()  # nobody needs the number it gets


class Clinics(Part):
    """The clinic and its programmes."""

    def get(self, clinic_id: str) -> Clinic | None:
        return self._tx.once(t.clinics, _CLINIC, Clinic, clinic=clinic_id)

    def save(self, clinic: Clinic) -> None:
        self._tx.must_write()
        self._tx.run(upsert(self._tx.dialect, t.clinics), values(clinic))

    def programme(self, version: str) -> str | None:
        row = self._tx.one(_PROGRAMME, version=version)
        return row.text if row else None

    def save_programme(self, version: str, text: str, at: dt.datetime) -> None:
        known = insert_new(self._tx.dialect, t.programmes, ("clinic_id", "version"))
        self._tx.insert(known, {"version": version, "text": text, "at": at})


class StaffRoom(Part):
    """Rows about who works here. Who left stays, so that what was done keeps its names; a chat has one row for ever."""

    def get(self, staff_id: str, *, lock: bool = False) -> Staff | None:
        row = self._tx.one(self._tx.locking(_STAFF_BY_ID, lock), staff=staff_id)
        return Staff(*row) if row else None

    def at(self, channel: str, address: str, *, lock: bool = False) -> Staff | None:
        """Whoever has this chat, also after leaving."""
        row = self._tx.one(self._tx.locking(_STAFF_AT, lock), channel=channel, address=address)
        return Staff(*row) if row else None

    def save(self, staff: Staff) -> None:
        """Insert or replace. Raises StoreError when another member of staff has that chat."""
        self._tx.insert(upsert(self._tx.dialect, t.staff), values(staff))

    def all(self) -> tuple[Staff, ...]:
        """The longest here first, with those who left."""
        return tuple(Staff(*row) for row in self._tx.all(_ALL_STAFF))


class Audits(Part):
    """Rows about what staff looked at and did; only added to."""

    def add(self, audit: Audit) -> None:
        self._tx.insert(_ADD_AUDIT, values(audit))

    def find(
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
        return tuple(Audit(*row) for row in self._tx.all(found))

    def latest(self, person_id: str | None = None, limit: int = 100) -> tuple[Audit, ...]:
        """Newest first: about one person, or all."""
        if person_id is None:
            return tuple(Audit(*row) for row in self._tx.all(_AUDITS, most=limit))
        return tuple(Audit(*row) for row in self._tx.all(_AUDITS_ABOUT, person=person_id, most=limit))

    def last_done(self, action: str) -> dt.datetime | None:
        """When something was last done by whoever; None: never."""
        row = self._tx.one(_LAST_DONE, action=action)
        return row[0] if row else None


class Invitations(Part):
    """Rows about codes that let somebody in."""

    def add(self, invitation: Invitation) -> None:
        self._tx.insert(t.invitations.insert(), values(invitation))

    def get(self, code_hash: str, *, lock: bool = False) -> Invitation | None:
        row = self._tx.one(self._tx.locking(_INVITATION, lock), code=code_hash)
        return Invitation(*row) if row else None

    def use(self, code_hash: str, person_id: str, at: dt.datetime) -> bool:
        """Mark as used; False when it is unknown, was used before, or expired: only one of many can win."""
        use = _USE.values(used_by=person_id, used_at=at)
        return self._tx.change(use, code=code_hash, now=at) > 0

    def open(self, now: dt.datetime) -> tuple[Invitation, ...]:
        """Those that can still be used, the oldest first."""
        return tuple(Invitation(*row) for row in self._tx.as_it_stands(_UNUSED, now=now))

    def used_by(self, person_id: str) -> Invitation | None:
        """The one they used last."""
        row = self._tx.one(_USED_BY, person=person_id)
        return Invitation(*row) if row else None

    def forget_user(self, code_hash: str) -> None:
        """Say no more who used it, nor whom it was for; used it stays."""
        self._tx.change(_FORGET_USER, code=code_hash)

    def void(self, role: Role, at: dt.datetime) -> int:
        """End those for `role` that the command line made and nobody has used; says how many."""
        return self._tx.change(_VOID.values(expires_at=at), what=role, now=at)

    def forget(self, before: dt.datetime) -> int:
        """Delete those that ran out before and that nobody used: they name whom they were for."""
        return self._tx.change(_FORGET_UNUSED, since=before)
