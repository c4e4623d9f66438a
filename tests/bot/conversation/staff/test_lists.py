"""The caseload, one patient's page and the notices, as they are read on a phone."""


import pytest

from bot.drawn.course import ProgressFacts
from bot.messaging.rendering import read
from core.digest.attention import RANK
from core.store.course import Notices
from core.use_cases.caseload import caseload, caseload_row
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk, days

SCREEN = 1000  # characters that a six-inch phone shows with some scrolling: judgement
CAPTION = 1024  # bot-api.json, sendPhoto.caption
TRADES = ("Pastry cook", "Bricklayer", "Dental hygienist", "Cellist", "Upholsterer")


def listed(desk: Desk) -> list[str]:
    desk.sends("caseload")
    return desk.last().split("\n")[2:]


def test_who_needs_the_therapist_first_stands_first_with_why_in_a_few_words(clinic: Clinics, ben: Desk):
    calm, numb, silent, flare, fresh = ben.has_many(*TRADES)
    days(
        clinic,
        {
            calm: ["4, all"] * 15,
            numb: ["4, all"] * 15,
            silent: ["4, all"] * 5,
            flare: ["3, all"] * 11 + ["7, all"] * 3 + ["6, all"],
            fresh: ["4, all"] * 15,
        },
    )
    numb.types("my hand has gone numb")
    fresh.sends("pause")
    assert listed(ben) == [
        "1. Bricklayer: STOPPED for danger (step 3 of 8, 7-day mean 4)",
        "2. Dental hygienist: silent for 10 evenings; stepped back (step 1 of 8, no ratings in 7 days)",
        "3. Cellist: flare this week; stepped back (step 2 of 8, 7-day mean 5.1)",
        "4. Upholsterer: away (step 3 of 8, 7-day mean 4)",
        "5. Pastry cook (step 3 of 8, 7-day mean 4)",
    ]


def test_the_order_of_the_list_is_that_of_the_digest(clinic: Clinics, ben: Desk):
    one, two, three = ben.has_many(*TRADES[:3])
    days(clinic, {one: ["4, none"] * 9, two: ["2, all"] * 2 + [""] * 7, three: ["4, all"] * 7 + ["9, all"] * 2})
    with clinic.store.writing() as uow:
        rows = caseload(clinic.app.work(uow), ben.me)
    ranks = [[RANK[code] for code in row.attention] for row in rows]
    assert ranks == sorted(ranks)
    assert all(ranks)


def test_a_long_caseload_is_read_ten_at_a_time_and_nobody_is_left_out(clinic: Clinics, ben: Desk):
    names = [f"Person {number:02}" for number in range(1, 24)]
    ben.has_many(*names)
    seen = []
    ben.sends("caseload")
    for page in range(3):
        text = ben.last()
        assert len(text) <= SCREEN
        assert f"{page * 10 + 1} to {min(page * 10 + 10, 23)} of 23" in text
        lines = text.split("\n")[2:]
        assert len(lines) <= 10
        heads = [line.partition(": ")[0].partition(" (")[0] for line in lines]
        seen += [head.split(". ")[1] for head in heads]
        assert [label for label in ben.buttons() if label[0].isdigit()] == heads
        if page < 2:
            ben.taps_label("More")
    assert sorted(seen) == names
    assert "More" not in ben.buttons()
    ben.taps_label("Earlier")
    assert "11 to 20 of 23" in ben.last()
    ben.taps("1.t.i.9999")
    assert "21 to 23 of 23" in ben.last()


def test_a_patient_is_found_by_a_part_of_the_name(clinic: Clinics, ben: Desk):
    ben.has_many(*TRADES, "Second cook")
    assert ben.types("COOK") == ["therapist.caseload"]
    assert ben.last().startswith('2 patients with "COOK":')
    assert ben.types("dental  hyg") == ["therapist.person"]
    assert ben.last().startswith("Dental hygienist\n")
    assert ben.types("plumber") == ["therapist.not_found"]


def test_a_page_tells_how_one_patient_stands_with_a_picture(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["5, all"] * 7 + ["3, all"] * 3 + ["", "3, 2", "3, all"]})
    page = ben.opened(cook)
    assert page.split("\n")[:5] == [
        "Pastry cook",
        "Needs you: PRTEE due.",
        "",
        "Week 2, right elbow. Step 2 of 8: full holds, since Mon 2 Mar.",
        "7-day mean 3.3, first week 5: moderate improvement.",
    ]
    assert "Trend: cannot be told yet: 2 of the last 8 weeks have a mean, it takes 4." in page
    # thirteen evenings of four sets: eleven with all, one with two, one silent
    assert "14 days: 46 of 48 sets done, 12 of 13 evenings answered; sets not known of 1 evening." in page
    assert "Asked at 19:00." in page
    assert "Sat 14 Mar: stay - day 13 of at least 14 on the step" in page
    assert len(page) <= CAPTION
    _, message, _ = clinic.delivered[-1]
    picture = read(ProgressFacts, message.words.to_draw)
    assert len(picture.days) == 13
    assert message.about == cook.person().id


def test_a_page_of_a_rough_course_still_fits_under_its_picture(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("x" * 60)
    days(clinic, {cook: ["4, all"] * 8 + ["9, none"] * 2 + ["6, all"] * 3 + [""] * 2})
    for number in range(5):
        for verb, typed in (("n", f"note {number} " + "n" * 900), ("u", "r" * 500)):
            ben.tap_about(verb, cook)
            ben.types(typed)
            ben.says_yes()
    cook.types("my hand has gone numb and " + "w" * 3000)
    page = ben.opened(cook)
    assert len(page) <= 2200  # well within one message; then the words follow the picture as a message of their own
    assert page.count("my hand has gone") == 1, "words told as danger are not shown as unread once more"
    assert "2 older notes" in page
    assert len(ben.buttons()) <= 14


def test_the_last_decisions_come_with_every_reason_and_its_source(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["4, all"] * 15})
    ben.opened(cook)
    assert ben.taps_label("Why") == ["therapist.decisions"]
    text = ben.last()
    assert "Sun 15 Mar: up to step 3 - weekly mean 4, 14 days on the step, sets done" in text
    assert "Week at most, to move up: 5 - common practice" in text
    assert "Mon 16 Mar: stay - day 1 of at least 14 on the step" in text


def test_any_recent_decision_can_be_reached_with_its_whole_chain(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["4, all"] * 12})
    ben.opened(cook)
    ben.taps_label("Why")
    seen = [ben.last()]
    while "Earlier" in ben.buttons():
        ben.taps_label("Earlier")
        seen.append(ben.last())
    assert [page.count("Least days on this step: 14") for page in seen] == [5, 5, 2]
    assert "Mon 2 Mar: stay" in seen[-1]
    ben.taps_label("Later")
    assert ben.last() == seen[1]
    ben.tap_about("d", cook, "99")
    assert ben.last() == seen[2]


def test_notices_are_listed_until_they_are_dealt_with(clinic: Clinics, ben: Desk):
    calm, numb = ben.has_many("Pastry cook", "Bricklayer")
    days(clinic, {calm: ["4, all"] * 2, numb: ["4, all"] * 2})
    numb.types("can I take ibuprofen")
    assert ben.last() == 'Bricklayer: asks something only a person should answer\n"can I take ibuprofen"'
    assert "1. Bricklayer: has a question" in listed(ben)[0]
    ben.sends("notices")
    assert "(!) Wed 4 Mar, Bricklayer: asks something" in ben.last()

    ben.taps(ben.read()[-3].buttons[1][0].data)
    assert ben.last() == "Dealt with: Bricklayer goes down the list."
    ben.sends("notices")
    assert "(!)" not in ben.last().split("\n\n", 1)[1]
    assert not any("question" in line for line in listed(ben))


def test_writing_to_a_patient_deals_with_their_question_and_looking_does_not(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    cook.types("can I take ibuprofen")
    ben.opened(cook)
    assert "has a question" in listed(ben)[0]
    ben.tap_about("w", cook)
    assert "has a question" in listed(ben)[0]
    clinic.live_to(0, "12:00")
    ben.tap_about("w", cook)
    ben.types("Please ask your doctor.")
    ben.says_yes()
    assert "has a question" not in listed(ben)[0]


def test_many_notices_are_read_a_few_at_a_time(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    for hour in range(7):
        clinic.live_to(0, f"{10 + hour}:00")
        cook.types("can I take ibuprofen")
    ben.sends("notices")
    assert ben.last().count("Pastry cook") == 5
    ben.taps_label("More")
    assert ben.last().count("Pastry cook") == 2


@pytest.mark.parametrize("count", [0, 1])
def test_somebody_with_nobody_or_with_little_to_do_is_told_so(clinic: Clinics, ben: Desk, count: int):
    ben.has_many(*TRADES[:count])
    ben.sends("caseload")
    assert ("You have no patients yet." in ben.last()) is (count == 0)
    ben.sends("notices")
    assert ben.last() == "No notices."


def test_every_look_at_a_patient_is_in_the_trail(clinic: Clinics, anna: Desk, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    ben.opened(cook)
    ben.taps_label("Why")
    ben.tap_about("x", cook)
    anna.opened(cook)
    assert {"page", "decisions", "export"} <= set(ben.trail(cook))
    assert "page" in anna.trail(cook)
    before = len(ben.trail())
    ben.sends("caseload")
    assert ben.trail()[: len(ben.trail()) - before] == ["caseload"]


def test_a_caseload_holds_nobody_of_a_colleagues(clinic: Clinics, ben: Desk):
    cleo = Desk(clinic, "cleo")
    ben.has_many("Pastry cook")
    cleo.has_many("Bricklayer")
    for desk, own, other in ((ben, "Pastry cook", "Bricklayer"), (cleo, "Bricklayer", "Pastry cook")):
        desk.sends("caseload")
        assert own in desk.last()
        assert other not in desk.last()
        assert desk.types(other) == ["therapist.not_found"]


def test_a_typed_name_reads_how_one_stands_not_the_whole_caseload(ben: Desk, monkeypatch: pytest.MonkeyPatch):
    ben.has_many(*TRADES)
    read = []
    for name in ("bot.conversation.staff.patients.caseload_row", "core.use_cases.caseload.caseload_row"):
        monkeypatch.setattr(name, lambda work, person: read.append(person.id) or caseload_row(work, person))
    assert ben.types("no such") == ["therapist.not_found"]
    assert read == []
    assert ben.types("er") == ["therapist.caseload"]
    assert len(read) == 2


def test_a_page_of_notices_reads_no_more_than_it_shows(ben: Desk, monkeypatch: pytest.MonkeyPatch):
    patients = ben.has_many(*TRADES)
    for patient in patients:
        for _ in range(3):
            patient.types("can I take ibuprofen?")
    read = []
    whole = Notices.page
    monkeypatch.setattr(Notices, "page", lambda *given: read.append(whole(*given)) or read[-1])
    monkeypatch.setattr("bot.conversation.staff.patients.open_notices", lambda work, person: [])
    monkeypatch.setattr(Notices, "about", lambda *given: pytest.fail("all of one person's"))
    assert ben.sends("notices") == ["therapist.notices"]
    assert [len(page) for page in read] == [5]
