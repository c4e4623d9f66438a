"""The settings file: NAME=value lines as shells, systemd and container engines write them."""

import io
from pathlib import Path
from typing import NamedTuple

from dotenv.parser import parse_stream

from core.errors import SettingsError


class Entry(NamedTuple):
    value: str
    where: str


def read_entries(path: Path, *, may_be_missing: bool = False) -> tuple[dict[str, Entry], list[str]]:
    """The file's settings by name, and a sentence for each line that cannot be used.

    No `${NAME}` is filled in: what the file says does not depend on who reads it. Lines are not
    quoted back, since any of them may hold a secret. Raises SettingsError when it cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        if may_be_missing and isinstance(error, FileNotFoundError):
            return {}, []
        raise SettingsError(f"settings file {path} cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise SettingsError(f"settings file {path}: byte {error.start} is not UTF-8; save it so") from None
    entries: dict[str, Entry] = {}
    wrong: list[str] = []
    for binding in parse_stream(io.StringIO(text)):
        where = f"{path}, line {_line(binding.original.string, binding.original.line)}"
        if binding.error or (binding.key and binding.value is None):
            wrong.append(f"{where}: expected NAME=value")
        elif binding.key in entries:
            wrong.append(f"{where}: {binding.key} is set twice, first in {entries[binding.key].where}")
        elif binding.key:
            entries[binding.key] = Entry(binding.value or "", where)
    return entries, wrong


def _line(text: str, first: int) -> int:
    """The parser counts from the blank lines before a statement."""
    return first + text[: len(text) - len(text.lstrip())].count("\n")
