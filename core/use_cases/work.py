"""What every use case is handed: the open transaction, the moment, a source of ids, the programmes."""

import datetime as dt
import logging
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from typing import Self

from core.errors import StoreError
from core.ports import NewId, UnitOfWork, Wording
from core.programme import Programme
from core.programme.file import load_programme
from core.records import Course, Outgoing, Person, Priority, Staff, Worded


@dataclass(slots=True)
class Programmes:
    """The programme new courses start on, and every older version that a stored course still follows."""

    current: Programme
    _read: dict[str, Programme] = field(default_factory=dict)

    def get(self, uow: UnitOfWork, version: str) -> Programme:
        """The programme of that version; StoreError when the store does not hold its text."""
        if version == self.current.version:
            return self.current
        if version not in self._read:
            text = uow.clinics.programme(version)
            if text is None:
                raise StoreError(
                    f"programme version {version}: a stored course follows it, but its text is not in the database; "
                    "restore the database from a backup that has it"
                )
            self._read[version] = load_programme(text, f"stored programme {version}")
        return self._read[version]


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work. Nothing in it reads the clock; the caller commits."""

    uow: UnitOfWork
    now: dt.datetime
    new_id: NewId
    programmes: Programmes
    wording: Wording
    deciding: Callable[[], AbstractContextManager[object]] = nullcontext  # around the rule, for who measures it

    def programme_of(self, course: Course) -> Programme:
        """The programme that a course follows."""
        return self.programmes.get(self.uow, course.programme_version)


log = logging.getLogger(__name__)

UNWORDED = "chat.unworded"
UNWORDED_FOR_STAFF = "therapist.unworded"
HANDED_ON = ("name", "person", "words")  # what the sentence in place of a message tells of it


@dataclass(frozen=True, slots=True)
class Recipient:
    """Whoever gets a message; the id is empty where only the chat is known."""

    id: str
    clinic_id: str
    channel: str
    address: str
    language: str
    zone: str
    on_staff: bool = False

    @classmethod
    def of(cls, who: Person | Staff) -> Self:
        return cls(who.id, who.clinic_id, who.channel, who.address, who.language, who.zone, isinstance(who, Staff))


def queue(
    work: Work, to: Recipient, kind: str, facts: Mapping[str, object], *, key: str, priority: Priority,
    not_before: dt.datetime | None = None, expires_at: dt.datetime | None = None, due_at: dt.datetime | None = None,
    about: str = "", notice_id: str = "",
) -> bool:  # fmt: skip
    """Word a message of that kind and queue it; False when `key` is known.

    `about` is the patient whom a message to staff names, so that erasing finds it; `notice_id` the notice it tells.
    """
    words = _worded(work, to, kind, facts)
    message = Outgoing(
        key, to.clinic_id, to.id, to.channel, to.address, kind, words, priority, work.now,
        not_before=not_before, expires_at=expires_at, about=about, notice_id=notice_id, due_at=due_at,
    )  # fmt: skip
    return work.uow.outbox.put(message)


def _worded(work: Work, to: Recipient, kind: str, facts: Mapping[str, object]) -> Worded:
    try:
        return work.wording(kind, to.language, facts)
    except Exception:  # whatever is wrong with the words, what happened must be kept and told
        log.exception("a message cannot be worded, an apology goes in its place", extra={"kind": kind})
    if to.on_staff:
        told = {name: facts.get(name, "") for name in HANDED_ON}
        return work.wording(UNWORDED_FOR_STAFF, to.language, told)
    return work.wording(UNWORDED, to.language, {"emergency": emergency(work)})


def emergency(work: Work) -> str:
    """The clinic's sentence for an emergency; empty where it has none."""
    clinic = work.uow.clinics.get()
    return clinic.emergency if clinic else ""
