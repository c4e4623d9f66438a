"""Records of what is on its way: the open conversation, messages in and messages out."""

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from core.records.people import Facts


@dataclass(frozen=True, slots=True)
class Dialogue:
    """Where one chat's conversation stands; one per person."""

    person_id: str
    flow: str  # "" when nothing is open, else "enrol", "evening", "change", ...
    step: str = ""
    check_in_id: str | None = None
    facts: Facts = field(default_factory=dict)


class Due(StrEnum):
    """What the clock brings, the day that is over first: what it decides is tomorrow's dose."""

    CLOSE = "close"  # a check-in's local day
    ASK = "ask"  # a person's evening
    REMIND = "remind"  # of a check-in
    NUDGE = "nudge"  # a person, by day, of sets that are left
    DIGEST = "digest"  # a member of staff's week
    DANGER = "danger"  # a notice of it: whether somebody has it


class Box(StrEnum):
    """Where processes leave work for each other."""

    IN = "inbox"
    OUT = "outbox"


LOCKED = "locked "  # before the name of an owner whose lock of that name says whether it lives


class Priority(StrEnum):
    """Who goes first out of the outbox."""

    DANGER = "0-danger"  # what is said of danger, to whoever it is: tried until it is delivered
    REPLY = "0-reply"
    NOTICE = "1-notice"
    BULK = "2-bulk"
    DRAWN = "3-drawn"  # takes seconds to make, so a lane of its own delivers it and holds up nobody


@dataclass(frozen=True, slots=True)
class Button:
    label: str
    data: str  # at most 64 bytes


@dataclass(frozen=True, slots=True)
class Worded:
    """A message as it will be read, finished when the matter was decided; only pictures and papers are made later.

    `further` texts follow the first one as messages of their own; buttons stand under the last. `document` is a file's
    name and what it says. `people` are the ids of those it is about, where they stand nowhere else in it. A
    `silent` one makes no sound. `copied` is (chat, message) of somebody's own message that follows as it was sent.
    """

    text: str = ""
    buttons: tuple[tuple[Button, ...], ...] = ()
    further: tuple[str, ...] = ()
    document: tuple[str, str] | None = None
    to_draw: Facts = field(default_factory=dict)  # JSON values; {} where there is nothing to draw
    people: tuple[str, ...] = ()
    silent: bool = False
    copied: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A message that is on its way out. `key` is unique for ever."""

    key: str
    clinic_id: str
    person_id: str
    channel: str
    address: str
    kind: str
    words: Worded
    priority: Priority
    at: dt.datetime
    not_before: dt.datetime | None = None
    expires_at: dt.datetime | None = None
    about: str = ""  # the patient a message to staff is about, so that erasing finds it
    notice_id: str = ""  # the notice it tells
    due_at: dt.datetime | None = None  # when it should have left, for what is asked at an hour


class OutboxState(StrEnum):
    PENDING = "pending"
    SENDING = "sending"  # the call is made; after a crash its delivery is unknown
    SENT = "sent"
    UNKNOWN = "unknown"  # it may have been delivered; sent again
    FAILED = "failed"  # refused for good, or given up
    EXPIRED = "expired"  # too late to be of use


@dataclass(frozen=True, slots=True)
class OutboxItem:
    id: int
    message: Outgoing
    state: OutboxState
    tries: int
    unknowns: int  # how often its delivery was left unknown


@dataclass(frozen=True, slots=True)
class Lost:
    """A message that ended without having been delivered, `ended` being when it was given up."""

    id: int
    kind: str
    priority: Priority
    at: dt.datetime
    ended: dt.datetime


@dataclass(frozen=True, slots=True)
class ServiceWeek:
    """Evenings of some days: how many were planned, asked, asked ten minutes late or more, not delivered, answered."""

    planned: int
    asked: int
    late: int
    failed: int
    answered: int


@dataclass(frozen=True, slots=True)
class Turns:
    """Leave to send `given` messages, the first in `first_s` seconds; without any, when to ask again."""

    given: int
    first_s: float


@dataclass(frozen=True, slots=True)
class Update:
    """One incoming update as it came: `payload` is JSON text. Unique per (channel, update_id)."""

    channel: str
    update_id: int
    address: str  # chat; "" when it has none
    received_at: dt.datetime
    payload: str


@dataclass(frozen=True, slots=True)
class InboxItem:
    id: int
    update: Update
    tries: int


@dataclass(frozen=True, slots=True)
class Queue:
    """How many wait, and since when the longest one does."""

    waiting: int
    since: dt.datetime | None


@dataclass(frozen=True, slots=True)
class Queues:
    inbox: Queue
    outbox: Queue
    untold: Queue = Queue(0, None)  # danger that has reached nobody
