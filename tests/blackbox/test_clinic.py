"""A clinic with two therapists of twenty patients each, all through the messaging channel: nothing crosses."""

import re
from collections.abc import Iterable

import pytest

from core.records import Staff
from core.store import SqlStore
from tests.blackbox.conftest import START, House, until
from tests.standin import Person
from tests.standin.people import Seen

EACH = 20
SLOW = 30.0  # seconds that two hundred messages may take on a busy machine
FIRST_ANSWERS = ("yes", "no", "no", "no", "no", "right", "4", "yes", "19:00")
CODE = re.compile(r"start=(\w+)|: ([\w-]+)$")


def hired(store: SqlStore, chat: int, name: str, *, lead: bool = False) -> None:
    """Somebody at work already, so that what is tested begins with the patients."""
    staff = Staff(
        id=f"staff{chat}", clinic_id="clinic", channel="telegram", address=str(chat), name=name, lead=lead,
        therapist=True, language="en", zone="UTC", created_at=START,
    )  # fmt: skip
    with store.writing() as uow:
        uow.save_staff(staff)
        uow.commit()


async def each_says(people: Iterable[Person], text: str, replies: int = 1) -> None:
    """All of them at once, and every one is answered."""
    people = list(people)
    before = [len(person.got) for person in people]
    for person in people:
        person.says(text)
    await until(lambda: all(len(p.got) >= n + replies for p, n in zip(people, before, strict=True)), SLOW)


async def tap_and_read(person: Person, seen: Seen, label: str, replies: int = 1) -> Seen:
    """Tap a button of that very message."""
    before = len(person.got)
    data = next(b["callback_data"] for row in seen.buttons for b in row if b["text"] == label)
    person.taps_data(seen.message_id, data)
    await until(lambda: len(person.got) >= before + replies)
    return person.last


def words_of(person: Person) -> str:
    """Everything that ever reached a chat: texts, labels, and files."""
    labels = " ".join(label for seen in person.got for label in seen.labels)
    files = " ".join(seen.document[1].decode() for seen in person.got if seen.document)
    return " ".join([*person.texts, labels, files])


def buttons_of(person: Person) -> set[str]:
    return {b["callback_data"] for seen in person.got for row in seen.buttons for b in row}


@pytest.mark.parametrize("store_url", ["sqlite"], indirect=True)  # sending and receiving know no database
async def test_two_therapists_with_twenty_patients_each_hear_of_their_own_only(house: House):
    standin = house.standin
    lead, ben, cleo = (standin.person(name, chat=chat) for name, chat in (("Anna", 1), ("Ben", 2), ("Cleo", 3)))
    hired(house.store, 1, "Anna", lead=True)
    hired(house.store, 2, "Ben")
    hired(house.store, 3, "Cleo")
    names = {ben: [f"Oak-{n:02}" for n in range(EACH)], cleo: [f"Elm-{n:02}" for n in range(EACH)]}
    chats = {ben: 1000, cleo: 2000}
    patients: dict[Person, list[Person]] = {
        desk: [standin.person(f"Called {name}", chat=chats[desk] + n) for n, name in enumerate(names[desk])]
        for desk in names
    }
    everybody = [*patients[ben], *patients[cleo]]
    async with house.serving():
        codes: list[tuple[Person, str]] = []
        for desk, theirs in patients.items():
            for name, patient in zip(names[desk], theirs, strict=True):
                before = len(desk.got)
                desk.says(f"/invite {name}")
                await until(lambda: len(desk.got) == before + 2)  # noqa: B023 awaited before either changes
                found = CODE.search(desk.last.text)
                assert found
                codes.append((patient, found[1] or found[2]))
        before = [len(patient.got) for patient, _ in codes]
        for patient, code in codes:
            patient.says(f"/start {code}")
        await until(lambda: all(len(p.got) > n for (p, _), n in zip(codes, before, strict=True)), SLOW)
        for desk in (ben, cleo):
            await until(lambda: sum("Is that the right person?" in text for text in desk.texts) == EACH, SLOW)  # noqa: B023
            for asked in [seen for seen in desk.got if "Is that the right person?" in seen.text]:
                await tap_and_read(desk, asked, "Yes, let them in")
        await until(lambda: all("Do you agree?" in person.last.text for person in everybody), SLOW)
        for answer in FIRST_ANSWERS:
            await each_says(everybody, answer)
        assert all("Your first day is" in person.last.text for person in everybody)

        house.at(0, "19:00")
        await until(lambda: all("How much did your elbow hurt" in p.last.text for p in everybody), SLOW)
        before = [len(person.got) for person in everybody]
        for number, person in enumerate(everybody):
            person.says(f"{number % 5}, all")
        await until(lambda: all(len(p.got) > n for p, n in zip(everybody, before, strict=True)), SLOW)
        assert [f"pain {n % 5}, 4 of 4 sets" in p.last.text for n, p in enumerate(everybody)] == [True] * 2 * EACH

        for desk in (ben, cleo):
            before_notice = len(desk.got)
            patients[desk][7].says(f"my hand has gone numb, {names[desk][7]} here")
            await until(lambda: len(desk.got) > before_notice)  # noqa: B023
            assert desk.last.text.startswith(f"{names[desk][7]}: RED FLAG, stopped")

        for desk in (ben, cleo):
            await each_says([desk], "/caseload")
            assert f"1. {names[desk][7]}: STOPPED for danger" in desk.last.text
            assert "1 to 10 of 20" in desk.last.text
            await tap_and_read(desk, desk.last, "More")
            assert "11 to 20 of 20" in desk.last.text
            await each_says([desk], "/notices")
            await each_says([desk], "/export", 2)
            page = await tap_and_read(desk, _message_with(desk, f"1. {names[desk][7]}"), f"1. {names[desk][7]}")
            assert page.photo
            assert page.text.startswith(names[desk][7])

        # a forwarded button, a name typed, a command of the lead's: nothing of the other caseload comes of them
        for desk, other in ((ben, cleo), (cleo, ben)):
            for data in sorted(buttons_of(other) - buttons_of(desk)):
                before_tap = len(desk.got)
                desk.taps_data(desk.last.message_id, data)
                await until(lambda: len(desk.got) > before_tap, SLOW)  # noqa: B023
            await each_says([desk], names[other][3])
            await each_says([desk], "/team")

    for desk, other in ((ben, cleo), (cleo, ben)):
        own, foreign = names[desk][0][:4], names[other][0][:4]
        assert own in words_of(desk)
        assert foreign not in words_of(desk)
        for patient in patients[desk]:
            assert foreign not in words_of(patient)
            assert own not in words_of(patient)  # an alias is the therapist's word, not for the patient
    assert "Oak" not in words_of(lead) + words_of(cleo)
    _check_store(house, names, patients)


def _message_with(person: Person, label: str) -> Seen:
    return next(seen for seen in person.got if label in seen.labels)


def _check_store(
    house: House, names: dict[Person, list[str]], patients: dict[Person, list[Person]]
) -> None:
    """Everybody is the patient of whoever invited them, once, with the one answer that they gave."""
    with house.store.reading() as uow:
        for desk, theirs in patients.items():
            staff = uow.staff_at("telegram", str(desk.chat))
            assert staff
            assert {person.name for person in uow.patients_of(staff.id)} == set(names[desk])
            for name, patient in zip(names[desk], theirs, strict=True):
                person = uow.person_at("telegram", str(patient.chat))
                assert person
                assert (person.name, person.therapist_id) == (name, staff.id)
                assert len({answer.check_in_id for answer in uow.answers(person.id)}) == 1
        assert {staff.name for staff in uow.all_staff() if staff.left_at is None} == {"Anna", "Ben", "Cleo"}
