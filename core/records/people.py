"""The people of a clinic: patients, staff, invitations, notes; and the JSON values that rows may hold."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

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


@dataclass(frozen=True, slots=True)
class Clinic:
    id: str
    name: str
    zone: str
    language: str
    emergency: str  # the clinic's own emergency sentence; empty: the catalogue's
    undelivered_hours: int = 2  # after which the leads hear of danger that reached nobody
    open_hours: int = 4  # and of danger about which nothing was done
    hours: str = ""  # when it is open, as core.timetable reads it; empty: not said
    keep_months: int = 0  # how long a closed course is kept as it is; 0: for ever
    after_keeping: str = "anonymous"  # or "erase"


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
    told_unreadable: bool = False  # that their language cannot be read is said once
    weak_hurts: dt.date | None = None  # when they last said that it is weak because it hurts
    ask_morning: bool = False  # the therapist wants to know each evening how the morning was
    every_second: bool = False  # the therapist allows fewer evenings once the course only keeps what was gained
    fades_at: dt.datetime | None = None  # when the closed course is made anonymous or erased, once that was announced
    nudges: tuple[dt.time, ...] = ()  # local wall times by day at which they want to be told of sets that are left
    next_nudge: dt.datetime | None = None


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
    unreachable_since: dt.datetime | None = None  # the messaging service refuses their chat
    left_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Whose:
    """Which patients: of one therapist, those without one, too, or everybody; nobody who was discharged."""

    therapist_id: str = ""
    nobodys: bool = False
    everybody: bool = False


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
class Task:
    """Something that a therapist put down to do about a patient by a date of their own zone; sealed at rest."""

    id: str
    clinic_id: str
    person_id: str
    staff_id: str
    made_at: dt.datetime
    due: dt.date
    text: str
    done_at: dt.datetime | None = None


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
