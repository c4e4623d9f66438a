"""What an act of staff for one patient is, and those beside the course: the hour, words, notes, scores, the end."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bot.conversation.staff.own_settings import WEEKDAYS
from bot.conversation.typed import read_time
from core.errors import RefusalError
from core.records import Course, Person, Staff, Status
from core.scores.prtee import read_prtee
from core.timetable import local_date
from core.use_cases.enrolling import add_side, course_to_end, end_side, side_to_add
from core.use_cases.gathering import side_of
from core.use_cases.overriding import ask_every_second, ask_morning, set_evening, write_to
from core.use_cases.paper import on_sheet, type_in
from core.use_cases.patient_file import MOST_DAYS, add_note, add_task, record_outcome
from core.use_cases.rights import at_work, course_for
from core.use_cases.staffing import discharge, hand_over, is_written_to
from core.use_cases.work import Work
from core.weeks import WEEK_DAYS

HOUR_BACK = "@"  # begins what stands in the button that puts an hour back
SATURDAY = 5
RATINGS = tuple(map(str, range(11)))
HOURS = ("1800", "1900", "2000", "2100")

Facts = dict[str, Any]


@dataclass(frozen=True, slots=True)
class StaffAct:
    """One act under way: `arg` is what was chosen (a step, a date, an hour), `typed` what was written for it."""

    work: Work
    staff: Staff
    person: Person
    words: Callable[[str, str], frozenset[str]]  # (key, language) -> what may be typed for it
    arg: str = ""
    typed: str = ""
    side: str = ""  # of which course, where the person has two

    def course(self) -> Course:
        """The person's course; RefusalError when there is none."""
        return course_for(self.work, self.person, self.side)


@dataclass(frozen=True, slots=True)
class ActKind:
    """One kind of act.

    `check` tells what will happen and raises RefusalError for what cannot; it is asked again before every step. `do`
    carries it out and returns how it can be taken back: "" or what stands in the undo button. `choices` are offered
    where something has to be chosen, and `read` makes a choice of typed words ("" when it is none).
    """

    check: Callable[[StaffAct], Facts]
    do: Callable[[StaffAct], str]
    typed: str = "reason"  # "reason", "message", "note", "score", "diary", or "" for nothing
    choices: Callable[[StaffAct], list[Any]] | None = None
    read: Callable[[StaffAct, str], str] = lambda act, words: ""


def _for_good(do: Callable[[StaffAct], object]) -> Callable[[StaffAct], str]:
    """What cannot be taken back."""

    def done(act: StaffAct) -> str:
        do(act)
        return ""

    return done


def _with_words(use_case: Callable[[Work, Staff, Person, str], object]) -> Callable[[StaffAct], str]:
    """What needs but the words that were typed for it."""
    return _for_good(lambda act: use_case(act.work, act.staff, act.person, act.typed))


def _check_status(act: StaffAct, *none_of: Status) -> Facts:
    if act.person.status in (none_of or (Status.UNCONFIRMED, Status.DISCHARGED)):
        raise RefusalError(f"person {act.person.id} is {act.person.status.value}", "not_a_patient")
    return {}


def _check_evening(act: StaffAct) -> Facts:
    facts = _check_status(act) | {"before": act.person.evening}
    return facts | ({"after": dt.time.fromisoformat(_read_hour(act, act.arg))} if act.arg else {})


def _read_hour(_: StaffAct, words: str) -> str:
    """The hour as HH:MM; "" for none, or one at which nobody is asked."""
    time = read_time(f"{words[:2]}:{words[2:]}" if words.isdecimal() and len(words) == len(HOURS[0]) else words)
    return time.isoformat("minutes") if time else ""


def _change_evening(act: StaffAct) -> str:
    before = act.person.evening
    set_evening(act.work, act.staff, act.person, dt.time.fromisoformat(_read_hour(act, act.arg)), act.typed)
    return f"{HOUR_BACK}{before:%H%M}-{local_date(act.work.now, act.person.zone).toordinal()}"


def put_back_evening(act: StaffAct, written: str, reason: str) -> None:
    """Undo a change of the hour; RefusalError on another day than its own."""
    hour, _, day = written.partition("-")
    if day != str(local_date(act.work.now, act.person.zone).toordinal()) or not hour.isdecimal():
        raise RefusalError("an hour can be put back on the day of its change only", "undo_too_late")
    set_evening(act.work, act.staff, act.person, dt.time(int(hour[:2]), int(hour[2:])), reason)


def _check_written_to(act: StaffAct) -> Facts:
    if not is_written_to(act.person):
        raise RefusalError(f"person {act.person.id} is {act.person.status.value}: not written to", "not_written_to")
    return {"therapist": act.staff.name}


def _check_score(act: StaffAct) -> Facts:
    course = act.course()
    if not act.typed:
        return {}
    score = read_prtee(act.typed)
    days = (local_date(act.work.now, act.person.zone) - course.episode.started).days
    facts: Facts = {
        "week": max(round(days / WEEK_DAYS), 0),
        "total": score.total,
        "pain": score.pain,
        "function": score.function,
        "answered": score.answered,
    }
    outcomes = act.work.uow.people.outcomes(act.person.id)
    earlier = [each for each in outcomes if not act.side or each.course_id == course.id]  # not of the other side
    return facts | ({"since": earlier[0].week, "first": earlier[0].total} if earlier else {})


def _check_diary(act: StaffAct) -> Facts:
    act.course()
    evenings = on_sheet(act.work, act.person, act.typed, act.side) if act.typed else ()
    as_known = [(each, each.known) for each in evenings]
    return {
        "evenings": [
            (each.date, known.pain, known.sets_done, True) if known else (each.date, each.pain, each.sets, False)
            for each, known in as_known
        ]
    }


def _colleagues(act: StaffAct) -> list[list[str]]:
    staff = act.work.uow.staff.all()
    others = [each for each in staff if each.therapist and at_work(each) and each.id != act.person.therapist_id]
    return [[each.id, each.name] for each in others]


def _colleague(act: StaffAct) -> Staff:
    found = act.work.uow.staff.get(act.arg)
    if found is None:
        raise RefusalError(f"no staff {act.arg!r}", "not_at_work")
    return found


def _check_hand_over(act: StaffAct) -> Facts:
    _check_status(act)
    if act.arg:
        return {"colleague": _colleague(act).name, "out_of_sight": not act.staff.lead}
    if not _colleagues(act):
        raise RefusalError("there is no other therapist at work", "no_colleague")
    return {}


def _check_task(act: StaffAct) -> Facts:
    facts = _check_status(act, Status.DISCHARGED)
    return facts | ({"due": dt.date.fromisoformat(act.arg)} if act.arg else {})


def _task_days(act: StaffAct) -> list[str]:
    """The next five days from Monday to Friday, tomorrow the first."""
    today = local_date(act.work.now, act.staff.zone)
    ahead = (today + dt.timedelta(days=days) for days in range(1, 8))
    return [day.isoformat() for day in ahead if day.weekday() < SATURDAY]


def _read_task_day(act: StaffAct, words: str) -> str:
    """A weekday, "by Thursday", a number of days, or a date; "" for another."""
    today, word = local_date(act.work.now, act.staff.zone), words.removeprefix("by ").partition(" ")[0].strip(",.")
    for number, key in enumerate(f"words.{name}" for name in WEEKDAYS):
        if word in act.words(key, act.staff.language):
            return (today + dt.timedelta(days=(number - today.weekday()) % 7 or 7)).isoformat()
    if word.isdecimal() and len(word) <= len(str(MOST_DAYS)):
        return (today + dt.timedelta(days=min(int(word), MOST_DAYS))).isoformat()
    try:
        return dt.date.fromisoformat(word).isoformat()
    except ValueError:
        return ""


def _check_end_side(act: StaffAct) -> Facts:
    course_to_end(act.work, act.person, act.side)
    return {}


PERSON_ACTS: dict[str, ActKind] = {
    "add_side": ActKind(
        check=lambda act: {"side": side_of(act.work.programmes.current, side_to_add(act.work, act.person))},
        do=_for_good(lambda act: add_side(act.work, act.staff, act.person, int(act.arg), act.typed)),
        choices=lambda act: list(RATINGS),
        read=lambda act, words: words if words in RATINGS else "",
    ),
    "end_side": ActKind(
        check=_check_end_side,
        do=_for_good(lambda act: end_side(act.work, act.staff, act.person, act.typed, act.side)),
    ),
    "evening": ActKind(
        check=_check_evening, do=_change_evening, choices=lambda act: list(HOURS), read=_read_hour
    ),
    "morning": ActKind(check=lambda act: {"before": act.person.ask_morning}, do=_with_words(ask_morning)),
    "second": ActKind(check=lambda act: {"before": act.person.every_second}, do=_with_words(ask_every_second)),
    "write": ActKind(check=_check_written_to, do=_with_words(write_to), typed="message"),
    "note": ActKind(check=lambda act: {}, do=_with_words(add_note), typed="note"),
    "score": ActKind(
        check=_check_score,
        do=_for_good(
            lambda act: record_outcome(act.work, act.staff, act.person, read_prtee(act.typed), act.side)
        ),
        typed="score",
    ),
    "diary": ActKind(
        check=_check_diary,
        do=_for_good(lambda act: type_in(act.work, act.staff, act.person, act.typed, act.side)),
        typed="diary",
    ),
    "hand_over": ActKind(
        check=_check_hand_over,
        do=_for_good(lambda act: hand_over(act.work, act.staff, act.person, _colleague(act))),
        typed="",
        choices=_colleagues,
    ),
    "task": ActKind(
        check=_check_task,
        do=_for_good(
            lambda act: add_task(act.work, act.staff, act.person, dt.date.fromisoformat(act.arg), act.typed)
        ),
        typed="task",
        choices=_task_days,
        read=_read_task_day,
    ),
    "discharge": ActKind(check=_check_status, do=_with_words(discharge)),
}
