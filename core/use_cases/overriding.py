"""What a therapist does about one patient: each act is theirs to do, has a reason, and is in the trail."""

import datetime as dt
from dataclasses import replace

from core.errors import RefusalError
from core.model import Decision
from core.records import Course, Facts, Person, Staff, StoredDecision
from core.rule.course import is_stopped
from core.rule.override import QUIET, Act, Override, act_of
from core.timetable import ONE_DAY, local_date
from core.use_cases.answering import still_to_ask
from core.use_cases.coming_back import clear
from core.use_cases.deciding import all_stopped, decide_from, decide_without, dose_for, effective, first_name
from core.use_cases.entries import Entry
from core.use_cases.gathering import decision_facts, dose_facts, side_facts
from core.use_cases.leaving import BULK_KINDS
from core.use_cases.noticing import tell_person
from core.use_cases.planning import change_evening, plan_after_act, plan_after_change
from core.use_cases.rights import LONGEST_TEXT, audit, check, course_for, trimmed
from core.use_cases.staffing import is_written_to
from core.use_cases.work import Work, emergency

UNDOABLE = frozenset({"override", "clear"})


def act(work: Work, staff: Staff, person: Person, what: Override, reason: str, side: str = "") -> StoredDecision:
    """Move, pin, change a gate, stop or let go on, from the next dose that was not given out yet.

    Later evenings follow from it. `side`: of which course, where the person has two.

    Raises RightsError, RefusalError (no course, no reason), or OverrideError for what cannot be done now; each leaves
    everything as it was.
    """
    check(work, staff, person, what.act.value)
    return _do(work, staff, person, what, trimmed(reason), side)


def _do(work: Work, staff: Staff, person: Person, what: Override, reason: str, side: str) -> StoredDecision:
    course = course_for(work, person, side)
    date = max(effective(work, person, course), course.episode.started - ONE_DAY)
    decide_from(work, person, course, Entry(date, "override", act=what, by=staff.id, note=reason))
    stored = work.uow.decisions.latest(course.id)
    assert stored  # it was stored a moment ago
    audit(work, staff, what.act.value, person, _which(work, course, reason))
    person, course = _again(work, person, course)
    if what.act is Act.STOP:
        _stop_asking(work, person, course)
    if what.act in (Act.STOP, Act.GO_ON):
        person = plan_after_act(work, person)
    if what.act not in QUIET:
        facts = what_now(work, person, course, stored) | {"act": what.act.value, "therapist": staff.name}
        _tell(work, person, "override.told", facts)
    return stored


def _which(work: Work, course: Course, reason: str) -> str:
    """The reason for the trail, after the side where the person has two."""
    return f"{course.side}: {reason}" if len(work.uow.diary.courses_of(course.person_id)) > 1 else reason


def _stop_asking(work: Work, person: Person, course: Course) -> None:
    if all_stopped(work, person):
        work.uow.outbox.cancel(person.id, BULK_KINDS)
    latest = work.uow.diary.latest_check_in(course.id)
    if latest and latest.remind_at:
        work.uow.diary.save_check_in(replace(latest, remind_at=still_to_ask(latest)))


def undo(work: Work, staff: Staff, person: Person, decision_id: str) -> Decision | None:
    """Take back an act of this day, and decide what came after it once more; the last of those is returned.

    `decision_id` may be the one it had before a corrected answer made it again. RefusalError for what is not an act,
    was taken back before, or was done on an earlier local day of the patient's.
    """
    check(work, staff, person, "undo")
    found = ((each, _live(work, each, decision_id)) for each in work.uow.diary.courses_of(person.id))
    course, undone = next((each for each in found if each[1]), (None, None))
    if course is None or undone is None:
        raise RefusalError(f"decision {decision_id} is no act that still stands", "nothing_to_undo")
    if local_date(undone.made_at, person.zone) != local_date(work.now, person.zone):
        raise RefusalError(f"decision {decision_id} is not of today, so it stays; do the opposite", "undo_too_late")
    was_stopped = is_stopped(course.episode)
    decision = decide_without(work, person, course, undone)
    for other, cleared in _cleared_with(work, person, undone):
        decide_without(work, work.uow.people.get(person.id) or person, other, cleared)
    audit(work, staff, "undo", person, undone.kind)
    person, course = _again(work, person, course)
    if was_stopped and not is_stopped(course.episode):
        person = plan_after_change(work, person)
    _tell_undone(work, staff, person, course, undone)
    return decision


def _cleared_with(work: Work, person: Person, undone: StoredDecision) -> list[tuple[Course, StoredDecision]]:
    """What the same look at a danger let go on of the other side."""
    if undone.kind != "clear":
        return []
    return [
        (course, each)
        for course in work.uow.diary.courses_of(person.id)
        for each in work.uow.decisions.of(course.id, since=undone.date)
        if course.id != undone.course_id and (each.kind, each.made_at) == ("clear", undone.made_at)
    ]


def _live(work: Work, course: Course, decision_id: str) -> StoredDecision | None:
    name = first_name(decision_id)
    acts = (each for each in work.uow.decisions.of(course.id) if each.kind in UNDOABLE and each.by)
    return next((each for each in acts if first_name(each.id) == name), None)


def _tell_undone(work: Work, staff: Staff, person: Person, course: Course, undone: StoredDecision) -> None:
    work.uow.outbox.cancel(person.id, ("override.told", "danger.cleared"))
    done = act_of(undone.decision)
    if done and done.act in QUIET:
        return
    flag = course.episode.paused_for
    if flag:
        still = {"flag": flag.value, "emergency": emergency(work)}
        _tell(work, person, "danger.still", still)
    else:
        facts = what_now(work, person, course) | {"therapist": staff.name}
        _tell(work, person, "override.undone", facts)


def set_evening(work: Work, staff: Staff, person: Person, time: dt.time, reason: str) -> Person:
    """Ask the person at another hour from the next question on; they are told."""
    check(work, staff, person, "evening")
    reason = trimmed(reason)
    moved = change_evening(work, person, time)
    audit(work, staff, "evening", person, f"{time:%H:%M}: {reason}")
    _tell(work, moved, "override.evening", {"evening": time, "therapist": staff.name})
    return moved


def ask_morning(work: Work, staff: Staff, person: Person, reason: str) -> Person:
    """Ask the person each evening whether waking was worse than before the sets; the same again ends it."""
    check(work, staff, person, "morning")
    changed = replace(person, ask_morning=not person.ask_morning)
    work.uow.people.save(changed)
    audit(work, staff, "morning", person, trimmed(reason))
    return changed


def ask_every_second(work: Work, staff: Staff, person: Person, reason: str) -> Person:
    """Let evenings pass without a question once the course only keeps what was gained; the same again ends it."""
    check(work, staff, person, "second")
    changed = replace(person, every_second=not person.every_second)
    work.uow.people.save(changed)
    audit(work, staff, "second", person, trimmed(reason))
    kind = "override.second.on" if changed.every_second else "override.second.off"
    _tell(work, changed, kind, {"therapist": staff.name})
    return changed


def clear_stop(work: Work, staff: Staff, person: Person, reason: str) -> Decision | None:
    """Lift a stop for danger, or let a screened-out person go on; RefusalError when nothing is stopped."""
    check(work, staff, person, "clear")
    reason = trimmed(reason)
    decision = clear(work, person, reason, by=staff.id)
    audit(work, staff, "clear", person, reason)
    return decision


def write_to(work: Work, staff: Staff, person: Person, text: str) -> None:
    """Let the bot deliver the therapist's own words; RefusalError when nobody would read them."""
    check(work, staff, person, "write")
    text = trimmed(text, LONGEST_TEXT)
    if not is_written_to(person):
        raise RefusalError(f"person {person.id} is {person.status.value} and gets no messages", "not_written_to")
    audit(work, staff, "write", person)
    tell_person(work, person, "therapist.wrote", {"therapist": staff.name, "words": text})


def change_start(
    work: Work, staff: Staff, person: Person, step: int, reason: str, side: str = ""
) -> StoredDecision:
    """Begin on another step; RefusalError once an evening was asked about or answered."""
    check(work, staff, person, "start")
    course = course_for(work, person, side)
    if work.uow.diary.latest_check_in(course.id):
        raise RefusalError(f"person {person.id} has begun already; move them to the step instead", "has_begun")
    return _do(work, staff, person, Override(Act.TO, step), trimmed(reason), side)


def _again(work: Work, person: Person, course: Course) -> tuple[Person, Course]:
    return work.uow.people.get(person.id) or person, work.uow.diary.course(course.id) or course


def what_now(work: Work, person: Person, course: Course, stored: StoredDecision | None = None) -> dict[str, object]:
    """What the person has to do now, and from which day on; the dose is None while they are stopped."""
    programme = work.programme_of(course)
    today = local_date(work.now, person.zone)
    day = max(stored.decision.for_date if stored else today, course.episode.started)
    stopped = is_stopped(course.episode)
    dose = None if stopped else dose_facts(programme, dose_for(work, course, day))
    facts: dict[str, object] = {"dose": dose, "date": day, "today": today}
    if stored:
        facts["decided"] = decision_facts(programme, stored.decision, stored.before)
    return facts | side_facts(work, course)


def _tell(work: Work, person: Person, kind: str, facts: Facts) -> None:
    if is_written_to(person):
        tell_person(work, person, kind, facts)
