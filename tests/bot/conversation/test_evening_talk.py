"""The evening by taps, by typing and by both; changes, edits, mornings, nights; what was told is what was decided."""

import datetime as dt

import pytest

from core.model import Flag
from core.records import CheckInState
from tests.bot.conversation.chat import Clinics, Patient


def asked(patient: Patient, day: int = 0) -> str:
    """Live until the evening's question; the id of its check-in."""
    patient.clinic.live_to(day, "19:05")
    check_in = patient.check_in(day)
    assert check_in
    return check_in.id


def test_two_taps_answer_an_evening(clinic: Clinics, patient: Patient):
    asked(patient)
    assert patient.taps_label("4") == ["evening.sets"]
    assert patient.taps_label("3") == ["evening.outcome"]
    check_in = patient.check_in(0)
    assert (check_in.pain, check_in.sets_done, check_in.state) == (4, 3, CheckInState.ANSWERED)
    assert "pain 4" in patient.last()
    assert "Tue 3 Mar" in patient.last()


@pytest.mark.parametrize(
    ("first", "then"),
    [("4, did all", None), ("did 3", "4"), ("4", "all of them"), ("4", "4, did all"), ("4 or 5, did all", "4")],
)
def test_typing_answers_an_evening_whole_or_by_halves(patient: Patient, first: str, then: str | None):
    asked(patient)
    kinds = patient.types(first)
    if then:
        assert kinds != ["evening.outcome"]
        kinds = patient.types(then)
    assert kinds == ["evening.outcome"]
    assert patient.check_in(0).pain == 4


@pytest.mark.parametrize("command", ["problem", "erase", "evening", "zone", "pause"])
def test_a_command_lets_a_short_question_drop(clinic: Clinics, patient: Patient, command: str):
    asked(patient)
    patient.sends(command)
    if command == "pause":
        patient.sends("resume")
    patient.sends("today")
    assert patient.types("6, did all") == ["evening.outcome"]
    assert clinic.notices() == []
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (6, 4)


def test_a_menu_button_lets_a_short_question_drop_too(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.sends("problem")
    patient.taps("1.m.today")
    assert patient.types("6, did all") == ["evening.outcome"]
    assert clinic.notices() == []


def test_a_tap_on_the_pain_and_typed_sets_go_together(patient: Patient):
    asked(patient)
    patient.taps_label("6")
    assert patient.types("2 of 4") == ["evening.outcome"]
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (6, 2)


def test_double_taps_count_once(clinic: Clinics, patient: Patient):
    asked(patient)
    pain, before = patient.buttons()["4"], len(clinic.delivered)
    patient.taps(pain)
    patient.taps(pain)
    sets = patient.buttons()["3"]
    patient.taps(sets)
    state = clinic.snapshot()
    assert patient.taps(sets) == ["change.same"]
    assert clinic.snapshot() == state
    assert len(clinic.delivered) - before == 4


def test_chatter_in_the_morning_does_not_use_up_the_evening(clinic: Clinics, patient: Patient):
    for text in ("thanks", "good morning", "ok"):
        assert patient.types(text) == ["chat.nothing_open"]
    assert patient.check_in(0) is None
    asked(patient)
    assert "How much did your elbow hurt" in patient.last()


@pytest.mark.parametrize("text", ["see you at 19:30", "4 or 5", "my bottle has 500 ml"])
def test_what_cannot_be_read_does_not_use_up_the_evening_either(clinic: Clinics, patient: Patient, text: str):
    assert patient.types(text) == ["chat.nothing_open"]
    asked(patient)
    assert patient.types("4, did all") == ["evening.outcome"]


@pytest.mark.parametrize("flow", ["pause", "evening", "zone", "change"])
def test_who_wants_no_more_messages_is_heard_whatever_is_being_asked(patient: Patient, flow: str):
    asked(patient)
    patient.types("4, did all")
    patient.sends(flow)
    assert patient.types("stop messaging me") == ["left"]


def test_a_question_about_medicine_is_passed_on_after_leaving_too(clinic: Clinics, patient: Patient):
    patient.sends("stop")
    assert patient.types("should I take ibuprofen?") == ["question.passed_on"]
    assert "clinical_question" in clinic.notices()


def test_thanks_after_the_answer_is_just_thanks(patient: Patient):
    asked(patient)
    patient.types("3, did all")
    assert patient.types("thanks!") == ["chat.thanks"]


def test_a_volunteered_answer_counts_for_today(clinic: Clinics, patient: Patient):
    clinic.live_to(0, "13:00")
    assert patient.types("3, did all") == ["evening.outcome"]
    before = len(patient.read())
    clinic.live_to(0, "23:00")
    assert len(patient.read()) == before


@pytest.mark.parametrize(("answer", "day"), [("last night", 0), ("Today", 1)])
def test_in_the_morning_after_a_silent_evening_it_asks_which_day(
    clinic: Clinics, patient: Patient, answer: str, day: int
):
    asked(patient)
    clinic.live_to(1, "08:00")
    assert patient.types("5, did 2") == ["evening.which_day"]
    assert patient.types("hm?") == ["evening.which_day"]
    assert patient.types(answer) == ["evening.outcome"]
    assert patient.check_in(day).pain == 5


def test_after_midnight_it_is_still_last_evening(clinic: Clinics, patient: Patient):
    asked(patient)
    clinic.live_to(1, "00:40")
    assert patient.types("5, did 2") == ["evening.outcome"]
    assert patient.check_in(0).pain == 5
    assert patient.check_in(1) is None


def test_what_was_said_before_a_downtime_counts_for_the_evening_it_was_said_on(clinic: Clinics, patient: Patient):
    asked(patient)
    said_at = clinic.clock() + dt.timedelta(hours=1)
    clinic.live_to(1, "15:00")
    assert patient.types("5, did 2", at=said_at) == ["evening.outcome"]
    assert patient.check_in(0).pain == 5


def test_a_day_not_asked_can_still_be_answered_by_taps(clinic: Clinics, patient: Patient):
    clinic.clock.move_to(clinic.clock() + dt.timedelta(hours=13, minutes=30))  # down from nine until half past ten
    clinic.live_to(0, "22:31")
    assert patient.check_in(0).state == CheckInState.NOT_ASKED
    assert patient.types("4") == ["evening.sets"]
    assert patient.taps_label("4") == ["evening.outcome"]
    assert patient.check_in(0).state == CheckInState.ANSWERED


def test_very_bad_days_ask_for_signs_and_an_unsure_answer_stops(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("9, did all")
    no = patient.buttons()["No"]
    assert patient.taps(no) == ["red_flags.none"]
    assert patient.taps(no) == ["red_flags.late_no"]
    asked(patient, 1)
    patient.types("9, did none")
    unsure = patient.buttons()["Not sure"]
    assert patient.taps(unsure) == ["danger"]
    assert patient.taps(unsure) == ["danger.still"]
    assert clinic.notices().count("danger") == 1
    assert patient.course().episode.paused_for == Flag.RED_FLAG


def test_the_next_evening_may_be_answered_before_the_signs_are(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("9, did all")
    clinic.live_to(1, "18:00")
    assert patient.types("4, did none") == ["evening.outcome", "red_flags.once_more"]
    assert patient.check_in(1).pain == 4
    assert clinic.notices().count("unanswered") == 1
    assert "no sets" in patient.read()[-2].text
    assert patient.taps_label("No") == ["red_flags.none"]
    assert "4 holds" in patient.last()


def test_no_dose_is_printed_while_the_signs_of_a_very_bad_day_are_not_answered(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("9, did all")
    no = patient.buttons()["No"]
    patient.sends("pause")  # the question is not forgotten for another one
    patient.sends("resume")
    for day in (1, 2):
        asked(patient, day)
        patient.types("3, did all")
        assert "holds of" not in patient.last()
        assert "No sets until you have." in patient.last()
        patient.sends("today")
        assert "no sets" in patient.last()
    assert clinic.notices().count("unanswered") == 1
    assert patient.taps(no) == ["red_flags.none"]
    assert "4 holds of 30 seconds" in patient.last()
    assert patient.check_in(2).sets_asked == 0


def test_a_very_bad_day_half_answered_is_asked_about_by_button_in_the_morning(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.taps_label("9")
    clinic.live_to(1, "10:00")
    assert [kind for _, message, _ in clinic.delivered if (kind := message.kind) == "evening.gap"] == ["evening.gap"]
    assert patient.taps_label("Not sure") == ["danger"]
    assert patient.course().episode.paused_for == Flag.RED_FLAG


def test_signs_not_answered_by_the_next_evening_are_asked_once_more_and_told(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("9, did all")
    clinic.live_to(1, "19:05")
    kinds = [message.kind for _, message, _ in clinic.delivered][-2:]
    assert kinds == ["red_flags.once_more", "evening.ask"]
    assert clinic.notices().count("unanswered") == 1
    yes = next(b.data for _, m, r in clinic.delivered if m.kind == "red_flags.once_more" for b in r.buttons[0])
    assert patient.types("5") == ["evening.outcome"]  # a rest day: no sets are asked
    assert patient.taps(yes) == ["danger"]
    assert patient.course().episode.paused_for == Flag.RED_FLAG
    clinic.live_to(2, "19:05")
    assert clinic.notices().count("unanswered") == 1


@pytest.mark.parametrize(("answer", "says"), [("No", "red_flags.none"), ("yes", "danger"), ("not sure", "danger")])
def test_signs_left_open_are_put_with_each_evening_and_answered_by_a_typed_word(
    clinic: Clinics, patient: Patient, answer: str, says: str
):
    asked(patient)
    patient.types("9, did all")
    clinic.live_to(3, "19:05")
    kinds = [message.kind for _, message, _ in clinic.delivered]
    assert kinds.count("red_flags.once_more") == 3
    assert clinic.notices().count("unanswered") == 1
    assert patient.types(answer)[0] == says
    assert patient.course().episode.signs_asked is None


def test_numbers_beside_a_wish_for_a_break_count_first(patient: Patient):
    asked(patient)
    kinds = patient.types("4, did all. please pause")
    assert kinds == ["evening.outcome", "away.until"]
    assert patient.check_in(0).pain == 4


def test_while_stopped_numbers_are_kept_and_everything_else_says_so(clinic: Clinics, patient: Patient):
    asked(patient)
    assert patient.types("my hand has gone numb and weak") == ["danger"]
    assert patient.types("thanks") == ["danger.still"]
    for command in ("today", "how", "start", "resume"):
        assert patient.sends(command) == ["danger.still"]
    clinic.live_to(1, "20:00")
    assert patient.types("4") == ["evening.outcome"]
    assert "stopped" in patient.last()
    assert patient.course().episode.paused_for == Flag.RED_FLAG


@pytest.mark.parametrize("text", ["5, none", "5, 0", "5", "5, did none"])
def test_no_sets_on_a_rest_day_are_no_second_number(clinic: Clinics, patient: Patient, text: str):
    asked(patient)
    patient.types("8, did all")
    patient.taps_label("No")
    asked(patient, 1)
    assert patient.types(text) == ["evening.outcome"]
    assert patient.check_in(1).pain == 5


def test_a_rating_typed_while_stopped_is_kept(clinic: Clinics, patient: Patient):
    asked(patient)
    assert patient.types("my hand has gone numb and weak") == ["danger"]
    clinic.live_to(1, "20:00")
    assert patient.types("8, none") == ["evening.outcome"]
    assert patient.course().episode.paused_pain == 8


def test_how_to_do_it_after_a_very_bad_day_is_about_the_rest_day(patient: Patient):
    asked(patient)
    patient.types("9, did all")
    patient.taps_label("No")
    patient.sends("today")
    assert "rest day" in patient.last()
    patient.sends("how")
    assert "rest day" in patient.last()
    assert "seconds" not in patient.last()


def test_an_export_does_not_grow_with_each_export(patient: Patient):
    asked(patient)
    patient.types("4, did all")
    sizes = []
    for _ in range(3):
        patient.sends("export")
        document = patient.read()[-1].document
        assert document
        assert document[1].count(b'"pain": 4') >= 1
        sizes.append(len(document[1]))
    assert sizes[2] < sizes[0] * 1.2


@pytest.mark.parametrize("text", ["7", "7 days", "7 Days.", "٧"])
def test_a_break_takes_a_number_of_days(clinic: Clinics, patient: Patient, text: str):
    patient.sends("pause")
    assert patient.types(text) == ["away.set"]
    assert patient.person().away_until == clinic.clock().date() + dt.timedelta(days=7)


@pytest.mark.parametrize("text", ["0", "91", "-3", "7 weeks ago", "soon", "9" * 5000, "1.5"])
def test_a_break_of_no_clear_length_is_asked_about_again(patient: Patient, text: str):
    patient.sends("pause")
    assert patient.types(text) == ["away.again"]


def test_a_broken_button_of_ours_changes_nothing(clinic: Clinics, patient: Patient):
    check_in = asked(patient)
    state = clinic.snapshot()
    of_tonight = ("p.{}.11", "s.{}.9", "p.{}", "z.{}.4", "y.{}", "n.{}", "r.{}.no", "p.{}.-1")
    others = ("m.unknown", "f.enrol.rating.4", "f.time.19:00", "f.erase.yes", "f.away.7", "f.nothing.x", "")
    broken = ["", "1", "2.p.x.4", *(f"1.{each.format(check_in)}" for each in (*of_tonight, *others))]
    for data in broken:
        assert patient.taps(data) == ["button.old"], data
    assert clinic.snapshot() == state


def test_more_sets_than_asked_are_thanked_for_and_kept_and_the_rule_sees_what_it_asked(
    clinic: Clinics, patient: Patient
):
    clinic.live_to(0, "19:05")
    assert patient.types("3, did 7 sets") == ["evening.outcome"]
    assert "4 of 4 sets" in patient.last()
    assert "And 3 more than I asked for: thank you for telling me. More is not better here" in patient.last()
    kept = patient.check_in(0)
    assert (kept.sets_done, kept.sets_above, kept.sets_asked) == (4, 3, 4)
    with clinic.store.reading() as uow:
        (evening,) = uow.diary.evenings(patient.course().id, kept.date, kept.date)
    assert (evening.sets_done, evening.sets_asked) == (4, 4)

    assert patient.types("sorry, did 5 sets") == ["evening.outcome"], "a change of what is above is one"
    assert patient.check_in(0).sets_above == 1
    assert patient.types("sorry, did 4 sets") == ["evening.outcome"]
    assert (patient.check_in(0).sets_above, "More is not better" in patient.last()) == (0, False)

    clinic.live_to(1, "19:05")
    assert patient.types("6 sets") == ["evening.pain"]
    assert patient.types("3") == ["evening.outcome"]
    assert "And 2 more than I asked for" in patient.last()
    clinic.live_to(2, "19:05")
    assert patient.types("3, did 30 sets") == ["evening.again"], "nobody does"
