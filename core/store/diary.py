"""Courses, their check-ins and the log of answers."""

import datetime as dt

from sqlalchemy import bindparam, delete, literal_column, select

from core.model import Evening
from core.records import Answer, CheckIn, CheckInState, Course
from core.store import tables as t
from core.store.transaction import Part, fields, insert_new, mine, upsert, values

_ANY_COURSE = select(*fields(t.courses, Course)).where(mine(t.courses))
OPEN_COURSES = _ANY_COURSE.where(
    t.courses.c.person_id == bindparam("person"), t.courses.c.ended_at.is_(None)
).order_by(t.courses.c.side.desc())
_COURSE_BY_ID = _ANY_COURSE.where(t.courses.c.id == bindparam("course"))
_CHECK_IN = select(*fields(t.check_ins, CheckIn)).where(mine(t.check_ins))
_COURSES = _ANY_COURSE.where(t.courses.c.person_id == bindparam("person")).order_by(
    t.courses.c.ended_at.is_(None), t.courses.c.ended_at
)
_OF_COURSE = _CHECK_IN.where(t.check_ins.c.course_id == bindparam("course"))
_BY_ID = _CHECK_IN.where(t.check_ins.c.id == bindparam("check_in"))
_ON = _OF_COURSE.where(t.check_ins.c.date == bindparam("on"))
_LATEST = _OF_COURSE.order_by(t.check_ins.c.date.desc()).limit(2)
_BETWEEN = _OF_COURSE.where(t.check_ins.c.date.between(bindparam("since"), bindparam("until"))).order_by(
    t.check_ins.c.date
)
_OF_EVENING = ("date", "state", "pain", "sets_done", "sets_asked", "flag", "meanwhile", "woke_worse")
_DIARY = (
    select(*(t.check_ins.c[name] for name in _OF_EVENING), t.check_ins.c.id)
    .where(mine(t.check_ins), t.check_ins.c.course_id == bindparam("course"))
    .where(t.check_ins.c.date.between(bindparam("since"), bindparam("until")))
    .order_by(t.check_ins.c.date)
)
_NEVER_CAME = delete(t.check_ins).where(
    mine(t.check_ins), t.check_ins.c.course_id == bindparam("course"), t.check_ins.c.date > bindparam("after"),
    t.check_ins.c.state == CheckInState.NOT_ASKED, t.check_ins.c.pain.is_(None), t.check_ins.c.sets_done.is_(None),
)  # fmt: skip
_UNREAD = (
    select(t.check_ins.c.date, t.check_ins.c.unread)
    .where(mine(t.check_ins), t.check_ins.c.course_id == bindparam("course"))
    .where(t.check_ins.c.unread != literal_column("''"))
    .where(t.check_ins.c.date.between(bindparam("since"), bindparam("until")))
    .order_by(t.check_ins.c.date)
)
_ANSWER = select(*fields(t.answers, Answer)).where(mine(t.answers), t.answers.c.person_id == bindparam("person"))
_ANSWERS = _ANSWER.order_by(t.answers.c.id)
_ANSWERED_BY = (
    select(t.answers.c.check_in_id)
    .where(mine(t.answers), t.answers.c.person_id == bindparam("person"))
    .where(t.answers.c.message_id == bindparam("message"))
    .order_by(t.answers.c.id.desc())
    .limit(1)
)
_ADD_ANSWER = t.answers.insert().inline()  # nobody needs the number it gets


class Diary(Part):
    """Rows about what was asked and said."""

    def courses_of(self, person_id: str) -> tuple[Course, ...]:
        return self._tx.every(t.courses, OPEN_COURSES, Course, person=person_id)

    def course_of(self, person_id: str, side: str = "") -> Course | None:
        return next((each for each in self.courses_of(person_id) if side in ("", each.side)), None)

    def course(self, course_id: str) -> Course | None:
        """Ended or not."""
        known = self._tx.seen(t.courses, Course, lambda each: each.id == course_id)
        return known or self._tx.once(t.courses, _COURSE_BY_ID, Course, course=course_id)

    def courses(self, person_id: str) -> tuple[Course, ...]:
        """In the order in which they ended, those that have not ended last."""
        return tuple(Course(*row) for row in self._tx.all(_COURSES, person=person_id))

    def save_course(self, course: Course) -> None:
        """Insert or replace. Raises StoreError when another course for that side is not ended."""
        known = self._tx.seen(t.courses, Course, lambda each: each.id == course.id)
        if known and known.ended_at == course.ended_at:
            self._tx.put(t.courses, course)
        else:  # which one has not ended changes
            self._tx.insert(upsert(self._tx.dialect, t.courses), values(course))

    def drop_unasked(self, course_id: str, after: dt.date) -> int:
        """Delete the evenings later than `after` on which nothing was asked nor said: a wrong clock made them."""
        return self._tx.change(_NEVER_CAME, course=course_id, after=after)

    def check_in(self, check_in_id: str) -> CheckIn | None:
        known = self._tx.seen(t.check_ins, CheckIn, lambda each: each.id == check_in_id)
        return known or self._tx.once(t.check_ins, _BY_ID, CheckIn, check_in=check_in_id)

    def check_in_on(self, course_id: str, date: dt.date) -> CheckIn | None:
        known = self._tx.seen(t.check_ins, CheckIn, lambda each: (each.course_id, each.date) == (course_id, date))
        return known or self._tx.once(t.check_ins, _ON, CheckIn, course=course_id, on=date)

    def latest_check_in(self, course_id: str) -> CheckIn | None:
        """Read with the one of the day before, which mostly is asked for next."""
        if known := self._tx.kept(t.check_ins, (_LATEST, course_id)):
            latest: CheckIn | None = known[0]
            return latest
        rows = [CheckIn(*row) for row in self._tx.all(_LATEST, course=course_id)]
        latest, before = (*rows, None, None)[:2]
        self._tx.keep(t.check_ins, (_LATEST, course_id), latest)
        if latest:
            eve = latest.date - dt.timedelta(days=1)
            self._tx.keep(t.check_ins, (_ON, course_id, eve), before if before and before.date == eve else None)
        return latest

    def add_check_in(self, check_in: CheckIn) -> bool:
        new = insert_new(self._tx.dialect, t.check_ins, ("clinic_id", "course_id", "date"))
        return self._tx.insert(new, values(check_in))

    def save_check_in(self, check_in: CheckIn) -> None:
        self._tx.put(t.check_ins, check_in)

    def evenings(self, course_id: str, since: dt.date, until: dt.date) -> tuple[Evening, ...]:
        rows = self._tx.all(_DIARY, course=course_id, since=since, until=until)
        return tuple(Evening(date, state is not CheckInState.NOT_ASKED, *rest) for date, state, *rest, _ in rows)

    def unread(self, course_id: str, since: dt.date, until: dt.date) -> dict[dt.date, str]:
        rows = self._tx.all(_UNREAD, course=course_id, since=since, until=until)
        return {row.date: row.unread for row in rows}

    def check_ins(self, course_id: str, since: dt.date, until: dt.date) -> tuple[CheckIn, ...]:
        return tuple(CheckIn(*row) for row in self._tx.all(_BETWEEN, course=course_id, since=since, until=until))

    def add_answer(self, answer: Answer) -> None:
        self._tx.insert(_ADD_ANSWER, values(answer))

    def answered_by(self, person_id: str, message_id: str) -> str | None:
        row = self._tx.one(_ANSWERED_BY, person=person_id, message=message_id)
        return row.check_in_id if row else None

    def answers(self, person_id: str) -> tuple[Answer, ...]:
        """Everything the person said for a check-in, in the order it came."""
        return tuple(Answer(*row) for row in self._tx.all(_ANSWERS, person=person_id))
