"""A silent fortnight and what follows: one other message, fewer and fewer, and an answer brings each evening back.

That adherence halves after the first month is evidence row J4; how often to ask somebody silent is judgement.
"""

from core.model import NoticeKind
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def asked_on(clinic: Clinics, patient: Patient, days: range) -> dict[int, str]:
    """The question of each day, and its reminder where there was one."""
    asked = {}
    for day in days:
        before = len(clinic.delivered)
        clinic.live_to(day, "23:00")
        kinds = [each.kind for _, each, _ in clinic.delivered[before:] if each.address == patient.address]
        questions = [kind for kind in kinds if kind.startswith(("evening.ask", "evening.remind", "silence."))]
        if questions:
            asked[day] = " ".join(questions)
    return asked


def test_a_silent_month_is_asked_less_and_less_and_never_ten_times_the_same(clinic: Clinics):
    desk = Desk(clinic, "ben")
    patient = desk.has_many("Cellist")[0]
    assert asked_on(clinic, patient, range(34)) == {
        0: "evening.ask evening.remind", 1: "evening.ask evening.remind", 2: "evening.ask evening.remind",
        3: "silence.ask", 6: "silence.again", 9: "silence.again", 12: "silence.again",
        19: "silence.weekly", 26: "silence.weekly", 33: "silence.weekly",
    }  # fmt: skip
    assert NoticeKind.SILENT.value in clinic.notices(), "the therapist hears of it as before"

    patient.types("4, none")
    assert asked_on(clinic, patient, range(34, 36)) == {
        34: "evening.ask evening.remind", 35: "evening.ask evening.remind"
    }  # fmt: skip


def test_what_is_in_the_way_gets_an_answer_and_reaches_the_therapist_only_if_wanted(clinic: Clinics):
    desk = Desk(clinic, "ben")
    patient = desk.has_many("Cellist")[0]
    clinic.live_to(3, "19:05")
    for label, kind in (
        ("No time", "time"), ("It hurts", "hurts"), ("I forget", "forgot"), ("It does not help", "no_help")
    ):  # fmt: skip
        asked = next(shown for shown in reversed(patient.read()) if "three evenings" in shown.text)
        data = next(each.data for row in asked.buttons for each in row if each.label == label)
        assert patient.taps(data) == [f"silence.{kind}"]
    known = len(clinic.notices())
    assert patient.taps_label("Tell my therapist") == ["silence.passed"]
    assert len(clinic.notices()) == known + 1
    assert "it does not help" in desk.last()
    assert patient.types("3, did 1") == ["evening.outcome", "meanwhile.ask"], "the evening is still open"


def test_a_break_shows_no_dose_and_says_what_is_not_counted(patient: Patient):
    patient.sends("pause")
    patient.types("7")
    assert patient.sends("today") == ["away.still"]
    assert patient.types("4, did all") == ["away.not_counted"], "nothing is thrown away without a word"
