"""The weight of an evening that was decided: how it felt, or which one it was; an entry of the course like others."""

import datetime as dt

from core.model import Decision, Felt
from core.records import CheckIn, Course, Person
from core.use_cases.deciding import decide_from
from core.use_cases.slots import Slot
from core.use_cases.work import Work

LATE = dt.timedelta(days=2)  # judgement: so long a person knows how the weight was


def weight_asked(work: Work, course: Course) -> CheckIn | None:
    """The latest evening whose weight is asked about and not answered: tonight, or lately; None without one."""
    latest = work.uow.diary.latest_check_in(course.id)
    evenings = work.uow.diary.check_ins(course.id, latest.date - LATE, latest.date) if latest else ()
    return next((each for each in reversed(evenings) if _is_asked(work, course, each)), None)


def _is_asked(work: Work, course: Course, check_in: CheckIn) -> bool:
    decided = work.uow.decisions.on(course.id, check_in.date)
    if decided is None or not decided.decision.ask_weight:
        return False
    after = work.uow.decisions.of(course.id, since=check_in.date)
    return all(each.kind != "weight" or each.date != check_in.date for each in after)


def weight_felt(work: Work, person: Person, course: Course, check_in: CheckIn, felt: Felt) -> Decision | None:
    """How the weight was on that evening, also told a little late: what was decided since is then decided again.

    None when that is not asked (any more).
    """
    asked = weight_asked(work, course)
    if asked is None or asked.id != check_in.id:
        return None
    return decide_from(work, person, course, Slot(check_in.date, "weight", felt=felt))


def weight_used(work: Work, person: Person, course: Course, date: dt.date, grams: int) -> Decision:
    """The weight that the person says they used on that evening, which was decided before."""
    return decide_from(work, person, course, Slot(date, "weight", grams=grams))
