"""Patients as staff read of them: a line of the caseload, a page, its decisions and notices. Values to be worded."""

import datetime as dt
from dataclasses import dataclass

from core.digest.attention import RANK, Attention, place
from core.digest.patient_week import DueTask
from core.digest.weekly_trend import WeeklyTrend
from core.facts import CourseFacts, GoalFacts, ReasonFacts, SideFacts, Words
from core.model import Move
from core.records import Note, OutcomeScore, Person, Status, Task
from core.rule.override import Act, Override
from core.scores import Change

WAITING = frozenset({Status.UNCONFIRMED, Status.SCREENED_OUT})  # nothing goes on until the therapist has acted


@dataclass(frozen=True, slots=True)
class CaseloadRow:
    """One patient as a line of the list. Without a course, `step` is None; `mean` is of the last seven days."""

    id: str
    name: str
    status: Status
    attention: tuple[Attention, ...]  # the most urgent first
    step: int | None = None
    steps: int = 0
    week: int = 0
    mean: float | None = None
    last_answered: dt.date | None = None  # of the evenings that are read
    stopped: bool = False  # by the therapist
    silent_days: int = 0
    tasks: tuple[DueTask, ...] = ()  # due by today
    settled: tuple[Attention, ...] = ()  # of those reasons, about which something was done
    unreadable: bool = False  # a row of theirs is damaged; nothing but the name is known
    side: str = ""  # of the course
    change: Change | None = None  # of the last seven days' mean against the first week's
    others: tuple["CaseloadRow", ...] = ()  # the other side, where the person has two; this one is the more urgent

    @property
    def order(self) -> tuple[object, ...]:
        """Who waits for the therapist, then by the most urgent reason, then the next; of equals the higher mean."""
        waits = () if self.status not in WAITING and not self.unreadable else (RANK[Attention.STOPPED],)
        return *waits, *place(self.attention, self.settled, self.change, self.mean, self.name, self.id)


@dataclass(frozen=True, slots=True)
class NoticeLine:
    """A notice in a list. Without `person` it is about nobody that the reader may see."""

    kind: str
    flag: str
    urgency: str
    date: dt.date
    text: str  # the person's own words
    open: bool
    person: str = ""
    name: str = ""
    side: str = ""  # that it is about, where the person has two courses


@dataclass(frozen=True, slots=True)
class DecisionLine:
    """A decision; `act` is what a member of staff did, `by` their name, `note` why; `undo`: it can be taken back."""

    id: str
    date: dt.date
    move: Move
    step: int
    reasons: tuple[ReasonFacts, ...]
    act: Override | None = None
    by: str = ""
    note: str = ""
    undo: bool = False


@dataclass(frozen=True, slots=True)
class NextGate:
    """The weekly mean that opens a step: what the therapist set, and the programme's own."""

    step: int
    own: float | None
    programme: float | None


@dataclass(frozen=True, slots=True)
class CoursePage:
    """How a course stands. Sets and evenings are those of the last fortnight, grams; `can`: what may be done now."""

    side: str
    step_key: str
    words: Words
    since: dt.date
    load_g: int
    danger: bool  # stopped for danger, until the therapist has looked
    not_begun: bool
    unloaded_until: dt.date | None
    awaits_look: bool
    pinned_until: dt.date | None
    gate: NextGate | None
    sets_done: int
    sets_asked: int
    untold: int
    answered: int
    evenings: int
    change: Change | None
    trend: WeeklyTrend
    can: tuple[Act, ...]
    unread: tuple[tuple[dt.date, str], ...]
    decisions: tuple[DecisionLine, ...]


@dataclass(frozen=True, slots=True)
class PersonPage:
    """Everything about one patient; `progress` is what their picture shows."""

    person: Person
    row: CaseloadRow
    course: CoursePage | None
    notices: tuple[NoticeLine, ...]
    tasks: tuple[Task, ...]
    notes: tuple[Note, ...]  # the latest
    note_count: int
    scores: tuple[OutcomeScore, ...]
    progress: CourseFacts | None
    goals: GoalFacts
    score_due: int | None = None  # the week of the clinic's questionnaire
    others: tuple[tuple[SideFacts, CaseloadRow], ...] = ()  # how the other side stands
    adds_side: bool = False  # a second course can be begun now


@dataclass(frozen=True, slots=True)
class TeamMember:
    """Somebody who works here, or is to; `patients` counts theirs."""

    staff: str
    name: str
    patients: int
    confirmed: bool
    you: bool
    lead: bool
    unreachable: bool
