"""What somebody types who has a course for each side: the parts of a line, each for its own."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from bot.conversation import danger, evening, signs, taps
from bot.conversation.noting import no_sets_told, note, question_of
from bot.conversation.talk import PersonTalk
from core.answers import understand
from core.answers.sides import BySide, by_side
from core.guided import OTHER_SIDE
from core.model import Question, Understanding
from core.timetable import evening_of
from core.use_cases.answering import Said, is_complete, open_evening
from core.use_cases.gathering import side_of

ASKED_ON = ("evening.sets", "evening.pain", "evening.again")


def on_text(talk: PersonTalk) -> str | None:
    """A typed line while nothing else is being asked, as `evening.on_text`."""
    if taps.typed_red_flags(talk) or signs.comes_first(talk):
        return None
    if len(talk.courses()) < 2:
        return evening.on_text(talk)
    named = by_side(talk.came.text, talk.person.language)
    if named.unclear:
        answers = _both_wait(talk) if named.pair else True
    else:
        answers = any(_gives_numbers(talk, words) for words in (*named.parts.values(), named.shared))
    return _on_sides(talk, named) if answers else evening.on_text(talk)


def _gives_numbers(talk: PersonTalk, words: str) -> bool:
    """Whether the words answer an evening, and do not only name a side: "an injection, left side"."""
    heard = understand(words, talk.person.language, Question.BOTH, evening.USUAL_SETS)
    return heard.pain is not None or heard.sets is not None


def on_edit(talk: PersonTalk) -> str | None:
    """An edited line, as `evening.on_edit`: where it names sides, each answer that it gave is changed for itself."""
    diary = talk.work.uow.diary
    named = by_side(talk.came.text, talk.person.language) if len(talk.courses()) > 1 else BySide()
    given = diary.check_in(diary.answered_by(talk.person.id, talk.came.message_id or "") or "")
    if not named.parts or named.unclear or given is None or danger.stops(danger.listen(talk)):
        return evening.on_edit(talk)
    for side, words in named.parts.items():
        course = diary.course_of(talk.person.id, side)
        check_in = diary.check_in_on(course.id, given.date) if course else None
        if course and check_in:
            now_open = evening.Open(course, check_in, Question.BOTH, check_in.sets_asked, words)
            heard = _hear_part(talk, now_open, named.shared)
            if heard.pain not in (None, check_in.pain) or heard.sets not in (None, check_in.sets_done):
                said = Said(heard.pain, heard.sets, source="edited", message_id=talk.came.message_id)
                note(talk, course, check_in, said)
    return None


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
    flags = next((each for each in outcomes if each.facts["ask_red_flags"]), None)
    if flags or which:
        no_sets_told(talk)
        others = [each for each in talk.replies if each.kind not in ASKED_ON and each not in which]
        talk.replies[:] = [*others, *which[-1:]]
        flow, first = ("red_flags", flags) if flags else ("sign", which[-1])
        talk.wait_for(flow, "", first.facts["check_in"])
        return
    asked = [each for each in talk.replies if each.kind in ASKED_ON]
    if asked and talk.dialogue.flow != "evening":  # the other side is answered, and this question follows it
        talk.replies[:] = [each for each in talk.replies if each not in asked]
    if len(asked) < 2:
        return
    talk.replies[:] = [each for each in talk.replies if each not in asked[1:]]
    check_in = talk.work.uow.diary.check_in(asked[0].facts["check_in"])
    if check_in:
        talk.about(check_in.course_id)
        talk.wait_for("evening", question_of(check_in).value, check_in.id)


def _ask_which(talk: PersonTalk, pair: Sequence[str]) -> None:
    """Numbers, and no word of which is whose."""
    talk.wait_for("which_side", "", talk.dialogue.check_in_id, pair=list(pair))
    sides = [(side_of(talk.programme, each.side), f"f.which_side.{each.side}") for each in talk.courses()]
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


def answer_on(talk: PersonTalk, text: str, date: dt.date) -> None:
    """Take a line for that date, now that it is known which is meant: each part for the side that it names."""
    named = by_side(text, talk.person.language)
    course = talk.course()
    for side, words in (named.parts or {course.side if course else "": text}).items():
        course = talk.work.uow.diary.course_of(talk.person.id, side)
        if course is None:
            continue
        talk.side = course.side
        check_in = open_evening(talk.work, talk.person, course, date)
        talk.refresh()
        now_open = evening.Open(course, check_in, question_of(check_in), check_in.sets_asked, words)
        evening.answer_for(talk, course, check_in, _hear_part(talk, now_open, named.shared))
    _one_question(talk)
