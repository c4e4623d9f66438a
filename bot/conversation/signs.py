"""The answer to the question which sign it is, tapped or typed: the same stop and the same help as for a typed sign."""

from collections.abc import Mapping

from bot.conversation import danger, enrol
from bot.conversation.noting import ask_on
from bot.conversation.talk import PersonTalk
from core.model import Flag, Understanding, Urgency
from core.records import CheckIn, SignQuestion, Status
from core.use_cases.wondering import hurts, open_sign, settle

# evidence rows H1 to H6; of what a button leaves open the sooner is taken
SIGNS: Mapping[str, Understanding] = {
    "numb": Understanding(flag=Flag.RED_FLAG, urgency=Urgency.SOON),
    "weak": Understanding(flag=Flag.RED_FLAG, urgency=Urgency.TODAY),
    "hot": Understanding(flag=Flag.RED_FLAG, urgency=Urgency.TODAY),
    "chest": Understanding(flag=Flag.URGENT, urgency=Urgency.NOW),
    "low": Understanding(flag=Flag.DISTRESS, urgency=Urgency.NOW),
    "else": Understanding(flag=Flag.RED_FLAG, urgency=Urgency.SOON),
    "painless": Understanding(flag=Flag.RED_FLAG, urgency=Urgency.SOON),
}
CHOICES = {
    SignQuestion.WHICH: ("numb", "weak", "hot", "chest", "low", "else", "none"),
    SignQuestion.WEAK: ("hurts", "painless", "neither"),
}


def on_tap(talk: PersonTalk, check_in: CheckIn, choice: str) -> None:
    """A button under the question; one that is answered, or was never put, changes nothing."""
    if check_in.sign is None or choice not in CHOICES[check_in.sign]:
        talk.say("button.old")
    else:
        _answered(talk, check_in, choice, check_in.sign_words)


def typed_answer(talk: PersonTalk, *, bare: bool) -> bool:
    """Take a typed label for the question that is open, where `bare` a short word for it or a plain no, too.

    False when the text is none of these.
    """
    question, check_in, words = _open(talk)
    if question is None:
        return False
    choice = next((each for each in CHOICES[question] if _says(talk, each, bare=bare)), "")
    if bare and not choice and question is SignQuestion.WHICH and talk.typed("words.no"):
        choice = "none"
    if choice:
        _answered(talk, check_in, choice, words)
    return bool(choice)


def on_choice(talk: PersonTalk, choice: str) -> None:
    """A button of the question put to somebody who has no course; or words that do not answer it: ask again."""
    question, check_in, words = _open(talk)
    if question is None:
        talk.nothing_open()
        talk.say("button.old")
    elif check_in is None and choice in CHOICES[question]:
        _answered(talk, None, choice, words)
    else:
        about = check_in.id if check_in else ""
        talk.say(f"sign.{question.value}", check_in=about, again=True, emergency=talk.emergency)


def _open(talk: PersonTalk) -> tuple[SignQuestion | None, CheckIn | None, str]:
    course, dialogue = talk.course(), talk.dialogue
    if course:
        check_in = open_sign(talk.work, course)
        return (check_in.sign, check_in, check_in.sign_words) if check_in else (None, None, "")
    if dialogue.flow != "sign":
        return None, None, ""
    return SignQuestion(dialogue.step), None, str(dialogue.facts.get("text", ""))


def _says(talk: PersonTalk, choice: str, *, bare: bool) -> bool:
    return talk.typed(f"sign.choice.{choice}") or (bare and talk.typed(f"words.sign.{choice}"))


def _answered(talk: PersonTalk, check_in: CheckIn | None, choice: str, words: str) -> None:
    if sign := SIGNS.get(choice):
        # told in the person's own words, which a tap has none of
        danger.answer(talk.as_text(words), sign, check_in, sign=choice)
        talk.refresh()
        return
    if choice == "hurts":
        hurts(talk.work, talk.person, check_in)
        talk.refresh()
    elif check_in:
        settle(talk.work, check_in)
    talk.say("sign.hurts" if choice == "hurts" else "sign.none")
    if talk.dialogue.flow not in ("", "evening", "sign"):
        return  # another question was open, and is still
    talk.nothing_open()
    if talk.person.status == Status.ENROLLING:
        enrol.ask_open_question(talk)
    elif course := talk.course():
        ask_on(talk, course)
