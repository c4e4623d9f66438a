"""Logs that can be shown to anybody: one line an event, a fixed phrase and fields, ids instead of people and words."""

import copy
import datetime as dt
import json
import logging
import re
import sys
import time
import traceback
from collections.abc import Iterable
from typing import TextIO
from urllib.parse import quote

STARS = "***"
# What the messaging service hands out: digits, a colon, about 35 characters.
TOKEN = re.compile(r"\d{5,}(?::|%3A)[A-Za-z0-9_-]{20,}", re.ASCII | re.IGNORECASE)
# These write URLs, parameters and whole updates below WARNING.
TALKATIVE = (
    "aiohttp", "alembic", "apscheduler", "asyncio", "httpcore", "httpx", "matplotlib", "sqlalchemy", "telegram",
)  # fmt: skip
_STANDARD = frozenset(vars(logging.makeLogRecord({}))) | {"message", "asctime", "taskName"}
_MOST_FRAMES = 4


class Line(logging.Formatter):
    """One record as one line: time, level, logger, phrase, fields; secrets replaced by stars.

    The finished line is searched, traceback and all, so that a secret is found wherever it came in.
    """

    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"

    @staticmethod
    def converter(seconds: float | None) -> time.struct_time:
        """A record's own moment, in UTC."""
        return dt.datetime.fromtimestamp(seconds or 0.0, dt.UTC).timetuple()

    def __init__(self, secrets: Iterable[str] = ()) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s %(message)s")
        known = {form for secret in secrets if secret for form in (secret, quote(secret, safe=""))}
        self._secrets = sorted(known, key=len, reverse=True)

    def format(self, record: logging.LogRecord) -> str:
        """The finished line, without any line break inside."""
        # The library keeps a traceback that another handler has written, in full, within the record.
        record = copy.copy(record)
        record.exc_text = None
        return self.redact(" | ".join(self.laid_out(record).splitlines()))

    def laid_out(self, record: logging.LogRecord) -> str:
        """The line before secrets are taken out of it."""
        return super().format(record) + "".join(f" {name}={value}" for name, value in _fields(record).items())

    def redact(self, text: str) -> str:
        """`text` with registered secrets and everything shaped like a bot token replaced."""
        for secret in self._secrets:
            text = text.replace(secret, STARS)
        return TOKEN.sub(STARS, text)

    def formatException(self, ei: object) -> str:  # noqa: N802 the library's name
        """Where it went wrong, not what was said: an error's text may quote an answer or a URL."""
        error = ei[1] if isinstance(ei, tuple) else None
        return trail(error) if isinstance(error, BaseException) else ""


class JsonLine(Line):
    """The same as one JSON object a line: at, level, logger, event, each field by its name, and where it went wrong."""

    def laid_out(self, record: logging.LogRecord) -> str:
        head = {"at": self.formatTime(record), "level": record.levelname, "logger": record.name}
        wrong = {"trail": self.formatException(record.exc_info)} if record.exc_info else {}
        return json.dumps(head | {"event": record.getMessage()} | _fields(record) | wrong, default=str)


def _fields(record: logging.LogRecord) -> dict[str, object]:
    return {name: value for name, value in vars(record).items() if name not in _STANDARD}


def set_up(
    level: str = "INFO", *, secrets: Iterable[str] = (), stream: TextIO | None = None, as_json: bool = False
) -> logging.Handler:
    """Send everything to one handler on `stream` (standard error); returns it. A second call replaces the first.

    Libraries that would write addresses or messages stay at WARNING whatever `level` says.
    """
    root = logging.getLogger()
    for old in [handler for handler in root.handlers if isinstance(handler.formatter, Line)]:
        root.removeHandler(old)
    handler = logging.StreamHandler(stream or sys.stderr)
    handler.setFormatter(JsonLine(secrets) if as_json else Line(secrets))
    root.addHandler(handler)
    root.setLevel(level)
    for name in TALKATIVE:
        logging.getLogger(name).setLevel(logging.WARNING)
    return handler


def trail(error: BaseException) -> str:
    """What kind of error and where, innermost first, without its text: "ValueError at a.py:31 < b.py:150"."""
    frames = traceback.extract_tb(error.__traceback__)[-_MOST_FRAMES:]
    places = " < ".join(f"{frame.filename.rsplit('/', 1)[-1]}:{frame.lineno}" for frame in reversed(frames))
    name = type(error).__name__
    return f"{name} at {places}" if places else name
