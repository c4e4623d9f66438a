"""A second process: refused in one sentence on SQLite, where one does all; parts are split on PostgreSQL only."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bot.cli import main
from bot.run.opening import one_at_a_time
from tests.standin.server import TOKEN

ROOT = Path(__file__).parents[2]


def serve(folder: Path, *arguments: str, **more: str) -> "subprocess.CompletedProcess[str]":
    environ = {
        "HOME": str(folder), "PATH": os.environ["PATH"], "HOLDLOWER_TOKEN": TOKEN,
        "HOLDLOWER_BASE_URL": "http://127.0.0.1:9", **more,
    }  # fmt: skip
    return subprocess.run(
        [sys.executable, "-m", "bot", "serve", *arguments], cwd=ROOT, env=environ, capture_output=True, text=True,
        timeout=30, check=False,
    )  # fmt: skip


def test_a_second_service_on_one_sqlite_file_says_so_in_one_sentence_and_leaves(tmp_path: Path) -> None:
    with one_at_a_time(tmp_path / "data/clinic.sqlite"):
        second = serve(tmp_path, HOLDLOWER_DATABASE=f"{tmp_path}/data/clinic.sqlite")

    assert second.returncode == 2
    assert second.stderr.count("\n") == 1
    assert "another holdlower is serving from this database" in second.stderr
    assert "use PostgreSQL to run several" in second.stderr


def test_parts_cannot_be_split_on_sqlite_and_unknown_ones_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    split = serve(tmp_path, "--only", "send,tick")

    assert split.returncode == 2
    assert "on SQLite one process does all" in split.stderr
    with pytest.raises(SystemExit):
        main(["serve", "--only", "send,dream"])
    assert "'dream' is not a valid Part; expected some of receive, handle, send" in capsys.readouterr().err
