"""The bundle against somebody else's models of the standard, and against what the standard says in words.

`fhir.resources` has no plain R4 (4.0.1) but R4B (4.3.0). Of what a bundle holds, Bundle, Patient and Observation have
the same elements in both (from memory: R4B changed evidence, medication definition and subscription resources), so
that its models judge an R4 bundle; the version itself is stated by the media type alone. The sample was also taken, and
given back unchanged, by the models of fhirclient 4.4.0, which are generated from 4.0.1; done once by hand.
"""

import copy
import datetime as dt
import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import NaiveTimeError
from core.export.fhir import Rating, Scored, Subject, fhir_bundle
from core.scores.prtee import PrteeScore, read_prtee
from tests.courses import TODAY, back

MADE = dt.datetime(2026, 6, 29, 20, 15, tzinfo=dt.timezone(dt.timedelta(hours=1)))

ratings = st.builds(
    Rating, st.uuids().map(str), st.dates(), st.none() | st.integers(0, 10), st.booleans(),
    st.sampled_from(["", "zither practice"]),
)  # fmt: skip
scored = st.builds(
    Scored,
    st.uuids().map(lambda made: made.hex),
    st.dates(),
    st.builds(PrteeScore, st.floats(0, 100))
    | st.lists(st.integers(0, 10), min_size=15, max_size=15).map(lambda items: read_prtee(" ".join(map(str, items)))),
    st.booleans(),
)
subjects = st.builds(
    Subject,
    st.uuids().map(str),
    st.text("abcdefgh-0123456789", min_size=1, max_size=12),
    st.sampled_from(["left", "right"]),
    st.sampled_from(["elbow", "knee"]),
    st.lists(ratings, max_size=3),
    st.lists(scored, max_size=2),
)


def sample() -> dict:
    cellist = Subject(
        "p1",
        "fennel-07",
        "left",
        "elbow",
        [Rating("c1", back(1), 4), Rating("c2", TODAY, 6, corrected=True)],
        [Scored("o1", back(1), read_prtee("4 6 7 8 3 5 7 8 6 4 6 4 5 6 3")), Scored("o2", TODAY, PrteeScore(40.0))],
    )
    return fhir_bundle("b1", MADE, [cellist])


@pytest.fixture(scope="module")
def judge():
    pytest.importorskip("fhir.resources", reason="fhir.resources is not installed: pip install -e '.[fhir]'")
    from fhir.resources.R4B.bundle import Bundle

    return Bundle


def test_other_peoples_models_take_every_bundle_and_give_it_back_unchanged(judge):
    @settings(deadline=None)  # the first bundle builds their models
    @given(st.lists(subjects, max_size=3))
    def check(people):
        bundle = fhir_bundle("b1", MADE, people)

        known = judge.model_validate_json(json.dumps(bundle))

        assert json.loads(known.model_dump_json()) == bundle

    check()


@pytest.mark.parametrize(
    ("path", "wrong"),
    [
        (("type",), None),
        (("timestamp",), "2026-06-29T20:15"),
        (("entry", 1, "resource", "status"), None),
        (("entry", 1, "resource", "code"), None),
        (("entry", 1, "resource", "effectiveDateTime"), "29/06/2026"),
        (("entry", 1, "resource", "valueInteger"), 4),
        (("entry", 1, "resource", "valueQuantity", "value"), "four"),
        (("entry", 0, "resource", "identifier"), {"value": "x"}),
    ],
)
def test_those_models_do_refuse_what_is_wrong(judge, path, wrong):
    bundle = copy.deepcopy(sample())
    place = bundle
    for name in path[:-1]:
        place = place[name]
    if wrong is None:
        del place[path[-1]]
    else:
        place[path[-1]] = wrong

    with pytest.raises(ValueError, match="validation error"):
        judge.model_validate_json(json.dumps(bundle))


def test_a_rating_is_the_loinc_observation_of_that_local_date():
    """LOINC 72514-3 and its display: HL7 Belgium's and the French national FHIR guides."""
    first, corrected = (entry["resource"] for entry in sample()["entry"][1:3])

    assert first["code"]["coding"] == [
        {
            "system": "http://loinc.org",
            "code": "72514-3",
            "display": "Pain severity - 0-10 verbal numeric rating [Score] - Reported",
        }
    ]
    assert first["valueQuantity"] == {
        "value": 4, "unit": "{score}", "system": "http://unitsofmeasure.org", "code": "{score}"
    }  # fmt: skip
    assert (first["status"], corrected["status"]) == ("final", "amended")
    assert (first["effectiveDateTime"], first["bodySite"]) == ("2026-06-28", {"text": "left elbow"})


def test_a_score_has_its_parts_only_when_they_are_known():
    """The worked check, constructed from the manual's arithmetic: pain 28, function 27, total 55."""
    whole, typed = (entry["resource"] for entry in sample()["entry"][3:])

    assert (whole["valueQuantity"]["value"], typed["valueQuantity"]["value"]) == (55.0, 40.0)
    assert [part["valueQuantity"]["value"] for part in whole["component"]] == [28.0, 27.0]
    assert "component" not in typed
    assert all("loinc" not in json.dumps(each) for each in (whole, typed))


@given(st.lists(subjects, max_size=3), st.sampled_from(["https://clinic.example/fhir", "https://holdlower.invalid/fhir"]))
def test_references_lead_to_the_patient_in_the_bundle_and_nothing_names_anybody(people, base):
    bundle = fhir_bundle("b1", MADE, people, base)
    entries = bundle.get("entry", [])
    addresses = [entry["fullUrl"] for entry in entries]

    assert len(addresses) == len(set(addresses)) == sum(1 + len(one.ratings) + len(one.scores) for one in people)
    for entry in entries:
        resource = entry["resource"]
        assert entry["fullUrl"].endswith(f"/{resource['resourceType']}/{resource['id']}")
        assert set(resource) & {"name", "telecom", "birthDate", "address", "text"} == set()
        if resource["resourceType"] == "Observation":
            # R4, Bundle: a relative reference is resolved from the root of its entry's fullUrl
            root = entry["fullUrl"].removesuffix(f"/Observation/{resource['id']}")
            assert f"{root}/{resource['subject']['reference']}" in addresses
    assert bundle == json.loads(json.dumps(bundle))


def test_the_time_is_an_instant():
    # the pattern of the data type instant in R4
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)", sample()["timestamp"])
    assert "entry" not in fhir_bundle("b1", MADE, [])


def test_what_fhir_does_not_allow_is_refused():
    twice = Subject("p1", "a", "left", "elbow", [Rating("c1", TODAY, 4)])
    with pytest.raises(NaiveTimeError, match="no zone"):
        fhir_bundle("b1", MADE.replace(tzinfo=None), [])
    with pytest.raises(ValueError, match=r"'a_b'.*letters, digits, dots and dashes"):
        fhir_bundle("b1", MADE, [Subject("a_b", "a", "left", "elbow")])
    with pytest.raises(ValueError, match="'p1' occurs twice"):
        fhir_bundle("b1", MADE, [twice, twice])
    with pytest.raises(ValueError, match="Bundle id"):
        fhir_bundle("b" * 65, MADE, [])
