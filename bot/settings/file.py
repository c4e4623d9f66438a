"""The settings file, and addresses as they stand in it."""

import io
import os
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlsplit

from dotenv.parser import parse_stream

from core.errors import SettingsError

LOOPBACK = "127.0.0.1"
_PORTS = range(1, 65536)


class Place(NamedTuple):
    """An address to listen on; port 0 is any free one."""

    host: str
    port: int


def place(value: object) -> object:
    """A Place from "9464" (on the loopback only), "0.0.0.0:9464" or "[::1]:9464"; raises ValueError."""
    if not isinstance(value, str):
        return value
    found = re.fullmatch(r"(?:(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9.-]+):)?(\d{1,5})", value, flags=re.ASCII)
    if not found or int(found[2]) not in _PORTS:
        raise ValueError("not a port, nor an address with a port")
    return Place((found[1] or LOOPBACK).strip("[]"), int(found[2]))


def public_address(value: str) -> str:
    """An address the messaging service can reach; plain HTTP only to the loopback, for trying. Raises ValueError."""
    parts = urlsplit(value)
    if parts.query or parts.fragment or parts.username or not parts.hostname:
        raise ValueError("not a plain address")
    if parts.scheme != "https" and not (parts.scheme == "http" and parts.hostname in (LOOPBACK, "localhost")):
        raise ValueError("not an https address")
    return value.rstrip("/")


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


def write_entries(path: Path, values: Mapping[str, str]) -> None:
    """Set these entries and leave the rest of the file as it is; only its owner may read it afterwards.

    Raises SettingsError when the file cannot be written, or a value would not be read back as it is.
    """
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        before = path.read_text(encoding="utf-8-sig") if path.exists() else ""
        descriptor, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)  # made 0600
        part = Path(name)
        try:
            with os.fdopen(descriptor, "w", encoding="utf-8") as file:
                file.write(_with_entries(before, values))
                file.flush()
                os.fsync(file.fileno())
            _check(part, values)
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise SettingsError(
            f"settings file {path} cannot be written ({error.strerror}): name another place with --settings"
        ) from error


def _with_entries(before: str, values: Mapping[str, str]) -> str:
    left, lines = dict(values), []
    for binding in parse_stream(io.StringIO(before)):
        original = binding.original.string
        if binding.key in left:
            blank = original[: len(original) - len(original.lstrip())]
            original = f"{blank}{binding.key}={_quoted(left.pop(binding.key))}\n"
        lines.append(original)
    text = "".join(lines)
    text += "\n" if text and not text.endswith("\n") else ""
    return text + "".join(f"{name}={_quoted(value)}\n" for name, value in left.items())


def _quoted(value: str) -> str:
    if re.fullmatch(r"[\w.,:/@+-]+", value, flags=re.ASCII):
        return value
    if not set(value) & set("'\\"):
        return f"'{value}'"
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _check(part: Path, values: Mapping[str, str]) -> None:
    entries, wrong = read_entries(part)
    lost = [name for name, value in values.items() if name not in entries or entries[name].value != value]
    if wrong or lost:
        raise SettingsError(
            f"the settings would not be read back as they are ({', '.join(lost) or wrong[0]}); nothing was written: "
            "take unusual signs out of the answers, or lines that are no settings out of the file"
        )


def _line(text: str, first: int) -> int:
    """The parser counts from the blank lines before a statement."""
    return first + text[: len(text) - len(text.lstrip())].count("\n")
