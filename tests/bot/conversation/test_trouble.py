"""When something breaks: an update that cannot be handled and a person that fails hold up nobody else."""

import asyncio
import datetime as dt
from collections.abc import Callable

import pytest

from bot.conversation import router
from bot.messaging import inbox
from bot.messaging.pace import Bucket, Pace
from bot.ports import Came
from bot.run import ticks
from bot.run.guiding import Guiding
from bot.run.in_store import at_once
from core.errors import StoreError, StoreTroubleError
from core.records import CheckInState
from core.use_cases import asking
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def broken_for(text: str, error: Exception) -> Callable[..., None]:
    """The real handling, which breaks after it has written, on one text."""

    def handle(work, came, house, key, **more):
        router.handle(work, came, house, key, **more)
        if came.text == text:
            raise error

    return handle


@pytest.mark.parametrize(
    ("error", "tries"),
    [(RuntimeError("a bug"), inbox.MOST_TRIES), (StoreError("breaks a rule"), inbox.MOST_TRIES_OF_STORE)],
    ids=["bug", "refused"],
)
def test_a_poisonous_update_is_set_aside_and_the_next_one_is_handled(
    clinic: Clinics, monkeypatch: pytest.MonkeyPatch, error: Exception, tries: int
):
    patient, other = Patient(clinic).enrols(), Patient(clinic, "bricklayer").enrols()
    clinic.live_to(0, "19:05")
    monkeypatch.setattr(inbox, "handle", broken_for("9, did none", error))
    clinic.put("cellist", Came.TEXT, text="9, did none")
    clinic.put("cellist", Came.TEXT, text="4, did all")
    clinic.put("bricklayer", Came.TEXT, text="2, did all")
    clinic.work()
    assert other.check_in(0).pain == 2  # another chat does not wait
    assert patient.check_in(0).pain is None
    failures = 1
    while patient.check_in(0).pain is None:
        assert failures < tries
        clinic.clock.move_to(clinic.clock() + dt.timedelta(seconds=61))
        failures += inbox.handle_next(clinic.app)
        clinic.work()
    assert failures == tries
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 4)  # of the first nothing is left
    texts = [shown.text for shown in patient.read()[-2:]]
    assert any("Something went wrong here" in text for text in texts)


def test_an_update_that_cannot_even_be_read_is_set_aside_too(clinic: Clinics):
    patient = Patient(clinic).enrols()
    clinic.put("cellist", Came.TEXT, nonsense=True)
    assert patient.types("hello") == []
    for _ in range(3):
        clinic.clock.move_to(clinic.clock() + dt.timedelta(seconds=61))
        clinic.work()
    assert "Something went wrong here" in "".join(shown.text for shown in patient.read()[-2:])


def test_a_database_in_trouble_counts_against_no_update(clinic: Clinics, monkeypatch: pytest.MonkeyPatch):
    patient = Patient(clinic).enrols()
    clinic.live_to(0, "19:05")
    clinic.put("cellist", Came.TEXT, text="4, did all")

    def refuse() -> None:
        raise StoreError("the database server cannot be reached")

    with monkeypatch.context() as trouble:
        trouble.setattr(clinic.store, "writing", refuse)
        trouble.setattr(clinic.store, "reading", refuse)
        for _ in range(20):
            with pytest.raises(StoreError):
                inbox.handle_next(clinic.app)
            with pytest.raises(StoreError):
                ticks.tick(clinic.app)
    clinic.work()
    assert patient.check_in(0).pain == 4


@pytest.mark.parametrize("error", [RuntimeError("a bug"), StoreError("breaks a rule")], ids=["bug", "refused"])
@pytest.mark.parametrize("what", ["ask", "remind", "close"])
def test_one_failing_person_in_a_tick_does_not_stop_the_others(
    clinic: Clinics, monkeypatch: pytest.MonkeyPatch, what: str, error: Exception
):
    first, second = Patient(clinic).enrols(), Patient(clinic, "bricklayer").enrols()
    if what != "ask":
        clinic.live_to(0, "19:05")
    broken = first.person().id
    before = {"ask": "_queue", "remind": "_queue", "close": "_was_asked"}[what]
    real = getattr(asking, before)

    def fail(*given, **named):
        of = given[1].id if before == "_queue" else given[-1].person_id
        if of == broken:
            raise error
        return real(*given, **named)

    until = {"ask": "19:20", "remind": "21:20", "close": "23:59"}[what]
    with monkeypatch.context() as trouble:
        trouble.setattr(asking, before, fail)
        clinic.live_to(0, until)
        if what == "close":
            clinic.live_to(1, "00:20")
    kind = {"ask": "How much did", "remind": "Still time", "close": ""}[what]
    assert any(kind in shown.text for shown in second.read())
    if what == "close":
        assert second.check_in(0).state == CheckInState.SILENT
        assert first.check_in(0).state == CheckInState.ASKED
        clinic.live_to(1, "02:00")  # put off, not lost
        assert first.check_in(0).state == CheckInState.SILENT
    else:
        clinic.live_to(0, "21:30")
        assert any(kind in shown.text for shown in first.read())


def test_a_disk_that_is_full_for_a_moment_puts_nobody_off(clinic: Clinics, monkeypatch: pytest.MonkeyPatch):
    """The large write of a question fails, while a small one that would put it off by minutes would pass."""
    patient = Patient(clinic).enrols()
    real = getattr(asking, "_queue")  # noqa: B009

    def full(*_: object, **__: object):
        raise StoreTroubleError("the disk is full")

    clinic.clock.move_to(clinic.clock().replace(hour=19, minute=0))
    monkeypatch.setattr(asking, "_queue", full)
    with pytest.raises(StoreTroubleError):
        ticks.tick(clinic.app)
    monkeypatch.setattr(asking, "_queue", real)
    ticks.tick(clinic.app)

    clinic.put("cellist", Came.TEXT, text="4, did all")
    monkeypatch.setattr(inbox, "_handle", full)
    for _ in range(20):
        with pytest.raises(StoreTroubleError):
            inbox.handle_next(clinic.app)
    monkeypatch.undo()
    clinic.work()
    assert patient.check_in(0).pain == 4


def test_nothing_due_writes_nothing(clinic: Clinics, monkeypatch: pytest.MonkeyPatch):
    def refuse() -> None:
        raise AssertionError("nothing is due")

    monkeypatch.setattr(clinic.store, "writing", refuse)
    assert ticks.tick(clinic.app) == 0


def damage(clinic: Clinics, change: str) -> None:
    with clinic.store.writing() as uow:
        uow.connection.exec_driver_sql(change)
        uow.commit()


@pytest.mark.parametrize(
    "change", ["people SET status = 'torn' WHERE id", "courses SET episode = 'torn' WHERE person_id"]
)
def test_a_damaged_row_is_put_off_by_itself_and_everybody_after_it_is_asked(
    clinic: Clinics, caplog: pytest.LogCaptureFixture, change: str
):
    first, second = Patient(clinic).enrols(), Patient(clinic, "bricklayer").enrols()
    ill = first.person().id
    damage(clinic, f"UPDATE {change} = '{ill}'")

    clinic.live_to(0, "19:20")

    assert any("How much did" in shown.text for shown in second.read())
    failed = [line.__dict__["id"] for line in caplog.records if line.message == "due work failed, put off"]
    assert failed
    assert set(failed) == {ill}


def test_a_name_and_a_dialogue_that_no_key_opens_stop_nobody_and_are_left_as_they_stand(
    clinic: Clinics, caplog: pytest.LogCaptureFixture
):
    patient = Patient(clinic).enrols()
    ill = patient.person().id
    damage(clinic, f"UPDATE people SET name = 'torn' WHERE id = '{ill}'")

    clinic.live_to(0, "19:20")
    damage(clinic, f"UPDATE dialogues SET facts = 'torn too' WHERE person_id = '{ill}'")

    assert patient.types("4, did all") == ["evening.outcome"]
    with clinic.store.reading() as uow:
        stored = uow.connection.exec_driver_sql(f"SELECT name FROM people WHERE id = '{ill}'").scalar()
    assert stored == "torn"
    lines = [line for line in caplog.records if line.message.startswith("a sealed text cannot be opened")]
    assert len(lines) == 2, "said once each, however often it is read"


def test_sealed_rows_that_no_key_opens_hide_nobody_else_from_staff_and_their_own_danger_is_told(clinic: Clinics):
    lead, ben = Desk(clinic, "anna", lead=True), Desk(clinic, "ben")
    ill, well = ben.has_many("Pastry cook", "Bricklayer")
    clinic.live_to(0, "19:05")
    ill.types("3, did 4, my new mattress is odd")
    well.types("2, did all")
    ill.types("my whole hand is numb")
    who = ill.person().id
    for change in (
        f"people SET name = 'torn' WHERE id = '{who}'",
        f"check_ins SET unread = 'torn', sign_words = 'torn' WHERE person_id = '{who}'",
        "notices SET facts = 'torn', text = 'torn'", "staff SET name = 'torn' WHERE id = 'staff-ben'",
        f"dialogues SET facts = 'torn' WHERE person_id = '{who}'",
    ):  # fmt: skip
        damage(clinic, f"UPDATE {change}")
    assert ben.sends("caseload")
    assert "Bricklayer" in ben.last()
    assert ben.opened(ill)
    for desk, command in ((ben, "notices"), (lead, "team"), (lead, "notices")):
        assert desk.sends(command), "worded, see Clinics.deliver"
    before = len(ben.read())
    well.types("my face droops on one side")
    ill.types("my hand is numb again")
    assert len(ben.read()) == before + 2, "danger of both is told"
    clinic.live_to(7, "12:00")
    assert "therapist.digest" in ben.sends("digest")


@pytest.mark.parametrize(
    "change",
    [
        "people SET status = 'torn' WHERE id", "courses SET episode = '{' WHERE person_id",
        "decisions SET decision = '{' WHERE course_id", "check_ins SET state = 'torn' WHERE person_id",
        "notices SET kind = 'torn' WHERE person_id",
    ],
)  # fmt: skip
def test_one_whose_row_cannot_be_read_is_named_and_hides_nobody_else(clinic: Clinics, change: str):
    lead, ben = Desk(clinic, "anna", lead=True), Desk(clinic, "ben")
    ill, well = ben.has_many("Pastry cook", "Bricklayer")
    clinic.live_to(0, "19:05")
    well.types("2, did all")
    ill.types("my whole hand is numb" if "notices" in change else "3, did 4")
    who, course = ill.person().id, ill.course().id
    damage(clinic, f"UPDATE {change} = '{course if 'course_id' in change else who}'")

    assert ben.sends("caseload") == ["therapist.caseload"]
    first, second = ben.last().splitlines()[-2:]
    assert first.startswith("1. Pastry cook: CANNOT BE READ"), "who needs the therapist first"
    assert second.startswith("2. Bricklayer")
    assert "(step 2 of 8" in second
    assert ben.taps(f"1.t.o.{who}") == ["therapist.refused"], "at once: nothing is tried again for minutes"
    assert "holdlower check" in ben.last()
    assert ben.opened(well)
    for desk, command in ((ben, "notices"), (ben, "export"), (lead, "clinic"), (lead, "team"), (lead, "notices")):
        assert desk.sends(command), "worded, see Clinics.deliver"
    clinic.live_to(1, "19:05")
    well.types("my face droops on one side")
    ill.types("my face droops on one side")
    for name in ("Bricklayer", "Pastry cook"):
        assert any(name in each.text and "droops" in each.text for each in ben.read()), "danger of both"
    clinic.live_to(2, "12:00")
    told = [each for each in ben.read() if each.text.startswith("What I keep about Pastry cook cannot be read")]
    assert len(told) == 1, "however often it fails"
    assert "therapist.digest" in ben.sends("digest")
    assert any("CANNOT BE READ: Pastry cook. Ask" in each.text for each in ben.read()[-4:])
    with clinic.store.reading() as uow:
        table, column, torn = change.split()[0], change.split()[2], change.split("'")[1]
        stored = uow.connection.exec_driver_sql(f"SELECT {column} FROM {table} WHERE {column} = '{torn}'").all()
    assert stored, "left as it stands"


def test_a_set_whose_plan_cannot_be_read_is_given_up_and_the_therapist_is_told(clinic: Clinics):
    ben = Desk(clinic, "ben")
    (ill,) = ben.has_many("Pastry cook")
    clinic.live_to(1, "10:00")
    ill.sends("today")
    ill.taps_label("Start a set")
    damage(clinic, "UPDATE guided_sets SET plan = '{'")
    clinic.clock.move_to(clinic.clock() + dt.timedelta(seconds=10))
    sets = Guiding(clinic.app, {}, Pace(Bucket(25.0)), at_once)

    asyncio.run(sets.step())

    clinic.deliver()
    assert ben.last().startswith("What I keep about Pastry cook cannot be read")
    with clinic.store.reading() as uow:
        assert uow.sets.next_at() is None
