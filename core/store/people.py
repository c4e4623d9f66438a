"""The clinic, its programmes, its people, their invitations and where their dialogue stands."""

import datetime as dt

from sqlalchemy import bindparam, delete, select, update

from core.records import Clinic, Dialogue, Invitation, Person, Role
from core.store import tables as t
from core.store.transaction import Transaction, fields, insert_new, mine, upsert, values

_PERSON = select(*fields(t.people, Person)).where(mine(t.people))
_BY_ID = _PERSON.where(t.people.c.id == bindparam("person"))
_BY_ADDRESS = _PERSON.where(t.people.c.channel == bindparam("channel"), t.people.c.address == bindparam("address"))
_ALL = _PERSON.order_by(t.people.c.created_at, t.people.c.id)
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
_DIALOGUE = select(*fields(t.dialogues, Dialogue)).where(
    mine(t.dialogues), t.dialogues.c.person_id == bindparam("person")
)


class People(Transaction):
    """Rows about who is here. A lock is held until the unit ends and means nothing in a reading unit."""

    def clinic(self, clinic_id: str) -> Clinic | None:
        return self._once(t.clinics, _CLINIC, Clinic, clinic=clinic_id)

    def save_clinic(self, clinic: Clinic) -> None:
        self._must_write()
        self._run(upsert(self._dialect, t.clinics), values(clinic))

    def programme_text(self, version: str) -> str | None:
        row = self._one(_PROGRAMME, version=version)
        return row.text if row else None

    def save_programme(self, version: str, text: str, at: dt.datetime) -> None:
        known = insert_new(self._dialect, t.programmes, ("clinic_id", "version"))
        self._insert(known, {"version": version, "text": text, "at": at})

    def person(self, person_id: str, *, lock: bool = False) -> Person | None:
        known = None if lock else self._seen(t.people, Person, lambda each: each.id == person_id)
        return known or self._once(t.people, _BY_ID, Person, lock=lock, person=person_id)

    def person_at(self, channel: str, address: str, *, lock: bool = False) -> Person | None:
        return self._once(t.people, _BY_ADDRESS, Person, lock=lock, channel=channel, address=address)

    def save_person(self, person: Person) -> None:
        self._insert(upsert(self._dialect, t.people), values(person))

    def people(self, clinic_id: str) -> tuple[Person, ...]:
        return tuple(Person(*row) for row in self._all(_ALL, clinic=clinic_id))

    def add_invitation(self, invitation: Invitation) -> None:
        self._insert(t.invitations.insert(), values(invitation))

    def invitation(self, code_hash: str, *, lock: bool = False) -> Invitation | None:
        row = self._one(self._locking(_INVITATION, lock), code=code_hash)
        return Invitation(*row) if row else None

    def use_invitation(self, code_hash: str, person_id: str, at: dt.datetime) -> bool:
        """Mark as used; False when it is unknown, was used before, or expired: only one of many can win."""
        use = _USE.values(used_by=person_id, used_at=at)
        return self._change(use, code=code_hash, now=at) > 0

    def open_invitations(self, now: dt.datetime) -> tuple[Invitation, ...]:
        """Those that can still be used, the oldest first."""
        return tuple(Invitation(*row) for row in self._all(_UNUSED, now=now))

    def invitation_used_by(self, person_id: str) -> Invitation | None:
        """The one they used last."""
        row = self._one(_USED_BY, person=person_id)
        return Invitation(*row) if row else None

    def forget_user(self, code_hash: str) -> None:
        """Say no more who used it, nor whom it was for; used it stays."""
        self._change(_FORGET_USER, code=code_hash)

    def void_invitations(self, role: Role, at: dt.datetime) -> int:
        """End those for `role` that the command line made and nobody has used; says how many."""
        return self._change(_VOID.values(expires_at=at), what=role, now=at)

    def forget_invitations(self, before: dt.datetime) -> int:
        """Delete those that ran out before and that nobody used: they name whom they were for."""
        return self._change(_FORGET_UNUSED, since=before)

    def dialogue(self, person_id: str) -> Dialogue:
        return self._once(t.dialogues, _DIALOGUE, Dialogue, person=person_id) or Dialogue(person_id, "")

    def save_dialogue(self, dialogue: Dialogue) -> None:
        self._insert(upsert(self._dialect, t.dialogues), values(dialogue))
