"""Whatever cannot be done, or not by them, gets a clear sentence and changes nothing."""

import pytest

from bot.conversation.commands import COMMANDS as PATIENT_COMMANDS
from bot.conversation.staff.router import COMMANDS
from bot.ports import Came
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, days, whole

REASON = "agreed on the phone"
HARD_NAMES = (
    "<b>bold</b> & *stars* _under_ [link](tel:1) {name} {0}",
    "a\u202eb\x00c\nd\te",
    "עדה",
    "x" * 60,
    "🎻 Ana 🎻",
    "\u200b\u2066",
)


@pytest.mark.parametrize("text", ["", "   \n ", "x" * 501, "ä" * 10_000, "\u0000" * 700])
def test_a_reason_that_is_none_or_too_long_is_asked_for_again(clinic: Clinics, ben: Desk, cook: Patient, text: str):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    before = whole(clinic)
    assert ben.types(text) == ["therapist.refused"]
    assert len(ben.last()) < 120
    assert whole(clinic) == before
    assert ben.types(REASON) == ["therapist.act.confirm"]
    assert whole(clinic) == before


@pytest.mark.parametrize("reason", HARD_NAMES[:-1])
def test_a_reason_may_hold_anything_and_is_shown_on_one_plain_line(
    clinic: Clinics, ben: Desk, cook: Patient, reason: str
):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(reason)
    ben.says_yes()
    page = ben.opened(cook)
    assert not set(page) & set("\u202e\x00\t")
    assert cook.course().episode.step == 3


@pytest.mark.parametrize("name", HARD_NAMES)
def test_a_name_may_hold_anything_and_stays_within_its_line(clinic: Clinics, ben: Desk, name: str):
    patient = ben.has_many(name)[0]
    ben.sends("caseload")
    listed = ben.last().split("\n")
    assert len(listed) == 3
    assert listed[2].startswith("1. ")
    assert not set(listed[2]) & set("\u202e\x00\t")
    assert len(listed[2]) < 120
    assert ben.opened(patient).split("\n")[0] == listed[2].removeprefix("1. ").rpartition(": PRTEE due (")[0]
    patient.types("my hand has gone numb")
    assert ben.last().count("\n") == 1


def test_a_button_from_a_colleagues_chat_does_not_carry_the_deed_over(
    clinic: Clinics, anna: Desk, ben: Desk, cook: Patient
):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(REASON)
    yes = ben.buttons()["Yes"]
    before = whole(clinic)
    assert anna.taps(yes) == ["therapist.old_button"]
    assert cook.taps(yes) == ["button.old"]
    assert whole(clinic) == before
    ben.taps(yes)
    assert cook.course().episode.step == 3


def test_a_yes_counts_once_and_only_for_the_question_it_stands_under(clinic: Clinics, ben: Desk, cook: Patient):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(REASON)
    first = ben.buttons()["Yes"]
    ben.tap_about("z", cook)
    before = whole(clinic)
    assert ben.taps(first) == ["therapist.old_button"]
    assert whole(clinic) == before
    ben.types(REASON)
    yes = ben.buttons()["Yes"]
    ben.taps(yes)
    after = whole(clinic)
    assert ben.taps(yes) == ["therapist.old_button"]
    assert whole(clinic) == after


def test_rights_are_checked_again_between_the_question_and_the_yes(
    clinic: Clinics, anna: Desk, ben: Desk, cook: Patient
):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(REASON)
    yes = ben.buttons()["Yes"]
    anna.tap_about("v", cook)
    anna.taps_label("Therapist anna")
    anna.says_yes()
    before = whole(clinic)
    assert ben.taps(yes) == ["therapist.refused"]
    assert whole(clinic) == before


def test_what_became_impossible_between_the_question_and_the_yes_is_refused(clinic: Clinics, ben: Desk, cook: Patient):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(REASON)
    yes = ben.buttons()["Yes"]
    cook.types("my hand has gone numb")
    before = whole(clinic)
    assert ben.taps(yes) == ["therapist.refused"]
    assert "stopped for danger" in ben.last()
    assert whole(clinic) == before


def test_a_choice_of_an_older_question_is_not_taken(clinic: Clinics, ben: Desk, cook: Patient):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("g", cook)
    to_step_4 = ben.buttons()["4"]
    ben.sends("caseload")
    assert ben.taps(to_step_4) == ["therapist.old_button"]


@pytest.mark.parametrize(
    ("verb", "typed"),
    [
        ("g", ["0", "99", "two", "-1", "²"]),
        ("p", ["yesterday", "0", "91", "2020-01-01", "2026-13-45", "9999-12-31", "²"]),
        ("e", ["25:00", "3 am", "soon", "00:30 am"]),
        ("v", ["Therapist nobody"]),
    ],
)  # fmt: skip
def test_a_choice_that_is_none_is_told_and_asked_for_again(
    clinic: Clinics, anna: Desk, ben: Desk, cook: Patient, verb: str, typed: list[str]
):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about(verb, cook)
    before = whole(clinic)
    for text in typed:
        (kind,) = ben.types(text)
        assert kind in ("therapist.act.choice", "therapist.refused"), text
        assert ben.dialogue().step == "choice"
    assert whole(clinic) == before


@pytest.mark.parametrize(
    "data", ["", "1", "1.", "1.t", "1.t.", "1.t.o", "1.t.u.", "2.t.o.id-1", "1.m.today", "1.p.id-1.3", "1.t.o.nobody",
             "1.t.i.x", "1.t.j.-1", "1.t.h.moonday", "1.t.h.monday.9999", "1.t.zone.Europe/Lisbon", "1.t.a.lead",
             "1.t.t.nobody", "1.t.r.id-1.@1900-1", "1.t.i.0.nobody", "\u202e", "x" * 64],
)  # fmt: skip
def test_a_button_we_never_made_changes_nothing(clinic: Clinics, ben: Desk, cook: Patient, data: str):
    before = whole(clinic)
    (kind,) = ben.taps(data)
    assert kind in ("therapist.old_button", "therapist.refused")
    assert whole(clinic) == before


def test_commands_of_patients_are_explained_to_a_therapist(clinic: Clinics, ben: Desk, cook: Patient):
    before = whole(clinic)
    for command in sorted({*PATIENT_COMMANDS} - {*COMMANDS}):
        assert ben.sends(command) == ["therapist.for_patients"]
        assert "is for patients" in ben.last()
    assert whole(clinic) == before


def test_a_sticker_and_an_edit_change_nothing_and_a_block_marks_who_did_it(clinic: Clinics, ben: Desk, cook: Patient):
    before = whole(clinic)
    assert [kind for kind, _ in ben.does(Came.OTHER)] == ["therapist.cannot_read"]
    assert [kind for kind, _ in ben.does(Came.EDIT, text="yes")] == ["therapist.edited"]
    assert whole(clinic) == before
    assert ben.does(Came.BLOCKED) == []
    after = whole(clinic)
    assert {name for name in before if after[name] != before[name]} == {"staff"}


def test_a_command_ends_the_question_that_was_open(clinic: Clinics, ben: Desk, cook: Patient):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    assert ben.sends("cancel") == ["therapist.nothing_changed"]
    before = whole(clinic)
    assert ben.types(REASON) == ["therapist.not_found"]
    assert whole(clinic) == before


def test_a_deed_that_is_refused_leaves_no_older_question_open(clinic: Clinics, ben: Desk, cook: Patient):
    (layer,) = ben.has_many("Bricklayer")
    days(clinic, {cook: ["4, all"], layer: ["4, all"]})
    ben.tap_about("z", cook)
    layer.types("my hand has gone numb")
    assert ben.tap_about("u", layer) == ["therapist.refused"]
    assert ben.types(REASON) == ["therapist.not_found"]


def test_erasing_a_patient_ends_what_staff_were_doing_with_them(clinic: Clinics, ben: Desk, cook: Patient):
    days(clinic, {cook: ["4, all"]})
    ben.tap_about("u", cook)
    ben.types(REASON)
    yes, page = ben.buttons()["Yes"], f"1.t.o.{cook.person().id}"
    cook.sends("erase")
    cook.types("yes")
    assert ben.taps(yes) == ["therapist.old_button"]
    assert ben.taps(page) == ["therapist.refused"]
    assert ben.types("pastry") == ["therapist.not_found"]
