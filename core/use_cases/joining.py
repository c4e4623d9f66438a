"""New staff and new patients: invitations by staff, who used one, and whether it is the right person."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from core.errors import RefusalError, RightsError
from core.records import Dialogue, Invitation, Person, Priority, Role, Staff, Status
from core.use_cases.clearing import tell
from core.use_cases.digesting import plan_digest
from core.use_cases.enrolling import code_hash
from core.use_cases.noticing import tell_staff
from core.use_cases.rights import REFUSED, at_work, audit, check, check_lead, leads, trimmed
from core.use_cases.work import Recipient, Work, emergency, queue

VALID_DAYS = 7
LONGEST_NOTE = 60
MAY_INVITE: dict[Role, Callable[[Staff], bool]] = {
    Role.THERAPIST: lambda staff: staff.lead,
    Role.PATIENT: lambda staff: staff.therapist,
    Role.LEAD: lambda _: False,  # made on the machine itself, by `holdlower setup` or `invite`
}


def invite_as(work: Work, inviter: Staff, role: Role, code: str, note: str, days: int = VALID_DAYS) -> Invitation:
    """Store an invitation made by staff; only a hash of `code` is kept. RightsError for a role they may not invite.

    `note` is whom it is for, in the inviter's words.
    """
    if not (at_work(inviter) and MAY_INVITE[role](inviter)):
        audit(work, inviter, REFUSED, detail=f"invite {role.value}")
        raise RightsError(f"staff {inviter.id} may not invite a {role.value}", f"invite_{role.value}")
    note = trimmed(note, LONGEST_NOTE)
    expires = work.now + dt.timedelta(days=days)
    invitation = Invitation(
        code_hash(code), inviter.clinic_id, work.now, expires, note=note, role=role, inviter_id=inviter.id
    )
    work.uow.invitations.add(invitation)
    audit(work, inviter, "invite", detail=role.value)
    return invitation


def accept_any(work: Work, code: str, newcomer: Person) -> Person | Staff | None:
    """Let a newcomer in by a code, as what the invitation says; None when it is unknown, used, expired or void.

    The newcomer's name is what the messaging service calls them. An invitation is void once its inviter has left, and
    where the chat belongs to somebody at work.
    """
    hashed = code_hash(code)
    invitation = work.uow.invitations.get(hashed, lock=True)
    former = work.uow.staff.at(newcomer.channel, newcomer.address)
    patient = work.uow.people.at(newcomer.channel, newcomer.address)
    if invitation is None or patient or (former and former.left_at is None):
        return None
    inviter = work.uow.staff.get(invitation.inviter_id) if invitation.inviter_id else None
    if invitation.inviter_id and not (inviter and at_work(inviter)):
        return None
    used_by = former.id if former and invitation.role != Role.PATIENT else newcomer.id
    if not work.uow.invitations.use(hashed, used_by, work.now):
        return None
    if invitation.role == Role.PATIENT:
        return _new_patient(work, invitation, newcomer, inviter)
    return _new_staff(work, invitation, newcomer, used_by)


def role_of(work: Work, code: str) -> Role | None:
    """What an invitation would make of whoever used it now; None when it is unknown, used, expired or void."""
    invitation = work.uow.invitations.get(code_hash(code))
    if invitation is None or invitation.used_at or invitation.expires_at <= work.now:
        return None
    inviter = work.uow.staff.get(invitation.inviter_id) if invitation.inviter_id else None
    return None if invitation.inviter_id and not (inviter and at_work(inviter)) else invitation.role


def _new_patient(work: Work, invitation: Invitation, newcomer: Person, inviter: Staff | None) -> Person:
    person = replace(
        newcomer,
        clinic_id=invitation.clinic_id,
        name=invitation.note or newcomer.name,
        therapist_id=inviter.id if inviter else _only_therapist(work),
        status=Status.UNCONFIRMED if inviter else Status.ENROLLING,
    )
    work.uow.people.save(person)
    if inviter:
        facts = {"person": person.id, "role": Role.PATIENT.value, "called": newcomer.name, "name": person.name}
        key = f"newcomer:{person.id}"
        tell_staff(work, inviter, "therapist.newcomer", facts, key=key, about=person.id)
    else:
        work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    return person


def _only_therapist(work: Work) -> str | None:
    therapists = [each.id for each in work.uow.staff.all() if each.therapist and at_work(each)]
    return therapists[0] if len(therapists) == 1 else None


def _new_staff(work: Work, invitation: Invitation, newcomer: Person, staff_id: str) -> Staff:
    lead = invitation.role == Role.LEAD
    staff = Staff(
        id=staff_id,
        clinic_id=invitation.clinic_id,
        channel=newcomer.channel,
        address=newcomer.address,
        name=invitation.note or newcomer.name,
        lead=lead,
        therapist=True,
        language=newcomer.language,
        zone=newcomer.zone,
        created_at=work.now,
        confirmed=lead,
    )
    if lead:
        staff = plan_digest(staff, work.now)
        work.uow.notices.look_now(work.now)  # there may be danger that could be told to nobody
    work.uow.staff.save(staff)
    audit(work, staff, "join", detail=invitation.role.value)
    if not lead:
        facts = {"person": staff.id, "role": Role.THERAPIST.value, "called": newcomer.name, "name": staff.name}
        for each in leads(work):
            key = f"newcomer:{staff.id}:{work.now.isoformat()}:{each.id}"
            tell_staff(work, each, "therapist.newcomer", facts, key=key)
    return staff


def confirm_patient(work: Work, staff: Staff, person: Person, yes: bool) -> None:
    """Whether the person who used an invitation is the right one: they begin, or are erased and told so politely.

    RefusalError when that was settled before.
    """
    action = "confirm" if yes else "stranger"
    check(work, staff, person, action)
    if person.status != Status.UNCONFIRMED:
        raise RefusalError(f"person {person.id} was confirmed before", "settled")
    audit(work, staff, action, person)
    if not yes:
        work.uow.people.erase(person.id)
        _farewell(work, person)
        return
    work.uow.people.save(replace(person, status=Status.ENROLLING))
    work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    tell(work, person, "enrol.consent", {"emergency": emergency(work, person.clinic_id)})


def confirm_staff(work: Work, lead: Staff, newcomer: Staff, yes: bool) -> Staff:
    """Whether whoever used a therapist's invitation is the right person. RefusalError when that was settled before."""
    action = "confirm" if yes else "stranger"
    check_lead(work, lead, action)
    if newcomer.confirmed or newcomer.left_at:
        raise RefusalError(f"staff {newcomer.id} was confirmed before", "settled")
    audit(work, lead, action, detail=newcomer.id)
    if yes:
        newcomer = plan_digest(replace(newcomer, confirmed=True), work.now)
        key = f"welcome:{newcomer.id}:{work.now.isoformat()}"
        tell_staff(work, newcomer, "therapist.welcome", {"lead": newcomer.lead}, key=key)
    else:
        newcomer = replace(newcomer, left_at=work.now, name="")
        _farewell(work, newcomer)
    work.uow.staff.save(newcomer)
    return newcomer


def _farewell(work: Work, who: Person | Staff) -> None:
    """Names nobody: no row of theirs must come back."""
    facts = {"emergency": emergency(work, who.clinic_id)}
    nobody = replace(Recipient.of(who), id="")
    key = f"stranger:{work.new_id()}"
    queue(work, nobody, "stranger.not_confirmed", facts, key=key, priority=Priority.REPLY)
