"""Reads a programme file: TOML text in, a checked Programme out, every mistake told at once."""

import hashlib
import json
import tomllib
from functools import lru_cache
from importlib import resources
from typing import Any

from pydantic import ValidationError

from core.errors import ProgrammeError
from core.programme import Programme
from core.programme.build import build
from core.programme.checks import Problem, fit_problems, source_problems
from core.programme.lines import Path, line_of, written
from core.programme.schema import ProgrammePart

_DEFAULT = "outer-elbow"


def load_programme(text: str, origin: str = "programme file") -> Programme:
    """The programme written in `text`; `origin` names it in errors.

    Raises ProgrammeError that lists every problem with its line, its path (as `step[3].exercise[1].sets`), the value
    found and what was expected.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ProgrammeError(
            f"{origin} is not TOML: {error}; mend that place and check the file again"
        ) from error
    problems = list(source_problems(data))
    file = None
    try:
        file = ProgrammePart.model_validate(data)
    except ValidationError as error:
        problems = [_shape_problem(one, data) for one in error.errors(include_url=False)] + problems
    else:
        problems += fit_problems(file)
    if problems or file is None:
        raise ProgrammeError(_told(problems, text, origin))
    return build(file, _version(data), text)


def default_programme_text() -> str:
    """The text of the programme that comes with the package."""
    return resources.files("core").joinpath("programmes", _DEFAULT, "programme.toml").read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def default_programme() -> Programme:
    """The programme that comes with the package."""
    return load_programme(default_programme_text(), _DEFAULT)


def _version(data: dict[str, Any]) -> str:
    content = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return f"{data['name']}-{hashlib.sha256(content.encode()).hexdigest()[:12]}"


def _shape_problem(error: Any, data: dict[str, Any]) -> Problem:
    path: Path = error["loc"]
    kind, message = error["type"], str(error["msg"])
    if kind == "missing":
        return path, "missing; this key is needed"
    if kind == "extra_forbidden":
        return path, "unknown key; expected one that a programme file has here (see the default programme)"
    if kind == "model_type" and "Stated" in message:
        return (
            path,
            f'found {_short(error["input"])}; expected a table such as {{ value = 4, from = ["P1"] }}',
        )
    expected = message.removeprefix("Value error, ").removeprefix("Input should be ")
    return path, f"found {_short(error['input'])}; expected {expected}"


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 80 else text[:77] + "..."


def _told(problems: list[Problem], text: str, origin: str) -> str:
    lines = [f"{origin} cannot be used; {len(problems)} to mend:"]
    for path, message in problems:
        line = line_of(text, path)
        where = f"{written(path)} (line {line})" if line else written(path)
        lines.append(f"  {where}: {message}")
    return "\n".join(lines)
