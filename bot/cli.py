"""The command line. Each command imports what it needs, so that `--help` is quick."""

import argparse
import os
import sys
import zoneinfo
from collections.abc import Callable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError

if TYPE_CHECKING:
    from bot.parts import Part

WRONG = 2  # the exit code for anything the caller can put right


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    zoneinfo.reset_tzpath(())  # the zone laws we ship and renew, never an old copy of the host's
    text = text_in("en")
    parser = _parser(text)
    options = parser.parse_args(arguments)
    if not hasattr(options, "run"):
        parser.print_help()
        return WRONG
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        return run(options)
    except HoldlowerError as error:
        print(f"holdlower: {error}", file=sys.stderr)
        return WRONG
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has seen enough
        return 0


def _parser(text: Text) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="holdlower", description=text("cli.about"), epilog=text("cli.end"))
    parser.add_argument("--version", action="version", version=version("holdlower"), help=text("cli.version"))
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _settings(_command(commands, text, "setup", _setup), text)
    _add_try(commands, text)
    demo = _command(commands, text, "demo", _demo)
    demo.add_argument("--folder", type=Path, default=Path("fennel-lane"), help=text("cli.demo.folder"))
    demo.add_argument("--database", type=Path, metavar="FILE", help=text("cli.demo.database"))
    serve = _settings(_command(commands, text, "serve", _serve), text)
    serve.add_argument("--only", type=_parts, metavar="PARTS", help=text("cli.serve.only"))
    _settings(_command(commands, text, "notices", _notices), text)
    invite = _settings(_command(commands, text, "invite", _invite), text)
    invite.add_argument("--for", dest="note", default="", metavar="NAME", help=text("cli.invite.for"))
    roles = ("patient", "therapist", "lead")
    invite.add_argument("--role", choices=roles, default=roles[0], help=text("cli.invite.role"))
    invite.add_argument("--days", type=_whole(1, 90), default=7, help=text("cli.invite.days"))
    clear = _settings(_command(commands, text, "clear", _clear), text)
    clear.add_argument("person", help=text("cli.clear.person"))
    clear.add_argument("--reason", required=True, help=text("cli.clear.reason"))
    _add_files(commands, text)
    staff = _settings(_command(commands, text, "staff", _staff), text)
    staff.add_argument("--shut-out", metavar="ID", help=text("cli.staff.shut_out"))
    _add_copies(commands, text)
    _add_keys(commands, text)
    _add_replay(commands, text)
    _add_programme(commands, text)
    _add_simulate(commands, text)
    return parser


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    text: Text,
    name: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    long = f"cli.{name}.long" if text.has(f"cli.{name}.long") else f"cli.{name}"
    parser = commands.add_parser(name, help=text(f"cli.{name}"), description=text(long))
    parser.set_defaults(run=run)
    return parser


def _settings(parser: argparse.ArgumentParser, text: Text) -> argparse.ArgumentParser:
    parser.add_argument("--settings", type=Path, metavar="FILE", help=text("cli.settings"))
    return parser


def _add_try(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    parser = _command(commands, text, "try", _try)
    parser.add_argument("--file", type=Path, metavar="FILE", help=text("cli.try.file"))
    parser.add_argument("--start", metavar="DATE", help=text("cli.try.start"))
    parser.add_argument("--zone", default="UTC", help=text("cli.try.zone"))
    parser.add_argument("--enrolled", action="store_true", help=text("cli.try.skip"))
    parser.add_argument("--rating", type=_whole(0, 10), default=4, help=text("cli.try.rating"))
    parser.add_argument("--programme", type=Path, metavar="FILE", help=text("cli.try.programme"))


def _add_files(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    export = _settings(_command(commands, text, "export", _export), text)
    who = export.add_mutually_exclusive_group(required=True)
    who.add_argument("--person", metavar="ID", help=text("cli.export.person"))
    who.add_argument("--all", action="store_true", help=text("cli.export.all"))
    export.add_argument("--format", choices=("csv", "json", "fhir"), default="csv", help=text("cli.export.format"))
    export.add_argument("--out", type=Path, required=True, metavar="FOLDER", help=text("cli.export.out"))
    export.add_argument("--names", action="store_true", help=text("cli.export.names"))
    erase = _settings(_command(commands, text, "erase", _erase), text)
    erase.add_argument("person", help=text("cli.erase.person"))
    erase.add_argument("--yes", action="store_true", help=text("cli.erase.yes"))


def _add_copies(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    backup = _settings(_command(commands, text, "backup", _backup), text)
    backup.add_argument("file", type=Path, metavar="FILE", help=text("cli.backup.file"))
    restore = _settings(_command(commands, text, "restore", _restore), text)
    restore.add_argument("file", type=Path, metavar="FILE", help=text("cli.restore.file"))
    restore.add_argument("--replace", action="store_true", help=text("cli.restore.replace"))


def _add_keys(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    parser = commands.add_parser("keys", help=text("cli.keys"), description=text("cli.keys"))
    parser.set_defaults(run=lambda _: _print_help(parser))
    below = parser.add_subparsers(title="commands", metavar="COMMAND")
    rotate = below.add_parser("rotate", help=text("cli.keys.rotate"), description=text("cli.keys.rotate.long"))
    _settings(rotate, text).set_defaults(run=_rotate)


def _add_replay(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    replay = _settings(_command(commands, text, "replay", _replay), text)
    replay.add_argument("people", nargs="*", metavar="PERSON", help=text("cli.replay.people"))
    replay.add_argument("--programme", type=Path, metavar="FILE", help=text("cli.replay.programme"))
    why = _settings(_command(commands, text, "why", _why), text)
    why.add_argument("person", metavar="PERSON", help=text("cli.clear.person"))
    why.add_argument("date", nargs="?", metavar="DATE", help=text("cli.why.date"))


def _add_programme(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    parser = commands.add_parser("programme", help=text("cli.programme"), description=text("cli.programme"))
    parser.set_defaults(run=lambda _: _print_help(parser))
    below = parser.add_subparsers(title="commands", metavar="COMMAND")
    for name, needs_file in (("show", False), ("check", True)):
        one = below.add_parser(name, help=text(f"cli.programme.{name}"), description=text(f"cli.programme.{name}"))
        one.add_argument(
            "file", type=Path, metavar="FILE", nargs=None if needs_file else "?", help=text("cli.programme.file")
        )
        one.set_defaults(run=_show if name == "show" else _check)


def _add_simulate(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", text: Text) -> None:
    parser = _command(commands, text, "simulate", _simulate)
    numbers = (("people", 40, 100_000, 1000), ("weeks", 13, 104, 26), ("seed", 0, 10**9, 1))
    for name, least, most, usual in numbers:
        parser.add_argument(
            f"--{name}", type=_whole(least, most), default=usual, metavar="N", help=text(f"cli.simulate.{name}")
        )
    cores = os.cpu_count() or 1
    parser.add_argument("--jobs", type=_whole(1, 256), default=cores, metavar="N", help=text("cli.simulate.jobs"))
    parser.add_argument("--ablations", action="store_true", help=text("cli.simulate.ablations"))
    parser.add_argument("--picture", type=Path, metavar="FILE", help=text("cli.simulate.picture"))
    parser.add_argument("--programme", type=Path, metavar="FILE", help=text("cli.try.programme"))


def _print_help(parser: argparse.ArgumentParser) -> int:
    parser.print_help()
    return WRONG


def _whole(least: int, most: int) -> Callable[[str], int]:
    def number(value: str) -> int:
        if not value.isdecimal() or not least <= int(value) <= most:
            raise argparse.ArgumentTypeError(f"{value!r}: expected a whole number from {least} to {most}")
        return int(value)

    return number


def _parts(value: str) -> "frozenset[Part]":
    from bot.parts import read_parts

    try:
        return read_parts(value.split(","))
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _try(options: argparse.Namespace) -> int:
    from bot.cli_try import try_out

    return try_out(options, sys.stdin, sys.stdout)


def _demo(options: argparse.Namespace) -> int:
    from bot.cli_demo import demonstrate

    return demonstrate(options, sys.stdin, sys.stdout, sys.stderr)


def _serve(options: argparse.Namespace) -> int:
    from bot.parts import ALL
    from bot.serve import serve
    from bot.settings import load_settings

    return serve(load_settings(os.environ, options.settings), options.only or ALL)


def _setup(options: argparse.Namespace) -> int:
    from bot.cli_setup import set_up

    return set_up(options, sys.stdin, sys.stdout)


def _export(options: argparse.Namespace) -> int:
    from bot.cli_files import export_some

    return export_some(options)


def _erase(options: argparse.Namespace) -> int:
    from bot.cli_files import erase_one

    return erase_one(options)


def _backup(options: argparse.Namespace) -> int:
    from bot.cli_copies import back_up_to

    return back_up_to(options)


def _restore(options: argparse.Namespace) -> int:
    from bot.cli_copies import restore_from

    return restore_from(options)


def _staff(options: argparse.Namespace) -> int:
    from bot.cli_staff import staff_of

    return staff_of(options)


def _rotate(options: argparse.Namespace) -> int:
    from bot.cli_keys import rotate

    return rotate(options)


def _invite(options: argparse.Namespace) -> int:
    from bot.cli_clinic import invite_one

    return invite_one(options)


def _notices(options: argparse.Namespace) -> int:
    from bot.cli_clinic import list_notices

    return list_notices(options)


def _clear(options: argparse.Namespace) -> int:
    from bot.cli_clinic import clear_one

    return clear_one(options)


def _replay(options: argparse.Namespace) -> int:
    from bot.cli_replay import replay_stored

    return replay_stored(options, sys.stdout, sys.stderr)


def _why(options: argparse.Namespace) -> int:
    from bot.cli_why import say_why

    return say_why(options)


def _simulate(options: argparse.Namespace) -> int:
    from bot.cli_simulate import simulate

    return simulate(options)


def _show(options: argparse.Namespace) -> int:
    from bot.cli_programme import show

    return show(options.file)


def _check(options: argparse.Namespace) -> int:
    from bot.cli_programme import check

    return check(options.file)


if __name__ == "__main__":
    sys.exit(main())
