"""A therapist blocks the bot, and a patient of theirs writes of danger: what each of them then has in their chat."""

import pytest

from core.records import Status
from core.use_cases.enrolling import begin_course
from tests.blackbox.conftest import House, until
from tests.blackbox.test_clinic import hired
from tests.blackbox.test_service import say
from tests.builders import a_person
from tests.standin import Person


def patient_of(house: House, therapist_id: str) -> Person:
    """One whose course begins now."""
    cook = a_person(
        id="cook", channel="telegram", address="1020", zone="UTC", status=Status.ENROLLING, name="Pastry cook",
        therapist_id=therapist_id,
    )  # fmt: skip
    with house.store.writing() as uow:
        uow.save_person(cook)
        begin_course(house.app.work(uow), cook, {"side": "right", "rating": 4})
        uow.commit()
    return house.standin.person("Pastry cook", chat=1020)


@pytest.mark.parametrize("by_update", [True, False], ids=["told by the service", "found by a refused message"])
async def test_a_red_flag_reaches_the_lead_when_the_therapist_has_blocked_the_bot(house: House, by_update: bool):
    desk, lead = hired(house, 2, "Ben"), hired(house, 1, "Anna", lead=True)
    cook = patient_of(house, "staff2")
    async with house.serving():
        if by_update:
            desk.blocks()
            await until(lambda: lead.got)
        else:
            desk.blocked = True
        warned = await say(cook, "my whole hand is numb")
        await until(lambda: any("my whole hand is numb" in text for text in lead.texts))

        assert "Your therapist is being told, and can start it again." in warned
        await until(lambda: any("cannot be reached: their chat is blocked or gone." in text for text in lead.texts))
        assert "CANNOT BE REACHED" in await say(lead, "/team")
        assert "Your therapist has been told." in await say(cook, "/today")
    assert desk.got == []
