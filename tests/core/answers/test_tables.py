"""Typed answers, in tables: every line says what must be understood of one text."""

import pytest

from tests.core.answers.tables import COLUMNS, Case, cases

TABLES = ("numbers", "other_numbers", "changes_of_mind", "typing", "danger", "not_danger", "taken_back", "wishes")


@pytest.mark.parametrize(
    "case",
    [pytest.param(case, id=f"{name}: {case.text}") for name in TABLES for case in cases(name)],
)
def test_a_text_is_understood_as_the_table_says(case: Case) -> None:
    assert dict(zip(COLUMNS, case.found, strict=True)) == dict(zip(COLUMNS, case.wanted, strict=True))


# Written by somebody who had not seen the code. Shares of lines right, as measured; they may rise, never fall.
FLOORS = {"pain": 1.0, "sets": 1.0, "ask": 1.0, "flag": 1.0, "wish": 1.0}


@pytest.mark.parametrize("column", COLUMNS)
def test_the_independent_corpus_is_understood_as_well_as_measured(column: str) -> None:
    at = COLUMNS.index(column)
    corpus = cases("corpus_dev")

    right = sum(case.found[at] == case.wanted[at] for case in corpus)

    assert right / len(corpus) >= FLOORS[column]


def test_no_emergency_and_no_despair_of_the_independent_corpus_is_missed() -> None:
    flag = COLUMNS.index("flag")
    grave = [case for case in cases("corpus_dev") if case.wanted[flag] in ("urgent", "distress")]

    missed = [case.text for case in grave if case.found[flag] != case.wanted[flag]]

    assert grave
    assert missed == []
