"""Staff who talk with the whole program, and patients of theirs who live through the real rule."""

import datetime as dt
from dataclasses import replace
from typing import Any

from core.records import Dialogue, Person, Role, Staff, Status
from core.use_cases.enrolling import begin_course
from core.use_cases.joining import invite_as
from tests.bot.conversation.chat import CHANNEL, CLINIC, MORNING, Clinics, Patient

FIRST_ANSWERS = ("yes", "yes", "no", "no", "no", "no", "right", "4", "yes", "19:00")


class Desk(Patient):
    """One chat of a therapist or the lead. What it does returns the kinds of message read in answer."""

    def __init__(self, clinic: Clinics, address: str, **given: Any) -> None:
        super().__init__(clinic, address)
        staff = Staff(
            id=f"staff-{address}", clinic_id=CLINIC, channel=CHANNEL, address=address, name=f"Therapist {address}",
            lead=False, therapist=True, language="en", zone="Europe/Lisbon", created_at=MORNING,
        )  # fmt: skip
        with clinic.store.writing() as uow:
            uow.staff.save(replace(staff, **given))
            uow.commit()

    @property
    def me(self) -> Staff:
        with self.clinic.store.reading() as uow:
            found = uow.staff.at(CHANNEL, self.address)
        assert found
        return found

    def dialogue(self) -> Dialogue:
        with self.clinic.store.reading() as uow:
            return uow.dialogues.get(self.me.id)

    def trail(self, person: Patient | None = None) -> list[str]:
        """What the trail has of them, newest first."""
        with self.clinic.store.reading() as uow:
            audits = uow.audit.latest(person.person().id if person else None, limit=1000)
        return [each.action for each in audits if each.staff_id == self.me.id]

    # patients of theirs
    def code(self, name: str, role: Role = Role.PATIENT) -> str:
        code = f"CODE{next(self.clinic.numbers)}"
        with self.clinic.store.writing() as uow:
            invite_as(self.clinic.app.work(uow), self.me, role, code, name)
            uow.commit()
        return code

    def has(self, name: str, rating: str = "4") -> Patient:
        """A patient who used an invitation, was confirmed, and has answered the first questions."""
        patient = Patient(self.clinic, name[:20])
        patient.sends("start", self.code(name))
        self.tap_about("c", patient)
        for answer in (*FIRST_ANSWERS[:7], rating, *FIRST_ANSWERS[8:]):
            patient.types(answer)
        assert [each.kind for _, each, _ in self.clinic.delivered[-3:]] == ["enrol.done", "learn", "goals.offer"]
        return patient

    def has_many(self, *names: str) -> list[Patient]:
        """Patients whose course has begun, without the talk that led to it."""
        with self.clinic.store.writing() as uow:
            work = self.clinic.app.work(uow)
            for name in names:
                person = Person(
                    id=work.new_id(), clinic_id=CLINIC, channel=CHANNEL, address=name[:20], language="en",
                    zone="Europe/Lisbon", evening=dt.time(19), status=Status.ENROLLING, created_at=MORNING, name=name,
                    therapist_id=self.me.id,
                )  # fmt: skip
                uow.people.save(person)
                begin_course(work, person, {"side": "right", "rating": 4})
            uow.commit()
        return [Patient(self.clinic, name[:20]) for name in names]

    # doing
    def tap_about(self, verb: str, patient: Patient, arg: str = "") -> list[str]:
        return self.taps(f"1.t.{verb}.{patient.person().id}" + (f".{arg}" if arg else ""))

    def opened(self, patient: Patient) -> str:
        assert self.tap_about("o", patient) == ["therapist.person"]
        return self.last()

    def says_yes(self) -> list[str]:
        return self.taps(self.buttons()["Yes"])


def days(clinic: Clinics, patients: dict[Patient, list[str]]) -> None:
    """Evenings one after the other, each answered by what the lists say; "" is silence."""
    length = max(len(answers) for answers in patients.values())
    first = (clinic.clock().date() - MORNING.date()).days
    for day in range(length):
        clinic.live_to(first + day, "19:05")
        for patient, answers in patients.items():
            if day < len(answers) and answers[day]:
                patient.types(answers[day])
    clinic.live_to(first + length, "09:00")


def whole(clinic: Clinics) -> dict[str, Any]:
    """Everything kept of patients and of staff, but for the traffic, the trail, and what is being asked just now."""
    kept = clinic.snapshot()
    for person in kept.values():
        person.pop("dialogue")
    with clinic.store.reading() as uow:
        staff = {each.id: each for each in uow.staff.all()}
        notes = {who: uow.people.notes(who) for who in kept}
    return {"people": kept, "staff": staff, "notes": notes}


def standing(patient: Patient) -> dict[str, Any]:
    """How a patient stands, without the record of how it came to that."""
    return {"person": patient.person(), "course": patient.course()}
