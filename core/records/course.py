"""Records of one person's course: the evenings, what was said, what was decided, what the therapist must know."""

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from core.guided import SetPlan
from core.model import Decision, Episode, Flag, Meanwhile, NoticeKind
from core.records.people import Facts


@dataclass(frozen=True, slots=True)
class Course:
    """One person's course for one side: the fixed facts and the episode as it stands now."""

    id: str
    clinic_id: str
    person_id: str
    side: str  # "left", "right"
    programme_version: str
    episode: Episode
    ended_at: dt.datetime | None = None


class CheckInState(StrEnum):
    """How far one evening has come."""

    ASKED = "asked"  # waits for pain, sets or both
    ANSWERED = "answered"
    SILENT = "silent"  # closed at the end of the local day without a full answer
    NOT_ASKED = "not_asked"  # our downtime, a stop, or left out on purpose; never counts against the person


class SignQuestion(StrEnum):
    """What is asked of words that may tell of a sign."""

    WHICH = "which"  # one ear alone heard something: which sign is it, if any
    WEAK = "weak"  # a complaint: weak because it hurts, or weak without pain


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
    remind_at: dt.datetime | None = None  # of the evening's question or of a sign; None: done, or not to be
    close_at: dt.datetime | None = None  # None: closed
    sign: SignQuestion | None = None  # open until it is answered
    sign_words: str = ""  # what it is asked about; sealed at rest
    sign_again: bool = False  # asked once more, and the therapist told
    unread: str = ""  # words that the reading did not use; sealed at rest
    meanwhile: Meanwhile | None = None  # told afterwards of an evening without an answer
    woke_worse: bool = False  # told: worse on waking than before the sets
    sets_guided: int = 0  # of them, those that were counted through
    sets_above: int = 0  # told beyond those asked; the rule does not see them


class GuidedState(StrEnum):
    """How far a set has come that is counted through."""

    STARTING = "starting"  # its message is on its way; the count begins when that has arrived
    RUNNING = "running"
    RESTING = "resting"  # done and counted; the rest after it runs
    DONE = "done"
    STOPPED = "stopped"  # by the person
    CUT = "cut"  # nobody counted for a while: only the person knows what was done
    LOST = "lost"  # its message never arrived


OPEN_STATES = (GuidedState.STARTING, GuidedState.RUNNING, GuidedState.RESTING)


@dataclass(frozen=True, slots=True)
class GuidedSet:
    """One set counted through: `number` of the `of` that its date asks. Only one of a person is open at a time."""

    id: str
    clinic_id: str
    person_id: str
    course_id: str
    date: dt.date
    number: int
    of: int
    exercise: str
    plan: SetPlan
    state: GuidedState
    made_at: dt.datetime
    counted: bool = False  # stands for a set done, until the person takes it back
    began_at: dt.datetime | None = None  # second 0 of the plan
    next_at: dt.datetime | None = None  # when there is next something to do or to say; None: nothing any more
    message_id: str | None = None  # the message in which it is counted, as the channel calls it


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

    `kind` is "evening" (at most one per (course_id, date) that is not superseded), "resume", "clear", "danger" (told
    after that evening was cleared), "injection", "no_signs" (the red-flag questions answered with no) or
    "weight" (how it felt, or which one); several of one date stand in the order they were added.
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
    look_at: dt.datetime | None = None  # of danger: when we look whether somebody has it; None: settled


@dataclass(frozen=True, slots=True)
class OutcomeScore:
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
class GoalReview:
    """One asking for what somebody wants to do again, at the start (week 0) or later; unique per (course_id, week).

    `said` holds "goals", the goals in their own words; `rated` holds "ratings", for each of them 0-10 or None, and
    both are sealed at rest. `change` is the overall change, -5 to 5, asked from the second time on.
    """

    id: str
    clinic_id: str
    person_id: str
    course_id: str
    at: dt.datetime
    week: int
    said: Facts = field(default_factory=dict)
    rated: Facts = field(default_factory=dict)
    change: int | None = None

    @property
    def goals(self) -> list[str]:
        return list(self.said.get("goals", ()))

    @property
    def ratings(self) -> list[int | None]:
        return list(self.rated.get("ratings", ()))
