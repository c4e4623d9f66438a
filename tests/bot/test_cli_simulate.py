"""`holdlower simulate`: the same figures whatever the processes, and a picture that a phone can show."""

import re
from pathlib import Path

import pytest

from bot.cli import main
from bot.drawing.rule import WIDTH, draw_rule, height_of
from bot.drawn.rule import Mark, RuleFacts, RulePanel
from core.programme.file import default_programme, default_programme_text
from core.simulation.cohort import without_each
from tests.builders import a_folder

SMALL = ["simulate", "--people", "40", "--weeks", "13"]


def test_the_figures_do_not_depend_on_the_processes(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SMALL, "--jobs", "1"]) == 0
    alone = capsys.readouterr()
    assert main([*SMALL, "--jobs", "2"]) == 0

    assert capsys.readouterr().out == alone.out
    assert default_programme().version in alone.out
    assert alone.out.count("\n| stable,") == alone.out.count("\n| improving,") == 3
    assert alone.err == ""  # no progress where nobody watches


def test_another_seed_and_another_programme_give_other_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    patient, count = re.subn(r"limit = \{ value = 4.8", "limit = { value = 9.5", default_programme_text())
    assert count == 1
    folder = a_folder(tmp_path, patient)
    printed = []
    for more in ([], ["--seed", "2"], ["--programme", str(folder)]):
        assert main([*SMALL, "--jobs", "1", *more]) == 0
        printed.append(capsys.readouterr().out.splitlines()[3:])

    assert len({tuple(lines) for lines in printed}) == 3


def test_each_part_that_can_be_switched_off_has_a_row(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SMALL, "--jobs", "2", "--ablations"]) == 0
    table = capsys.readouterr().out.partition("Without one part at a time")[2].splitlines()[3:]
    rows = {line[:32].strip(): line[32:].split() for line in table}

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
