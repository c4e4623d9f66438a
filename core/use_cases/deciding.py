"""Deciding an evening, and deciding again every later one when an earlier answer changes."""

import datetime as dt
from dataclasses import dataclass, replace

from core.model import Decision, Dose, Episode, Evening, NoticeKind
from core.programme import Programme
from core.records import Course, Notice, Person, StoredDecision
from core.rule import clear_danger, decide, dose_on, resume
from core.use_cases.work import Work

LOOK_BACK = dt.timedelta(days=42)  # the rule reads no further


@dataclass(frozen=True, slots=True)
class Slot:
    """One decision to be made (again), in the order in which things happened."""

    date: dt.date
    kind: str = "evening"
    days: int = 0  # away, for a return


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
    slots = [Slot(each.date, each.kind, _days_away(each)) for each in stored]
    if slot in slots:
        return slots
    earlier = [each for each in slots if each.date <= slot.date]
    return [*earlier, slot, *slots[len(earlier) :]]


def _days_away(stored: StoredDecision) -> int:
    return int(dict(stored.decision.reasons[0].numbers)["days"]) if stored.kind == "resume" else 0


def _apply(programme: Programme, episode: Episode, diary: tuple[Evening, ...], slot: Slot) -> Decision:
    if slot.kind == "resume":
        return resume(programme, episode, slot.date, slot.days)
    if slot.kind == "clear":
        return clear_danger(programme, episode, slot.date)
    return decide(programme, episode, diary, slot.date)


def _notice(work: Work, person: Person, course: Course, decision: Decision) -> None:
    for kind in decision.notices:
        if kind in (NoticeKind.DANGER, NoticeKind.CLINICAL_QUESTION):
            continue  # told at once, with the person's own words, by whoever heard them
        facts = {"date": decision.date.isoformat(), "step": decision.step}
        key = f"{course.id}:{decision.date.isoformat()}:{kind.value}"
        work.uow.add_notice(Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, facts))
