"""The commands that look after what is kept: files, erasing, staff, copies, keys."""

import argparse
from pathlib import Path

from bot.cli.building import Commands, command, print_help, with_settings
from bot.wording.catalogue import Text


def add_upkeep(commands: Commands, text: Text) -> None:
    """Add all of them."""
    _add_files(commands, text)
    staff = with_settings(command(commands, text, "staff", _staff), text)
    staff.add_argument("--shut-out", metavar="ID", help=text("cli.staff.shut_out"))
    audit = with_settings(command(commands, text, "audit", _audit), text)
    for name, shown in (("person", "ID"), ("staff", "ID"), ("since", "DATE"), ("until", "DATE")):
        audit.add_argument(f"--{name}", metavar=shown, help=text(f"cli.audit.{name}"))
    _add_copies(commands, text)
    _add_keys(commands, text)


def _add_files(commands: Commands, text: Text) -> None:
    export = with_settings(command(commands, text, "export", _export), text)
    who = export.add_mutually_exclusive_group(required=True)
    who.add_argument("--person", metavar="ID", help=text("cli.export.person"))
    who.add_argument("--all", action="store_true", help=text("cli.export.all"))
    export.add_argument("--format", choices=("csv", "json", "fhir"), default="csv", help=text("cli.export.format"))
    export.add_argument("--out", type=Path, required=True, metavar="FOLDER", help=text("cli.export.out"))
    export.add_argument("--names", action="store_true", help=text("cli.export.names"))
    erase = with_settings(command(commands, text, "erase", _erase), text)
    erase.add_argument("person", help=text("cli.erase.person"))
    erase.add_argument("--yes", action="store_true", help=text("cli.erase.yes"))


def _add_copies(commands: Commands, text: Text) -> None:
    backup = with_settings(command(commands, text, "backup", _backup), text)
    backup.add_argument("file", type=Path, metavar="FILE", help=text("cli.backup.file"))
    restore = with_settings(command(commands, text, "restore", _restore), text)
    restore.add_argument("file", type=Path, metavar="FILE", help=text("cli.restore.file"))
    restore.add_argument("--replace", action="store_true", help=text("cli.restore.replace"))
    restore.add_argument("--damaged", action="store_true", help=text("cli.restore.damaged"))


def _add_keys(commands: Commands, text: Text) -> None:
    parser = commands.add_parser("keys", help=text("cli.keys"), description=text("cli.keys"))
    parser.set_defaults(run=lambda _: print_help(parser))
    below = parser.add_subparsers(title="commands", metavar="COMMAND")
    rotate = below.add_parser("rotate", help=text("cli.keys.rotate"), description=text("cli.keys.rotate.long"))
    with_settings(rotate, text).set_defaults(run=_rotate)


def _export(options: argparse.Namespace) -> int:
    from bot.cli.files import export_some

    return export_some(options)


def _audit(options: argparse.Namespace) -> int:
    from bot.cli.trail import print_trail

    return print_trail(options)


def _erase(options: argparse.Namespace) -> int:
    from bot.cli.files import erase_one

    return erase_one(options)


def _backup(options: argparse.Namespace) -> int:
    from bot.cli.copies import back_up_to

    return back_up_to(options)


def _restore(options: argparse.Namespace) -> int:
    from bot.cli.copies import restore_from

    return restore_from(options)


def _staff(options: argparse.Namespace) -> int:
    from bot.cli.staff import staff_of

    return staff_of(options)


def _rotate(options: argparse.Namespace) -> int:
    from bot.cli.keys import rotate

    return rotate(options)
