"""The command line: runs one command, and says in a sentence what went wrong."""

import argparse
import sys
import zoneinfo
from collections.abc import Sequence

from bot.cli.commands import WRONG, Run, parser_of
from bot.cli.streams import drop_output, plain_streams, said_of
from bot.wording.catalogue import text_in
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


if __name__ == "__main__":
    sys.exit(main())
