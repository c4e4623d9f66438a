"""What a lead reads of the clinic in the chat, and what patients read while nobody is there."""

import datetime as dt
from dataclasses import replace
from typing import Any

from core.records import Audit
from core.store import SqlStore
from tests.bot.conversation.chat import CLINIC, Clinics
from tests.bot.conversation.staff.desk import Desk, days

HOURS = "Mon-Fri 08:00-18:00"


def with_hours(clinic: Clinics, **given: Any) -> None:
    with clinic.store.writing() as uow:
        uow.clinics.save(replace(uow.clinics.get(), hours=HOURS, **given))
        uow.commit()


def test_the_lead_sees_how_the_clinic_stands_and_a_therapist_does_not(sqlite_store: SqlStore):
    clinic = Clinics(sqlite_store)
    anna, ben = Desk(clinic, "anna", lead=True), Desk(clinic, "ben")
    ben.has_many("Pastry cook")
    anna.code("Wall bricklayer")
    with_hours(clinic, keep_months=24)

    assert anna.sends("clinic") == ["therapist.clinic"]
    said = anna.last()
    for words in (
        "Fennel Lane", "anna: 0 patients (you, lead)", "ben: 1 patient", "1 invitation can still be used",
        "Wall bricklayer", "NO COPY OF THE DATABASE WAS EVER MADE", "0 messages wait.",
        "Call 112 if your life may be in danger.", "Open: Mon-Fri 08:00-18:00.", "anonymous after 24 months",
        "holdlower 0.1.0",
    ):  # fmt: skip
        assert words in said.replace("\u2068", "").replace("\u2069", ""), words
    assert "Closed now" not in said
    with clinic.store.writing() as uow:
        uow.audit.add(Audit(CLINIC, "", clinic.clock(), "backup"))
        uow.commit()
    clinic.live_to(0, "20:00")
    anna.sends("clinic")
    assert "Last copy of the database: Mon 2 Mar, 09:00." in anna.last()
    assert "Closed now. Whoever writes of danger, a problem or a question reads: The clinic is closed" in anna.last()

    assert ben.sends("clinic") == ["therapist.refused"]


def test_outside_the_hours_danger_and_questions_hear_when_somebody_reads(sqlite_store: SqlStore):
    clinic = Clinics(sqlite_store)
    ben = Desk(clinic, "ben", lead=True)
    cook = ben.has_many("Pastry cook")[0]
    with_hours(clinic)
    clinic.live_to(4, "17:00")  # a Friday
    cook.sends("problem")
    assert cook.types("the band has torn") == ["problem.noted"]
    clinic.live_to(4, "20:00")
    assert cook.types("my hand has gone numb") == ["danger", "clinic.closed"]
    assert cook.last() == (
        "The clinic is closed now. It opens on Mon 9 Mar at 08:00. If you cannot wait: "
        "Call 112 if your life may be in danger."
    )


def test_who_needs_help_at_once_reads_nothing_of_waiting(sqlite_store: SqlStore):
    clinic = Clinics(sqlite_store)
    ben = Desk(clinic, "ben", lead=True)
    cook, mason = ben.has_many("Pastry cook", "Wall bricklayer")
    with_hours(clinic)
    clinic.live_to(4, "20:00")
    assert cook.types("crushing pain in my chest and down my left arm") == ["danger"]
    assert mason.types("i do not want to live any more") == ["danger"]


def test_the_lead_hears_each_week_how_the_service_did_and_a_therapist_does_not(sqlite_store: SqlStore):
    clinic = Clinics(sqlite_store)
    anna, ben = Desk(clinic, "anna", lead=True), Desk(clinic, "ben")
    cook, mason = ben.has_many("Pastry cook", "Wall bricklayer")
    for desk in (anna, ben):
        with clinic.store.writing() as uow:
            uow.staff.save(replace(desk.me, next_digest=dt.datetime(2026, 3, 9, 7, 30, tzinfo=dt.UTC)))
            uow.commit()
    days(clinic, {cook: ["4, all"] * 6, mason: ["3, all", "", "3, all"]})
    mason.types("my hand has gone numb")
    clinic.live_to(7, "06:00")
    ben.tap_about("f", mason)
    clinic.live_to(7, "08:00")

    lines = [each.text for each in anna.read() if each.text.startswith("The service last week")]
    (line,) = lines
    assert "questions asked, 8 answered." in line
    assert "1 notice, 1 dealt with." in line
    assert not [each for each in ben.read() if each.text.startswith("The service last week")]
