"""A diary on paper is typed in by the therapist: it counts, and replaces nothing that was answered."""

import datetime as dt

import pytest

from core.errors import RefusalError
from core.use_cases.paper import PaperEvening, read_diary
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk

YESTERDAY = dt.date(2026, 11, 22)


@pytest.mark.parametrize(
    ("words", "evenings"),
    [
        ("4/4 3", (PaperEvening(dt.date(2026, 11, 21), 4, 4), PaperEvening(YESTERDAY, 3, None))),
        ("10/0, - 5/2", (PaperEvening(dt.date(2026, 11, 20), 10, 0), PaperEvening(YESTERDAY, 5, 2))),
        (
            "2026-11-16: 4/4 x 3/4",
            (PaperEvening(dt.date(2026, 11, 16), 4, 4), PaperEvening(dt.date(2026, 11, 18), 3, 4)),
        ),
    ],
)
def test_evenings_are_read_with_their_dates(words: str, evenings: tuple[PaperEvening, ...]):
    assert read_diary(words, YESTERDAY) == evenings


@pytest.mark.parametrize("words", ["", "- -", "4/4 well", "11/4", "2026-11-22 4/4 3/4", "2026-02-30 4", "4 " * 29])
def test_what_is_no_diary_is_refused(words: str):
    with pytest.raises(RefusalError):
        read_diary(words, YESTERDAY)


def test_a_week_on_paper_is_shown_confirmed_decided_and_told(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    clinic.live_to(0, "19:05")
    cook.types("4, did all")
    clinic.live_to(4, "12:00")

    assert ben.tap_about("diary", cook) == ["therapist.act.typed"]
    assert ben.types("9/9 4/4 - 5/9") == ["therapist.act.confirm"]
    assert "stays as answered, pain 4, sets 4" in ben.last()
    assert ben.says_yes() == ["therapist.act.done"]

    found = [(cook.check_in(day).pain, cook.check_in(day).sets_done) for day in (0, 1, 2, 3)]
    assert found == [(4, 4), (4, 4), (None, None), (5, 4)]  # never more sets than were asked for
    assert "typed in your diary from paper" in cook.last()
    assert ben.trail(cook)[0] == "diary"
    with clinic.store.reading() as uow:
        dates = [each.date for each in uow.decisions.of(cook.course().id)]
    assert {cook.check_in(day).date for day in (1, 3)} <= set(dates)
    assert ben.tap_about("diary", cook) == ["therapist.act.typed"]
    assert ben.types("4/4 yes 5/2") == ["therapist.refused"]


def test_who_was_stopped_by_the_therapist_is_given_no_sets_when_the_diary_is_typed_in(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    clinic.live_to(2, "12:00")
    ben.tap_about("z", cook)
    ben.types("away from work, rest it")
    ben.says_yes()

    ben.tap_about("diary", cook)
    ben.types("4/4 4/4")
    assert ben.says_yes() == ["therapist.act.done"]
    assert "typed in your diary from paper." in cook.last()
    assert "Please do no sets until they let you go on." in cook.last()
    assert "Today" not in cook.last()
