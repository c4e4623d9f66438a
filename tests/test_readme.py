"""README is true: its conversation is what the program says, its commands exist, its programme is the one shipped."""

import re
import subprocess
import sys
from pathlib import Path

from bot.run.service import COMMANDS
from tests.blackbox.test_transcripts import live

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def section(title: str) -> str:
    return README.partition(f"## {title}\n")[2].partition("\n## ")[0]


def test_the_conversation_in_the_readme_is_what_the_program_says():
    lines = section("What an evening reads like").splitlines()
    shown = [line[4:].rstrip() for line in lines if line.startswith("    ")]
    answers = [line[2:] for line in shown if line.startswith("> ")]
    assert len(answers) >= 4

    said = [line.rstrip() for line in live("\n".join(answers) + "\n").splitlines()]

    at = 0
    for line in filter(None, shown):
        found = [place for place in range(at, len(said)) if said[place].startswith(line)]
        assert found, f"README shows {line!r}, which the program does not say there"
        at = found[0] + 1


def test_every_command_of_the_readme_exists():
    helped = subprocess.run(
        [sys.executable, "-m", "bot", "--help"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout

    for name in set(re.findall(r"(?:bin/|`)holdlower (\w+)", README)):
        assert re.search(rf"^\s+{name}\s", helped, re.MULTILINE), name


def test_the_readme_lists_the_patients_commands():
    listed = set(re.findall(r"`/(\w+)`", section("What an evening reads like")))

    assert listed == set(COMMANDS)
