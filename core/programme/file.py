"""Reads a programme: a folder of numbers and words in, a checked Programme out, every mistake told at once."""

import hashlib
import json
import re
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from core.errors import ProgrammeError
from core.model import Provenance
from core.programme import Programme
from core.programme.checks import Problem, fit_problems, source_problems
from core.programme.schema import Place, ProgrammePart, build
from core.programme.thresholds import placed
from core.programme.words import FILE, read_words, word_problems

_FOLDERS = resources.files("core").joinpath("programmes")
NUMBERS = "programme.toml"
DEFAULT = _FOLDERS.joinpath("default").read_text(encoding="utf-8").strip()  # one of those that come along

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*="""
)
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")


def load_folder(folder: Path | Traversable, origin: str = "") -> Programme:
    """The programme of a folder: its numbers, and its words in at least one language.

    Raises ProgrammeError that lists every problem with its file, line and field, the value found and what was expected.
    """
    origin = origin or str(folder)
    try:
        files = {
            each.name: each.read_text(encoding="utf-8")
            for each in folder.iterdir()
            if each.name == NUMBERS or FILE.fullmatch(each.name)
        }
    except (OSError, UnicodeDecodeError) as error:
        raise ProgrammeError(f"{origin} cannot be read ({error}); expected a folder with {NUMBERS} in it") from error
    if NUMBERS not in files:
        raise ProgrammeError(f"{origin} has no {NUMBERS}; expected a folder with the programme's numbers and words")
    if len(files) == 1:
        raise ProgrammeError(f"{origin} has no words; expected a catalogue beside {NUMBERS}, such as words.en.po")
    return load_files(files, origin)


def load_programme(text: str, origin: str = "programme") -> Programme:
    """The programme whose `text` was stored, or the numbers alone where it is TOML, which has no words.

    Raises ProgrammeError that lists every problem.
    """
    if text.lstrip().startswith("{"):
        return load_files(json.loads(text), origin)
    return load_files({NUMBERS: text}, origin)


def load_files(files: Mapping[str, str], origin: str) -> Programme:
    """The programme of files by their names."""
    numbers = files[NUMBERS]
    where = f"{origin}/{NUMBERS}" if len(files) > 1 else origin
    try:
        data = tomllib.loads(numbers)
    except tomllib.TOMLDecodeError as error:
        raise ProgrammeError(f"{where} is not TOML: {error}; mend that place and check the file again") from error
    problems = list(source_problems(data))
    file = None
    try:
        file = ProgrammePart.model_validate(placed(data, _kinds(data)))
    except ValidationError as error:
        problems = [_shape_problem(one) for one in error.errors(include_url=False)] + problems
    else:
        problems += fit_problems(file)
    told = [_told(path, message, numbers) for path, message in problems]
    catalogues = [read_words(name, text) for name, text in sorted(files.items()) if name != NUMBERS]
    if file is not None:
        told += [problem for catalogue in catalogues for problem in word_problems(file, catalogue)]
    if told or file is None:
        raise ProgrammeError("\n  ".join([f"{where} cannot be used; {len(told)} to mend:", *told]))
    text = json.dumps(dict(files), ensure_ascii=False) if catalogues else numbers
    return build(file, _version(data), text, {each.language: each.texts for each in catalogues})


def shipped() -> tuple[str, ...]:
    """The names of the programmes that come with the package."""
    return tuple(sorted(each.name for each in _FOLDERS.iterdir() if each.joinpath(NUMBERS).is_file()))


def programme_at(place: str | Path) -> Programme:
    """The programme that comes with the package under that name, else that of the folder at that path."""
    if str(place) in shipped():
        return _shipped(str(place))
    path = Path(place)
    if not path.exists():
        names = ", ".join(shipped())
        raise ProgrammeError(f"{place}: no such folder, and none of that name comes along; expected one of {names}")
    return load_folder(path.parent if path.name == NUMBERS else path)


def default_programme_text() -> str:
    """The numbers of the programme that comes with the package, as they are written."""
    return _FOLDERS.joinpath(DEFAULT, NUMBERS).read_text(encoding="utf-8")


def default_programme() -> Programme:
    """The programme that comes with the package."""
    return _shipped(DEFAULT)


@lru_cache(maxsize=8)
def _shipped(name: str) -> Programme:
    return load_folder(_FOLDERS.joinpath(name), name)


def _kinds(data: Mapping[str, Any]) -> dict[str, Provenance]:
    """What each source is, as far as it is told rightly."""
    sources = data.get("sources")
    known = sources.items() if isinstance(sources, dict) else ()
    said = {key: one.get("kind") for key, one in known if isinstance(one, dict)}
    return {key: Provenance(kind) for key, kind in said.items() if kind in tuple(Provenance)}


def _version(data: dict[str, Any]) -> str:
    content = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return f"{data['name']}-{hashlib.sha256(content.encode()).hexdigest()[:12]}"


def _shape_problem(error: Any) -> Problem:
    path: Place = error["loc"]
    kind, message = error["type"], str(error["msg"])
    if kind == "missing":
        return path, "missing; this key is needed"
    if kind in ("extra_forbidden", "unexpected_keyword_argument"):
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


def _told(path: Place, message: str, text: str) -> str:
    line = _line_of(text, path)
    return f"{_written(path)} (line {line}): {message}" if line else f"{_written(path)}: {message}"


def _written(path: Place) -> str:
    """The path as people write it, counting from 1: `step[3].exercise[1].sets`."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text or "the file"


def _line_of(text: str, path: Place) -> int | None:
    """The line, from 1, of the path or of the nearest table around it; None when nothing of it is written.

    Reads headers and keys only, not values: within a value of several lines it may name the value's first
    line.
    """
    index = _lines(text)
    for end in range(len(path), 0, -1):
        if path[:end] in index:
            return index[path[:end]]
    return None


def _lines(text: str) -> dict[Place, int]:
    index: dict[Place, int] = {}
    counts: dict[Place, int] = {}
    table: Place = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            table = _resolve(_parts(header[2]), counts, new_item=header[1] == "[[")
            index.setdefault(table, number)
        elif key := _KEY.match(line):
            path = (*table, *_parts(key[1]))
            for end in range(len(table) + 1, len(path) + 1):
                index.setdefault(path[:end], number)
    return index


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


def _resolve(names: tuple[str, ...], counts: dict[Place, int], *, new_item: bool) -> Place:
    """Puts the index of the latest item after each name of an array of tables."""
    path: Place = ()
    for place, name in enumerate(names):
        path = (*path, name)
        if new_item and place == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
