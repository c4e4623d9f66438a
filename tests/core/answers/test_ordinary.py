"""Ordinary questions as people type them, found by the phrases of the programme that comes along."""

import pytest

from core.answers.understand import ordinary
from core.programme.file import default_programme

WORDS = default_programme().words["en"]
PHRASES = {one.key: WORDS[f"question.{one.key}.phrases"] for one in default_programme().questions}


def asked(text: str) -> tuple[str, ...]:
    return ordinary(text, "en", PHRASES, WORDS["for_a_person.phrases"])


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("should it hurt a bit when i hold?", ("hurt",)),
        ("is it normal that it hurts", ("hurt",)),
        ("how hard do i press?", ("hard",)),
        ("how long will this take to heal", ("long",)),
        ("when will my elbow be better?", ("long",)),
        ("which weight should i take", ("weight",)),
        ("i have no dumbbell, can i use a bottle?", ("weight",)),
        ("do i need to do both arms?", ("both",)),
        ("why the other arm too", ("both",)),
        ("which hand", ("both",)),
        ("which hand do i do first?", ("both",)),
        ("left or right?", ("both",)),
        ("palm up or down", ("palm",)),
        ("palm up or palm down?", ("palm",)),
        ("should the palm face up", ("palm",)),
        ("which way does my palm face", ("palm",)),
        ("what if i miss a day?", ("missed",)),
        ("can i still work at the computer", ("work",)),
        ("is it ok to garden?", ("work",)),
        ("can I play tennis at the weekend?", ("sport",)),
        ("may i play the cello?", ("music",)),
        ("should I wear a brace?", ("brace",)),
        ("does a strap help", ("brace",)),
        ("shall i ice it or does heat help?", ("ice",)),
        ("what do i do on holiday?", ("away",)),
        ("can i wear a brace when i work?", ("work", "brace")),
    ],
)
def test_an_ordinary_question_is_found(text: str, keys: tuple[str, ...]) -> None:
    assert asked(text) == keys


@pytest.mark.parametrize(
    "text",
    [
        "can i take ibuprofen before i play tennis?",
        "my doctor offered me an injection, should i still work?",
        "is it ok to ice it, i had a cortisone shot",
        "should i have an operation?",
        "can i play tennis, my hand is numb",
        "it gets worse at work, can i go on?",
        "4, did all",
        "5",
        "all done",
        "how is your dog",
        "my palm is numb, up or down does not matter",
        "skipped yesterday",
        "",
    ],
)
def test_what_a_person_should_hear_of_or_is_no_question_is_not_answered(text: str) -> None:
    assert asked(text) == ()


def test_many_questions_at_once_are_left_to_a_person() -> None:
    assert asked("how long will it take, should i wear a brace, and can i play tennis?") == ()
