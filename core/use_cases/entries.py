"""What is decided, one after the other: an evening, what is told beside, a return, a stop cleared, acts of staff."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from core.errors import HoldlowerError
from core.model import Decision, Episode, Evening, Flag, ReasonCode
from core.programme import Programme
from core.programme.thresholds import WINDOW_DAYS
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

LOOK_BACK = dt.timedelta(days=WINDOW_DAYS)  # the rule reads no further


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
    date, kind, by, note = stored.date, stored.kind, stored.by, stored.note
    if kind == "danger":
        return Entry(date, kind, flag=stored.decision.flag)
    if kind == "override":
        return Entry(date, kind, act=act_of(stored.decision), by=by, note=note)
    if kind == "weight":
        first = stored.decision.reasons[0]
        numbers = dict(first.numbers)
        if first.code is ReasonCode.WEIGHT_USED:
            return Entry(date, kind, grams=int(numbers["load"]))
        return Entry(date, kind, felt=next(each for each in Felt if FELT_CODES[each] == numbers["felt"]))
    return Entry(date, kind, days_away(stored), by=by, note=note)


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
    date = entry.date
    match entry.kind:
        case "evening":
            return decide(programme, episode, diary, date)
        case "no_signs":
            return deny_signs(programme, episode, diary, date)
        case "weight" if entry.felt is not None:
            return answer_weight(programme, episode, diary, date, entry.felt)
        case "weight":
            return report_weight(programme, episode, diary, date, entry.grams)
        case "resume":
            return resume(programme, episode, date, entry.days)
        case "clear":
            return clear_danger(programme, episode, date)
        case "injection":
            return report_injection(programme, episode, date)
        case "danger" if entry.flag is not None:
            return report_danger(programme, episode, date, entry.flag)
        case "override" if entry.act is not None:
            # what it cannot do any more changes nothing
            return (replay if again else override)(programme, episode, date, entry.act)
    raise HoldlowerError(f"{entry.kind} of {date}: expected a known kind, a sign of danger, an act of staff")
