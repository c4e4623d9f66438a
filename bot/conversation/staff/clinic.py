"""The way in for others: invitations, who used one, and for the lead who works here."""

import secrets
from importlib.metadata import version
from zoneinfo import ZoneInfo

from bot.conversation.staff.patients import say_of, say_rows
from bot.conversation.talk import StaffTalk
from core.errors import RightsError
from core.page import TeamMember
from core.records import Role, Staff, Status
from core.timetable import local_date, opens_next
from core.use_cases.caseload import caseload
from core.use_cases.clinic import clinic_state
from core.use_cases.gathering import dose_facts, step_facts
from core.use_cases.joining import (
    CODE_LENGTH,
    CODE_LETTERS,
    confirm_patient,
    confirm_return,
    confirm_staff,
    invite_as,
    waiting_return,
)
from core.use_cases.rights import REFUSED, at_work, audit, check_lead, may_see
from core.use_cases.work import emergency


def on_confirm(talk: StaffTalk, newcomer_id: str, _: str) -> None:
    """Yes: they may begin."""
    _settle(talk, newcomer_id, yes=True)


def on_stranger(talk: StaffTalk, newcomer_id: str, _: str) -> None:
    """No: nothing of them is kept."""
    _settle(talk, newcomer_id, yes=False)


def _settle(talk: StaffTalk, newcomer_id: str, *, yes: bool) -> None:
    person = talk.work.uow.people.get(newcomer_id, lock=True)
    newcomer = talk.work.uow.staff.get(newcomer_id, lock=True)
    kind = "therapist.confirmed" if yes else "therapist.stranger"
    if person is not None and waiting_return(talk.work, talk.staff, person):
        again = confirm_return(talk.work, talk.staff, person, yes)
        say_of(talk, again, kind, role="patient") if yes else talk.say("therapist.not_returned")
    elif person is not None and may_see(talk.staff, person):
        confirm_patient(talk.work, talk.staff, person, yes)
        # nothing of a stranger comes back, the name they were taken for included
        say_of(talk, person, kind, role="patient") if yes else talk.say(kind)
    elif newcomer is not None and talk.staff.lead:
        confirm_staff(talk.work, talk.staff, newcomer, yes)
        talk.say(kind, name=newcomer.name, person="", role="therapist") if yes else talk.say(kind)
    else:
        if person is not None:
            audit(talk.work, talk.staff, REFUSED, person, "confirm" if yes else "stranger")
        raise RightsError(f"no newcomer {newcomer_id!r} of staff {talk.staff.id}", "not_yours")


FLOW = "invite"


def invite(talk: StaffTalk) -> None:
    """/invite ALIAS: a patient; without an alias it is asked for."""
    _invite_or_ask(talk, Role.PATIENT)


def on_invite(talk: StaffTalk, role: str, _: str) -> None:
    """The button under the team, or under the help."""
    if role not in (Role.PATIENT, Role.THERAPIST):
        talk.say("therapist.old_button")
    else:
        _invite_or_ask(talk.as_text(""), Role(role))


def on_text(talk: StaffTalk) -> None:
    """The name that was asked for."""
    _invite(talk, Role(talk.dialogue.step))


def _invite_or_ask(talk: StaffTalk, role: Role) -> None:
    if role == Role.THERAPIST:
        check_lead(talk.work, talk.staff, "invite")
    if talk.came.text.strip():
        _invite(talk, role)
    else:
        talk.wait_for(FLOW, role.value)
        talk.say("therapist.invite.ask", role=role.value)


def _invite(talk: StaffTalk, role: Role) -> None:
    """Make an invitation. The code is told once and never kept."""
    name = " ".join(talk.came.text.split())
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    invitation = invite_as(talk.work, talk.staff, role, code, name)
    talk.nothing_open()
    until = local_date(invitation.expires_at, talk.staff.zone)
    talk.say("therapist.invited", name=name, until=until)
    spelled = "-".join(code[at : at + 4] for at in range(0, CODE_LENGTH, 4))
    way_in = {"code": spelled, "link": talk.chats.link.format(code=code), "clinic": _clinic_name(talk)}
    talk.say("invitation", role=role.value, **way_in)
    if role == Role.PATIENT:
        talk.say("invitation.sheet", **way_in, until=until, **_routine(talk))


def _routine(talk: StaffTalk) -> dict[str, object]:
    """What the printed sheet tells of the programme: the steps on which people may begin, and why."""
    programme = talk.work.programmes.current
    begin = programme.rule.begin
    numbers = sorted({programme.numbered(key) for key in (begin.gentle_step, begin.usual_step)})
    steps = [dose_facts(programme, programme.step(number).dose, how=True) for number in numbers]
    return {
        "steps": steps, "side": programme.sides[-1], "words": programme.said("why"), "made": talk.work.now,
        "emergency": emergency(talk.work),
    }  # fmt: skip


def programme(talk: StaffTalk) -> None:
    """/sheet: every step of the programme that new courses begin on, to print."""
    current = talk.work.programmes.current
    talk.say(
        "therapist.programme", steps=[step_facts(current, each.number) for each in current.steps],
        side=current.sides[-1], made=talk.work.now, clinic=_clinic_name(talk),
        emergency=emergency(talk.work),
    )  # fmt: skip


def _clinic_name(talk: StaffTalk) -> str:
    clinic = talk.work.uow.clinics.get()
    return clinic.name if clinic else ""


def team(talk: StaffTalk) -> None:
    """Everybody who works here; for the lead only."""
    check_lead(talk.work, talk.staff, "team")
    staff = [each for each in talk.work.uow.staff.all() if each.left_at is None]
    talk.say("therapist.team", team=[_member(talk, each) for each in staff])


def stands(talk: StaffTalk) -> None:
    """/clinic: the clinic as it stands; for the lead only."""
    check_lead(talk.work, talk.staff, "clinic")
    clinic = talk.work.uow.clinics.get()
    if clinic is None:
        return
    state, zone = clinic_state(talk.work, clinic), ZoneInfo(talk.staff.zone)
    copies = [at for at in (state.copied, talk.chats.newest_copy()) if at]
    opens = opens_next(clinic.hours, talk.work.now, clinic.zone)
    talk.say(
        "therapist.clinic",
        clinic=clinic.name,
        version=version("holdlower"),
        team=[_member(talk, each) for each in state.staff],
        invitations=state.invitations,
        zone=talk.staff.zone,
        copied=max(copies).astimezone(zone) if copies else None,
        waiting=max(state.queues.inbox.waiting - 1, 0) + state.queues.outbox.waiting,  # but for what we answer here
        untold=state.queues.untold.waiting,
        emergency=clinic.emergency,
        hours=clinic.hours,
        opens=opens,
        months=clinic.keep_months,
        after=clinic.after_keeping,
    )


def _member(talk: StaffTalk, staff: Staff) -> TeamMember:
    patients = [each for each in talk.work.uow.people.of(staff.id) if each.status != Status.DISCHARGED]
    return TeamMember(
        staff=staff.id,
        name=staff.name,
        patients=len(patients),
        confirmed=staff.confirmed,
        you=staff.id == talk.staff.id,
        lead=staff.lead,
        unreachable=staff.unreachable_since is not None,
    )


def on_colleague(talk: StaffTalk, staff_id: str, _: str) -> None:
    """A colleague's caseload, for the lead."""
    check_lead(talk.work, talk.staff, "colleague")
    therapist = talk.work.uow.staff.get(staff_id)
    if therapist is None or not at_work(therapist):
        raise RightsError(f"no colleague {staff_id!r} at work", "not_at_work")
    say_rows(talk, caseload(talk.work, talk.staff, therapist), 0, therapist)
