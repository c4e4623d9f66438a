"""The files of a clinic: its settings, with addresses as they stand in them, and the keys that seal names and text."""

import base64
import binascii
import contextlib
import io
import os
import re
import secrets
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlsplit

from dotenv.parser import parse_stream

from core.errors import SettingsError

LOOPBACK = "127.0.0.1"
_PORTS = range(1, 65536)
KEY_BYTES = 32  # as the Fernet specification asks: 128 bits to sign, 128 bits to encrypt


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
        before = path.read_text(encoding="utf-8-sig") if path.exists() else ""
        with _whole(path, _with_entries(before, values).encode()) as part:
            _check(part, values)
            _publish(part, path, over=True)
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


def read_or_make_keys(path: Path) -> tuple[bytes, ...]:
    """The keys of `path`, newest first, each 32 bytes in URL-safe base64 as Fernet takes them.

    The first use makes the file with one new key, readable by its owner alone; when two processes
    start at once both get the same key. Raises SettingsError; a key itself is never shown.
    """
    if keys := keys_if_any(path):
        return keys
    _write(path, _new_key() + b"\n", over=False)
    return read_keys(path)


def keys_if_any(path: Path) -> tuple[bytes, ...]:
    """The keys of `path`; none where there is no such file. Raises SettingsError as `read_keys` does."""
    try:
        mode = path.stat().st_mode
        lines = path.read_bytes().splitlines()
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise SettingsError(f"key file {path} cannot be read ({error.strerror})") from error
    if mode & 0o077:
        raise SettingsError(
            f"key file {path} is open to other users (mode {mode & 0o777:03o}): run chmod 600 {path}"
        )
    keys = tuple(
        _checked(line.strip(), path, number)
        for number, line in enumerate(lines, start=1)
        if line.strip() and not line.lstrip().startswith(b"#")
    )
    if not keys:
        raise SettingsError(
            f"key file {path} holds no key: put the old key back; only for a new database, delete the file"
        )
    return keys


def keys_apart(database: Path) -> Path:
    """Where the key file of a trial's or the demo's database lies: in a folder of its own, as every clinic's must."""
    return database.with_name(f"{database.name}.keys") / "keys"


def read_keys(path: Path) -> tuple[bytes, ...]:
    """The keys of a file that must be there: what was sealed before opens with no new one."""
    if keys := keys_if_any(path):
        return keys
    raise SettingsError(f"there is no key file {path}: put your copy of it there, with mode 600")


def begin_change(path: Path) -> tuple[bytes, ...]:
    """Put a new key before the others, unless a change of keys is under way already; the keys that hold now.

    From then on everything new is sealed with it, and every key opens. Raises SettingsError.
    """
    keys = read_keys(path)
    if len(keys) == 1:
        _write(path, _new_key() + b"\n" + path.read_bytes(), over=True)
        keys = read_keys(path)
    return keys


def end_change(path: Path) -> Path:
    """Drop all keys but the newest, once nothing is sealed with them any more.

    They are kept in the file that is returned, since older backups open with nothing else. Raises SettingsError.
    """
    _, *old = read_keys(path)
    retired = path.with_name(f"{path.name}.retired")
    known = retired.read_bytes() if retired.exists() else b""
    added = b"".join(key + b"\n" for key in old if key not in known.splitlines())
    _write(retired, known + added, over=True)
    lines = path.read_bytes().splitlines(keepends=True)
    _write(path, b"".join(line for line in lines if line.strip() not in old), over=True)
    return retired


def _new_key() -> bytes:
    return base64.urlsafe_b64encode(secrets.token_bytes(KEY_BYTES))


def _write(path: Path, content: bytes, *, over: bool) -> None:
    """All or nothing, for its owner alone; a file that is there is replaced only with `over`."""
    try:
        with _whole(path, content) as part:
            _publish(part, path, over=over)
    except OSError as error:
        raise SettingsError(
            f"key file {path} cannot be written ({error.strerror}): name a place that this user may write to "
            "with HOLDLOWER_KEY_FILE"
        ) from error


@contextlib.contextmanager
def _whole(path: Path, content: bytes) -> Iterator[Path]:
    """A file beside `path` that holds it all, on the disk and for its owner alone; it goes unless it is published."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    descriptor, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)  # made 0600
    part = Path(name)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        yield part
    finally:
        part.unlink(missing_ok=True)


def _publish(part: Path, path: Path, *, over: bool) -> None:
    """Put it in its place."""
    try:
        if over:
            part.replace(path)
        else:
            path.hardlink_to(part)  # unlike a rename, never replaces the key another process just made
    except FileExistsError:
        return
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)  # rows sealed with a key that a power cut forgets are lost
    finally:
        os.close(folder)


def _checked(key: bytes, path: Path, line: int) -> bytes:
    try:
        size = len(base64.b64decode(key, altchars=b"-_", validate=True))
    except binascii.Error:
        size = -1
    if size != KEY_BYTES:
        raise SettingsError(
            f"key file {path}, line {line}: not a key; expected {KEY_BYTES} bytes in URL-safe base64 "
            "(44 characters, the last one =)"
        )
    return key
