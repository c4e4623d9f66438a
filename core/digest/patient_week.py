"""One patient's week, Monday to Sunday, as facts for the digest and the file: numbers and codes, no words."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from core.digest.attention import Attention, Urgency, urgency
from core.digest.weekly_trend import WeeklyTrend
from core.model import Decision, Episode, Evening, Figure, Flag, NoticeKind
from core.rule.override import Override, act_of
from core.scores import Change
from core.timetable import ONE_DAY
from core.weeks import LEAST_RATINGS, WEEK_DAYS, Adherence, Week, weeks


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
    unseen: bool = False  # nobody on the staff has looked for four weeks
    score_due: bool = False  # the clinic's questionnaire, in the week after this one
    tasks: tuple[DueTask, ...] = ()  # due by the end of the week after this one, the earliest first
    scores: tuple[Score, ...] = ()  # oldest first
    goals: tuple[tuple[str, int | None, int | None], ...] = ()  # in their words, with the first and the latest rating
    own_words: tuple[tuple[dt.date, str], ...] = ()  # told as danger or a question, of the course, newest first
    notes: tuple[tuple[dt.date, str], ...] = ()  # the therapist's, newest first
    unread: tuple[tuple[dt.date, str], ...] = ()  # words of the week's evenings that the reading did not use
    one_of_two: bool = False  # the other side has a course, too

    @property
    def codes(self) -> frozenset[Attention]:
        """Why to look, apart from the course."""
        given = {
            Attention.UNREACHABLE: self.unreachable, Attention.LEFT: self.left, Attention.AWAY: self.away,
            Attention.TASK: bool(self.tasks), Attention.SCORE_DUE: self.score_due,
        }  # fmt: skip
        return frozenset(code for code, holds in given.items() if holds)

    @property
    def key(self) -> str:
        """Of the course among those of a digest."""
        return f"{self.id}~{self.side}" if self.one_of_two else self.id


@dataclass(frozen=True, slots=True)
class Made:
    """A live decision of the course; `by` and `note` of an override: who made it, and why in their words."""

    decision: Decision
    by: str = ""
    note: str = ""
    on: dt.date | None = None  # when it was done, where that is not the decision's date

    @property
    def date(self) -> dt.date:
        """The one it is told under."""
        return self.on or self.decision.date

    @property
    def act(self) -> Override | None:
        """What the therapist did."""
        return act_of(self.decision)


@dataclass(frozen=True, slots=True)
class Moved:
    """A step taken: `up` or back, and the step it led to."""

    date: dt.date
    up: bool
    step: int


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
    stopped_for: Flag | None  # danger
    halted: dt.date | None  # since when the therapist has stopped the programme
    completed: bool
    told: tuple[Made, ...]
    numbers: tuple[Cited, ...]
    attention: tuple[Attention, ...]  # the most urgent first
    others: tuple["PatientWeek", ...] = ()  # of the other side, in the digest of whoever has two courses

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


@dataclass(frozen=True, slots=True)
class CourseLine:
    """The days from `first` to `last`, both in. `steps` are (first day, last day, step), `means` (middle day, mean).

    Means are of calendar weeks, as in the digest's numbers, so that the picture and the table say the same.
    """

    first: dt.date
    last: dt.date
    evenings: tuple[Evening, ...]
    steps: tuple[tuple[dt.date, dt.date, int], ...]
    flares: tuple[dt.date, ...]
    means: tuple[tuple[dt.date, float], ...]


def flares_of(decisions: Iterable[Decision]) -> tuple[dt.date, ...]:
    """The evenings on which a flare was found, a second one within weeks included."""
    return tuple(dict.fromkeys(each.date for each in decisions if each.after.flared == each.date))


def course_line(
    start: Episode, diary: Sequence[Evening], made: Sequence[Made], sunday: dt.date, weeks: int | None = None
) -> CourseLine:
    """The course up to `sunday`: the last `weeks` weeks, or all of it.

    `start` is the episode the course began with, `made` its live decisions in order.
    """
    first = start.started if weeks is None else sunday - dt.timedelta(days=weeks * WEEK_DAYS - 1)
    first = min(first, sunday)
    past = [each.decision for each in made if each.decision.date <= sunday]
    return CourseLine(
        first=first,
        last=sunday,
        evenings=tuple(each for each in diary if first <= each.date <= sunday),
        steps=steps_between(start, [each.after for each in past], first, sunday),
        flares=tuple(date for date in flares_of(past) if date >= first),
        means=_means(diary, first, sunday),
    )


def steps_between(
    start: Episode, states: Iterable[Episode], first: dt.date, last: dt.date
) -> tuple[tuple[dt.date, dt.date, int], ...]:
    begun = [(start.since, start.step)]
    for state in states:
        if state.step != begun[-1][1]:
            begun.append((state.since, state.step))
    ends = [since - ONE_DAY for since, _ in begun[1:]] + [last]
    found = [(max(since, first), min(end, last), step) for (since, step), end in zip(begun, ends, strict=True)]
    return tuple((since, end, step) for since, end, step in found if since <= end)


def _means(diary: Sequence[Evening], first: dt.date, last: dt.date) -> tuple[tuple[dt.date, float], ...]:
    """Every calendar week's mean at its middle; a week that `first` cuts stands at the middle of what is left."""
    found = []
    for week in weeks(diary, first, last):
        begin, end = max(week.first, first), week.first + dt.timedelta(days=WEEK_DAYS - 1)
        if week.mean is not None and week.rated >= LEAST_RATINGS:
            found.append((begin + (end - begin) // 2, week.mean))
    return tuple(found)
