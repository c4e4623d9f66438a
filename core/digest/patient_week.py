"""One patient's week, Monday to Sunday, as facts for the digest and the file: numbers and codes, no words."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from core.digest.attention import Attention, Urgency, urgency
from core.digest.weekly_trend import WeeklyTrend
from core.model import Decision, Evening, Figure, Flag, Move, NoticeKind, Reason
from core.rule.override import Override
from core.scores.change import Change
from core.weeks import LEAST_RATINGS, WEEK_DAYS, Adherence, Week


@dataclass(frozen=True, slots=True)
class Score:
    """One outcome score (PRTEE, 0-100, higher is worse) at about `week` of the course."""

    week: int
    total: float


@dataclass(frozen=True, slots=True)
class DueTask:
    """Something the therapist put down to do about a patient, in their own words."""

    id: str
    due: dt.date
    text: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of a patient beside the course: the name as the therapist gave it, and how they stand now."""

    id: str
    name: str
    side: str = ""  # "left", "right"
    away_until: dt.date | None = None
    away: bool = False
    unreachable: bool = False
    left: bool = False
    notices: tuple[NoticeKind, ...] = ()  # still open
    settled: tuple[Attention, ...] = ()  # what holds, and about which something was done
    tasks: tuple[DueTask, ...] = ()  # due by the end of the week after this one, the earliest first
    scores: tuple[Score, ...] = ()  # oldest first
    goals: tuple[tuple[str, int | None, int | None], ...] = ()  # in their words, with the first and the latest rating
    own_words: tuple[tuple[dt.date, str], ...] = ()  # told as danger or a question, of the course, newest first
    notes: tuple[tuple[dt.date, str], ...] = ()  # the therapist's, newest first
    unread: tuple[tuple[dt.date, str], ...] = ()  # words of the week's evenings that the reading did not use


@dataclass(frozen=True, slots=True)
class Made:
    """A live decision of the course; `by` and `note` of an override: who made it, and why in their words."""

    decision: Decision
    by: str = ""
    note: str = ""
    on: dt.date | None = None  # when it was done, where that is not the decision's date


@dataclass(frozen=True, slots=True)
class Moved:
    """A step taken: `up` or back, and the step it led to."""

    date: dt.date
    up: bool
    step: int


@dataclass(frozen=True, slots=True)
class Told:
    """One decision of the week, without what only the rule needs."""

    date: dt.date
    move: Move
    step: int
    load_g: int
    reasons: tuple[Reason, ...]
    notices: tuple[NoticeKind, ...] = ()
    flag: Flag | None = None
    act: Override | None = None  # of the therapist
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cited:
    """A number that the week's decisions were measured against, with the citations of its published rows."""

    figure: Figure
    citations: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WeekRow:
    """A calendar week's numbers; step and load as its last evening left them."""

    week: Week
    step: int
    load_g: int

    @property
    def mean(self) -> float | None:
        """The week's mean rating; None with fewer than LEAST_RATINGS."""
        return self.week.mean if self.week.rated >= LEAST_RATINGS else None


@dataclass(frozen=True, slots=True)
class PatientWeek:
    """Everything the digest and the file say of one patient; `weeks` are the latest, oldest first, this one last."""

    who: Standing
    monday: dt.date
    started: dt.date
    step: int  # as the week's last evening left it; so are the load and everything else that stands
    steps: int  # maintenance is not counted as a rung
    step_key: str
    words: Mapping[str, Mapping[str, str]]  # the programme's, for the step and the side
    load_g: int
    evenings: tuple[Evening, ...]
    weeks: tuple[WeekRow, ...]
    fortnight: Adherence  # of the fourteen days up to Sunday
    change: Change | None  # since the first week
    week_change: float | None  # mean minus the last week's, each from as many ratings as the rule wants
    trend: WeeklyTrend  # of the weeks up to this one
    moves: tuple[Moved, ...]
    flares: tuple[dt.date, ...]
    silent_days: int
    silent: bool  # for as long as the programme calls silence
    stopped_for: Flag | None  # danger
    halted: dt.date | None  # since when the therapist has stopped the programme
    completed: bool
    told: tuple[Told, ...]
    numbers: tuple[Cited, ...]
    attention: tuple[Attention, ...]  # the most urgent first

    @property
    def sunday(self) -> dt.date:
        return self.monday + dt.timedelta(days=WEEK_DAYS - 1)

    @property
    def this(self) -> WeekRow:
        return self.weeks[-1]

    @property
    def last(self) -> WeekRow | None:
        return self.weeks[-2] if len(self.weeks) > 1 else None

    @property
    def urgency(self) -> Urgency | None:
        return urgency(self.attention, self.who.settled)

    @property
    def week_number(self) -> int:
        """Which week of the course its Sunday is in, from 1; 0 before the course began."""
        return max((self.sunday - self.started).days // WEEK_DAYS + 1, 0)
