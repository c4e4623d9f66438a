"""What is typed while nothing else is asked, and what is edited: of two sides each part of a line for its own."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from bot.buttons import Verb, carried
from bot.conversation import danger, evening, signs
from bot.conversation.noting import no_sets_told, note, question_of
from bot.conversation.talk import PersonTalk
from core.answers import understand
from core.answers.sides import BySide, by_side
from core.guided import OTHER_SIDE
from core.records import CheckIn, Course
from core.timetable import evening_of
from core.understanding import Question, Understanding
from core.use_cases.answering import is_complete, open_evening
from core.use_cases.gathering import side_of

ASKED_ON = ("evening.sets", "evening.pain", "evening.again")


def on_text(talk: PersonTalk) -> str | None:
    """A typed line; the name of a command that is to follow."""
    if danger.typed_red_flags(talk) or signs.comes_first(talk):
        return None
    if len(talk.courses()) < 2:
        return evening.on_text(talk)
    named = by_side(talk.came.text, talk.person.language)
    if named.unclear:
        answers = _both_wait(talk) if named.pair else True
    else:
        answers = any(evening.gives_numbers(talk.as_text(words)) for words in (*named.parts.values(), named.shared))
    return _on_sides(talk, named) if answers else evening.on_text(talk)


def on_edit(talk: PersonTalk) -> str | None:
    """An edited line changes the answer that it gave; where it names sides, each of them for itself."""
    diary = talk.work.uow.diary
    named = by_side(talk.came.text, talk.person.language) if len(talk.courses()) > 1 else BySide()
    given = diary.check_in(diary.answered_by(talk.person.id, talk.came.message_id or "") or "")
    if not named.parts or named.unclear or given is None or danger.stops(danger.listen(talk)):
        return _edit_of_one(talk)
    for side, words in named.parts.items():
        course = diary.course_of(talk.person.id, side)
        check_in = diary.check_in_on(course.id, given.date) if course else None
        if course and check_in:
            now_open = evening.Open(course, check_in, Question.BOTH, check_in.sets_asked, words)
            _change(talk, course, check_in, _hear_part(talk, now_open, named.shared))
    return None


def _edit_of_one(talk: PersonTalk) -> str | None:
    """An edited message changes the answer it gave; of any other edit only danger means something to us.

    The name of a command where a wish to stop stands beside a danger.
    """
    message_id = talk.came.message_id or ""
    check_in = talk.work.uow.diary.check_in(talk.work.uow.diary.answered_by(talk.person.id, message_id) or "")
    course = talk.about(check_in.course_id) if check_in else None
    if course is None or check_in is None:
        heard = danger.listen(talk)
        if not danger.stops(heard):
            return None
        danger.answer(talk, heard)
        return danger.leaving(heard)
    given = [each for each in talk.work.uow.diary.answers(talk.person.id) if each.message_id == message_id]
    first = given[0]
    question = Question.BOTH
    if (first.pain is None) != (first.sets_done is None):
        question = Question.SETS if first.pain is None else Question.PAIN
    heard = understand(talk.came.text, talk.person.language, question, check_in.sets_asked)
    if danger.stops(heard):
        if all(each.flag != heard.flag for each in given):  # else only the words around the sign have changed
            danger.answer(talk, heard, check_in, numbers=True)
            return danger.leaving(heard)
    elif not evening.has_values(heard):
        talk.say("change.not_clear", check_in=check_in)
    else:
        _change(talk, course, check_in, heard)
    signs.put_if_any(talk, heard)
    return None


def _change(talk: PersonTalk, course: Course, check_in: CheckIn, heard: Understanding) -> None:
    if heard.pain not in (None, check_in.pain) or heard.sets not in (None, check_in.sets_done):
        note(talk, course, check_in, replace(evening.said_in(talk, heard), flag=None, source="edited"))


def _both_wait(talk: PersonTalk) -> bool:
    """Whether neither side was answered tonight, so that two numbers may be one for each."""
    today = evening_of(talk.said_at, talk.person.zone)
    tonight = [talk.work.uow.diary.check_in_on(each.id, today) for each in talk.courses()]
    return all(each is None or each.pain is None for each in tonight) and talk.dialogue.step != "change"


def _on_sides(talk: PersonTalk, named: BySide) -> str | None:
    """A line that names a side or both: each is answered for itself, what is said beside is heard once."""
    whole = danger.listen(talk)
    if named.unclear and not danger.stops(whole):
        _ask_which(talk, named.pair)
        return None
    command, first = None, True
    for side, words in named.parts.items():
        course = talk.work.uow.diary.course_of(talk.person.id, side)
        talk.side = side
        if course is None or talk.dialogue.flow == "which_day":
            continue
        now_open = replace(evening.open_evening_of(talk, course), words=words)
        part = _hear_part(talk, now_open, named.shared)
        if now_open.check_in and is_complete(now_open.check_in):  # whoever names a side again means to change it
            talk.wait_for("evening", "change", now_open.check_in.id)
        if first:
            heard = replace(whole, pain=part.pain, sets=part.sets, unclear=part.unclear)
            command, first = evening.on_line(talk, now_open, heard), False
            if danger.stops(whole):
                break
        else:
            evening.answer(talk, now_open, replace(part, flag=None, wish=None))
    _one_question(talk)
    return command


def _hear_part(talk: PersonTalk, now_open: evening.Open, shared: str) -> Understanding:
    heard = evening.hear(talk.as_text(now_open.words), now_open)
    if heard.sets is not None or not shared:
        return heard
    sets = understand(shared, talk.person.language, Question.SETS, now_open.prescribed).sets
    return heard if sets is None else replace(heard, sets=sets, unclear=())


def _one_question(talk: PersonTalk) -> None:
    """Where more than one question came of a line, the first is put now and the other once it is answered; those about
    signs of danger before any other."""
    outcomes = [each for each in talk.replies if each.kind == "evening.outcome"]
    which = [each for each in talk.replies if each.kind == "sign.which"]
    flags = next((each for each in outcomes if each.facts["decided"].ask_red_flags), None)
    if flags or which:
        no_sets_told(talk)
        others = [each for each in talk.replies if each.kind not in ASKED_ON and each not in which]
        talk.replies[:] = [*others, *which[-1:]]
        flow, first = ("red_flags", flags) if flags else ("sign", which[-1])
        talk.wait_for(flow, "", first.facts["check_in"].id if flags else first.facts["check_in_id"])
        return
    asked = [each for each in talk.replies if each.kind in ASKED_ON]
    if asked and talk.dialogue.flow != "evening":  # the other side is answered, and this question follows it
        talk.replies[:] = [each for each in talk.replies if each not in asked]
    if len(asked) < 2:
        return
    talk.replies[:] = [each for each in talk.replies if each not in asked[1:]]
    check_in = asked[0].facts["check_in"]
    talk.about(check_in.course_id)
    talk.wait_for("evening", question_of(check_in).value, check_in.id)


def _ask_which(talk: PersonTalk, pair: Sequence[str]) -> None:
    """Numbers, and no word of which is whose."""
    talk.wait_for("which_side", "", talk.dialogue.check_in_id, pair=list(pair))
    named = [each.side for each in talk.courses()]
    sides = [(side_of(talk.programme, side), carried(Verb.ANSWER, "which_side", side)) for side in named]
    talk.say("which_side.numbers", sides=sides if pair else ())


def on_which_side(talk: PersonTalk, answer: str) -> str | None:
    """The side that was meant first; anything else is a line like any other."""
    pair = list(talk.dialogue.facts.get("pair", ()))
    first = next((side for side in OTHER_SIDE if answer == side or talk.typed(f"words.{side}")), "")
    talk.nothing_open()
    if not first or not pair:
        return on_text(talk)
    other, (one, two) = OTHER_SIDE[first], map(str, pair)
    return _on_sides(talk.as_text(f"{first} {one}, {other} {two}"), BySide({first: one, other: two}))


def on_which_day(talk: PersonTalk, answer: str) -> None:
    """What was typed this morning counts for the evening the person now names."""
    last_night = talk.work.uow.diary.check_in(talk.dialogue.check_in_id or "")
    course = talk.about(last_night.course_id) if last_night else None
    if course and last_night and (answer == "last" or talk.typed("words.last_night")):
        _answer_on(talk, course, last_night.date)
    elif course and (answer == "today" or talk.typed("words.today")):
        _answer_on(talk, course, evening_of(talk.said_at, talk.person.zone))
    else:
        talk.say("evening.which_day")


def _answer_on(talk: PersonTalk, about: Course, date: dt.date) -> None:
    """Take the line for that date: of two sides each part for the one that it names."""
    text = str(talk.dialogue.facts["text"])
    named = by_side(text, talk.person.language) if len(talk.courses()) > 1 else BySide()
    for side, words in (named.parts or {about.side: text}).items():
        course = talk.work.uow.diary.course_of(talk.person.id, side)
        if course is None:
            continue
        talk.side = course.side
        check_in = open_evening(talk.work, talk.person, course, date)
        talk.refresh()
        now_open = evening.Open(course, check_in, question_of(check_in), check_in.sets_asked, words)
        evening.take(talk, now_open, _hear_part(talk, now_open, named.shared))
    _one_question(talk)
