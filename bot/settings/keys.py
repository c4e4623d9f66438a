"""The file of keys that seal names and free text: one key a line, the newest first."""

import base64
import binascii
import os
import secrets
import tempfile
from pathlib import Path

from core.errors import SettingsError

KEY_BYTES = 32  # as the Fernet specification asks: 128 bits to sign, 128 bits to encrypt


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
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)  # made 0600
        part = Path(name)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            _publish(part, path, over=over)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise SettingsError(
            f"key file {path} cannot be written ({error.strerror}): name a place that this user may write to "
            "with HOLDLOWER_KEY_FILE"
        ) from error


def _publish(part: Path, path: Path, *, over: bool) -> None:
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
