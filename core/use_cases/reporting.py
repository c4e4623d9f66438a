"""What is told beside an evening: danger, a sign that may be one and is asked about, an injection, a weight."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import DANGER, Decision, Flag, NoticeKind
from core.records import CheckIn, Course, Person, Priority, SignQuestion, Status
from core.timetable import ONE_DAY, evening_of, local_date, morning_call, reminder
from core.understanding import STOPPING, Circumstance, Felt
from core.use_cases.answering import Said, open_evening, record
from core.use_cases.coming_back import count_gaps
from core.use_cases.deciding import decide_from, effective
from core.use_cases.enrolling import screen_out
from core.use_cases.entries import Entry
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Recipient, Work, emergency, queue

LATE = dt.timedelta(days=2)  # judgement: so long a person knows how the weight was
LONGEST = 4000  # characters kept of one evening's words
AS_BEFORE = dt.timedelta(weeks=3)  # how long "weak because it hurts" is taken for known; judgement


def injection_told(work: Work, person: Person, at: dt.datetime, text: str = "") -> Decision | None:
    """No load for as long as the programme says; the therapist is told, each time it is mentioned.

    `at` is when it was said. Of two courses both are unloaded: which arm it was need not be known. None when there is
    no course to unload, or when an injection waits for the therapist's look already: a second mention is not taken for
    a second needle.
    """
    tell_therapist(work, person, NoticeKind.INJECTION, work.new_id(), text=text)
    if person.away_since and not all(each.episode.awaits_look for each in work.uow.diary.courses_of(person.id)):
        count_break(work, person)
    decision = None
    for course in work.uow.diary.courses_of(person.id):
        if not course.episode.awaits_look:
            date = max(effective(work, person, course), evening_of(at, person.zone) - dt.timedelta(days=1))
            now = work.uow.people.get(person.id) or person
            decision = decide_from(work, now, course, Entry(date, "injection"))
    return decision


def circumstance_told(work: Work, person: Person, circumstance: Circumstance, text: str) -> None:
    """One that the therapist must weigh and that stops nothing."""
    tell_therapist(work, person, NoticeKind.CIRCUMSTANCE, work.new_id(), {"flag": circumstance.value}, text)


def signs_denied(work: Work, person: Person, course: Course) -> Decision:
    """None of the signs asked about after a very bad day: the sets may go on, from the next dose not given out yet."""
    return decide_from(work, person, course, Entry(effective(work, person, course), "no_signs"))


def count_break(work: Work, person: Person) -> None:
    """The days away so far count as a gap now: what is recorded next would hide them."""
    count_gaps(work, person)
    work.uow.people.save(replace(person, away_since=local_date(work.now, person.zone)))


def danger_told(
    work: Work, person: Person, said: Said, at: dt.datetime, check_in: CheckIn | None = None
) -> None:
    """Record danger for the evening on which it was told, `at`; before a course has begun it screens the person out.

    A later, milder sign never hides an earlier, more serious one, and a clearance of today never hides a sign told
    after it. A circumstance that stops the programme is told in the same way. Of two courses both stop.
    """
    if said.flag is None or (said.flag not in DANGER and said.circumstance not in STOPPING):
        raise ValueError(f"flag {said.flag}: not a sign of danger")
    courses = work.uow.diary.courses_of(person.id)
    if person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        _tell(work, person, (), said)  # there is nothing to stop, and nothing that a look at it could let go on
        return
    if not courses:
        screen_out(work, person, said.circumstance or said.flag, said.text, said.urgency)
        return
    _tell(work, person, courses, said)
    for asked in filter(None, (open_sign(work, each) for each in courses)):
        settled = settle(work, asked)
        check_in = settled if check_in and check_in.id == settled.id else check_in
    if person.away_since:
        count_break(work, person)
    for course in work.uow.diary.courses_of(person.id):
        own = check_in if check_in and check_in.course_id == course.id else None
        told = said if own or check_in is None else replace(said, pain=None, sets_done=None)
        now = work.uow.people.get(person.id) or person
        evening = own or open_evening(work, now, course, evening_of(at, person.zone))
        record(work, work.uow.people.get(person.id) or now, course, evening, told)
        _stop_for_certain(work, person, evening, said.flag)


def red_flags_left_open(work: Work, person: Person, course: Course) -> str | None:
    """The check-in whose red-flag questions are still open when the next evening comes; the therapist is told once.

    No answer is no all-clear: the questions are put again beside each evening's own. None when none are open.
    """
    asked = course.episode.signs_asked
    check_in = work.uow.diary.check_in_on(course.id, asked) if asked else None
    if check_in is None:
        return None
    side = {"side": course.side} if len(work.uow.diary.courses_of(person.id)) > 1 else {}
    tell_therapist(work, person, NoticeKind.UNANSWERED, f"red_flags:{check_in.id}", side)
    return check_in.id


def _stop_for_certain(work: Work, person: Person, evening: CheckIn, flag: Flag) -> None:
    """An evening that was cleared since does not stop a second time by itself; what was told just now must."""
    course = work.uow.diary.course(evening.course_id)
    latest = work.uow.decisions.latest(course.id) if course else None
    if course and not course.episode.paused_for:
        date = max(evening.date, latest.date) if latest else evening.date
        decide_from(work, work.uow.people.get(person.id) or person, course, Entry(date, "danger", flag=flag))


def _tell(work: Work, person: Person, courses: Sequence[Course], said: Said) -> None:
    kind, flag = (NoticeKind.CIRCUMSTANCE, said.circumstance) if said.circumstance else (NoticeKind.DANGER, said.flag)
    facts: dict[str, object] = {"flag": flag or "", "urgency": said.urgency or ""}
    if len(courses) == 1:
        facts["step"] = courses[0].episode.step
    if said.sign:
        facts["sign"] = said.sign
    key = work.new_id()  # its own key: each telling is a matter of its own
    tell_therapist(work, person, kind, key, facts, said.text)


def weight_asked(work: Work, course: Course) -> CheckIn | None:
    """The latest evening whose weight is asked about and not answered: tonight, or lately; None without one."""
    latest = work.uow.diary.latest_check_in(course.id)
    evenings = work.uow.diary.check_ins(course.id, latest.date - LATE, latest.date) if latest else ()
    return next((each for each in reversed(evenings) if _is_asked(work, course, each)), None)


def _is_asked(work: Work, course: Course, check_in: CheckIn) -> bool:
    decided = work.uow.decisions.on(course.id, check_in.date)
    if decided is None or not decided.decision.ask_weight:
        return False
    after = work.uow.decisions.of(course.id, since=check_in.date)
    return all(each.kind != "weight" or each.date != check_in.date for each in after)


def weight_felt(work: Work, person: Person, course: Course, check_in: CheckIn, felt: Felt) -> Decision | None:
    """How the weight was on that evening, also told a little late: what was decided since is then decided again.

    None when that is not asked (any more).
    """
    asked = weight_asked(work, course)
    if asked is None or asked.id != check_in.id:
        return None
    return decide_from(work, person, course, Entry(check_in.date, "weight", felt=felt))


def weight_used(work: Work, person: Person, course: Course, date: dt.date, grams: int) -> Decision:
    """The weight that the person says they used on that evening, which was decided before."""
    return decide_from(work, person, course, Entry(date, "weight", grams=grams))


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
    facts = {"check_in_id": check_in.id, "again": True, "emergency": emergency(work)}
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
