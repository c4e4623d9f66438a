"""A therapist blocks the bot, and a patient of theirs writes of danger: what each of them then has in their chat."""

import pytest

from core.records import Status
from core.use_cases.enrolling import begin_course
from tests.blackbox.conftest import House, until
from tests.blackbox.test_clinic import hired
from tests.blackbox.test_service import say
from tests.blackbox.test_transcripts import as_approved
from tests.builders import a_person
from tests.standin import Person


def patient_of(house: House, therapist_id: str) -> Person:
    """One whose course begins now."""
    cook = a_person(
        id="cook", channel="telegram", address="1020", zone="UTC", status=Status.ENROLLING, name="Pastry cook",
        therapist_id=therapist_id,
    )  # fmt: skip
    with house.store.writing() as uow:
        uow.people.save(cook)
        begin_course(house.app.work(uow), cook, {"side": "right", "rating": 4})
        uow.commit()
    return house.standin.person("Pastry cook", chat=1020)


def chat(person: Person, wrote: dict[int, str]) -> str:
    """One chat from the top, what they wrote marked, buttons in brackets."""
    lines = [(number, f"> {text}") for number, text in wrote.items()]
    for seen in person.got:
        buttons = [" ".join(f"[{label['text']}]" for label in row) for row in seen.buttons]
        shown = "\n".join(f"  {line}".rstrip() for line in (*seen.text.splitlines(), *buttons))
        lines.append((seen.message_id, shown))
    return "".join(f"{line}\n\n" for _, line in sorted(lines)) or "  (nothing)\n\n"


@pytest.mark.parametrize("by_update", [True, False], ids=["told by the service", "found by a refused message"])
async def test_a_red_flag_reaches_the_lead_when_the_therapist_has_blocked_the_bot(house: House, by_update: bool):
    desk, lead = hired(house, 2, "Ben"), hired(house, 1, "Anna", lead=True)
    cook = patient_of(house, "staff2")
    wrote: dict[str, dict[int, str]] = {}

    async def writes(person: Person, text: str) -> str:
        wrote.setdefault(person.first_name, {})[person.numbers + 1] = text
        return await say(person, text)

    async with house.serving():
        if by_update:
            desk.blocks()
            await until(lambda: lead.got)
        else:
            desk.blocked = True
        warned = await writes(cook, "my whole hand is numb")
        await until(lambda: any("my whole hand is numb" in text for text in lead.texts))

        # never more than is known: by then it goes to the lead, or to somebody whose chat still seems to take it
        whom = "clinic" if by_update else "therapist"
        assert f"Your {whom} is being told, and can start it again." in warned
        await until(lambda: any("cannot be reached: their chat is blocked or gone." in text for text in lead.texts))
        assert "CANNOT BE REACHED" in await writes(lead, "/team")
        assert "Your clinic has been told." in await writes(cook, "/today")
    assert desk.got == []
    if by_update:
        who = {"the therapist, who has blocked the bot": desk, "the patient": cook, "the lead": lead}
        chats = [f"== {name} ==\n{chat(one, wrote.get(one.first_name, {}))}" for name, one in who.items()]
        as_approved("blocked-therapist", "\n".join(chats))
