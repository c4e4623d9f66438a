"""Whoever used an invitation: the right person, or a stranger."""

from bot.conversation.staff.patients import shown
from bot.conversation.talk import StaffTalk
from core.errors import RightsError
from core.use_cases.returning import confirm_return, waiting_return
from core.use_cases.rights import REFUSED, audit, may_see
from core.use_cases.staffing import confirm_patient, confirm_staff


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
        talk.say(kind, person.id, **shown(again), role="patient") if yes else talk.say("therapist.not_returned")
    elif person is not None and may_see(talk.staff, person):
        confirm_patient(talk.work, talk.staff, person, yes)
        # nothing of a stranger comes back, the name they were taken for included
        talk.say(kind, person.id, **shown(person), role="patient") if yes else talk.say(kind)
    elif newcomer is not None and talk.staff.lead:
        confirm_staff(talk.work, talk.staff, newcomer, yes)
        talk.say(kind, name=newcomer.name, person="", role="therapist") if yes else talk.say(kind)
    else:
        if person is not None:
            audit(talk.work, talk.staff, REFUSED, person, "confirm" if yes else "stranger")
        raise RightsError(f"no newcomer {newcomer_id!r} of staff {talk.staff.id}", "not_yours")
