"""When something breaks: an update that cannot be handled and a person that fails hold up nobody else."""

import datetime as dt
from collections.abc import Callable

import pytest

from bot import ticks
from bot.conversation import router
from bot.ports import Came
from bot.receiving import inbox
from core.errors import StoreError, StoreTroubleError
from core.records import CheckInState
from core.use_cases import asking
from tests.bot.conversation.chat import Clinics, Patient


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
    before = {"ask": "check_in_facts", "remind": "check_in_facts", "close": "_was_asked"}[what]
    real = getattr(asking, before)

    def fail(*given):
        of = given[-1].person_id
        if of == broken:
            raise error
        return real(*given)

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
    real = asking.check_in_facts

    def full(*_: object):
        raise StoreTroubleError("the disk is full")

    clinic.clock.move_to(clinic.clock().replace(hour=19, minute=0))
    monkeypatch.setattr(asking, "check_in_facts", full)
    with pytest.raises(StoreTroubleError):
        ticks.tick(clinic.app)
    monkeypatch.setattr(asking, "check_in_facts", real)
    ticks.tick(clinic.app)

    clinic.put("cellist", Came.TEXT, text="4, did all")
    monkeypatch.setattr(inbox, "_handle", full)
    for _ in range(20):
        with pytest.raises(StoreTroubleError):
            inbox.handle_next(clinic.app)
    monkeypatch.undo()
    clinic.work()
    assert patient.check_in(0).pain == 4
