"""The way in: a single-use code, consent and screening before anything, then the first dose."""

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace

from core.errors import HoldlowerError
from core.model import Dose, NoticeKind, Urgency
from core.records import Course, Dialogue, Invitation, Person, Role, Status
from core.rule import begin, dose_on
from core.timetable import ONE_DAY, local_date, plan_ahead
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Work

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # none that are mistaken for another when read aloud or copied
CODE_LENGTH = 16  # 78 bits: nobody who holds the hashes alone finds a code by trying, key or no key
VALID_DAYS = 7


@dataclass(frozen=True, slots=True)
class Begun:
    """A course that has begun: the first dose is for `first`, the first question comes that evening."""

    person: Person
    course: Course
    dose: Dose
    first: dt.date


def invite(
    work: Work, clinic_id: str, code: str, note: str = "", days: int = VALID_DAYS, role: Role = Role.PATIENT
) -> Invitation:
    """Store an invitation made on the machine itself. Only a hash of `code` is kept, so it can be shown but once.

    A lead's code opens everything and nobody confirms who used it: a new one ends every older one that is unused.
    """
    if role == Role.LEAD:
        work.uow.invitations.void(role, work.now)
    expires = work.now + dt.timedelta(days=days)
    invitation = Invitation(code_hash(code), clinic_id, work.now, expires, note=note, role=role)
    work.uow.invitations.add(invitation)
    return invitation


def code_hash(code: str) -> str:
    """The stored form of a code; spaces, dashes and small letters do not matter to whoever types it."""
    plain = "".join(letter for letter in code.upper() if letter.isalnum())
    return hashlib.sha256(plain.encode()).hexdigest()


def accept(work: Work, code: str, newcomer: Person) -> Person | None:
    """Let a newcomer in by a code; None when it is unknown, used or expired.

    The invitation's note, when it has one, is the name the therapist knows the person by.
    """
    hashed = code_hash(code)
    invitation = work.uow.invitations.get(hashed, lock=True)
    if invitation is None or not work.uow.invitations.use(hashed, newcomer.id, work.now):
        return None
    person = replace(newcomer, clinic_id=invitation.clinic_id, name=invitation.note or newcomer.name)
    work.uow.people.save(person)
    work.uow.dialogues.save(Dialogue(person.id, "enrol", "consent"))
    return person


def enrolment_of(dialogue: Dialogue) -> Dialogue | None:
    """Where the enrolment stands, also while a short question (a problem, erasing) has been put before it."""
    if dialogue.flow == "enrol":
        return dialogue
    kept = dialogue.facts.get("enrol")
    return Dialogue(dialogue.person_id, "enrol", kept["step"], facts=kept["facts"]) if kept else None


def put_before(dialogue: Dialogue, flow: str) -> Dialogue:
    """The dialogue with a short question put before an enrolment that is under way, which goes on afterwards."""
    place = enrolment_of(dialogue)
    kept = {"enrol": {"step": place.step, "facts": dict(place.facts)}} if place else {}
    return Dialogue(dialogue.person_id, flow, facts=kept)


def screen_out(work: Work, person: Person, why: str, text: str = "", urgency: Urgency | None = None) -> Person:
    """A screening answer needs a person first: no dose, and the therapist is told why, and how soon it must be seen."""
    waiting = replace(person, status=Status.SCREENED_OUT, next_due=None, next_date=None)
    work.uow.people.save(waiting)
    facts = {"flag": str(why), "urgency": urgency or ""}
    tell_therapist(work, waiting, NoticeKind.SCREENED_OUT, work.new_id(), facts, text)
    return waiting


def begin_course(work: Work, person: Person, answers: Mapping[str, object], wait_days: int = 0) -> Begun:
    """Begin after screening. `answers` holds side and rating.

    `wait_days` delays the first dose after an injection; such a course begins on the gentle step, the therapist is
    told, and nothing moves up until they have looked.
    """
    programme = work.programmes.current
    first, due = plan_ahead(work.now, person.evening, person.zone, None)
    if wait_days:
        start = local_date(work.now, person.zone) + dt.timedelta(days=wait_days)
        first, due = plan_ahead(work.now + dt.timedelta(days=wait_days), person.evening, person.zone, start - ONE_DAY)
    episode = begin(programme, first, _rating(answers), gently=wait_days > 0)
    if wait_days:
        episode = replace(episode, awaits_look=True)
        tell_therapist(work, person, NoticeKind.INJECTION, work.new_id(), {"flag": "before"})
    course = Course(work.new_id(), person.clinic_id, person.id, str(answers["side"]), programme.version, episode)
    active = replace(person, status=Status.ACTIVE, next_date=first, next_due=due)
    work.uow.clinics.save_programme(programme.version, programme.text, work.now)
    work.uow.people.save(active)
    work.uow.diary.save_course(course)
    return Begun(active, course, dose_on(programme, episode, first), first)


def _rating(answers: Mapping[str, object]) -> int:
    rating = answers["rating"]
    if not isinstance(rating, int):
        raise HoldlowerError(f"start rating {rating!r}: expected a whole number from 0 to 10")
    return rating
