"""Finding the patient a button is about, and showing nothing of anybody else's."""

from bot.conversation.talk import StaffTalk
from core.errors import RightsError
from core.records import Person
from core.use_cases.rights import REFUSED, audit, may_see, require


def patient(talk: StaffTalk, person_id: str, action: str) -> Person:
    """The patient, locked and the access noted. RightsError, the same for all, when there is none or not theirs."""
    person = talk.work.uow.people.get(person_id, lock=True) if person_id else None
    if person is None or not may_see(talk.staff, person):
        if person is not None:
            audit(talk.work, talk.staff, REFUSED, person, action)
        raise RightsError(f"no patient {person_id!r} of staff {talk.staff.id}", "not_yours")
    require(talk.work, talk.staff, person, action)
    return person


def shown(person: Person) -> dict[str, str]:
    """What every message about one patient carries."""
    return {"person": person.id, "name": person.name}
