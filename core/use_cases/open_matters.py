"""What nothing has been done about yet: one answer for the list, the page, the notices and the digest."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from core.digest.attention import NOTICED, URGENCY, Attention, Urgency
from core.model import NoticeKind
from core.ports import UnitOfWork
from core.records import Audit, Notice, Person, Status
from core.rule.override import Act
from core.timetable import ONE_WEEK, end_of_day
from core.use_cases.rights import REFUSED
from core.use_cases.work import Work

KEPT = 4 * ONE_WEEK  # judgement: what asks for an act stays open longer than what is good to see once
DEALT_WITH = "dealt_with"  # the trail's word for what a therapist says is settled
# What was done about a person answers the notices before it; looking does not, nor keeping a score, nor handing over.
LOOKING = frozenset({
    "page", "decisions", "export", "ask", "hand_over", "outcome", "letter", "summary", "sheet", REFUSED,
})  # fmt: skip
ACTS = frozenset(act.value for act in Act)
# states that a notice told of: they go on, but once something was done about them they are no longer to be done
STATES = {
    NoticeKind.SILENT: Attention.SILENT,
    NoticeKind.UNREACHABLE: Attention.UNREACHABLE,
    NoticeKind.LEFT: Attention.LEFT,
}
NO_LOOK = frozenset({REFUSED, "export"})  # an export is of everybody at once
UNSEEN_FOR = 4 * ONE_WEEK  # judgement
NEVER = dt.datetime.min.replace(tzinfo=dt.UTC)


@dataclass(frozen=True, slots=True)
class OpenMatters:
    """Notices that are still open, the newest first, and the states about which something was done since.

    `looked`: when anybody on the staff last opened the page or did something about the person, later than the week
    that is told included: what is done is not to be done, whenever it is read.
    """

    notices: tuple[Notice, ...]
    settled: tuple[Attention, ...]
    looked: dt.datetime | None

    def kinds(self, side: str) -> tuple[NoticeKind, ...]:
        """Of what is about the person, or about that side alone."""
        return tuple(dict.fromkeys(each.kind for each in self.notices if each.facts.get("side", side) == side))


def open_matters(uow: UnitOfWork, person: Person, until: dt.datetime, now: dt.datetime | None = None) -> OpenMatters:
    """What was told up to `until` and is open now.

    With `now`, a clock that was ahead hides nothing: what it stamped later was told, and answers nothing that is new.
    """
    acts = [each for each in uow.audit.latest(person.id, limit=50) if now is None or each.at <= now]
    done = acted(acts) or NEVER
    told = [
        each for each in uow.notices.about(person.id)
        if (each.at <= until or (now is not None and each.at > now)) and each.kind != NoticeKind.CLEARED
    ]  # fmt: skip
    latest = {kind: next((each.at for each in told if each.kind is kind), None) for kind in STATES}
    return OpenMatters(
        tuple(each for each in told if each.at > done and each.at >= until - _kept(each.kind)),
        tuple(STATES[kind] for kind, at in latest.items() if at and at <= done),
        next((each.at for each in acts if each.action not in NO_LOOK), None),
    )


def unseen(person: Person, matters: OpenMatters, started: dt.date, until: dt.datetime) -> bool:
    """Whether nobody on the staff has looked for four weeks at somebody whose course goes on."""
    since = max(matters.looked or NEVER, end_of_day(started, person.zone))
    return person.status in (Status.ACTIVE, Status.UNREACHABLE) and until - since >= UNSEEN_FOR


def open_notices(work: Work, person: Person) -> list[Notice]:
    """Notices that nothing has been done about since, the newest first."""
    return list(open_matters(work.uow, person, work.now, work.now).notices)


def acted(newest_first: Sequence[Audit]) -> dt.datetime | None:
    """When something was last done about a person that still stands: an act taken back answers no notice."""
    taken_back = 0
    for each in newest_first:
        if each.action == "undo":
            taken_back += 1
        elif taken_back and each.action in ACTS:
            taken_back -= 1
        elif each.action not in LOOKING:
            return each.at
    return None


def _kept(kind: NoticeKind) -> dt.timedelta:
    code = NOTICED.get(kind)
    return ONE_WEEK if code and URGENCY[code] is not Urgency.ACT else KEPT
