"""The diary as a table: read back by the standard library's reader, harmless in a spreadsheet, true to the course."""

import csv
import datetime as dt
import io
import json
import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.export.csv_rows import (
    COLUMNS,
    DiaryRow,
    caseload_csv,
    caseload_json,
    diary_csv,
    diary_json,
    diary_rows,
    guarded,
)
from core.model import Evening, Flag, Move, ReasonCode
from core.rule import begin
from core.rule.override import Act, Override, override
from tests.courses import PROGRAMME, TODAY, live, said

counts = st.integers(0, 20)
rows = st.builds(
    DiaryRow,
    date=st.dates(),
    asked=st.booleans(),
    pain=st.none() | st.integers(0, 10),
    sets_done=st.none() | counts,
    sets_asked=counts,
    flag=st.none() | st.sampled_from(Flag),
    step=st.integers(1, 9),
    load_g=st.integers(0, 4000),
    move=st.none() | st.sampled_from(Move),
    reasons=st.lists(st.sampled_from(ReasonCode), max_size=4).map(tuple),
)
STARTS = "=+-@\t\r\n\0'＝＋－＠ "
aliases = st.text(max_size=20) | st.builds(str.__add__, st.text(STARTS, min_size=1, max_size=3), st.text(max_size=8))
courses = st.lists(st.tuples(aliases, st.lists(rows, max_size=3)), max_size=3)


def visible(text: str) -> str:
    """Control characters (Unicode category Cc) as a sign for them; tabs and line ends stay."""
    kept = "\t\r\n"
    return "".join("\ufffd" if unicodedata.category(each) == "Cc" and each not in kept else each for each in text)


def read(text: str) -> list[list[str]]:
    """By the reader of the standard library, in the dialect of RFC 4180 and strict about it."""
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


def row_of(cells: list[str]) -> DiaryRow:
    """What a row of cells says, column by column."""
    cell = dict(zip(COLUMNS, cells, strict=True))
    number = {name: int(cell[name]) if cell[name] else None for name in ("pain", "sets_done")}
    return DiaryRow(
        dt.date.fromisoformat(cell["date"]),
        {"yes": True, "no": False}[cell["asked"]],
        number["pain"],
        number["sets_done"],
        int(cell["sets_asked"]),
        Flag(cell["flag"]) if cell["flag"] else None,
        int(cell["step"]),
        int(cell["load_g"]),
        Move(cell["move"]) if cell["move"] else None,
        tuple(map(ReasonCode, cell["reasons"].split())),
        unguarded(cell["unread"]),
    )


def unguarded(cell: str) -> str:
    """The text that was written as this cell."""
    return cell[1:] if cell.startswith("'") and guarded(cell[1:]) == cell else cell


@given(courses)
def test_a_table_reads_back_as_the_rows_it_was_written_from(listed):
    flat = [(visible(alias), replace(row, unread=visible(row.unread))) for alias, part in listed for row in part]

    header, *lines = read(caseload_csv(listed))

    assert header == ["alias", *COLUMNS]
    assert [(unguarded(cells[0]), row_of(cells[1:])) for cells in lines] == flat


@given(courses)
def test_json_says_the_same_as_csv(listed):
    objects = json.loads(caseload_json(listed))
    _, *lines = read(caseload_csv(listed))

    for one, cells in zip(objects, lines, strict=True):
        assert list(one) == ["alias", *COLUMNS]
        flat = one | {"asked": "yes" if one["asked"] else "no", "reasons": " ".join(one["reasons"])}
        assert visible(one["alias"]) == unguarded(cells[0])
        assert ["" if value is None else visible(str(value)) for value in flat.values()][1:] == cells[1:]


@given(st.lists(rows, max_size=4))
def test_one_persons_table_is_the_caseloads_without_the_alias(part):
    assert [cells[1:] for cells in read(caseload_csv([("x", part)]))] == read(diary_csv(part))
    assert [{"alias": "x"} | one for one in json.loads(diary_json(part))] == json.loads(caseload_json([("x", part)]))


@given(aliases, rows)
def test_no_cell_is_a_formula_to_a_spreadsheet_whatever_a_person_is_called(alias, row):
    """OWASP, CSV Injection: a cell must not begin with = + - @, tab or carriage return."""
    for cells in read(caseload_csv([(alias, [row])])):
        for cell in cells:
            assert not cell.lstrip(" \t\r\n\0").startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠"))
            assert not cell.startswith(("\t", "\r"))


def test_a_spreadsheet_that_parts_columns_by_semicolons_finds_no_formula_inside_a_name():
    row = DiaryRow(TODAY, True, 4, 3, 3, None, 2, 0, Move.HOLD, ())

    text = caseload_csv([("cook;=1+1;@x", [row])])

    assert [len(cells) for cells in csv.reader(io.StringIO(text, newline=""), delimiter=";")] == [1, 1]


@pytest.mark.parametrize(
    ("alias", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+351 ring first", "'+351 ring first"),
        ("-", "'-"),
        ("@cellist", "'@cellist"),
        ("\tcellist", "'\tcellist"),
        ("\rcellist", "'\rcellist"),
        ("  =1+1", "'  =1+1"),
        ("'=1+1", "''=1+1"),
        ("'t cellist", "'t cellist"),
        ("the pastry cook", "the pastry cook"),
        ('a "quoted", name\nin two lines', 'a "quoted", name\nin two lines'),
    ],
)
def test_a_name_is_kept_and_defused_only_where_it_has_to_be(alias, cell):
    row = DiaryRow(TODAY, True, 4, 3, 3, None, 2, 0, Move.HOLD, ())

    assert read(caseload_csv([(alias, [row])]))[1][0] == cell
    assert unguarded(cell) == alias


def test_a_file_is_as_the_standard_says():
    """RFC 4180, section 2: CRLF after each record, one header, quotes doubled inside quotes."""
    row = DiaryRow(
        dt.date(2026, 6, 29), True, 4, None, 3, None, 2, 500, Move.HOLD, (ReasonCode.STAY_DAYS,), side="left"
    )

    text = caseload_csv([('the "first" cook', [row])])

    assert text == (
        '"alias","date","asked","pain","sets_done","sets_asked","flag","step","load_g","move","reasons","unread","side"\r\n'
        '"the ""first"" cook","2026-06-29","yes",4,"",3,"",2,500,"hold","stay_days","","left"\r\n'
    )


def test_rows_tell_what_a_lived_course_asked_and_decided_day_by_day():
    lived = live(40, lambda day, dose: None if day == 20 else said(7 if day in (30, 31) else 3))
    start = begin(PROGRAMME, TODAY, 5)
    evenings = [
        Evening(decision.date, pain=7 if day in (30, 31) else 3) for day, (_, decision) in enumerate(lived) if day != 20
    ]

    table = diary_rows(start, evenings, lived)

    assert [row.date for row in table] == [TODAY + dt.timedelta(days=day) for day in range(40)]
    assert [(row.step, row.load_g) for row in table] == [(before.step, before.load_g) for before, _ in lived]
    assert [row.move for row in table] == [decision.move for _, decision in lived]
    assert {Move.ADVANCE, Move.REGRESS} <= {row.move for row in table}
    assert (table[20].asked, table[20].pain, table[20].reasons) == (False, None, (ReasonCode.NOT_ASKED,))


def test_an_override_shares_the_row_of_its_date_and_an_undecided_evening_has_no_move():
    ((before, decision),) = live(1, lambda day, dose: said(3))
    up = override(PROGRAMME, decision.after, TODAY, Override(Act.UP))
    tomorrow = TODAY + dt.timedelta(days=1)

    evenings = [Evening(TODAY, pain=3), Evening(tomorrow)]
    first, second = diary_rows(before, evenings, [(before, decision), (decision.after, up)])

    assert (first.step, first.move, first.reasons[-1]) == (before.step, Move.ADVANCE, ReasonCode.OVERRIDE)
    assert (second.step, second.load_g, second.move, second.reasons) == (up.step, up.after.load_g, None, ())


def test_a_step_that_was_changed_without_a_decision_shows_from_the_next_decided_evening():
    ((before, decision),) = live(1, lambda day, dose: said(3), start_rating=6)
    first_thought = begin(PROGRAMME, TODAY, 4)

    (row,) = diary_rows(first_thought, [Evening(TODAY, pain=3)], [(before, decision)])

    assert (first_thought.step, row.step) == (2, 1)
