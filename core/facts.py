"""What is worded: values that the use cases hand to the wording, with the programme's own words for them."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from core.model import Exercise, Flag, Move, Provenance, ReasonCode
from core.programme import Gate, Picture
from core.records import GuidedSet
from core.scores import Change, Told
from core.scores.goals import GoalChange
from core.weeks import Adherence, Week

Words = Mapping[str, Mapping[str, str]]  # by language, then by key


@dataclass(frozen=True, slots=True)
class FigureFacts:
    """A number of the programme with where it is from; `cited` are its sources as they are quoted."""

    name: str
    value: float
    provenance: Provenance
    rows: tuple[str, ...] = ()
    cited: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReasonFacts:
    """Why a decision came out as it did, with each number it was measured against."""

    code: ReasonCode
    numbers: Mapping[str, float]
    figures: tuple[FigureFacts, ...] = ()


@dataclass(frozen=True, slots=True)
class SideFacts:
    """Which of somebody's two sides, "left" or "right", with the programme's words for it and for its limb."""

    side: str
    words: Words


@dataclass(frozen=True, slots=True)
class DoseFacts:
    """A dose; `steps` are those that people climb, a step beyond them keeps what was gained. Grams.

    `held` is what is drawn in the hand, with the sizes there are of it. `guided`: its sets can be counted through.
    `alone`: the side whose arm alone does it, since the other one has a course and a dose of its own.
    """

    step: int
    steps: int
    step_key: str
    load_g: int
    asked: int
    exercises: tuple[Exercise, ...]
    words: Words
    guided: bool = False
    equipment: tuple[str, ...] = ()
    held: tuple[str, tuple[int, ...]] = ("", ())
    pictures: Mapping[str, Picture] = field(default_factory=dict)
    alone: str = ""


@dataclass(frozen=True, slots=True)
class DecisionFacts:
    """A decision as it is told to the person it is about. `look_weeks`: the week of the course at which too little
    change was found tonight. Grams; `load_before_g` is told where what moving up does to the weight may be said.
    """

    date: dt.date
    for_date: dt.date
    move: Move
    dose: DoseFacts | None
    reasons: tuple[ReasonFacts, ...]
    flag: Flag | None
    ask_red_flags: bool
    see_clinician: bool
    ask_weight: bool
    look_weeks: int | None
    load_g: int
    load_before_g: int | None = None


@dataclass(frozen=True, slots=True)
class SetFacts:
    """A set that is counted through. `sore`: the side of the only course; of two, `alone` is the arm that does it."""

    guided: GuidedSet
    exercise: Exercise | None
    sore: str
    alone: str
    words: Words


@dataclass(frozen=True, slots=True)
class StepFacts:
    """A step as it is printed: its dose on a day with sets, on which days of those that `rhythm` repeats, how long it
    takes at least, and the ways into the step after it, of which the last has none.
    """

    dose: DoseFacts
    rhythm: tuple[bool, ...]
    least_days: int
    training_days: int | None
    mean_days: int  # over which the mean of a gate is to be met, beside the week's
    onward: tuple[Gate, ...]
    last: bool


@dataclass(frozen=True, slots=True)
class Rung:
    """A step that was gone to, and from which day on."""

    since: dt.date
    number: int
    key: str


@dataclass(frozen=True, slots=True)
class StepBack:
    """A step that was gone back, whatever for: where it led to, and every reason of that decision."""

    date: dt.date
    step: int
    why: tuple[ReasonCode, ...]


@dataclass(frozen=True, slots=True)
class Sign:
    """What was taken for a sign of danger, in the person's own words; `said` is "" where a button told it."""

    date: dt.date
    kind: str
    flag: str
    urgency: str
    said: str


@dataclass(frozen=True, slots=True)
class GoalFacts:
    """What somebody wants to do again, each with the first and the latest rating, and what that change is worth.

    `overall` is how it is all in all, -5 to 5, and the week in which it was asked.
    """

    goals: tuple[tuple[str, int | None, int | None], ...] = ()
    week: int | None = None  # of the latest ratings
    change: GoalChange | None = None
    overall: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class LetterFacts:
    """A whole course for a colleague outside: a letter to the doctor, or a discharge summary.

    Weeks are of seven days: the first of the course, and the last up to the latest evening that is over; None where
    the course was not long enough. `dose` is that of a day with sets, every day where it is `daily`; None while none
    are asked for, which `stopped` says why.
    """

    kind: str  # "letter", "summary"
    name: str
    side: str
    words: Words
    started: dt.date
    week: int
    status: str
    ended: dt.date | None
    reason: str  # that the therapist wrote when they ended it
    stopped: str  # "danger", "staff", "questions", "injection" or ""
    step: int
    steps: int
    load_g: int
    dose: DoseFacts | None
    daily: bool
    rungs: tuple[Rung, ...]
    first: Week | None
    last: Week | None
    change: Change | None
    sets: Adherence
    flares: tuple[dt.date, ...]
    severe: tuple[tuple[dt.date, int], ...]  # every day rated `severe_limit` or more
    severe_limit: float
    step_backs: tuple[StepBack, ...]
    signs: tuple[Sign, ...]
    denied: tuple[dt.date, ...]  # when the questions about signs were answered with no
    injections: tuple[dt.date, ...]
    goals: GoalFacts
    scores: tuple[tuple[int, float], ...]  # PRTEE: the week of the course, 0-100


@dataclass(frozen=True, slots=True)
class NextStep:
    """The step after the present one. `days`: by simulation, until half, and three in four, were on it."""

    number: int
    steps: int
    key: str
    words: Words
    days: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """The week's mean beside the first one's, with the two numbers by which it is told what that is worth."""

    told: Told
    points: float  # below zero is better
    apart: FigureFacts
    matters: FigureFacts


@dataclass(frozen=True, slots=True)
class CourseFacts:
    """A course up to the last evening that is over: what its picture shows, and the few numbers told in words.

    `days` are (date, pain, asked); `bands` (first, last, step); `loads` the own weight in grams from a day on.
    """

    days: tuple[tuple[dt.date, int | None, bool], ...]
    bands: tuple[tuple[dt.date, dt.date, int], ...]
    flares: tuple[dt.date, ...]
    injections: tuple[dt.date, ...]
    loads: tuple[tuple[dt.date, int], ...]
    step: int
    steps: int
    week: int
    mean: float | None
    first_mean: float | None
    compared: Compared | None
    load_g: int
    next_step: NextStep | None
    sets: Adherence  # of the last fortnight
