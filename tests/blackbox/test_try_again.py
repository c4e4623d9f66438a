"""`holdlower try --file`: what was left half done goes on where it stood, and no line of it is lost."""

import io
from argparse import Namespace
from pathlib import Path

import pytest

from bot.cli.trying import try_out

ENROLMENT = ("yes", "yes", "no", "no", "no", "no", "left", "4", "yes", "19:00")


def lived(file: Path, *lines: str) -> str:
    out = io.StringIO()
    options = Namespace(file=file, start="2026-01-05", zone="UTC", enrolled=False, rating=4, programme=None)
    assert try_out(options, io.StringIO("".join(f"{line}\n" for line in lines)), out) == 0
    return out.getvalue()


@pytest.mark.parametrize("cut", [1, 3, 6, 8])
def test_an_enrolment_that_was_left_asks_its_open_question_again_and_takes_the_rest(tmp_path: Path, cut: int):
    left = lived(tmp_path / "trial.db", "/start", *ENROLMENT[:cut])
    question = left.split(f"> {ENROLMENT[cut - 1]}\n")[-1].partition("End of")[0].strip().splitlines()[0]

    went_on = lived(tmp_path / "trial.db", *ENROLMENT[cut:], "4, did all")

    before_the_first_answer = went_on.partition(f"> {ENROLMENT[cut]}")[0]
    assert question.strip() in before_the_first_answer
    assert "All set. Your first day is Mon 5 Jan." in went_on
    assert "Noted for Mon 5 Jan: pain 4, 4 of 4 sets." in went_on
