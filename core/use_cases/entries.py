"""What is decided, one after the other: an evening, what is told beside, a return, a stop cleared, acts of staff."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from core.errors import HoldlowerError
from core.model import Decision, Episode, Evening, Flag, ReasonCode
from core.programme import Programme
from core.records import StoredDecision
from core.rule import (
    answer_weight,
    clear_danger,
    decide,
    deny_signs,
    report_danger,
    report_injection,
    report_weight,
    resume,
)
from core.rule.override import Override, act_of, override, replay
from core.rule.reported import FELT_CODES
from core.understanding import Felt

LOOK_BACK = dt.timedelta(days=42)  # the rule reads no further


@dataclass(frozen=True, slots=True)
class Entry:
    """One decision to be made (again), in the order in which things happened.

    `by` and `note`: which member of staff made it, and why.
    """

    date: dt.date
    kind: str = "evening"
    days: int = 0  # away, for a return
    flag: Flag | None = None  # for danger that was told after the evening was cleared
    act: Override | None = None
    felt: Felt | None = None  # how the weight of that evening was
    grams: int = 0  # or which one was used
    by: str = ""
    note: str = ""


def entry_of(stored: StoredDecision) -> Entry:
    """What was decided there, ready to be decided again."""
    by, note = stored.by, stored.note
    if stored.kind == "danger":
        return Entry(stored.date, "danger", flag=stored.decision.flag)
    if stored.kind == "override":
        return Entry(stored.date, "override", act=act_of(stored.decision), by=by, note=note)
    if stored.kind == "weight":
        return _weight_entry(stored)
    return Entry(stored.date, stored.kind, days_away(stored), by=by, note=note)


def _weight_entry(stored: StoredDecision) -> Entry:
    first = stored.decision.reasons[0]
    numbers = dict(first.numbers)
    if first.code is ReasonCode.WEIGHT_USED:
        return Entry(stored.date, "weight", grams=int(numbers["load"]))
    return Entry(stored.date, "weight", felt=next(each for each in Felt if FELT_CODES[each] == numbers["felt"]))


def days_away(stored: StoredDecision) -> int:
    """The days a stored return counted; 0 for one that a stop for danger took out of the reckoning."""
    return days_counted(stored.decision) if stored.kind == "resume" else 0


def days_counted(decision: Decision) -> int:
    """The days away that a return counted."""
    counted = (dict(each.numbers) for each in decision.reasons if each.code == ReasonCode.RESUMED)
    return int(next(counted, {}).get("days", 0))


def decide_entry(
    programme: Programme, episode: Episode, diary: Sequence[Evening], entry: Entry, *, again: bool
) -> Decision:
    """The decision of an entry that finds the course in `episode`; `again` when it was made before.

    Raises OverrideError for an act of the therapist that cannot be done; one that was done before stays done.
    """
    if entry.kind == "override":
        if entry.act is None:
            raise HoldlowerError(f"override of {entry.date}: no act; expected one of core.rule.override.Act")
        # what it cannot do any more changes nothing
        return (replay if again else override)(programme, episode, entry.date, entry.act)
    if entry.kind in ("evening", "no_signs", "weight"):
        return _decide_evening(programme, episode, diary, entry)
    return _decide_between(programme, episode, entry)


def _decide_evening(programme: Programme, episode: Episode, diary: Sequence[Evening], entry: Entry) -> Decision:
    """An evening, and what is told of it afterwards."""
    if entry.kind == "no_signs":
        return deny_signs(programme, episode, diary, entry.date)
    if entry.kind == "evening":
        return decide(programme, episode, diary, entry.date)
    if entry.felt is None:
        return report_weight(programme, episode, diary, entry.date, entry.grams)
    return answer_weight(programme, episode, diary, entry.date, entry.felt)


def _decide_between(programme: Programme, episode: Episode, entry: Entry) -> Decision:
    """What happens beside the evenings."""
    if entry.kind == "resume":
        return resume(programme, episode, entry.date, entry.days)
    if entry.kind == "clear":
        return clear_danger(programme, episode, entry.date)
    if entry.kind == "injection":
        return report_injection(programme, episode, entry.date)
    if entry.kind == "danger" and entry.flag is not None:
        return report_danger(programme, episode, entry.date, entry.flag)
    raise HoldlowerError(f"{entry.kind} of {entry.date}: expected a kind that is known, and with danger its sign")
