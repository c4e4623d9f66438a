"""Deciding an evening, and deciding again every later one when an earlier answer changes."""

import datetime as dt
from dataclasses import dataclass, replace

from core.model import Decision, Dose, Episode, NoticeKind, Reason, ReasonCode
from core.records import Course, Person, SignQuestion, StoredDecision
from core.rule import dose_on
from core.rule.course import is_stopped
from core.rule.dose import rest_of
from core.rule.override import QUIET, act_of
from core.timetable import ONE_DAY, local_date
from core.use_cases.entries import LOOK_BACK, Entry, decide_entry, entry_of
from core.use_cases.noticing import CAN_WAIT, tell_therapist
from core.use_cases.work import Work

ONCE_IN_A_COURSE = frozenset(
    {NoticeKind.PLATEAU_6_WEEKS, NoticeKind.PLATEAU_12_WEEKS, NoticeKind.PLATEAU_26_WEEKS}
)


def dose_for(work: Work, course: Course, date: dt.date) -> Dose:
    """What `date` asks for: what the last decision said of that very date, else the step's plain dose.

    A rest day while a question about danger is open.
    """
    if waits_for_signs(work, course.person_id):
        return rest_of(work.programme_of(course), course.episode)
    latest = last_told(work, course)
    if latest and latest.decision.for_date == date and latest.decision.dose is not None:
        return latest.decision.dose
    return dose_on(work.programme_of(course), course.episode, date)


def waits_for_signs(work: Work, person_id: str) -> bool:
    """Whether a question about danger is open: it is the person's, whichever side it was put for."""
    for course in work.uow.diary.courses_of(person_id):
        latest = work.uow.diary.latest_check_in(course.id)
        if course.episode.signs_asked or (latest and latest.sign is SignQuestion.WHICH):
            return True
    return False


def as_told(work: Work, course: Course, decision: Decision) -> Decision:
    """The decision as the person is told it: no sets while a question about danger is open."""
    if not (decision.dose and decision.dose.asked and waits_for_signs(work, course.person_id)):
        return decision
    rest = rest_of(work.programme_of(course), decision.after)
    return replace(decision, dose=rest, reasons=(Reason(ReasonCode.SIGNS_OPEN),), ask_weight=False)


def last_told(work: Work, course: Course) -> StoredDecision | None:
    """The last decision that says what the next day asks for; acts that leave the day as it was are passed over.

    Otherwise a person kept on a step after a severe evening would lose the rest day.
    """
    latest = work.uow.decisions.latest(course.id)
    if latest is None or not _is_quiet(latest):
        return latest
    lately = work.uow.decisions.of(course.id, since=latest.date - LOOK_BACK)
    return next((each for each in reversed(lately) if not _is_quiet(each)), None)


def _is_quiet(stored: StoredDecision) -> bool:
    done = act_of(stored.decision)
    return done is not None and done.act in QUIET


def decide_from(work: Work, person: Person, course: Course, entry: Entry) -> Decision:
    """Decide `entry`, and everything that was decided after it once more; the last decision is returned.

    What is replaced stays in the store as superseded. Raises OverrideError, with nothing changed, for an act of the
    therapist that cannot be done.
    """
    stored = work.uow.decisions.of(course.id, since=entry.date)
    made = _made_again(work, course, _in_order(stored, entry), stored[0].before if stored else course.episode)
    if stored:  # on most evenings there is nothing to replace, and one statement in twenty is spared
        work.uow.decisions.supersede_since(course.id, entry.date)
    _keep(work, person, course, made, made[-1].decision.after)
    return made[-1].decision


def decide_without(work: Work, person: Person, course: Course, undone: StoredDecision) -> Decision | None:
    """Take one decision away and decide what came after it once more; the last of those is returned, if any."""
    stored = work.uow.decisions.of(course.id, since=undone.date)
    later = stored[[each.id for each in stored].index(undone.id) + 1 :]
    made = _made_again(work, course, [_Again(entry_of(each), each) for each in later], undone.before)
    for each in (undone, *later):
        work.uow.decisions.supersede(each.id)
    _keep(work, person, course, made, made[-1].decision.after if made else undone.before)
    return made[-1].decision if made else None


@dataclass(frozen=True, slots=True)
class _Again:
    """An entry with what was decided there before, None for a new one."""

    entry: Entry
    before: StoredDecision | None = None


def _made_again(work: Work, course: Course, entries: list[_Again], episode: Episode) -> list[StoredDecision]:
    """The decisions of the entries, the first of which starts from `episode`; nothing is stored."""
    if not entries:
        return []
    programme = work.programme_of(course)
    first, last = entries[0].entry.date, max(each.entry.date for each in entries)
    diary = work.uow.diary.evenings(course.id, first - LOOK_BACK, last)
    made = []
    for each in entries:
        with work.deciding():
            decision = decide_entry(programme, episode, diary, each.entry, again=each.before is not None)
        made.append(_stored(work, course, each, episode, decision))
        episode = decision.after
    return made


def _stored(work: Work, course: Course, again: _Again, before: Episode, decision: Decision) -> StoredDecision:
    """What staff did keeps its moment and its name when it is made again."""
    entry, old = again.entry, again.before
    kept = old if old and old.by else None
    return StoredDecision(
        id=next_name(kept.id) if kept else work.new_id(),
        clinic_id=course.clinic_id,
        course_id=course.id,
        date=entry.date,
        made_at=kept.made_at if kept else work.now,
        before=before,
        decision=decision,
        kind=entry.kind,
        by=entry.by,
        note=entry.note,
    )


def first_name(decision_id: str) -> str:
    """The id under which a decision of the staff was made, however often it was made again."""
    return decision_id.partition("~")[0]


def next_name(decision_id: str) -> str:
    """The id for the same decision made once more: "7f3a", then "7f3a~1"."""
    name, _, number = decision_id.partition("~")
    return f"{name}~{int(number or 0) + 1}"


def _keep(work: Work, person: Person, course: Course, made: list[StoredDecision], episode: Episode) -> None:
    for each in made:
        work.uow.decisions.add(each)
        _notice(work, person, course, each.decision)
    work.uow.diary.save_course(replace(course, episode=episode))
    if is_stopped(episode) and person.next_due and all_stopped(work, person):
        work.uow.people.save(replace(person, next_due=None, next_date=None))


def all_stopped(work: Work, person: Person) -> bool:
    """Whether nothing is asked any more: the person's course is stopped, or both of them are."""
    return all(is_stopped(each.episode) for each in work.uow.diary.courses_of(person.id))


def _in_order(stored: tuple[StoredDecision, ...], entry: Entry) -> list[_Again]:
    entries = [_Again(entry_of(each), each) for each in stored]
    if entry.kind == "evening" and any(each.entry == entry for each in entries):
        return entries  # an evening is decided in its place; whatever else happens, happens once more
    earlier = [each for each in entries if each.entry.date <= entry.date]
    return [*earlier, _Again(entry), *entries[len(earlier) :]]


def _notice(work: Work, person: Person, course: Course, decision: Decision) -> None:
    for kind in decision.notices:
        if kind in (NoticeKind.DANGER, NoticeKind.CLINICAL_QUESTION):
            continue  # told at once, with the person's own words, by whoever heard them
        facts: dict[str, object] = {"date": decision.date.isoformat(), "step": decision.step}
        about = course.id
        if len(work.uow.diary.courses_of(person.id)) > 1:
            if kind in CAN_WAIT:  # days without a word are the person's, whichever side they are counted for
                about, facts = person.id, {"date": decision.date.isoformat()}
            else:
                facts["side"] = course.side
        # a look that is made once in a course is told once, whatever date a corrected answer moves it to
        when = "once" if kind in ONCE_IN_A_COURSE else decision.date.isoformat()
        tell_therapist(work, person, kind, f"{about}:{when}:{kind.value}", facts)


def effective(work: Work, person: Person, course: Course) -> dt.date:
    """The date of a decision that staff make now.

    It is yesterday's, so that the dose begins today, unless today has an evening or a decision of its own already.
    """
    latest, decided = work.uow.diary.latest_check_in(course.id), work.uow.decisions.latest(course.id)
    own = (each.date for each in (latest, decided) if each)
    return max([local_date(work.now, person.zone) - ONE_DAY, *own])
