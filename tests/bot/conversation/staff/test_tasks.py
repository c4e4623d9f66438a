"""What a therapist puts down to do, and where it is met again."""

import datetime as dt

from bot.ports import Rendered
from core.use_cases.digesting import gather
from tests.bot.conversation.chat import MORNING, Clinics
from tests.bot.conversation.staff.desk import Desk, days


def put_down(ben: Desk, patient, day: str, what: str) -> None:
    assert ben.tap_about("task", patient) == ["therapist.act.choice"]
    assert ben.types(day) == ["therapist.act.typed"]
    assert ben.types(what) == ["therapist.act.confirm"]
    assert ben.says_yes() == ["therapist.act.done"]


def test_a_call_by_thursday_stands_on_the_page_the_week_and_when_due_in_the_list_and_ends_by_a_tap(
    clinic: Clinics, ben: Desk
):
    cook, _ = ben.has_many("Pastry cook", "Cellist")
    thursday = MORNING.date() + dt.timedelta(days=(3 - MORNING.weekday()) % 7)
    put_down(ben, cook, "by Thursday", "call about the night shift")

    assert f"To do 1: call about the night shift, by {thursday:%a} {thursday.day} {thursday:%b}" in ben.opened(cook)
    ben.sends("caseload")
    assert "night shift" not in ben.last(), "it is not due yet"
    with clinic.store.reading() as uow:
        monday = MORNING.date() - dt.timedelta(days=MORNING.weekday())
        week = gather(uow, clinic.app.work(uow).programmes, ben.me, monday)
    assert [task.text for each in week.patients for task in each.who.tasks] == ["call about the night shift"]
    assert week.patients[0].attention[0] == "task"

    days(clinic, {cook: ["4, all"] * ((thursday - MORNING.date()).days)})
    ben.sends("caseload")
    assert ben.last().split("\n")[2].startswith("1. Pastry cook: call about the night shift, by ")
    ben.opened(cook)
    assert ben.taps_label("1. Done") == ["therapist.task_done"]
    assert "To do" not in ben.opened(cook)
    ben.sends("caseload")
    assert "night shift" not in ben.last()


def test_a_day_that_is_none_is_asked_again_and_a_task_done_twice_is_said(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    ben.tap_about("task", cook)
    assert ben.types("someday") == ["therapist.act.choice"]
    put_down(ben, cook, "3", "call")
    ben.opened(cook)
    button = ben.buttons()["1. Done"]
    assert ben.taps(button) == ["therapist.task_done"]
    assert ben.taps(button) == ["therapist.refused"]
    assert "done already" in ben.last()


def test_a_colleague_neither_puts_down_nor_ends_anything(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    put_down(ben, cook, "friday", "call")
    ben.opened(cook)
    button = ben.buttons()["1. Done"]
    other = Desk(clinic, "cleo")
    assert other.taps(button) == ["therapist.refused"]
    assert "To do 1: call" in ben.opened(cook)


def test_whom_nobody_looked_at_for_four_weeks_and_whose_questionnaire_is_due_stand_in_one_line_each(
    clinic: Clinics, ben: Desk
):
    cook, cellist, saddler = ben.has_many("Pastry cook", "Cellist", "Saddler")
    days(clinic, dict.fromkeys((cook, cellist, saddler), ["5, all"] * 21))
    assert "not looked at" not in the_list(ben)
    ben.opened(cook)
    Desk(clinic, "cleo").tap_about("o", cellist)  # who may not see it has not looked at it
    ben.sends("export")
    days(clinic, dict.fromkeys((cook, cellist, saddler), ["3, all"] * 21))
    ben.sends("digest", "1")  # the six weeks are over in the week after it
    week = the_week(ben)
    assert "\nPRTEE DUE: Cellist, Saddler, Pastry cook\nNOT LOOKED AT FOR 4 WEEKS: Cellist, Saddler\n" in week
    assert "Nothing to do for 0." in week

    assert ben.taps(buttons_of_week(ben)["PRTEE: Pastry cook"]) == ["therapist.act.typed"]
    ben.types("48")
    ben.says_yes()
    assert ben.taps(buttons_of_week(ben)["Cellist"]) == ["therapist.person"]
    listed = the_list(ben)
    assert "Cellist: PRTEE due (" in listed
    assert "Saddler: PRTEE due; not looked at for 4 weeks (" in listed
    assert "Pastry cook: PRTEE" not in listed
    ben.sends("digest", "1")  # read again it has what is left to do
    assert "\nPRTEE DUE: Saddler, Cellist\nNOT LOOKED AT FOR 4 WEEKS: Saddler\n" in the_week(ben)


def test_the_first_questionnaire_is_due_on_the_page_as_in_the_list(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["5, all"] * 2})
    assert "PRTEE due" in the_list(ben)
    assert "Needs you: PRTEE due." in ben.opened(cook)


def the_list(ben: Desk) -> str:
    ben.sends("caseload")
    return ben.last()


def the_week(ben: Desk) -> str:
    return week_shown(ben).text


def buttons_of_week(ben: Desk) -> dict[str, str]:
    return {button.label: button.data for row in week_shown(ben).buttons for button in row}


def week_shown(ben: Desk) -> Rendered:
    return next(shown for shown in reversed(ben.read()) if shown.text.startswith("Your week"))
