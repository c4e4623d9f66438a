"""Everything a therapist sees of one patient, as values to be worded."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from core.answers import mattering
from core.digest.weekly_trend import WEEKS, weekly_trend
from core.errors import OverrideError
from core.model import Decision, Move
from core.programme import Programme
from core.records import Course, Note, Notice, OutcomeScore, Person, Staff, StoredDecision
from core.rule.override import Act, Override, act_of, override
from core.scores.change import change_since
from core.timetable import evening_of, local_date
from core.use_cases.caseload import CaseloadRow, caseload_row
from core.use_cases.gathering import course_facts, decision_facts, next_gate, past_evenings
from core.use_cases.goals import goal_facts, score_due
from core.use_cases.open_matters import open_notices
from core.use_cases.rights import require
from core.use_cases.tasks import task_facts
from core.use_cases.work import Work
from core.weeks import FORTNIGHT_DAYS, WEEK_DAYS, fortnight, week_up_to

LAST_DECISIONS, LAST_NOTICES, LAST_NOTES = 5, 3, 3
OVERRIDE = "override"
LOOK_BACK = dt.timedelta(days=42)
Decisions = tuple[StoredDecision, ...]
_SIMPLE_ACTS = (Act.UP, Act.BACK, Act.UNPIN, Act.LOOKED, Act.STOP, Act.GO_ON)


def person_page(work: Work, staff: Staff, person: Person) -> dict[str, Any]:
    """How the person stands, what was decided lately and why, and what can be done now. Raises RightsError."""
    require(work, staff, person, "page")
    course = work.uow.diary.course_of(person.id)
    row = caseload_row(work, person)
    notices = work.uow.notices.about(person.id)[:LAST_NOTICES]
    still_open = {each.id for each in open_notices(work, person)}
    notes = work.uow.people.notes(person.id)
    outcomes = work.uow.people.outcomes(person.id)
    return {
        "person": person.id,
        "name": person.name,
        "status": person.status.value,
        "away_until": person.away_until,
        "evening": person.evening,
        "ask_morning": person.ask_morning,
        "attention": [code.value for code in row.attention],
        "settled": [code.value for code in row.settled],
        "stopped": row.stopped,
        "silent_days": row.silent_days,
        "course": _course(work, person, course, row, [each.text for each in notices]) if course else None,
        "days": [],
        "notices": [_notice(each, person, each.id in still_open) for each in notices],
        "tasks": task_facts(work.uow.people.tasks(person.id)),
        "notes": [_note(each, person) for each in notes[:LAST_NOTES]],
        "note_count": len(notes),
        "scores": [_score(each) for each in outcomes],
        **(_of_course(work, person, course, outcomes) if course else {}),
    }


def _of_course(work: Work, person: Person, course: Course, outcomes: Sequence[OutcomeScore]) -> dict[str, Any]:
    scored = [each.week for each in outcomes if each.course_id == course.id]
    return {
        **course_facts(work, person, course),
        **goal_facts(work.uow.people.goals(course.id)),
        "score_due": score_due(work, person, course, scored),
    }


def decisions_page(work: Work, staff: Staff, person: Person, page: int = 0) -> dict[str, Any]:
    """Recent decisions, newest first, each with every reason and figure: so many a page, and how many pages there are.

    A page beyond the last is the last. Raises RightsError.
    """
    require(work, staff, person, "decisions")
    course = work.uow.diary.course_of(person.id)
    live = _lately(work, person, course) if course else ()
    pages = max(-(-len(live) // LAST_DECISIONS), 1)
    page = min(page, pages - 1)
    chosen = live[page * LAST_DECISIONS : (page + 1) * LAST_DECISIONS]
    decisions = _in_words(work, person, course, chosen) if course else []
    return {"decisions": decisions, "page": page, "pages": pages}


def decisions_on(work: Work, person: Person, date: dt.date | None = None) -> list[dict[str, Any]]:
    """What was decided on a date of any course, or else last, in the order it was made; for who keeps the machine."""
    for course in reversed(work.uow.diary.courses(person.id)):
        latest = work.uow.decisions.latest(course.id)
        on = date or (told_on(latest, person) if latest else None)
        live = work.uow.decisions.of(course.id, since=on - dt.timedelta(days=1)) if on else ()
        if found := tuple(each for each in live if told_on(each, person) == on):
            return _in_words(work, person, course, found)
    return []


def _course(
    work: Work, person: Person, course: Course, row: CaseloadRow, told: Sequence[str]
) -> dict[str, Any]:
    programme = work.programmes.get(work.uow, course.programme_version)
    episode = course.episode
    step = programme.step(episode.step)
    today = evening_of(work.now, person.zone)
    weeks = past_evenings(work, course, today - dt.timedelta(days=WEEKS * WEEK_DAYS - 1), today)
    diary = [each for each in weeks if each.date > today - dt.timedelta(days=FORTNIGHT_DAYS)]
    until = week_up_to(weeks, today)
    sets = fortnight(weeks, until)
    return {
        "side": course.side,
        "step_key": step.key,
        "words": programme.said("side", f"step.{step.key}", "suggest"),
        "since": episode.since,
        "load_g": episode.load_g,
        "stopped_for": episode.paused_for.value if episode.paused_for else None,
        "stopped": episode.stopped,
        "unloaded_until": _ahead(episode.unloaded_until, today),
        "awaits_look": episode.awaits_look,
        "pinned_until": episode.pinned_until,
        "gate": next_gate(programme, episode),
        "completed": episode.completed,
        "unread": _unread(work, person, course, today, told),
        "not_begun": work.uow.diary.latest_check_in(course.id) is None,
        "fortnight": [sets.done, sets.asked, sets.untold],
        "answered": [sum(each.pain is not None for each in diary), sum(each.asked for each in diary)],
        "change": _change(programme, course, row),
        "trend": weekly_trend(weeks, until),
        "can": [act.value for act in _SIMPLE_ACTS if _possible(programme, course, today, act)],
        "decisions": _in_words(work, person, course, _newsworthy(_lately(work, person, course))),
    }


def _unread(
    work: Work, person: Person, course: Course, today: dt.date, told: Sequence[str]
) -> list[tuple[dt.date, str]]:
    """Words that were not read and may matter, of the last fortnight, the newest first; not those `told` by notices."""
    found = work.uow.diary.unread(course.id, today - dt.timedelta(days=FORTNIGHT_DAYS - 1), today)
    said = ((date, mattering(words, person.language, told)) for date, words in sorted(found.items(), reverse=True))
    return [(date, words) for date, words in said if words][:LAST_NOTICES]


def _ahead(date: dt.date | None, today: dt.date) -> dt.date | None:
    return date if date and today < date else None


def _possible(programme: Programme, course: Course, today: dt.date, act: Act) -> bool:
    try:
        override(programme, course.episode, today, Override(act))
    except OverrideError:
        return False
    return True


def _change(programme: Programme, course: Course, row: CaseloadRow) -> dict[str, Any] | None:
    first = course.episode.first_week_mean
    if first is None or row.mean is None or row.week < 2:
        return None
    change = change_since(programme, first, row.mean)
    return {"first": first, "points": change.points, "share": change.share, "band": change.band.value}


def _lately(work: Work, person: Person, course: Course) -> Decisions:
    """The decisions of the last weeks, newest first; all there are when those weeks have none."""
    since = evening_of(work.now, person.zone) - LOOK_BACK
    return (work.uow.decisions.of(course.id, since=since) or work.uow.decisions.of(course.id))[::-1]


def _in_words(work: Work, person: Person, course: Course, decisions: Decisions) -> list[dict[str, Any]]:
    programme = work.programmes.get(work.uow, course.programme_version)
    return [_decided(work, programme, person, each) for each in decisions]


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


def _decided(work: Work, programme: Programme, person: Person, stored: StoredDecision) -> dict[str, Any]:
    decision = stored.decision
    made_by = work.uow.staff.get(stored.by) if stored.by else None
    today = local_date(work.now, person.zone)
    return {
        **decision_facts(programme, decision),
        "date": told_on(stored, person),
        "id": stored.id,
        "kind": stored.kind,
        "before": stored.before.step,
        "step": decision.step,
        "act": act_facts(decision),
        "by": made_by.name if made_by else "",
        "note": stored.note,
        "undo": stored.kind == OVERRIDE and local_date(stored.made_at, person.zone) == today,
    }


def told_on(stored: StoredDecision, person: Person) -> dt.date:
    """The date under which a decision is shown: what staff did carries its own, though that day's dose heeds it."""
    return local_date(stored.made_at, person.zone) if stored.by else stored.date


def act_facts(decision: Decision) -> dict[str, Any] | None:
    """The therapist's act that a decision carries out; None for the rule's own."""
    act = act_of(decision)
    if act is None:
        return None
    amounts = asdict(act.amounts) if act.amounts else {}
    return {"act": act.act.value, "step": act.step, "until": act.until, "gate": act.gate, "amounts": amounts}


def _notice(notice: Notice, person: Person, still_open: bool) -> dict[str, Any]:
    return {
        "id": notice.id,
        "kind": notice.kind.value,
        "flag": str(notice.facts.get("flag", "")),
        "urgency": str(notice.facts.get("urgency", "")),
        "date": local_date(notice.at, person.zone),
        "text": notice.text,
        "open": still_open,
    }


def _note(note: Note, person: Person) -> dict[str, Any]:
    return {"date": local_date(note.at, person.zone), "text": note.text}


def _score(outcome: OutcomeScore) -> dict[str, Any]:
    return {"week": outcome.week, "total": outcome.total}

