"""The words of the domain as frozen values: what is asked, what is answered, what is decided."""

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum


class Kind(StrEnum):
    """How the muscle works, the lightest first: patients read "gentle moves", "hold", "lowering", "lift and lower"."""

    MOBILISING = "mobilising"  # comes first on every day, rest days too, and is never counted as a set
    ISOMETRIC = "isometric"
    ECCENTRIC = "eccentric"
    ISOTONIC = "isotonic"


class Move(StrEnum):
    """The outcome for one evening: patients read "stay", "move up", "step back", "stop for now"."""

    HOLD = "hold"
    ADVANCE = "advance"
    REGRESS = "regress"
    PAUSE = "pause"


class Flag(StrEnum):
    """What a text says beside numbers, the most serious first."""

    URGENT = "urgent"  # a possible emergency of the body
    DISTRESS = "distress"  # self-harm, hopelessness, not coping
    RED_FLAG = "red_flag"  # a clinician: today or soon, as `Urgency` says
    CIRCULATION = "circulation"  # pressure of 180/110 or more; headache, dizziness or near fainting with the sets
    INJECTION = "injection"  # into the place that hurts, during the course
    CIRCUMSTANCE = "circumstance"  # something the therapist must weigh, as `Circumstance` says
    CLINICAL_QUESTION = "clinical_question"  # only a person should answer; no sign of danger


DANGER = frozenset({Flag.URGENT, Flag.DISTRESS, Flag.RED_FLAG, Flag.CIRCULATION})


class Effort(StrEnum):
    """How hard a set should feel."""

    LIGHT = "light"
    MEDIUM = "medium"
    HARD = "hard"  # the last repetitions are hard, none is forced


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise of a dose; `key` finds its words in the programme's catalogue. Times in seconds.

    `sets` are for each arm where both do it: a set is done when both arms have done it.
    """

    key: str
    kind: Kind
    sets: int = 0
    reps: tuple[int, int] = (1, 1)  # least and most per set; holds are one repetition
    hold_s: int = 0
    lift_s: int = 0
    lower_s: int = 0
    rest_s: tuple[int, int] = (0, 0)
    last_s: tuple[int, int] = (0, 0)  # how long mobilising takes in all
    pain_at_most: float | None = None  # while doing it
    effort: Effort | None = None
    spread: bool = False  # spread over the day rather than at one sitting
    both_arms: bool = False
    other_hand_lifts: bool = False


@dataclass(frozen=True, slots=True)
class Dose:
    """What one step asks of one local date: mobilising first, then the sets. Only mobilising: a rest day.

    `load_g` is the person's own weight in grams for every exercise that takes one; 0 is none.
    """

    step: int
    exercises: tuple[Exercise, ...] = ()
    load_g: int = 0

    @property
    def asked(self) -> int:
        """Sets asked of this day, the number the evening question counts to."""
        return sum(each.sets for each in self.exercises)

    @property
    def kind(self) -> Kind:
        """Of the hardest exercise."""
        return max((each.kind for each in self.exercises), key=tuple(Kind).index, default=Kind.MOBILISING)

    def rest(self) -> "Dose":
        """The same day without sets: mobilising alone."""
        return replace(self, exercises=tuple(each for each in self.exercises if not each.sets), load_g=0)


class Meanwhile(StrEnum):
    """What somebody who was silent says afterwards of the sets of that time."""

    MOST = "most"
    SOME = "some"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Evening:
    """One local date of a diary. `asked` False: not asked, and never counted against the person."""

    date: dt.date
    asked: bool = True
    pain: int | None = None
    sets_done: int | None = None
    sets_asked: int = 0
    flag: Flag | None = None
    meanwhile: Meanwhile | None = None  # told afterwards of an evening without an answer
    woke_worse: bool = False  # told of that day: worse on waking than before the sets


@dataclass(frozen=True, slots=True)
class OwnDose:
    """What the therapist set for one person: sets and repetitions of `step`'s main exercise, the most pain on any."""

    step: int
    sets: int | None = None
    reps: int | None = None
    pain_at_most: float | None = None


@dataclass(frozen=True, slots=True)
class Episode:
    """One person's course for one side before an evening is decided: all the rule remembers, however long the diary."""

    started: dt.date
    start_rating: int
    step: int
    since: dt.date  # first day of the present step
    served_before: int = 0  # days of this step from an earlier time on it
    trained: int = 0  # training days on this step: at least half of the sets told as done
    left: tuple[tuple[int, int, int], ...] = ()  # (step, days, training days) of other steps, kept for a return
    fell_from: int | None = None  # the step above that a step back came from: its rhythm and its day's work still hold
    fell_since: dt.date | None = None  # first day of that step, for its rhythm
    fell_load_g: int = 0  # the weight there
    gate_tested: dt.date | None = None  # when the weekly mean was last found too high for the step above ...
    gate_shut: float = 0.0  # ... and the widest gate that was shut then
    load_g: int = 0  # the person's own weight, kept through steps that take none
    load_changed: dt.date | None = None
    load_raised: dt.date | None = None
    weight_asked: dt.date | None = None  # the evening after which "how was the weight?" is open
    trying_until: dt.date | None = None  # the weight is being found: asked about every trained evening before this
    own_dose: "OwnDose | None" = None  # set by the therapist
    holds_days: int = 0  # days served on isometric steps
    level: float | None = None  # the person's own recent level, for the running excess
    excess: float = 0.0  # Page's cumulative sum above level + allowance
    flared: dt.date | None = None
    eased_since: dt.date | None = None  # the evening from which on a flare's holds stand in for the step's dose
    stay_until: dt.date | None = None  # no move up before this date
    pinned_until: dt.date | None = None  # set by the therapist: neither up nor back by the rule
    setbacks: tuple[dt.date, ...] = ()  # when pain (unless pinned) or staff called back, in the weeks counted; no gaps
    idle_days: int = 0  # days in a row asked for sets with none reported
    idle_steps_taken: int = 0  # steps already taken back for the present gap
    silent_days: int = 0  # evenings in a row without any answer
    first_week_mean: float | None = None
    told: frozenset[str] = frozenset()  # notices that are sent once in an episode
    paused_for: Flag | None = None  # danger: until the therapist clears it
    paused_since: dt.date | None = None  # the days of the pause count for the gap once it is lifted
    paused_pain: int | None = None  # the latest rating since it began, for the first dose after it
    completed: bool = False
    own_gates: tuple[tuple[int, float], ...] = ()  # (step, weekly mean at most), set by the therapist, by step
    stopped: dt.date | None = None  # by the therapist on that date, until they let it go on; the days count for the gap
    signs_asked: dt.date | None = None  # the evening whose red-flag questions are still open: no sets until answered
    unloaded_until: dt.date | None = None  # no sets before this date, after an injection
    awaits_look: bool = False  # after an injection: no move up until the therapist has looked


class Provenance(StrEnum):
    """Where a number comes from."""

    PUBLISHED = "published"  # a source prints this number for this use
    DERIVED = "derived"  # worked out from what a source prints, or printed there for another use
    COMMON_PRACTICE = "common practice"
    JUDGEMENT = "judgement"


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of the programme with where it comes from; `rows` are keys of the programme's sources."""

    name: str
    value: float
    provenance: Provenance
    rows: tuple[str, ...] = ()


class ReasonCode(StrEnum):
    """Why a decision came out as it did; the numbers stand beside the code, the words elsewhere."""

    DANGER = "danger"  # flag named in Decision.flag
    STILL_PAUSED = "still_paused"
    SEVERE_ONCE = "severe_once"  # pain, limit
    SEVERE_TWICE = "severe_twice"  # pain, limit, days
    ABOVE_CEILING_DAY = "above_ceiling_day"  # pain, limit
    ABOVE_CEILING_WEEK = "above_ceiling_week"  # mean, limit
    WORSE_ON_WAKING = "worse_on_waking"  # half the sets tomorrow
    FLARE = "flare"  # excess, limit, level
    FLARE_AGAIN = "flare_again"  # excess, limit, level: the second within weeks, so back to the holds for real
    FLARE_OVER = "flare_over"  # days of holds: back to the sets of the step
    WEEK_UP = "week_up"  # change, limit: stay
    GAP = "gap"  # days, steps
    GAP_LOAD = "gap_load"  # days, grams
    LONG_GAP = "long_gap"  # days: back to the start, red-flag questions again
    LOAD_UP = "load_up"  # grams, load
    LOAD_DOWN = "load_down"  # grams, load
    ADVANCE = "advance"  # mean, gate, days
    INTO_MAINTENANCE = "into_maintenance"
    COMPLETED = "completed"  # days in maintenance
    STAY_DAYS = "stay_days"  # served, least
    STAY_GATE = "stay_gate"  # mean, gate
    STAY_HOLD_DAYS = "stay_hold_days"  # served, least: days on holds before lowering
    STAY_HIGH_DAY = "stay_high_day"  # days since a day above the limit, window
    STAY_FEW_RATINGS = "stay_few_ratings"  # have, need
    STAY_IDLE = "stay_idle"  # days asked for sets, in a row, with none known
    STAY_TRAINING = "stay_training"  # have, need: training days on the step
    STAY_GATE_LATER = "stay_gate_later"  # days until the weekly mean is looked at again
    STAY_WEEK_UP = "stay_week_up"  # change, limit
    STAY_ABOVE_LEVEL = "stay_above_level"  # change, limit: against the own level where last week is not known
    STAY_EXCESS = "stay_excess"  # excess
    STAY_MORNING = "stay_morning"  # worse on waking within the week: nothing is added
    STAY_SETTLING = "stay_settling"  # days left after a call to step back
    STAY_EASED = "stay_eased"  # days left of a flare's holds, at least
    STAY_PINNED = "stay_pinned"  # days left
    STAY_TOP = "stay_top"  # nothing above
    NO_ANSWER = "no_answer"
    NOT_ASKED = "not_asked"  # our own downtime; nobody is told off for it
    OVERRIDE = "override"
    RESUMED = "resumed"  # days away
    SIGNS_OPEN = "signs_open"  # the red-flag questions of an earlier evening are not answered
    NO_SIGNS = "no_signs"  # they were, and with no
    INJECTION = "injection"  # days without load
    UNLOADED = "unloaded"  # days left without load
    WEIGHT_FELT = "weight_felt"  # felt, by code
    WEIGHT_CAPPED = "weight_capped"  # load: what was used is more than that
    WEIGHT_USED = "weight_used"  # load that the person says they used
    STAY_LOOK = "stay_look"  # the therapist has not looked since the injection


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason with its numbers and the figures it was measured against."""

    code: ReasonCode
    numbers: tuple[tuple[str, float], ...] = ()
    figures: tuple[Figure, ...] = ()


class NoticeKind(StrEnum):
    """What the therapist must know now."""

    DANGER = "danger"
    CLINICAL_QUESTION = "clinical_question"
    UNANSWERED = "unanswered"  # the red-flag questions after a very bad day, by the next evening
    SEVERE_TWICE = "severe_twice"
    PLATEAU_6_WEEKS = "plateau_6_weeks"
    PLATEAU_12_WEEKS = "plateau_12_weeks"
    PLATEAU_26_WEEKS = "plateau_26_weeks"
    THIRD_SETBACK = "third_setback"
    SILENT = "silent"
    UNREACHABLE = "unreachable"
    LONG_GAP = "long_gap"
    SCREENED_OUT = "screened_out"
    LEFT = "left"
    INJECTION = "injection"
    CIRCUMSTANCE = "circumstance"
    UNSURE = "unsure"  # perhaps a sign: asked about twice and not answered
    CLEARED = "cleared"  # the clinic's own: a stop was lifted, and why


@dataclass(frozen=True, slots=True)
class Decision:
    """The outcome for one evening; `dose` is for `for_date` (the next day), None while stopped for danger.

    `reasons` has the deciding one first. `after` is the episode that the next decision starts from.
    """

    date: dt.date
    move: Move
    step: int
    dose: Dose | None
    for_date: dt.date
    reasons: tuple[Reason, ...]
    after: Episode
    programme_version: str
    rule_version: str
    notices: tuple[NoticeKind, ...] = ()
    flag: Flag | None = None
    ask_red_flags: bool = False
    see_clinician: bool = False
    ask_weight: bool = False
