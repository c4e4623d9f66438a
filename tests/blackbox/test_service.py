"""A patient's days through the messaging channel: every call is checked against the service's own description."""

from core.records import CheckInState, OutboxState, Status
from tests.blackbox.conftest import House, until
from tests.standin import DropAfter, Person


async def answered(person: Person, before: int) -> str:
    """The text that came after `before` messages."""
    await until(lambda: len(person.got) > before)
    return person.last.text


async def say(person: Person, text: str) -> str:
    before = len(person.got)
    person.says(text)
    return await answered(person, before)


async def tap(person: Person, label: str) -> str:
    before = len(person.got)
    person.taps(label)
    return await answered(person, before)


async def enrol(house: House, person: Person) -> None:
    assert "Do you agree?" in await say(person, f"/start {house.code()}")
    nothing = "None of these"
    for label in ("Yes", "Yes, all of it", nothing, nothing, "No", nothing, "Right", "4", "Yes"):
        await tap(person, label)
    before = len(person.got)
    person.taps("19:00")
    await until(lambda: len(person.got) == before + 3)
    first, second, third = person.got[before:]
    assert "Your first day is Mon 2 Mar" in first.text
    assert "What it is." in second.text
    assert "What do you want to do again" in third.text


async def asked(house: House, person: Person, day: int) -> None:
    before = len(person.got)
    house.at(day, "19:00")
    assert "How much did your elbow hurt today" in await answered(person, before)


async def test_a_cellist_enrols_answers_by_two_taps_and_next_day_by_one_line(house: House):
    cellist = house.standin.person("Cellist", chat=1001)
    async with house.serving():
        await enrol(house, cellist)

        await asked(house, cellist, 0)
        assert "How many of the 4 sets" in await tap(cellist, "4")
        outcome = await tap(cellist, "3")
        assert "Noted for Mon 2 Mar: pain 4, 3 of 4 sets." in outcome
        assert "Tue 3 Mar: 1 to 2 minutes of gentle moves, then 4 holds of 30 seconds" in outcome

        await asked(house, cellist, 1)
        assert "Noted for Tue 3 Mar: pain 3, 4 of 4 sets." in await say(cellist, "3, did all")
        assert len(house.standin.confirmed_taps) == 12


async def test_an_edited_line_changes_the_answer_and_an_old_button_changes_nothing(house: House):
    bricklayer = house.standin.person("Bricklayer", chat=1002)
    async with house.serving():
        await enrol(house, bricklayer)
        await asked(house, bricklayer, 0)
        first_question = bricklayer.last
        line = bricklayer.says("4, did all")
        assert "Noted for Mon" in await answered(bricklayer, len(bricklayer.got))

        before = len(bricklayer.got)
        bricklayer.edits(line, "6, did all")
        assert "Changed for Mon 2 Mar: pain 6, 4 of 4 sets." in await answered(bricklayer, before)

        await asked(house, bricklayer, 1)
        before = len(bricklayer.got)
        bricklayer.taps_data(first_question.message_id, first_question.buttons[1][2]["callback_data"])
        assert "That button was for Mon 2 Mar" in await answered(bricklayer, before)

    with house.store.reading() as uow:
        person = uow.people.at("telegram", "1002")
        course = uow.diary.course_of(person.id)
        monday, tuesday = uow.diary.evenings(course.id, house.clock().date().replace(day=1), house.clock().date())
    assert (monday.pain, monday.sets_done) == (6, 4)
    assert tuesday.pain is None


async def test_danger_beside_a_number_stops_the_programme_and_is_noticed_at_once(house: House):
    hygienist = house.standin.person("Dental hygienist", chat=1003)
    async with house.serving():
        await enrol(house, hygienist)
        await asked(house, hygienist, 0)

        warned = await say(hygienist, "5, did all but my hand has gone numb")

        assert "within the next few days" in warned
        assert "call 000" not in warned, "the number stands in the text of an emergency alone"
        assert "I have stopped your programme." in warned
        house.at(1, "19:30")
        assert "stopped" in await say(hygienist, "/today")
    with house.store.reading() as uow:
        (notice,) = uow.notices.newest()
        course = uow.diary.course_of(notice.person_id)
        assert uow.diary.latest_check_in(course.id).pain == 5
    assert notice.text == "5, did all but my hand has gone numb"
    assert not [text for text in hygienist.texts[-1:] if "How much did your elbow hurt" in text]


async def test_an_answer_given_while_we_were_down_counts_before_the_day_is_closed(house: House):
    cook = house.standin.person("Pastry cook", chat=1004)
    async with house.serving():
        await enrol(house, cook)
        await asked(house, cook, 0)
    house.at(0, "22:00")
    cook.says("4, all")
    house.at(1, "08:00")

    async with house.serving():
        await until(lambda: "Noted for Mon 2 Mar: pain 4" in cook.last.text)

    with house.store.reading() as uow:
        course = uow.diary.course_of(uow.people.at("telegram", "1004").id)
        assert uow.diary.latest_check_in(course.id).state == CheckInState.ANSWERED


async def test_a_question_missed_by_more_than_three_hours_is_noted_as_not_asked(house: House):
    upholsterer = house.standin.person("Upholsterer", chat=1005)
    async with house.serving():
        await enrol(house, upholsterer)
    house.at(0, "23:30")
    before = len(upholsterer.got)
    async with house.serving():
        with house.store.reading() as uow:
            course = uow.diary.course_of(uow.people.at("telegram", "1005").id)

        def state() -> CheckInState | None:
            with house.store.reading() as uow:
                latest = uow.diary.latest_check_in(course.id)
            return latest.state if latest else None

        await until(lambda: state() == CheckInState.NOT_ASKED)
        await asked(house, upholsterer, 1)
    assert len(upholsterer.got) == before + 1


async def test_somebody_who_blocks_the_bot_is_left_alone_and_the_clinic_is_told(house: House):
    cellist = house.standin.person("Cellist", chat=1006)
    async with house.serving():
        await enrol(house, cellist)
        cellist.blocks()

        def status() -> Status:
            with house.store.reading() as uow:
                return uow.people.at("telegram", "1006").status

        await until(lambda: status() == Status.UNREACHABLE)
        house.at(3, "12:00")
        cellist.unblocks()
        await answered(cellist, len(cellist.got))
        assert any("Welcome back." in text for text in cellist.texts)  # a question comes right behind it
    with house.store.reading() as uow:
        assert [notice.kind.value for notice in uow.notices.newest()] == ["unreachable"]


async def test_a_send_whose_delivery_is_unknown_is_repeated_once_and_no_more(house: House):
    cook = house.standin.person("Pastry cook", chat=1007)
    async with house.serving():
        await enrol(house, cook)
        with house.store.reading() as uow:
            course = uow.diary.course_of(uow.people.at("telegram", "1007").id)

        def question() -> OutboxState | None:
            with house.store.reading() as uow:
                return uow.outbox.state(f"evening.ask:{course.id}:2026-03-02")

        house.standin.troubles.add("sendMessage", DropAfter())
        before = len(cook.got)
        house.at(0, "19:00")
        await until(lambda: len(cook.got) == before + 1 and question() != OutboxState.SENDING)
        house.at(0, "19:05")
        await until(lambda: len(cook.got) == before + 2)
        await until(lambda: question() == OutboxState.SENT)
        house.at(0, "20:00")
        assert "How many of the 4 sets" in await tap(cook, "3")
    assert len(cook.got) == before + 3


async def test_a_stranger_gets_a_polite_way_in_and_nothing_else(house: House):
    stranger = house.standin.person("Passer-by", chat=1008)
    async with house.serving():
        assert "therapist has invited" in await say(stranger, "hello, 4 and all done")
        assert "did not work" in await say(stranger, "/start AAAABBBBCCCC")
    with house.store.reading() as uow:
        assert uow.people.all() == ()


async def test_two_people_at_once_do_not_cross(house: House):
    one, other = house.standin.person("Cellist", chat=1009), house.standin.person("Bricklayer", chat=1010)
    async with house.serving():
        await enrol(house, one)
        await enrol(house, other)
        had = len(one.got), len(other.got)
        house.at(0, "19:00")
        await until(lambda: len(one.got) > had[0] and len(other.got) > had[1])
        data = next(b["callback_data"] for row in one.last.buttons for b in row if b["text"] == "9")
        before = len(other.got)
        other.taps_data(other.last.message_id, data)  # a forwarded button of somebody else's
        assert "earlier question" in await answered(other, before)
        assert "Noted for Mon 2 Mar: pain 2, 1 of 4" in await say(one, "2, did 1")
        assert "Noted for Mon 2 Mar: pain 7, 4 of 4" in await say(other, "7, did 4")
