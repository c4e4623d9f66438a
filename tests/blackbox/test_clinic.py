"""A clinic with two therapists and their patients, all through the messaging channel: nothing crosses."""

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass

import pytest
from pypdf import PdfReader

from core.records import Staff
from core.store import SqlStore
from core.use_cases.digesting import plan_digest
from tests.blackbox.conftest import START, House, until
from tests.standin import Person
from tests.standin.people import Seen

MANY, FEW = 6, 4
SLOW = 30.0  # seconds that a few hundred messages may take on a busy machine
FIRST_ANSWERS = ("yes", "yes", "no", "no", "no", "no", "right", "4", "yes", "19:00")
CODE = re.compile(r"start=(\w+)|: ([\w-]+)$")
NEWCOMER = "s that the right person?"
IN_DANGER = 3


@dataclass
class Practice:
    """One therapist with the aliases of their patients, and these patients' own chats."""

    desk: Person
    aliases: list[str]
    patients: list[Person]

    @property
    def mark(self) -> str:
        """What every alias of theirs begins with, and no other text."""
        return self.aliases[0].partition("-")[0]


def practice(house: House, chat: int, name: str, mark: str, patients: int) -> Practice:
    """A therapist at work already, so that what is tested begins with the patients."""
    desk = hired(house, chat, name)
    aliases = [f"{mark}-{number:02}" for number in range(patients)]
    people = [house.standin.person(f"Patient {number}", chat=1000 * chat + number) for number in range(patients)]
    return Practice(desk, aliases, people)


def hired(house: House, chat: int, name: str, *, lead: bool = False) -> Person:
    staff = Staff(
        id=f"staff{chat}", clinic_id="clinic", channel="telegram", address=str(chat), name=name, lead=lead,
        therapist=True, language="en", zone="UTC", created_at=START,
    )  # fmt: skip
    with house.store.writing() as uow:
        uow.staff.save(plan_digest(staff, START))
        uow.commit()
    return house.standin.person(name, chat=chat)


async def all_say(people: Sequence[Person], texts: Sequence[str], replies: int = 1) -> None:
    """All of them at once, each their own text, and every one is answered."""
    before = [len(person.got) for person in people]
    for person, text in zip(people, texts, strict=True):
        person.says(text)
    await until(lambda: all(len(p.got) >= n + replies for p, n in zip(people, before, strict=True)), SLOW)


async def say(person: Person, text: str, replies: int = 1) -> str:
    await all_say([person], [text], replies)
    return person.last.text


async def tap_data(person: Person, seen: Seen, data: str) -> Seen:
    before = len(person.got)
    person.taps_data(seen.message_id, data)
    await until(lambda: len(person.got) > before, SLOW)
    return person.last


async def tap(person: Person, seen: Seen, label: str) -> Seen:
    """Tap a button of that very message."""
    data = next(b["callback_data"] for row in seen.buttons for b in row if b["text"] == label)
    return await tap_data(person, seen, data)


async def let_in(one: Practice) -> None:
    """Everybody is invited, uses the code, and is confirmed."""
    codes = []
    for alias in one.aliases:
        await say(one.desk, f"/invite {alias}", replies=3)  # what to do, the invitation, a sheet on paper
        found = CODE.search(one.desk.got[-2].text)
        assert found
        codes.append(found[1] or found[2])
    await all_say(one.patients, [f"/start {code}" for code in codes])
    await until(lambda: sum(NEWCOMER in text for text in one.desk.texts) == len(one.aliases), SLOW)
    for asked in [seen for seen in one.desk.got if NEWCOMER in seen.text]:
        await tap(one.desk, asked, "Yes, let them in")
    await until(lambda: all("Do you agree?" in person.last.text for person in one.patients), SLOW)


async def look_around(one: Practice) -> None:
    """The therapist reads whatever there is to read."""
    alias, desk = one.aliases[IN_DANGER], one.desk
    listed = await say(desk, "/caseload")
    assert f"1. {alias}: STOPPED for danger" in listed
    first_page = desk.last
    assert f"{alias}: RED FLAG" in await say(desk, "/notices")
    await say(desk, "/export", replies=2)
    page = await tap(desk, first_page, f"1. {alias}")
    assert page.photo
    assert page.text.startswith(alias)


async def try_the_others(one: Practice, other: Practice) -> None:
    """Every button the colleague ever got, a colleague's patient by name, and what only the lead may do."""
    for data in sorted(buttons_of(other.desk) - buttons_of(one.desk)):
        await tap_data(one.desk, one.desk.last, data)
    await say(one.desk, other.aliases[3])
    await say(one.desk, "/team")


def words_of(person: Person) -> str:
    """Everything that ever reached a chat: texts, labels, files."""
    labels = " ".join(label for seen in person.got for label in seen.labels)
    files = " ".join(file_text(seen.document[1]) for seen in person.got if seen.document)
    return " ".join([*person.texts, labels, files])


def file_text(content: bytes) -> str:
    """What can be read in a file; of a PDF every page."""
    if not content.startswith(b"%PDF"):
        return content.decode()
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


async def read_digests(house: House, *practices: Practice) -> None:
    """Monday, 07:30: each therapist gets message, picture and file, once; and again when asked for."""
    desks = [one.desk for one in practices]
    before = [len(desk.got) for desk in desks]
    house.at(7, "07:30")
    await until(lambda: all(desk.last.document for desk in desks), SLOW)
    for one, n in zip(practices, before, strict=True):
        text, picture, paper = one.desk.got[n:]
        assert text.text.startswith("Your week, Mon 2 Mar to Sun 8 Mar")
        assert f"1. {one.aliases[IN_DANGER]}: " in text.text
        assert picture.photo
        assert paper.document
        name, content = paper.document
        assert name.endswith(".pdf")
        assert all(alias in file_text(content) for alias in one.aliases)
        assert picture.protected
        assert not paper.protected  # a file is there to be kept
    desks[0].says("/digest 1")
    await until(lambda: len(desks[0].got) == before[0] + 6, SLOW)
    assert desks[0].got[-3].text == desks[0].got[-6].text


def buttons_of(person: Person) -> set[str]:
    return {b["callback_data"] for seen in person.got for row in seen.buttons for b in row}


@pytest.mark.parametrize("store_url", ["sqlite"], indirect=True)  # whose is whose is tested on both elsewhere
async def test_two_therapists_with_patients_hear_of_their_own_only(house: House):
    lead = hired(house, 1, "Anna", lead=True)
    ben, cleo = practice(house, 2, "Ben", "Oak", MANY), practice(house, 3, "Cleo", "Elm", FEW)
    everybody = [*ben.patients, *cleo.patients]
    async with house.serving():
        for one in (ben, cleo):
            await let_in(one)
        for answer in FIRST_ANSWERS[:-1]:
            await all_say(everybody, [answer] * len(everybody))
        await all_say(everybody, [FIRST_ANSWERS[-1]] * len(everybody), replies=3)
        assert all("Your first day is" in person.got[-3].text for person in everybody)
        assert all("What it is." in person.got[-2].text for person in everybody)
        assert all("What do you want to do again" in person.last.text for person in everybody)

        house.at(0, "19:00")
        await until(lambda: all("How much did your elbow hurt" in p.last.text for p in everybody), SLOW)
        pains = [number % 5 for one in (ben, cleo) for number in range(len(one.patients))]
        await all_say(everybody, [f"{pain}, all" for pain in pains])
        for pain, person in zip(pains, everybody, strict=True):
            assert f"pain {pain}, 4 of 4 sets" in person.last.text
        for one in (ben, cleo):
            before = len(one.desk.got)
            one.patients[IN_DANGER].says("my hand has gone numb")
            await until(lambda desk=one.desk, before=before: len(desk.got) > before)
            assert one.desk.last.text.startswith(f"{one.aliases[IN_DANGER]}: RED FLAG, to be seen within days, stopped")

        for one in (ben, cleo):
            await look_around(one)
        kept = diaries(house.store)
        for one, other in ((ben, cleo), (cleo, ben)):
            await try_the_others(one, other)
        assert diaries(house.store) == kept
        await read_digests(house, ben, cleo)

    for one, other in ((ben, cleo), (cleo, ben)):
        assert one.mark in words_of(one.desk)
        assert other.mark not in words_of(one.desk)
        for patient in one.patients:
            assert other.desk.first_name not in words_of(patient)
            assert one.mark not in words_of(patient)  # an alias is the therapist's word, not for the patient
    # nobody dealt with the two dangers for days: the lead hears of no more
    raised = [text for text in lead.texts if not text.startswith("The service last week:")]
    assert len(raised) == 2
    assert all(text.startswith("Nothing was noted about this for 4 hours.") for text in raised)
    check_store(house.store, ben, cleo)


def diaries(store: SqlStore) -> dict[str, object]:
    with store.reading() as uow:
        people = uow.people.all()
        return {
            each.id: (each, uow.diary.course_of(each.id), uow.diary.answers(each.id), uow.people.notes(each.id))
            for each in people
        }


def check_store(store: SqlStore, *practices: Practice) -> None:
    """Everybody is the patient of whoever invited them, with the one answer that they gave."""
    with store.reading() as uow:
        for one in practices:
            staff = uow.staff.at("telegram", str(one.desk.chat))
            assert staff
            assert {person.name for person in uow.people.of(staff.id)} == set(one.aliases)
            for number, (alias, patient) in enumerate(zip(one.aliases, one.patients, strict=True)):
                person = uow.people.at("telegram", str(patient.chat))
                assert person
                assert (person.name, person.therapist_id) == (alias, staff.id)
                assert [each.pain for each in uow.diary.answers(person.id) if each.pain is not None] == [number % 5]
