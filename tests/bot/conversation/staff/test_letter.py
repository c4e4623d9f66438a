"""A letter to the doctor and a discharge summary, from the page to the files in the therapist's chat."""

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from bot.conversation.staff.letter import changed, paragraphs
from bot.drawing.file import draw_sheet
from bot.drawn.routine import SheetFacts
from bot.messaging.rendering import read
from core.records import Status
from core.use_cases.enrolling import begin_course
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, days

NUMB = "my hand has gone numb"
# fifteen evenings; their means are worked out by hand below
EVENINGS = [
    "5, all", "4, all", "", "5, all", "4, all", "4, did 2", "4, all", "3, all", "3, all", "2, all", "", "3, all",
    "2, all", "2, all", NUMB,
]  # fmt: skip


@pytest.fixture
def cook(clinic: Clinics, ben: Desk) -> Patient:
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: EVENINGS})
    return cook


def drafted(ben: Desk) -> str:
    return ben.read()[-1].text


def test_a_letter_is_drafted_from_the_record_changed_closed_and_made_for_who_asked_alone(
    clinic: Clinics, ben: Desk, cook: Patient
):
    other = Desk(clinic, "cleo", lead=True)
    ben.opened(cook)
    ben.taps_label("Papers")
    assert ben.taps_label("Letter") == ["therapist.letter"]
    draft = drafted(ben)
    # the first seven evenings: (5 + 4 + 5 + 4 + 4 + 4) / 6 = 4.33; the last seven: (3 + 2 + 3 + 2 + 2) / 5 = 2.4
    assert "First week (2 Mar 2026 to 8 Mar 2026): mean 4.3 of 6 ratings." in draft
    assert "Last seven days (10 Mar 2026 to 16 Mar 2026): mean 2.4 of 5 ratings." in draft
    assert f'16 Mar 2026: "{NUMB}" (taken for a red flag)' in draft
    assert "Pastry cook, right elbow" in draft
    assert "What I ask of you\n___" in draft
    assert "Yes, make the files" not in ben.buttons(), "it has no closing line yet"

    assert ben.types("9: Please look at the numb hand.\n6: -") == ["therapist.letter"]
    assert "8. What I ask of you\nPlease look at the numb hand." in drafted(ben)
    assert "Injections" not in drafted(ben)
    assert ben.types("yes") == ["therapist.letter"], "without a closing line nothing is made"
    ben.types("With kind regards,\nBen Marsh, hand therapist")
    before = len(clinic.delivered)
    assert ben.taps_label("Yes, make the files") == ["therapist.letter.text", "therapist.letter.pdf"]

    assert {message.address for _, message, _ in clinic.delivered[before:]} == {"ben"}
    (_, _, text), (_, paper, _) = clinic.delivered[before:]
    assert text.document
    name, written = text.document[0], text.document[1].decode()
    assert (name, "cook" in name) == ("letter-2026-03-17.txt", False)
    for words in ("Fennel Lane", "Please look at the numb hand.", "Ben Marsh, hand therapist", "not a diagnosis"):
        assert words in written
    pages = PdfReader(io.BytesIO(draw_sheet(read(SheetFacts, paper.words.to_draw)))).pages
    printed = " ".join(" ".join(page.extract_text() for page in pages).split())
    for line in written.splitlines():
        assert " ".join(line.split()) in printed, line
    assert ben.trail(cook)[:2] == ["letter", "ask"]
    assert other.trail() == []
    assert cook.read()[-1] not in (text, paper), "the patient gets none of it"


def test_what_was_typed_outlives_a_restart_and_an_old_yes_does_not_count(clinic: Clinics, ben: Desk, cook: Patient):
    ben.sends("summary", "cook")
    ben.types("Kind regards, Ben")
    too_early = ben.buttons()["Yes, make the files"]
    ben.types("1: Pastry cook, seen on 4 March.")

    again = Clinics(clinic.store)
    again.clock.move_to(clinic.clock())
    again._ids, again.numbers = clinic._ids, clinic.numbers
    same = Patient(again, "ben")
    assert same.taps(too_early) == ["therapist.old_button"]
    same.types("11: Nothing further.")
    draft = same.read()[-1]
    assert "1. Patient\nPastry cook, seen on 4 March." in draft.text
    assert "11. For whoever sees the patient next\nNothing further." in draft.text
    assert "Kind regards, Ben" in draft.further[-1]


def test_a_summary_after_the_end_says_how_it_ended_and_keeps_the_last_course(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["4, all"] * 9})
    ben.tap_about("k", cook)
    ben.types("moves to another town")
    ben.says_yes()
    assert ben.sends("summary", "pastry") == ["therapist.letter"]
    draft = drafted(ben)
    assert "Discharged by the therapist on 11 Mar 2026.\nNoted then: moves to another town" in draft
    assert "from 2 Mar 2026; ended in week 2" in draft
    assert "What to keep doing\nEach day: 1 to 2 minutes of gentle moves, then 4 holds of 30 seconds" in draft


def test_with_a_course_a_side_it_tells_of_both(clinic: Clinics, ben: Desk, cook: Patient):
    with clinic.store.writing() as uow:
        begin_course(clinic.app.work(uow), cook.person(), {"side": "left", "rating": 6})
        uow.commit()
    ben.sends("letter", "pastry")
    draft = drafted(ben)
    assert "Pastry cook, right elbow, left elbow" in draft
    for heading in ("Home programme: right elbow\n", "Home programme: left elbow\n", "Pain: left elbow\n"):
        assert heading in draft
    assert draft.count(NUMB) == 1


def test_only_who_may_see_the_page_gets_a_draft_or_its_files(clinic: Clinics, ben: Desk, cook: Patient):
    other = Desk(clinic, "cleo")
    ben.opened(cook)
    ben.taps_label("Papers")
    letter, summary = ben.buttons()["Letter"], ben.buttons()["Summary"]
    ben.taps(letter)
    ben.types("Kind regards")
    for button in (letter, summary, ben.buttons()["Yes, make the files"]):
        assert other.taps(button) in (["therapist.refused"], ["therapist.old_button"])
        assert "Pastry" not in other.last()
    assert other.sends("letter", "Pastry cook") == ["therapist.not_found"]
    assert other.trail(cook) == ["refused", "refused"]
    assert other.sends("letter") == ["therapist.letter.whose"]


def test_handed_over_between_draft_and_yes_there_are_no_files(clinic: Clinics, ben: Desk, cook: Patient):
    other = Desk(clinic, "cleo")
    ben.sends("letter", "pastry")
    ben.types("Kind regards")
    ready = ben.buttons()["Yes, make the files"]
    with clinic.store.writing() as uow:
        person = uow.people.get(cook.person().id)
        assert person
        uow.people.save(replace(person, therapist_id=other.me.id))
        uow.commit()
    assert ben.taps(ready) == ["therapist.refused"]


@pytest.mark.parametrize(
    ("typed", "after"),
    [
        ("1: new", ["Head\nnew", "Bare", "Last\nc"]),
        ("1. Head\nall new\n2. Other", ["Head\nall new", "Other", "Last\nc"]),
        ("2: -", ["Head\na\nb", "Last\nc"]),
        ("3) one\n\ntwo\n1. is a line of it", ["Head\na\nb", "Bare", "Last\none\ntwo\n1. is a line of it"]),
        ("1: -\n2: -\n3: -", ["Head\na\nb", "Bare", "Last\nc"]),  # an empty letter is none
    ],
)
def test_parts_are_changed_by_their_numbers(typed: str, after: list[str]):
    assert changed(["Head\na\nb", "Bare", "Last\nc"], typed) == after


def test_a_whole_text_is_cut_at_its_empty_lines():
    assert paragraphs("Dear colleague,\n\n\none  two\nthree\n \nfour") == ["Dear colleague,", "one two\nthree", "four"]


def test_very_bad_days_stand_in_a_letter_that_knows_of_no_flare(clinic: Clinics, ben: Desk):
    """The programme's own limit of severe pain is 8; it asks about red flags then, which are answered with no."""
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["4, all", "9, all"]})
    cook.types("no")
    days(clinic, {cook: ["4, all"]})
    ben.sends("letter", "pastry")
    draft = drafted(ben)
    assert "No flare by the program's rule.\nDays rated 8 or more: 3 Mar 2026 (9)." in draft
    assert "None told to the program.\nAsked about red flags, and answered no to all of them, on: 4 Mar 2026." in draft


def test_a_week_of_three_ratings_tells_no_change_and_who_left_has_no_dose_to_keep(clinic: Clinics, ben: Desk):
    """The programme asks four ratings of a week; the last seven days have three."""
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: [*["6, all"] * 11, "3, all", "3, all", "", "3, all", "", "", ""]})
    ben.opened(cook)
    assert "7-day mean 3." in ben.last()
    with clinic.store.writing() as uow:
        uow.people.save(replace(cook.person(), status=Status.LEFT, away_since=clinic.clock().date()))
        uow.commit()
    ben.sends("summary", "pastry")
    draft = drafted(ben)
    assert "mean 3.0 of 3 ratings.\n3 ratings only, too few to judge a change." in draft
    assert "What to keep doing\nLast dose, to be confirmed: Each day: 1 to 2 minutes" in draft


def test_a_patients_name_or_a_buttons_label_is_no_closing_line(clinic: Clinics, ben: Desk, cook: Patient):
    ben.sends("letter", "pastry")
    open_draft = "To leave it without files: tap or type Leave it, or send a command such as /caseload."
    assert open_draft in ben.read()[-1].further[-1]
    for line in ("pastry COOK", "Caseload"):
        if line == "Caseload":
            ben.sends("caseload")
            line = next(iter(ben.buttons()))
            ben.sends("letter", "pastry")
        assert ben.types(line) == ["therapist.refused"]
        assert f'"{line}" is a patient\'s name or a button' in ben.last()
    ben.types("Kind regards, Ben")
    assert "Kind regards, Ben" in ben.read()[-1].further[-1]
    assert ben.types("Leave it") == ["therapist.nothing_changed"]
    assert ben.types("pastry cook") == ["therapist.person"]
