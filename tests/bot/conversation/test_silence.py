"""A silent fortnight and what follows: one other message, fewer and fewer, and an answer brings each evening back.

That adherence halves after the first month is from Gatz 2020; how often to ask somebody silent is judgement.
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


def mornings(clinic: Clinics, patient: Patient, day: int) -> list[str]:
    """What comes in the morning of that day."""
    before = len(clinic.delivered)
    clinic.live_to(day, "12:00")
    return [shown.text for _, each, shown in clinic.delivered[before:] if each.address == patient.address]


def test_a_rest_or_a_short_day_that_ends_on_a_silent_evening_is_followed_by_the_word_of_the_dose(clinic: Clinics):
    desk = Desk(clinic, "ben")
    severe, high, calm = desk.has_many("Cellist", "Bricklayer", "Upholsterer")
    clinic.live_to(0, "19:05")
    severe.types("8, did all")
    severe.types("no")
    assert "rest day" in severe.last()
    high.types("7, did all")
    assert "2 holds" in high.last()
    calm.types("3, did all")
    clinic.live_to(1, "23:30")  # nobody answers on the second evening
    for each in (severe, high):
        (text,) = mornings(clinic, each, 2) if each is severe else [each.last()]
        assert "was for that day only" in text
        assert "Today, Wed 4 Mar: 1 to 2 minutes of gentle moves, then 4 holds" in text
    assert "that day only" not in calm.last(), "the same dose as before is no news"
    clinic.live_to(2, "23:30")
    clinic.live_to(3, "12:00")
    assert sum("that day only" in shown.text for shown in severe.read()) == 1


def test_the_first_sets_after_an_injections_rest_are_told_though_nobody_answered(clinic: Clinics):
    desk = Desk(clinic, "ben")
    (patient,) = desk.has_many("Cellist")
    clinic.live_to(0, "19:05")
    patient.types("4, did all")
    patient.types("I got a cortisone injection today")
    until = patient.course().episode.unloaded_until
    assert until
    first = (until - clinic.clock().date()).days
    for day in range(1, first - 1):
        clinic.live_to(day, "19:05")
        patient.types("3")
    clinic.live_to(first - 1, "23:30")
    (text,) = mornings(clinic, patient, first)
    assert "was for that day only" in text
    assert "holds of" in text


def test_an_answer_after_midnight_takes_the_word_of_the_dose_back(clinic: Clinics, patient: Patient):
    clinic.live_to(0, "19:05")
    patient.types("7, did all")
    clinic.live_to(2, "00:30")
    patient.types("3, did all")
    assert mornings(clinic, patient, 2) == []
