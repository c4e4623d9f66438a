"""Whoever sends far too much: everything is heard and kept, one sentence answers until they pause, danger always."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

from bot.messaging.inbox import MOST_A_MINUTE, handle_next
from bot.ports import Came
from bot.run.opening import found_app
from bot.settings import load_settings
from core.records import OutboxState
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, days

LIMIT = 5


def limited(clinic: Clinics) -> None:
    """From now on five messages a minute."""
    clinic.app = replace(clinic.app, most_a_minute=LIMIT)


def wait(clinic: Clinics, seconds: float) -> None:
    clinic.clock.move_to(clinic.clock() + dt.timedelta(seconds=seconds))


def test_after_the_limit_one_sentence_and_then_nothing_until_a_pause(clinic: Clinics, patient: Patient):
    wait(clinic, 61)
    limited(clinic)
    answers = [patient.sends("help") for _ in range(30)]
    assert answers[:LIMIT] == [["help"]] * LIMIT
    assert answers[LIMIT:] == [["chat.slow"]] + [[]] * (30 - LIMIT - 1)
    assert "112" in patient.last()
    wait(clinic, 59)
    assert patient.sends("help") == []
    wait(clinic, 61)
    assert patient.sends("help") == ["help"]


def test_a_steady_flood_reads_the_sentence_once_in_ten_minutes(clinic: Clinics, patient: Patient):
    wait(clinic, 61)
    limited(clinic)
    answers = []
    for _ in range(240):  # one each five seconds, for twenty minutes
        answers += patient.sends("help")
        wait(clinic, 5)
    assert 2 <= answers.count("chat.slow") <= 3
    assert len(answers) < LIMIT + 6


def test_what_is_said_in_a_flood_still_counts(clinic: Clinics, patient: Patient):
    clinic.live_to(0, "19:05")
    limited(clinic)
    for _ in range(9):
        patient.types("help")
    assert patient.types("3, did all") == []
    assert (patient.check_in(0).pain, patient.check_in(0).state.value) == (3, "answered")
    wait(clinic, 61)
    assert patient.sends("why") == ["why"], "what came of it can be read once it is quiet"


def test_words_of_danger_are_answered_in_any_flood_and_the_therapist_is_told(clinic: Clinics):
    ben = Desk(clinic, "ben")
    cook = ben.has_many("Pastry cook")[0]
    days(clinic, {cook: ["4, all"]})
    limited(clinic)
    for _ in range(50):
        cook.types("hello")
    assert cook.types("I have crushing chest pain and cannot breathe") == ["danger"]
    assert "112" in cook.last()
    assert "crushing chest pain" in ben.last()
    assert cook.course().episode.paused_for is not None


def test_one_chat_in_flood_keeps_nobody_else_waiting(clinic: Clinics, patient: Patient):
    wait(clinic, 61)
    limited(clinic)
    other = Patient(clinic, "bricklayer")
    for _ in range(40):
        clinic.put(patient.address, Came.TEXT, text="hello")
    assert other.types("hello") == ["stranger.way_in"]


def test_strangers_and_staff_are_limited_too(clinic: Clinics):
    ben = Desk(clinic, "ben")
    limited(clinic)
    for who, kind in ((Patient(clinic, "stranger"), "stranger.way_in"), (ben, "therapist.help")):
        answers = [who.sends("help") for _ in range(LIMIT + 10)]
        assert answers == [[kind]] * LIMIT + [["chat.slow"]] + [[]] * 9


def test_a_flooding_stranger_tries_no_codes(clinic: Clinics):
    limited(clinic)
    stranger = Patient(clinic, "stranger")
    for number in range(LIMIT):
        stranger.sends("start", f"guess {number}")
    code = clinic.invite()
    stranger.sends("start", code)
    assert clinic.snapshot() == {}
    wait(clinic, 61)
    assert stranger.sends("start", code) == ["enrol.consent"]


def test_to_be_forgotten_is_confirmed_in_any_flood(clinic: Clinics, patient: Patient):
    limited(clinic)
    for _ in range(20):
        patient.sends("erase")
    assert patient.types("erase") == ["erase.done"]
    assert clinic.snapshot() == {}


def test_nothing_of_a_flood_is_left_waiting(clinic: Clinics, patient: Patient):
    limited(clinic)
    for _ in range(60):
        clinic.put(patient.address, Came.TEXT, text="hello")
    handled = 0
    while handle_next(clinic.app):
        handled += 1
    assert handled == 60
    with clinic.store.reading() as uow:
        assert uow.outbox.state(f"slow:chat:{patient.address}:{int(clinic.clock().timestamp()) // 600}") in (
            OutboxState.PENDING, OutboxState.SENT,
        )  # fmt: skip


def test_the_service_has_a_limit_that_no_honest_run_of_taps_reaches(tmp_path: Path):
    app = found_app(load_settings({"HOME": str(tmp_path)}))
    store = app.store
    store.close()
    assert app.most_a_minute == MOST_A_MINUTE
    assert MOST_A_MINUTE > 2 * 11  # the taps of enrolling
