"""A therapist has one person asked about the morning: EVIDENCE 17.2, the next morning."""

from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk


def switches(desk: Desk, about: str) -> None:
    desk.taps(f"1.t.morning.{about}")
    desk.types("sore mornings")
    (kind,) = desk.taps(next(data for data in desk.buttons().values() if data.startswith("1.t.y.")))
    assert kind == "therapist.act.done"


def test_one_person_is_asked_each_evening_how_the_morning_was_until_it_is_switched_off(clinic: Clinics):
    desk = Desk(clinic, "ben")
    (patient,) = desk.has_many("Pastry cook")
    clinic.live_to(0, "19:05")
    assert "woke up" not in patient.last()
    switches(desk, patient.person().id)

    clinic.live_to(1, "19:05")
    assert "worse when you woke up" in patient.last()
    assert patient.taps_label("Woke up worse") == ["evening.morning"]
    assert patient.types("3, all") == ["evening.outcome"]
    assert "Worse when you woke up" in patient.last()
    asked = patient.check_in(1).sets_asked
    clinic.live_to(2, "19:05")
    assert patient.check_in(2).sets_asked == asked // 2
    patient.types("3, all")
    late = patient.buttons().get("Woke up worse")
    assert late is None

    switches(desk, patient.person().id)
    clinic.live_to(3, "19:05")
    assert "woke up than" not in patient.last()
