"""Coming again: whoever left or was discharged uses a new invitation, and begins anew beside their old diary.

Until the inviter has said that it is the right person, everything of them stays as it was; the invitation alone
remembers who waits. Nobody sees the old diary for having handed out a code.
"""

from dataclasses import replace

from core.errors import RefusalError
from core.records import Dialogue, Invitation, Person, Priority, Role, Staff, Status
from core.use_cases.clearing import tell
from core.use_cases.enrolling import code_hash
from core.use_cases.leaving import BULK_KINDS
from core.use_cases.noticing import tell_staff
from core.use_cases.rights import at_work, audit
from core.use_cases.work import Recipient, Work, emergency, queue

MAY_RETURN = frozenset({Status.DISCHARGED, Status.LEFT})


def come_again(work: Work, person: Person, code: str, called: str) -> Person | None:
    """Use a patient's invitation in a chat that is known; None when it is no good. An invitation of the command line
    lets them in at once, any other one waits for whoever made it, who reads what the messaging service calls the
    account (`called`): the name that a colleague gave is no business of theirs."""
    hashed = code_hash(code)
    invitation = work.uow.invitations.get(hashed, lock=True)
    if invitation is None or invitation.role != Role.PATIENT or person.status not in MAY_RETURN:
        return None
    inviter = work.uow.staff.get(invitation.inviter_id) if invitation.inviter_id else None
    if invitation.inviter_id and not (inviter and at_work(inviter)):
        return None
    if not work.uow.invitations.use(hashed, person.id, work.now):
        return None
    if inviter is None:
        return _begin_anew(work, person, invitation)
    facts = {"person": person.id, "role": Role.PATIENT.value, "called": called, "name": invitation.note}
    key = f"newcomer:{person.id}:{hashed}"
    tell_staff(work, inviter, "therapist.newcomer", facts, key=key, about=person.id)
    return person


def waiting_return(work: Work, staff: Staff, person: Person) -> Invitation | None:
    """The invitation by which the person waits to come again, where `staff` made it or leads the clinic."""
    invitation = work.uow.invitations.used_by(person.id) if person.status in MAY_RETURN else None
    if invitation is None or invitation.inviter_id is None or not at_work(staff):
        return None
    if invitation.used_at is None or invitation.used_at <= person.created_at:
        return None  # the one they came by in the first place, settled long ago
    return invitation if staff.lead or invitation.inviter_id == staff.id else None


def confirm_return(work: Work, staff: Staff, person: Person, yes: bool) -> Person:
    """Whether it is the right person: they begin anew with whoever invited them, or all stays as it was and they are
    told so. RefusalError when that was settled before."""
    invitation = waiting_return(work, staff, person)
    if invitation is None:
        raise RefusalError(f"person {person.id} does not wait to come again", "settled")
    audit(work, staff, "confirm" if yes else "stranger", person)
    if yes:
        return _begin_anew(work, person, invitation)
    work.uow.invitations.forget_user(invitation.code_hash)
    facts = {"emergency": emergency(work, person.clinic_id)}
    key = f"stranger:{work.new_id()}"
    queue(work, Recipient.of(person), "returning.not_confirmed", facts, key=key, priority=Priority.REPLY)
    return person


def _begin_anew(work: Work, person: Person, invitation: Invitation) -> Person:
    """Consent and screening come first again; a course that was left open ends here."""
    for course in work.uow.diary.courses_of(person.id):
        work.uow.diary.save_course(replace(course, ended_at=work.now))
    # it has done what it was for: a later return needs a later one
    work.uow.invitations.forget_user(invitation.code_hash)
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    again = replace(
        person,
        status=Status.ENROLLING,
        name=invitation.note or person.name,
        therapist_id=_therapist(work, invitation.inviter_id or person.therapist_id),
        next_due=None, next_date=None, away_since=None, away_until=None, nudges=(), next_nudge=None,
        every_second=False,
    )  # fmt: skip
    work.uow.people.save(again)
    work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    if invitation.inviter_id:
        tell(work, again, "enrol.consent", {"emergency": emergency(work, person.clinic_id)})
    return again


def _therapist(work: Work, staff_id: str | None) -> str | None:
    """Whose patient they are; nobody's, and so every lead's to see, where that one has left meanwhile."""
    found = work.uow.staff.get(staff_id) if staff_id else None
    return found.id if found and at_work(found) else None
