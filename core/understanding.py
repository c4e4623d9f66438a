"""What somebody says, as frozen values: an answer, a sign of danger, a wish, and what must be asked again."""

from dataclasses import dataclass
from enum import StrEnum

from core.model import Flag


class Urgency(StrEnum):
    """How soon a person must be seen: at once, on the same day, within days (NHS Gloucestershire; Javed 2015)."""

    NOW = "now"
    TODAY = "today"
    SOON = "soon"


class Circumstance(StrEnum):
    """What was told about the person, beside the day, that the therapist must weigh."""

    SURGERY = "surgery"
    CAST = "cast"
    PREGNANCY = "pregnancy"
    BLOOD_THINNER = "blood_thinner"
    TENDON_MEDICINE = "tendon_medicine"  # an antibiotic of the kind that harms tendons (MHRA 2019)
    UNDER_AGE = "under_age"
    OTHER_PERSON = "other_person"  # what hurts is somebody else's


# no sets until a clinician has looked, or answered: the therapist clears it
STOPPING = frozenset({Circumstance.SURGERY, Circumstance.CAST, Circumstance.TENDON_MEDICINE, Circumstance.UNDER_AGE})


class Wish(StrEnum):
    """What a person wants of the conversation; about messages, never about sets or pain."""

    STOP = "stop"
    PAUSE = "pause"
    HELP = "help"
    CORRECT = "correct"


class Felt(StrEnum):
    """How the weight was, as the person says at the end of a quiet week or of a first try."""

    EASY = "easy"
    RIGHT = "right"
    TOO_MUCH = "too_much"


class Question(StrEnum):
    """Which question is open, or must be asked again."""

    BOTH = "both"
    PAIN = "pain"
    SETS = "sets"


class Unclear(StrEnum):
    """Why part of an answer was not taken; worded for the person elsewhere."""

    NOTHING = "nothing"  # no number and no word that answers
    RANGE = "range"  # "4 or 5", "3-4", "at least 4"
    DECIMAL = "decimal"  # "4.5", "four and a half"
    OUT_OF_RANGE = "out_of_range"  # not within 0-10
    TOO_MANY_SETS = "too_many_sets"  # more than were prescribed
    TOTAL_DIFFERS = "total_differs"  # "3 of 3" when 4 were prescribed
    CONTRADICTION = "contradiction"  # two values, no change of mind
    SEVERAL = "several"  # different times, activities or arms
    COMPARISON = "comparison"  # "same as yesterday", "better"
    VAGUE = "vague"  # "most", "a few", "not bad"
    PERCENT = "percent"
    OTHER_DAY = "other_day"  # only another day's value was given
    OTHER_UNIT = "other_unit"  # seconds, repetitions, kilos, tablets ... but no pain or sets


@dataclass(frozen=True, slots=True)
class Understanding:
    """What one typed text clearly gives; everything it does not give is None.

    `unclear` holds (question, why) for each part that was tried and not taken.
    `flag` is sure: the programme stops or turns for it. `maybe` was heard by one ear only: the person is asked by
    button, nothing stops. `complaint`: weakness of grip and the like, not said whether because it hurts: asked once;
    `worse`: told as something new or more, so that it is asked again.
    `unread` are the words that the reading did not use, '' if none; `unreadable`: a language that cannot be read, of
    which only bare digits were taken. `weight_g` is a weight told as used today.
    """

    pain: int | None = None
    sets: int | None = None
    flag: Flag | None = None
    wish: Wish | None = None
    unclear: tuple[tuple[Question, Unclear], ...] = ()
    urgency: Urgency | None = None
    circumstance: Circumstance | None = None
    maybe: Flag | None = None
    complaint: bool = False
    worse: bool = False
    unread: str = ""
    unreadable: bool = False
    weight_g: int | None = None
    worse_on_waking: bool = False
    too_heavy: bool = False
    sets_above: int = 0  # beside `sets`, which are then all that were prescribed
