"""Ratings and scores as HL7 FHIR R4 (4.0.1): a Bundle of type collection as plain JSON values, without names.

Per person one Patient with a pseudonym, one Observation per rated evening, one per outcome score. Evenings without a
rating, sets and moves are left to the tables of `core.export.csv_rows`: no code for sets done of sets asked was found.
"""

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from core.errors import NaiveTimeError
from core.scores.prtee import PrteeScore

# `.invalid` never resolves (RFC 2606): the addresses below only name things, until a clinic gives its own.
BASE = "https://holdlower.invalid/fhir"
PSEUDONYM = "https://holdlower.invalid/pseudonym"
# No LOINC code for the PRTEE was seen, so that its scores have codes of our own.
SCORES = "https://holdlower.invalid/CodeSystem/outcome-scores"
LOINC = "http://loinc.org"
UCUM = "http://unitsofmeasure.org"
CATEGORY = "http://terminology.hl7.org/CodeSystem/observation-category"

Json = dict[str, Any]

_ID = re.compile(r"[A-Za-z0-9.-]{1,64}")  # the data type `id` of R4


@dataclass(frozen=True, slots=True)
class Rating:
    """One evening's pain, 0-10, under the id of its check-in; `corrected` when an answer was replaced.

    `note` are the person's words that were not read; an evening that has nothing else has no `pain`.
    """

    id: str
    date: dt.date  # the local date
    pain: int | None
    corrected: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Scored:
    """One outcome score under its own id."""

    id: str
    date: dt.date
    score: PrteeScore
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class Subject:
    """One person's course: `alias` is a pseudonym that the clinic can resolve, never a name.

    `side` is left or right, `body` the part of the body.
    """

    id: str
    alias: str
    side: str
    body: str
    ratings: Sequence[Rating] = ()
    scores: Sequence[Scored] = ()


def fhir_bundle(bundle_id: str, made_at: dt.datetime, subjects: Sequence[Subject], base: str = BASE) -> Json:
    """A collection of everything about these people; `base` is what the entries' addresses begin with.

    Raises NaiveTimeError for a time without a zone and ValueError for an id that FHIR does not allow or that
    occurs twice.
    """
    if made_at.tzinfo is None:
        raise NaiveTimeError(f"made_at {made_at} has no zone; give an aware time")
    entries = [_entry(base, each) for subject in subjects for each in _resources(subject)]
    _check_ids([bundle_id], "Bundle")
    for kind in ("Patient", "Observation"):
        _check_ids([each["resource"]["id"] for each in entries if each["resource"]["resourceType"] == kind], kind)
    bundle: Json = {
        "resourceType": "Bundle",
        "id": bundle_id,
        "type": "collection",
        "timestamp": made_at.isoformat(timespec="seconds"),
    }
    # FHIR allows no empty lists.
    return bundle | {"entry": entries} if entries else bundle


def _entry(base: str, resource: Json) -> Json:
    return {"fullUrl": f"{base}/{resource['resourceType']}/{resource['id']}", "resource": resource}


def _check_ids(ids: Sequence[str], kind: str) -> None:
    seen: set[str] = set()
    for each in ids:
        if not _ID.fullmatch(each):
            raise ValueError(f"{kind} id {each!r}: FHIR allows 1 to 64 letters, digits, dots and dashes")
        if each in seen:
            raise ValueError(f"{kind} id {each!r} occurs twice; each resource needs its own")
        seen.add(each)


def _resources(subject: Subject) -> Iterator[Json]:
    yield {
        "resourceType": "Patient",
        "id": subject.id,
        "identifier": [{"system": PSEUDONYM, "value": subject.alias}],
    }
    for rating in subject.ratings:
        yield _observation(subject, rating, _PAIN, rating.pain) | (
            {"note": [{"text": rating.note}]} if rating.note else {}
        )
    for scored in subject.scores:
        yield _observation(subject, scored, _score_code("prtee-total", "PRTEE total"), scored.score.total) | _parts(
            scored.score
        )


# The display is LOINC's own, to the letter.
_PAIN: Json = {
    "coding": [
        {
            "system": LOINC,
            "code": "72514-3",
            "display": "Pain severity - 0-10 verbal numeric rating [Score] - Reported",
        }
    ]
}


_UNKNOWN: Json = {
    "coding": [{"system": "http://terminology.hl7.org/CodeSystem/data-absent-reason", "code": "unknown"}]
}


def _score_code(code: str, display: str) -> Json:
    return {"coding": [{"system": SCORES, "code": code, "display": display}], "text": display}


def _observation(subject: Subject, about: Rating | Scored, code: Json, value: float | None) -> Json:
    """Category `survey`: what a person answers to a question; `vital-signs` would bind it to that profile."""
    person = {"reference": f"Patient/{subject.id}"}
    return {
        "resourceType": "Observation",
        "id": about.id,
        "status": "amended" if about.corrected else "final",
        "category": [{"coding": [{"system": CATEGORY, "code": "survey", "display": "Survey"}]}],
        "code": code,
        "subject": person,
        "effectiveDateTime": about.date.isoformat(),  # a local date: the hour says nothing of the day rated
        "performer": [person],  # who says so
        **({"dataAbsentReason": _UNKNOWN} if value is None else {"valueQuantity": _points(value)}),
        "bodySite": {"text": f"{subject.side} {subject.body}"},
    }


def _points(value: float) -> Json:
    """A quantity rather than an integer: only quantities are found by value (search parameter `value-quantity`), and
    the national profile seen for this code admits nothing else. `{score}` is UCUM's annotation of the unit one.
    """
    return {"value": round(value, 2), "unit": "{score}", "system": UCUM, "code": "{score}"}


def _parts(score: PrteeScore) -> Json:
    parts = (("prtee-pain", "PRTEE pain", score.pain), ("prtee-function", "PRTEE function", score.function))
    found = [
        {"code": _score_code(code, display), "valueQuantity": _points(value)}
        for code, display, value in parts
        if value is not None
    ]
    return {"component": found} if found else {}
