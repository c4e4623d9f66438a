"""Counting a person through a set: begun by them, told on by the clock, counted once, stopped at a word.

What is shown is worked out from when the set began, so that whoever looks next, in whichever process, goes on where the
last one was.
"""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import takewhile

from core.facts import SetFacts
from core.guided import Cue, PhaseKind, cue_now, next_cue, of_set, plan_of
from core.model import Dose
from core.records import CheckIn, Course, GuidedSet, GuidedState, Person, Priority
from core.rule import dose_on
from core.rule.course import is_stopped
from core.timetable import evening_of
from core.use_cases.answering import Said, record
from core.use_cases.deciding import dose_for
from core.use_cases.gathering import dose_facts, side_facts
from core.use_cases.work import Recipient, Work, queue

# All judgement.
CUT_AFTER = dt.timedelta(seconds=10)  # nobody knows what was done while nothing was counted for so long
ARRIVES_WITHIN = dt.timedelta(seconds=60)
LOOK_AGAIN = dt.timedelta(seconds=0.5)


class NoSet(StrEnum):
    """Why no set can be begun."""

    RUNNING = "running"  # another one is
    ALL_DONE = "all_done"
    REST_DAY = "rest_day"
    NOT_GUIDED = "not_guided"  # the programme has no times for it


@dataclass(frozen=True, slots=True)
class Shown:
    """What the set's message shall say now; `moved` where something new is to be done, else only the count went on."""

    guided: GuidedSet
    person: Person
    facts: Mapping[str, object]
    moved: bool


def dose_today(work: Work, course: Course, date: dt.date) -> Dose:
    """What that date asks, also after its evening was decided."""
    decided = work.uow.decisions.on(course.id, date)
    if decided is None:
        return dose_for(work, course, date)
    earlier = work.uow.decisions.of(course.id, since=date - dt.timedelta(days=1))
    told = next((each.decision.dose for each in earlier if each.decision.for_date == date), None)
    return told or dose_on(work.programme_of(course), decided.before, date)


def start_set(work: Work, person: Person, course: Course, exercise: str = "") -> GuidedSet | NoSet:
    """Begin the next set of today that is not counted, of that exercise where one is named."""
    programme = work.programme_of(course)
    today = evening_of(work.now, person.zone)
    dose = dose_today(work, course, today)
    if work.uow.sets.open_of(person.id):
        return NoSet.RUNNING
    if programme.guiding is None:
        return NoSet.NOT_GUIDED
    if not dose.asked:
        return NoSet.REST_DAY
    number = next(_left(work, course, today, dose, exercise), 0)
    alone = bool(side_facts(work, course))
    one, plan = of_set(dose, number), plan_of(dose, number, course.side, programme.guiding, alone=alone)
    if one is None or plan is None:
        return NoSet.ALL_DONE
    guided = GuidedSet(
        work.new_id(), person.clinic_id, person.id, course.id, today, number, dose.asked, one.key, plan,
        GuidedState.STARTING, work.now, next_at=work.now,
    )  # fmt: skip
    _show_before(work, person, course, dose, guided)
    work.uow.sets.save(guided)
    say(work, person, "guided.run", run_key(guided), shown_facts(work, course, guided, cue_now(plan, 0)), now_or=True)
    return guided


def _show_before(work: Work, person: Person, course: Course, dose: Dose, guided: GuidedSet) -> None:
    """How the exercise looks, before its very first set; its tones, before the first of a day."""
    programme = work.programme_of(course)
    first_ever = not work.uow.sets.ever_begun(course.id, guided.exercise)
    if first_ever and any(each.key == guided.exercise for each in programme.pictures):
        facts = {"dose": dose_facts(programme, dose, how=True), "exercise": guided.exercise, "side": course.side}
        say(work, person, "guided.look", f"guided.look:{guided.id}", facts | {"moving": True}, now_or=True)
    if all(each.exercise != guided.exercise for each in work.uow.sets.on(course.id, guided.date)):
        one_arm = takewhile(lambda each: each.act not in (PhaseKind.CHANGE, PhaseKind.REST), guided.plan.phases)
        acts = [[each.act.value, each.seconds] for each in one_arm]
        facts = {"acts": acts, "alone": bool(side_facts(work, course))}
        say(work, person, "guided.clip", f"guided.clip:{guided.id}", facts, now_or=True)


def _left(work: Work, course: Course, date: dt.date, dose: Dose, exercise: str) -> Iterator[int]:
    """The numbers of the sets still to be done, those of the named exercise first and alone."""
    counted = {each.number for each in work.uow.sets.on(course.id, date) if each.counted}
    check_in = work.uow.diary.check_in_on(course.id, date)
    told = (check_in.sets_done or 0) if check_in else 0
    if max(told, len(counted)) >= dose.asked:
        return
    keys = [each.key for each in dose.exercises for _ in range(each.sets)]
    yield from (n for n, key in enumerate(keys, 1) if n not in counted and exercise in ("", key))


def run_key(guided: GuidedSet) -> str:
    """The key of the message in which it is counted."""
    return f"guided:{guided.id}"


def go_on(work: Work, set_id: str) -> Shown | None:
    """Do what is due of a set: begin it, count it, end it; what is to be shown, None for nothing new."""
    guided = work.uow.sets.get(set_id)
    person = work.uow.people.get(guided.person_id) if guided else None
    course = work.uow.diary.course(guided.course_id) if guided else None
    if guided is None or person is None or course is None or guided.next_at is None:
        return None
    if guided.state is GuidedState.STARTING:
        return _arrived(work, guided)
    if guided.state in (GuidedState.RUNNING, GuidedState.RESTING):
        return _count_on(work, person, course, guided, guided.next_at)
    return _close(work, person, course, guided)


def _arrived(work: Work, guided: GuidedSet) -> Shown | None:
    """The count begins when its message has arrived; one that does not arrive in time is nobody's set."""
    message_id = work.uow.outbox.arrived_as(run_key(guided))
    if message_id is None and work.now < guided.made_at + ARRIVES_WITHIN:
        work.uow.sets.save(replace(guided, next_at=work.now + LOOK_AGAIN))
        return None
    if message_id is None:
        work.uow.sets.save(replace(guided, state=GuidedState.LOST, next_at=None))
        return None
    begun = replace(guided, state=GuidedState.RUNNING, began_at=work.now, message_id=message_id)
    following = next_cue(guided.plan, 0)
    work.uow.sets.save(replace(begun, next_at=_moment(begun, following.at if following else guided.plan.work_s)))
    return None  # the message says it already


def _count_on(work: Work, person: Person, course: Course, guided: GuidedSet, due: dt.datetime) -> Shown | None:
    running, second = guided.state is GuidedState.RUNNING, (work.now - (guided.began_at or work.now)).total_seconds()
    if running and is_stopped(course.episode):
        return _close(work, person, course, replace(guided, state=GuidedState.STOPPED))
    if running and work.now - due > CUT_AFTER:
        say(work, person, "guided.cut", f"guided.cut:{guided.id}", set_facts(work, course, guided))
        return _close(work, person, course, replace(guided, state=GuidedState.CUT))
    if running and second >= guided.plan.work_s:
        guided = count(work, person, course, replace(guided, state=GuidedState.RESTING))
    if second >= guided.plan.total_s:
        facts = set_facts(work, course, guided) | sets_today(work, course, guided.date)
        say(work, person, "guided.done", f"guided.done:{guided.id}", facts)
        return _close(work, person, course, replace(guided, state=GuidedState.DONE))
    following = next_cue(guided.plan, second)
    work.uow.sets.save(replace(guided, next_at=_moment(guided, following.at if following else guided.plan.total_s)))
    now = cue_now(guided.plan, second)
    facts = shown_facts(work, course, guided, now)
    return Shown(guided, person, facts, bool(now and guided.plan.phases[now.phase].seconds == now.left))


def _moment(guided: GuidedSet, second: int) -> dt.datetime | None:
    return guided.began_at + dt.timedelta(seconds=second) if guided.began_at else None


def _close(work: Work, person: Person, course: Course, guided: GuidedSet) -> Shown:
    """It is over: its message says so, once."""
    over = replace(guided, next_at=None)
    work.uow.sets.save(over)
    return Shown(over, person, shown_facts(work, course, over, None), True)


def stop_set(work: Work, guided: GuidedSet) -> GuidedSet:
    """Stop it where it stands; a rest is only cut short. What was not finished is not counted."""
    state = GuidedState.DONE if guided.state is GuidedState.RESTING else GuidedState.STOPPED
    stopped = replace(guided, state=state, next_at=work.now)
    work.uow.sets.save(stopped)
    return stopped


def lost_sight(work: Work, set_id: str) -> None:
    """Its message can be changed no more, deleted perhaps: who is still at work is asked what became of the set."""
    guided = work.uow.sets.get(set_id)
    person = work.uow.people.get(guided.person_id, lock=True) if guided else None
    course = work.uow.diary.course(guided.course_id) if guided else None
    if guided and person and course and guided.state is GuidedState.RUNNING:
        work.uow.sets.save(replace(guided, state=GuidedState.CUT, next_at=None))
        say(work, person, "guided.cut", f"guided.cut:{guided.id}", set_facts(work, course, guided))


def count(work: Work, person: Person, course: Course, guided: GuidedSet) -> GuidedSet:
    """It stands for a set done; counted a second time, or beside another one of its number, it changes nothing."""
    others = [each for each in work.uow.sets.on(course.id, guided.date) if each.counted]
    if any(each.number == guided.number for each in others):
        return guided
    counted = replace(guided, counted=True)
    work.uow.sets.save(counted)
    if check_in := work.uow.diary.check_in_on(course.id, guided.date):
        done = min(max(check_in.sets_done or 0, len(others) + 1), check_in.sets_asked)
        _note(work, person, course, check_in, done, len(others) + 1)
    return counted


def take_back(work: Work, person: Person, course: Course, guided: GuidedSet) -> None:
    """It was not a set after all."""
    if not guided.counted:
        return
    work.uow.sets.save(replace(guided, counted=False))
    if check_in := work.uow.diary.check_in_on(course.id, guided.date):
        done = max((check_in.sets_done or 0) - 1, 0)
        _note(work, person, course, check_in, done, max(check_in.sets_guided - 1, 0))


def _note(work: Work, person: Person, course: Course, check_in: CheckIn, done: int, guided: int) -> None:
    """The evening's own number of sets; one that was decided is decided again where that changes it."""
    guided = min(guided, check_in.sets_asked)
    kept = replace(check_in, sets_guided=guided)
    if check_in.close_at is None:
        work.uow.diary.save_check_in(kept)
        record(work, person, course, kept, Said(sets_done=done, source="guided"))
    else:
        work.uow.diary.save_check_in(replace(kept, sets_done=done or None))


def sets_today(work: Work, course: Course, date: dt.date) -> dict[str, object]:
    """How many sets of the date are known to be done, and whether its question waits for the pain."""
    dose = dose_today(work, course, date)
    counted = sum(each.counted for each in work.uow.sets.on(course.id, date))
    check_in = work.uow.diary.check_in_on(course.id, date)
    done = max(counted, (check_in.sets_done or 0) if check_in else 0)
    open_still = check_in is not None and check_in.pain is None and check_in.close_at is not None
    return {"done": min(done, dose.asked), "asked": dose.asked, "pain_open": open_still}


def set_facts(work: Work, course: Course, guided: GuidedSet) -> dict[str, object]:
    """One set, to be worded."""
    programme = work.programme_of(course)
    dose, which = dose_today(work, course, guided.date), side_facts(work, course)
    one = next((each for each in dose.exercises if each.key == guided.exercise), None)
    sore, alone = ("", course.side) if which else (course.side, "")
    words = programme.said("limb", f"exercise.{guided.exercise}")
    return {"told": SetFacts(guided, one, sore, alone, words), **which}


def shown_facts(work: Work, course: Course, guided: GuidedSet, cue: Cue | None) -> dict[str, object]:
    """The same with what is to be done just now; nothing once it is over."""
    return {**set_facts(work, course, guided), "cue": cue}


def say(work: Work, person: Person, kind: str, key: str, facts: Mapping[str, object], *, now_or: bool = False) -> None:
    """Queue a message of a set; with `now_or` it is of no use later."""
    expires_at = work.now + ARRIVES_WITHIN if now_or else None
    queue(work, Recipient.of(person), kind, facts, key=key, priority=Priority.REPLY, expires_at=expires_at)
