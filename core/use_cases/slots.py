"""What is decided, one after the other: an evening, what is told beside, a return, a stop cleared, acts of staff."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from core.errors import HoldlowerError
from core.model import Decision, Episode, Evening, Flag, ReasonCode
from core.programme import Programme
from core.records import StoredDecision
from core.rule import clear_danger, decide, deny_signs, report_danger, report_injection, resume
from core.rule.override import Override, act_of, override, replay

LOOK_BACK = dt.timedelta(days=42)  # the rule reads no further


@dataclass(frozen=True, slots=True)
class Slot:
    """One decision to be made (again), in the order in which things happened.

    `by` and `note`: which member of staff made it, and why.
    """

    date: dt.date
    kind: str = "evening"
    days: int = 0  # away, for a return
    flag: Flag | None = None  # for danger that was told after the evening was cleared
    act: Override | None = None
    by: str = ""
    note: str = ""


def slot_of(stored: StoredDecision) -> Slot:
    """What was decided there, ready to be decided again."""
    by, note = stored.by, stored.note
    if stored.kind == "danger":
        return Slot(stored.date, "danger", flag=stored.decision.flag)
    if stored.kind == "override":
        return Slot(stored.date, "override", act=act_of(stored.decision), by=by, note=note)
    return Slot(stored.date, stored.kind, days_away(stored), by=by, note=note)


def days_away(stored: StoredDecision) -> int:
    """The days a stored return counted; 0 for one that a stop for danger took out of the reckoning."""
    return days_counted(stored.decision) if stored.kind == "resume" else 0


def days_counted(decision: Decision) -> int:
    """The days away that a return counted."""
    counted = (dict(each.numbers) for each in decision.reasons if each.code == ReasonCode.RESUMED)
    return int(next(counted, {}).get("days", 0))


def decide_slot(
    programme: Programme, episode: Episode, diary: Sequence[Evening], slot: Slot, *, again: bool
) -> Decision:
    """The decision of a slot that finds the course in `episode`; `again` when it was made before.

    Raises OverrideError for an act of the therapist that cannot be done; one that was done before stays done.
    """
    if slot.kind == "resume":
        return resume(programme, episode, slot.date, slot.days)
    if slot.kind == "clear":
        return clear_danger(programme, episode, slot.date)
    if slot.kind == "danger":
        if slot.flag is None:
            raise HoldlowerError(f"danger told on {slot.date}: the sign is missing; expected one of the danger flags")
        return report_danger(programme, episode, slot.date, slot.flag)
    if slot.kind == "injection":
        return report_injection(programme, episode, slot.date)
    if slot.kind == "no_signs":
        return deny_signs(programme, episode, diary, slot.date)
    if slot.kind == "override":
        if slot.act is None:
            raise HoldlowerError(f"override of {slot.date}: the act is missing; expected one of core.rule.override.Act")
        # what it cannot do any more changes nothing
        return (replay if again else override)(programme, episode, slot.date, slot.act)
    return decide(programme, episode, diary, slot.date)
