"""Words that may tell of a sign: the person is asked which it is, and nothing stops meanwhile."""

from dataclasses import replace

from bot.conversation.answers_typed import read_time, read_zones
from bot.conversation.noting import ask_on
from bot.conversation.talk import PersonTalk
from core.model import NoticeKind, Understanding
from core.records import Course, SignQuestion
from core.use_cases.enrolling import put_before
from core.use_cases.noticing import tell_therapist
from core.use_cases.wondering import hurts_as_before, keep_unread, wonder

_MAY_WAIT = frozenset({"which_day", "red_flags"})  # what is open stays what a bare word answers
_ASKS_BACK = frozenset({"change", "confirm"})


def wonders(heard: Understanding) -> SignQuestion | None:
    """What is to be asked of what was heard; None for nothing."""
    if heard.maybe or heard.unreadable:
        return SignQuestion.WHICH
    return SignQuestion.WEAK if heard.complaint else None


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
        talk.say(f"sign.{question.value}", check_in="", emergency=talk.emergency)
        return
    check_in = wonder(talk.work, talk.person, course, question, talk.came.text)
    talk.refresh()
    if talk.dialogue.flow not in _MAY_WAIT and talk.dialogue.step not in _ASKS_BACK:
        talk.wait_for("sign", "", check_in.id)
    talk.say(f"sign.{check_in.sign or question}", check_in=check_in.id, emergency=talk.emergency)


def _as_before(talk: PersonTalk, course: Course) -> None:
    only = not talk.replies
    keep_unread(talk.work, talk.person, course, talk.came.text)
    talk.say("sign.as_before")
    if only:
        ask_on(talk, course)


def answers_the_question(talk: PersonTalk) -> bool:
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
