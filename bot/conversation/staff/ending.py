"""Stopping to work here: by oneself, or a colleague whom the lead ends. Whoever still has patients cannot go."""

from bot.conversation.talk import StaffTalk
from core.errors import RefusalError
from core.records import Staff, Status
from core.use_cases.rights import at_work, check_lead
from core.use_cases.staffing import leave_staff

FLOW = "leave"


def ask_leave(talk: StaffTalk) -> None:
    """/leave: ask whether it is meant."""
    _ask(talk, talk.staff)


def on_end(talk: StaffTalk, staff_id: str, _: str) -> None:
    """The lead's button under the team."""
    check_lead(talk.work, talk.staff, "leave")
    _ask(talk, _colleague(talk, staff_id))


def on_gone(talk: StaffTalk, staff_id: str, number: str) -> None:
    """Yes, of the question that is open; any other button changes nothing."""
    facts = talk.dialogue.facts
    if talk.dialogue.flow != FLOW or (facts["staff"], facts["number"]) != (staff_id, number):
        talk.say("therapist.old_button")
        return
    gone = leave_staff(talk.work, _colleague(talk, staff_id), talk.staff)
    talk.nothing_open()
    talk.say("therapist.leave.done", name=gone.name, you=gone.id == talk.staff.id)


def on_text(talk: StaffTalk) -> None:
    """A typed yes or no; anything else is asked about again."""
    facts = talk.dialogue.facts
    if talk.typed("words.yes"):
        on_gone(talk, str(facts["staff"]), str(facts["number"]))
    elif talk.typed("words.no"):
        talk.nothing_open()
        talk.say("therapist.nothing_changed")
    else:
        _ask(talk, _colleague(talk, str(facts["staff"])))


def _ask(talk: StaffTalk, staff: Staff) -> None:
    patients = [each for each in talk.work.uow.people.of(staff.id) if each.status != Status.DISCHARGED]
    if patients:
        raise RefusalError(f"staff {staff.id} has {len(patients)} patients", "has_patients", count=len(patients))
    number = talk.work.new_id()[-8:]
    talk.wait_for(FLOW, "confirm", staff=staff.id, number=number)
    talk.say("therapist.leave", staff=staff.id, name=staff.name, you=staff.id == talk.staff.id, number=number)


def _colleague(talk: StaffTalk, staff_id: str) -> Staff:
    found = talk.work.uow.staff.get(staff_id, lock=True)
    if found is None or not at_work(found):
        raise RefusalError(f"no staff {staff_id!r} at work", "not_at_work")
    return found
