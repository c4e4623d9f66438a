"""A person's courses: their check-ins, the log of answers, what was decided, what therapists must know."""

import datetime as dt
from collections.abc import Sequence

from sqlalchemy import ColumnElement, and_, bindparam, delete, func, literal_column, or_, select, true, update

from core.model import Evening, NoticeKind
from core.records import Answer, CheckIn, CheckInState, Course, Notice, Status, StoredDecision, Whose
from core.store import tables as t
from core.store.transaction import Part, mine, rows

OPEN_COURSES = (
    rows(Course, "person_id").where(t.courses.c.ended_at.is_(None)).order_by(t.courses.c.side.desc())
)
_COURSES = rows(Course, "person_id").order_by(t.courses.c.ended_at.is_(None), t.courses.c.ended_at)
_ON = rows(CheckIn, "course_id", "date")
_LATEST = rows(CheckIn, "course_id").order_by(t.check_ins.c.date.desc()).limit(2)
_WITHIN = t.check_ins.c.date.between(bindparam("since"), bindparam("until"))
_BETWEEN = rows(CheckIn, "course_id").where(_WITHIN).order_by(t.check_ins.c.date)
_OF_EVENING = ("date", "state", "pain", "sets_done", "sets_asked", "flag", "meanwhile", "woke_worse")
_DIARY = _BETWEEN.with_only_columns(*(t.check_ins.c[name] for name in _OF_EVENING), t.check_ins.c.id)
_UNREAD = _BETWEEN.with_only_columns(t.check_ins.c.date, t.check_ins.c.unread).where(
    t.check_ins.c.unread != literal_column("''")
)
_NEVER_CAME = delete(t.check_ins).where(
    mine(t.check_ins), t.check_ins.c.course_id == bindparam("course"), t.check_ins.c.date > bindparam("after"),
    t.check_ins.c.state == CheckInState.NOT_ASKED, t.check_ins.c.pain.is_(None), t.check_ins.c.sets_done.is_(None),
)  # fmt: skip
_ANSWERS = rows(Answer, "person_id").order_by(t.answers.c.id)
_ANSWERED_BY = rows(Answer, "person_id", "message_id").order_by(t.answers.c.id.desc()).limit(1)

_LIVE = rows(StoredDecision, "course_id").where(~t.decisions.c.superseded)
_DECIDED = _LIVE.order_by(t.decisions.c.date, t.decisions.c.number)
_DECIDED_SINCE = _DECIDED.where(t.decisions.c.date >= bindparam("since"))
_LAST_DECIDED = _LIVE.order_by(t.decisions.c.date.desc(), t.decisions.c.number.desc()).limit(1)
_DECIDED_ON = _LAST_DECIDED.where(t.decisions.c.date == bindparam("on"), t.decisions.c.kind == "evening")
_SUPERSEDE = update(t.decisions).where(mine(t.decisions), ~t.decisions.c.superseded).values(superseded=True)
_SUPERSEDE_ONE = _SUPERSEDE.where(t.decisions.c.id == bindparam("which"))
_SUPERSEDE_SINCE = _SUPERSEDE.where(
    t.decisions.c.course_id == bindparam("course"), t.decisions.c.date >= bindparam("since")
)

_NOTICES = rows(Notice).order_by(t.notices.c.at.desc(), t.notices.c.id.desc())
_NEWEST = _NOTICES.limit(bindparam("most"))
_TOLD_WITHIN = _NOTICES.where(t.notices.c.at >= bindparam("since"), t.notices.c.at < bindparam("until"))
_ABOUT = _NOTICES.where(t.notices.c.person_id == bindparam("person"))
_ABOUT_SINCE = _ABOUT.where(t.notices.c.at >= bindparam("since"))
_SET = update(t.notices).where(mine(t.notices)).values(look_at=bindparam("again"))
_LOOK = _SET.where(t.notices.c.id == bindparam("which"))
_LOOK_NOW = _SET.where(t.notices.c.look_at.is_not(None))
_LOOK_ANEW = _SET.where(
    t.notices.c.kind == NoticeKind.DANGER, t.notices.c.at >= bindparam("since"), t.notices.c.look_at.is_(None)
)
_STAMP = update(t.notices).where(mine(t.notices), t.notices.c.at > bindparam("now")).values(at=bindparam("now"))


def _of(whose: Whose) -> ColumnElement[bool]:
    theirs = true() if whose.everybody else t.people.c.therapist_id == whose.therapist_id
    if whose.nobodys:
        theirs = or_(theirs, t.people.c.therapist_id.is_(None))
    same = and_(t.people.c.clinic_id == t.notices.c.clinic_id, t.people.c.id == t.notices.c.person_id)
    return and_(same, t.people.c.status != Status.DISCHARGED, theirs)


class Diary(Part):
    """Rows about what was asked and said."""

    def courses_of(self, person_id: str) -> tuple[Course, ...]:
        return self._tx.every(Course, OPEN_COURSES, person_id=person_id)

    def course_of(self, person_id: str, side: str = "") -> Course | None:
        return next((each for each in self.courses_of(person_id) if side in ("", each.side)), None)

    def course(self, course_id: str) -> Course | None:
        """Ended or not."""
        return self._tx.get(Course, course_id)

    def courses(self, person_id: str) -> tuple[Course, ...]:
        """In the order in which they ended, those that have not ended last."""
        return self._tx.every(Course, _COURSES, person_id=person_id)

    def save_course(self, course: Course) -> None:
        """Insert or replace. Raises StoreError when another course for that side is not ended."""
        self._tx.save(course)

    def drop_unasked(self, course_id: str, after: dt.date) -> int:
        """Delete the evenings later than `after` on which nothing was asked nor said: a wrong clock made them."""
        return self._tx.change(_NEVER_CAME, course=course_id, after=after)

    def check_in(self, check_in_id: str) -> CheckIn | None:
        return self._tx.get(CheckIn, check_in_id)

    def check_in_on(self, course_id: str, date: dt.date) -> CheckIn | None:
        known = self._tx.seen(CheckIn, lambda each: (each.course_id, each.date) == (course_id, date))
        return known or self._tx.find(CheckIn, _ON, course_id=course_id, date=date)

    def latest_check_in(self, course_id: str) -> CheckIn | None:
        """Read with the one before, which mostly is asked for next."""
        return self._tx.find(CheckIn, _LATEST, course_id=course_id)

    def add_check_in(self, check_in: CheckIn) -> bool:
        return self._tx.add_new(check_in)

    def save_check_in(self, check_in: CheckIn) -> None:
        self._tx.save(check_in)

    def evenings(self, course_id: str, since: dt.date, until: dt.date) -> tuple[Evening, ...]:
        found = self._tx.all(_DIARY, course_id=course_id, since=since, until=until)
        return tuple(Evening(date, state is not CheckInState.NOT_ASKED, *rest) for date, state, *rest, _ in found)

    def unread(self, course_id: str, since: dt.date, until: dt.date) -> dict[dt.date, str]:
        found = self._tx.all(_UNREAD, course_id=course_id, since=since, until=until)
        return {row.date: row.unread for row in found}

    def check_ins(self, course_id: str, since: dt.date, until: dt.date) -> tuple[CheckIn, ...]:
        return self._tx.every(CheckIn, _BETWEEN, course_id=course_id, since=since, until=until)

    def add_answer(self, answer: Answer) -> None:
        self._tx.add(answer)

    def answered_by(self, person_id: str, message_id: str) -> str | None:
        answer = self._tx.find(Answer, _ANSWERED_BY, person_id=person_id, message_id=message_id)
        return answer.check_in_id if answer else None

    def answers(self, person_id: str) -> tuple[Answer, ...]:
        """Everything the person said for a check-in, in the order it came."""
        return self._tx.every(Answer, _ANSWERS, person_id=person_id)


class Decisions(Part):
    """Rows about what was decided. A decision is never changed; a correction supersedes it.

    A writing unit keeps the tail of a course that it has read: all that is live from a date on.
    """

    def add(self, decision: StoredDecision) -> None:
        """Raises StoreError when the evening of that date has one that is not superseded."""
        known = self._tail(decision.course_id)
        self._tx.add(decision)
        if known and known[0] <= decision.date and not decision.superseded:
            self._keep(decision.course_id, known[0], sorted((*known[1], decision), key=lambda each: each.date))

    def of(self, course_id: str, since: dt.date | None = None) -> tuple[StoredDecision, ...]:
        if since is None:
            return self._tx.every(StoredDecision, _DECIDED, course_id=course_id)
        known = self._tail(course_id)
        if known is None or since < known[0]:
            before = since - dt.timedelta(days=1)  # which mostly is asked for next
            read = self._tx.all(_DECIDED_SINCE, course_id=course_id, since=before)
            known = self._keep(course_id, before, [StoredDecision(*row) for row in read])
        return tuple(each for each in known[1] if each.date >= since)

    def _tail(self, course_id: str) -> tuple[dt.date, Sequence[StoredDecision]] | None:
        kept = self._tx.kept(StoredDecision, _DECIDED_SINCE, course_id=course_id)
        return (kept[0], kept[1:]) if kept else None

    def _keep(
        self, course_id: str, since: dt.date, tail: Sequence[StoredDecision]
    ) -> tuple[dt.date, Sequence[StoredDecision]]:
        self._tx.keep(StoredDecision, _DECIDED_SINCE, (since, *tail), course_id=course_id)
        return since, tail

    def on(self, course_id: str, date: dt.date) -> StoredDecision | None:
        """The evening's own of that date, whatever was decided beside it."""
        known = self._tail(course_id)
        if known and known[0] <= date:
            return next((each for each in known[1] if each.date == date and each.kind == "evening"), None)
        return self._tx.find(StoredDecision, _DECIDED_ON, course_id=course_id, on=date)

    def latest(self, course_id: str) -> StoredDecision | None:
        known = self._tail(course_id)
        if known and known[1]:
            return known[1][-1]
        return self._tx.find(StoredDecision, _LAST_DECIDED, course_id=course_id)

    def supersede(self, decision_id: str) -> bool:
        """Set aside this one; False when it is unknown or was set aside before."""
        return self._tx.change(_SUPERSEDE_ONE, which=decision_id) > 0

    def supersede_since(self, course_id: str, since: dt.date) -> int:
        """Set aside what was decided on `since` and later; says how many."""
        return self._tx.change(_SUPERSEDE_SINCE, course=course_id, since=since)


class Notices(Part):
    """Rows about what therapists must know."""

    def add(self, notice: Notice) -> bool:
        return self._tx.add_new(notice)

    def get(self, notice_id: str) -> Notice | None:
        return self._tx.get(Notice, notice_id)

    def look_again(self, notice_id: str, at: dt.datetime | None) -> None:
        """When it is looked at next; None: it is settled."""
        self._tx.change(_LOOK, which=notice_id, again=at)

    def look_now(self, now: dt.datetime) -> None:
        """Look at everything that is not settled: there may be somebody to tell now."""
        self._tx.change(_LOOK_NOW, again=now)

    def look_anew(self, now: dt.datetime, since: dt.datetime) -> int:
        """After a clock that was ahead: what it stamped later than now is as of now, says how many; and danger told
        from `since` on is looked at once more, for that clock may have settled it as long past."""
        stamped = self._tx.change(_STAMP, now=now)
        self._tx.change(_LOOK_ANEW, again=now, since=since)
        return stamped

    def newest(self, limit: int = 100) -> tuple[Notice, ...]:
        return self._tx.standing(Notice, _NEWEST, most=limit)

    def within(self, since: dt.datetime, until: dt.datetime) -> tuple[Notice, ...]:
        return self._tx.standing(Notice, _TOLD_WITHIN, since=since, until=until)

    def count(self, whose: Whose) -> int:
        """How many there are about these patients."""
        theirs = select(func.count()).select_from(t.notices).join(t.people, _of(whose)).where(mine(t.notices))
        row = self._tx.one(theirs)
        return int(row[0]) if row else 0

    def page(self, whose: Whose, limit: int, skip: int) -> tuple[Notice, ...]:
        """A page of them, newest first."""
        return self._tx.standing(Notice, _NOTICES.join(t.people, _of(whose)).limit(limit).offset(skip))

    def about(self, person_id: str, since: dt.datetime | None = None) -> tuple[Notice, ...]:
        """Newest first; with `since`, those of that instant and later."""
        if since is None:
            return self._tx.every(Notice, _ABOUT, person=person_id)
        return self._tx.every(Notice, _ABOUT_SINCE, person=person_id, since=since)
