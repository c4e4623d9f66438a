"""The first answer of a process costs no more than the next: what is slow the first time is built at the start."""

import subprocess
import sys

import pytest

pytestmark = pytest.mark.long

CODE = """
import datetime as dt, time
from bot.run.service import read_ahead
from bot.wording.catalogue import text_in
from core.answers.understand import understand

def cost(text):
    began = time.process_time()
    understand(text, "en")
    text_in("en").day(dt.date(2026, 3, 2)), text_in("en").number(2.5)
    return time.process_time() - began

began = time.process_time()
read_ahead("en")
ahead = time.process_time() - began
print(ahead, cost("5, two sets, my wrist is tired"))
"""


def test_the_first_answer_finds_everything_built():
    done = subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=True)
    ahead, first = map(float, done.stdout.split())
    assert first < ahead / 5
