"""Every command as a row: its name, the function that does it, what it takes; and the parser made of the rows.

A function's module is imported when its command runs, so that `--help` is quick.
"""

import argparse
import importlib
import os
import shutil
import textwrap
from collections.abc import Callable, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any, NamedTuple

from bot.wording.catalogue import Text, text_in

WRONG = 2  # the exit code for anything the caller can put right

Run = Callable[[argparse.Namespace], int]


class Option(NamedTuple):
    name: str
    says: str  # its text in the catalogue
    how: Mapping[str, Any]


def option(name: str, says: str, **how: Any) -> Option:
    """One option or argument, as argparse takes it."""
    return Option(name, says, how)


def whole(least: int, most: int) -> Callable[[str], int]:
    """Reads a whole number of that range."""

    def number(value: str) -> int:
        if not value.isdecimal() or not least <= int(value) <= most:
            raise argparse.ArgumentTypeError(f"{value!r}: expected a whole number from {least} to {most}")
        return int(value)

    return number


def _parts(value: str) -> Any:
    from bot.run.parts import read_parts

    try:
        return read_parts(value.split(","))
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


class Command(NamedTuple):
    """A name of two words is a command below another; of several options with one `alone`, exactly one is given."""

    name: str
    does: str  # module:function, which takes the options and returns the exit code
    options: tuple[Option, ...] = ()
    settings: bool = True  # whether it can be told which settings file to read
    alone: tuple[Option, ...] = ()

    def run(self, options: argparse.Namespace) -> int:
        """Do it; returns the exit code."""
        module, _, function = self.does.partition(":")
        done: Run = getattr(importlib.import_module(module), function)
        return done(options)


SETTINGS = option("--settings", "cli.settings", type=Path, metavar="FILE")
PROGRAMME = option("--programme", "cli.try.programme", metavar="FOLDER")
PERSON = option("person", "cli.person", metavar="PERSON")
JSON = option("--json", "cli.json", action="store_true")
YES = option("--yes", "cli.sure.yes", action="store_true")


def _count(name: str, least: int, most: int, usual: int) -> Option:
    return option(f"--{name}", f"cli.simulate.{name}", type=whole(least, most), default=usual, metavar="N")


TABLE = (
    Command("setup", "bot.cli.setup:set_up"),
    Command("try", "bot.cli.trying:try_out", (
        option("--file", "cli.try.file", type=Path, metavar="FILE"),
        option("--start", "cli.try.start", metavar="DATE"),
        option("--zone", "cli.try.zone", default="UTC"),
        option("--enrolled", "cli.try.skip", action="store_true"),
        option("--rating", "cli.try.rating", type=whole(0, 10), default=4),
        PROGRAMME,
    ), settings=False),
    Command("demo", "bot.cli.trying:demonstrate", (
        option("--folder", "cli.demo.folder", type=Path, metavar="FOLDER", default=Path("fennel-lane")),
        PROGRAMME,
        option("--database", "cli.demo.database", type=Path, metavar="FILE"),
    ), settings=False),
    Command("serve", "bot.cli.commands:serve_until_told", (
        option("--only", "cli.serve.only", type=_parts, metavar="PARTS"),
    )),
    Command("check", "bot.cli.check:check_all", (JSON,)),
    Command("notices", "bot.cli.clinic:list_notices", (JSON,)),
    Command("invite", "bot.cli.setup:invite_one", (
        option("--for", "cli.invite.for", dest="note", default="", metavar="NAME"),
        option("--role", "cli.invite.role", choices=("patient", "therapist", "lead"), default="patient"),
        option("--days", "cli.invite.days", type=whole(1, 90), default=7),
        JSON,
    )),
    Command("clear", "bot.cli.clinic:clear_one", (
        PERSON, option("--reason", "cli.clear.reason", required=True),
    )),
    Command("export", "bot.cli.files:export_some", (
        option("--format", "cli.export.format", choices=("csv", "json", "fhir"), default="csv"),
        option("--out", "cli.export.out", type=Path, required=True, metavar="FOLDER"),
        option("--names", "cli.export.names", action="store_true"),
    ), alone=(
        option("--person", "cli.person", metavar="ID"), option("--all", "cli.export.all", action="store_true"),
    )),
    Command("erase", "bot.cli.files:erase_one", (PERSON, YES)),
    Command("staff", "bot.cli.clinic:staff_of", (
        option("--shut-out", "cli.staff.shut_out", metavar="ID"), YES, JSON,
    )),
    Command("audit", "bot.cli.files:print_trail", tuple(
        option(f"--{name}", f"cli.audit.{name}", metavar=shown)
        for name, shown in (("person", "ID"), ("staff", "ID"), ("since", "DATE"), ("until", "DATE"))
    )),
    Command("results", "bot.cli.clinic:print_results", (
        option("quarter", "cli.results.quarter", nargs="?", metavar="QUARTER"),
        option("--csv", "cli.results.csv", action="store_true"),
        JSON,
    )),
    Command("backup", "bot.cli.files:back_up_to", (
        option("file", "cli.backup.file", type=Path, metavar="FILE"),
        option("--keep", "cli.backup.keep", type=whole(1, 1000), default=0, metavar="N"),
    )),
    Command("restore", "bot.cli.files:restore_from", (
        option("file", "cli.restore.file", type=Path, metavar="FILE"),
        option("--replace", "cli.restore.replace", action="store_true"),
        option("--damaged", "cli.restore.damaged", action="store_true"),
    )),
    Command("keys rotate", "bot.cli.files:rotate"),
    Command("replay", "bot.cli.replay:replay_stored", (
        option("people", "cli.replay.people", nargs="*", metavar="PERSON"),
        option("--programme", "cli.replay.programme", metavar="FOLDER"),
    )),
    Command("why", "bot.cli.replay:say_why", (
        PERSON, option("date", "cli.why.date", nargs="?", metavar="DATE"),
    )),
    Command("programme show", "bot.cli.programme:show", (
        option("place", "cli.programme.file", nargs="?", metavar="FOLDER"),
    ), settings=False),
    Command("programme check", "bot.cli.programme:check", (
        option("place", "cli.programme.file", metavar="FOLDER"),
    ), settings=False),
    Command("simulate", "bot.cli.programme:simulate", (
        _count("people", 40, 100_000, 1000), _count("weeks", 13, 104, 26), _count("seed", 0, 10**9, 1),
        _count("jobs", 1, 256, os.cpu_count() or 1),
        option("--ablations", "cli.simulate.ablations", action="store_true"),
        option("--picture", "cli.simulate.picture", type=Path, metavar="FILE"),
        PROGRAMME,
    ), settings=False),
    Command("completion", "bot.cli.commands:print_completion", (
        option("shell", "cli.completion.shell", choices=("bash", "zsh")),
    ), settings=False),
)  # fmt: skip


def parser_of(text: Text, completed: Mapping[str, Any] | None = None) -> argparse.ArgumentParser:
    """The whole parser; `completed` says how a shell completes what is called FILE or FOLDER."""
    parser = _Parser(prog="holdlower", description=_wrapped(text("cli.about")), epilog=text("cli.end"))
    parser.add_argument("--version", action="version", version=version("holdlower"), help=text("cli.version"))
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    groups: dict[str, Any] = {"": commands}
    for row in TABLE:
        above, _, name = row.name.rpartition(" ")
        if above not in groups:
            group = commands.add_parser(above, help=text(f"cli.{above}"), description=text(f"cli.{above}"))
            group.set_defaults(run=lambda _, group=group: _print_help(group))
            groups[above] = group.add_subparsers(title="commands", metavar="COMMAND")
        key = f"cli.{row.name.replace(' ', '.')}"
        long = f"{key}.long" if text.has(f"{key}.long") else key
        examples = text("cli.examples", lines=textwrap.indent(text(f"{key}.examples"), "  "))
        one = groups[above].add_parser(name, help=text(key), description=_wrapped(text(long)), epilog=examples)
        one.set_defaults(run=row.run)
        _add_options(one, row, text, completed or {})
    return parser


class _Parser(argparse.ArgumentParser):
    """Keeps the lines of its texts; so do the parsers below it, which are made of the same class."""

    def __init__(self, **how: Any) -> None:
        super().__init__(formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **how)


def _add_options(parser: argparse.ArgumentParser, row: Command, text: Text, completed: Mapping[str, Any]) -> None:
    together = parser.add_mutually_exclusive_group(required=True) if row.alone else parser
    pairs = [*((together, each) for each in row.alone), *((parser, each) for each in row.options)]
    for place, each in [*pairs, *([(parser, SETTINGS)] if row.settings else [])]:
        action = place.add_argument(each.name, help=text(each.says), **each.how)
        if way := completed.get(each.how.get("metavar", "")):
            action.complete = way  # type: ignore[attr-defined]  # what the library for it reads


def _print_help(parser: argparse.ArgumentParser) -> int:
    """For a command that needs another word after it."""
    parser.print_help()
    return WRONG


def _wrapped(text: str) -> str:
    return textwrap.fill(text, max(40, min(shutil.get_terminal_size().columns - 2, 100)))


def print_completion(options: argparse.Namespace) -> int:
    """Print the script with which that shell completes this command line."""
    import shtab  # for this command alone

    print(shtab.complete(parser_of(text_in("en"), {"FILE": shtab.FILE, "FOLDER": shtab.DIRECTORY}), options.shell))
    return 0


def serve_until_told(options: argparse.Namespace) -> int:
    """Run the service, or the parts of it that were named."""
    from bot.run.parts import ALL
    from bot.run.service import serve
    from bot.settings import load_settings

    return serve(load_settings(os.environ, options.settings), options.only or ALL)
