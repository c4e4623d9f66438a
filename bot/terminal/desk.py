"""The therapist's chat in the terminal: the whole program with people who are not there, on a Monday morning."""

import datetime as dt
import io
from collections.abc import Iterable
from pathlib import Path
from typing import TextIO

from bot.drawing import Drawing
from bot.messaging.delivery import Delivery
from bot.messaging.inbox import handle_next
from bot.messaging.pace import Bucket, Pace
from bot.messaging.rendering import Rendering
from bot.ports import Channel, Rendered
from bot.run.app import App, SteppedClock
from bot.run.in_store import at_once
from bot.run.ticks import tick
from bot.terminal import channel as terminal
from bot.terminal.living import PATIENTS
from bot.wording.catalogue import Text
from core.records import Outgoing
from core.use_cases.digesting import PICTURE, TEXT

QUIT = "/quit"
LAST_WEEK = "/digest 1"
A_LINE = dt.timedelta(seconds=1)  # what was done later stands later in the file


class Overheard:
    """The channel of the patients: what they would read is shown beside, under their name."""

    name = PATIENTS

    def __init__(self, app: App, out: TextIO, text: Text, keep: terminal.Keep) -> None:
        self._app, self._out, self._text, self._keep = app, out, text, keep

    async def send(self, address: str, message: Rendered) -> str | None:
        """Print what one of them reads."""
        with self._app.store.reading() as uow:
            person = uow.people.at(PATIENTS, address)
        name = person.name if person else address
        shown = io.StringIO()
        told = terminal.TerminalChannel(shown, self._keep, lambda: self._text("cli.demo.told", name=name), "    | ")
        await told.send(address, message)
        print(shown.getvalue(), end="", file=self._out, flush=True)
        return None

    async def edit(self, address: str, message_id: str, message: Rendered) -> None:
        """Nobody does a set here."""


class Desk:
    """One therapist at one terminal."""

    def __init__(self, app: App, clock: SteppedClock, out: TextIO, drawing: Drawing, folder: Path, text: Text) -> None:
        self._app, self._clock, self._out, self._text = app, clock, out, text
        self._folder = terminal.Folder(folder)
        self._channel = terminal.TerminalChannel(out, self._folder.keep)
        self._rendering = Rendering(drawing, app.digests(at_once, drawing))
        self._digests = 0
        self._week: dict[str, str] = {}  # the buttons of the latest digest, which one would scroll back to on a phone
        overheard = Overheard(app, out, text, self._folder.keep)
        channels: dict[str, Channel] = {terminal.NAME: self._channel, PATIENTS: overheard}
        self._delivery = Delivery(
            app.store, channels, self._render, Pace(Bucket.unlimited()), clock, at_once, owner="demo", in_flight=1
        )

    async def _render(self, message: Outgoing) -> Rendered:
        """Word a message; the digest's words are kept as a file too."""
        rendered = await self._rendering(message)
        if message.kind == TEXT:
            self._digests += 1
            self._week = {button.label.casefold(): button.data for row in rendered.buttons for button in row}
            words = "\n\n".join((rendered.text, *rendered.further))
            self._folder.keep(f"{words}\n".encode(), f"{_stem(message)}.txt")
        elif message.kind == PICTURE:
            self._folder.call_next(f"{_stem(message)}-{message.words.to_draw['part'] + 1}.png")
        return rendered

    async def begin(self) -> None:
        """The Monday morning: what the last evening brought, and the digest, again for whoever comes back."""
        local = self._text.day(self._clock().date()), self._text.time(self._clock().time())
        print(f"== {local[0]}, {local[1]} ==\n", file=self._out)
        await self._delivery.drain_once()  # what the last evening brought arrived then, before anybody looked for it
        tick(self._app)
        await self._delivery.drain_once()
        if not self._digests:
            await self._do(LAST_WEEK)
        print(f"{self._text('cli.demo.hint')}\n", file=self._out, flush=True)

    async def run(self, lines: Iterable[str], *, echo: bool) -> None:
        """Do what the lines say, until one of them quits or they end."""
        for line in lines:
            if echo:
                print(f"> {line}".rstrip(), file=self._out)
            if line.strip().casefold() == QUIT:
                return
            if line.strip() and not line.startswith("#"):
                await self._do(line)

    async def _do(self, line: str) -> None:
        self._clock.move_to(self._clock() + A_LINE)
        data = self._channel.tapped(line) or self._week.get(line.strip().casefold())
        self._channel.forget_buttons()
        number = int(self._clock().timestamp())
        with self._app.store.writing() as uow:
            while not uow.inbox.put([terminal.as_update(line, data, number, self._clock())]):
                number += 1  # an earlier visit got as far as this
            uow.commit()
        while handle_next(self._app):
            pass
        await self._delivery.drain_once()


def _stem(message: Outgoing) -> str:
    return f"digest-{message.words.to_draw['week']}"
