import re
import shutil
import subprocess
import tomllib
from importlib.metadata import requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

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
    assert "\nUSER holdlower\n" in image
    for copied in re.findall(r"^COPY (?!--from)(.+) \S+$", image, re.MULTILINE):
        assert all((ROOT / source).exists() for source in copied.split())


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd-analyze is not installed")
def test_the_unit_is_well_formed_and_hardened(tmp_path):
    text = (DEPLOY / "holdlower.service").read_text()
    unit = tmp_path / "holdlower.service"
    unit.write_text(re.sub(r"^ExecStart=\S+", f"ExecStart={shutil.which('true')}", text, flags=re.MULTILINE))

    checked = subprocess.run(["systemd-analyze", "verify", str(unit)], capture_output=True, text=True, check=False)
    complaints = [line for line in checked.stderr.splitlines() if "holdlower.service" in line]
    assert complaints == []

    judged = subprocess.run(
        ["systemd-analyze", "security", "--offline=yes", "--no-pager", str(unit)],
        capture_output=True, text=True, check=False,
    )
    exposure = re.search(r"Overall exposure level for holdlower\.service: ([\d.]+)", judged.stdout)
    assert exposure, judged.stderr
    assert float(exposure[1]) <= 2.0  # systemd calls up to 2 "OK" to "SAFE"


def test_the_continuous_check_installs_as_the_readme_says():
    script = (ROOT / ".ci" / "run").read_text()
    readme = (ROOT / "README.md").read_text()
    install = "-c deploy/constraints.txt -e '.[test]'"

    assert install in script
    assert install in readme
    assert subprocess.run(["bash", "-n", ROOT / ".ci" / "run"], check=False).returncode == 0
