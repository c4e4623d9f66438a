import subprocess
import sys
from pathlib import Path

import pytest

from tests.arrows import ARROWS, SPEAKS_TO_NO_PATIENT, clock_readers, modules, sentences, stray_imports, within

ROOT = Path(__file__).parents[1]


def test_no_import_goes_against_the_arrows():
    assert stray_imports(ROOT) == []


def test_the_clock_is_read_in_one_place():
    assert clock_readers(ROOT) == []


def test_what_people_read_is_in_the_catalogue_and_not_in_code():
    assert sentences(ROOT) == []


def test_every_name_in_the_rules_is_a_module_that_exists():
    """A rule about a module that was renamed would guard nothing."""
    known = {name for name, _ in modules(ROOT)}
    ours = {name for owner, exempt, banned in ARROWS for name in (owner, *exempt, *banned)}
    named = {name for name in ours if within(name, "core") or within(name, "bot")} | SPEAKS_TO_NO_PATIENT.keys()

    assert sorted(named - known) == []


def test_no_module_is_excused_without_need(monkeypatch):
    monkeypatch.setattr("tests.arrows.SPEAKS_TO_NO_PATIENT", {})
    speaking = {line.partition(":")[0] for line in sentences(ROOT)}

    assert [name for name in SPEAKS_TO_NO_PATIENT if not any(within(module, name) for module in speaking)] == []


def tree(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("core/rule.py", "import telegram"),
        ("core/rule.py", "from bot import wording"),
        ("core/rule.py", "from bot.wording import say"),
        ("core/rule.py", "import apscheduler.schedulers.asyncio"),
        ("core/rule.py", "from matplotlib import figure"),
        ("core/rule.py", "import sqlalchemy as sa"),
        ("core/rule.py", "from core.store import open_store"),
        ("core/rule.py", "from . import store"),
        ("core/rule.py", "from core import records"),
        ("core/rule.py", "def late():\n    import core.use_cases.asking"),
        ("core/answers/reading.py", "from ..ports import Store"),
        ("core/use_cases/asking.py", "from core.store.tables import people"),
        ("core/use_cases/asking.py", "from uuid import uuid4"),
        ("core/use_cases/asking.py", "import aiohttp"),
        ("core/model.py", "from core.errors import HoldlowerError"),
        ("core/errors.py", "import core.model"),
        ("core/records.py", "from core.ports import Store"),
        ("core/store/people.py", "from core.use_cases.asking import ask"),
        ("core/store/people.py", "import bot.settings.values"),
        ("core/store/__init__.py", "from ..rule import decide"),
        ("bot/conversation/evening.py", "from core.store import open_store"),
        ("bot/conversation/evening.py", "import sqlalchemy"),
        ("bot/conversation/evening.py", "from bot.telegram.channel import TelegramChannel"),
        ("bot/conversation/evening.py", "from telegram import Bot"),
        ("bot/conversation/evening.py", "import importlib\nimportlib.import_module('telegram')"),
        ("bot/telegram/channel.py", "from bot.conversation import router"),
        ("bot/telegram/channel.py", "import core.use_cases.answering"),
        ("bot/sending/delivery.py", "import matplotlib.figure"),
        ("bot/drawing.py", "from bot.run.app import build"),
        ("bot/ports.py", "from bot.telegram import updates"),
    ],
)
def test_a_stray_import_is_caught(tmp_path, file, line):
    found = stray_imports(tree(tmp_path, {file: line}))

    assert found
    assert found[0].startswith(file.removesuffix(".py").removesuffix("/__init__").replace("/", "."))


def test_imports_along_the_arrows_are_left_alone(tmp_path):
    files = {
        "core/rule.py": "from core.model import Move\nfrom .timetable import due\nimport datetime as dt",
        "core/use_cases/asking.py": "from core.records import Person\nfrom .work import Work",
        "core/store/people.py": "import sqlalchemy\nfrom core.store.tables import people",
        "bot/conversation/evening.py": "from core.use_cases import asking\nfrom bot.ports import Incoming",
        "bot/telegram/channel.py": "import telegram\nfrom bot.telegram.updates import cut",
        "bot/drawing/charts.py": "from matplotlib.figure import Figure",
        "bot/run/app.py": "from core.ports import Store\nfrom bot.conversation import router",
        "bot/run/serve.py": "from core.store import open_store\nfrom bot.run.app import build",
    }

    assert stray_imports(tree(tmp_path, files)) == []


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
    assert not clock_readers(tree(tmp_path / "outer", {"bot/run/clock.py": line}))


def test_measuring_how_long_something_took_is_no_reading_of_the_clock(tmp_path):
    assert clock_readers(tree(tmp_path, {"bot/sending/pace.py": "import time\nbegan = time.monotonic()"})) == []


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
