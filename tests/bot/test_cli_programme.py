"""`holdlower simulate`: the same figures whatever the processes, and a picture that a phone can show."""

import re
from pathlib import Path

import pytest

from bot.cli import main
from bot.cli.programme import CHUNK, cohort
from bot.drawing.rule import WIDTH, draw_rule, height_of
from bot.drawn.course import Mark, RuleFacts, RulePanel
from bot.wording.catalogue import text_in
from bot.wording.simulation import ablation_lines, report_lines
from core.programme.file import default_programme, default_programme_text
from core.simulation.cohort import Sample, without_each

pytestmark = pytest.mark.long

SMALL = ["simulate", "--people", "40", "--weeks", "13"]
TEXT = text_in("en")


def lived(written: str, people: int, *, seed: int = 1, jobs: int = 1, ablations: bool = False) -> list[Sample]:
    """What the command measures on fewer people than it takes itself."""
    return [one for part in cohort(written, people, 13, seed, jobs, ablations=ablations) for one in part]


def test_the_command_prints_the_table_without_progress_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SMALL, "--jobs", "1"]) == 0

    said = capsys.readouterr()
    assert default_programme().version in said.out
    assert said.out.count("\n| stable,") == said.out.count("\n| improving,") == 3
    assert said.err == ""


def test_the_figures_do_not_depend_on_the_processes() -> None:
    people = CHUNK + 1  # two processes have something to do

    assert lived(default_programme_text(), people) == lived(default_programme_text(), people, jobs=2)


def test_another_seed_and_another_programme_give_other_figures() -> None:
    other, count = re.subn(r"limit = \{ value = 4.8", "limit = { value = 9.5", default_programme_text())
    assert count == 1
    figures = [
        tuple(report_lines(TEXT, lived(written, 9, seed=seed)))
        for written, seed in ((default_programme_text(), 1), (default_programme_text(), 2), (other, 1))
    ]

    assert len(set(figures)) == 3


def test_each_part_that_can_be_switched_off_has_a_row() -> None:
    table = list(ablation_lines(TEXT, lived(default_programme_text(), 15, ablations=True)))
    rows = {line[:32].strip(): line[32:].split() for line in "\n".join(table).splitlines()[4:]}

    assert len(rows) == 1 + len(without_each(default_programme())) == 9
    assert float(rows["without the flare"][2]) > 1.3 * float(rows["this rule"][2])  # mean delay, stable people


def test_a_programme_that_cannot_be_read_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SMALL, "--programme", "nowhere"]) == 2

    assert "nowhere: no such folder" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SMALL, "--jobs", "1", "--picture", str(tmp_path / "none" / "rule.png")]) == 2

    assert "name another with --picture" in capsys.readouterr().err


@pytest.mark.parametrize("panels", [0, 1, 3])
def test_the_picture_is_small_and_as_high_as_its_panels(panels: int) -> None:
    curve = tuple((50 * 0.7**place, 2.0 + place) for place in range(12))
    marks = (Mark("ours", 5, 6, own=True), Mark("by hand", 70, 5), Mark("outside", 400, 3), Mark("late", 1, 28))
    panel = RulePanel("stable people", curve, marks)
    facts = RuleFacts("title", "across", "up", "best", "15 % later", 0.15, (panel,) * panels)
    picture = draw_rule(facts)

    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(picture[16:20]) == WIDTH
    assert int.from_bytes(picture[20:24]) == height_of(panels)
    assert len(picture) < 60_000
    assert draw_rule(facts) == picture
