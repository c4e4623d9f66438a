"""A sign that may have been told: asked about by button, asked once more, and told to the therapist if not answered."""

import datetime as dt
from dataclasses import replace

from core.model import NoticeKind
from core.records import CheckIn, Course, Person, Priority, SignQuestion, Status
from core.timetable import ONE_DAY, evening_of, morning_call, reminder
from core.use_cases.answering import open_evening
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Recipient, Work, emergency, queue

LONGEST = 4000  # characters kept of one evening's words
AS_BEFORE = dt.timedelta(weeks=3)  # how long "weak because it hurts" is taken for known; judgement


def ask_about_sign(work: Work, person: Person, course: Course, question: SignQuestion, text: str) -> CheckIn:
    """Open the question, with the words it is about, beside the latest evening. Which sign it is must be known before
    any more sets; nothing stops for it.

    It is put once more with the evening's reminder, or in two hours, or in the morning.
    """
    today = evening_of(work.now, person.zone)
    diary = work.uow.diary
    known = open_sign(work, course) or diary.check_in_on(course.id, today) or diary.latest_check_in(course.id)
    check_in = known or open_evening(work, person, course, today)
    later = check_in.remind_at or reminder(work.now, person.zone) or morning_call(work.now, person.zone)
    words = joined(check_in.sign_words if check_in.sign else "", text)
    # of two questions the wider one is kept; the words of the narrower stand beside it
    kept = SignQuestion.WHICH if SignQuestion.WHICH in (question, check_in.sign) else question
    opened = replace(check_in, sign=kept, sign_words=words, sign_again=False, remind_at=later)
    work.uow.diary.save_check_in(opened)
    return opened


def open_sign(work: Work, course: Course) -> CheckIn | None:
    """The evening with an open question of that kind: the latest, or the one before."""
    latest = work.uow.diary.latest_check_in(course.id)
    if latest is None:
        return None
    if latest.sign:
        return latest
    before = work.uow.diary.check_in_on(course.id, latest.date - ONE_DAY)
    return before if before and before.sign else None


def hurts_as_before(work: Work, person: Person) -> bool:
    """Whether they said of late that it is weak because it hurts, so that it need not be asked each evening."""
    said = person.weak_hurts
    return said is not None and evening_of(work.now, person.zone) < said + AS_BEFORE


def hurts(work: Work, person: Person, check_in: CheckIn | None) -> None:
    """It is weak because it hurts: known for a while, and the words about it stay with the evening."""
    work.uow.people.save(replace(person, weak_hurts=evening_of(work.now, person.zone)))
    if check_in:
        words = joined(check_in.unread, check_in.sign_words)
        work.uow.diary.save_check_in(replace(settle(work, check_in), unread=words))


def settle(work: Work, check_in: CheckIn) -> CheckIn:
    """The question is answered."""
    settled = replace(check_in, sign=None, sign_words="", sign_again=False)
    work.uow.diary.save_check_in(settled)
    return settled


def put_again(work: Work, person: Person, check_in: CheckIn) -> None:
    """Nobody answered: put the question once more, and tell the therapist, in the person's own words."""
    if check_in.sign is None or check_in.sign_again:
        return
    work.uow.diary.save_check_in(replace(check_in, remind_at=None, sign_again=True))
    tell_therapist(work, person, NoticeKind.UNSURE, work.new_id(), {"flag": check_in.sign.value}, check_in.sign_words)
    if person.status not in (Status.ACTIVE, Status.AWAY):
        return
    facts = {"check_in": check_in.id, "again": True, "emergency": emergency(work, person.clinic_id)}
    facts |= no_sets_with(work, person, check_in.sign)
    queue(
        work, Recipient.of(person), f"sign.{check_in.sign.value}", facts,
        key=f"sign:{check_in.id}:{work.now.isoformat()}",
        priority=Priority.NOTICE,
        expires_at=work.now + dt.timedelta(hours=12),
    )  # fmt: skip


def no_sets_with(work: Work, person: Person, question: SignQuestion) -> dict[str, object]:
    """Whether no sets are given until it is answered, with "one" arm or "both"; nothing for who has no course."""
    courses = work.uow.diary.courses_of(person.id) if question is SignQuestion.WHICH else ()
    return {"no_sets": "both" if len(courses) > 1 else "one"} if courses else {}


def keep_unread(work: Work, person: Person, course: Course, words: str) -> None:
    """Keep words that the reading did not use with the evening; before the first one they go to the therapist."""
    check_in = work.uow.diary.latest_check_in(course.id)
    if check_in is None:
        tell_therapist(work, person, NoticeKind.CLINICAL_QUESTION, work.new_id(), text=words)
    else:
        work.uow.diary.save_check_in(replace(check_in, unread=joined(check_in.unread, words)))


def joined(known: str, words: str) -> str:
    """One evening's words one after the other, the latest last and never cut off for the earlier."""
    # a part of them was kept before the whole
    kept = [line for line in known.splitlines() if line == words or line not in words]
    return "\n".join([*kept, words]).strip()[-LONGEST:]
