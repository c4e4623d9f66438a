"""Decisions as they were made, and notices for the therapist."""

import datetime as dt
from collections.abc import Sequence

from sqlalchemy import ColumnElement, and_, bindparam, func, or_, select, true, update

from core.model import NoticeKind
from core.records import Notice, Status, StoredDecision, Whose
from core.store import tables as t
from core.store.transaction import Part, fields, insert_new, mine, values

_OF_COURSE = (mine(t.decisions), t.decisions.c.course_id == bindparam("course"))
_LIVE = select(*fields(t.decisions, StoredDecision)).where(*_OF_COURSE, ~t.decisions.c.superseded)
_ALL = _LIVE.order_by(t.decisions.c.date, t.decisions.c.number)
_SINCE = _ALL.where(t.decisions.c.date >= bindparam("since"))
_LATEST = _LIVE.order_by(t.decisions.c.date.desc(), t.decisions.c.number.desc()).limit(1)
_ON = _LATEST.where(t.decisions.c.date == bindparam("on"), t.decisions.c.kind == "evening")
_SUPERSEDE = (
    update(t.decisions)
    .where(*_OF_COURSE, ~t.decisions.c.superseded, t.decisions.c.date >= bindparam("since"))
    .values(superseded=True)
)
_SUPERSEDE_ONE = (
    update(t.decisions)
    .where(mine(t.decisions), t.decisions.c.id == bindparam("decision_id"), ~t.decisions.c.superseded)
    .values(superseded=True)
)
_NEWEST = (
    select(*fields(t.notices, Notice))
    .where(mine(t.notices))
    .order_by(t.notices.c.at.desc(), t.notices.c.id.desc())
)
_NOTICE = select(*fields(t.notices, Notice)).where(mine(t.notices), t.notices.c.id == bindparam("which"))
_SET = update(t.notices).values(look_at=bindparam("again"))
_LOOK = _SET.where(mine(t.notices), t.notices.c.id == bindparam("which"))
_LOOK_NOW = _SET.where(mine(t.notices), t.notices.c.look_at.is_not(None))
_STAMP = update(t.notices).where(mine(t.notices), t.notices.c.at > bindparam("now")).values(at=bindparam("now"))
_LOOK_ANEW = _SET.where(
    mine(t.notices), t.notices.c.kind == NoticeKind.DANGER, t.notices.c.at >= bindparam("since"),
    t.notices.c.look_at.is_(None),
)  # fmt: skip
_NOTICES = _NEWEST.limit(bindparam("most"))
_ABOUT = _NEWEST.where(t.notices.c.person_id == bindparam("person"))
_ABOUT_SINCE = _ABOUT.where(t.notices.c.at >= bindparam("since"))


def _of(whose: Whose) -> ColumnElement[bool]:
    theirs = true() if whose.everybody else t.people.c.therapist_id == whose.therapist_id
    if whose.nobodys:
        theirs = or_(theirs, t.people.c.therapist_id.is_(None))
    same = and_(t.people.c.clinic_id == t.notices.c.clinic_id, t.people.c.id == t.notices.c.person_id)
    return and_(same, t.people.c.status != Status.DISCHARGED, theirs)


class Decisions(Part):
    """Rows about what was decided. A decision is never changed; a correction supersedes it."""

    def add(self, decision: StoredDecision) -> None:
        """Raises StoreError when the evening of that date has one that is not superseded."""
        known = self._tail(decision.course_id)
        self._tx.insert(t.decisions.insert(), values(decision))
        if known and known[0] <= decision.date and not decision.superseded:
            since, tail = known
            self._keep(decision.course_id, since, sorted((*tail, decision), key=lambda each: each.date))

    def of(self, course_id: str, since: dt.date | None = None) -> tuple[StoredDecision, ...]:
        if since is None:
            return tuple(StoredDecision(*row) for row in self._tx.all(_ALL, course=course_id))
        known = self._tail(course_id)
        if known is None or since < known[0]:
            before = since - dt.timedelta(days=1)  # which mostly is asked for next
            rows = self._tx.all(_SINCE, course=course_id, since=before)
            known = self._keep(course_id, before, [StoredDecision(*row) for row in rows])
        return tuple(each for each in known[1] if each.date >= since)

    def _tail(self, course_id: str) -> tuple[dt.date, Sequence[StoredDecision]] | None:
        """What a writing unit has read of a course: all that is live from a date on."""
        kept = self._tx.kept(t.decisions, (_SINCE, course_id))
        tail: tuple[dt.date, Sequence[StoredDecision]] | None = kept[0] if kept else None
        return tail

    def _keep(
        self, course_id: str, since: dt.date, tail: Sequence[StoredDecision]
    ) -> tuple[dt.date, Sequence[StoredDecision]]:
        self._tx.keep(t.decisions, (_SINCE, course_id), (since, tail))
        return since, tail

    def on(self, course_id: str, date: dt.date) -> StoredDecision | None:
        """The evening's own of that date, whatever was decided beside it."""
        known = self._tail(course_id)
        if known and known[0] <= date:
            return next((each for each in known[1] if each.date == date and each.kind == "evening"), None)
        return self._tx.once(t.decisions, _ON, StoredDecision, course=course_id, on=date)

    def latest(self, course_id: str) -> StoredDecision | None:
        known = self._tail(course_id)
        if known and known[1]:
            return known[1][-1]
        return self._tx.once(t.decisions, _LATEST, StoredDecision, course=course_id)

    def supersede(self, decision_id: str) -> bool:
        """Set aside this one; False when it is unknown or was set aside before."""
        return self._tx.change(_SUPERSEDE_ONE, decision_id=decision_id) > 0

    def supersede_since(self, course_id: str, since: dt.date) -> int:
        """Set aside what was decided on `since` and later; says how many."""
        return self._tx.change(_SUPERSEDE, course=course_id, since=since)


class Notices(Part):
    """Rows about what therapists must know."""

    def add(self, notice: Notice) -> bool:
        return self._tx.insert(insert_new(self._tx.dialect, t.notices, ("clinic_id", "key")), values(notice))

    def get(self, notice_id: str) -> Notice | None:
        row = self._tx.one(_NOTICE, which=notice_id)
        return Notice(*row) if row else None

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

    def newest(self, clinic_id: str, limit: int = 100) -> tuple[Notice, ...]:
        return tuple(Notice(*row) for row in self._tx.as_it_stands(_NOTICES, clinic=clinic_id, most=limit))

    def count(self, whose: Whose) -> int:
        """How many there are about these patients."""
        theirs = select(func.count()).select_from(t.notices).join(t.people, _of(whose)).where(mine(t.notices))
        row = self._tx.one(theirs)
        return int(row[0]) if row else 0

    def page(self, whose: Whose, limit: int, skip: int) -> tuple[Notice, ...]:
        """A page of them, newest first."""
        page = _NEWEST.join(t.people, _of(whose)).limit(limit).offset(skip)
        return tuple(Notice(*row) for row in self._tx.as_it_stands(page))

    def about(self, person_id: str, since: dt.datetime | None = None) -> tuple[Notice, ...]:
        """Newest first; with `since`, those of that instant and later."""
        if since is None:
            return tuple(Notice(*row) for row in self._tx.all(_ABOUT, person=person_id))
        return tuple(Notice(*row) for row in self._tx.all(_ABOUT_SINCE, person=person_id, since=since))
