"""What the commands' parsers are built from."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bot.wording.catalogue import Text

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]
else:
    Commands = argparse._SubParsersAction

WRONG = 2  # the exit code for anything the caller can put right

Run = Callable[[argparse.Namespace], int]


def command(commands: Commands, text: Text, name: str, run: Run) -> argparse.ArgumentParser:
    """One command with what the catalogue says of it."""
    long = f"cli.{name}.long" if text.has(f"cli.{name}.long") else f"cli.{name}"
    parser = commands.add_parser(name, help=text(f"cli.{name}"), description=text(long))
    parser.set_defaults(run=run)
    return parser


def with_settings(parser: argparse.ArgumentParser, text: Text) -> argparse.ArgumentParser:
    """The command can be told which settings file to read."""
    parser.add_argument("--settings", type=Path, metavar="FILE", help=text("cli.settings"))
    return parser


def print_help(parser: argparse.ArgumentParser) -> int:
    """For a command that needs another word after it."""
    parser.print_help()
    return WRONG


def whole(least: int, most: int) -> Callable[[str], int]:
    """Reads a whole number of that range."""

    def number(value: str) -> int:
        if not value.isdecimal() or not least <= int(value) <= most:
            raise argparse.ArgumentTypeError(f"{value!r}: expected a whole number from {least} to {most}")
        return int(value)

    return number
