"""The terminal as a channel: messages are printed, typed lines come in, a button's label works as the button."""

import datetime as dt
import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

from bot.ports import Came, Incoming, Rendered
from core.records import Update

NAME = "terminal"
Keep = Callable[[bytes, str], str]


class TerminalChannel:
    """Prints to `out`, each message under its `heading`; remembers the buttons shown since the last line.

    `keep` puts a picture or a document somewhere by its name, and says where. `beside` is the address of somebody else
    who reads here, and what stands above it.
    """

    name = NAME

    def __init__(
        self, out: TextIO, keep: Keep, heading: Callable[[], str] = str, label: str = "  ",
        beside: tuple[str, str] = ("", ""),
    ) -> None:
        self._out, self._heading, self._label, self._keep = out, heading, label, keep
        self._beside = beside
        self._buttons: dict[str, str] = {}
        self._sent = 0
        self._said: dict[str, str] = {}  # by message: its text as it stands
        self._changed = False  # since the last message

    async def send(self, address: str, message: Rendered) -> str | None:
        """Print a message with its buttons in brackets; pictures and documents go to a file that is named."""
        if address == self._beside[0]:
            self._aside(self._beside[1], message)
            return None
        self._sent += 1
        if self._changed:
            print(file=self._out)
        self._changed = False
        if heading := self._heading():
            print(heading, file=self._out)
        for line in "\n\n".join((message.text, *message.further)).splitlines():
            print(f"{self._label}{line}".rstrip(), file=self._out)
        for row in message.buttons:
            print(self._label + " ".join(f"[{button.label}]" for button in row), file=self._out)
            self._buttons |= {button.label.casefold(): button.data for button in row}
        for content, ending in ((message.picture, ".png"), (message.moving, ".gif"), (message.voice, ".ogg")):
            if content:
                print(f"{self._label}{self._keep(content, ending)}", file=self._out)
        if message.copied:
            print(f"{self._label}(their message)", file=self._out)
        if message.document:
            name, content = message.document
            print(f"{self._label}{self._keep(content, name)}", file=self._out)
        print(file=self._out, flush=True)
        self._said = {str(self._sent): message.text}  # only the latest is ever changed
        return str(self._sent)

    async def edit(self, address: str, message_id: str, message: Rendered) -> None:
        """Print the lines that are new."""
        known = self._said.get(message_id, "").splitlines()
        for line in message.text.splitlines():
            if line not in known:
                print(f"{self._label}{line}".rstrip(), file=self._out)
        self._said[message_id], self._changed = message.text, True

    def _aside(self, who: str, message: Rendered) -> None:
        """Set apart and without buttons."""
        for line in (who, *(f"| {line}" for line in message.text.splitlines())):
            print(f"{self._label}  {line}".rstrip(), file=self._out)
        print(file=self._out, flush=True)

    def mute(self, out: TextIO) -> None:
        """Print elsewhere from now on."""
        self._out = out

    def tapped(self, line: str) -> str | None:
        """The data of the button with that label; a plain number is typed text, which means the same."""
        return None if line.strip().isdecimal() else self._buttons.get(line.strip().casefold())

    def forget_buttons(self) -> None:
        self._buttons.clear()


def as_update(line: str, data: str | None, number: int, now: dt.datetime) -> Update:
    """A typed line, or a tapped button, as an update for the inbox."""
    payload = json.dumps({"line": line, "data": data, "at": now.isoformat(), "number": number})
    return Update(NAME, number, "terminal", now, payload)


def parse(update: Update) -> Incoming | None:
    """What a line was: a command, a tap, or text."""
    payload = json.loads(update.payload)
    at = dt.datetime.fromisoformat(payload["at"])
    line, message_id = payload["line"].strip(), str(payload["number"])
    if payload["data"]:
        return Incoming(Came.TAP, NAME, update.address, at, data=payload["data"], message_id=message_id)
    if line.startswith("/"):
        command, _, rest = line[1:].partition(" ")
        return Incoming(
            Came.COMMAND, NAME, update.address, at, text=rest.strip(), command=command.lower(), message_id=message_id
        )
    return Incoming(Came.TEXT, NAME, update.address, at, text=line, message_id=message_id)


class Folder:
    """Where everything that is sent as a file goes; without a `path` a new one, made for the first file."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path
        self._pictures = 0
        self._name = ""

    def call_next(self, name: str) -> None:
        """The name of the picture that is sent next."""
        self._name = name

    def keep(self, content: bytes, name: str) -> str:
        """Write a file and say where it is; a picture has no name but its ending."""
        self.path = self.path or Path(tempfile.mkdtemp(prefix="holdlower-"))
        if name.startswith("."):
            self._pictures += not self._name
            name, self._name = self._name or f"picture-{self._pictures}{name}", ""
        target = self.path / Path(name).name
        target.write_bytes(content)
        return str(target)
