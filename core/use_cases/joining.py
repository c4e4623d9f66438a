"""The way in by a code: invitations, who used one, whether it is the right person; and who comes again.

Until the inviter has said so of somebody who was here before, everything of them stays as it was; the invitation alone
remembers who waits. Nobody sees the old diary for having handed out a code.
"""

import datetime as dt
import hashlib
from collections.abc import Callable
from dataclasses import replace

from core.errors import RefusalError, RightsError
from core.records import Dialogue, Invitation, Person, Priority, Role, Staff, Status
from core.use_cases.digesting import plan_digest
from core.use_cases.leaving import BULK_KINDS
from core.use_cases.noticing import tell_person, tell_staff
from core.use_cases.rights import REFUSED, at_work, audit, check, check_lead, leads, trimmed
from core.use_cases.work import Recipient, Work, emergency, queue

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # none that are mistaken for another when read aloud or copied
CODE_LENGTH = 16  # 78 bits: nobody who holds the hashes alone finds a code by trying, key or no key
VALID_DAYS = 7
LONGEST_NOTE = 60
MAY_INVITE: dict[Role, Callable[[Staff], bool]] = {
    Role.THERAPIST: lambda staff: staff.lead,
    Role.PATIENT: lambda staff: staff.therapist,
    Role.LEAD: lambda _: False,  # made on the machine itself, by `holdlower setup` or `invite`
}
MAY_RETURN = frozenset({Status.DISCHARGED, Status.LEFT})


def invite(
    work: Work, clinic_id: str, code: str, note: str = "", days: int = VALID_DAYS, role: Role = Role.PATIENT,
    inviter_id: str = "",
) -> Invitation:  # fmt: skip
    """Store an invitation, on the machine itself where nobody invites. Only a hash of `code` is kept, so it can be
    shown but once.

    A lead's code opens everything and nobody confirms who used it: a new one ends every older one that is unused.
    """
    if role == Role.LEAD:
        work.uow.invitations.void(role, work.now)
    expires = work.now + dt.timedelta(days=days)
    invitation = Invitation(
        code_hash(code), clinic_id, work.now, expires, note=note, role=role, inviter_id=inviter_id or None
    )
    work.uow.invitations.add(invitation)
    return invitation


def invite_as(work: Work, inviter: Staff, role: Role, code: str, note: str) -> Invitation:
    """Store an invitation made by staff. RightsError for a role they may not invite.

    `note` is whom it is for, in the inviter's words.
    """
    if not (at_work(inviter) and MAY_INVITE[role](inviter)):
        audit(work, inviter, REFUSED, detail=f"invite {role.value}")
        raise RightsError(f"staff {inviter.id} may not invite a {role.value}", f"invite_{role.value}")
    note = trimmed(note, LONGEST_NOTE)
    invitation = invite(work, inviter.clinic_id, code, note, role=role, inviter_id=inviter.id)
    audit(work, inviter, "invite", detail=role.value)
    return invitation


def code_hash(code: str) -> str:
    """The stored form of a code; spaces, dashes and small letters do not matter to whoever types it."""
    plain = "".join(letter for letter in code.upper() if letter.isalnum())
    return hashlib.sha256(plain.encode()).hexdigest()


def role_of(work: Work, code: str) -> Role | None:
    """What an invitation would make of whoever used it now; None when it is unknown, used, expired or void."""
    invitation = work.uow.invitations.get(code_hash(code))
    if invitation is None or invitation.used_at or invitation.expires_at <= work.now:
        return None
    return None if _is_void(invitation, _at_work(work, invitation.inviter_id)) else invitation.role


def _at_work(work: Work, staff_id: str | None) -> Staff | None:
    staff = work.uow.staff.get(staff_id) if staff_id else None
    return staff if staff and at_work(staff) else None


def _is_void(invitation: Invitation, inviter: Staff | None) -> bool:
    """Whether its inviter has left."""
    return invitation.inviter_id is not None and inviter is None


def accept_any(work: Work, code: str, newcomer: Person) -> Person | Staff | None:
    """Let a newcomer in by a code, as what the invitation says; None when it is unknown, used, expired or void.

    The newcomer's name is what the messaging service calls them. An invitation is void where the chat belongs to
    somebody at work.
    """
    invitation = work.uow.invitations.get(code_hash(code), lock=True)
    former = work.uow.staff.at(newcomer.channel, newcomer.address)
    patient = work.uow.people.at(newcomer.channel, newcomer.address)
    if invitation is None or patient or (former and former.left_at is None):
        return None
    inviter = _at_work(work, invitation.inviter_id)
    used_by = former.id if former and invitation.role != Role.PATIENT else newcomer.id
    if _is_void(invitation, inviter) or not work.uow.invitations.use(invitation.code_hash, used_by, work.now):
        return None
    if invitation.role == Role.PATIENT:
        return _new_patient(work, invitation, newcomer, inviter)
    return _new_staff(work, invitation, newcomer, used_by)


def come_again(work: Work, person: Person, code: str, called: str) -> Person | None:
    """Use a patient's invitation in a chat that is known, after a discharge or leaving; None when it is no good.

    An invitation of the command line lets them in at once, any other one waits for whoever made it, who reads what the
    messaging service calls the account (`called`): the name that a colleague gave is no business of theirs.
    """
    invitation = work.uow.invitations.get(code_hash(code), lock=True)
    if invitation is None or invitation.role != Role.PATIENT or person.status not in MAY_RETURN:
        return None
    inviter = _at_work(work, invitation.inviter_id)
    if _is_void(invitation, inviter) or not work.uow.invitations.use(invitation.code_hash, person.id, work.now):
        return None
    if inviter is None:
        return _begin_anew(work, person, invitation)
    key = f"newcomer:{person.id}:{invitation.code_hash}"
    _tell_newcomer(work, inviter, person, Role.PATIENT, called, invitation.note, key)
    return person


def _tell_newcomer(
    work: Work, staff: Staff, who: Person | Staff, role: Role, called: str, name: str, key: str
) -> None:
    facts = {"person": who.id, "role": role.value, "called": called, "name": name}
    about = who.id if isinstance(who, Person) else ""
    tell_staff(work, staff, "therapist.newcomer", facts, key=key, about=about)


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
        _tell_newcomer(work, inviter, person, Role.PATIENT, newcomer.name, person.name, f"newcomer:{person.id}")
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
        for each in leads(work):
            key = f"newcomer:{staff.id}:{work.now.isoformat()}:{each.id}"
            _tell_newcomer(work, each, staff, Role.THERAPIST, newcomer.name, staff.name, key)
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
        _tell_stranger(work, person, "stranger.not_confirmed")
        return
    work.uow.people.save(replace(person, status=Status.ENROLLING))
    _ask_for_consent(work, person)


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
        _tell_stranger(work, newcomer, "stranger.not_confirmed")
    work.uow.staff.save(newcomer)
    return newcomer


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
    _tell_stranger(work, person, "returning.not_confirmed", person.id)
    return person


def _begin_anew(work: Work, person: Person, invitation: Invitation) -> Person:
    """Consent and screening come first again; a course that was left open ends here."""
    for course in work.uow.diary.courses_of(person.id):
        work.uow.diary.save_course(replace(course, ended_at=work.now))
    # it has done what it was for: a later return needs a later one
    work.uow.invitations.forget_user(invitation.code_hash)
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    # nobody's patient, and so every lead's to see, where that one has left meanwhile
    therapist = _at_work(work, invitation.inviter_id or person.therapist_id)
    again = replace(
        person,
        status=Status.ENROLLING,
        name=invitation.note or person.name,
        therapist_id=therapist.id if therapist else None,
        next_due=None, next_date=None, away_since=None, away_until=None, nudges=(), next_nudge=None,
        every_second=False,
    )  # fmt: skip
    work.uow.people.save(again)
    if invitation.inviter_id:
        _ask_for_consent(work, again)
    else:
        work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    return again


def _ask_for_consent(work: Work, person: Person) -> None:
    work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    tell_person(work, person, "enrol.consent", {"emergency": emergency(work)})


def _tell_stranger(work: Work, who: Person | Staff, kind: str, known_as: str = "") -> None:
    """Names nobody who is not known: no row of theirs must come back."""
    to, facts = replace(Recipient.of(who), id=known_as), {"emergency": emergency(work)}
    queue(work, to, kind, facts, key=f"stranger:{work.new_id()}", priority=Priority.REPLY)
