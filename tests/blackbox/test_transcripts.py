"""Whole conversations as readable files: answers go in, what the person reads comes out, word for word.

The answers are invented; what must come out was read line by line before it was stored. After a wanted change of
words: `HOLDLOWER_WRITE_TRANSCRIPTS=1 pytest tests/blackbox/test_transcripts.py`, then read the difference.
"""

import argparse
import io
import os
import re
from pathlib import Path

import pytest

from bot.cli.trying import try_out

FOLDER = Path(__file__).parent / "transcripts"
NAMES = (
    "enrolment", "evening-lines", "sixty-evenings", "weak-grip", "white-hand", "injection", "french-line", "guided-set",
    "silent-fortnight", "both-elbows",
)  # fmt: skip
KEPT_FILE = re.compile(r"\S*/holdlower-\w+(?:/[\w-]+)?(\.\w+|(?=;))")


def live(answers: str) -> str:
    """What the terminal shows for those answers; names of temporary files are left out."""
    options = argparse.Namespace(
        file=None, start="2026-01-05", zone="Europe/Lisbon", enrolled=False, rating=4, programme=None
    )
    out = io.StringIO()
    assert try_out(options, io.StringIO(answers), out) == 0
    return KEPT_FILE.sub(r"(file)\1", out.getvalue())


def as_approved(name: str, said: str) -> None:
    """Whether it is what was read and stored, or stores it where that was asked for."""
    kept = FOLDER / f"{name}.transcript"
    if os.environ.get("HOLDLOWER_WRITE_TRANSCRIPTS") == "1":
        kept.write_text(said, encoding="utf-8")
    assert said == kept.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_a_conversation_reads_as_it_was_approved(name: str):
    said = live((FOLDER / f"{name}.txt").read_text(encoding="utf-8"))

    as_approved(name, said)


def test_sixty_evenings_show_what_the_rule_does():
    said = (FOLDER / "sixty-evenings.transcript").read_text(encoding="utf-8")  # which was lived just now

    assert said.count("on this step") > 20
    assert "Move up!" in said
    assert "above your usual level" in said
    assert "Step back." in said
    assert "rest day, no sets" in said
    assert "I have stopped your programme." in said
