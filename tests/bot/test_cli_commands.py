"""The command line as a whole: examples that can be typed, shells that complete, a yes before anything is lost."""

import importlib
import io
import json
import os
import pty
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bot.cli import main
from bot.cli.commands import TABLE, WRONG, parser_of
from bot.run.opening import found_app
from bot.settings import load_settings
from bot.wording.catalogue import text_in
from tests.builders import a_person, a_staff

pytestmark = pytest.mark.long

ROOT = Path(__file__).parents[2]
rows = pytest.mark.parametrize("row", TABLE, ids=lambda row: row.name)


@pytest.fixture
def home(own_home: Path) -> Path:
    """A clinic with a lead and a patient of a therapist."""
    store = found_app(load_settings({"HOME": str(own_home)})).store
    with store.writing() as uow:
        uow.staff.save(a_staff(id="anna", name="Anna", lead=True))
        uow.staff.save(a_staff(id="ben", name="Ben"))
        uow.people.save(a_person(id="cook", name="Pastry cook", therapist_id="ben"))
        uow.commit()
    store.close()
    return own_home


@rows
def test_each_command_is_done_by_a_function_that_is_there(row):
    module, _, function = row.does.partition(":")
    assert callable(getattr(importlib.import_module(module), function))


@rows
def test_each_command_shows_examples_and_each_of_them_is_understood(row):
    text = text_in("en")
    examples = text(f"cli.{row.name.replace(' ', '.')}.examples").splitlines()
    assert examples
    for line in examples:
        program, *words = shlex.split(line.partition(" > ")[0])
        assert program == "holdlower"
        assert parser_of(text).parse_args(words).run == row.run


def completed(folder: Path, words: str) -> set[str]:
    """What a real bash offers for the last word. COMP_WORDS and COMPREPLY: GNU Bash manual, Programmable Completion."""
    script = folder / "holdlower.bash"
    script.write_text(subprocess.run(
        [sys.executable, "-m", "bot", "completion", "bash"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout)  # fmt: skip
    line = f"source {script}; COMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); _shtab_holdlower; "
    shown = subprocess.run(
        ["bash", "-c", line + 'printf "%s\\n" "${COMPREPLY[@]}"'], capture_output=True, text=True, check=True
    )
    return set(shown.stdout.split())


def test_a_shell_completes_commands_options_and_choices(tmp_path: Path):
    assert completed(tmp_path, "holdlower ke") == {"keys"}
    assert completed(tmp_path, "holdlower keys ro") == {"rotate"}
    assert completed(tmp_path, "holdlower invite --ro") == {"--role"}
    assert completed(tmp_path, "holdlower invite --role th") == {"therapist"}


@pytest.mark.skipif(not shutil.which("zsh"), reason="zsh is not installed")
def test_the_script_for_zsh_is_one(capsys: pytest.CaptureFixture[str]):
    assert main(["completion", "zsh"]) == 0
    subprocess.run(["zsh", "-n"], input=capsys.readouterr().out, text=True, check=True)


@pytest.mark.parametrize("words", ["erase cook", "staff --shut-out ben"])
def test_nothing_is_lost_without_a_yes(home: Path, words: str, capsys: pytest.CaptureFixture[str], monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO())
    assert main(words.split()) == WRONG
    assert "add --yes" in capsys.readouterr().err
    for answer, code in (("no", WRONG), ("", WRONG), ("yes", 0)):
        assert typed(words, answer, home) == code
    assert main([*words.split(), "--yes"]) == WRONG  # there is nobody left to lose


def typed(words: str, answer: str, home: Path) -> int:
    """The exit code of the command at a terminal, where that is typed."""
    ours, theirs = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-m", "bot", *words.split()], cwd=ROOT, env=os.environ | {"HOME": str(home)}, stdin=theirs,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.write(ours, f"{answer}\n".encode())
    code = child.wait(60)
    os.close(ours)
    os.close(theirs)
    return code


def test_what_a_program_would_read_comes_as_json(home: Path, capsys: pytest.CaptureFixture[str]):
    def read(*words: str):
        assert main([*words, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    assert [(each["staff"], each["role"], each["patients"]) for each in read("staff")] == [
        ("anna", "lead", 0), ("ben", "therapist", 1),
    ]  # fmt: skip
    assert read("notices") == []
    made = read("invite", "--for", "A. B.")
    assert (made["role"], made["link"], len(made["code"])) == ("patient", None, 19)
