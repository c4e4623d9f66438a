import subprocess
import sys
from pathlib import Path

import pytest
from importlinter import cli

from tests.source_rules import SPEAKS_TO_NO_PATIENT, clock_readers, modules, sentences, within

ROOT = Path(__file__).parents[1]


def test_no_import_goes_against_the_contracts(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    """They stand in pyproject.toml; import-linter reads them."""
    monkeypatch.chdir(ROOT)

    assert cli.lint_imports(no_cache=True) == cli.EXIT_STATUS_SUCCESS, capsys.readouterr().out


def test_the_clock_is_read_in_one_place():
    assert clock_readers(ROOT) == []


def test_what_people_read_is_in_the_catalogue_and_not_in_code():
    assert sentences(ROOT) == []


def test_every_excused_module_exists():
    """A rule about a module that was renamed would guard nothing."""
    known = {name for name, _ in modules(ROOT)}

    assert sorted(SPEAKS_TO_NO_PATIENT.keys() - known) == []


def test_no_module_is_excused_without_need(monkeypatch):
    monkeypatch.setattr("tests.source_rules.SPEAKS_TO_NO_PATIENT", {})
    speaking = {line.partition(":")[0] for line in sentences(ROOT)}

    assert [name for name in SPEAKS_TO_NO_PATIENT if not any(within(module, name) for module in speaking)] == []


def tree(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder


@pytest.mark.parametrize(
    "line",
    [
        "import datetime as dt\nnow = dt.datetime.now(dt.UTC)",
        "from datetime import datetime\nnow = datetime.now",
        "from datetime import datetime\nnow = datetime.utcnow()",
        "import datetime\nday = datetime.date.today()",
        "import time\nstamp = time.time()",
        "from time import time_ns",
    ],
)
def test_a_reading_of_the_clock_is_caught_anywhere_but_in_the_clock(tmp_path, line):
    assert clock_readers(tree(tmp_path, {"core/rule.py": line}))
    assert not clock_readers(tree(tmp_path / "outer", {"bot/run/app.py": line}))


def test_measuring_how_long_something_took_is_no_reading_of_the_clock(tmp_path):
    assert clock_readers(tree(tmp_path, {"bot/messaging/pace.py": "import time\nbegan = time.monotonic()"})) == []


@pytest.mark.parametrize(
    "line",
    [
        "TEXT = 'Well done, rest your arm tomorrow.'",
        "def say(n):\n    return f'Do {n} sets of holds tomorrow.'",
        "BUTTONS = ['Yes', ('I did all of them', 1)]",
        "send(text='How was the pain today?')",
    ],
)
def test_a_sentence_for_people_is_caught(tmp_path, line):
    assert sentences(tree(tmp_path, {"bot/conversation/evening.py": line}))


@pytest.mark.parametrize(
    "line",
    [
        '"""What this module is about, in words."""',
        "def f():\n    '''How it works in a few words.'''",
        "log.info('delivery of one message done', extra={'id': 1})",
        "raise ValueError(f'no such evening in the diary: {x}')",
        "class Refused(KeyError): ...\nclass Late(Refused): ...\nx = Late('came after the end of the day')",
        "KEY = 'evening.ask_again_for_pain_and_sets'",
        "NAMES = ('evening', 'ask', 'again', 'pain', 'sets')",
        "PATTERN = re.compile('one (or|and) two of three')",
    ],
)
def test_words_that_no_patient_reads_are_left_alone(tmp_path, line):
    assert sentences(tree(tmp_path, {"bot/conversation/evening.py": line})) == []


def test_asking_for_help_loads_none_of_the_heavy_libraries():
    heavy = ("telegram", "sqlalchemy", "alembic", "matplotlib", "pydantic", "apscheduler", "aiohttp", "cryptography")
    program = (
        "import sys\nfrom bot.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "print('loaded:', *sorted({name.partition('.')[0] for name in sys.modules}))"
    )

    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=False)

    assert ran.returncode == 0, ran.stderr
    shown, _, loaded = ran.stdout.rpartition("loaded:")
    assert "serve" in shown
    assert not set(heavy) & set(loaded.split())
