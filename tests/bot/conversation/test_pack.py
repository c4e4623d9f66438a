"""A programme's own words in the place of those that every programme shares."""

import dataclasses

import pytest

from bot.cli import main
from bot.wording.catalogue import WordingError
from bot.wording.filling import misplaced
from bot.wording.messages import in_words
from core.programme.file import programme_at, shipped
from core.use_cases.gathering import dose_facts
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

    assert in_words("enrol.side", "en", {"instead": words}).text == "Which knee is it?"
    shared = in_words("enrol.side", "en", {}).text
    assert in_words("enrol.side", "en", {"instead": {"de": {}}}).text == shared != "Which knee is it?"


def test_the_enrolment_is_asked_in_the_programmes_words(clinic: Clinics) -> None:
    patient = Patient(clinic, "cellist")
    patient.sends("start", clinic.invite("the cellist"))
    for answer in ("yes", "yes", "no", "no", "no", "no"):
        patient.types(answer)

    assert patient.last().startswith("Which elbow is it?")
    assert patient.types("the left elbow") == ["enrol.rating"]


def how_tos(name: str) -> list[str]:
    """How each step of a programme is done: with its least and its most weight, and on a rest day."""
    programme = programme_at(name)
    doses = [
        dose
        for step in programme.steps
        for dose in (step.dose, dataclasses.replace(step.dose, load_g=step.cap_g or step.dose.load_g), step.rest)
    ]
    return [in_words("how", "en", {"dose": dose_facts(programme, dose, how=True)}).text for dose in doses]


@pytest.mark.parametrize("name", shipped())
def test_every_how_to_is_whole_and_its_place_is_told_before_its_movement(name: str) -> None:
    for text in how_tos(name):
        assert "{" not in text
        assert 0 < len(text) <= 4096
        assert "GENTLE MOVES. Sit at a table." in text
        for movement in ("\nHOLD. ", "\nLOWERING. ", "\nLIFT AND LOWER. "):
            if movement in text:
                part = text.partition(movement)[2]
                assert part.index("palm") < part.index("seconds" if movement == "\nHOLD. " else "count to")
                for said in ("STOP if", "Keep breathing", "THE NEXT MORNING", "BOTH ARMS"):
                    assert said in text


def test_a_bottle_is_named_only_while_it_can_be_held() -> None:
    programme = programme_at(shipped()[-1])
    limit = next(one.most_g.value for one in programme.equipment if one.most_g)
    for load, named in ((int(limit), True), (int(limit) + 100, False)):
        dose = dataclasses.replace(programme.step(6).dose, load_g=load)
        told = in_words("how", "en", {"dose": dose_facts(programme, dose, how=True)}).text
        assert ("- a bottle with" in told) is named


def test_facts_without_the_words_they_need_are_refused() -> None:
    programme = programme_at(shipped()[0])
    with pytest.raises(WordingError, match="no text for 'exercise"):
        in_words("how", "en", {"dose": dose_facts(programme, programme.step(1).dose)})
