"""The command line. Each command imports what it needs, so that `--help` is quick."""

import argparse
import os
import sys
import zoneinfo
from collections.abc import Callable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from bot.cli.building import WRONG, Commands, command, print_help, whole, with_settings
from bot.cli.streams import drop_output, plain_streams, said_of
from bot.cli.upkeep import add_upkeep
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError

if TYPE_CHECKING:
    from bot.parts import Part

def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    zoneinfo.reset_tzpath(())  # the zone laws we ship and renew, never an old copy of the host's
    with plain_streams():
        return _main(arguments)


def _main(arguments: Sequence[str] | None) -> int:
    text = text_in("en")
    parser = _parser(text)
    options = parser.parse_args(arguments)
    if not hasattr(options, "run"):
        parser.print_help()
        return WRONG
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        code = run(options)
        sys.stdout.flush()
    except HoldlowerError as error:
        return _failed(str(error))
    except EOFError:
        return _failed(text("cli.no_input"))
    except KeyboardInterrupt:
        print(f"\n{text('cli.broken_off')}", file=sys.stderr)
        return 130
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


def _parser(text: Text) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="holdlower", description=text("cli.about"), epilog=text("cli.end"))
    parser.add_argument("--version", action="version", version=version("holdlower"), help=text("cli.version"))
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    with_settings(command(commands, text, "setup", _setup), text)
    _add_try(commands, text)
    demo = command(commands, text, "demo", _demo)
    demo.add_argument("--folder", type=Path, default=Path("fennel-lane"), help=text("cli.demo.folder"))
    demo.add_argument("--programme", metavar="FOLDER", help=text("cli.try.programme"))
    demo.add_argument("--database", type=Path, metavar="FILE", help=text("cli.demo.database"))
    serve = with_settings(command(commands, text, "serve", _serve), text)
    serve.add_argument("--only", type=_parts, metavar="PARTS", help=text("cli.serve.only"))
    with_settings(command(commands, text, "notices", _notices), text)
    invite = with_settings(command(commands, text, "invite", _invite), text)
    invite.add_argument("--for", dest="note", default="", metavar="NAME", help=text("cli.invite.for"))
    roles = ("patient", "therapist", "lead")
    invite.add_argument("--role", choices=roles, default=roles[0], help=text("cli.invite.role"))
    invite.add_argument("--days", type=whole(1, 90), default=7, help=text("cli.invite.days"))
    clear = with_settings(command(commands, text, "clear", _clear), text)
    clear.add_argument("person", help=text("cli.clear.person"))
    clear.add_argument("--reason", required=True, help=text("cli.clear.reason"))
    add_upkeep(commands, text)
    _add_replay(commands, text)
    _add_programme(commands, text)
    _add_simulate(commands, text)
    return parser


def _add_try(commands: Commands, text: Text) -> None:
    parser = command(commands, text, "try", _try)
    parser.add_argument("--file", type=Path, metavar="FILE", help=text("cli.try.file"))
    parser.add_argument("--start", metavar="DATE", help=text("cli.try.start"))
    parser.add_argument("--zone", default="UTC", help=text("cli.try.zone"))
    parser.add_argument("--enrolled", action="store_true", help=text("cli.try.skip"))
    parser.add_argument("--rating", type=whole(0, 10), default=4, help=text("cli.try.rating"))
    parser.add_argument("--programme", metavar="FOLDER", help=text("cli.try.programme"))


def _add_replay(commands: Commands, text: Text) -> None:
    replay = with_settings(command(commands, text, "replay", _replay), text)
    replay.add_argument("people", nargs="*", metavar="PERSON", help=text("cli.replay.people"))
    replay.add_argument("--programme", metavar="FOLDER", help=text("cli.replay.programme"))
    why = with_settings(command(commands, text, "why", _why), text)
    why.add_argument("person", metavar="PERSON", help=text("cli.clear.person"))
    why.add_argument("date", nargs="?", metavar="DATE", help=text("cli.why.date"))


def _add_programme(commands: Commands, text: Text) -> None:
    parser = commands.add_parser("programme", help=text("cli.programme"), description=text("cli.programme"))
    parser.set_defaults(run=lambda _: print_help(parser))
    below = parser.add_subparsers(title="commands", metavar="COMMAND")
    for name, needs_file in (("show", False), ("check", True)):
        one = below.add_parser(name, help=text(f"cli.programme.{name}"), description=text(f"cli.programme.{name}"))
        one.add_argument(
            "place", metavar="FOLDER", nargs=None if needs_file else "?", help=text("cli.programme.file")
        )
        one.set_defaults(run=_show if name == "show" else _check)


def _add_simulate(commands: Commands, text: Text) -> None:
    parser = command(commands, text, "simulate", _simulate)
    numbers = (("people", 40, 100_000, 1000), ("weeks", 13, 104, 26), ("seed", 0, 10**9, 1))
    for name, least, most, usual in numbers:
        parser.add_argument(
            f"--{name}", type=whole(least, most), default=usual, metavar="N", help=text(f"cli.simulate.{name}")
        )
    cores = os.cpu_count() or 1
    parser.add_argument("--jobs", type=whole(1, 256), default=cores, metavar="N", help=text("cli.simulate.jobs"))
    parser.add_argument("--ablations", action="store_true", help=text("cli.simulate.ablations"))
    parser.add_argument("--picture", type=Path, metavar="FILE", help=text("cli.simulate.picture"))
    parser.add_argument("--programme", metavar="FOLDER", help=text("cli.try.programme"))


def _parts(value: str) -> "frozenset[Part]":
    from bot.parts import read_parts

    try:
        return read_parts(value.split(","))
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _try(options: argparse.Namespace) -> int:
    from bot.cli.try_out import try_out

    return try_out(options, sys.stdin, sys.stdout)


def _demo(options: argparse.Namespace) -> int:
    from bot.cli.demo import demonstrate

    return demonstrate(options, sys.stdin, sys.stdout, sys.stderr)


def _serve(options: argparse.Namespace) -> int:
    from bot.parts import ALL
    from bot.serve import serve
    from bot.settings import load_settings

    return serve(load_settings(os.environ, options.settings), options.only or ALL)


def _setup(options: argparse.Namespace) -> int:
    from bot.cli.setup import set_up

    return set_up(options, sys.stdin, sys.stdout)


def _invite(options: argparse.Namespace) -> int:
    from bot.cli.clinic import invite_one

    return invite_one(options)


def _notices(options: argparse.Namespace) -> int:
    from bot.cli.clinic import list_notices

    return list_notices(options)


def _clear(options: argparse.Namespace) -> int:
    from bot.cli.clinic import clear_one

    return clear_one(options)


def _replay(options: argparse.Namespace) -> int:
    from bot.cli.replay import replay_stored

    return replay_stored(options, sys.stdout, sys.stderr)


def _why(options: argparse.Namespace) -> int:
    from bot.cli.why import say_why

    return say_why(options)


def _simulate(options: argparse.Namespace) -> int:
    from bot.cli.simulate import simulate

    return simulate(options)


def _show(options: argparse.Namespace) -> int:
    from bot.cli.programme import show

    return show(options.place)


def _check(options: argparse.Namespace) -> int:
    from bot.cli.programme import check

    return check(options.place)


if __name__ == "__main__":
    sys.exit(main())
