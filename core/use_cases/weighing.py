"""The weight of an evening that was decided: how it felt, or which one it was; an entry of the course like others."""

import datetime as dt

from core.model import Decision, Felt
from core.records import CheckIn, Course, Person
from core.use_cases.deciding import decide_from
from core.use_cases.slots import Slot
from core.use_cases.work import Work


def weight_felt(work: Work, person: Person, course: Course, check_in: CheckIn, felt: Felt) -> Decision | None:
    """How the weight was on that evening; None when that is not asked (any more)."""
    if course.episode.weight_asked != check_in.date:
        return None
    return decide_from(work, person, course, Slot(check_in.date, "weight", felt=felt))


def weight_used(work: Work, person: Person, course: Course, date: dt.date, grams: int) -> Decision:
    """The weight that the person says they used on that evening, which was decided before."""
    return decide_from(work, person, course, Slot(date, "weight", grams=grams))
