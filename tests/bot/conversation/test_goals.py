"""What people want to do again: named, rated, asked again in weeks 6, 12 and 26, seen by them and their therapist."""


from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def names_two(patient: Patient) -> None:
    assert patient.sends("goals") == ["goals.name"]
    assert patient.types("Carry a full pan") == ["goals.rate"]
    assert patient.taps_label("3") == ["goals.list"]
    assert patient.taps_label("Name one thing") == ["goals.name"]
    assert patient.types("Play the cello for an hour") == ["goals.rate"]
    assert patient.types("2") == ["goals.list"]


def test_they_are_named_and_rated_by_tap_or_typed_and_shown(patient: Patient):
    names_two(patient)
    assert patient.taps_label("That is all") == ["goals.done"]
    assert patient.sends("progress") == ["progress"]
    assert "Carry a full pan: 3\n" in patient.last()
    assert "Play the cello for an hour: 2\n" in patient.last()


def test_nobody_has_to_and_the_evening_goes_on_beside_it(clinic: Clinics, patient: Patient):
    assert patient.taps("1.o.later") == ["goals.later"]
    clinic.live_to(0, "19:05")
    patient.sends("goals")
    assert patient.types("4, did all") == ["evening.outcome"], "no goal, while the evening is open"
    patient.sends("goals")
    patient.types("lift my child")
    rate = patient.buttons()["7"]
    clinic.live_to(1, "19:05")
    assert patient.taps(rate) == ["goals.list"], "its button works whatever was asked since"
    assert patient.types("4, did all") == ["evening.outcome"]


def test_they_can_be_named_anew_until_they_are_asked_again(patient: Patient):
    names_two(patient)
    assert patient.taps_label("Begin the list anew") == ["goals.name"]
    patient.types("Knead dough")
    patient.types("4")
    assert "cello" not in patient.last()
    assert patient.types("thanks") != ["goals.rate"], "what is said afterwards is no goal"


def test_after_six_weeks_they_are_asked_again_beside_how_it_is_all_in_all(clinic: Clinics):
    desk = Desk(clinic, "ben")
    patient = desk.has_many("Cellist")[0]
    names_two(patient)
    for day in range(42):
        clinic.live_to(day, "19:05")
        assert patient.types("4, did all")[:1] == ["evening.outcome"]
    clinic.live_to(42, "19:05")
    assert patient.types("4, did all") == ["evening.outcome", "goals.again", "goals.rate"]
    before = clinic.snapshot()
    assert patient.types("11 o'clock") != ["goals.rate"]
    assert clinic.snapshot()[patient.person().id]["goals"] == before[patient.person().id]["goals"]
    patient.sends("goals")
    assert patient.types("6") == ["goals.rate"]
    assert patient.taps_label("4") == ["goals.change"]
    assert patient.types("-6") != ["goals.list"]
    patient.sends("goals")
    assert patient.taps_label("+3") == ["goals.list"]
    assert "from 2.5 to 5. A change this big" in patient.last()
    clinic.live_to(43, "19:05")
    assert patient.types("4, did all") == ["evening.outcome"], "once"

    desk.tap_about("o", patient)
    assert "Carry a full pan: 3 at the start, 6 now" in desk.last()
    assert "Mean 2.5 to 5 (week 6): more than chance (90 % detectable change 2, Stratford 1995)" in desk.last()
    assert "Overall change, week 6: +3" in desk.last()
    assert "Week 6 is reached and no questionnaire score" in desk.last()
    with clinic.store.writing() as uow:
        kept = uow.people.export(patient.person().id)["goals"]
        assert [each["week"] for each in kept] == [0, 6]
        uow.people.anonymise(patient.person().id)
        faded = uow.people.goals(kept[0]["course_id"])
    assert [each.goals for each in faded] == [[], []]
    assert faded[1].ratings == [6, 4]
