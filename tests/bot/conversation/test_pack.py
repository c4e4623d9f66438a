"""A programme's own words in the place of those that every programme shares."""

import dataclasses

import pytest

from bot.cli import main
from bot.wording.messages import render
from bot.wording.pack import misplaced
from core.programme.file import programme_at, shipped
from tests.bot.conversation.chat import Clinics, Patient


@pytest.mark.parametrize("name", shipped())
def test_every_text_that_is_replaced_is_there_and_can_be_filled_in(name: str) -> None:
    assert misplaced(programme_at(name)) == []
    assert main(["programme", "check", name]) == 0


@pytest.mark.parametrize(
    ("key", "words", "said"),
    [
        ("instead.enrol.fitt", "So?", "words.en.po: instead.enrol.fitt: there is no text enrol.fitt to stand in for"),
        ("instead.enrol.fit", "Is this so, {name}?", "words.en.po: instead.enrol.fit: name cannot be filled in there"),
    ],
)
def test_words_in_place_of_nothing_are_told(key: str, words: str, said: str) -> None:
    programme = programme_at(shipped()[0])
    wrong = dataclasses.replace(programme, words={"en": {**programme.words["en"], key: words}})

    assert misplaced(wrong) == [said]


def test_the_programmes_own_words_are_shown_and_the_shared_ones_where_it_has_none() -> None:
    words = {"en": {"instead.enrol.side": "Which knee is it?"}}

    assert render("enrol.side", {"words": words}).text == "Which knee is it?"
    assert render("enrol.side", {"words": {"de": {}}}).text == render("enrol.side", {}).text != "Which knee is it?"


def test_the_enrolment_is_asked_in_the_programmes_words(clinic: Clinics) -> None:
    patient = Patient(clinic, "cellist")
    patient.sends("start", clinic.invite("the cellist"))
    for answer in ("yes", "yes", "no", "no", "no", "no"):
        patient.types(answer)

    assert patient.last().startswith("Which elbow is it?")
    assert patient.types("the left elbow") == ["enrol.rating"]
