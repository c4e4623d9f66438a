"""What staff may do: with their own patients, as the lead, or not at all; and the trail of what they did."""

import datetime as dt
from collections.abc import Iterable, Mapping

from core.errors import RefusalError, RightsError
from core.export.csv_rows import guarded, table
from core.records import Audit, Person, Staff
from core.use_cases.work import Work

LONGEST_REASON = 500
REFUSED = "refused"  # the trail's word for what somebody tried and may not do


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
