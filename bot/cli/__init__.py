"""The command line: runs one command, and says in a sentence what went wrong."""

import argparse
import contextlib
import errno
import io
import os
import re
import sys
import zoneinfo
from collections.abc import Iterator, Sequence
from typing import Any, TextIO, cast

from bot.cli.commands import WRONG, Run, parser_of
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError

BROKEN_OFF = 130  # as a shell says of a command that was interrupted


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    zoneinfo.reset_tzpath(())  # the zone laws we ship and renew, never an old copy of the host's
    with plain_streams():
        return _main(arguments)


def _main(arguments: Sequence[str] | None) -> int:
    text = text_in("en")
    parser = parser_of(text)
    options: argparse.Namespace = parser.parse_args(arguments)
    if not hasattr(options, "run"):
        parser.print_help()
        return WRONG
    run: Run = options.run
    try:
        code = run(options)
        sys.stdout.flush()
    except HoldlowerError as error:
        return _failed(str(error))
    except EOFError:
        return _failed(text("cli.no_input"))
    except KeyboardInterrupt:
        print(f"\n{text('cli.broken_off')}", file=sys.stderr)
        return BROKEN_OFF
    except BrokenPipeError:
        drop_output()  # the reader has seen enough
        return 0
    except OSError as error:
        drop_output()
        return _failed(said_of(error, text))
    return code


def _failed(why: str) -> int:
    print(f"holdlower: {why}", file=sys.stderr)
    return WRONG


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
