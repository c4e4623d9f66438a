"""Deciding an evening, and deciding again every later one when an earlier answer changes."""

import datetime as dt
from dataclasses import dataclass, replace

from core.errors import HoldlowerError
from core.model import Decision, Dose, Episode, Evening, Flag, NoticeKind, ReasonCode
from core.programme import Programme
from core.records import Course, Notice, Person, StoredDecision
from core.rule import clear_danger, decide, dose_on, report_danger, resume
from core.use_cases.work import Work

LOOK_BACK = dt.timedelta(days=42)  # the rule reads no further


@dataclass(frozen=True, slots=True)
class Slot:
    """One decision to be made (again), in the order in which things happened."""

    date: dt.date
    kind: str = "evening"
    days: int = 0  # away, for a return
    flag: Flag | None = None  # for danger that was told after the evening was cleared


def dose_for(work: Work, course: Course, date: dt.date) -> Dose:
    """What `date` asks for: what the last decision said of that very date, else the step's plain dose."""
    latest = work.uow.latest_decision(course.id)
    if latest and latest.decision.for_date == date and latest.decision.dose is not None:
        return latest.decision.dose
    return dose_on(work.shelf.get(work.uow, course.programme_version), course.episode, date)


def decide_from(work: Work, person: Person, course: Course, slot: Slot) -> Decision:
    """Decide `slot`, and everything that was decided after it once more; the last decision is returned.

    What is replaced stays in the store as superseded.
    """
    programme = work.shelf.get(work.uow, course.programme_version)
    stored = work.uow.decisions(course.id, since=slot.date)
    slots = _in_order(stored, slot)
    diary = work.uow.diary(course.id, slot.date - LOOK_BACK, max(each.date for each in slots))
    episode = stored[0].before if stored else course.episode
    work.uow.supersede_decisions(course.id, slot.date)
    for each in slots:
        decision = _apply(programme, episode, diary, each)
        work.uow.add_decision(
            StoredDecision(
                work.new_id(), course.clinic_id, course.id, each.date, work.now, episode, decision, kind=each.kind
            )
        )
        _notice(work, person, course, decision)
        episode = decision.after
    work.uow.save_course(replace(course, episode=episode))
    if episode.paused_for and person.next_due:
        work.uow.save_person(replace(person, next_due=None, next_date=None))
    return decision


def _in_order(stored: tuple[StoredDecision, ...], slot: Slot) -> list[Slot]:
    slots = [_slot_of(each) for each in stored]
    if slot.kind == "evening" and slot in slots:
        return slots  # an evening is decided in its place; whatever else happens, happens once more
    earlier = [each for each in slots if each.date <= slot.date]
    return [*earlier, slot, *slots[len(earlier) :]]


def _slot_of(stored: StoredDecision) -> Slot:
    if stored.kind == "danger":
        return Slot(stored.date, "danger", flag=stored.decision.flag)
    return Slot(stored.date, stored.kind, days_away(stored))


def days_away(stored: StoredDecision) -> int:
    """The days a stored return counted; 0 for one that a stop for danger took out of the reckoning."""
    if stored.kind != "resume":
        return 0
    counted = (dict(each.numbers) for each in stored.decision.reasons if each.code == ReasonCode.RESUMED)
    return int(next(counted, {}).get("days", 0))


def _apply(programme: Programme, episode: Episode, diary: tuple[Evening, ...], slot: Slot) -> Decision:
    if slot.kind == "resume":
        return resume(programme, episode, slot.date, slot.days)
    if slot.kind == "clear":
        return clear_danger(programme, episode, slot.date)
    if slot.kind == "danger":
        if slot.flag is None:
            raise HoldlowerError(f"danger told on {slot.date}: the sign is missing; expected one of the danger flags")
        return report_danger(programme, episode, slot.date, slot.flag)
    return decide(programme, episode, diary, slot.date)


def _notice(work: Work, person: Person, course: Course, decision: Decision) -> None:
    for kind in decision.notices:
        if kind in (NoticeKind.DANGER, NoticeKind.CLINICAL_QUESTION):
            continue  # told at once, with the person's own words, by whoever heard them
        facts = {"date": decision.date.isoformat(), "step": decision.step}
        key = f"{course.id}:{decision.date.isoformat()}:{kind.value}"
        work.uow.add_notice(Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, facts))
