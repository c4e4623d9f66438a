"""The one way to queue a message: worded at once, and kept in the transaction of what it tells.

What cannot be worded loses nothing: the matter is kept, and in place of the message goes a sentence that says what to
do, to a patient with the clinic's emergency sentence, to staff with the patient's own words and the way to their page.
"""

import datetime as dt
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

from core.records import Outgoing, Person, Priority, Staff, Worded
from core.use_cases.work import Work

log = logging.getLogger(__name__)

UNWORDED = "chat.unworded"
UNWORDED_FOR_STAFF = "therapist.unworded"
HANDED_ON = ("name", "person", "text")  # what the sentence in place of a message tells of it


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
    return work.wording(UNWORDED, to.language, {"emergency": emergency(work, to.clinic_id)})


def emergency(work: Work, clinic_id: str) -> str:
    """The clinic's sentence for an emergency; empty where it has none."""
    clinic = work.uow.clinics.get(clinic_id)
    return clinic.emergency if clinic else ""
