import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from bot.drawing.file import draw_file
from bot.drawn.course import FileFacts
from bot.wording.digest_file import file_name
from core.digest.patient_week import Made, Score
from tests.bot.digest_cases import TEXT, awkward, crowd, digest_of, file_of, usual
from tests.caseload import HARD_NAMES, Lived, a_standing, lived


def read(facts: FileFacts) -> PdfReader:
    return PdfReader(io.BytesIO(draw_file(facts)))


def headings(pdf: PdfReader) -> list[tuple[str, int]]:
    """(title, page from 1) of the outline."""
    return [(str(entry.title), pdf.get_destination_page_number(entry) + 1) for entry in pdf.outline]


def words_of(page) -> str:
    return " ".join(page.extract_text().split())


@pytest.fixture(scope="module")
def usual_pdf():
    return read(file_of(usual()))


def test_the_overview_comes_first_and_then_a_page_for_each_patient_in_order(usual_pdf):
    names = [week.who.name for week in digest_of(usual()).patients]

    assert len(usual_pdf.pages) == 21
    assert headings(usual_pdf) == [("Caseload of Ines Moreau", 1), *zip(names, range(2, 22), strict=True)]
    first = words_of(usual_pdf.pages[0])
    assert all(first.count(name) == 1 for name in names)
    for number, (name, page) in enumerate(zip(names, usual_pdf.pages[1:], strict=True), 1):
        head, heading, *_ = page.extract_text().splitlines()
        assert head.split("  ·  ") == ["Fennel Lane", "Mon 22 Jun to Sun 28 Jun 2026", f"No. {number} of 20"]
        assert heading == name


def test_every_page_says_that_it_is_no_diagnosis_and_which_page_it_is(usual_pdf):
    for number, page in enumerate(usual_pdf.pages, 1):
        words = words_of(page)
        assert "Not a diagnosis and not a medical device" in words
        assert f"Page {number} of 21" in words
        assert (page.mediabox.width, page.mediabox.height) == pytest.approx((595.28, 841.89), abs=0.01)  # ISO 216 A4


def test_a_patients_page_has_numbers_change_scores_decisions_and_sources(usual_pdf):
    page = next(usual_pdf.pages[place - 1] for name, place in headings(usual_pdf) if name == "the cellist")
    words = words_of(page)

    for said in (
        "Step 6 of 8: full lowering, 0.4 kg · left elbow, week 20 of the course",
        "flare on Sun 28 Jun; back to step 6; week up by 1.2",
        "Mon 22 Jun 6 0.4 kg 3.7 6 on Fri 26 Jun 2 6 of 7 14 of 17",
        "5.2 in the first week, 3.7 now: −1.5 points, −29 %: minimal improvement",
        "34 of 37 sets in 14 days, 92 %",
        "55 at week 0; 41.5 at week 6; 38 at week 12; since week 0 −17.0 points, −31 %: better, by as much as counts; "
        "15 points or more count (Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090)",
        "Sun 28 Jun 6 3 of 3 back to step 6 flare: running excess 4.8 of 4.8, own level 2.5",
        "Dworkin RH et al. J Pain 2008;9(2):105-121",
    ):
        assert said in words, said
    assert len(page.images) == 1


def test_the_document_is_the_same_each_time_and_names_nobody_in_its_properties(usual_pdf):
    facts = file_of(usual()[:1])

    assert draw_file(facts) == draw_file(facts)
    told = dict(usual_pdf.metadata)
    assert told["/Title"] == "Week of Mon 22 Jun to Sun 28 Jun 2026"
    assert told["/CreationDate"] == "D:20260629073000Z"
    assert not any("cellist" in str(value) or "Moreau" in str(value) for value in told.values())
    assert file_name(TEXT, digest_of(usual())) == "week-2026-06-22.pdf"


def test_awkward_names_neither_break_nor_format_a_page():
    pdf = read(file_of(awkward()))

    found = [title for title, _ in headings(pdf)][1:]
    assert sorted(found) == sorted(page.name for page in file_of(awkward()).pages)
    assert HARD_NAMES[0] in " ".join(map(words_of, pdf.pages))  # every sign of it, as it was given
    assert "����" in words_of(pdf.pages[headings(pdf)[1 + found.index("佐藤 花子")][1] - 1]).replace(" ", "")


def test_one_patient_and_nobody_have_files_too():
    one, nobody = read(file_of(usual()[:1])), read(file_of([]))

    assert len(one.pages) == 2
    assert len(nobody.pages) == 1
    assert "No patient of yours had begun" in words_of(nobody.pages[0])


@pytest.mark.long
def test_a_long_caseload_comes_in_files_and_its_overview_goes_on_over_pages():
    people = crowd(300)
    overview, rest = (read(replace(facts, pages=facts.pages[:1])) for facts in (file_of(people), file_of(people, 2)))

    rows = " ".join(words_of(page) for page in overview.pages[:-1])
    assert all(rows.count(who.name) == 1 for who, _ in people)
    assert len(re.findall("Why to look", rows)) == len(overview.pages) - 1
    assert "300 patients come in 3 files of up to 100 each" in rows
    assert [title for title, _ in headings(rest)] == [first_of(people, 200)]
    assert file_name(TEXT, digest_of(people), 2) == "week-2026-06-22-part-3-of-3.pdf"


def first_of(people, place: int) -> str:
    return digest_of(people).patients[place].who.name


def test_a_page_that_overflows_goes_on_and_says_whose_it_is():
    course = lived(60)
    note = "why this was done, at length; " * 10
    made = tuple(Made(each.decision, "Ines", note) for each in course.made for _ in range(2))
    who = a_standing(1, scores=tuple(Score(week, 50.0) for week in range(20)))

    pdf = read(file_of([(who, Lived(course.start, course.diary, made))]))

    assert len(pdf.pages) == 3
    assert words_of(pdf.pages[2]).startswith("the bricklayer, continued")
    assert len(headings(pdf)) == 2
    assert sum(words_of(page).count("Ines: ") for page in pdf.pages) == 14


PROGRAM = """
import asyncio, sys
from dataclasses import replace
from bot.drawing import Drawing, DrawingError
from tests.bot.digest_cases import file_of, pictures_of, usual

async def main():
    drawing = Drawing()
    (picture,), facts = pictures_of(usual()[:3]), file_of(usual()[:1])
    drawn = await drawing.draw(picture), await drawing.draw(facts)
    try:
        await drawing.draw(replace(facts, made="yesterday"))
    except DrawingError as error:
        print(error)
    drawing.close()
    print(*sorted({name.partition(".")[0] for name in sys.modules}))
    from bot.drawing.file import draw_file
    from bot.drawing.panels import draw_panels
    print(drawn == (draw_panels(picture), draw_file(facts)))

if __name__ == "__main__":
    asyncio.run(main())
"""


@pytest.mark.long
def test_the_child_process_draws_what_this_one_would_which_never_imports_what_draws(tmp_path):
    script = tmp_path / "program.py"
    script.write_text(PROGRAM)
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}

    ran = subprocess.run(
        [sys.executable, str(script)], capture_output=True, text=True, timeout=300, check=False, env=here
    )

    assert ran.returncode == 0, ran.stderr
    error, modules, same = ran.stdout.splitlines()
    assert "cannot be drawn" in error
    assert not {"matplotlib", "numpy", "PIL", "fpdf"} & set(modules.split())
    assert same == "True"


@pytest.mark.parametrize("notices", [8, 12, 16])
def test_where_the_numbers_are_from_stands_in_one_piece_wherever_the_page_ends(notices: int):
    facts = file_of(usual())
    page = replace(
        facts.pages[0],
        notices=("Notices", tuple(f"notice {number}" for number in range(notices))),
        numbers=("Numbers", tuple(f"origin {number}: a number" for number in range(6))),
    )

    pages = [words_of(each) for each in read(replace(facts, overview=None, pages=(page,))).pages]

    assert sum("origin" in words for words in pages) == 1
    assert all(f"origin {number}" in next(w for w in pages if "origin" in w) for number in range(6))
