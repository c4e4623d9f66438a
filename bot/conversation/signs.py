"""Words that may tell of a sign: the person is asked which it is, and nothing stops meanwhile."""

from collections.abc import Mapping
from dataclasses import replace

from bot.conversation import danger, questions
from bot.conversation.noting import ask_on, no_sets_told
from bot.conversation.talk import PersonTalk
from bot.conversation.typed import read_time, read_zones
from core.model import Flag, NoticeKind
from core.records import CheckIn, Course, SignQuestion
from core.understanding import Understanding, Urgency
from core.use_cases.enrolling import put_before
from core.use_cases.noticing import tell_therapist
from core.use_cases.reporting import (
    ask_about_sign,
    hurts,
    hurts_as_before,
    keep_unread,
    no_sets_with,
    open_sign,
    settle,
)

SETTLED = frozenset({"sign.hurts", "sign.none"})  # said once it is known to be no sign of danger
_MAY_WAIT = frozenset({"which_day", "red_flags"})  # what is open stays what a bare word answers
_ASKS_BACK = frozenset({"change", "confirm"})


def wonders(heard: Understanding) -> SignQuestion | None:
    """What is to be asked of what was heard; None for nothing."""
    if heard.maybe or heard.unreadable:
        return SignQuestion.WHICH
    return SignQuestion.WEAK if heard.complaint else None


def put_if_any(talk: PersonTalk, heard: Understanding) -> bool:
    """Ask what was heard may be a sign of; False where there is nothing to ask, or it is danger already."""
    question = wonders(heard)
    if question and not danger.stops(heard):
        put(talk, question, worse=heard.worse)
    return question is not None


def put(talk: PersonTalk, question: SignQuestion, *, worse: bool = False) -> None:
    """Ask by button. Who has no course has no evening to keep it with: the therapist is told at once.

    What was answered of late is taken as before, unless it is told for the `worse`.
    """
    course = talk.course()
    if course and question is SignQuestion.WEAK and not worse and hurts_as_before(talk.work, talk.person):
        _as_before(talk, course)
        return
    if course is None:
        facts = {"flag": question.value}
        tell_therapist(talk.work, talk.person, NoticeKind.UNSURE, talk.work.new_id(), facts, talk.came.text)
        kept = put_before(talk.dialogue, "sign")
        facts = dict(kept.facts) | {"text": talk.came.text}
        talk.work.uow.dialogues.save(replace(kept, step=question.value, facts=facts))
        talk.say(f"sign.{question.value}", check_in_id="", emergency=talk.emergency)
        return
    check_in = ask_about_sign(talk.work, talk.person, course, question, talk.came.text)
    talk.refresh()
    if check_in.sign is SignQuestion.WHICH:
        no_sets_told(talk)
    if talk.dialogue.flow not in _MAY_WAIT and talk.dialogue.step not in _ASKS_BACK:
        talk.wait_for("sign", "", check_in.id)
    put_open(talk, check_in)


def put_open(talk: PersonTalk, check_in: CheckIn, *, again: bool = False, bare: str = "") -> None:
    """Say the question that is open: `again` where nothing that was said answers it, such as a `bare` "yes"."""
    question = check_in.sign or SignQuestion.WHICH
    facts = {"again": again, "bare": bare, "emergency": talk.emergency}
    talk.say(f"sign.{question}", check_in_id=check_in.id, **facts, **no_sets_with(talk.work, talk.person, question))


def comes_first(talk: PersonTalk) -> bool:
    """Put the question once more to a bare yes, no or number, which answers no evening while it is open."""
    question, check_in, _ = _open(talk)
    flow, step = talk.dialogue.flow, talk.dialogue.step
    of_evening = flow in ("", "evening") and step not in _ASKS_BACK and question is SignQuestion.WHICH
    if check_in is None or not (flow == "sign" or of_evening):
        return False
    number = talk.came.text.strip(" .!").isdecimal()
    if not (number or talk.typed("words.yes") or talk.typed("words.no")):
        return False
    if typed_answer(talk, bare=True):
        return True
    talk.about(check_in.course_id)
    put_open(talk, check_in, again=True, bare="number" if number else "yes")
    return True


def put_instead(talk: PersonTalk) -> bool:
    """Put the open question about which sign it is instead of sets; False where none is open."""
    question, check_in, _ = _open(talk)
    if question is not SignQuestion.WHICH or check_in is None:
        return False
    put_open(talk, check_in, again=True)
    return True


def _as_before(talk: PersonTalk, course: Course) -> None:
    only = not talk.replies
    keep_unread(talk.work, talk.person, course, talk.came.text)
    talk.say("sign.as_before")
    if only:
        ask_on(talk, course)


def _answers_the_question(talk: PersonTalk) -> bool:
    """Whether a line is an hour, a town or a plain yes, no or "I don't know", whatever else an ear makes of it."""
    plain = any(talk.typed(f"words.{word}") for word in ("yes", "no", "unsure"))
    return plain or bool(read_time(talk.came.text) or read_zones(talk.came.text)[0])


def kept_unread(talk: PersonTalk, heard: Understanding) -> None:
    """Keep the words that were not read; that a language cannot be read is said once."""
    course = talk.course()
    words = talk.came.text if heard.unreadable else heard.unread
    if course and words:
        keep_unread(talk.work, talk.person, course, words)
    if heard.unreadable and not talk.person.told_unreadable:
        talk.person = replace(talk.person, told_unreadable=True)
        talk.work.uow.people.save(talk.person)
        talk.say("chat.language")


# the red flags of NHS Gloucestershire; Javed 2015; of what a button leaves open the sooner is taken
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
    later = _open(talk)[1] if check_in.sign is None else None
    if later and later.sign is SignQuestion.WHICH and choice in SIGNS:
        _answered(talk, later, choice, later.sign_words)  # the same question from an earlier evening's buttons
    elif later and later.sign is SignQuestion.WHICH and choice == "none":
        put_open(talk, later, again=True)
    elif check_in.sign is None or choice not in CHOICES[check_in.sign]:
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
        if check_in:
            put_open(talk, check_in, again=True)
            return
        talk.say(f"sign.{question.value}", check_in_id="", again=True, emergency=talk.emergency)


def _open(talk: PersonTalk) -> tuple[SignQuestion | None, CheckIn | None, str]:
    courses, dialogue = talk.courses(), talk.dialogue
    if courses:
        check_in = next(filter(None, (open_sign(talk.work, each) for each in courses)), None)
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
    freed = check_in is not None and check_in.sign is SignQuestion.WHICH
    talk.say("sign.hurts" if choice == "hurts" else "sign.none", sets=freed)
    if talk.dialogue.flow not in ("", "evening", "sign"):
        return  # another question was open, and is still
    talk.nothing_open()
    if course := talk.course():
        ask_on(talk, course)


def heard_danger(talk: PersonTalk, *, asks: bool = True) -> bool:
    """Deal with danger in a text typed at a question that is not about the evening; False when there is none.

    `asks`: words that may tell of a sign are asked about at once.
    """
    heard = danger.listen(talk)
    if danger.stops(heard):
        danger.answer(talk, heard)
        return True
    if asks and heard.flag is Flag.CLINICAL_QUESTION and questions.answered(talk):
        questions.remember(talk)
        return True
    if talk.courses() and danger.heard_beside(talk, heard):
        return True
    if heard.flag in (Flag.CLINICAL_QUESTION, Flag.INJECTION, Flag.CIRCUMSTANCE):
        questions.hand_on(talk, talk.came.text)
        return True
    return asks and not _answers_the_question(talk) and put_if_any(talk, heard)
