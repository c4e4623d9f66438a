"""What staff may do, the trail of what they did, and what nothing has been done about yet."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from core.digest.attention import NOTICED, URGENCY, Attention, Urgency
from core.errors import RefusalError, RightsError
from core.export.csv_rows import guarded, table
from core.model import NoticeKind
from core.ports import UnitOfWork
from core.records import Audit, Course, Notice, Person, Staff, Status
from core.rule.override import Act
from core.timetable import ONE_WEEK, end_of_day
from core.use_cases.work import Work

LONGEST_REASON = 500  # characters
LONGEST_TEXT = 1000
REFUSED = "refused"  # the trail's word for what somebody tried and may not do
KEPT = 4 * ONE_WEEK  # judgement: what asks for an act stays open longer than what is good to see once
DEALT_WITH = "dealt_with"  # the trail's word for what a therapist says is settled
ACTS = frozenset(act.value for act in Act)
# What was done about a person answers the notices before it. Named one by one, so that a new word of the trail answers
# none: looking does not, nor keeping a score, nor handing over, nor reading on the machine itself.
ANSWERS = ACTS | {
    "clear", "write", "note", "task", "task_done", DEALT_WITH, "diary", "evening", "morning", "second", "add_side",
    "end_side", "discharge", "confirm", "stranger", "start",
}  # fmt: skip
# states that a notice told of: they go on, but once something was done about them they are no longer to be done
STATES = {
    NoticeKind.SILENT: Attention.SILENT,
    NoticeKind.UNREACHABLE: Attention.UNREACHABLE,
    NoticeKind.LEFT: Attention.LEFT,
}
NO_LOOK = frozenset({REFUSED, "export"})  # an export is of everybody at once
UNSEEN_FOR = 4 * ONE_WEEK  # judgement
NEVER = dt.datetime.min.replace(tzinfo=dt.UTC)


def at_work(staff: Staff) -> bool:
    """Whether they were confirmed and have not left."""
    return staff.confirmed and staff.left_at is None


def reachable(staff: Staff) -> bool:
    """Whether they are at work and their chat takes what we send."""
    return at_work(staff) and staff.unreachable_since is None


def may_see(staff: Staff, person: Person) -> bool:
    """Whether the person is theirs, or they lead the clinic."""
    return at_work(staff) and (person.therapist_id == staff.id or staff.lead)


def require(work: Work, staff: Staff, person: Person, action: str, detail: str = "") -> None:
    """Note in the trail that `staff` does `action` with the person; RightsError, noted too, when they may not."""
    check(work, staff, person, action)
    audit(work, staff, action, person, detail)


def check(work: Work, staff: Staff, person: Person, action: str) -> None:
    """RightsError, noted in the trail, when `staff` may not do `action` with the person.

    For acts that can still be refused: those are noted once they are done.
    """
    if not may_see(staff, person):
        audit(work, staff, REFUSED, person, action)
        raise RightsError(f"staff {staff.id} may not do {action!r} with person {person.id}", "not_yours")


def check_lead(work: Work, staff: Staff, action: str) -> None:
    """RightsError, noted in the trail, for anybody but a lead."""
    if not (at_work(staff) and staff.lead):
        audit(work, staff, REFUSED, detail=action)
        raise RightsError(f"staff {staff.id} may not do {action!r}: only the clinic lead may", "lead_only")


def audit(work: Work, staff: Staff, action: str, person: Person | None = None, detail: str = "") -> None:
    """One line of the trail."""
    about = person.id if person else None
    work.uow.audit.add(Audit(staff.clinic_id, staff.id, work.now, action, about, detail))


def trimmed(text: str, longest: int = LONGEST_REASON) -> str:
    """A reason or another short text without space around it; RefusalError when it is empty or too long."""
    text = text.strip()
    if not text:
        raise RefusalError(f"the text is empty; expected 1 to {longest} characters", "text_empty", most=longest)
    if len(text) > longest:
        long = len(text)
        raise RefusalError(
            f"the text has {long} characters; expected at most {longest}", "text_long", most=longest, length=long
        )
    return text


def leads(work: Work) -> tuple[Staff, ...]:
    """Every lead at work."""
    return tuple(each for each in work.uow.staff.all() if each.lead and at_work(each))


COLUMNS = ("at", "staff", "name", "action", "person", "detail")


def trail_csv(lines: Iterable[Audit], names: Mapping[str, str], zone: dt.tzinfo) -> str:
    """The lines as a table; `names` are the staff's by id."""
    return table(
        COLUMNS,
        (
            [
                each.at.astimezone(zone).isoformat(timespec="seconds"),
                *map(guarded, (each.staff_id, names.get(each.staff_id, ""), each.action, each.person_id or "")),
                guarded(each.detail),
            ]
            for each in lines
        ),
    )


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
        next((each.at for each in acts if _looked(each)), None),
    )


def _looked(line: Audit) -> bool:
    """By a member of the staff: what is read on the machine itself names none."""
    return line.action in ANSWERS or (bool(line.staff_id) and line.action not in NO_LOOK)


def unseen(person: Person, matters: OpenMatters, started: dt.date, until: dt.datetime) -> bool:
    """Whether nobody on the staff has looked for four weeks at somebody whose course goes on."""
    since = max(matters.looked or NEVER, end_of_day(started, person.zone))
    return person.status in (Status.ACTIVE, Status.UNREACHABLE) and until - since >= UNSEEN_FOR


def open_notices(work: Work, person: Person) -> list[Notice]:
    """Notices that nothing has been done about since, the newest first."""
    return list(open_matters(work.uow, person, work.now, work.now).notices)


def answers_of(newest_first: Sequence[Audit]) -> Iterator[dt.datetime]:
    """When something was done about a person that still stands, newest first: an act taken back answers no notice."""
    taken_back = 0
    for each in newest_first:
        if each.action == "undo":
            taken_back += 1
        elif taken_back and each.action in ACTS:
            taken_back -= 1
        elif each.action in ANSWERS:
            yield each.at


def acted(newest_first: Sequence[Audit]) -> dt.datetime | None:
    """When something was last done about a person that still stands."""
    return next(answers_of(newest_first), None)


def _kept(kind: NoticeKind) -> dt.timedelta:
    code = NOTICED.get(kind)
    return ONE_WEEK if code and URGENCY[code] is not Urgency.ACT else KEPT


def course_for(work: Work, person: Person, side: str) -> Course:
    """The person's course for that side, the only one where none is named; RefusalError when there is none."""
    found = [each for each in work.uow.diary.courses_of(person.id) if side in ("", each.side)]
    if len(found) > 1:
        raise RefusalError(f"person {person.id} has a course for each side; name one", "which_side")
    if not found:
        raise RefusalError(f"person {person.id} is {person.status.value} and has no course now", "no_course")
    return found[0]
