import datetime as dt
import os
import re
import shutil
import subprocess
import sys
import time
import tomllib
from importlib.metadata import requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from bot.run.metrics import Metrics
from bot.run.opening import found_app
from bot.settings import NOT_SETTINGS, PREFIX, Settings, load_settings, newest_copy
from core.store.founding import make_tables
from tests.builders import a_staff
from tests.postgres import Cluster

pytestmark = pytest.mark.long

ROOT = Path(__file__).parents[1]
DEPLOY = ROOT / "deploy"


def pins() -> dict[str, str]:
    lines = [line for line in (DEPLOY / "constraints.txt").read_text().splitlines() if line and line[0] != "#"]
    for line in lines:
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.!+]+", line), f"not a plain pin: {line}"
    return {canonicalize_name(name): version for name, version in (line.split("==") for line in lines)}


def closure() -> dict[str, list[Requirement]]:
    """Every distribution that the program and its tests need on this machine, with the requirements on it."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = [needs for name, needs in project["optional-dependencies"].items() if name != "train"]  # by hand only
    stated = [*project["dependencies"], *(text for texts in extras for text in texts)]
    todo = [need for need in map(Requirement, stated) if need.name != "holdlower"]
    found: dict[str, list[Requirement]] = {}
    while todo:
        need = todo.pop()
        known = found.setdefault(canonicalize_name(need.name), [])
        if need in known:
            continue
        known.append(need)
        for inner in map(Requirement, requires(need.name) or ()):
            if not inner.marker or any(inner.marker.evaluate({"extra": extra}) for extra in {"", *need.extras}):
                todo.append(inner)
    return found


def test_the_constraints_pin_everything_that_is_installed_and_nothing_else():
    pinned = pins()
    needed = closure()

    assert sorted(needed.keys() - pinned.keys()) == []
    assert sorted(pinned.keys() - needed.keys()) == []
    for name, requirements in needed.items():
        for requirement in requirements:
            assert requirement.specifier.contains(pinned[name], prereleases=True), f"{name}: {requirement}"


def test_the_example_unit_and_image_start_a_command_that_is_installed():
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["scripts"]
    unit = (DEPLOY / "holdlower.service").read_text()
    image = (DEPLOY / "Dockerfile").read_text()

    assert re.search(r"^ExecStart=\S+/(\S+) serve$", unit, re.MULTILINE)[1] in scripts
    assert re.search(r'^CMD \["(\w+)", "serve"\]$', image, re.MULTILINE)[1] in scripts
    assert re.search(r"^USER [1-9]\d+$", image, re.MULTILINE)  # by number: an engine can see that it is not root
    healthy = re.search(r"http://127.0.0.1:(\d+)/readyz", image)
    assert healthy
    assert f"HOLDLOWER_WATCH_LISTEN={healthy[1]}\n" in image
    for copied in re.findall(r"^COPY (?!--from)(.+) \S+$", image, re.MULTILINE):
        assert all((ROOT / source).exists() for source in copied.split())


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd-analyze is not installed")
@pytest.mark.parametrize("name", ["holdlower", "holdlower-copy"])
def test_each_unit_is_well_formed_and_hardened(tmp_path: Path, name: str):
    for kind in ("service", "timer"):
        if (source := DEPLOY / f"{name}.{kind}").exists():
            text = re.sub(r"^ExecStart=/opt\S+", f"ExecStart={shutil.which('true')}", source.read_text(), flags=re.M)
            (tmp_path / source.name).write_text(text)
    units = sorted(tmp_path.iterdir())

    checked = subprocess.run(["systemd-analyze", "verify", *units], capture_output=True, text=True, check=False)
    complaints = [line for line in checked.stderr.splitlines() if f"{name}." in line]
    assert complaints == []

    judged = subprocess.run(
        ["systemd-analyze", "security", "--offline=yes", "--no-pager", units[0]],
        capture_output=True, text=True, check=False,
    )
    exposure = re.search(rf"Overall exposure level for {name}\.service: ([\d.]+)", judged.stdout)
    assert exposure, judged.stderr
    assert float(exposure[1]) <= 2.0  # systemd calls up to 2 "OK" to "SAFE"


def test_the_wheel_carries_every_file_that_the_program_reads():
    """setuptools takes along what is named as package data: patterns below a top package's folder."""
    named = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["setuptools"]["package-data"]
    for top in ("bot", "core"):
        taken = {file for pattern in named[top] for file in (ROOT / top).glob(pattern)}
        read = {file for file in (ROOT / top).rglob("*") if file.is_file() and file.suffix not in (".py", ".pyc")}
        assert sorted(read - taken) == []


def test_every_setting_and_file_that_the_examples_name_exists():
    known = {PREFIX + name.upper() for name in Settings.model_fields} | NOT_SETTINGS
    for file in DEPLOY.iterdir():
        if file.suffix == ".png":
            continue
        text = file.read_text()
        assert set(re.findall(r"HOLDLOWER_[A-Z_]+[A-Z]", text)) <= known, file.name
        for named in re.findall(r"deploy/[a-z][\w.-]+\w", text):
            assert (ROOT / named).exists() or named.endswith("holdlower-copy"), f"{file.name} names {named}"


def test_the_alerts_ask_for_figures_that_the_program_has():
    """Of each metric a family is declared on the page by a line that begins with "# TYPE" (text format 0.0.4)."""
    shown = Metrics().page(None, dt.datetime(2026, 1, 5, tzinfo=dt.UTC)).decode()
    families = set(re.findall(r"^# TYPE (\w+) ", shown, re.MULTILINE))
    asked = set(re.findall(r"\bholdlower_\w+", (DEPLOY / "alerts.yml").read_text()))

    assert len(asked) >= 3
    assert {name.removesuffix("_bucket") for name in asked} <= families


def test_a_copy_is_put_back_by_the_monthly_test_and_a_damaged_one_is_said(tmp_path: Path):
    copies = tmp_path / "copies"
    copies.mkdir()
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    environ = {"HOME": str(tmp_path), "PATH": path}
    store = found_app(load_settings(environ)).store
    with store.writing() as uow:
        uow.staff.save(a_staff())
        uow.commit()
    store.close()

    def run(*words: object) -> subprocess.CompletedProcess[str]:
        return subprocess.run(list(map(str, words)), env=environ, capture_output=True, text=True, check=False)

    test = ("sh", DEPLOY / "restore-test.sh", copies)
    assert run(*test).returncode == 1
    for _ in range(2):
        assert run("holdlower", "backup", copies, "--keep", 1).returncode == 0
        time.sleep(1.1)  # a copy's name is its second
    kept = sorted(copies.iterdir())
    assert len(kept) == 1
    assert f"{kept[-1]} was put back and read" in run(*test).stdout
    kept[-1].write_bytes(kept[-1].read_bytes()[:20_000])
    assert run(*test).returncode != 0


def test_the_servers_own_copy_is_made_rotated_and_put_back(postgres: Cluster, tmp_path: Path):
    if not shutil.which("pg_dump"):
        pytest.skip("the programs of PostgreSQL are not on the path")
    url = postgres.make("copied_clinic")
    make_tables(f"postgresql+psycopg{url.removeprefix('postgresql')}")
    socket = url.partition("host=")[2]
    environ = {
        "PATH": os.environ["PATH"], "PGHOST": socket, "PGUSER": "tester", "PGDATABASE": "copied_clinic",
        "TEST_RESTORE": "yes", "KEEP": "1",
    }  # fmt: skip
    for _ in range(2):
        ran = subprocess.run(
            ["sh", str(DEPLOY / "copy-postgres.sh"), str(tmp_path)], env=environ, capture_output=True, text=True,
            check=False,
        )
        assert ran.returncode == 0, ran.stderr
        assert "put back and counted: patients: 0" in ran.stdout
        time.sleep(1.1)
    assert len(list(tmp_path.iterdir())) == 1
    assert newest_copy(tmp_path) is not None


@pytest.mark.parametrize("script", sorted(DEPLOY.glob("*.sh")), ids=lambda path: path.name)
def test_each_script_is_one_for_any_shell(script: Path):
    assert subprocess.run(["sh", "-n", script], check=False).returncode == 0
    if checker := shutil.which("shellcheck"):
        assert subprocess.run([checker, script], check=False).returncode == 0


def test_the_continuous_check_installs_as_the_readme_says():
    script = (ROOT / ".ci" / "run").read_text()
    readme = (ROOT / "README.md").read_text()
    install = "-c deploy/constraints.txt -e '.[test]'"

    assert install in script
    assert install in readme
    assert subprocess.run(["bash", "-n", ROOT / ".ci" / "run"], check=False).returncode == 0
