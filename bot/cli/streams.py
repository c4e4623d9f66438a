"""What is read from and written to the terminal: nothing raw, nothing that cannot be shown, no traceback."""

import contextlib
import errno
import io
import os
import re
import sys
from collections.abc import Iterator
from typing import Any, TextIO, cast

from bot.wording.catalogue import Text

# C0 and C1 of ISO 6429 but for line ends, tabs and the return that redraws a line
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
SHOWN_AS = "\ufffd"


class Plain:
    """A stream that prints control characters, which could move a cursor or hide a line, as a sign for them."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write the text without them."""
        return self._stream.write(_CONTROL.sub(SHOWN_AS, text))

    def writelines(self, lines: list[str]) -> None:
        """As for `write`."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def without_control(text: str) -> str:
    """The text as `Plain` prints it."""
    return _CONTROL.sub(SHOWN_AS, text)


@contextlib.contextmanager
def plain_streams() -> Iterator[None]:
    """The three standard streams as they can be used: closed ones are empty, what cannot be encoded is replaced."""
    before = sys.stdin, sys.stdout, sys.stderr
    sys.stdin = before[0] or io.StringIO()
    for stream in filter(None, before):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    sys.stdout = cast(TextIO, Plain(before[1] or io.StringIO()))
    sys.stderr = cast(TextIO, Plain(before[2] or io.StringIO()))
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = before


def said_of(error: OSError, text: Text) -> str:
    """What went wrong, and with which file where one is known."""
    what = error.strerror or str(error)
    if error.errno == errno.ENOSPC and not error.filename:
        return text("cli.full", what=what)
    return f"{error.filename}: {what}" if error.filename else what


def drop_output() -> None:
    """Write the rest of the output nowhere, so that the interpreter does not fail over it when it ends."""
    with contextlib.suppress(OSError, ValueError, io.UnsupportedOperation):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def show_progress(err: TextIO, done: int, all_: int) -> None:
    """A count that rewrites itself, for who watches long work; a file gets none."""
    if err.isatty() and all_ > 1:
        print(f"\r{done}/{all_}", end="\n" if done >= all_ else "", file=err, flush=True)
