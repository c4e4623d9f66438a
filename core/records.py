"""What the store keeps: frozen records, their ids made before saving, their times aware and in UTC."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from core.model import Decision, Episode, Flag, NoticeKind

Facts = Mapping[str, Any]  # JSON values only


class Status(StrEnum):
    """Where one person stands with the program."""

    ENROLLING = "enrolling"  # consent, screening and set-up not finished
    ACTIVE = "active"  # is asked every evening
    AWAY = "away"  # asked us to pause: holiday, illness
    LEFT = "left"  # asked us to stop
    UNREACHABLE = "unreachable"  # the messaging service refuses: blocked or gone
    SCREENED_OUT = "screened_out"  # a screening answer needs a person first
    COMPLETED = "completed"
    UNCONFIRMED = "unconfirmed"  # used an invitation; the inviter has not said yet that it is the right person
    DISCHARGED = "discharged"  # the therapist ended it


class Role(StrEnum):
    """What an invitation makes of whoever uses it."""

    LEAD = "lead"
    THERAPIST = "therapist"
    PATIENT = "patient"


class CheckInState(StrEnum):
    """How far one evening has come."""

    ASKED = "asked"  # waits for pain, sets or both
    ANSWERED = "answered"
    SILENT = "silent"  # closed at the end of the local day without a full answer
    NOT_ASKED = "not_asked"  # our downtime or a pause for danger; never counts against the person


@dataclass(frozen=True, slots=True)
class Clinic:
    id: str
    name: str
    zone: str
    language: str
    emergency: str  # the clinic's own emergency sentence; empty: the catalogue's


@dataclass(frozen=True, slots=True)
class Person:
    """A patient. `address` is the chat within the channel, `name` what the therapist or the service calls them."""

    id: str
    clinic_id: str
    channel: str
    address: str
    language: str
    zone: str
    evening: dt.time  # local wall time of the question
    status: Status
    created_at: dt.datetime
    name: str = ""
    next_due: dt.datetime | None = None  # None: no question is planned
    next_date: dt.date | None = None  # the local date that next_due asks about
    away_since: dt.date | None = None
    away_until: dt.date | None = None
    therapist_id: str | None = None  # whose patient; None until there is a therapist


@dataclass(frozen=True, slots=True)
class Staff:
    """A therapist, the clinic lead, or both in one. Reached like a patient: by the chat `address` of a channel."""

    id: str
    clinic_id: str
    channel: str
    address: str
    name: str  # sealed at rest
    lead: bool
    therapist: bool
    language: str
    zone: str
    created_at: dt.datetime
    confirmed: bool = True  # False until the inviter has said that it is the right person
    digest_weekday: int = 0  # Monday
    digest_time: dt.time = dt.time(7, 30)
    next_digest: dt.datetime | None = None
    left_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Audit:
    """One access or act by staff; only added to. `detail` is sealed at rest."""

    clinic_id: str
    staff_id: str
    at: dt.datetime
    action: str
    person_id: str | None = None
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """What a therapist wrote about a patient for the file; sealed at rest."""

    id: str
    clinic_id: str
    person_id: str
    staff_id: str
    at: dt.datetime
    text: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """One PRTEE score, recorded at about `week` of the course: 0 to 100, higher is worse; subscales 0 to 50 or None."""

    id: str
    clinic_id: str
    person_id: str
    course_id: str
    at: dt.datetime
    week: int
    total: float
    pain: float | None = None
    function: float | None = None
    answered: int | None = None  # of the fifteen items; None when only the total was given


@dataclass(frozen=True, slots=True)
class Course:
    """One person's course for one elbow: the fixed facts and the episode as it stands now."""

    id: str
    clinic_id: str
    person_id: str
    elbow: str  # "left", "right"
    programme_version: str
    episode: Episode
    ended_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class CheckIn:
    """One local date's question and answer; unique per (course_id, date)."""

    id: str
    clinic_id: str
    course_id: str
    person_id: str
    date: dt.date
    state: CheckInState
    due_at: dt.datetime
    sets_asked: int
    pain: int | None = None
    sets_done: int | None = None
    flag: Flag | None = None
    answered_at: dt.datetime | None = None
    remind_at: dt.datetime | None = None  # None: reminded already, or not to be reminded
    close_at: dt.datetime | None = None  # None: closed


@dataclass(frozen=True, slots=True)
class Answer:
    """One entry of the append-only log of what was said for a check-in; corrections add, never overwrite."""

    check_in_id: str
    person_id: str
    at: dt.datetime
    pain: int | None
    sets_done: int | None
    flag: Flag | None
    source: str  # "typed", "tapped", "edited"
    message_id: str | None = None


@dataclass(frozen=True, slots=True)
class StoredDecision:
    """A decision with the episode it started from.

    `kind` is "evening" (at most one per (course_id, date) that is not superseded), "resume", "clear" or "danger" (told
    after that evening was cleared); several of one date stand in the order they were added.
    """

    id: str
    clinic_id: str
    course_id: str
    date: dt.date
    made_at: dt.datetime
    before: Episode
    decision: Decision
    superseded: bool = False
    kind: str = "evening"
    by: str = ""  # the staff member, for an override
    note: str = ""  # and why, in their words; sealed at rest


@dataclass(frozen=True, slots=True)
class Dialogue:
    """Where one chat's conversation stands; one per person."""

    person_id: str
    flow: str  # "" when nothing is open, else "enrol", "evening", "change", ...
    step: str = ""
    check_in_id: str | None = None
    facts: Facts = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Notice:
    """Something the therapist must know now; `key` is unique, so that no matter is noticed twice."""

    id: str
    clinic_id: str
    person_id: str
    kind: NoticeKind
    key: str
    at: dt.datetime
    facts: Facts = field(default_factory=dict)
    text: str = ""  # the person's own words, sealed at rest


@dataclass(frozen=True, slots=True)
class Invitation:
    """A single-use, expiring way in; only a hash of the code is stored."""

    code_hash: str
    clinic_id: str
    created_at: dt.datetime
    expires_at: dt.datetime
    used_by: str | None = None
    used_at: dt.datetime | None = None
    note: str = ""  # whom it is for, in the inviter's words; sealed at rest
    role: Role = Role.PATIENT
    inviter_id: str | None = None  # None: the command line


class Priority(StrEnum):
    """Who goes first out of the outbox."""

    REPLY = "0-reply"
    NOTICE = "1-notice"
    BULK = "2-bulk"


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A message as facts, to be worded when it is sent. `key` is unique for ever."""

    key: str
    clinic_id: str
    person_id: str
    channel: str
    address: str
    kind: str
    facts: Facts
    priority: Priority
    at: dt.datetime
    not_before: dt.datetime | None = None
    expires_at: dt.datetime | None = None
    about: str = ""  # the patient a message to staff is about, so that erasing finds it


class OutboxState(StrEnum):
    PENDING = "pending"
    SENDING = "sending"  # claimed; after a crash its delivery is unknown
    SENT = "sent"
    UNKNOWN = "unknown"  # delivery unknown once; sent one more time
    FAILED = "failed"  # refused for good
    EXPIRED = "expired"  # too late to be of use


@dataclass(frozen=True, slots=True)
class OutboxItem:
    id: int
    message: Outgoing
    state: OutboxState
    tries: int
    unknowns: int  # how often its delivery was left unknown


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
