"""Fewer evenings while a course only keeps what was gained, if the therapist allows; nothing is missed for it."""

from core.records import CheckInState
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def act(desk: Desk, verb: str, about: str, *typed: str) -> None:
    desk.taps(f"1.t.{verb}.{about}")
    for each in typed:
        desk.types(each)
    (kind,) = desk.taps(next(data for data in desk.buttons().values() if data.startswith("1.t.y.")))
    assert kind == "therapist.act.done"


def kept_up(clinic: Clinics) -> tuple[Desk, Patient]:
    """Somebody whom the therapist put on the last step after a week of little pain."""
    desk = Desk(clinic, "ben")
    (patient,) = desk.has_many("Pastry cook")
    for day in range(8):
        clinic.live_to(day, "19:05")
        patient.types("1, did all")
    act(desk, "g", patient.person().id, "9", "she is well")
    return desk, patient


def evenings(clinic: Clinics, patient: Patient, days: range, line: str = "1, did all") -> str:
    """Each day: asked with sets (x), asked on a rest day (r), or not asked (-); what is asked is answered."""
    seen = ""
    for day in days:
        before = len(clinic.delivered)
        clinic.live_to(day, "19:05")
        asked = any(each.kind == "evening.ask" for _, each, _ in clinic.delivered[before:])
        check_in = patient.check_in(day)
        seen += ("x" if check_in.sets_asked else "r") if asked else "-"
        if asked:
            patient.types(line)
        else:
            assert check_in.state is CheckInState.NOT_ASKED
    return seen


def test_on_the_last_step_rest_days_pass_without_a_question_once_it_is_allowed(clinic: Clinics):
    desk, patient = kept_up(clinic)
    assert set(evenings(clinic, patient, range(8, 15))) == {"x", "r"}
    desk.taps(f"1.t.o.{patient.person().id}")
    assert "Fewer evenings" in desk.buttons()

    act(desk, "second", patient.person().id, "all calm")
    told = next(each.text for each in reversed(patient.read()) if "every second evening" in each.text)
    assert "You can write to me on any day" in told
    fortnight = evenings(clinic, patient, range(15, 29))
    assert set(fortnight) == {"x", "-"}
    assert (fortnight.count("x"), "---" in fortnight) == (6, False)
    assert patient.course().episode.silent_days == 0
    desk.sends("patients")
    assert not any(code in desk.last() for code in ("silent", "no answer"))

    act(desk, "second", patient.person().id, "I would like to see each one")
    assert "each evening again" in patient.last()
    assert set(evenings(clinic, patient, range(29, 36))) == {"x", "r"}


def test_a_rise_brings_back_each_evening_and_calm_lets_them_pass_again(clinic: Clinics):
    desk, patient = kept_up(clinic)
    act(desk, "second", patient.person().id, "all calm")
    assert "-" in evenings(clinic, patient, range(8, 15))
    worse = next(d for d in range(15, 20) if evenings(clinic, patient, range(d, d + 1), "4, did all") == "x")
    assert "-" not in evenings(clinic, patient, range(worse + 1, worse + 4), "2, did all"), "each evening again"
    assert "-" in evenings(clinic, patient, range(worse + 4, worse + 30)), "and fewer once it has settled"


def test_what_is_said_on_an_evening_without_a_question_counts_and_danger_is_heard(clinic: Clinics):
    desk, patient = kept_up(clinic)
    act(desk, "second", patient.person().id, "all calm")
    evenings(clinic, patient, range(8, 15))
    day = next(d for d in range(15, 24) if evenings(clinic, patient, range(d, d + 1)) == "-")
    assert patient.types("2") == ["evening.outcome"]
    assert (patient.check_in(day).pain, patient.check_in(day).state) == (2, CheckInState.ANSWERED)
    day = next(d for d in range(day + 1, day + 9) if evenings(clinic, patient, range(d, d + 1)) == "-")
    assert patient.types("my hand is numb and weak") == ["danger"]
    assert patient.course().episode.paused_for is not None
