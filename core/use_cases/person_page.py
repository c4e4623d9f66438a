"""Everything a therapist sees of one patient, as values to be worded."""

import datetime as dt
from collections.abc import Sequence

from core.answers import mattering
from core.digest.weekly_trend import WEEKS, weekly_trend
from core.errors import OverrideError, RefusalError
from core.facts import SideFacts
from core.model import Move
from core.page import CaseloadRow, CoursePage, DecisionLine, NoticeLine, PersonPage
from core.programme import Programme
from core.records import Course, Notice, Person, Staff, StoredDecision
from core.rule.override import Act, Override, act_of, override
from core.timetable import evening_of, local_date
from core.use_cases.caseload import caseload_row
from core.use_cases.enrolling import side_to_add
from core.use_cases.entries import LOOK_BACK
from core.use_cases.gathering import course_facts, next_gate, past_evenings, reason_facts, side_of
from core.use_cases.patient_file import goal_facts, score_due
from core.use_cases.rights import open_notices, require
from core.use_cases.work import Work
from core.weeks import FORTNIGHT_DAYS, WEEK_DAYS, fortnight, week_up_to

LAST_DECISIONS, LAST_NOTICES, LAST_NOTES = 5, 3, 3
OVERRIDE = "override"
Decisions = tuple[StoredDecision, ...]
_SIMPLE_ACTS = (Act.UP, Act.BACK, Act.UNPIN, Act.LOOKED, Act.STOP, Act.GO_ON)


def person_page(work: Work, staff: Staff, person: Person, side: str = "") -> PersonPage:
    """How the person stands, what was decided lately and why, and what can be done now. Raises RightsError.

    Of two courses the one of `side`, or else the more urgent one; the other in a line.
    """
    require(work, staff, person, "page")
    row = caseload_row(work, person)
    rows = (row, *row.others)
    row = next((each for each in rows if each.side == side), row)
    course = work.uow.diary.course_of(person.id, row.side)
    notices = work.uow.notices.about(person.id)[:LAST_NOTICES]
    still_open = {each.id for each in open_notices(work, person)}
    notes = work.uow.people.notes(person.id)
    outcomes = work.uow.people.outcomes(person.id)
    scored = [each.week for each in outcomes if course and each.course_id == course.id]
    return PersonPage(
        person=person,
        row=row,
        course=_course(work, person, course, row, [each.text for each in notices]) if course else None,
        notices=tuple(notice_line(each, person, person.zone, each.id in still_open) for each in notices),
        tasks=tuple(work.uow.people.tasks(person.id)),
        notes=tuple(notes[:LAST_NOTES]),
        note_count=len(notes),
        scores=tuple(outcomes),
        progress=course_facts(work, person, course) if course else None,
        goals=goal_facts(work.uow.people.goals(course.id) if course else ()),
        score_due=score_due(work, person, course, scored) if course else None,
        others=tuple((_side(work, person, each.side), each) for each in rows if each is not row),
        adds_side=_adds_side(work, person),
    )


def _side(work: Work, person: Person, side: str) -> SideFacts:
    course = work.uow.diary.course_of(person.id, side)
    return side_of(work.programme_of(course) if course else work.programmes.current, side)


def _adds_side(work: Work, person: Person) -> bool:
    try:
        return bool(side_to_add(work, person))
    except RefusalError:
        return False


def decisions_page(
    work: Work, staff: Staff, person: Person, page: int = 0, side: str = ""
) -> tuple[tuple[DecisionLine, ...], int, int]:
    """Recent decisions, newest first, each with every reason and figure; which page they are, and of how many.

    A page beyond the last is the last. Raises RightsError.
    """
    require(work, staff, person, "decisions")
    course = work.uow.diary.course_of(person.id, side)
    live = _lately(work, person, course) if course else ()
    pages = max(-(-len(live) // LAST_DECISIONS), 1)
    page = min(page, pages - 1)
    chosen = live[page * LAST_DECISIONS : (page + 1) * LAST_DECISIONS]
    return (_lines(work, person, course, chosen) if course else ()), page, pages


def decisions_on(work: Work, person: Person, date: dt.date | None = None) -> tuple[DecisionLine, ...]:
    """What was decided on a date of any course, or else last, in the order it was made; for who keeps the machine."""
    for course in reversed(work.uow.diary.courses(person.id)):
        latest = work.uow.decisions.latest(course.id)
        on = date or (told_on(latest, person) if latest else None)
        live = work.uow.decisions.of(course.id, since=on - dt.timedelta(days=1)) if on else ()
        if found := tuple(each for each in live if told_on(each, person) == on):
            return _lines(work, person, course, found)
    return ()


def _course(work: Work, person: Person, course: Course, row: CaseloadRow, told: Sequence[str]) -> CoursePage:
    programme = work.programme_of(course)
    episode = course.episode
    step = programme.step(episode.step)
    today = evening_of(work.now, person.zone)
    weeks = past_evenings(work, course, today - dt.timedelta(days=WEEKS * WEEK_DAYS - 1), today)
    diary = [each for each in weeks if each.date > today - dt.timedelta(days=FORTNIGHT_DAYS)]
    until = week_up_to(weeks, today)
    sets = fortnight(weeks, until)
    return CoursePage(
        side=course.side,
        step_key=step.key,
        words=programme.said("side", f"step.{step.key}", "suggest"),
        since=episode.since,
        load_g=episode.load_g,
        danger=episode.paused_for is not None,
        not_begun=work.uow.diary.latest_check_in(course.id) is None,
        unloaded_until=_ahead(episode.unloaded_until, today),
        awaits_look=episode.awaits_look,
        pinned_until=episode.pinned_until,
        gate=next_gate(programme, episode),
        sets_done=sets.done,
        sets_asked=sets.asked,
        untold=sets.untold,
        answered=sum(each.pain is not None for each in diary),
        evenings=sum(each.asked for each in diary),
        change=row.change,
        trend=weekly_trend(weeks, until),
        can=tuple(act for act in _SIMPLE_ACTS if _possible(programme, course, today, act)),
        unread=_unread(work, person, course, today, told),
        decisions=_lines(work, person, course, _newsworthy(_lately(work, person, course))),
    )


def _unread(
    work: Work, person: Person, course: Course, today: dt.date, told: Sequence[str]
) -> tuple[tuple[dt.date, str], ...]:
    """Words that were not read and may matter, of the last fortnight, the newest first; not those `told` by notices."""
    found = work.uow.diary.unread(course.id, today - dt.timedelta(days=FORTNIGHT_DAYS - 1), today)
    said = ((date, mattering(words, person.language, told)) for date, words in sorted(found.items(), reverse=True))
    return tuple((date, words) for date, words in said if words)[:LAST_NOTICES]


def _ahead(date: dt.date | None, today: dt.date) -> dt.date | None:
    return date if date and today < date else None


def _possible(programme: Programme, course: Course, today: dt.date, act: Act) -> bool:
    try:
        override(programme, course.episode, today, Override(act))
    except OverrideError:
        return False
    return True


def _lately(work: Work, person: Person, course: Course) -> Decisions:
    """The decisions of the last weeks, newest first; all there are when those weeks have none."""
    since = evening_of(work.now, person.zone) - LOOK_BACK
    return (work.uow.decisions.of(course.id, since=since) or work.uow.decisions.of(course.id))[::-1]


def _lines(work: Work, person: Person, course: Course, decisions: Decisions) -> tuple[DecisionLine, ...]:
    programme = work.programme_of(course)
    return tuple(_line(work, programme, person, each) for each in decisions)


def _newsworthy(newest_first: Decisions) -> Decisions:
    """The latest few, of evenings in a row that stayed for the same reason the latest only."""
    kept: list[StoredDecision] = []
    before: tuple[object, ...] | None = None
    for each in newest_first:
        same = (each.kind, each.decision.move, each.decision.step, *(why.code for why in each.decision.reasons[:1]))
        quiet = each.kind == "evening" and each.decision.move in (Move.HOLD, Move.PAUSE)
        if not (quiet and same == before):
            kept.append(each)
        before = same
    return tuple(kept[:LAST_DECISIONS])


def _line(work: Work, programme: Programme, person: Person, stored: StoredDecision) -> DecisionLine:
    decision = stored.decision
    made_by = work.uow.staff.get(stored.by) if stored.by else None
    today = local_date(work.now, person.zone)
    return DecisionLine(
        id=stored.id,
        date=told_on(stored, person),
        move=decision.move,
        step=decision.step,
        reasons=tuple(reason_facts(programme, reason) for reason in decision.reasons),
        act=act_of(decision),
        by=made_by.name if made_by else "",
        note=stored.note,
        undo=stored.kind == OVERRIDE and local_date(stored.made_at, person.zone) == today,
    )


def told_on(stored: StoredDecision, person: Person) -> dt.date:
    """The date under which a decision is shown: what staff did carries its own, though that day's dose heeds it."""
    return local_date(stored.made_at, person.zone) if stored.by else stored.date


def notice_line(notice: Notice, person: Person | None, zone: str, still_open: bool) -> NoticeLine:
    """A notice as a line of a list, dated in `zone`; about nobody where the reader may not see the person."""
    return NoticeLine(
        kind=notice.kind.value,
        flag=str(notice.facts.get("flag", "")),
        urgency=str(notice.facts.get("urgency", "")),
        date=local_date(notice.at, zone),
        text=notice.text,
        open=still_open,
        side=str(notice.facts.get("side", "")),
        person=person.id if person else "",
        name=person.name if person else "",
    )
