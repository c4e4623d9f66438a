"""One builder per value of the domain: sensible defaults, ids from a counter, every field open to the test."""

import datetime as dt
import itertools
import json
from pathlib import Path
from typing import Any

from core.guided import Phase, PhaseKind, SetPlan
from core.model import (
    Decision,
    Dose,
    Episode,
    Exercise,
    Figure,
    Kind,
    Move,
    NoticeKind,
    Provenance,
    Reason,
    ReasonCode,
)
from core.programme.file import default_programme
from core.records import (
    Answer,
    Audit,
    CheckIn,
    CheckInState,
    Clinic,
    Course,
    Dialogue,
    GoalReview,
    GuidedSet,
    GuidedState,
    Invitation,
    Note,
    Notice,
    OutcomeScore,
    Outgoing,
    Person,
    Priority,
    Staff,
    Status,
    StoredDecision,
    Update,
    Worded,
)

CLINIC = "clinic"
NOW = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)
TODAY = NOW.date()
_numbers = itertools.count(1)


def a_folder(folder: Path, numbers: str) -> Path:
    """A programme of these numbers, with the words of the one that comes along."""
    (folder / "programme.toml").write_text(numbers, encoding="utf-8")
    for name, text in json.loads(default_programme().text).items():
        if name.startswith("words."):
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def new_id(kind: str = "id") -> str:
    return f"{kind}-{next(_numbers)}"


def a_clinic(**given: Any) -> Clinic:
    fields: dict[str, Any] = {"id": CLINIC, "name": "Fennel Lane", "zone": "Europe/Lisbon", "language": "en"}
    fields["emergency"] = ""
    return Clinic(**fields | given)


def a_person(**given: Any) -> Person:
    number = next(_numbers)
    fields: dict[str, Any] = {
        "id": f"person-{number}", "clinic_id": CLINIC, "channel": "terminal", "address": f"chat-{number}",
        "language": "en", "zone": "Europe/Lisbon", "evening": dt.time(19, 0), "status": Status.ACTIVE,
        "created_at": NOW, "name": "the cellist",
    }  # fmt: skip
    return Person(**fields | given)


def a_staff(**given: Any) -> Staff:
    number = next(_numbers)
    fields: dict[str, Any] = {
        "id": f"staff-{number}", "clinic_id": CLINIC, "channel": "terminal", "address": f"desk-{number}",
        "name": "the therapist", "lead": False, "therapist": True, "language": "en", "zone": "Europe/Lisbon",
        "created_at": NOW,
    }  # fmt: skip
    return Staff(**fields | given)


def an_audit(person: Person | None = None, **given: Any) -> Audit:
    fields: dict[str, Any] = {
        "clinic_id": CLINIC, "staff_id": new_id("staff"), "at": NOW, "action": "look",
        "person_id": person.id if person else None, "detail": "the page of the pastry cook",
    }  # fmt: skip
    return Audit(**fields | given)


def a_note(person: Person | None = None, **given: Any) -> Note:
    fields: dict[str, Any] = {
        "id": new_id("note"), "clinic_id": CLINIC, "person_id": person.id if person else new_id("person"),
        "staff_id": new_id("staff"), "at": NOW, "text": "grip is stronger on the left",
    }  # fmt: skip
    return Note(**fields | given)


def an_outcome(course: Course | None = None, **given: Any) -> OutcomeScore:
    course = course or a_course()
    fields: dict[str, Any] = {
        "id": new_id("outcome"), "clinic_id": CLINIC, "person_id": course.person_id, "course_id": course.id,
        "at": NOW, "week": 6, "total": 41.5, "pain": 22.0, "function": 19.5, "answered": 15,
    }  # fmt: skip
    return OutcomeScore(**fields | given)


def a_goal_review(course: Course | None = None, **given: Any) -> GoalReview:
    course = course or a_course()
    fields: dict[str, Any] = {
        "id": new_id("goals"), "clinic_id": CLINIC, "person_id": course.person_id, "course_id": course.id, "at": NOW,
        "week": 0, "said": {"goals": ["lift a full pan"]}, "rated": {"ratings": [3]},
    }  # fmt: skip
    return GoalReview(**fields | given)


def an_episode(**given: Any) -> Episode:
    fields: dict[str, Any] = {"started": TODAY, "start_rating": 5, "step": 1, "since": TODAY}
    return Episode(**fields | given)


def a_course(person: Person | None = None, **given: Any) -> Course:
    fields: dict[str, Any] = {
        "id": new_id("course"), "clinic_id": CLINIC, "person_id": person.id if person else new_id("person"),
        "side": "right", "programme_version": "1", "episode": an_episode(),
    }  # fmt: skip
    return Course(**fields | given)


def a_check_in(course: Course | None = None, **given: Any) -> CheckIn:
    course = course or a_course()
    fields: dict[str, Any] = {
        "id": new_id("check-in"), "clinic_id": CLINIC, "course_id": course.id, "person_id": course.person_id,
        "date": TODAY, "state": CheckInState.ASKED, "due_at": NOW, "sets_asked": 4,
        "remind_at": NOW + dt.timedelta(hours=2), "close_at": NOW + dt.timedelta(hours=9),
    }  # fmt: skip
    return CheckIn(**fields | given)


def a_guided_set(course: Course | None = None, **given: Any) -> GuidedSet:
    course = course or a_course()
    plan = SetPlan(1, 0, (Phase(PhaseKind.READY, 10, "right"), Phase(PhaseKind.HOLD, 30, "right", 1)))
    fields: dict[str, Any] = {
        "id": new_id("set"), "clinic_id": CLINIC, "person_id": course.person_id, "course_id": course.id, "date": TODAY,
        "number": 1, "of": 4, "exercise": "hold", "plan": plan, "state": GuidedState.RUNNING, "made_at": NOW,
        "began_at": NOW, "next_at": NOW,
    }  # fmt: skip
    return GuidedSet(**fields | given)


def an_answer(check_in: CheckIn | None = None, **given: Any) -> Answer:
    check_in = check_in or a_check_in()
    fields: dict[str, Any] = {
        "check_in_id": check_in.id, "person_id": check_in.person_id, "at": NOW, "pain": 4, "sets_done": 4,
        "flag": None, "source": "typed",
    }  # fmt: skip
    return Answer(**fields | given)


def an_exercise(**given: Any) -> Exercise:
    fields: dict[str, Any] = {"key": "hold", "kind": Kind.ISOMETRIC, "sets": 4, "hold_s": 30, "rest_s": (60, 60)}
    return Exercise(**fields | given)


def a_dose(**given: Any) -> Dose:
    fields: dict[str, Any] = {"step": 1, "exercises": (an_exercise(),)}
    return Dose(**fields | given)


def a_decision(**given: Any) -> Decision:
    gate = Figure("gate", 3.0, Provenance.JUDGEMENT)
    fields: dict[str, Any] = {
        "date": TODAY, "move": Move.HOLD, "step": 1, "dose": a_dose(), "for_date": TODAY + dt.timedelta(days=1),
        "reasons": (Reason(ReasonCode.STAY_DAYS, (("served", 3.0), ("least", 14.0)), (gate,)),),
        "after": an_episode(), "programme_version": "1", "rule_version": "1",
    }  # fmt: skip
    return Decision(**fields | given)


def a_stored_decision(course: Course | None = None, **given: Any) -> StoredDecision:
    fields: dict[str, Any] = {
        "id": new_id("decision"), "clinic_id": CLINIC, "course_id": course.id if course else new_id("course"),
        "date": TODAY, "made_at": NOW, "before": an_episode(), "decision": a_decision(),
    }  # fmt: skip
    return StoredDecision(**fields | given)


def a_dialogue(person: Person | None = None, **given: Any) -> Dialogue:
    return Dialogue(**{"person_id": person.id if person else new_id("person"), "flow": "evening"} | given)


def a_notice(person: Person | None = None, **given: Any) -> Notice:
    number = next(_numbers)
    fields: dict[str, Any] = {
        "id": f"notice-{number}", "clinic_id": CLINIC, "person_id": person.id if person else new_id("person"),
        "kind": NoticeKind.DANGER, "key": f"danger:{number}", "at": NOW, "text": "my fingers are numb",
    }  # fmt: skip
    return Notice(**fields | given)


def an_invitation(**given: Any) -> Invitation:
    fields: dict[str, Any] = {
        "code_hash": new_id("hash"), "clinic_id": CLINIC, "created_at": NOW,
        "expires_at": NOW + dt.timedelta(days=7), "note": "the pastry cook",
    }  # fmt: skip
    return Invitation(**fields | given)


def a_message(person: Person | None = None, **given: Any) -> Outgoing:
    person = person or a_person()
    fields: dict[str, Any] = {
        "key": new_id("message"), "clinic_id": CLINIC, "person_id": person.id, "channel": person.channel,
        "address": person.address, "kind": "evening.ask",
        "words": Worded("How much did it hurt?"), "priority": Priority.BULK, "at": NOW,
    }  # fmt: skip
    return Outgoing(**fields | given)


def an_update(**given: Any) -> Update:
    number = next(_numbers)
    fields: dict[str, Any] = {
        "channel": "terminal", "update_id": number, "address": f"chat-{number}", "received_at": NOW,
        "payload": '{"text":"4, did all"}',
    }  # fmt: skip
    return Update(**fields | given)
